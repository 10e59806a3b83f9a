// Package chain writes the programs of a plan and replays their text in the order
// of work: what metal one leaves is the next one's stock.
package chain

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"cogmend/gcode"
	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/metal"
)

// Program is one program of a plan, as its text was found by the check.
type Program struct {
	*toolpath.Program
	Text   []byte         // as written; nil when the program is not written
	Before *replay.Setup  // the metal it was checked against; nil when it is not written
	Result *replay.Result // what the check found; nil when there is none
	Err    error          // why the text cannot be read; nil when it can
}

// Written says that there is a text, and so what the check found.
func (p *Program) Written() bool { return p.Before != nil }

// Clean says that the program may be run.
func (p *Program) Clean() bool {
	return p.Written() && p.Err == nil && p.Result.Report.Clean()
}

// Chain follows the metal from program to program.
type Chain struct {
	plan   *toolpath.Plan
	slot   []replay.Station // after the slot program; nil before it
	insert []replay.Station // after the insert's programs so far
	flush  []replay.Station // after the flush program
	finish *metal.Finish    // gear and insert together; nil before the flush program
}

// New begins before the first program.
func New(plan *toolpath.Plan) *Chain { return &Chain{plan: plan} }

// BuildsOn says that a program of one purpose works on metal that the one of
// another leaves.
func BuildsOn(p, below toolpath.Purpose) bool {
	switch p {
	case toolpath.FacetsProgram:
		return below != p
	case toolpath.FlushProgram:
		return below != p && below != toolpath.FacetsProgram
	case toolpath.FitProgram:
		return below == toolpath.InsertProgram || below == toolpath.TrialProgram
	case toolpath.TrialProgram:
		return below == toolpath.InsertProgram
	}
	return false
}

// Setup returns what the program of the given purpose is checked against.
func (c *Chain) Setup(purpose toolpath.Purpose) (*replay.Setup, error) {
	d := c.plan.Design
	switch purpose {
	case toolpath.SlotProgram:
		return metal.SlotSetup(d)
	case toolpath.InsertProgram:
		return metal.InsertSetup(d, metal.Rough, nil)
	case toolpath.TrialProgram:
		return metal.InsertSetup(d, metal.Trial, c.insert)
	case toolpath.FitProgram:
		return metal.InsertSetup(d, metal.Fit, c.insert)
	case toolpath.FlushProgram:
		if err := c.assemble(); err != nil {
			return nil, err
		}
		return c.finish.FlushSetup(), nil
	case toolpath.FacetsProgram:
		if err := c.assemble(); err != nil {
			return nil, err
		}
		return c.finish.FacetsSetup(c.flush, c.plan.Filing), nil
	}
	return nil, fmt.Errorf("no program is called %q", purpose)
}

// assemble puts the insert into the slot, once.
func (c *Chain) assemble() error {
	if c.finish != nil {
		return nil
	}
	insert, err := c.insert, error(nil)
	if _, known := c.plan.FitWidth(); !known || insert == nil {
		if insert, err = metal.NominalInsert(c.plan.Design); err != nil {
			return err
		}
	}
	c.finish, err = metal.NewFinish(c.plan.Design, c.slot, insert)
	return err
}

// Check replays one program's text and keeps the metal it leaves. The error
// is ours; what is wrong with the program is in what is returned.
func (c *Chain) Check(p *toolpath.Program, file string, text io.Reader) (Program, error) {
	return c.Watch(p, file, text, nil)
}

// Watch is Check with somebody looking on: look, if not nil, is called with the
// set-up first, and may set who observes.
func (c *Chain) Watch(p *toolpath.Program, file string, text io.Reader, look func(before *replay.Setup)) (Program, error) {
	setup, err := c.Setup(p.Purpose)
	if err != nil {
		return Program{}, fmt.Errorf("%s: metal before it: %w", file, err)
	}
	if look != nil {
		look(setup)
	}
	out := Program{Program: p, Before: setup}
	out.Result, out.Err = replay.Check(text, file, setup)
	after := setup.Stations
	if out.Err == nil {
		after = out.Result.Along
	}
	switch p.Purpose {
	case toolpath.SlotProgram:
		c.slot = after
	case toolpath.InsertProgram, toolpath.FitProgram:
		c.insert = after
	case toolpath.TrialProgram:
		if out.Err == nil && out.Result.Snapshot != nil {
			c.insert = out.Result.Snapshot
		}
	case toolpath.FlushProgram:
		c.flush = after
	}
	return out, nil
}

// CheckAgainst is Check that also compares what the program says to the operator
// with what the job's own text of it says.
func (c *Chain) CheckAgainst(own []byte, p *toolpath.Program, file string, text io.Reader) (Program, error) {
	said, err := replay.Sayings(bytes.NewReader(own), p.File())
	if err != nil {
		return Program{}, fmt.Errorf("the job's own %s: %w", p.File(), err)
	}
	return c.Watch(p, file, text, func(s *replay.Setup) { s.Said = said })
}

// Done takes a program of the plan for run: it left no more metal than it may.
func (c *Chain) Done(p *toolpath.Program) error {
	setup, err := c.Setup(p.Purpose)
	if err != nil {
		return fmt.Errorf("%s: metal before it: %w", p.File(), err)
	}
	after := metal.Finished(setup.Stations)
	switch p.Purpose {
	case toolpath.SlotProgram:
		c.slot = after
	case toolpath.InsertProgram, toolpath.TrialProgram, toolpath.FitProgram:
		c.insert = after
	case toolpath.FlushProgram:
		c.flush = c.finish.Flushed(setup.Stations)
	}
	return nil
}

// Resume replays a program that starts again at pass n, on the metal that the
// passes before n of the whole program leave; said is what the job's own says.
func (c *Chain) Resume(p *toolpath.Program, file string, whole, text []byte, n int, said []replay.Saying) (Program, error) {
	setup, err := c.Setup(p.Purpose)
	if err != nil {
		return Program{}, fmt.Errorf("%s: metal before it: %w", file, err)
	}
	before, err := replay.Check(bytes.NewReader(upToPass(whole, n)), p.File(), setup)
	if err != nil {
		return Program{}, err
	}
	setup.Resume(before.Along)
	setup.Said = said
	setup.Steps, setup.SnapshotStep = 0, 0 // the steps before n are not in it
	out := Program{Program: p, Text: text, Before: setup}
	out.Result, out.Err = replay.Check(bytes.NewReader(text), file, setup)
	return out, nil
}

// upToPass returns a program's text up to the comment that begins pass n,
// ended properly.
func upToPass(text []byte, n int) []byte {
	starts := gcode.PassStarts(text)
	at := slices.IndexFunc(starts, func(s gcode.PassStart) bool { return s.Number == n })
	if at < 0 {
		return text
	}
	head := text[:starts[at].At]
	// A %-framed program needs its second mark.
	if bytes.HasPrefix(bytes.TrimSpace(text), []byte("%")) {
		return append(append([]byte(nil), head...), "M2\n%\n"...)
	}
	return append(append([]byte(nil), head...), "M2\n"...)
}
