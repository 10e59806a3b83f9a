package job

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const jobs = "../../testdata/jobs"

// goodJobs returns the paths of the jobs that must decode.
func goodJobs(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(jobs + "/good/*.toml")
	if err != nil || len(paths) < 15 {
		t.Fatalf("%d good jobs found, error %v", len(paths), err)
	}
	return paths
}

func TestGoodJobs(t *testing.T) {
	for _, path := range goodJobs(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			j, err := Read(path)
			if err != nil {
				t.Fatalf("\n%v", err)
			}
			if len(j.Fingerprint) != 12 || j.File != path {
				t.Errorf("fingerprint %q, file %q", j.Fingerprint, j.File)
			}
		})
	}
}

func TestDemoIsTheFileInTestdata(t *testing.T) {
	file, err := os.ReadFile(jobs + "/good/demo.toml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(file, DemoText()) {
		t.Error("toolpath/job/demo.toml and testdata/jobs/good/demo.toml differ")
	}
	if j := Demo(); j.Gear.Teeth != 54 {
		t.Errorf("demo has %d teeth", j.Gear.Teeth)
	}
}

// What was designed does not move because something was measured; what was
// measured stands in the job as made.
func TestAsMade(t *testing.T) {
	read := func(lines string) *Job {
		t.Helper()
		text := strings.Replace(string(DemoText()), "\nstep = 7 ", "\n# ", 1)
		j, err := Decode("job", []byte(text+"\n[as_cut]\n"+lines), nil)
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	plain := read("done = [\"slot\"]")
	if demo := Demo(); demo.AsMade() != demo || demo.Designed() != demo {
		t.Error("a job without measurements is not as designed")
	}
	for _, c := range []struct {
		lines string
		got   func(*Job) float64
		want  float64
	}{
		{"slot.mouth = 5.1", func(j *Job) float64 { return j.Slot.Mouth }, 5.1},
		{"slot.mouth = 5.1", func(j *Job) float64 { return j.Slot.Depth }, 6.25},
		{"slot.mouth = 5.1\nshim = 0.05", func(j *Job) float64 { return j.Slot.Mouth }, 5.1 - 0.05/math.Cos(7.5*math.Pi/180)},
		// Wider by 2 x 6.3 tan 7.5 degrees at the floor.
		{"slot.floor = 6.7588", func(j *Job) float64 { return j.Slot.Mouth }, 5.1000},
		{"slot.depth = 6.5", func(j *Job) float64 { return j.Slot.Depth + 1000*j.Slot.Deeper }, 6.25 + 250},
		{"slot.depth = 6.2", func(j *Job) float64 { return j.Slot.Depth + 1000*j.Slot.Deeper }, 6.15 + 50},
		{"slot.mouth = 5.1\ninsert.mouth_rough = 5.3", func(j *Job) float64 { return j.Slot.Mouth + j.Insert.OverSize }, 5.3},
		{"insert.length = 33", func(j *Job) float64 { return j.Insert.Over }, 0.5},
		// W_k thins by t cos(alpha): 44.299 with 0.08 of thinning, so 0.1 more.
		{`old.span = "44.2022 @ 5"`, func(j *Job) float64 { return j.Gear.NeighbourThinning }, 0.18},
		{`old.span = "44.2022 @ 5"`, func(j *Job) float64 { return j.Gear.Thinning }, 0.08},
	} {
		j := read(c.lines)
		if got := c.got(j.AsMade()); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("%q: as made %.4f, want %.4f", c.lines, got, c.want)
		}
		if j.Slot != plain.Slot || j.Insert != plain.Insert || j.Fit != plain.Fit || j.Gear.NeighbourThinning != plain.Gear.NeighbourThinning || j.AsMade().Designed() != j {
			t.Errorf("%q moved the design", c.lines)
		}
	}
}
