package repair

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"cogmend/preview"
	"cogmend/preview/figure"
)

// Picture is one drawn picture.
type Picture struct {
	Name  string // the figure's, no extension
	PNG   []byte
	Notes []string // what its title block says of it
	Body  float64  // how much of its height lies above the title block, a share of 1
}

// Pictures draws the pictures of all programs, by name, on all cores.
func (r *Repair) Pictures() ([]Picture, error) {
	var figures []*figure.Figure
	for i := range r.Programs {
		figures = append(figures, preview.ProgramFigures(r.scene(i))...)
	}
	if r.Expect != nil && r.Plan.Flanks.Met {
		f, err := preview.ExpectFigure(r.Plan, r.Expect)
		if err != nil {
			return nil, err
		}
		figures = append(figures, f)
	}
	drawn := make([]Picture, len(figures))
	errs := make([]error, len(figures))
	var next atomic.Int64
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(figures); i = int(next.Add(1)) - 1 {
				drawn[i], errs[i] = drawOne(figures[i])
			}
		})
	}
	all.Wait()
	slices.SortFunc(drawn, func(a, b Picture) int { return cmp.Compare(a.Name, b.Name) })
	return drawn, cmp.Or(errs...)
}

func drawOne(f *figure.Figure) (Picture, error) {
	d, err := f.Draw(1)
	if err != nil {
		return Picture{}, fmt.Errorf("picture %s: %w", f.Name, err)
	}
	png, err := d.PNG()
	d.Release()
	return Picture{f.Name, png, f.Notes, d.Body}, err
}

// scene is what a program's pictures are drawn from.
func (r *Repair) scene(i int) preview.Scene {
	p := &r.Programs[i]
	s := preview.Scene{Plan: r.Plan, Program: p.Program, Before: p.Before}
	if p.Result != nil {
		s.After, s.Report = p.Result.After, p.Result.Report
	}
	return s
}
