package repair

import (
	"os"
	"runtime/debug"
	"sync"
	"syscall"
)

// heapRoom is more than a make of one tooth with all its pictures takes.
const heapRoom = 64 << 20

// RoomyHeap asks the kernel to give the heap's first memory in large pages
// (MADV_HUGEPAGE), and the collector to run seldom. A make lives for a third
// of a second and draws on tens of MiB; handed out in pages of 4 KiB, these
// can cost more than the drawing. Nothing is taken before it is written to,
// and a kernel that has no large pages to give goes on as before.
var RoomyHeap = sync.OnceFunc(func() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
	// The block is dropped at once: the collector hands it to what is
	// allocated next, and the kernel's mark stays.
	_ = syscall.Madvise(make([]byte, heapRoom), syscall.MADV_HUGEPAGE)
})
