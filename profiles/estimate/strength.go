package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// LewisStress returns the bending stress in MPa at the root of a tooth of
// module m and face width b in mm with form factor Y under a tangential force
// in N: F / (b m Y) (Lewis; Shigley, Mechanical Engineering Design, 14-1).
func LewisStress(force, module, face, y float64) float64 { return force / (face * module * y) }

// barth is the constant of Barth's velocity factor for ordinary cut and cast
// teeth, (c + v) / c, in m/s. The inch texts have 600 ft/min (Wentzell, Machine
// Design, ex. 12.6), the metric ones 3 m/s (Jindal, Machine Design, ex. 25-3),
// a little more severe.
const barth = 3.0

func velocityFactor(v, c float64) float64 { return (c + v) / c }

// VelocityFactor returns Barth's factor for a pitch line speed in m/s: by how
// much the force grows with the speed.
func VelocityFactor(v float64) float64 { return velocityFactor(v, barth) }

// PitchLineSpeed returns the speed in m/s of the pitch circle.
func PitchLineSpeed(g profiles.Gear, rpm float64) float64 {
	return 2 * math.Pi * g.PitchRadius() / 1000 * rpm / 60
}

// FullBackup is the rim backup ratio, rim over whole depth, from which on the
// rim costs the tooth nothing (AGMA 2001-D04 as in Shigley 14-16; from memory).
const FullBackup = 1.2

// RimFactor returns the rim thickness factor K for a backup ratio (rim under
// the root over the whole depth): 1 from 1.2 up, below it 1.6 ln(2.242/ratio)
// (AGMA 2001-D04 as in Shigley 14-16; from memory).
func RimFactor(ratio float64) (float64, error) {
	if !(ratio > 0) {
		return 0, fmt.Errorf("backup ratio %.3f: no rim is left", ratio)
	}
	if ratio >= FullBackup {
		return 1, nil
	}
	return 1.6 * math.Log(2.242/ratio), nil
}

// TipFormFactor returns the Lewis form factor of a tooth loaded at its tip:
// from Shigley's table for the standard 20 degree full depth tooth, else from
// the tooth's own outline.
func TipFormFactor(g profiles.Gear) (y float64, source string, err error) {
	standard := g.Form == nil && math.Abs(g.Pressure-math.Pi/9) < 1e-9 && g.Rack.Addendum == 1 && g.Rack.Dedendum == 1.25 &&
		g.Shift == 0 && g.Thinning <= 0.01*g.Module && g.Teeth >= 12
	if standard {
		y, err = LewisY(g.Teeth)
		return y, "Shigley, table 14-2", err
	}
	f, err := FormFactorAt(g, g.TipRadius())
	return f.Y, "Lewis's parabola in the tooth's own outline", err
}
