package design

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// The screws' least diameter is the thread's core, or a point ground thinner.
func TestLoadScrews(t *testing.T) {
	j := job.Demo()
	c := of(t, j).loadCase()
	m5, _ := profiles.ThreadByName("M5")
	if c.Screws != 1 || math.Abs(c.Screw-min(4, m5.Minor())) > 1e-9 {
		t.Errorf("%d of %.3f", c.Screws, c.Screw)
	}
	j.Lock.Point = 3
	if c = of(t, j).loadCase(); c.Screw != 3 {
		t.Errorf("a point of 3: %.3f", c.Screw)
	}
}

// Beside a lone slot the metal reaches to the root circle, by Pythagoras;
// between two slots a pitch apart only to the other one.
func TestWallBeside(t *testing.T) {
	j := job.Demo()
	s := of(t, j).Sizes
	lone := of(t, j).WallBeside()
	if y := lone + s.FloorHalf; math.Abs(math.Hypot(y, s.Floor)-j.Gear.RootRadius()) > 1e-9 {
		t.Errorf("a lone slot has %.3f", lone)
	}
	j.Gear.Places = []float64{-0.5, 0.5}
	two := of(t, j).WallBeside()
	// The floor's corners are nearest: between the middles of both floors,
	// 2 Floor sin(tau/2) apart, less both half floors turned.
	half := j.Gear.Pitch() / 2
	want := 2 * (s.Floor*math.Sin(half) - s.FloorHalf*math.Cos(half))
	if math.Abs(two-want) > 1e-9 || two >= lone {
		t.Errorf("between two slots %.4f, want %.4f", two, want)
	}
	// Far apart they do not matter.
	j.Gear.Places = []float64{0, 27}
	if far := of(t, j).WallBeside(); math.Abs(far-lone) > 1e-9 {
		t.Errorf("opposite slots: %.3f, alone %.3f", far, lone)
	}
}

// A tight middle that is asked for is kept; where none is asked for it is the
// greatest the casting bears with the job's own section, lock and load, and
// then no verdict stands against it.
func TestTight(t *testing.T) {
	j := job.Demo()
	d := of(t, j)
	best := d.Tight()
	f, err := d.Fitted()
	if err != nil {
		t.Fatal(err)
	}
	want, err := f.DefaultTight()
	if err != nil || best != want || !(best > 0) {
		t.Errorf("%.3f, the joint allows %.3f, %v", best, want, err)
	}
	if why := d.Against(); len(why) > 0 {
		t.Errorf("its own default: %q", why)
	}
	j.Fit.TightMiddle = 0.05
	d = of(t, j)
	if got := d.Tight(); got != 0.05 {
		t.Errorf("asked for 0.05, got %.3f", got)
	}
	if why := d.Against(); len(why) != 1 || !strings.Contains(why[0], "fit.tight_middle may be 0.02") || d.FitWarning() == "" {
		t.Errorf("0.05 with a screw's hole in the floor: %q", why)
	}
	j.Load.Torque *= 20
	if why := of(t, j).Against(); len(why) < 3 {
		t.Errorf("twenty times the load as well: %q", why)
	}
}

// A tooth whose flanks were cut too deep bears its load as one thinned by as much
// does: by hand, a flank off by c along the normal thins it by c r_p/r_b. One that
// stands too thick is cut again, and counts as planned.
func TestLoadOfCutTooth(t *testing.T) {
	bends := func(change func(*job.Job)) float64 {
		j := job.Demo()
		change(j)
		l, err := of(t, j).Loaded()
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range l.Items {
			if i.Key == "tooth.lewis" {
				return i.Value
			}
		}
		t.Fatalf("no bending of the tooth among %v", l.Items)
		return 0
	}
	off := bends(func(j *job.Job) { j.Facets.Off = [2]float64{-0.1, 0.15} })
	thin := bends(func(j *job.Job) { j.Gear.Thinning += 0.1 / math.Cos(j.Gear.Pressure) })
	if sound := bends(func(*job.Job) {}); math.Abs(off-thin) > 1e-9*thin || off < 1.01*sound {
		t.Errorf("cut too deep %.3f MPa, thinned as much %.3f, sound %.3f", off, thin, sound)
	}
}

// plainJob is a job of defaults alone: the gear, and cutters that suit it.
func plainJob(t *testing.T, teeth int, module, pressure, rim float64, fit string) *Design {
	t.Helper()
	gear := fmt.Sprintf("teeth = %d\nmodule = %g\npressure_angle = %g\nface = 30\nbore = 10\n", teeth, module, pressure)
	if rim > 0 {
		gear += fmt.Sprintf("rim_inner = %g\n", rim)
	}
	m := module
	j, err := job.Decode("plain.toml", []byte(fmt.Sprintf("format = 1\nunits = \"mm\"\n[gear]\n%s%s[cutter]\n"+
		"end4 = { number = 1, diameter = %g, flute_length = %g, stick_out = %g }\nend2 = { number = 2, diameter = %g, flute_length = %g, stick_out = %g }\n"+
		"dove = { number = 3, kind = \"dovetail\", diameter = %g, angle = 15, flank_height = %g, neck_length = %g, stick_out = %g }\n",
		gear, fit, 1.3*m, 5*m, 8*m, 0.6*m, 5*m, 8*m, 1.4*m, 2.2*m, 5*m, 9*m)), nil)
	if err != nil {
		t.Fatal(err)
	}
	return of(t, j)
}

// With defaults alone nothing speaks against letting the insert in, and its tight
// middle grips for sure: the trial cuts stand so near that the play which the one
// that slid may have, and the roughness of the flanks, leave some of it. So too
// where the tight middle is given and the casting bears it, and where it is given
// that the trial cuts are far apart, that is said.
func TestDefaultsGrip(t *testing.T) {
	for _, module := range []float64{1.5, 2, 3, 4.5, 6} {
		for _, teeth := range []int{20, 36, 80} {
			for _, rim := range []float64{0, module*float64(teeth) - 11.5*module} {
				d := plainJob(t, teeth, module, 20, max(0, rim), "")
				f, err := d.Fit()
				if err != nil {
					t.Fatal(err)
				}
				l, r := &d.Job.Fit, f.Result
				// By hand: what is left of the tight middle.
				sure := f.Joint.Tight - l.TrialStep - 0.8*2*0.0063
				if why := d.Against(); len(why) > 0 || d.FitWarning() != "" && r.Verdict == estimate.FitSafe || !(sure > 0) || math.Abs(r.Least-sure) > 1e-9 {
					t.Errorf("module %g, %d teeth, rim %.1f: tight %.3f, step %.3f, grips %.4f for sure, by hand %.4f; %q %q", module, teeth, rim, f.Joint.Tight, l.TrialStep, r.Least, sure, why, d.FitWarning())
				}
				if last := l.TrialFirst - float64(l.TrialCount-1)*l.TrialStep; l.TrialFirst < 5*l.TrialStep || last > -0.02+1e-9 {
					t.Errorf("module %g: trial cuts from %.3f to %.3f over the slot", module, l.TrialFirst, last)
				}
			}
		}
	}
	for tight, want := range map[float64]float64{0.05: 0.02, 0.04: 0.02, 0.03: 0.01, 0.02: 0.005, 0: 0.02} {
		if got := plainJob(t, 36, 3, 20, 0, fmt.Sprintf("[fit]\ntight_middle = %g\n", tight)).Job.Fit.TrialStep; got != want {
			t.Errorf("a tight middle of %g: trial cuts %g apart, want %g", tight, got, want)
		}
	}
	if w := plainJob(t, 36, 3, 20, 0, "[fit]\ntrial_step = 0.02\n").FitWarning(); !strings.Contains(w, "may not grip") || !strings.Contains(w, "less than 0.010 mm") {
		t.Errorf("trial cuts too far apart: %q", w)
	}
}

// The section is the job's: the place that has others nearest is taken.
func TestSection(t *testing.T) {
	j := job.Demo()
	s := of(t, j).Section()
	if s.Inner != 69 || len(s.Open) != 0 || s.Seat-s.Bottom != j.Slot.Depth || math.Abs(s.Bottom-s.Floor-j.Slot.Deeper) > 1e-9 {
		t.Errorf("%+v", s)
	}
	j.Gear.Places = []float64{-1, 0, 1}
	if s = of(t, j).Section(); len(s.Open) != 2 || s.Open[0] != -1 || s.Open[1] != 1 {
		t.Errorf("three places side by side: %v", s.Open)
	}
	j.Gear.Places = []float64{0, 9}
	if s = of(t, j).Section(); len(s.Open) != 0 {
		t.Errorf("nine pitches apart: %v", s.Open)
	}
	j.Gear.RimInner, j.Gear.Places = 0, []float64{0}
	if _, err := of(t, j).Stress(); err != nil {
		t.Errorf("one with its shaft: %v", err)
	}
}

// Every good job may be assembled as it stands, and whatever is measured inside
// the sheet's limits of slot and insert, the fit allows it.
func TestGoodJobsMayBeAssembled(t *testing.T) {
	jobs, err := filepath.Glob(goodJobs + "*.toml")
	if err != nil || len(jobs) < 10 {
		t.Fatalf("%d good jobs, %v", len(jobs), err)
	}
	for _, file := range jobs {
		j, err := job.Read(file)
		if err != nil {
			t.Fatal(err)
		}
		d := of(t, j)
		if why := d.Against(); len(why) > 0 {
			t.Errorf("%s: %q", file, why)
		}
		if j.BuiltUp() {
			continue // nothing is let in
		}
		f, err := d.Fit()
		if err != nil {
			t.Fatal(err)
		}
		if j.Fit.Step == 0 {
			continue // the insert's sizes are not known yet
		}
		s, _, err := d.Sheet(Gauging{Width: UsualWidth, Depth: UsualDepth})
		if err != nil {
			t.Fatal(err)
		}
		var narrow, wide float64
		for _, i := range s.Joint {
			switch i.Key {
			case "slot.mouth":
				narrow = i.Low
			case "insert.mouth_tight":
				wide = i.High
			}
		}
		if narrow == 0 || wide == 0 || wide-narrow > f.Result.MostOver+1e-9 {
			t.Errorf("%s: insert %.4f in a slot of %.4f, at most %.4f over", file, wide, narrow, f.Result.MostOver)
		}
	}
}

// What the sheet of a good job prints, read back as printed, in mm and in inches, is
// within its limits: those that the fit allows too.
func TestSheetsReadBack(t *testing.T) {
	jobs, err := filepath.Glob(goodJobs + "*.toml")
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	for _, file := range jobs {
		j, err := job.Read(file)
		if err != nil {
			t.Fatal(err)
		}
		d := of(t, j)
		how := Gauging{Width: UsualWidth, Depth: UsualDepth}
		s, _, err := d.Sheet(how)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range s.Items() {
			if i.Nominal == 0 {
				continue
			}
			for _, printed := range []float64{math.Round(i.Nominal*1e3) / 1e3, math.Round(i.Nominal/25.4*1e4) / 1e4 * 25.4} {
				read++
				a, err := s.Read(measure.SheetReading{Name: i.Key, Value: printed})
				if err != nil || !a.Within {
					t.Errorf("%s, %s: the expected %.5f of %.5f to %.5f reads back as %+v, %v", file, i.Key, i.Nominal, i.Low, i.High, a, err)
				}
			}
		}
	}
	if read < 500 {
		t.Errorf("only %d sizes read back", read)
	}
}
