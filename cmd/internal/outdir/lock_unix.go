//go:build !windows

package outdir

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// openLocked opens or makes a file and holds it, or returns ErrBusy. The
// system gives it back when the file is closed or the process ends.
func openLocked(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR|syscall.O_NOFOLLOW, 0o644)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, ErrBusy
		}
		return nil, fmt.Errorf("%s: cannot be locked: %w", Printable(path), err)
	}
	return f, nil
}
