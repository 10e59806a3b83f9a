package toolpath

import (
	"math"
	"path/filepath"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// TestClearance: in every job's facets program the cutter keeps the stated
// clearance, taken as a distance, from the flanks and tips of all sound teeth.
func TestClearance(t *testing.T) {
	files, err := filepath.Glob("../testdata/jobs/good/*.toml")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d good jobs: %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			j, err := job.Read(file)
			if err != nil {
				t.Fatal(err)
			}
			p, err := makeOf(j)
			if err != nil {
				t.Fatal(err)
			}
			least := math.Inf(1)
			for i := range p.Programs {
				prog := &p.Programs[i]
				if prog.Purpose != FacetsProgram || prog.Skipped != "" {
					continue
				}
				for _, op := range prog.Ops {
					for _, pass := range op.Passes {
						for _, m := range pass.Moves {
							if m.Kind == Feed {
								least = min(least, p.nearestSound(pass.Angle, m.To, op.Cutter.Radius()))
							}
						}
					}
				}
			}
			if math.IsInf(least, 1) {
				t.Fatal("no cut was looked at")
			}
			if want := j.Facets.Clearance; least < want-0.001 {
				t.Errorf("a cutter comes within %.4f mm of a sound tooth, %.4f is asked", least, want)
			}
		})
	}
}

// nearestSound is the least distance of the flutes over a place from the flanks
// and tips of the sound teeth, the gear at angle.
func (p *Plan) nearestSound(angle float64, at Pos, radius float64) float64 {
	least := math.Inf(1)
	lo, hi := at.Y-radius, at.Y+radius
	for k := range p.Standing.Teeth {
		n := float64(k)
		made := false
		for _, place := range p.Job.Gear.Places {
			made = made || math.Abs(math.Remainder(n-place, float64(p.Standing.Teeth))) < 0.5
		}
		if half := math.Abs(p.Job.Gear.Places[0] - math.Round(p.Job.Gear.Places[0])); half > 0.25 {
			n += 0.5
			made = false
			for _, place := range p.Job.Gear.Places {
				made = made || math.Abs(math.Remainder(n-place, float64(p.Standing.Teeth))) < 0.25
			}
		}
		if made {
			continue
		}
		for _, v := range geom.Turn(angle + n*p.Standing.Pitch()).ApplyAll(p.Standing.Outline) {
			if v.Norm() < p.Standing.Root.FormRadius {
				continue
			}
			away := geom.Vec{Y: max(lo-v.Y, 0, v.Y-hi), Z: max(at.Z-v.Z, 0)}
			least = min(least, away.Norm())
		}
	}
	return least
}
