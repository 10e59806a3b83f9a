package outdir

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
)

// plainSet is what somebody sees who knows nothing of us: all but hidden files.
func plainSet(t *testing.T, dir string) map[string]string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	set := map[string]string{}
	for _, e := range list {
		switch {
		case strings.HasPrefix(e.Name(), "."):
		case e.IsDir():
			set[e.Name()+"/"] = fmt.Sprint(plainSet(t, filepath.Join(dir, e.Name())))
		default:
			set[e.Name()] = read(t, filepath.Join(dir, e.Name()))
		}
	}
	return set
}

func put(t *testing.T, dir string, files []File, gone ...string) {
	t.Helper()
	if err := tryPut(dir, files, gone...); err != nil {
		t.Fatal(err)
	}
}

// tryPut is one run.
func tryPut(dir string, files []File, gone ...string) error {
	f := &Folder{Dir: dir}
	unlock, err := f.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	wanted := func(name string) bool { return slices.Contains(gone, name) }
	entries, err := f.Entries(wanted)
	if err != nil {
		return err
	}
	entries = slices.DeleteFunc(entries, func(e Entry) bool { return !wanted(e.Name) })
	return f.Put(files, entries)
}

// errEnded stands for the end of a run: nothing is changed from there on.
var errEnded = errors.New("the run has ended")

// endAt lets n changes be made and none after them.
func endAt(t *testing.T, n int) (made func() int) {
	count := 0
	var mu sync.Mutex // files are written side by side
	beforeChange = func(op, path string) error {
		mu.Lock()
		defer mu.Unlock()
		if count >= n {
			return errEnded
		}
		count++
		return nil
	}
	t.Cleanup(func() { beforeChange = func(string, string) error { return nil } })
	return func() int { return count }
}

var (
	oldFiles = []File{{"10-slot.nc", []byte("old slot")}, {"22-fit.nc", []byte("old fit")}, {"10-slot.png", []byte("old picture")}}
	newFiles = []File{{"10-slot.nc", []byte("new slot")}, {"30-flush.nc", []byte("new flush")}, {"22-fit.nc", []byte("new fit")}}
)

// prepare makes a folder with the old set, files and a folder of others, and
// one of ours that a person has changed.
func prepare(t *testing.T, parent string) (dir string) {
	dir = filepath.Join(parent, "press-repair")
	put(t, dir, append(oldFiles, File{"report.txt", []byte("old report")}))
	writeTest(t, filepath.Join(dir, "notes.txt"), "my notes")
	writeTest(t, filepath.Join(dir, "report.txt"), "changed by hand")
	if err := os.Mkdir(filepath.Join(dir, "frames"), 0o755); err != nil {
		t.Fatal(err)
	}
	writeTest(t, filepath.Join(dir, "frames", "1.png"), "frame")
	return dir
}

// TestEndedAnywhere ends a run before every change that it makes to the disk.
// Where folders can change places the folder then holds the whole old set or
// the whole new one for whoever looks; elsewhere it does so once the next run
// has begun. What others wrote is there in any case, and the next run puts all
// in place.
func TestEndedAnywhere(t *testing.T) {
	for _, c := range []struct {
		name  string
		outer bool
	}{{"exchanged", true}, {"in the folder", false}} {
		t.Run(c.name, func(t *testing.T) {
			if c.outer && runtime.GOOS != "linux" {
				t.Skip("folders cannot change places here")
			}
			if !c.outer {
				// A run that works in the folder does not move it.
				here := t.TempDir()
				t.Chdir(here)
			}
			first := func(dir string) (before, after map[string]string) {
				before = plainSet(t, dir)
				after = maps.Clone(before)
				delete(after, "10-slot.png")
				for _, f := range newFiles {
					after[f.Name] = string(f.Data)
				}
				return before, after
			}
			for n := 0; ; n++ {
				parent := t.TempDir()
				dir := prepare(t, parent)
				before, after := first(dir)
				at := dir
				if !c.outer {
					t.Chdir(dir)
					at = "."
				}
				made := endAt(t, n)
				err := tryPut(at, newFiles, "10-slot.png")
				done := made() < n
				beforeChange = func(string, string) error { return nil }
				seen := plainSet(t, dir)
				old, whole := maps.Equal(seen, before), maps.Equal(seen, after)
				if c.outer && !old && !whole && !maps.Equal(without(seen, "frames/"), without(after, "frames/")) {
					t.Errorf("ended after %d changes (%v) the folder holds %v", n, err, seen)
				}
				// The next run begins, and changes nothing of its own.
				f := &Folder{Dir: at}
				unlock, lockErr := f.Lock()
				if lockErr != nil {
					t.Fatalf("ended after %d changes: %v", n, lockErr)
				}
				unlock()
				seen = plainSet(t, dir)
				if again := maps.Equal(seen, before); !again && !maps.Equal(seen, after) || whole && again {
					t.Errorf("ended after %d changes (%v), and taken up again, the folder holds %v", n, err, seen)
				}
				if left := hidden(t, dir, parent); len(left) > 0 {
					t.Errorf("ended after %d changes, and taken up again: %v are left", n, left)
				}
				if err := tryPut(at, newFiles, "10-slot.png"); err != nil {
					t.Errorf("ended after %d changes, the next run: %v", n, err)
				}
				if seen := plainSet(t, dir); !maps.Equal(seen, after) {
					t.Errorf("ended after %d changes, the next run leaves %v", n, seen)
				}
				if done {
					if err != nil || n < 8 {
						t.Errorf("%d changes, error %v", n, err)
					}
					t.Logf("ended at %d places", n)
					return
				}
			}
		})
	}
}

func without(set map[string]string, name string) map[string]string {
	out := maps.Clone(set)
	delete(out, name)
	return out
}

// hidden lists what is left of a change.
func hidden(t *testing.T, dirs ...string) (left []string) {
	for _, dir := range dirs {
		list, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range list {
			if strings.HasPrefix(e.Name(), ".") && e.Name() != recordName {
				left = append(left, e.Name())
			}
		}
	}
	return left
}

// TestCameMeanwhile: what a person saves while the sets change places is not
// lost.
func TestCameMeanwhile(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("folders cannot change places here")
	}
	dir := prepare(t, t.TempDir())
	beforeChange = func(op, path string) error {
		if op == "exchange" {
			writeTest(t, filepath.Join(dir, "new.txt"), "just saved")
			os.Remove(filepath.Join(dir, "10-slot.nc")) // as editors do
			writeTest(t, filepath.Join(dir, "10-slot.nc"), "just changed")
		}
		return nil
	}
	t.Cleanup(func() { beforeChange = func(string, string) error { return nil } })
	put(t, dir, newFiles)
	set := plainSet(t, dir)
	if set["new.txt"] != "just saved" || set["10-slot.nc"] != "new slot" || set["10-slot.nc.kept-1"] != "just changed" {
		t.Errorf("the folder holds %v", set)
	}
}

// TestEntries: a file is ours as long as it is as it was written under its
// name; others are told only when they are asked for.
func TestEntries(t *testing.T) {
	t.Parallel()
	dir := prepare(t, t.TempDir())
	writeTest(t, filepath.Join(dir, "copy.nc"), "old slot")
	f := &Folder{Dir: dir}
	unlock, err := f.Lock()
	if err != nil {
		t.Fatal(err)
	}
	defer unlock()
	got := map[string]bool{}
	list, err := f.Entries(func(name string) bool { return name == "copy.nc" || name == "none.nc" })
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		got[e.Name] = e.Ours
	}
	want := map[string]bool{"10-slot.nc": true, "22-fit.nc": true, "10-slot.png": true, "report.txt": false, "copy.nc": false}
	if !maps.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	// A record of an earlier form has digests alone.
	writeTest(t, filepath.Join(dir, recordName), Digest([]byte("old slot"))+"\n")
	if list, err = f.Entries(func(string) bool { return false }); err != nil || len(list) != 2 || !list[0].Ours || list[1].Name != "copy.nc" {
		t.Errorf("%+v, error %v", list, err)
	}
}
