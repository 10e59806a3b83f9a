package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// lewisTable: teeth and form factor Y, 20 degree full depth, loaded at the
// tip (Shigley, Mechanical Engineering Design, table 14-2). Teeth 0 stands
// for a rack.
var lewisTable = [...]struct{ teeth, y float64 }{
	{12, .245}, {13, .261}, {14, .277}, {15, .290}, {16, .296}, {17, .303}, {18, .309}, {19, .314},
	{20, .322}, {21, .328}, {22, .331}, {24, .337}, {26, .346}, {28, .353}, {30, .359}, {34, .371},
	{38, .384}, {43, .397}, {50, .409}, {60, .422}, {75, .435}, {100, .447}, {150, .460}, {300, .472},
	{400, .480}, {0, .485},
}

// LewisY returns the Lewis form factor Y (with the diametral pitch) of a
// standard 20 degree full depth tooth loaded at its tip, interpolated in 1/z,
// which makes the rack an ordinary end of the table (Shigley, table 14-2).
func LewisY(teeth int) (float64, error) {
	if teeth < 12 {
		return 0, fmt.Errorf("%d teeth: the Lewis table begins at 12", teeth)
	}
	z := float64(teeth)
	for i := 1; ; i++ {
		a, b := lewisTable[i-1], lewisTable[i]
		if b.teeth == 0 || z <= b.teeth {
			ia, ib := 1/a.teeth, 0.0
			if b.teeth > 0 {
				ib = 1 / b.teeth
			}
			return a.y + (b.y-a.y)*(1/z-ia)/(ib-ia), nil
		}
	}
}

// FormFactor is Lewis's form factor of a tooth found from its outline.
type FormFactor struct {
	Y         float64 // with the diametral pitch: 2 x / (3 m)
	X         float64 // x = t^2 / (4 l), mm
	Thickness float64 // t of the weakest section, mm
	Arm       float64 // l from that section to where the load meets the middle line, mm
	Radius    float64 // of the weakest section's ends, mm
	Load      float64 // radius at which the load acts, mm
}

// FormFactorAt returns the form factor of the tooth loaded at radius r on its
// flank (the tip radius for the usual Lewis factor): the parabola whose vertex
// lies where the load's line crosses the middle of the tooth and that touches
// the fillet gives the weakest section, the one of least t^2 / l (Lewis;
// Shigley, 14-1).
func FormFactorAt(g profiles.Gear, r float64) (FormFactor, error) {
	if r > g.TipRadius()+geom.Eps || r <= g.FlankFrom() {
		return FormFactor{}, fmt.Errorf("load at radius %.3f mm: the flank lies between %.3f and %.3f mm", r, g.FlankFrom(), g.TipRadius())
	}
	pts, err := g.RightFlank()
	if err != nil {
		return FormFactor{}, err
	}
	vertex := g.LoadLine(r)
	f := FormFactor{X: math.Inf(1), Load: r}
	for _, p := range pts {
		l := vertex - p.Z
		if l <= 0 || p.Norm() > r {
			continue
		}
		if x := p.Y * p.Y / l; x < f.X {
			f.X, f.Thickness, f.Arm, f.Radius = x, 2*p.Y, l, p.Norm()
		}
	}
	if math.IsInf(f.X, 1) {
		return FormFactor{}, fmt.Errorf("load at radius %.3f mm bends no part of the tooth", r)
	}
	f.Y = 2 * f.X / (3 * g.Module)
	return f, nil
}
