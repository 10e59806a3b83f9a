package cli

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"cogmend/cmd/internal/outdir"
)

// cogmend builds the program and returns its path.
func cogmend(t *testing.T) string {
	t.Helper()
	exe := filepath.Join(t.TempDir(), "cogmend")
	if runtime.GOOS == "windows" {
		exe += ".exe"
	}
	if out, err := exec.Command("go", "build", "-o", exe, "cogmend/cmd/cogmend").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return exe
}

// versions makes the repair of each title in a folder of its own and returns
// the job files and what is written for each.
func versions(t *testing.T, pictures string, titles ...string) (paths []string, sets []map[string]string) {
	t.Helper()
	dir := t.TempDir()
	for i, title := range titles {
		path := demoJob(t, dir, fmt.Sprintf("job%d.toml", i), title)
		out := filepath.Join(dir, fmt.Sprintf("out%d", i))
		if code, _, stderr := command("make", path, "--out", out, "--quiet", pictures); code != exitOK {
			t.Fatalf("code %d: %s", code, stderr)
		}
		paths = append(paths, path)
		sets = append(sets, folder(t, out))
	}
	return paths, sets
}

// whichVersion returns whose file it is, -1: nobody's.
func whichVersion(sets []map[string]string, name, data string) int {
	return slices.IndexFunc(sets, func(s map[string]string) bool {
		have, ok := s[name]
		return ok && have == data
	})
}

// kills is how many runs are killed; with COGMEND_SOAK ten times as many, that
// draw the pictures too.
const kills = 24

// TestKill kills make at random moments: the folder then holds the whole set of
// one job, where the system can exchange two folders, and the next run works.
func TestKill(t *testing.T) {
	t.Parallel()
	exe := cogmend(t)
	n, pictures := kills, "--pictures=false"
	if os.Getenv("COGMEND_SOAK") != "" {
		n, pictures = 10*kills, "--pictures"
	}
	paths, sets := versions(t, pictures, "first", "second, with a longer title", "third")
	out := filepath.Join(t.TempDir(), "out")
	args := func(i int) []string { return []string{"make", paths[i], "--out", out, "--quiet", pictures} }
	began := time.Now()
	if text, err := exec.Command(exe, args(0)...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	whole := time.Since(began)
	random := rand.New(rand.NewPCG(1, 2))
	killed, mixed := 0, 0
	for i := range n {
		cmd := exec.Command(exe, args(random.IntN(len(paths)))...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		delay := time.Duration(random.Int64N(int64(whole)))
		if i%4 > 0 { // most kills while it writes
			awaitWriting(filepath.Join(out, recordName), whole)
			delay = time.Duration(random.Int64N(int64(4 * time.Millisecond)))
		}
		time.Sleep(delay)
		cmd.Process.Kill() // may be done already
		if cmd.Wait(); !cmd.ProcessState.Success() {
			killed++
		}
		now := folder(t, out)
		for name, data := range now {
			if whichVersion(sets, name, data) < 0 {
				t.Fatalf("kill %d after %v: %s is of no job: %d bytes", i, delay, name, len(data))
			}
		}
		if !slices.ContainsFunc(sets, func(s map[string]string) bool { return mapsEqual(s, now) }) {
			mixed++
		}
		if i%4 == 3 { // several kills may come before a run that ends
			next := random.IntN(len(paths))
			if text, err := exec.Command(exe, args(next)...).CombinedOutput(); err != nil {
				t.Fatalf("after kill %d: %v\n%s", i, err, text)
			}
			if !mapsEqual(folder(t, out), sets[next]) {
				t.Fatalf("after kill %d the folder holds %v, not what the next run writes", i, fileNames(folder(t, out)))
			}
		}
	}
	t.Logf("%d of %d runs were killed (a run takes %v), %d times the folder held no whole set", killed, n, whole, mixed)
	if mixed > 0 && runtime.GOOS == "linux" {
		t.Errorf("%d times the folder held no whole set, where two folders can be exchanged", mixed)
	}
	if killed == 0 { // how many is a matter of the machine's speed
		t.Errorf("none of %d runs was killed before its end", n)
	}
}

// awaitWriting waits until the record is written to, or for as long as a run
// takes at most.
func awaitWriting(record string, most time.Duration) {
	size := func() int64 {
		info, err := os.Stat(record)
		if err != nil {
			return 0
		}
		return info.Size()
	}
	before := size()
	for end := time.Now().Add(2 * most); size() == before && time.Now().Before(end); {
		time.Sleep(50 * time.Microsecond)
	}
}

// TestTwoRuns starts runs of several jobs at once in one folder: those that
// come too late say so, and the folder holds one job's files only.
func TestTwoRuns(t *testing.T) {
	t.Parallel()
	exe := cogmend(t)
	paths, sets := versions(t, "--pictures=false", "first", "second", "third")
	out := filepath.Join(t.TempDir(), "out")
	for round := range 4 {
		type ended struct {
			err  error
			text string
		}
		results := make([]ended, 2*len(paths))
		var all sync.WaitGroup
		for i := range results {
			all.Go(func() {
				text, err := exec.Command(exe, "make", paths[i%len(paths)], "--out", out, "--quiet", "--pictures=false").CombinedOutput()
				results[i] = ended{err, string(text)}
			})
		}
		all.Wait()
		good := 0
		want := fmt.Sprintf("cogmend: %s: %v\n", out, outdir.ErrBusy)
		for _, r := range results {
			if r.err == nil && r.text == "" {
				good++
			} else if r.text != want {
				t.Errorf("round %d: %v: %q", round, r.err, r.text)
			}
		}
		if good == 0 {
			t.Errorf("round %d: no run came through", round)
		}
		if !slices.ContainsFunc(sets, func(s map[string]string) bool { return mapsEqual(s, folder(t, out)) }) {
			t.Errorf("round %d: the folder holds files of several jobs: %v", round, fileNames(folder(t, out)))
		}
	}
}
