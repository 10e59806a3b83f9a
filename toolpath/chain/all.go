package chain

import (
	"bytes"
	"cmp"
	"slices"
	"sync"

	"cogmend/toolpath"
	"cogmend/toolpath/post"
)

// All writes and checks the programs of a plan, and returns them in its order.
func All(plan *toolpath.Plan) ([]Program, error) {
	c, out := New(plan), make([]Program, len(plan.Programs))
	// The gear and the insert meet only at the flush program: until then their
	// programs are written and checked side by side.
	var gear, insert error
	var both sync.WaitGroup
	both.Go(func() { gear = c.some(out, toolpath.SlotProgram) })
	both.Go(func() { insert = c.some(out, toolpath.InsertProgram, toolpath.TrialProgram, toolpath.FitProgram) })
	both.Wait()
	if err := cmp.Or(gear, insert); err != nil {
		return nil, err
	}
	return out, c.some(out, toolpath.FlushProgram, toolpath.FacetsProgram)
}

// some writes and checks the programs of the given purposes, in the order of
// work.
func (c *Chain) some(out []Program, purposes ...toolpath.Purpose) error {
	for i := range c.plan.Programs {
		p := &c.plan.Programs[i]
		if !slices.Contains(purposes, p.Purpose) {
			continue
		}
		out[i] = Program{Program: p}
		switch {
		case p.Done:
			if err := c.Done(p); err != nil {
				return err
			}
		case p.Skipped == "":
			var text bytes.Buffer
			err := post.Write(&text, c.plan, p, post.Options{})
			if err != nil {
				return err
			}
			if out[i], err = c.Check(p, p.File(), bytes.NewReader(text.Bytes())); err != nil {
				return err
			}
			out[i].Text = text.Bytes()
		}
	}
	return nil
}
