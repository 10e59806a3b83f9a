package repair

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// TestGrid plans, writes, reads and replays a repair for gears over the whole
// range that is meant to work, with the cutters the starting job proposes:
// each is clean with the neighbours untouched and the flanks as planned, or
// refused with its reason. The grid is our own; there is no source for it.
func TestGrid(t *testing.T) {
	type gear struct {
		teeth  int
		angle  float64
		rack   string
		shift  float64
		module float64
	}
	var grid []gear
	for i, teeth := range []int{12, 14, 17, 20, 24, 32, 48, 75, 120, 200, 300} {
		for k, angle := range []float64{14.5, 20, 25} {
			for n, rack := range []string{"iso-a", "stub", "iso-d", "old-full-depth"} {
				shift := []float64{0, -0.5, 0.3, 0.6}[(i+k+n)%4]
				module := []float64{0.8, 2, 3, 5, 8, 12}[(i*5+k*3+n)%6]
				grid = append(grid, gear{teeth, angle, rack, shift, module})
			}
		}
	}
	clean, refused := 0, map[string]int{}
	var mutex sync.Mutex
	refuse := func(name string, err error) {
		mutex.Lock()
		defer mutex.Unlock()
		refused[reason(err)]++
		t.Logf("%s: refused: %v", name, err)
	}
	sideBySide(len(grid), func(i int) {
		g := grid[i]
		name := fmt.Sprintf("%d teeth, module %g, %g deg, %s, shift %g", g.teeth, g.module, g.angle, g.rack, g.shift)
		text, err := job.Starter(job.Start{Teeth: g.teeth, Module: g.module, Pressure: geom.Radians(g.angle), Rack: g.rack, Shift: g.shift, Face: 8 * g.module, Bore: 6})
		if err != nil {
			refuse(name, err)
			return
		}
		j, err := job.Decode(name, text, nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			return
		}
		m, err := Make(j)
		var no *toolpath.Refusal
		if errors.As(err, &no) {
			refuse(name, err)
			return
		}
		if err != nil {
			t.Errorf("%s: %v", name, err)
			return
		}
		if !m.Clean() {
			var b strings.Builder
			m.Findings(&b)
			t.Errorf("%s:\n%s", name, b.String())
			return
		}
		mutex.Lock()
		clean++
		mutex.Unlock()
		for i := range m.Programs {
			p := &m.Programs[i]
			if !p.Written() {
				continue
			}
			r := p.Result.Report
			if r.NeighbourCut > 0.002 {
				t.Errorf("%s: %s cuts a neighbour by %g mm", name, r.File, r.NeighbourCut)
			}
			if p.Purpose != toolpath.FacetsProgram || len(m.Plan.FileThis) > 0 {
				continue
			}
			for _, l := range r.Left {
				want := map[string]float64{"right flank": m.Plan.Flanks.Right.GreatestError, "left flank": m.Plan.Flanks.Left.GreatestError}[l.Zone]
				if want > 0 && (l.Amount > want+0.002 || l.Amount < want-0.002) {
					t.Errorf("%s: %s keeps %.4f mm, planned %.4f", name, l.Zone, l.Amount, want)
				}
			}
		}
	})
	t.Logf("%d of %d clean, refused: %v", clean, len(grid), refused)
	// Nearly all of the range is meant to work: 126 of 132 did when this was
	// written, the others have no room for a slot under so small a tooth.
	if clean*10 < len(grid)*9 {
		t.Errorf("only %d of %d gears can be repaired, refused: %v", clean, len(grid), refused)
	}
}

// reason is the head of a refusal, to count by.
func reason(err error) string {
	s := err.Error()
	if i := strings.IndexAny(s, "\n"); i > 0 {
		s = s[:i]
	}
	if len(s) > 60 {
		s = s[:60]
	}
	return s
}
