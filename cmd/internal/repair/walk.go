package repair

import (
	"bytes"
	"cmp"
	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
)

// Run replays one program; look is that of Watch.
type Run func(look func(before *replay.Setup)) error

// Walk replays the programs of a repair in the order of work, each from its text;
// one that is not written has none. visit is called for each that has one, and
// calls run.
func (r *Repair) Walk(texts [][]byte, visit func(p *toolpath.Program, text []byte, run Run) error) error {
	c := chain.New(r.Plan)
	for i, text := range texts {
		p := &r.Plan.Programs[i]
		var err error
		switch {
		case p.Done:
			err = c.Done(p)
		case text != nil:
			err = visit(p, text, func(look func(*replay.Setup)) error {
				out, err := c.Watch(p, p.File(), bytes.NewReader(text), look)
				return cmp.Or(err, out.Err)
			})
		}
		if err != nil {
			return err
		}
	}
	return nil
}
