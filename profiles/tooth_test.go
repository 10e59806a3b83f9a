package profiles

import (
	"math"
	"strings"
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
		e := map[int]Edition{1995: ISO1328of1995, 2013: ISO1328of2013}[r.Int("edition")]
		if r.Num("deviation") > 0 {
			// A deviation as a reader of the standard would grade it.
			if g := e.ProfileGrade(r.Num("deviation"), r.Num("module"), r.Num("diameter")); !g.OK || g.Grade != r.Int("grade") {
				t.Errorf("%v: %v", g, r.Fields)
			}
			continue
		}
		f, err := e.ProfileTolerance(r.Int("grade"), r.Num("module"), r.Num("diameter"))
		if err != nil {
			t.Fatal(err)
		}
		r.Near(f, r.Num("value"), 1e-9)
		if g := e.ProfileGrade(f, r.Num("module"), r.Num("diameter")); !g.OK || g.Grade != r.Int("grade") {
			t.Errorf("%g um is %v: %v", f, g, r.Fields)
		}
	}
	for _, e := range []Edition{ISO1328of1995, ISO1328of2013} {
		if g := e.ProfileGrade(90, 3, 100); g.OK || !strings.HasPrefix(g.String(), "coarser than grade 1") {
			t.Errorf("90 um has %v", g)
		}
	}
	for _, bad := range []struct {
		grade int
		m, d  float64
	}{{13, 3, 100}, {-1, 3, 100}, {8, 0.1, 100}, {8, 3, 1}, {8, math.NaN(), 100}} {
		for _, e := range []Edition{ISO1328of1995, ISO1328of2013} {
			if _, err := e.ProfileTolerance(bad.grade, bad.m, bad.d); err == nil {
				t.Errorf("%v: no error for %+v", e, bad)
			}
		}
	}
}
