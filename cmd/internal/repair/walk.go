package repair

import (
	"bytes"
	"cmp"
	"cogmend/cmd/internal/outdir"
	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"errors"
	"io/fs"
	"path/filepath"
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

// Texts reads the programs: the one asked for from the file named, if any, the
// others from the folder, or as they would be written. One that is not written has
// none.
func (r *Repair) Texts(dir string, only *toolpath.Program, named string) ([][]byte, error) {
	texts := make([][]byte, len(r.Plan.Programs))
	for i := range r.Plan.Programs {
		p := &r.Plan.Programs[i]
		if !r.Programs[i].Written() {
			continue
		}
		path := filepath.Join(dir, p.File())
		if only == p && named != "" {
			path = named
		}
		var err error
		texts[i], err = outdir.ReadWhole(path, outdir.MaxFile)
		if errors.Is(err, fs.ErrNotExist) && path != named {
			texts[i], err = r.Programs[i].Text, nil
		}
		if err != nil {
			return nil, err
		}
	}
	return texts, nil
}
