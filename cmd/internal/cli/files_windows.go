package cli

import (
	"io/fs"
	"os"
	"syscall"
)

// errSharingViolation is the system's word for a file that another process
// holds.
const errSharingViolation = syscall.Errno(32)

// openLock opens and holds the lock file, shared with nobody, or returns
// errBusy. The system gives it back when the process ends.
func openLock(path string) (*os.File, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err == errSharingViolation {
		return nil, errBusy
	}
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	return os.NewFile(uintptr(h), path), nil
}

// closeLock gives the lock file back and removes it; another run that holds
// it by then keeps it.
func closeLock(f *os.File, path string) {
	f.Close()
	os.Remove(path)
}
