package outdir

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// gonePrefix begins a line of the record that tells of something that was
// given up: not ours, but nobody wants it back.
const gonePrefix = "gone "

// record is what was written into a folder.
type record struct {
	names    map[string]bool // of all files ever written
	ours     map[string]bool // digest and name together
	nameless map[string]bool // digests of a record without names
	gone     map[string]bool // digest and name of what was given up
}

// has says that a file was written here as it is.
func (r *record) has(name, digest string) bool { return r.ours[digest+name] || r.nameless[digest] }

// known reads the record.
func (f *Folder) known() (*record, error) {
	text, err := ReadWhole(filepath.Join(f.Dir, recordName), 2*maxRecord)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	r := &record{map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		line, given := strings.CutPrefix(line, gonePrefix)
		digest, name, named := strings.Cut(line, "  ")
		switch {
		case given:
			r.gone[digest+name] = true
		case named:
			r.names[name], r.ours[digest+name] = true, true
		default:
			r.nameless[digest] = true
		}
	}
	return r, nil
}

// note puts files into the record, before they are there: a run may be ended at
// any moment.
func (f *Folder) note(put []staged, gone []Entry) error {
	known, err := f.known()
	if err != nil {
		return err
	}
	var b strings.Builder
	for _, s := range put {
		if known.ours[s.digest+s.name] {
			continue
		}
		b.WriteString(s.digest + "  " + s.name + "\n")
	}
	for _, e := range gone {
		b.WriteString(gonePrefix + Digest(e.Data) + "  " + e.Name + "\n")
	}
	lines := b.String()
	if over := len(lines) - maxRecord; over > 0 {
		lines = lines[over+strings.Index(lines[over:], "\n")+1:]
	}
	return changed("write", f.lock.Name(), func() error {
		if err := f.shorten(); err != nil {
			return err
		}
		if _, err := f.lock.Seek(0, io.SeekEnd); err != nil {
			return err
		}
		if _, err := f.lock.WriteString(lines); err != nil {
			return err
		}
		return f.lock.Sync()
	})
}

// shorten drops the older half of a record that has become too long.
func (f *Folder) shorten() error {
	info, err := f.lock.Stat()
	if err != nil || info.Size() <= maxRecord {
		return err
	}
	old, err := os.ReadFile(filepath.Join(f.Dir, recordName))
	if err != nil {
		return err
	}
	half := old[len(old)/2:]
	half = half[bytes.IndexByte(half, '\n')+1:]
	if err := f.lock.Truncate(0); err != nil {
		return err
	}
	_, err = f.lock.WriteAt(half, 0)
	return err
}

// Entry is what stands in a folder under a name.
type Entry struct {
	Name string
	Data []byte
	// Ours says that it was written here as it is; else a person has changed
	// or written it.
	Ours bool
	// Err says why it cannot be read; nil when it can.
	Err error
}

// Entries returns what stands in the folder of the names asked for and of all
// that was ever written there, by name. Hidden files are none of them.
func (f *Folder) Entries(asked func(name string) bool) ([]Entry, error) {
	known, err := f.known()
	if err != nil {
		return nil, err
	}
	list, err := os.ReadDir(f.Dir)
	if err != nil {
		return nil, PlainError(err)
	}
	var out []Entry
	for _, e := range list {
		name := e.Name()
		wanted := asked(name) || known.names[name]
		// A record without names knows files by what is in them only.
		if strings.HasPrefix(name, ".") || !wanted && (len(known.nameless) == 0 || !e.Type().IsRegular()) {
			continue
		}
		data, err := ReadWhole(filepath.Join(f.Dir, name), MaxFile)
		if ours := err == nil && known.has(name, Digest(data)); ours || wanted {
			out = append(out, Entry{name, data, ours, err})
		}
	}
	return out, nil
}
