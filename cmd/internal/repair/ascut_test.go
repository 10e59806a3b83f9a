package repair

import (
	"path/filepath"
	"testing"

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
			r, err := Make(j, nil)
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
	whole, err := Make(job.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, done := range []string{`["slot"]`, `["slot", "insert"]`, `["slot", "trial"]`, `["slot", "fit"]`, `["flush"]`} {
		j, err := job.Decode("job", append(job.DemoText(), "\n[as_cut]\ndone = "+done+"\n"+map[bool]string{true: "insert.mouth_sliding = 5\ninsert.mouth_tight = 5.02\n"}[done == `["slot", "fit"]`]...), nil)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Make(j, nil)
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
