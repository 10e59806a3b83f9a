package design

import (
	"math"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// TestWornFeedGear: the good job's touches were worked out from a worn involute:
// 30 teeth, module 4, 20 degrees, full depth, thinned by 0.16 mm, with a smooth loss
// of up to 0.12 mm beside the pitch circle; each reading off by up to 0.008 mm and
// rounded to 0.005, the drop to 0.01. The copy is that flank within the stated limit
// and bound, and nearest to that involute.
func TestWornFeedGear(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: 30, Module: 4, Pressure: geom.Radians(20), Rack: rack, Thinning: 0.16}
	root, err := g.Root()
	if err != nil {
		t.Fatal(err)
	}
	rb, zero := g.BaseRadius(), g.BaseHalfAngle()
	from, to := root.FormRoll-zero, g.Roll(g.TipRadius())-zero
	j := read(t, "feed-gear-worn")
	d := of(t, j)
	list := d.Copied()
	if len(list) != 1 || list[0].Straight {
		t.Fatalf("%d flanks", len(list))
	}
	near(t, "base pitch", list[0].BasePitch, g.BasePitch(), 0.01)
	degrees, modules := list[0].Modules(30)
	for i := range degrees {
		if degrees[i] == 20 {
			near(t, "module at 20 degrees", modules[i], 4, 0.005)
		}
	}
	readings := list[0].Readings
	first, last := readings[0].Angle, readings[len(readings)-1].Angle
	between, above := 0.0, 0.0
	for i := range 100 {
		a := first + (to-first)*float64(i)/99
		u := (a - from) / (to - from)
		loss := 0.12 * math.Pow(math.Sin(math.Pi*u), 2)
		off := math.Abs(d.True.Plane(a+d.True.BaseHalfAngle()) - (rb*(a+zero) - loss))
		if a <= last {
			between = max(between, off)
		}
		above = max(above, off)
	}
	if between > j.Gear.Copy.Within || above > list[0].Bound {
		t.Errorf("the copy is off by %.4f between the readings, up to the tip %.4f; readings to %.3f, bound %.3f", between, above, j.Gear.Copy.Within, list[0].Bound)
	}
	lines := strings.Join(d.CopyLines(), "\n")
	for _, want := range []string{"12 touches", "base pitch 11.8", "module 4.00", "worn"} {
		if !strings.Contains(lines, want) {
			t.Errorf("%q is not in:\n%s", want, lines)
		}
	}
	if w := d.CopyWarnings(); len(w) != 0 {
		t.Errorf("warnings %q", w)
	}
}

// TestSeen: a tooth of unlike flanks seen from the other side is its mirror image,
// run through from its -Y to its +Y side like any other, and seen twice itself.
func TestSeen(t *testing.T) {
	j := read(t, "feed-gear-worn")
	g := &j.Gear
	right := *g.Copy.Right
	right.HalfAngle += 0.003
	form := &profiles.Form{Name: "copied", Right: right.Shape(), Left: g.Copy.Left.Shape()}
	form.Right.Zero += 0.003
	g.Form = form
	d := of(t, j)
	other := d.True.Seen(-1)
	n := len(d.True.Outline)
	for i, p := range other.Outline {
		q := d.True.Outline[n-1-i]
		near(t, "Y", p.Y, -q.Y, 1e-12)
		near(t, "Z", p.Z, q.Z, 1e-12)
	}
	if first, last := other.Outline[0], other.Outline[n-1]; !(first.Y < 0 && last.Y > 0) {
		t.Errorf("the outline runs from %v to %v", first, last)
	}
	if a, b := d.True.Flank[0], other.Flank[0]; math.Abs(a.Y-b.Y) < 0.05 {
		t.Errorf("both flanks end at %v", a)
	}
	again := other.Seen(-1)
	for i, p := range again.Outline {
		near(t, "seen twice, Y", p.Y, d.True.Outline[i].Y, 1e-9)
	}
}
