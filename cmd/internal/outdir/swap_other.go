//go:build !linux

package outdir

import (
	"errors"
	"os"
)

// swap cannot be done here.
func swap(a, b string) error {
	return &os.LinkError{Op: "exchange", Old: a, New: b, Err: errors.ErrUnsupported}
}

// sameOwner says no: folders cannot change places here.
func sameOwner(a, b string) bool { return false }
