package design

import (
	"fmt"
	"math"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

const goodJobs = "../../testdata/jobs/good/"

func read(t testing.TB, name string) *job.Job {
	t.Helper()
	j, err := job.Read(goodJobs + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// of works a job out.
func of(t testing.TB, j *job.Job) *Design {
	t.Helper()
	d, err := Of(j)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6f, want %.6f", what, got, want)
	}
}

// TestDemoSizes: the demo's sizes by hand. 54 teeth of 8 DP: module 3.175,
// radius 85.725, addendum 1 and dedendum 1.157 modules.
func TestDemoSizes(t *testing.T) {
	d := of(t, job.Demo()).Sizes
	root := 85.725 - 1.157*3.175
	for _, tt := range []struct {
		name      string
		got, want float64
	}{
		{"seat 0.2 under the root", d.Seat, root - 0.2},
		{"floor 6.25 + 0.05 under the seat", d.Floor, root - 0.2 - 6.3},
		{"bottom of the insert", d.Bottom, root - 0.2 - 6.25},
		{"half the pocket, body 8.4 and play 0.2", d.PocketHalf, 4.3},
		{"half the floor, 5 wide at the seat", d.FloorHalf, 2.5 + 6.3*math.Tan(geom.Radians(7.5))},
		{"insert, face 32 and 1 over at each end", d.Length, 34},
		{"insert, 16 less 0.5 faced off", d.Height, 15.5},
		{"its outer end in the gear", d.InsertTop, root - 0.2 - 6.25 + 15.5},
		{"tip", d.TipTop, 85.725 + 3.175},
		{"rim", d.RimInner, 69},
		{"stub 2.5 over the root", d.StubTop, root + 2.5},
	} {
		near(t, tt.name, tt.got, tt.want, 1e-9)
	}
}

// TestEvenLean: with the error laid evenly the target is thinner by exactly
// half the error that the facets reach, along the flank's normals.
func TestEvenLean(t *testing.T) {
	for _, name := range []string{"demo", "module4-mm", "pinion12"} {
		j := read(t, name)
		if j.Facets.Tolerance == 0 {
			j.Facets.Tolerance = 0.02 // the default differs between the leans
		}
		proud := of(t, j)
		j.Facets.Lean = job.Even
		both := of(t, j)
		even := both.Flanks
		near(t, name+": half of the error reached", even.Allowance, max(even.Right.GreatestError, even.Left.GreatestError)/2, 1e-9)
		near(t, name+": limit", even.Limit, even.Tolerance+even.Allowance, 1e-12)
		if len(even.Right.Rolls) > len(proud.Flanks.Right.Rolls) {
			t.Errorf("%s: %d facets when even, %d when proud", name, len(even.Right.Rolls), len(proud.Flanks.Right.Rolls))
		}
		g := j.Gear.Gear
		thin := both.Target
		if proud.Target.Gear != g {
			t.Errorf("%s: when proud the target is not the tooth itself", name)
		}
		// The involutes of one base circle are parallel: along the normal at
		// roll phi they are r_b times the turn between their origins apart.
		rb := g.BaseRadius()
		near(t, name+": offset of the flank", rb*(g.BaseHalfAngle()-thin.BaseHalfAngle()), even.Allowance, 1e-9)
		// The same measured on the outlines.
		for _, p := range thin.Flank {
			r := p.Norm()
			if r < thin.Root.FormRadius+0.1*g.Module || r > g.TipRadius()-0.1*g.Module {
				continue
			}
			near(t, fmt.Sprintf("%s: offset at radius %.3f", name, r), geom.Distance(p, both.True.Flank), even.Allowance, 3e-4)
		}
	}
}

// TestZeroHeights: Z0 against the highest point of the standing teeth.
func TestZeroHeights(t *testing.T) {
	for _, name := range []string{"demo", "two-missing", "three-missing", "apart", "pinion17"} {
		j := read(t, name)
		j.Gear.NeighbourThinning += 0.05
		j.Gear.Zero = job.ZeroAxis
		near(t, name+": axis", of(t, j).Shift, 0, 0)
		j.Gear.Zero = job.ZeroTip
		near(t, name+": tip circle", of(t, j).Shift, j.Gear.TipRadius(), 1e-12)
		j.Gear.Zero = job.ZeroNeighbours
		g := j.Gear.Standing()
		line, err := g.Tooth()
		if err != nil {
			t.Fatal(err)
		}
		top := math.Inf(-1)
		for k := -3; k <= 3; k++ {
			at := j.Gear.Places[0] + float64(k)
			missing := false
			for _, p := range j.Gear.Places {
				missing = missing || math.Abs(p-at) < 0.25
			}
			if missing {
				continue
			}
			turn := geom.Turn(at * g.Pitch())
			for _, p := range line {
				// Level with its mirror image, so on either side of the run.
				if z := turn.Apply(p).Z; math.Abs(at) < 2.6 {
					top = max(top, z)
				}
			}
		}
		near(t, name+": neighbours", of(t, j).Shift, top, 1e-3)
	}
}

// TestTipCuts: n flats over the tip land stand out by r (1/cos(psi/n) - 1).
func TestTipCuts(t *testing.T) {
	j := job.Demo()
	d := of(t, j)
	g := d.Target
	psi := g.HalfAngle(g.TipRadius())
	for n := 1; n < 5; n++ {
		a := geom.Polar(g.TipRadius()/math.Cos(psi/float64(n)), 0)
		near(t, "corner of two flats", d.TipSag(n), a.Z-g.TipRadius(), 1e-9)
	}
	n := d.TipCuts()
	if d.TipSag(n) > 0.02 || n > 1 && d.TipSag(n-1) < 0.003 {
		t.Errorf("%d cuts leave %.4f mm", n, d.TipSag(n))
	}
	j.Index.Device = job.Head
	if d.TipCuts() != 1 {
		t.Error("a head cannot turn freely, yet the tip has several cuts")
	}
}

// TestBearing: the shoulders bear where the tooth's own outline, looked at point
// by point, reaches the seat; a seat that lies as much lower as stays open lets
// all of it bear.
func TestBearing(t *testing.T) {
	for _, name := range []string{"demo", "pinion12", "pinion17", "module4-mm"} {
		d := of(t, read(t, name))
		g, s := d.Job.Gear.Gear, &d.Sizes
		line, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		out := 0.0
		for _, p := range geom.Spaced(line, 1e-3) {
			if p.Z >= s.Seat {
				out = max(out, p.Y)
			}
		}
		near(t, name+": bears to", s.BearHalf, min(s.BodyHalf, out), 2e-3)
		if (s.BearHalf < s.BodyHalf) != (s.FootGap > 0) {
			t.Errorf("%s: bears to %.3f of %.3f, and %.3f stay open", name, s.BearHalf, s.BodyHalf, s.FootGap)
		}
		load, err := d.LoadCase()
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+": the estimate's body", load.Body, 2*s.BearHalf, 0)
		low := read(t, name)
		low.Slot.SeatBelow += s.FootGap + 1e-6
		if s := of(t, low).Sizes; s.BearHalf != s.BodyHalf {
			t.Errorf("%s: on a seat %.3f lower it bears to %.3f of %.3f", name, d.Sizes.FootGap, s.BearHalf, s.BodyHalf)
		}
	}
}
