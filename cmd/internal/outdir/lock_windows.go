package outdir

import (
	"io/fs"
	"os"
	"syscall"
)

// errSharingViolation is the system's word for a file that another process
// holds.
const errSharingViolation = syscall.Errno(32)

// openLocked opens or makes a file and holds it, so that others may only read
// it, or returns ErrBusy. The system gives it back when the file is closed or
// the process ends.
func openLocked(path string) (*os.File, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, syscall.FILE_SHARE_READ, nil,
		syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err == errSharingViolation {
		return nil, ErrBusy
	}
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	return os.NewFile(uintptr(h), path), nil
}
