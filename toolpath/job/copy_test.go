package job

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/copied"
	"cogmend/profiles/geom"
)

// copyText is a job that copies an exact involute of 40 teeth, module 3, 20
// degrees, full depth, by the touches that touch writes.
func copyText(head string, touch func(b *strings.Builder)) string {
	var b strings.Builder
	fmt.Fprintf(&b, "format = 1\nunits = \"mm\"\n[gear]\nform = \"copied\"\nteeth = 40\noutside_diameter = 126\ndepth = 6.75\nfillet_radius = 0.9\nface = 20\nbore = 25\n%s\n", head)
	touch(&b)
	b.WriteString(`
[cutter]
end4 = { number = 1, diameter = 4, flute_length = 14, shank = 4, stick_out = 24 }
end2 = { number = 2, diameter = 2, neck = 1.9, neck_length = 16, shank = 4, stick_out = 24 }
dove = { number = 3, kind = "dovetail", diameter = 3.9, angle = 15, flank_height = 6, neck_length = 16, stick_out = 26 }
`)
	return b.String()
}

// exact is the gear that is copied.
func exact() profiles.Gear {
	rack, _ := profiles.RackByName("full-depth")
	return profiles.Gear{Teeth: 40, Module: 3, Pressure: geom.Radians(20), Rack: rack}
}

// TestTouchSettings: the same touches told by angle, by turns and holes of a head
// (plain indexing: the work turns by the crank over the ratio), by teeth moved on
// stops and by the drop of the tips (by hand: 2 r sin a sin t, the corners at a
// beside the middle) are one flank: the involute they were worked out from.
func TestTouchSettings(t *testing.T) {
	g := exact()
	tau := g.Pitch()
	land := 2 * g.TipRadius() * g.HalfAngle(g.TipRadius())
	y := func(lean float64) float64 { return g.BaseRadius()*(lean+g.BaseHalfAngle()) + 2 + 0.05 }
	table := "[copy]\ncutter = \"end4\"\npaper = 0.05\nwithin = 0.005\n[touch]\n"
	for _, tt := range []struct {
		name, head string
		step       float64 // the gear's turns, rad
		setting    func(k float64) string
	}{
		{"angle", table, tau / 4, func(k float64) string { return fmt.Sprintf("angle = %.6f", geom.Degrees(k*tau/4)) }},
		// 40 to 1: one turn of the crank is one tooth of 40; a quarter 5 holes of 20.
		{"holes", "[index]\ndevice = \"head\"\nratio = 40\n" + table, tau / 4, func(k float64) string {
			return fmt.Sprintf("turns = %d, holes = %d, circle = 20", int(k)/4, 5*(int(k)%4))
		}},
		{"teeth", "[index]\ndevice = \"teeth\"\nhalf_tooth = true\n" + table, tau / 2, func(k float64) string { return fmt.Sprintf("moved = %g", k/2) }},
		{"drop", "[gear_]\n" + table, tau / 4, func(k float64) string {
			r := g.TipRadius()
			return fmt.Sprintf("drop = %.6f", 2*r*math.Sin(tau-land/2/r)*math.Sin(k*tau/4))
		}},
	} {
		head := strings.Replace(tt.head, "[gear_]", fmt.Sprintf("tip_land = %.6f", land), 1)
		n := 0
		text := copyText(head, func(b *strings.Builder) {
			for tooth := 1.0; tooth <= 3; tooth++ {
				for k := -3.0; k <= 3; k++ {
					if k < 0 && tt.name == "drop" {
						continue // the drop is from the +Y corner down
					}
					lean := tooth*tau + k*tt.step
					if r := math.Hypot(1, lean+g.BaseHalfAngle()) * g.BaseRadius(); r < 57 || r > 62.9 || lean < 0 {
						continue
					}
					n++
					fmt.Fprintf(b, "t%d = { tooth = %g, y = %.6f, %s }\n", n, tooth, y(lean), tt.setting(k))
				}
			}
		})
		j, err := Decode("copy.toml", []byte(text), nil)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		f := j.Gear.Copy.Right
		if n < copied.Least || len(f.Readings) != n || !f.Straight {
			t.Errorf("%s: %d touches, %d read, an involute %v", tt.name, n, len(f.Readings), f.Straight)
		}
		if math.Abs(f.BaseRadius-g.BaseRadius()) > 1e-3 || math.Abs(f.HalfAngle-g.BaseHalfAngle())*f.BaseRadius > 1e-3 {
			t.Errorf("%s: base radius %.5f, half angle %.6f; want %.5f, %.6f", tt.name, f.BaseRadius, f.HalfAngle, g.BaseRadius(), g.BaseHalfAngle())
		}
		if math.Abs(j.Gear.Module-3) > 1e-9 {
			t.Errorf("%s: module %g of an outside diameter of 126 and 40 teeth", tt.name, j.Gear.Module)
		}
	}
}

// TestStandingTooth: with an even number of teeth missing the first that stands
// leans half a pitch more; a tooth that is missing farther off is none.
func TestStandingTooth(t *testing.T) {
	for _, tt := range []struct {
		places []float64
		tooth  int
		at     float64
		ok     bool
	}{
		{[]float64{0}, 1, 1, true}, {[]float64{0}, -3, -3, true}, {[]float64{-0.5, 0.5}, 1, 1.5, true}, {[]float64{-0.5, 0.5}, -2, -2.5, true},
		{[]float64{-1, 0, 1}, 1, 2, true}, {[]float64{0, 7}, 7, 7, false}, {[]float64{0, 35}, -5, -5, false}, {[]float64{0}, 21, 21, false},
	} {
		g := Gear{Gear: exact(), Places: tt.places}
		if at, ok := g.standingTooth(tt.tooth); at != tt.at || ok != tt.ok {
			t.Errorf("tooth %d beside %v: %g, %v; want %g, %v", tt.tooth, tt.places, at, ok, tt.at, tt.ok)
		}
	}
}

// TestVernier: a job of chords of an exact tooth at heights below its tip copies it.
func TestVernier(t *testing.T) {
	g := exact()
	text := copyText("[copy]\nwithin = 0.005\n[vernier]", func(b *strings.Builder) {
		for i := range 8 {
			r := 58.2 + 0.65*float64(i)
			psi := g.HalfAngle(r)
			fmt.Fprintf(b, "v%d = { height = %.5f, chord = %.5f }\n", i+1, g.TipRadius()-r*math.Cos(psi), 2*r*math.Sin(psi))
		}
	})
	j, err := Decode("vernier.toml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 20 {
		r := 58.5 + 4.2*float64(i)/19
		if off := r * (j.Gear.HalfAngle(r) - g.HalfAngle(r)); math.Abs(off) > 0.003 {
			t.Errorf("at radius %.2f off by %.4f", r, off)
		}
	}
}

// BenchmarkCopied reads a job whose flanks are copied from touches.
func BenchmarkCopied(b *testing.B) {
	src, err := os.ReadFile(jobs + "/good/feed-gear-worn.toml")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Decode("feed.toml", src, nil); err != nil {
			b.Fatal(err)
		}
	}
}
