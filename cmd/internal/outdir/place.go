package outdir

import (
	"bytes"
	"fmt"
	"path/filepath"
)

// Placing is files to be put into a folder, and what is to become of what
// stands there. Nothing that a person has changed or written is overwritten or
// taken away unless it may be replaced.
type Placing struct {
	Files   []File
	Replace bool
	// Withheld are texts under whose names nothing may stand, such as programs
	// that fail the check.
	Withheld map[string][]byte
	// Older says what an entry would be beside the new files, when it is of an
	// earlier run: "" is none of ours, or stays by right. It is asked by the name
	// alone first, and again with the data.
	Older func(Entry) string
}

// Placed is what became of what a person had changed or written.
type Placed struct {
	InWay    []Entry // it stands where a file should go, and nothing was put in place
	Replaced []string
	Left     []Leftover
}

// Leftover is an entry of an earlier run that stays.
type Leftover struct{ Name, Why string }

// Text returns what should stand, or would have stood, under a name.
func (p Placing) Text(name string) (text []byte, wanted bool) {
	for _, f := range p.Files {
		if f.Name == name {
			return f.Data, true
		}
	}
	text, wanted = p.Withheld[name]
	return text, wanted
}

// Place puts files in place, all or none. The folder must be locked.
func (f *Folder) Place(p Placing) (Placed, error) {
	entries, err := f.Entries(func(name string) bool {
		_, wanted := p.Text(name)
		return wanted || p.Older(Entry{Name: name}) != ""
	})
	if err != nil {
		return Placed{}, err
	}
	var out Placed
	var gone []Entry
	for _, e := range entries {
		text, wanted := p.Text(e.Name)
		_, withheld := p.Withheld[e.Name]
		older := ""
		if !wanted {
			if older = p.Older(e); older == "" {
				continue
			}
		}
		switch {
		case e.Err != nil && wanted:
			return Placed{}, e.Err
		case e.Ours || wanted && !withheld && bytes.Equal(e.Data, text):
			if withheld || !wanted {
				gone = append(gone, e)
			}
		case e.Err == nil && p.Replace:
			gone, out.Replaced = append(gone, e), append(out.Replaced, e.Name)
		case wanted:
			out.InWay = append(out.InWay, e)
		default:
			out.Left = append(out.Left, Leftover{e.Name, older})
		}
	}
	if len(out.InWay) > 0 {
		return Placed{InWay: out.InWay}, nil
	}
	return out, f.Put(p.Files, gone)
}

// PutFor commits a change that puts files of a kind in place of those of an earlier
// run, and returns the names of those of the kind that stay because they are not as
// they were written.
func (c *Change) PutFor(ofKind func(name string) bool) (left []string, err error) {
	entries, err := c.folder.Entries(ofKind)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		switch {
		case !ofKind(e.Name):
		case e.Ours:
			c.GiveUp(e)
		case c.Has(e.Name):
			return nil, fmt.Errorf("%s was changed or written by hand and is not overwritten: move it away, or name another folder with --out", filepath.Join(c.folder.Dir, Printable(e.Name)))
		default:
			left = append(left, Printable(e.Name))
		}
	}
	return left, c.Commit()
}
