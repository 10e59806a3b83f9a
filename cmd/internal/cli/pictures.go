package cli

import (
	"fmt"
	"runtime"
	"sync"

	"cogmend/preview"
)

const pictureExt = ".png"

// picture is one drawn picture.
type picture struct {
	name string // the figure's
	png  []byte
}

// draw draws the pictures of every program, side by side on all cores.
func (m *made) draw() ([]picture, error) {
	var figures []*preview.Figure
	for i := range m.plan.Programs {
		figures = append(figures, preview.ProgramFigures(m.scene(i))...)
	}
	out := make([]picture, len(figures))
	errs := make([]error, len(figures))
	var group sync.WaitGroup
	next := make(chan int)
	for range min(runtime.GOMAXPROCS(0), len(figures)) {
		group.Go(func() {
			for i := range next {
				out[i], errs[i] = drawOne(figures[i])
			}
		})
	}
	for i := range figures {
		next <- i
	}
	close(next)
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
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
	s := preview.Scene{Plan: m.plan, Program: &m.plan.Programs[i]}
	if c := m.programs[i].checked; c != nil {
		s.Before = c.setup
		if c.err == nil {
			s.After, s.Report = c.result.After, c.result.Report
		}
	}
	return s
}

// addPictures draws every program and adds pictures and sheet to the output.
func addPictures(out *output, m *made) error {
	pictures, err := m.draw()
	if err != nil {
		return err
	}
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
