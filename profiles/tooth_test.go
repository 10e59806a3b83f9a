package profiles

import (
	"math"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

func TestInvoluteTable(t *testing.T) {
	for _, r := range published.Table(t, "involute.csv") {
		a := geom.Radians(r.Num("degrees"))
		r.Near(Inv(a), r.Num("value"), 5e-9)
		r.Near(InvInverse(r.Num("value")), a, 1e-7)
	}
}

func TestToothTable(t *testing.T) {
	for _, r := range published.Table(t, "tooth.csv") {
		rack, _ := RackByName(r.Fields["rack"])
		g := Gear{Teeth: r.Int("teeth"), Module: r.Num("module"), Pressure: geom.Radians(r.Num("degrees")), Rack: rack}
		var got float64
		switch r.Fields["quantity"] {
		case "outside":
			got = 2 * g.TipRadius()
		case "tip":
			got = 2 * g.TipRadius() * g.HalfAngle(g.TipRadius())
		case "undercut":
			// A rack whose straight flank ends at its addendum: the count at
			// which the last contact reaches the base circle.
			g.Rack.Dedendum, g.Rack.Fillet = g.Rack.Addendum, 0
			want := r.Num("value")
			for _, z := range []int{int(math.Floor(want)), int(math.Ceil(want))} {
				g.Teeth = z
				root, err := g.Root()
				if err != nil {
					t.Fatal(err)
				}
				if root.Undercut != (float64(z) < want) {
					t.Errorf("%d teeth: undercut %v: %v", z, root.Undercut, r.Fields)
				}
			}
			// The same between whole teeth: the count grows with the rack's
			// height, so the height at which a tooth becomes undercut tells it.
			g.Teeth = int(math.Ceil(want))
			low, high := 0.0, 2*g.Rack.Addendum
			for range 60 {
				g.Rack.Dedendum = (low + high) / 2
				root, err := g.Root()
				if err != nil {
					t.Fatal(err)
				}
				if root.Undercut {
					high = g.Rack.Dedendum
				} else {
					low = g.Rack.Dedendum
				}
			}
			got = float64(g.Teeth) * g.Rack.Addendum / high
		}
		r.Near(got, r.Num("value"), r.Num("tolerance"))
	}
}

func TestAccuracyTable(t *testing.T) {
	for _, r := range published.Table(t, "accuracy.csv") {
		f, err := ProfileTolerance(r.Int("grade"), r.Num("module"), r.Num("diameter"))
		if err != nil {
			t.Fatal(err)
		}
		r.Near(f, r.Num("value"), 1e-9)
		if g, ok := ProfileGrade(f, r.Num("module"), r.Num("diameter")); !ok || g != r.Int("grade") {
			t.Errorf("%g um is grade %d %v: %v", f, g, ok, r.Fields)
		}
	}
	if _, ok := ProfileGrade(90, 3, 100); ok {
		t.Error("90 um has a grade")
	}
	for _, bad := range []struct {
		grade int
		m, d  float64
	}{{13, 3, 100}, {-1, 3, 100}, {8, 0.1, 100}, {8, 3, 1}, {8, math.NaN(), 100}} {
		if _, err := ProfileTolerance(bad.grade, bad.m, bad.d); err == nil {
			t.Errorf("no error for %+v", bad)
		}
	}
}
