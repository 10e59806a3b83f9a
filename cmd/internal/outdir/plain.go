package outdir

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"unicode"
)

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
	return fmt.Errorf("%s: %w", Printable(path), err)
}

// Printable is a text as it may stand in a message: on one line, with nothing
// that steers a terminal.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, text)
}

// OpenPlain opens a file; a folder, a pipe or a device is an error of one line.
func OpenPlain(path string) (*os.File, error) {
	// A pipe would keep Open waiting.
	info, err := os.Stat(path)
	if err != nil {
		return nil, PlainError(err)
	}
	switch {
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder, a file is wanted", Printable(path))
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: is not a plain file", Printable(path))
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, PlainError(err)
	}
	return f, nil
}

// ReadWhole reads a plain file of at most the given bytes.
func ReadWhole(path string, most int64) ([]byte, error) {
	f, err := OpenPlain(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, PlainError(err)
	}
	if int64(len(data)) > most {
		return nil, fmt.Errorf("%s: larger than %d MiB", Printable(path), most>>20)
	}
	return data, nil
}

// PlainError says path and trouble without the system call's name.
func PlainError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", Printable(p.Path), p.Err)
	}
	return err
}

// IsFree refuses to write over what is there already, unless it may be replaced.
func IsFree(path string, replace bool) error {
	_, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return PlainError(err)
	case !replace:
		return fmt.Errorf("%s is there already; name another file or use --replace", path)
	}
	return nil
}
