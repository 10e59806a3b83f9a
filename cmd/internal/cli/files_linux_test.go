package cli

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// mount mounts a file system on a new folder, or skips where that may not be
// done.
func mount(t *testing.T, source, kind string, flags uintptr, data string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount(source, dir, kind, flags, data); err != nil {
		t.Skipf("no file system can be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Errorf("unmount: %v", err)
		}
	})
	return dir
}

// TestFullDisk makes a repair on a disk with room for less and less of it:
// what was there stays whole, and nothing half is left.
func TestFullDisk(t *testing.T) {
	t.Parallel()
	dir := mount(t, "tmpfs", "tmpfs", 0, "size=8m")
	path := demoJob(t, t.TempDir(), "press.toml", "first")
	out := filepath.Join(dir, "out")
	if code, _, stderr := command("make", path, "--out", out, "--quiet"); code != exitOK {
		t.Fatalf("code %d: %s", code, stderr)
	}
	before := folder(t, out)
	demoJob(t, filepath.Dir(path), "press.toml", "second")
	failed := 0
	for _, free := range []int64{0, 1, 2, 4, 8, 16} { // pages of 4 KiB
		filler := filepath.Join(dir, "filler")
		fill(t, dir, filler, free*4096)
		code, _, stderr := command("make", path, "--out", out, "--quiet")
		after := folder(t, out)
		if code == exitOK {
			break // there was room
		}
		failed++
		if code != exitUsage || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, "no space left") || strings.Contains(stderr, "cogmend-part") {
			t.Errorf("%d bytes free: code %d: %q", free*4096, code, stderr)
		}
		if !mapsEqual(before, after) {
			t.Errorf("%d bytes free: the folder holds %v", free*4096, fileNames(after))
		}
		if err := os.Remove(filler); err != nil {
			t.Fatal(err)
		}
	}
	if failed < 2 {
		t.Errorf("the disk was full %d times only", failed)
	}
	os.Remove(filepath.Join(dir, "filler"))
	if code, _, stderr := command("make", path, "--out", out, "--quiet"); code != exitOK {
		t.Errorf("with room again: code %d: %s", code, stderr)
	}
}

// TestPipe names a pipe that nobody writes into: it is refused, not waited for.
func TestPipe(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "10-slot.nc")
	if err := syscall.Mkfifo(pipe, 0o644); err != nil {
		t.Skip(err)
	}
	for _, args := range [][]string{{"read", pipe}, {"check", "demo", pipe}, {"frames", "demo", pipe, "--out", filepath.Join(dir, "out")}} {
		done := make(chan string)
		go func() { done <- refusal(t, exitUsage, 1, args...) }()
		select {
		case stderr := <-done:
			if !strings.HasSuffix(stderr, ": is not a plain file\n") {
				t.Errorf("%v: %s", args, stderr)
			}
		case <-time.After(slowest):
			t.Fatalf("%v waits", args)
		}
	}
}

// fill leaves a number of free bytes on the disk of dir.
func fill(t *testing.T, dir, path string, free int64) {
	t.Helper()
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		t.Fatal(err)
	}
	n := int64(s.Bavail)*int64(s.Bsize) - free
	if err := os.WriteFile(path, make([]byte, n), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestReadOnlyFolder makes a repair into a folder that may not be written.
func TestReadOnlyFolder(t *testing.T) {
	t.Parallel()
	source := t.TempDir()
	path := demoJob(t, t.TempDir(), "press.toml", "first")
	if code, _, stderr := command("make", path, "--out", filepath.Join(source, "out"), "--quiet"); code != exitOK {
		t.Fatalf("code %d: %s", code, stderr)
	}
	dir := mount(t, source, "", syscall.MS_BIND, "")
	if err := syscall.Mount("", dir, "", syscall.MS_BIND|syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("no folder can be made read-only here: %v", err)
	}
	before := folder(t, filepath.Join(dir, "out"))
	for _, args := range [][]string{
		{"make", path, "--out", filepath.Join(dir, "out")},
		{"make", path, "--out", filepath.Join(dir, "new")},
		{"make", path, "--out", filepath.Join(dir, "out"), "--lift", "60"},
		{"make", path, "--out", filepath.Join(dir, "out"), "--from", "facets:7"},
		{"new", filepath.Join(dir, "job.toml")},
	} {
		code, stdout, stderr := command(args...)
		if code != exitUsage || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, "read-only file system") || strings.Contains(stderr, "cogmend-part") {
			t.Errorf("%v: code %d: %s%s", args, code, stdout, stderr)
		}
	}
	if !mapsEqual(before, folder(t, filepath.Join(dir, "out"))) {
		t.Error("the folder was changed")
	}
	// What is there can still be checked.
	if code, _, stderr := command("check", path, "--out", filepath.Join(dir, "out")); code != exitOK {
		t.Errorf("check: code %d: %s", code, stderr)
	}
}
