package outdir

import (
	"os"
	"path/filepath"
)

// beforeChange is asked before anything of a folder is changed; an error is
// taken as the system's own. Tests end a run with it at every place where a run
// can end.
var beforeChange = func(op, path string) error { return nil }

func changed(op, path string, do func() error) error {
	if err := beforeChange(op, path); err != nil {
		return &os.PathError{Op: op, Path: path, Err: err}
	}
	return do()
}

func makeDir(path string) error {
	return changed("mkdir", path, func() error { return os.Mkdir(path, 0o755) })
}

func remove(path string) error {
	return changed("remove", path, func() error { return os.Remove(path) })
}

func rename(from, to string) error {
	return changed("rename", to, func() error { return os.Rename(from, to) })
}

func link(from, to string) error {
	return changed("link", to, func() error { return os.Link(from, to) })
}

// exchange makes two folders change places, at one stroke.
func exchange(a, b string) error {
	return changed("exchange", b, func() error { return swap(a, b) })
}

// writeNew writes a file that is not there yet, safe on the disk.
func writeNew(path string, data []byte) error {
	err := changed("write", path, func() error {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
		if err != nil {
			return err
		}
		_, err = f.Write(data)
		if err == nil {
			err = f.Sync()
		}
		if cerr := f.Close(); err == nil {
			err = cerr
		}
		return err
	})
	return err
}

// syncDir makes what was done in a folder last through a loss of power, as far
// as the system can.
func syncDir(path string) {
	if d, err := os.Open(path); err == nil {
		d.Sync() // some file systems cannot
		d.Close()
	}
}

// emptyDir removes a folder and the files in it; not one that holds folders.
func emptyDir(path string) error {
	list, err := os.ReadDir(path)
	if err != nil {
		return err
	}
	for _, e := range list {
		if e.IsDir() {
			continue
		}
		if err := remove(filepath.Join(path, e.Name())); err != nil {
			return err
		}
	}
	return remove(path)
}
