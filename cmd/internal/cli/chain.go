package cli

import (
	"bytes"
	"fmt"
	"io"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/metal"
)

// chain replays the programs of a repair in the order of work: what metal one
// leaves is the next one's stock.
type chain struct {
	design *design.Design
	plan   *toolpath.Plan
	slot   []replay.Station // after the slot program
	insert []replay.Station // after the insert's programs so far
	flush  []replay.Station
	finish *metal.Finish
	first  map[string]*replay.Setup // set-ups made by begin
}

// checked is one program replayed.
type checked struct {
	program *toolpath.Program
	setup   *replay.Setup
	result  *replay.Result
	err     error // the text cannot be read
}

// ok says that the program may be run.
func (c *checked) ok() bool { return c.err == nil && c.result.Report.Clean() }

// begin makes the set-up of the first program before it is asked for.
func (c *chain) begin(purpose string) error {
	s, err := c.setup(purpose)
	if err != nil {
		return fmt.Errorf("metal before the %s program: %w", purpose, err)
	}
	c.first = map[string]*replay.Setup{purpose: s}
	return nil
}

// setup returns what the program of the given purpose is checked against.
func (c *chain) setup(purpose string) (*replay.Setup, error) {
	switch purpose {
	case "slot":
		return metal.SlotSetup(c.design)
	case "insert":
		return metal.InsertSetup(c.design, metal.Rough, nil)
	case "trial":
		return metal.InsertSetup(c.design, metal.Trial, c.insert)
	case "fit":
		return metal.InsertSetup(c.design, metal.Fit, c.insert)
	case "flush", "facets":
		if c.finish == nil {
			insert := c.insert
			if c.design.Job.Fit.Step == 0 || insert == nil {
				var err error
				if insert, err = metal.NominalInsert(c.design); err != nil {
					return nil, err
				}
			}
			f, err := metal.NewFinish(c.design, c.slot, insert)
			if err != nil {
				return nil, err
			}
			c.finish = f
		}
		if purpose == "flush" {
			return c.finish.FlushSetup(), nil
		}
		return c.finish.FacetsSetup(c.flush, c.plan.Filing), nil
	}
	return nil, fmt.Errorf("no program is called %q", purpose)
}

// check replays one program's text and keeps the metal it leaves. The error
// is ours; what is wrong with the program is in the result.
func (c *chain) check(p *toolpath.Program, file string, text io.Reader) (*checked, error) {
	setup, err := c.first[p.Purpose], error(nil)
	if setup == nil {
		setup, err = c.setup(p.Purpose)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: metal before it: %w", file, err)
	}
	out := &checked{program: p, setup: setup}
	out.result, out.err = replay.Check(text, file, setup)
	after := setup.Stations
	if out.err == nil {
		after = out.result.After
	}
	switch p.Purpose {
	case "slot":
		c.slot = after
	case "insert", "fit":
		c.insert = after
	case "trial":
		if out.err == nil && out.result.Snapshot != nil {
			c.insert = out.result.Snapshot
		}
	case "flush":
		c.flush = after
	}
	return out, nil
}

// resume replays a program that starts again at pass n, on the metal that the
// passes before n of the whole program leave.
func (c *chain) resume(p *toolpath.Program, file string, whole, text []byte, n int) (*checked, error) {
	setup, err := c.setup(p.Purpose)
	if err != nil {
		return nil, fmt.Errorf("%s: metal before it: %w", file, err)
	}
	before, err := replay.Check(bytes.NewReader(upToPass(whole, n)), p.File(), setup)
	if err != nil {
		return nil, err
	}
	setup.Stations = before.After
	setup.Steps, setup.SnapshotStep = 0, 0 // the steps before n are not in it
	out := &checked{program: p, setup: setup}
	out.result, out.err = replay.Check(bytes.NewReader(text), file, setup)
	return out, nil
}

// upToPass returns a program's text up to the comment that begins pass n,
// ended properly.
func upToPass(text []byte, n int) []byte {
	mark := []byte(fmt.Sprintf("(Pass %d: ", n))
	at := bytes.Index(text, mark)
	if at < 0 {
		return text
	}
	head := text[:at]
	// A %-framed program needs its second mark.
	if bytes.HasPrefix(bytes.TrimSpace(text), []byte("%")) {
		return append(append([]byte(nil), head...), "M2\n%\n"...)
	}
	return append(append([]byte(nil), head...), "M2\n"...)
}
