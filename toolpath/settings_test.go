package toolpath

import (
	"math"
	"path/filepath"
	"testing"

	"cogmend/gcode"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// TestSettingsReadBack: the words of every setting by hand, read as the check
// reads them, bring the gear from one pass's angle to the next's, in all good
// jobs and with each of the devices that hands set.
func TestSettingsReadBack(t *testing.T) {
	files, err := filepath.Glob("../testdata/jobs/good/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	looked := map[job.Device]int{}
	for _, file := range files {
		j, err := job.Read(file)
		if err != nil {
			t.Fatal(err)
		}
		if j.Index.Device == job.Rotary {
			continue
		}
		p, err := makeOf(j)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for i := range p.Programs {
			at := 0.0
			for _, op := range p.Programs[i].Ops {
				if op.Level != "" {
					at = 0
				}
				for _, pass := range op.Passes {
					if pass.Setting != "" {
						at = followed(t, j, pass.Setting, at)
						if math.Abs(at-pass.Angle) > geom.Radians(1e-3) {
							t.Errorf("%s: %q leads to %.4f deg, %.4f is meant", filepath.Base(file), pass.Setting, geom.Degrees(at), geom.Degrees(pass.Angle))
						}
						looked[j.Index.Device]++
					}
					at = pass.Angle
				}
			}
		}
	}
	if looked[job.Head] < 10 || looked[job.Teeth] < 5 {
		t.Errorf("only %d settings of heads and %d of stops were looked at", looked[job.Head], looked[job.Teeth])
	}
}

// followed is the angle a hand comes to that does what the words say.
func followed(t *testing.T, j *job.Job, words string, at float64) float64 {
	t.Helper()
	s, ok := gcode.ReadTurned(words)
	if !ok {
		t.Errorf("no setting is read in %q", words)
		return at
	}
	if s.Anew {
		at = geom.Radians(s.From)
	}
	by := geom.Radians(s.By)
	switch {
	case s.Circle > 0:
		by = 2 * math.Pi / float64(j.Index.Ratio) * (float64(s.Turns) + float64(s.Holes)/float64(s.Circle))
	case s.Teeth > 0:
		by = s.Teeth * j.Gear.Pitch()
	}
	return at + float64(s.Toward)*by
}
