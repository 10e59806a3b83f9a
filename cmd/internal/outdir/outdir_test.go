package outdir

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
)

func TestDiffering(t *testing.T) {
	seq := func(n int) []string {
		var s []string
		for i := range n {
			s = append(s, fmt.Sprintf("G0 X%d.0", i))
			if i%3 == 0 {
				s = append(s, "G0 Z5.0") // a line that comes again and again
			}
		}
		return s
	}
	text := func(s []string) []byte { return []byte(strings.Join(s, "\n") + "\n") }
	base := seq(60)
	for _, c := range []struct {
		name string
		edit func(s []string) []string // of the file on disk
		want []int
	}{
		{"one line changed", func(s []string) []string { s[9] = "G1 X1.0"; return s }, []int{10}},
		{"first and last changed", func(s []string) []string { s[0], s[len(s)-1] = "a", "b"; return s }, []int{1, 80}},
		{"one line put in", func(s []string) []string { return slices.Insert(s, 9, "G1 X1.0") }, []int{10}},
		{"a repeated line put in", func(s []string) []string { return slices.Insert(s, 10, "G0 Z5.0") }, []int{11}},
		{"one line doubled", func(s []string) []string { return slices.Insert(s, 10, s[9]) }, []int{11}},
		{"one line taken out", func(s []string) []string { return slices.Delete(s, 9, 10) }, []int{10}},
		{"first line taken out", func(s []string) []string { return slices.Delete(s, 0, 1) }, []int{1}},
		{"last line taken out", func(s []string) []string { return s[:len(s)-1] }, []int{79}},
		{"lines put in at the end", func(s []string) []string { return append(s, "a", "b") }, []int{81, 82}},
		{"two lines swapped", func(s []string) []string { s[20], s[21] = s[21], s[20]; return s }, []int{21, 22}},
		{"changed, put in and taken out", func(s []string) []string {
			s[5] = "a"
			s = slices.Delete(s, 60, 61)
			return slices.Insert(s, 30, "b", "c")
		}, []int{6, 31, 32, 63}},
		{"emptied", func(s []string) []string { return nil }, []int{1}},
	} {
		have := text(c.edit(slices.Clone(base)))
		if got := Differing(have, text(base)); !slices.Equal(got, c.want) {
			t.Errorf("%s: lines %v, want %v", c.name, got, c.want)
		}
	}
	if got := Differing([]byte("a\nb"), []byte("a\nb\n")); !slices.Equal(got, []int{2}) {
		t.Errorf("the last line's end: lines %v", got)
	}
	if got := Differing(nil, []byte("a\n")); !slices.Equal(got, []int{0}) {
		t.Errorf("an empty file: lines %v, want 0, there are none", got)
	}
	crlf := bytes.ReplaceAll(text(base), []byte("\n"), []byte("\r\n"))
	if got := Differing(crlf, text(base)); len(got) != len(base) {
		t.Errorf("other line ends: %d lines, want all %d", len(got), len(base))
	}
}

// A large file in which nothing agrees must not take long: the search for the
// place where two texts agree again is bounded.
func TestDifferingBounded(t *testing.T) {
	var a, b bytes.Buffer
	for i := range 200_000 {
		fmt.Fprintf(&a, "a%d\n", i)
		fmt.Fprintf(&b, "b%d\n", i)
	}
	if got := Differing(a.Bytes(), b.Bytes()); len(got) != 200_000 {
		t.Errorf("%d lines differ, want 200000", len(got))
	}
}

// The record does not grow for ever, keeps what was written last, and takes
// nothing in twice.
func TestRecordBounded(t *testing.T) {
	t.Parallel()
	o := &Folder{Dir: t.TempDir()}
	unlock, err := o.Lock()
	if err != nil {
		t.Fatal(err)
	}
	defer unlock()
	some := func(n int, what ...any) []staged {
		list := make([]staged, n)
		for k := range list {
			list[k] = staged{fmt.Sprint("name", k), Digest([]byte(fmt.Sprint(append(what, k)...)))}
		}
		return list
	}
	note := func(list []staged) {
		t.Helper()
		if err := o.note(list, nil); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 120 {
		note(some(200, i, " "))
	}
	last := some(200, 119, " ")
	text := read(t, filepath.Join(o.Dir, recordName))
	if len(text) > 2*maxRecord || !strings.HasSuffix(text, last[199].digest+"  name199\n") || !strings.Contains(text, some(1, 118, " ")[0].digest) {
		t.Errorf("the record has %d bytes, or not the last files", len(text))
	}
	if note(last); read(t, filepath.Join(o.Dir, recordName)) != text {
		t.Error("what is known was taken in once more")
	}
	// Nor by one run of very many pictures.
	many := some(40000, "many")
	note(many)
	r, err := o.known()
	if err != nil || !r.has("name39999", many[39999].digest) {
		t.Errorf("after %d pictures: %v, or not the last of them", len(many), err)
	}
	for name := range r.names {
		if !strings.HasPrefix(name, "name") {
			t.Errorf("a line was cut: %q", name)
		}
	}
}

// A file is renamed into its place at the end, or not at all.
func TestWriteFileFails(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "taken")
	if err := os.MkdirAll(filepath.Join(target, "full"), 0o755); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		target:                             target + ": ",
		filepath.Join(dir, "none", "x.nc"): filepath.Join(dir, "none", "x.nc") + ": ",
	} {
		err := WriteFile(path, []byte("x"))
		if err == nil || !strings.HasPrefix(err.Error(), want) || strings.Contains(err.Error(), "cogmend-part") {
			t.Errorf("error %v, want %q and no other name", err, want)
		}
	}
	if got := len(dirNames(t, dir)); got != 1 {
		t.Errorf("%d files are left, want 1", got)
	}
}

// The lock is held by one, given back, and not minded when only its file is
// there.
func TestLock(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "with [brackets] and * spaces")
	if runtime.GOOS == "windows" {
		dir = strings.ReplaceAll(dir, "*", "")
	}
	a, b := &Folder{Dir: dir}, &Folder{Dir: dir}
	unlock, err := a.Lock()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Lock(); err == nil || !strings.Contains(err.Error(), ErrBusy.Error()) {
		t.Errorf("a second lock: %v", err)
	}
	unlock()
	writeTest(t, filepath.Join(dir, ".cogmend-part-1"), "half")
	unlock, err = b.Lock()
	if err != nil {
		t.Fatal(err)
	}
	unlock()
	if n := dirNames(t, dir); !slices.Equal(n, []string{recordName}) {
		t.Errorf("left in the folder: %v", n)
	}
}

// Many take the lock over and over; never two hold it.
func TestLockRace(t *testing.T) {
	dir := t.TempDir()
	var held, won, wrong int
	var mu sync.Mutex
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 200 {
				o := &Folder{Dir: dir}
				unlock, err := o.Lock()
				if err != nil {
					continue
				}
				mu.Lock()
				held++
				won++
				if held > 1 {
					wrong++
				}
				mu.Unlock()
				runtime.Gosched()
				mu.Lock()
				held--
				mu.Unlock()
				unlock()
			}
		})
	}
	all.Wait()
	if wrong > 0 || won < 50 {
		t.Errorf("%d times two held the lock, of %d", wrong, won)
	}
}

func dirNames(t *testing.T, dir string) []string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var n []string
	for _, e := range list {
		n = append(n, e.Name())
	}
	return n
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func writeTest(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}
