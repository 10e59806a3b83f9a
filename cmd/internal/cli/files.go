package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// maxProgram is the greatest size of a file read whole, 64 MiB.
const maxProgram = 64 << 20

// output is a folder being written: files are gathered first, then each is
// written beside its place and renamed into it, so that no half file ever has
// a final name.
type output struct {
	dir   string
	files []outFile
}

type outFile struct {
	name string
	data []byte
}

func (o *output) add(name string, data []byte) {
	o.files = append(o.files, outFile{name, data})
}

// lockName holds the process that writes into the folder.
const lockName = ".cogmend-writing"

// lock keeps two runs from mixing in one folder. A lock left by a process
// that is gone is taken over.
func (o *output) lock() (unlock func(), err error) {
	if err := os.MkdirAll(o.dir, 0o755); err != nil {
		return nil, err
	}
	path := filepath.Join(o.dir, lockName)
	for range 2 {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
		if err == nil {
			_, err = fmt.Fprintln(f, os.Getpid())
			if cerr := f.Close(); err == nil {
				err = cerr
			}
			if err != nil {
				os.Remove(path)
				return nil, err
			}
			return func() { os.Remove(path) }, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
		data, err := os.ReadFile(path)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		pid, err := strconv.Atoi(strings.TrimSpace(string(data)))
		if err == nil && alive(pid) {
			return nil, fmt.Errorf("%s: process %d is writing there now", o.dir, pid)
		}
		os.Remove(path)
	}
	return nil, fmt.Errorf("%s: another run is writing there now", o.dir)
}

// alive says whether a process runs, as far as the system tells.
func alive(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, fs.ErrPermission)
}

// write puts all files in place. It stops at the first error; every file is
// then either as it was or as it shall be.
func (o *output) write() error {
	for _, f := range o.files {
		if err := writeFile(filepath.Join(o.dir, f.name), f.data); err != nil {
			return err
		}
	}
	return nil
}

// writeFile writes data beside path and renames it into place.
func writeFile(path string, data []byte) (err error) {
	tmp, err := os.CreateTemp(filepath.Dir(path), ".cogmend-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(tmp.Name())
		}
	}()
	_, err = tmp.Write(data)
	if err == nil {
		err = tmp.Chmod(0o644)
	}
	if serr := tmp.Sync(); err == nil {
		err = serr
	}
	if cerr := tmp.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return os.Rename(tmp.Name(), path)
}

// readWhole reads a file of at most max bytes; a folder, a device or a larger
// file is an error of one line.
func readWhole(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, plainError(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, plainError(err)
	}
	if info.IsDir() {
		return nil, fmt.Errorf("%s: is a folder, a file is wanted", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, plainError(err)
	}
	if int64(len(data)) > most {
		return nil, fmt.Errorf("%s: larger than %d MiB", path, most>>20)
	}
	return data, nil
}

// plainError says path and trouble without the system call's name.
func plainError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", p.Path, p.Err)
	}
	return err
}

func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// edited returns the names of the files to be written that a person has
// changed since they were last written, with the lines that differ from what
// would be written now. The record of what was written is report.json.
func (o *output) edited() (names []string, lines map[string][]int, err error) {
	known := map[string]string{}
	if data, err := os.ReadFile(filepath.Join(o.dir, reportJSON)); err == nil {
		var old struct {
			Files map[string]string `json:"files_sha256"`
		}
		if json.Unmarshal(data, &old) == nil {
			known = old.Files
		}
	}
	lines = map[string][]int{}
	for _, f := range o.files {
		if filepath.Ext(f.name) != programExt {
			continue
		}
		have, err := os.ReadFile(filepath.Join(o.dir, f.name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, nil, plainError(err)
		}
		if bytes.Equal(have, f.data) || known[f.name] == digest(have) {
			continue
		}
		names = append(names, f.name)
		lines[f.name] = differing(have, f.data)
	}
	return names, lines, nil
}

// differing returns the numbers of the lines of a that are not in their order
// in b: the longest common run of lines at both ends is left out.
func differing(a, b []byte) []int {
	x, y := bytes.Split(a, []byte("\n")), bytes.Split(b, []byte("\n"))
	lo := 0
	for lo < len(x) && lo < len(y) && bytes.Equal(x[lo], y[lo]) {
		lo++
	}
	hx, hy := len(x), len(y)
	for hx > lo && hy > lo && bytes.Equal(x[hx-1], y[hy-1]) {
		hx--
		hy--
	}
	var out []int
	for i := lo; i < hx; i++ {
		if i-lo < len(y)-lo && lo+i-lo < len(y) && len(x) == len(y) && bytes.Equal(x[i], y[i]) {
			continue
		}
		out = append(out, i+1)
	}
	if len(out) == 0 {
		out = append(out, min(lo+1, len(x)))
	}
	return out
}
