package toolpath

import (
	"math"
	"testing"
)

// TestFlushRapids: under the safe height a rapid away from a face of the gear moves
// X only, since a control may take any way between two ends of several axes, and
// the face is as near as what is left for the file.
func TestFlushRapids(t *testing.T) {
	seen := 0
	for name, p := range plans(t) {
		for i := range p.Programs {
			prog := &p.Programs[i]
			if prog.Purpose != FlushProgram {
				continue
			}
			at := Pos{math.NaN(), math.NaN(), prog.Safe}
			for _, op := range prog.Ops {
				for _, pass := range op.Passes {
					for _, m := range pass.Moves {
						if m.Kind == Stop || m.Kind == Note {
							continue
						}
						axes := 0
						for _, d := range []float64{m.To.X - at.X, m.To.Y - at.Y, m.To.Z - at.Z} {
							if math.Abs(d) > 1e-9 {
								axes++
							}
						}
						if m.Kind == Rapid && math.Min(at.Z, m.To.Z) < prog.Safe-1e-9 {
							seen++
							if axes > 1 && math.Abs(m.To.X-at.X) > 1e-9 {
								t.Errorf("%s, %s: a rapid from %.3f to %.3f moves %d axes", name, pass.Name, at, m.To, axes)
							}
						}
						at = m.To
					}
				}
			}
		}
	}
	if !testing.Short() && seen < 100 {
		t.Errorf("%d rapids below the safe height", seen)
	}
}
