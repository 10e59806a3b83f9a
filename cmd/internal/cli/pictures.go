package cli

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"cogmend/preview"
)

const pictureExt = ".png"

// picture is one drawn picture.
type picture struct {
	name string // the figure's
	png  []byte
}

// gallery draws pictures while later programs are still being checked, on all
// cores. The zero value, never opened, draws nothing.
type gallery struct {
	figures chan *preview.Figure
	workers errgroup
	mu      sync.Mutex
	drawn   []picture
}

// mostFigures is more pictures than a repair has, so that drawing them never
// holds up the check.
const mostFigures = 1000

func (g *gallery) open() {
	g.figures = make(chan *preview.Figure, mostFigures)
	for range runtime.GOMAXPROCS(0) {
		g.workers.run(func() error {
			var bad error
			for f := range g.figures {
				p, err := drawOne(f)
				bad = cmp.Or(bad, err)
				g.mu.Lock()
				g.drawn = append(g.drawn, p)
				g.mu.Unlock()
			}
			return bad
		})
	}
}

// draw takes in the pictures of one program.
func (g *gallery) draw(m *made, program int) {
	for _, f := range preview.ProgramFigures(m.scene(program)) {
		g.figures <- f
	}
}

// close waits for the last picture and returns all, by name.
func (g *gallery) close() ([]picture, error) {
	if g.figures == nil {
		return nil, nil
	}
	close(g.figures)
	err := g.workers.wait()
	slices.SortFunc(g.drawn, func(a, b picture) int { return cmp.Compare(a.name, b.name) })
	return g.drawn, err
}

func drawOne(f *preview.Figure) (picture, error) {
	d, err := f.Draw(1)
	if err != nil {
		return picture{}, fmt.Errorf("picture %s: %w", f.Name, err)
	}
	png, err := d.PNG()
	d.Release()
	return picture{f.Name, png}, err
}

// scene is what a program's pictures are drawn from.
func (m *made) scene(i int) preview.Scene {
	s := preview.Scene{Plan: m.plan, Program: &m.plan.Programs[i], Costs: settingCosts(m)}
	if c := m.programs[i].checked; c != nil {
		s.Before = c.setup
		if c.err == nil {
			s.After, s.Report = c.result.After, c.result.Report
		}
	}
	return s
}

// settingCosts is what the pictures and the sheet say of setting errors.
func settingCosts(m *made) []preview.SettingCost {
	var out []preview.SettingCost
	for _, e := range m.plan.SettingErrors() {
		out = append(out, preview.SettingCost{Error: e.Setting, Flank: e.FlankMM})
	}
	return out
}

// addPictures adds pictures and sheet to the output.
func addPictures(out *output, m *made, pictures []picture) error {
	byName := map[string][]byte{}
	for _, p := range pictures {
		out.add(p.name+pictureExt, p.png)
		byName[p.name] = p.png
	}
	sheet, err := sheetOf(m, byName)
	if err != nil {
		return err
	}
	out.add(sheetName, sheet)
	return nil
}
