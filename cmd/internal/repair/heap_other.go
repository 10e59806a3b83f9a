//go:build !linux

package repair

// RoomyHeap does nothing here; see heap_linux.go.
func RoomyHeap() {}
