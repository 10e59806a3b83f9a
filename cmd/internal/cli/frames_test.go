package cli

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cogmend/cmd/internal/repair"
	"cogmend/toolpath/job"
)

// A name that is a file means that file; the pictures of a program are one
// whole set; what an earlier run left over goes, what others wrote stays.
func TestFramesOfFiles(t *testing.T) {
	t.Chdir(t.TempDir())
	m, err := repair.Make(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(string(m.Programs[0].Text), "(Pass 3: ")
	twoPasses := head + "M2\n"
	draw := func(want int, args ...string) (stdout, stderr string) {
		t.Helper()
		code, stdout, stderr := command(append([]string{"frames", "demo", "--out", "out"}, args...)...)
		if code != want {
			t.Fatalf("%q: code %d, want %d: %s", args, code, want, stderr)
		}
		return stdout, stderr
	}
	pictures := func() (n int) {
		for name := range folder(t, "out") {
			if strings.HasPrefix(name, ".") {
				t.Errorf("%s was left", name)
			}
			n++
		}
		return n
	}
	counted := regexp.MustCompile(`^10-slot\.nc: (\d+) pictures in out\n$`)
	stdout, stderr := draw(exitOK, "slot")
	whole := pictures()
	if m := counted.FindStringSubmatch(stdout); m == nil || whole < 4 || stderr != "" {
		t.Fatalf("%d pictures: %q, %q", whole, stdout, stderr)
	}
	for _, name := range []string{"10-slot", "10-slot.nc"} {
		if draw(exitOK, name); pictures() != whole {
			t.Errorf("%s: %d pictures, of slot %d", name, pictures(), whole)
		}
	}

	// A failing run leaves the set as it was.
	before := folder(t, "out")
	writeTest(t, "10-slot-bad.nc", strings.TrimSuffix(twoPasses, "M2\n"))
	if draw(exitUsage, "10-slot-bad.nc"); !mapsEqual(before, folder(t, "out")) {
		t.Errorf("a failing run leaves %v", fileNames(folder(t, "out")))
	}

	// Of the file, not of the program whose name begins alike; the pictures
	// that it has no more are gone.
	writeTest(t, "10-slot-mine.nc", twoPasses)
	stdout, stderr = draw(exitOK, "10-slot-mine.nc")
	if m := counted.FindStringSubmatch(stdout); m == nil || m[1] != "2" || pictures() != 2 || stderr != "" {
		t.Errorf("%q, %q; the folder holds %v", stdout, stderr, fileNames(folder(t, "out")))
	}

	// What was not written here stays, and is told.
	for _, name := range []string{"10-slot-0003.png", "10-slot-0002-mine.png", "20-insert-0009.png"} {
		writeTest(t, filepath.Join("out", name), "of another hand")
	}
	_, stderr = draw(exitOK, "10-slot-mine.nc")
	if pictures() != 5 || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, "10-slot-0003.png: not of this run, and stays") {
		t.Errorf("%q; the folder holds %v", stderr, fileNames(folder(t, "out")))
	}

	// A file of a program's purpose is a file too, and says nothing.
	writeTest(t, "slot", twoPasses)
	if _, stderr = draw(exitUsage, "slot"); !strings.Contains(stderr, "cannot tell which program") {
		t.Error(stderr)
	}
}

// TestFramesOfWorkDone: programs that have been run are not on the disk to be
// replayed; what they left is known, and the others are drawn upon it.
func TestFramesOfWorkDone(t *testing.T) {
	jobs, err := filepath.Abs(filepath.Join("..", "..", "..", "testdata", "jobs", "good"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for _, args := range [][]string{{"--page"}, {"facets"}} {
		code, stdout, stderr := command(append([]string{"frames", filepath.Join(jobs, "as-cut-loose.toml"), "--out", "out"}, args...)...)
		if code != 0 || stderr != "" || !strings.Contains(stdout, "out") {
			t.Errorf("%q: exit %d, %q, %q", args, code, stdout, stderr)
		}
	}
}
