package cli

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

	"cogmend/toolpath/job"
)

// command runs one command line and returns what it says.
func command(args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	code = Run(args, strings.NewReader(""), &out, &err)
	return code, out.String(), err.String()
}

// demoJob writes the demo's job with another title and returns its path.
func demoJob(t *testing.T, dir, name, title string) string {
	t.Helper()
	old := `title = "Proof press, roller gear"`
	text := string(job.DemoText())
	if !strings.Contains(text, old) {
		t.Fatalf("the demo has no line %s", old)
	}
	return writeTest(t, filepath.Join(dir, name), strings.Replace(text, old, "title = "+tomlText(title), 1))
}

// tomlText is a TOML basic string.
func tomlText(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		if r < ' ' || r == '"' || r == '\\' || r == 0x7f {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
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

// folder returns the contents of the files of a folder by their names, without
// the record; there is no folder in it.
func folder(t *testing.T, dir string) map[string]string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range list {
		if e.Name() == recordName {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(data)
	}
	return all
}

func fileNames(all map[string]string) []string {
	var n []string
	for name := range all {
		n = append(n, name)
	}
	slices.Sort(n)
	return n
}

// A file is renamed into its place at the end, or not at all.
func TestWriteFileFails(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "taken")
	if err := os.MkdirAll(filepath.Join(target, "full"), 0o755); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		target:                              target + ": ",
		filepath.Join(dir, "none", "x.ngc"): filepath.Join(dir, "none", "x.ngc") + ": ",
	} {
		err := writeFile(path, []byte("x"))
		if err == nil || !strings.HasPrefix(err.Error(), want) || strings.Contains(err.Error(), "cogmend-part") {
			t.Errorf("error %v, want %q and no other name", err, want)
		}
	}
	if got := len(dirNames(t, dir)); got != 1 {
		t.Errorf("%d files are left, want 1", got)
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

// The lock is held by one, given back, and not minded when only its file is
// there.
func TestLock(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "with [brackets] and * spaces")
	if runtime.GOOS == "windows" {
		dir = strings.ReplaceAll(dir, "*", "")
	}
	a, b := &output{dir: dir}, &output{dir: dir}
	unlock, err := a.lock()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.lock(); err == nil || !strings.Contains(err.Error(), errBusy.Error()) {
		t.Errorf("a second lock: %v", err)
	}
	unlock()
	writeTest(t, filepath.Join(dir, ".cogmend-part-1"), "half")
	unlock, err = b.lock()
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
				o := &output{dir: dir}
				unlock, err := o.lock()
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
