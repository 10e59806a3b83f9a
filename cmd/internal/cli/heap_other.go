//go:build !linux

package cli

// roomyHeap does nothing here; see heap_linux.go.
func roomyHeap() {}
