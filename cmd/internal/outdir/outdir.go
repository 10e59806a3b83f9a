// Package outdir puts files into a folder: all of a run whole or none, what a
// person has changed kept, what an earlier run left taken away. It knows what a
// file is called and what is in it, and nothing of what it is for.
package outdir

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// MaxFile is the greatest size of a file that is read whole, 64 MiB.
const MaxFile = 64 << 20

// Folder is a folder being written: files are gathered first, all are written
// beside their places, and only then renamed into them, so that no half file
// ever has a final name and a full disk leaves the old set whole.
type Folder struct {
	// Dir is the path of the folder, made when it is locked.
	Dir string
	// Files is what is to be put there, in this order.
	Files []File

	record *os.File // of what was written; nil while the folder is not locked
}

// File is one file to be put in place.
type File struct {
	Name string // within the folder
	Data []byte
}

// Add gathers a file.
func (f *Folder) Add(name string, data []byte) { f.Files = append(f.Files, File{name, data}) }

// recordName is the file of a folder that lists the digests of all that was
// written there, one a line: what is not in it a person has changed. It is held
// by the run that writes.
const recordName = ".cogmend-written"

// partName is the pattern of files not yet renamed into their places.
const partName = ".cogmend-part-*"

// maxRecord is the greatest size of the record, thousands of runs; then its
// older half is dropped.
const maxRecord = 1 << 20

// ErrBusy is the lock of another run.
var ErrBusy = errors.New("another run is writing there now")

// Lock keeps two runs from mixing in one folder, and makes the folder. The
// system gives the lock back when a run ends, in whatever way.
func (f *Folder) Lock() (unlock func(), err error) {
	if err := os.MkdirAll(f.Dir, 0o755); err != nil {
		return nil, PlainError(err)
	}
	record, err := openLocked(filepath.Join(f.Dir, recordName))
	if errors.Is(err, ErrBusy) {
		return nil, fmt.Errorf("%s: %w", Printable(f.Dir), err)
	}
	if err != nil {
		return nil, PlainError(err)
	}
	f.record = record
	f.clearParts()
	return func() { record.Close() }, nil
}

// clearParts takes away what ended runs left half written.
func (f *Folder) clearParts() {
	parts, err := filepath.Glob(filepath.Join(globQuote(f.Dir), partName))
	if err != nil {
		return
	}
	for _, p := range parts {
		os.Remove(p) // left for the next run when it cannot be
	}
}

// globQuote makes a path stand for itself in a pattern.
func globQuote(path string) string {
	if filepath.Separator == '\\' {
		return strings.ReplaceAll(path, "[", "[[]") // \ quotes nothing here
	}
	return strings.NewReplacer(`\`, `\\`, "[", `\[`, "*", `\*`, "?", `\?`).Replace(path)
}

// Write puts all files in place. When something fails before all of them are
// on the disk, the folder is as it was; every file is always either as it was
// or as it shall be. The folder must be locked.
func (f *Folder) Write() (err error) {
	s := f.Series()
	defer s.Drop()
	s.parts = make([]part, len(f.Files))
	// Side by side: each waits for the disk.
	errs := make([]error, len(f.Files))
	var all sync.WaitGroup
	for i, file := range f.Files {
		all.Go(func() {
			s.parts[i], errs[i] = f.part(file.Name, file.Data)
		})
	}
	all.Wait()
	if err := cmp.Or(errs...); err != nil {
		return err
	}
	return s.Place()
}

// Series is files that are written beside their places one by one, and
// renamed into them when all are there.
type Series struct {
	folder *Folder
	parts  []part
	names  map[string]bool // of all that were added
}

// part is a file beside its place.
type part struct {
	name   string // its place, within the folder
	path   string // where it is now; "" when nothing is there
	digest string
}

// Series begins a series in the folder, which must be locked.
func (f *Folder) Series() *Series { return &Series{folder: f, names: map[string]bool{}} }

// Add writes one more file beside its place.
func (s *Series) Add(name string, data []byte) error {
	p, err := s.folder.part(name, data)
	if err != nil {
		return err
	}
	s.parts, s.names[name] = append(s.parts, p), true
	return nil
}

// Drop takes away what is not in its place.
func (s *Series) Drop() {
	for _, p := range s.parts {
		if p.path != "" {
			os.Remove(p.path) // the next run clears what cannot be
		}
	}
	s.parts = nil
}

// Place renames all files into their places.
func (s *Series) Place() error {
	digests := make([]string, len(s.parts))
	for i, p := range s.parts {
		digests[i] = p.digest
	}
	if err := s.folder.note(digests); err != nil {
		return aboutPath(s.folder.Dir, err)
	}
	for i, p := range s.parts {
		if err := replaceFile(p.path, filepath.Join(s.folder.Dir, p.name)); err != nil {
			return err
		}
		s.parts[i].path = ""
	}
	return nil
}

// ClearOlder takes away the files of earlier runs whose names are of this kind
// and not of the series, and returns the names of those that stay because they
// are not as they were written.
func (s *Series) ClearOlder(ofKind func(name string) bool) (left []string, err error) {
	return s.folder.clearKind(func(name string) bool { return ofKind(name) && !s.names[name] })
}

// ClearStale takes away the files of earlier runs whose names are of this kind
// and not among Files, and returns the names of those that stay because they
// are not as they were written.
func (f *Folder) ClearStale(ofKind func(name string) bool) (left []string, err error) {
	return f.clearKind(func(name string) bool {
		return ofKind(name) && !slices.ContainsFunc(f.Files, func(file File) bool { return file.Name == name })
	})
}

// clearKind takes away the files of a kind that were written here and are as
// they were; the names of the others are returned.
func (f *Folder) clearKind(ofKind func(name string) bool) (left []string, err error) {
	ours, err := f.ours()
	if err != nil {
		return nil, err
	}
	entries, err := os.ReadDir(f.Dir)
	if err != nil {
		return nil, PlainError(err)
	}
	for _, e := range entries {
		if !ofKind(e.Name()) {
			continue
		}
		path := filepath.Join(f.Dir, e.Name())
		have, err := ReadWhole(path, MaxFile)
		if err != nil || !ours[Digest(have)] || os.Remove(path) != nil {
			left = append(left, Printable(e.Name()))
		}
	}
	return left, nil
}

// part writes a file of the folder beside its place.
func (f *Folder) part(name string, data []byte) (part, error) {
	path, err := writePart(filepath.Join(f.Dir, name), data)
	return part{name, path, Digest(data)}, err
}

// note puts the digests of files into the record, before the files are there: a
// run may be ended at any moment.
func (f *Folder) note(digests []string) error {
	if info, err := f.record.Stat(); err != nil {
		return err
	} else if info.Size() > maxRecord {
		old, err := os.ReadFile(f.record.Name())
		if err != nil {
			return err
		}
		if err := f.record.Truncate(0); err != nil {
			return err
		}
		if _, err := f.record.WriteAt(old[len(old)/2:], 0); err != nil {
			return err
		}
	}
	lines := strings.Join(digests, "\n") + "\n"
	lines = lines[max(0, len(lines)-maxRecord):]
	if _, err := f.record.Seek(0, io.SeekEnd); err != nil {
		return err
	}
	if _, err := f.record.WriteString(lines); err != nil {
		return err
	}
	return f.record.Sync()
}

// WriteFile writes data beside path and renames it into place.
func WriteFile(path string, data []byte) error {
	part, err := writePart(path, data)
	if err != nil {
		return err
	}
	if err := replaceFile(part, path); err != nil {
		os.Remove(part)
		return err
	}
	return nil
}

// writePart writes data to a new file beside path, safe on the disk, and
// returns its name.
func writePart(path string, data []byte) (part string, err error) {
	f, err := os.CreateTemp(filepath.Dir(path), partName)
	if err != nil {
		return "", aboutPath(path, err)
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		os.Remove(f.Name())
		return "", aboutPath(path, err)
	}
	return f.Name(), nil
}

// replaceFile renames part to path, replacing what is there.
func replaceFile(part, path string) error {
	if err := os.Rename(part, path); err != nil {
		return aboutPath(path, err)
	}
	return nil
}

// Digest is the SHA-256 of data in hexadecimal digits.
func Digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// ours returns the digests of what was written into the folder.
func (f *Folder) ours() (map[string]bool, error) {
	record, err := ReadWhole(filepath.Join(f.Dir, recordName), 2*maxRecord)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	ours := map[string]bool{}
	for _, sum := range strings.Fields(string(record)) {
		ours[sum] = true
	}
	return ours, nil
}

// ClearOlder takes away those of the programs matching the patterns that do not
// bear the job's mark: they are of another state of the job. Those that a
// person has changed, or that cannot be taken away, stay and are returned.
func (f *Folder) ClearOlder(mark string, patterns []string) (left []string, err error) {
	ours, err := f.ours()
	if err != nil {
		return nil, err
	}
	for _, pattern := range patterns {
		found, err := filepath.Glob(filepath.Join(globQuote(f.Dir), pattern))
		if err != nil {
			return nil, err
		}
		for _, path := range found {
			have, err := ReadWhole(path, MaxFile)
			if err == nil && bytes.Contains(have, []byte(mark)) {
				continue
			}
			if err != nil || !ours[Digest(have)] || os.Remove(path) != nil {
				left = append(left, filepath.Base(path))
			}
		}
	}
	return left, nil
}

// Edited is a file of the folder that a person has changed since it was last
// written.
type Edited struct {
	Name  string
	Lines []int // those that differ from what would be written now
}

// Edited returns which of the files, all texts, a person has changed in the
// folder. Without a record every one that differs counts.
func (f *Folder) Edited(files []File) ([]Edited, error) {
	ours, err := f.ours()
	if err != nil {
		return nil, err
	}
	var out []Edited
	for _, file := range files {
		have, err := ReadWhole(filepath.Join(f.Dir, file.Name), MaxFile)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if bytes.Equal(have, file.Data) || ours[Digest(have)] {
			continue
		}
		out = append(out, Edited{file.Name, differing(have, file.Data)})
	}
	return out, nil
}
