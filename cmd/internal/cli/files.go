package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
)

// maxProgram is the greatest size of a file read whole, 64 MiB.
const maxProgram = 64 << 20

// output is a folder being written: files are gathered first, all are written
// beside their places, and only then renamed into them, so that no half file
// ever has a final name and a full disk leaves the old set whole.
type output struct {
	dir    string
	files  []outFile
	record *os.File // while locked
}

type outFile struct {
	name string
	data []byte
}

func (o *output) add(name string, data []byte) {
	o.files = append(o.files, outFile{name, data})
}

// recordName is the file of a folder that lists the digests of all that was
// written there, one a line: what is not in it a person has changed. It is held
// by the run that writes.
const recordName = ".cogmend-written"

// partName is the pattern of files not yet renamed into their places.
const partName = ".cogmend-part-*"

// maxRecord is the greatest size of the record, thousands of runs; then its
// older half is dropped.
const maxRecord = 1 << 20

// errBusy is the lock of another run.
var errBusy = errors.New("another run is writing there now")

// lock keeps two runs from mixing in one folder. The system gives it back
// when a run ends, in whatever way.
func (o *output) lock() (unlock func(), err error) {
	if err := os.MkdirAll(o.dir, 0o755); err != nil {
		return nil, err
	}
	f, err := openLocked(filepath.Join(o.dir, recordName))
	if errors.Is(err, errBusy) {
		return nil, fmt.Errorf("%s: %w", printable(o.dir), err)
	}
	if err != nil {
		return nil, err
	}
	o.record = f
	o.clearParts()
	return func() { f.Close() }, nil
}

// clearParts takes away what ended runs left half written.
func (o *output) clearParts() {
	parts, err := filepath.Glob(filepath.Join(globQuote(o.dir), partName))
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

// write puts all files in place. When something fails before all of them are
// on the disk, the folder is as it was; every file is always either as it was
// or as it shall be. The folder must be locked.
func (o *output) write() (err error) {
	digests := make([]string, len(o.files))
	for i, f := range o.files {
		digests[i] = digest(f.data)
	}
	if err := o.note(digests); err != nil {
		return aboutPath(o.dir, err)
	}
	parts := make([]string, len(o.files))
	defer func() {
		if err != nil {
			for _, p := range parts {
				os.Remove(p) // those in place already are gone from here
			}
		}
	}()
	// Side by side: each waits for the disk.
	var group errgroup
	for i, f := range o.files {
		group.run(func() (err error) {
			parts[i], err = writePart(filepath.Join(o.dir, f.name), f.data)
			return err
		})
	}
	if err := group.wait(); err != nil {
		return err
	}
	for i, f := range o.files {
		if err := replaceFile(parts[i], filepath.Join(o.dir, f.name)); err != nil {
			return err
		}
	}
	return nil
}

// note puts the digests of files into the record, before the files are there: a
// run may be ended at any moment.
func (o *output) note(digests []string) error {
	if info, err := o.record.Stat(); err != nil {
		return err
	} else if info.Size() > maxRecord {
		old, err := os.ReadFile(o.record.Name())
		if err != nil {
			return err
		}
		if err := o.record.Truncate(0); err != nil {
			return err
		}
		if _, err := o.record.WriteAt(old[len(old)/2:], 0); err != nil {
			return err
		}
	}
	lines := strings.Join(digests, "\n") + "\n"
	lines = lines[max(0, len(lines)-maxRecord):]
	if _, err := o.record.Seek(0, io.SeekEnd); err != nil {
		return err
	}
	if _, err := o.record.WriteString(lines); err != nil {
		return err
	}
	return o.record.Sync()
}

// writeFile writes data beside path and renames it into place.
func writeFile(path string, data []byte) error {
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

// isFree refuses to write over what is there already, unless it may be replaced.
func isFree(path string, replace bool) error {
	_, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return plainError(err)
	case !replace:
		return fmt.Errorf("%s is there already; name another file or use --replace", path)
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

// aboutPath is the trouble of err, told of path in place of a file that the
// user does not know.
func aboutPath(path string, err error) error {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		err = p.Err
	case errors.As(err, &l):
		err = l.Err
	}
	return fmt.Errorf("%s: %w", printable(path), err)
}

// printable is a text as it may stand in a message: on one line, with nothing
// that steers a terminal.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, text)
}

// openPlain opens a file; a folder, a pipe or a device is an error of one line.
func openPlain(path string) (*os.File, error) {
	// A pipe would keep Open waiting.
	info, err := os.Stat(path)
	if err != nil {
		return nil, plainError(err)
	}
	switch {
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder, a file is wanted", printable(path))
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: is not a plain file", printable(path))
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, plainError(err)
	}
	return f, nil
}

// readWhole reads a plain file of at most the given bytes.
func readWhole(path string, most int64) ([]byte, error) {
	f, err := openPlain(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, plainError(err)
	}
	if int64(len(data)) > most {
		return nil, fmt.Errorf("%s: larger than %d MiB", printable(path), most>>20)
	}
	return data, nil
}

// plainError says path and trouble without the system call's name.
func plainError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", printable(p.Path), p.Err)
	}
	return err
}

func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// ours returns the digests of what was written into the folder.
func (o *output) ours() (map[string]bool, error) {
	record, err := readWhole(filepath.Join(o.dir, recordName), 2*maxRecord)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	ours := map[string]bool{}
	for _, sum := range strings.Fields(string(record)) {
		ours[sum] = true
	}
	return ours, nil
}

// clearOlder takes away those of the programs matching the patterns that do not
// bear the job's mark: they are of another state of the job. Those that a
// person has changed, or that cannot be taken away, stay and are returned.
func (o *output) clearOlder(mark string, patterns []string) (left []string, err error) {
	ours, err := o.ours()
	if err != nil {
		return nil, err
	}
	for _, pattern := range patterns {
		found, err := filepath.Glob(filepath.Join(globQuote(o.dir), pattern))
		if err != nil {
			return nil, err
		}
		for _, path := range found {
			have, err := readWhole(path, maxProgram)
			if err == nil && bytes.Contains(have, []byte(mark)) {
				continue
			}
			if err != nil || !ours[digest(have)] || os.Remove(path) != nil {
				left = append(left, filepath.Base(path))
			}
		}
	}
	return left, nil
}

// edited returns the names of the programs to be written that a person has
// changed since they were last written, with the lines that differ from what
// would be written now. Without a record every program that differs counts.
func (o *output) edited() (names []string, lines map[string][]int, err error) {
	ours, err := o.ours()
	if err != nil {
		return nil, nil, err
	}
	lines = map[string][]int{}
	for _, f := range o.files {
		if filepath.Ext(f.name) != programExt {
			continue
		}
		have, err := readWhole(filepath.Join(o.dir, f.name), maxProgram)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		if bytes.Equal(have, f.data) || ours[digest(have)] {
			continue
		}
		names = append(names, f.name)
		lines[f.name] = differing(have, f.data)
	}
	return names, lines, nil
}

// resyncLines is how far differing looks for the place where two texts agree
// again; a longer change is told line by line to the end.
const resyncLines = 100

// differing returns the numbers, from 1, of the lines of a that are not in b.
// Where a only lacks lines, it is the line before which they are missing, or
// the last one.
func differing(a, b []byte) []int {
	x, y := textLines(a), textLines(b)
	var out []int
	i, j := 0, 0
	for i < len(x) || j < len(y) {
		if i < len(x) && j < len(y) && x[i] == y[j] {
			i++
			j++
			continue
		}
		di, dj := resync(x[i:], y[j:])
		if di == 0 {
			out = append(out, min(i+1, len(x)))
		}
		for k := range di {
			out = append(out, i+k+1)
		}
		i += di
		j += dj
	}
	if len(out) == 0 {
		out = append(out, len(x)) // nothing but the last line's end
	}
	return out
}

// resync returns the least number of lines to pass over in x and y, that
// differ in the first, before they agree: in two lines running, because many
// lines of a program stand in it more than once, or to the end.
func resync(x, y []string) (di, dj int) {
	agree := func(i, j int) bool {
		for k := range 2 {
			if i+k >= len(x) || j+k >= len(y) {
				return len(x)-i == len(y)-j
			}
			if x[i+k] != y[j+k] {
				return false
			}
		}
		return true
	}
	for sum := 1; sum <= 2*resyncLines; sum++ {
		// Equal steps first: a changed line is commoner than one put in.
		for k := range sum + 1 {
			di := sum/2 + (k+1)/2
			if k%2 == 0 {
				di = sum/2 - k/2
			}
			dj := sum - di
			if di >= 0 && dj >= 0 && di <= len(x) && dj <= len(y) && agree(di, dj) {
				return di, dj
			}
		}
	}
	return len(x), len(y)
}

// textLines is text without its line ends, blank at the end left out.
func textLines(text []byte) []string {
	if len(text) == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
}
