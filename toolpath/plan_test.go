package toolpath

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// plans makes the plan of every good job.
func plans(t *testing.T) map[string]*Plan {
	t.Helper()
	paths, err := filepath.Glob("../testdata/jobs/good/*.toml")
	if err != nil || len(paths) < 10 {
		t.Fatalf("%d jobs, %v", len(paths), err)
	}
	all := map[string]*Plan{}
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".toml")
		if testing.Short() && name != "demo" {
			continue
		}
		j, err := job.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		p, err := makeOf(j)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		all[name] = p
	}
	return all
}

// TestPasses: every pass begins and ends at the safe height with X and Y
// known before the cutter goes down, and no number is none.
func TestPasses(t *testing.T) {
	for name, p := range plans(t) {
		last := 0
		for i := range p.Programs {
			prog := &p.Programs[i]
			if prog.Number <= last {
				t.Errorf("%s: program %d after %d", name, prog.Number, last)
			}
			last = prog.Number
			if prog.Skipped != "" {
				continue
			}
			if prog.Passes() == 0 || len(prog.Zero) == 0 || len(prog.Clamp) == 0 {
				t.Errorf("%s %s: %d passes, zero %q, clamp %q", name, prog.File(), prog.Passes(), prog.Zero, prog.Clamp)
			}
			at := Pos{math.NaN(), math.NaN(), prog.Safe}
			for _, op := range prog.Ops {
				if op.Cutter == nil || !(op.Rpm > 0) || !(op.Feed+op.Plunge > 0) {
					t.Errorf("%s %s, %s: cutter %v, %g rev/min, feed %g, plunge %g", name, prog.File(), op.Name, op.Cutter, op.Rpm, op.Feed, op.Plunge)
				}
				for _, pass := range op.Passes {
					if at.Z < prog.Safe-geom.Eps {
						t.Errorf("%s %s, %s: begins at %.4f, safe is %.4f", name, prog.File(), pass.Name, at.Z, prog.Safe)
					}
					at = walk(t, name+" "+prog.File()+", "+pass.Name, &pass, prog.Safe, at)
				}
			}
			if at.Z < prog.Safe-geom.Eps {
				t.Errorf("%s %s: ends at %.4f, safe is %.4f", name, prog.File(), at.Z, prog.Safe)
			}
		}
	}
}

// walk goes through a pass's moves and returns where it ends.
func walk(t *testing.T, what string, pass *Pass, safe float64, at Pos) Pos {
	t.Helper()
	for i, m := range pass.Moves {
		if m.Kind == Stop || m.Kind == Note {
			continue
		}
		to := m.To
		if math.IsNaN(to.X) {
			to.X = at.X
		}
		if math.IsNaN(to.Y) {
			to.Y = at.Y
		}
		if math.IsNaN(to.Z) {
			to.Z = at.Z
		}
		for _, v := range []float64{to.X, to.Y, to.Z, m.Feed, m.Bottom, m.Peck, pass.Angle} {
			if math.IsInf(v, 0) || math.IsNaN(v) && to.Z < safe-geom.Eps {
				t.Errorf("%s, move %d: %+v goes down at a place not known", what, i, m)
			}
		}
		if m.Kind == Feed && !(m.Feed > 0) {
			t.Errorf("%s, move %d: feed %g", what, i, m.Feed)
		}
		if m.Kind == Hole && !(m.Bottom < m.To.Z) {
			t.Errorf("%s, move %d: a hole from %g to %g", what, i, m.To.Z, m.Bottom)
		}
		at = to
	}
	return at
}

// TestFacetsAsPlanned: each facet is the tangent of its roll, both flanks of
// every place that are still to be cut have the set, and what is left keeps the
// limit.
func TestFacetsAsPlanned(t *testing.T) {
	for name, p := range plans(t) {
		g := p.Target
		count := map[[2]float64]int{}
		for _, f := range p.Facets {
			count[[2]float64{f.Place, float64(f.Side)}]++
			// The distance from the middle, on whichever side.
			want, near := g.BaseRadius()*f.Roll, 1e-9
			if g.Form != nil {
				// The flank's outline, turned, goes no farther than the cutter's side.
				seen := g.Seen(f.Side)
				foot, err := seen.Foot()
				if err != nil {
					t.Fatal(err)
				}
				want, near = 0, 2*profiles.OutlineTolerance
				for _, q := range seen.Flank {
					if q.Norm() >= foot.Norm() {
						want = max(want, geom.Turn(f.Roll-seen.BaseHalfAngle()).Apply(q).Y)
					}
				}
			}
			if math.Abs(f.Y-want) > near {
				t.Errorf("%s: facet %d at Y %.6f, the flank's tangent at %.6f", name, f.Number, f.Y, want)
			}
			// On the right flank the gear stands at phi - psi_b less its place.
			want = float64(f.Side)*(f.Roll-g.Seen(f.Side).BaseHalfAngle()) - f.Place*g.Pitch()
			if d := math.Remainder(f.Angle-want, 2*math.Pi); math.Abs(d) > 1e-9 {
				t.Errorf("%s: facet %d at %.6f deg, want %.6f", name, f.Number, geom.Degrees(f.Angle), geom.Degrees(want))
			}
			if f.Left > p.Flanks.Limit+1e-6 && len(p.FileThis) == 0 {
				t.Errorf("%s: facet %d leaves %.5f, limit %.5f", name, f.Number, f.Left, p.Flanks.Limit)
			}
		}
		for _, place := range p.Job.Gear.Places {
			want := map[int]int{1: len(p.Flanks.Right.Rolls), -1: len(p.Flanks.Left.Rolls)}
			if only := p.Job.Facets.Only; only != 0 {
				want[-only] = 0 // that flank has been cut
			}
			if r, l := count[[2]float64{place, 1}], count[[2]float64{place, -1}]; r != want[1] || l != want[-1] {
				t.Errorf("%s, place %g: %d and %d facets, want %d and %d", name, place, r, l, want[1], want[-1])
			}
		}
	}
}

// TestSamePlan: the same job gives the same plan.
func TestSamePlan(t *testing.T) {
	a, err := makeOf(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	b, err := makeOf(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a.Programs, b.Programs) || !reflect.DeepEqual(a.Facets, b.Facets) {
		t.Error("planned again the demo has another plan")
	}
}

// TestReasonsHavePlaces: a reason about a key says where a file gives it, or
// where its table begins.
func TestReasonsHavePlaces(t *testing.T) {
	text := string(job.DemoText())
	at := func(line string) int { return strings.Count(text[:strings.Index(text, line)], "\n") + 1 }
	j, err := job.Decode("press.toml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	j.Machine.TravelX = [2]float64{-10, 20}
	_, err = makeOf(j)
	if want := fmt.Sprintf("press.toml:%d:12: machine.travel_x: ", at("travel_x")); err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("error %v, want %s", err, want)
	}
	if n := strings.Count(err.Error(), "10-slot.nc"); n > 2 {
		t.Errorf("one program's travel is told %d times", n)
	}
	for key, want := range map[string]string{
		"gear.teeth":     fmt.Sprintf("press.toml:%d:9", at("teeth = 54")),
		"insert.body":    fmt.Sprintf("press.toml:%d:8", at("body = 8.4")),
		"cutter.end4":    fmt.Sprintf("press.toml:%d:1", at("[cutter.end4]")),
		"flush.cutter":   "",
		"a neck of 2 mm": "",
	} {
		if got := j.Where(key); got != want {
			t.Errorf("%s stands at %q, want %q", key, got, want)
		}
	}
	if got := job.Demo().Where("gear.teeth"); got != "" {
		t.Errorf("the built-in job has no file, but a place %q", got)
	}
}

// TestNoStops: without stops the trial cuts are left out with a reason; the
// rest is planned.
func TestNoStops(t *testing.T) {
	for _, step := range []int{0, 4} {
		j := job.Demo()
		j.Machine.Stops, j.Machine.LengthComp, j.Fit.Step = false, true, step
		p, err := makeOf(j)
		if err != nil {
			t.Fatal(err)
		}
		for _, prog := range p.Programs {
			want := prog.Purpose == "trial" || prog.Purpose == "fit" && step == 0
			if got := strings.Contains(prog.Skipped, "machine.stops"); got != want {
				t.Errorf("step %d, %s: skipped %q", step, prog.File(), prog.Skipped)
			}
		}
	}
}

// TestReachesSmaller: the cutter that would reach what is to be filed is
// thinner than all of the job's that could not.
func TestReachesSmaller(t *testing.T) {
	for name, p := range plans(t) {
		least := math.Inf(1)
		for _, c := range endMills(p.Job, p.Job.Facets.Cutters...) {
			least = min(least, c.Diameter)
		}
		for _, f := range p.FileThis {
			if f.Reaches >= least {
				t.Errorf("%s: a cutter of %g mm is to reach what one of %g mm did not", name, f.Reaches, least)
			}
		}
	}
}

// TestSettings: what is to be set by hand is said in full and in brief where
// the gear moves, and nowhere else: teeth side by side often share an angle.
func TestSettings(t *testing.T) {
	devices := map[string]string{
		"rotary": "device = \"rotary\"",
		"head":   "device = \"head\"\nratio = 40\ncircles = [20, 27]",
		"scale":  "device = \"head\"\nratio = 90\ngraduation = \"0.05 deg\"",
		"teeth":  "device = \"teeth\"\nhalf_tooth = true",
	}
	text, err := os.ReadFile("../testdata/jobs/good/three-missing.toml")
	if err != nil {
		t.Fatal(err)
	}
	for name, device := range devices {
		j, err := job.Decode(name, []byte(strings.Replace(string(text), devices["rotary"], device, 1)), nil)
		if err != nil {
			t.Fatal(err)
		}
		// Minded in the head of the gear's programs, and in the way of none.
		j.KeepOuts = append(j.KeepOuts, job.KeepOut{Name: "chuck", Setup: "gear", X: [2]float64{-900, -800}, Y: [2]float64{-60, 60}, Z: [2]float64{-90, 900}})
		p, err := Make(designOf(t, j))
		if err != nil {
			t.Fatal(name, err)
		}
		said := 0
		for i := range p.Programs {
			at, first := 0.0, true
			for _, op := range p.Programs[i].Ops {
				for _, pass := range op.Passes {
					moves := math.Abs(pass.Angle-at) > geom.Eps
					at = pass.Angle
					if p.Programs[i].Setup == InsertSetup || name == "rotary" {
						moves = false
					}
					if (pass.Setting != "") != moves || (pass.Brief != "") != moves {
						t.Errorf("%s %s, %s at %g deg: %q, %q", name, p.Programs[i].File(), pass.Name, geom.Degrees(pass.Angle), pass.Setting, pass.Brief)
					}
					if strings.Contains(pass.Setting, "leave it") && !first {
						t.Errorf("%s %s, %s: %q", name, p.Programs[i].File(), pass.Name, pass.Setting)
					}
					first = first && !moves
					said += len(pass.Brief)
				}
			}
		}
		if (said > 0) != (name != "rotary") {
			t.Errorf("%s: %d letters of settings", name, said)
		}
	}
}

// written is all there is of a program.
func written(p *Program) string { return fmt.Sprintf("%+v", *p) }

// TestRefused: a repair that cannot be made is no plan.
func TestRefused(t *testing.T) {
	for name, change := range map[string]func(*job.Job){
		"a head whose holes are too far apart": func(j *job.Job) {
			j.Index = job.Index{Device: job.Head, Ratio: 1, Circles: []int{15}}
		},
	} {
		j := job.Demo()
		change(j)
		p, err := Make(designOf(t, j))
		if _, refused := err.(*Refusal); !refused || p != nil {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// TestFrom: what is left of a program is the passes from one on, as they were
// but for the setting of the first, and takes less and less time.
func TestFrom(t *testing.T) {
	for name, plan := range plans(t) {
		for i := range plan.Programs {
			prog := &plan.Programs[i]
			var all []Pass
			for _, op := range prog.Ops {
				all = append(all, op.Passes...)
			}
			was := written(prog)
			minutes := prog.Minutes(plan.Job) + 1e-9
			for n := 1; n <= len(all); n++ {
				rest := prog.From(n)
				var left []Pass
				for _, op := range rest.Ops {
					left = append(left, op.Passes...)
				}
				want := append([]Pass(nil), all[n-1:]...)
				if want[0].Angle != 0 {
					want[0].Setting = want[0].Anew
				}
				if !reflect.DeepEqual(left, want) {
					t.Fatalf("%s %s from pass %d: %d passes of %d", name, prog.File(), n, len(left), len(all))
				}
				// A setting anew may be a stop where there was none.
				if m := rest.Minutes(plan.Job); m > minutes+plan.Job.Machine.SpinUp/60 {
					t.Errorf("%s %s from pass %d: %g minutes, %g from the one before", name, prog.File(), n, m, minutes)
				} else {
					minutes = m
				}
			}
			if written(prog) != was {
				t.Errorf("%s %s has changed", name, prog.File())
			}
		}
	}
}

// TestStatedSpeeds: what a cutter states is written as it is, table speeds in
// round figures, and neither slower than the spindle turns.
func TestStatedSpeeds(t *testing.T) {
	for _, tt := range []struct {
		cutter           int
		rpm, feed, least float64
		want             [2]float64
	}{
		{0, 1805, 125, 0, [2]float64{1805, 125}},
		{0, 8, 1.25, 1, [2]float64{8, 1.25}},
		{0, 0, 125, 0, [2]float64{1290, 125}},     // 1293 by the table
		{3, 0, 15, 775, [2]float64{775, 15}},      // 776 by the table, not less than the machine turns
		{0, 9000, 250, 0, [2]float64{5000, 130}},  // the machine turns 5000: the feed falls with it, 138.9
		{0, 1805, 9000, 0, [2]float64{1805, 600}}, // the machine's greatest feed
	} {
		j := job.Demo()
		j.Machine.MinRpm = tt.least
		c := &j.Cutters[tt.cutter]
		c.Rpm, c.Feed = tt.rpm, tt.feed
		p, err := makeOf(j)
		if err != nil {
			t.Errorf("%+v: %v", tt, err)
			continue
		}
		seen := 0
		for _, prog := range p.Programs {
			for _, op := range prog.Ops {
				if op.Cutter.Number != c.Number {
					continue
				}
				seen++
				if got := [2]float64{op.Rpm, op.Feed}; got != tt.want {
					t.Errorf("%s: %g rev/min, %g mm/min, at least %g: got %v, want %v", prog.File(), tt.rpm, tt.feed, tt.least, got, tt.want)
				}
			}
		}
		if seen == 0 {
			t.Errorf("%+v: the cutter does no work", tt)
		}
	}
}

// TestRunNames: a pass over a run of teeth side by side names them all.
func TestRunNames(t *testing.T) {
	j := job.Demo()
	p := &planner{Plan: Plan{Design: &design.Design{Job: j}}}
	for _, c := range []struct {
		places, run []float64
		want        string
	}{
		{[]float64{0}, []float64{0}, ""},
		{[]float64{0, 6}, []float64{6}, ", tooth 2"},
		{[]float64{-0.5, 0.5}, []float64{-0.5, 0.5}, ", teeth 1 and 2"},
		{[]float64{-1, 0, 1}, []float64{-1, 0, 1}, ", teeth 1 to 3"},
	} {
		j.Gear.Places = c.places
		if got := p.runName(c.run); got != c.want {
			t.Errorf("%v of %v: %q, want %q", c.run, c.places, got, c.want)
		}
	}
	if a := p.angleOf(0); math.Signbit(a) {
		t.Error("the angle of place 0 is minus 0")
	}
}

// TestNoEndFaces: an insert as long as the face has no ends to mill, and its
// program does not speak of them.
func TestNoEndFaces(t *testing.T) {
	j := job.Demo()
	j.Insert.Over = 0
	plan, err := makeOf(j)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range plan.Programs {
		if text := p.Title + p.Ops[0].Name + strings.Join(p.Clamp, " "); p.Purpose == "flush" && (strings.Contains(text, "end") || strings.Contains(text, "beside the faces")) {
			t.Error(text)
		}
	}
}

// TestLeastLift: one height serves all programs, in whole mm.
func TestLeastLift(t *testing.T) {
	plan, err := makeOf(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	got, most := plan.LeastLift(), 0.0
	for i := range plan.Programs {
		most = max(most, plan.Programs[i].LeastLift())
	}
	if got != math.Trunc(got) || got < most || got >= most+1 {
		t.Errorf("%g, the most of all programs is %g", got, most)
	}
}

// makeOf plans a job.
func makeOf(j *job.Job) (*Plan, error) {
	d, err := design.Of(j)
	if err != nil {
		return nil, err
	}
	return Make(d)
}

// designOf works a job out.
func designOf(t *testing.T, j *job.Job) *design.Design {
	t.Helper()
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A trial that slid with its first cut does not say how loose it is: the plan
// says what to measure, unless the slot has been measured already.
func TestFirstStepSlid(t *testing.T) {
	warned := func(j *job.Job) bool {
		d, err := design.Of(j)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(d)
		if err != nil {
			t.Fatal(err)
		}
		return slices.ContainsFunc(p.Warnings, func(w string) bool { return strings.Contains(w, "slid at once") })
	}
	j := job.Demo()
	if warned(j) {
		t.Error("warned of a fourth step")
	}
	if j.Fit.Step = 1; !warned(j) {
		t.Error("not warned of a first step")
	}
	if j.Fit.Step, j.Fit.Width = 0, 4.99; warned(j) {
		t.Error("warned of a measured slot")
	}
}
