package repair

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// What is left of a repair that departed from its plan is planned and checked
// by the metal as it is: every program still to be run is clean on it, and what
// has been run is neither written nor checked.
func TestAsCutJobs(t *testing.T) {
	t.Parallel()
	paths, err := filepath.Glob("../../../testdata/jobs/good/as-cut-*.toml")
	if err != nil || len(paths) < 7 {
		t.Fatalf("%d jobs, %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			j, err := job.Read(path)
			if err != nil {
				t.Fatal(err)
			}
			r, err := Make(j)
			if err != nil {
				t.Fatal(err)
			}
			written := 0
			for i := range r.Programs {
				p := &r.Programs[i]
				if p.Done != j.Done(string(p.Purpose)) || p.Done && (p.Text != nil || p.Written()) {
					t.Errorf("%s: done %v, written %v", p.File(), p.Done, p.Written())
				}
				if p.Written() {
					written++
				}
				if p.Written() && !p.Clean() {
					t.Errorf("%s: %v %v", p.File(), p.Err, p.Result.Report.Findings)
				}
			}
			if written == 0 {
				t.Error("nothing is left to be run")
			}
		})
	}
}

// A done program left the metal that it would have been checked to leave: the
// next one finds the same work to do, whether it was replayed or taken for run.
func TestDoneLeavesWhatItShould(t *testing.T) {
	t.Parallel()
	whole, err := Make(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	for _, done := range []string{`["slot"]`, `["slot", "insert"]`, `["slot", "trial"]`, `["slot", "fit"]`, `["flush"]`} {
		j, err := job.Decode("job", append(job.DemoText(), "\n[as_cut]\ndone = "+done+"\n"+map[bool]string{true: "insert.mouth_sliding = 5\ninsert.mouth_tight = 5.02\n"}[done == `["slot", "fit"]`]...), nil)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Make(j)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.Programs {
			p, w := &r.Programs[i], &whole.Programs[i]
			if p.Done {
				continue
			}
			if !p.Clean() {
				t.Errorf("done %s: %s: %v", done, p.File(), p.Result.Report.Findings)
				continue
			}
			a, b := p.Result.Report, w.Result.Report
			if len(a.Left) != len(b.Left) {
				t.Fatalf("done %s: %s looks at %d surfaces, else at %d", done, p.File(), len(a.Left), len(b.Left))
			}
			for k := range a.Left {
				if d := a.Left[k].Amount - b.Left[k].Amount; d > 0.003 || d < -0.003 {
					t.Errorf("done %s: %s leaves %.4f on %s, else %.4f", done, p.File(), a.Left[k].Amount, a.Left[k].Zone, b.Left[k].Amount)
				}
			}
		}
	}
}

// randomAsCut is what may have been measured of a repair that went a little
// astray, as lines of [as_cut]; each is there now and then.
func randomAsCut(j *job.Job, r *rand.Rand) string {
	var b strings.Builder
	line := func(key string, mm float64) { fmt.Fprintf(&b, "%s = \"%.3f mm\"\n", key, mm) }
	off := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	some := func() bool { return r.IntN(3) == 0 }
	b.WriteString("\n[as_cut]\n")
	s, mouth := &j.Slot, j.Slot.Mouth
	if some() {
		mouth += off(-0.15, 0.3)
		line("slot.mouth", mouth)
	}
	if some() {
		line("slot.depth", s.Depth+s.Deeper+off(-0.3, 0.4))
	}
	if some() {
		line("slot.seat", design.ZeroHeight(&j.Gear, job.ZeroNeighbours)-(j.Gear.RootRadius()-s.SeatBelow)+off(-0.1, 0.4))
	}
	if some() {
		line("insert.mouth_rough", s.Mouth+j.Insert.OverSize+off(-0.05, 0.05))
	}
	if j.Fit.Step > 0 && mouth != s.Mouth || some() {
		line("insert.mouth_trial", mouth+off(-0.03, 0.06))
	}
	if some() {
		line("insert.length", j.Gear.Face+2*j.Insert.Over+off(-1.5, 0.5))
	}
	if some() {
		line("tips.left_low", off(0, 0.5))
	}
	if r.IntN(6) == 0 {
		line("tooth.left_off", off(-0.2, 0.3))
		line("tooth.right_off", off(-0.2, 0.3))
	}
	if some() {
		fmt.Fprintf(&b, "done = [%q]\n", []string{"slot", "insert", "trial", "fit", "flush"}[r.IntN(5)])
	}
	return b.String()
}

// A repair gone a little astray is refused with the ways out, or planned,
// written, read and replayed clean on the metal as it is.
func TestRandomAsCut(t *testing.T) {
	n, first := 80, 0
	if s := os.Getenv("COGMEND_SOAK"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatalf("COGMEND_SOAK: %v", err)
		}
		first = 80 // others than the short test's
	} else if testing.Short() {
		n = 10
	}
	count := map[string]int{}
	for i := first; i < first+n; i++ {
		text := jobTexts.Example(i)
		j, err := job.Decode("random.toml", []byte(text), nil)
		if err != nil {
			continue
		}
		text += randomAsCut(j, rand.New(rand.NewPCG(1, uint64(i))))
		outcome, fault := tryJob(text)
		count[outcome]++
		if fault != "" {
			t.Errorf("random job %d: %s\n%s", i, fault, text)
		}
	}
	t.Logf("%d jobs: %v", n, count)
	if count["made"] < n/10 {
		t.Errorf("only %d of %d jobs were made: the draw is no test", count["made"], n)
	}
}
