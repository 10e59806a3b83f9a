package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

// A program changed by hand stays, with every other file, and its lines are
// named; --replace writes it anew.
func TestEditedByHand(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	path := demoJob(t, dir, "press.toml", "first")
	out := filepath.Join(dir, "press-repair")
	if code, _, stderr := command("make", path, "--quiet"); code != exitOK {
		t.Fatalf("code %d: %s", code, stderr)
	}
	program := filepath.Join(out, "30-flush.nc")
	whole, err := os.ReadFile(program)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(whole), "\n")
	at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "G1 ") })
	if at < 0 {
		t.Fatal("no feed in the program")
	}
	lines[at] = "(by hand)\n" + lines[at]
	edited := strings.Join(lines, "")
	writeTest(t, program, edited)
	before := folder(t, out)

	code, stdout, stderr := command("make", path)
	want := fmt.Sprintf("cogmend: %s was changed by hand and is not overwritten; it differs in line %d\nhint: ", program, at+1)
	if code != exitFound || stdout != "" || !strings.HasPrefix(stderr, want) || strings.Count(stderr, "\n") != 2 {
		t.Errorf("code %d\n%s\nwant code %d and\n%s", code, stderr, exitFound, want)
	}
	if after := folder(t, out); !mapsEqual(before, after) {
		t.Error("the folder was changed")
	}
	// Another job: the other programs are ours and may be overwritten, this
	// one still not.
	demoJob(t, dir, "press.toml", "second")
	if code, _, _ := command("make", path); code != exitFound || !mapsEqual(before, folder(t, out)) {
		t.Errorf("code %d, folder changed: %v", code, !mapsEqual(before, folder(t, out)))
	}
	if code, _, stderr := command("make", path, "--replace", "--quiet"); code != exitOK {
		t.Fatalf("code %d: %s", code, stderr)
	}
	if got := folder(t, out)["30-flush.nc"]; got == edited || !strings.Contains(got, "second") {
		t.Error("--replace did not write the program")
	}
}

func mapsEqual(a, b map[string]string) bool {
	return slices.Equal(fileNames(a), fileNames(b)) && func() bool {
		for k := range a {
			if a[k] != b[k] {
				return false
			}
		}
		return true
	}()
}

// What a run wrote before it was ended, and programs raised or begun at a pass
// for an earlier form of the job, are not taken for changes by hand.
func TestOursIsOurs(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	path := demoJob(t, dir, "press.toml", "first")
	out := filepath.Join(dir, "press-repair")
	must := func(args ...string) {
		t.Helper()
		if code, _, stderr := command(append(args, "--quiet", "--pictures=false")...); code != exitOK {
			t.Fatalf("%v: code %d: %s", args, code, stderr)
		}
	}
	must("make", path)
	must("make", path, "--lift", "60")
	must("make", path, "--from", "facets:7")
	first := folder(t, out)
	demoJob(t, dir, "press.toml", "second")
	must("make", path)
	// Ended between the second and the third file, with half a file left.
	for name, data := range first {
		if name != "10-slot.nc" && name != "20-insert.nc" {
			writeTest(t, filepath.Join(out, name), data)
		}
	}
	writeTest(t, filepath.Join(out, ".cogmend-part-1234"), "half")
	demoJob(t, dir, "press.toml", "third")
	must("make", path)
	must("make", path, "--lift", "70")
	must("make", path, "--from", "facets:7")
	if got, want := fileNames(folder(t, out)), fileNames(first); !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	air := filepath.Join(out, "air-40-facets.nc")
	edited := read(t, air) + "(by hand)\n"
	writeTest(t, air, edited)
	if code, _, stderr := command("make", path, "--lift", "80"); code != exitFound || !strings.Contains(stderr, "changed by hand") || read(t, air) != edited {
		t.Errorf("a raised program changed by hand: code %d: %s", code, stderr)
	}
	// Without a record nothing is known to be ours.
	if err := os.Remove(filepath.Join(out, recordName)); err != nil {
		t.Fatal(err)
	}
	demoJob(t, dir, "press.toml", "fourth")
	if code, _, stderr := command("make", path); code != exitFound || strings.Count(stderr, "changed by hand") != 8 {
		t.Errorf("without a record: code %d: %s", code, stderr)
	}
}

// TestOlderParts: a new state of the job takes away what --lift and --from
// wrote for the one before, but for what a person changed or wrote.
func TestOlderParts(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	demoJob(t, dir, "press.toml", "first")
	path, out := filepath.Join(dir, "press.toml"), filepath.Join(dir, "press-repair")
	for _, args := range [][]string{{"--lift", "70"}, {"--from", "facets:7"}} {
		if code, _, stderr := command(append([]string{"make", path}, args...)...); code != exitOK {
			t.Fatal(stderr)
		}
	}
	air, from, own := filepath.Join(out, "air-10-slot.nc"), filepath.Join(out, "40-facets-from-7.nc"), filepath.Join(out, "my-from-top.nc")
	writeTest(t, air, read(t, air)+"(by hand)\n")
	writeTest(t, own, "M2\n")
	if err := os.Mkdir(filepath.Join(out, "10-slot-from-1.nc"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		title string
		stay  []string
		told  string
	}{
		{"first", []string{air, from, own, filepath.Join(out, "air-40-facets.nc")}, "10-slot-from-1.nc is of another state"},
		{"second", []string{air, own}, "air-10-slot.nc is of another state of the job"},
	} {
		demoJob(t, dir, "press.toml", c.title)
		code, _, stderr := command("make", path, "--pictures=false", "--quiet")
		if code != exitOK || !strings.Contains(stderr, c.told) {
			t.Errorf("%s: code %d: %q", c.title, code, stderr)
		}
		var have []string
		for _, p := range []string{air, from, own, filepath.Join(out, "air-40-facets.nc")} {
			if _, err := os.Stat(p); err == nil {
				have = append(have, p)
			}
		}
		if !slices.Equal(have, c.stay) {
			t.Errorf("%s: %v are there, want %v", c.title, have, c.stay)
		}
	}
	demoJob(t, dir, "press.toml", "first")
	for _, pass := range []string{"7", "9"} {
		if code, _, stderr := command("make", path, "--from", "facets:"+pass); code != exitOK {
			t.Fatal(stderr)
		}
		demoJob(t, dir, "press.toml", "third")
	}
	if _, err := os.Stat(from); err == nil {
		t.Error("a restart of the state before stays beside the new one")
	}
}

// TestStrangersFiles: a file of the name of a program that the job does not
// write, and reports, pictures and sheets that a person has changed, stay and
// are named; --replace takes them, and names them too.
func TestStrangersFiles(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	text := strings.Replace(string(job.DemoText()), "\nstep = ", "\n# step = ", 1)
	if text == string(job.DemoText()) {
		t.Fatal("the demo has no fit.step")
	}
	path, out := writeTest(t, filepath.Join(dir, "press.toml"), text), filepath.Join(dir, "press-repair")
	if code, _, stderr := command("make", path, "--quiet"); code != exitOK {
		t.Fatal(stderr)
	}
	sheet, picture, fit := filepath.Join(out, "sheet.html"), filepath.Join(out, "10-slot.png"), filepath.Join(out, "22-fit.nc")
	writeTest(t, fit, "M2\n")
	if code, _, stderr := command("make", path, "--quiet"); code != exitOK || !strings.Contains(stderr, fit+" is not of this run") || read(t, fit) != "M2\n" {
		t.Errorf("a stranger's program: code %d: %s", code, stderr)
	}
	for _, p := range []string{sheet, picture} {
		writeTest(t, p, "changed")
	}
	before := folder(t, out)
	code, _, stderr := command("make", path, "--quiet")
	if code != exitFound || !strings.Contains(stderr, sheet+" was changed or written by hand") || !strings.Contains(stderr, picture+" was changed or written by hand") || !mapsEqual(before, folder(t, out)) {
		t.Errorf("a changed sheet: code %d: %s", code, stderr)
	}
	// Without pictures they would only stand beside new programs.
	code, _, stderr = command("make", path, "--quiet", "--pictures=false")
	if code != exitOK || !strings.Contains(stderr, sheet+" is of an earlier run") || read(t, sheet) != "changed" || read(t, picture) != "changed" {
		t.Errorf("without pictures: code %d: %s", code, stderr)
	}
	if names := dirNames(t, out); slices.ContainsFunc(names, func(n string) bool { return strings.HasSuffix(n, ".png") && n != "10-slot.png" }) {
		t.Errorf("pictures of the run before stay: %v", names)
	}
	code, _, stderr = command("make", path, "--quiet", "--replace", "--pictures=false")
	if set := folder(t, out); code != exitOK || strings.Count(stderr, "replaced, though changed") != 3 || set["22-fit.nc"] != "" || set["sheet.html"] != "" || set["10-slot.png"] != "" {
		t.Errorf("with --replace: code %d: %s", code, stderr)
	}
}
