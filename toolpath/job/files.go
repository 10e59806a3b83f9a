package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// beside returns the path of a file that a job names, from the job's folder.
func beside(job, name string) string {
	name = filepath.FromSlash(name)
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(job), name)
}

// nearFile names the TOML file beside a path at which there is none that it most
// likely means.
func nearFile(path string) string {
	folder, base := filepath.Dir(path), filepath.Base(path)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return ""
	}
	var files []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".toml") {
			files = append(files, e.Name())
		}
	}
	near := base + ".toml"
	if !slices.Contains(files, near) {
		near = Nearest(base, files)
	}
	if near == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean %s?", quote(filepath.Join(folder, near)))
}

// readFile reads a file that must be a plain one and not too large.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, errors.New("no such file" + nearFile(path))
	case err != nil:
		return nil, withoutPath(err)
	case info.IsDir():
		return nil, errors.New("this is a folder, not a file")
	case !info.Mode().IsRegular():
		return nil, errors.New("this is not a plain file")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, withoutPath(err)
	}
	defer f.Close()
	src, err := io.ReadAll(io.LimitReader(f, maxSize+1))
	if err != nil {
		return nil, withoutPath(err)
	}
	if text := bytes.TrimLeft(src, " \t\r\n"); len(text) > 0 && len(src) <= maxSize && (text[0] == '(' || text[0] == '%') {
		return nil, errors.New("this is a program, not a job file; name the job file, and a program after it")
	}
	return src, nil
}

// withoutPath drops the path from a file error; the message names the file already.
func withoutPath(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
