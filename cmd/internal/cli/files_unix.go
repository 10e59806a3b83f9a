//go:build !windows

package cli

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// openLock opens and holds the lock file, or returns errBusy. The system
// gives it back when the process ends.
func openLock(path string) (*os.File, error) {
	for {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR|os.O_APPEND|syscall.O_NOFOLLOW, 0o644)
		if err != nil {
			return nil, err
		}
		if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
			f.Close()
			if errors.Is(err, syscall.EWOULDBLOCK) {
				return nil, errBusy
			}
			return nil, fmt.Errorf("%s: cannot be locked: %w", path, err)
		}
		// The run before may have removed the file after it was opened here:
		// then it guards nothing.
		held, err := f.Stat()
		if err != nil {
			f.Close()
			return nil, err
		}
		if there, err := os.Stat(path); err == nil && os.SameFile(held, there) {
			return f, nil
		}
		f.Close()
	}
}

// closeLock removes the lock file and gives it back, in this order.
func closeLock(f *os.File, path string) {
	os.Remove(path)
	f.Close()
}
