// Package outdir puts files into a folder: all of a run whole or none, what a
// person has changed kept, what an earlier run left taken away. It knows what a
// file is called and what is in it, and nothing of what it is for.
package outdir

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// MaxFile is the greatest size of a file that is read whole, 64 MiB.
const MaxFile = 64 << 20

// Folder is a folder being written. It must be locked first.
type Folder struct {
	// Dir is the path of the folder, made when it is locked.
	Dir string

	lock *os.File // the record, held by this run; nil while the folder is not locked
	path string   // Dir without links, from the root; "" when it cannot be told
}

// File is one file to be put in place.
type File struct {
	Name string // within the folder
	Data []byte
}

// recordName is the file of a folder that lists the digests and names of all
// that was written there, one a line: what is not in it a person has changed, or
// written. It is held by the run that writes.
const recordName = ".cogmend-written"

// partName is the pattern of files not yet renamed into their places.
const partName = ".cogmend-part-*"

// maxRecord is the greatest size of the record, hundreds of runs; then its
// older half is dropped.
const maxRecord = 1 << 20

// ErrBusy is the lock of another run.
var ErrBusy = errors.New("another run is writing there now")

// Lock keeps two runs from mixing in one folder, makes the folder, and finishes
// what a run that was ended has left undone. The system gives the lock back when
// a run ends, in whatever way.
func (f *Folder) Lock() (unlock func(), err error) {
	if err := os.MkdirAll(f.Dir, 0o755); err != nil {
		return nil, PlainError(err)
	}
	f.lock, err = openLocked(filepath.Join(f.Dir, recordName))
	if errors.Is(err, ErrBusy) {
		return nil, fmt.Errorf("%s: %w", Printable(f.Dir), err)
	}
	if err != nil {
		return nil, PlainError(err)
	}
	if f.path, err = filepath.Abs(f.Dir); err == nil {
		f.path, err = filepath.EvalSymlinks(f.path)
	}
	if err != nil || filepath.Dir(f.path) == f.path {
		f.path = ""
	}
	f.clearParts()
	if err := f.recover(); err != nil {
		f.lock.Close()
		return nil, aboutPath(f.Dir, err)
	}
	return func() { f.lock.Close() }, nil
}

// clearParts takes away what ended runs left half written.
func (f *Folder) clearParts() {
	parts, err := filepath.Glob(filepath.Join(globQuote(f.Dir), partName))
	if err != nil {
		return
	}
	for _, p := range parts {
		remove(p) // left for the next run when it cannot be
	}
}

// globQuote makes a path stand for itself in a pattern.
func globQuote(path string) string {
	if filepath.Separator == '\\' {
		return strings.ReplaceAll(path, "[", "[[]") // \ quotes nothing here
	}
	return strings.NewReplacer(`\`, `\\`, "[", `\[`, "*", `\*`, "?", `\?`).Replace(path)
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
