package repair

import (
	"bufio"
	"os"
	"slices"
	"strings"
	"testing"
)

// TestRoomyHeap looks in the kernel's own list for memory marked for large
// pages. Source of the field and its letters: proc(5), /proc/pid/smaps, VmFlags.
func TestRoomyHeap(t *testing.T) {
	if _, err := os.Stat("/sys/kernel/mm/transparent_hugepage"); err != nil {
		t.Skip("this kernel has no large pages")
	}
	RoomyHeap()
	f, err := os.Open("/proc/self/smaps")
	if err != nil {
		t.Skip(err)
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if flags, ok := strings.CutPrefix(s.Text(), "VmFlags:"); ok && slices.Contains(strings.Fields(flags), "hg") {
			return
		}
	}
	t.Error("no memory is marked for large pages")
}
