package estimate

import (
	"math"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// brazed is a tooth built up on a module 4 gear, by the numbers.
func brazed(stub float64) BondCase {
	rack, _ := profiles.RackByName("iso-a")
	g := profiles.Gear{Teeth: 44, Module: 4, Pressure: geom.Radians(20), Rack: rack}
	return BondCase{Duty: Duty{Tooth: g, Neighbours: g, Face: 36, Torque: 60, Rpm: 30, Service: 1.5, RimUnder: 15, Casting: profiles.GreyIron}, Stub: stub, Bead: profiles.Bronze}
}

func item(t *testing.T, r LoadResult, key string) LoadItem {
	t.Helper()
	for _, i := range r.Items {
		if i.Key == key {
			return i
		}
	}
	t.Fatalf("no item %s", key)
	return LoadItem{}
}

// TestBondIsLewis: a joint at or below the weakest section is bent as Lewis's beam
// is there: his stress is that of the same parabola, F / (b m Y).
func TestBondIsLewis(t *testing.T) {
	c := brazed(0)
	r, err := c.Load()
	if err != nil {
		t.Fatal(err)
	}
	f, err := FormFactorAt(c.Tooth, c.Tooth.TipRadius())
	if err != nil {
		t.Fatal(err)
	}
	within(t, "pull in the bond", item(t, r, "bond.tension").Value, LewisStress(r.Design, 4, 36, f.Y), 1e-9)
	// By hand: 60 N m at 88 mm is 681.8 N, x 1.5, x Barth's (3 + v)/3 at v = 0.2765 m/s.
	v := 2 * math.Pi * 0.088 * 30 / 60
	within(t, "force", r.Design, 60/0.088*1.5*(3+v)/3, 1e-9)
	within(t, "shear", item(t, r, "bond.shear").Value, r.Design/(36*f.Thickness), 1e-9)
	within(t, "bond, nothing stated", item(t, r, "bond.tension").Allowable, 138.0/4, 1e-9) // ASTM A48 No. 20; a quarter: own rule
}

// TestBondHigher: a joint higher up the tooth is narrower, and its arm shorter: held
// to a beam cut out of the outline by hand, and to the load's line drawn from the
// tip along its normal.
func TestBondHigher(t *testing.T) {
	last := math.Inf(1)
	for _, stub := range []float64{2.5, 4, 6, 8} {
		c := brazed(stub)
		j, err := c.Joint()
		if err != nil {
			t.Fatal(err)
		}
		g := c.Tooth
		// The flank at that radius, by the involute's own half angle.
		r := g.RootRadius() + stub
		within(t, "width", j.Thickness, 2*r*math.Sin(g.HalfAngle(r)), 3e-4) // the outline is of chords
		// The normal at the tip corner touches the base circle; where it crosses the
		// tooth's middle, found by walking along it.
		tip := geom.Polar(g.TipRadius(), g.HalfAngle(g.TipRadius()))
		lean := math.Acos(g.BaseRadius() / g.TipRadius()) // pressure angle at the tip
		along := tip.Angle() - lean                       // the radius to the point of touch
		foot := geom.Polar(g.BaseRadius(), along)
		dir := tip.Sub(foot)
		vertex := tip.Z - tip.Y*dir.Z/dir.Y
		within(t, "arm", j.Arm, vertex-r*math.Cos(g.HalfAngle(r)), 1e-4)
		res, err := c.Load()
		if err != nil {
			t.Fatal(err)
		}
		want := res.Design * j.Arm / (36 * j.Thickness * j.Thickness * j.Thickness / 12) * j.Thickness / 2 // M y / I
		got := item(t, res, "bond.tension").Value
		within(t, "pull", got, want, 1e-9)
		if got > last {
			t.Errorf("stub %g: the pull grows to %g", stub, got)
		}
		last = got
	}
}

// TestBondStated: stated strengths stand in place of the weakest, in proportion; too
// much load speaks against the tooth.
func TestBondStated(t *testing.T) {
	c := brazed(0)
	weak, err := c.Load()
	if err != nil {
		t.Fatal(err)
	}
	c.Strength, c.Bond, c.CastingTensile = 420, 60, 207
	r, err := c.Load()
	if err != nil {
		t.Fatal(err)
	}
	within(t, "bead", item(t, r, "tooth.lewis").Allowable, 2*item(t, weak, "tooth.lewis").Allowable, 1e-9)
	within(t, "bond", item(t, r, "bond.tension").Allowable, 60, 1e-9)
	within(t, "bond in shear", item(t, r, "bond.shear").Allowable, 30, 1e-9)
	if r.Verdict != "looks strong enough" {
		t.Errorf("verdict %q", r.Verdict)
	}
	c.Torque = 6000
	if r, err = c.Load(); err != nil || r.Verdict != "do not repair" {
		t.Errorf("100 times the load: %q, %v", r.Verdict, err)
	}
	c.RimUnder = 4
	if r, err = c.Load(); err != nil || !strings.Contains(strings.Join(r.Warnings, "\n"), "rim under the root is 0.44") {
		t.Errorf("thin rim: %q, %v", r.Warnings, err)
	}
	for _, spoil := range []func(*BondCase){
		func(c *BondCase) { c.Stub = -1 }, func(c *BondCase) { c.Stub = 10 }, func(c *BondCase) { c.RimUnder = 0 },
		func(c *BondCase) { c.Torque = 0 }, func(c *BondCase) { c.Bond = math.NaN() }, func(c *BondCase) { c.Face = 0 },
	} {
		bad := brazed(0)
		spoil(&bad)
		if _, err := bad.Load(); err == nil {
			t.Errorf("taken: %+v", bad)
		}
	}
}
