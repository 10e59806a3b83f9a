package cli

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"cogmend/gcode/replay"
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
		if got := differing(have, text(base)); !slices.Equal(got, c.want) {
			t.Errorf("%s: lines %v, want %v", c.name, got, c.want)
		}
	}
	if got := differing([]byte("a\nb"), []byte("a\nb\n")); !slices.Equal(got, []int{2}) {
		t.Errorf("the last line's end: lines %v", got)
	}
	if got := differing(nil, []byte("a\n")); !slices.Equal(got, []int{0}) {
		t.Errorf("an empty file: lines %v, want 0, there are none", got)
	}
	crlf := bytes.ReplaceAll(text(base), []byte("\n"), []byte("\r\n"))
	if got := differing(crlf, text(base)); len(got) != len(base) {
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
	if got := differing(a.Bytes(), b.Bytes()); len(got) != 200_000 {
		t.Errorf("%d lines differ, want 200000", len(got))
	}
}

// A program changed by hand stays, with every other file, and its lines are
// named; --replace writes it anew.
func TestEditedByHand(t *testing.T) {
	dir := t.TempDir()
	path := demoJob(t, dir, "press.toml", "first")
	out := filepath.Join(dir, "press-repair")
	if code, _, stderr := command("make", path, "--quiet"); code != exitOK {
		t.Fatalf("code %d: %s", code, stderr)
	}
	program := filepath.Join(out, "30-flush.ngc")
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
	if got := folder(t, out)["30-flush.ngc"]; got == edited || !strings.Contains(got, "second") {
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
		if name != "10-slot.ngc" && name != "20-insert.ngc" {
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
	air := filepath.Join(out, "air-40-facets.ngc")
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
	if code, _, stderr := command("make", path); code != exitFound || strings.Count(stderr, "changed by hand") != 6 {
		t.Errorf("without a record: code %d: %s", code, stderr)
	}
}

// TestOlderParts: a new state of the job takes away what --lift and --from
// wrote for the one before, but for what a person changed or wrote.
func TestOlderParts(t *testing.T) {
	dir := t.TempDir()
	demoJob(t, dir, "press.toml", "first")
	path, out := filepath.Join(dir, "press.toml"), filepath.Join(dir, "press-repair")
	for _, args := range [][]string{{"--lift", "70"}, {"--from", "facets:7"}} {
		if code, _, stderr := command(append([]string{"make", path}, args...)...); code != exitOK {
			t.Fatal(stderr)
		}
	}
	air, from, own := filepath.Join(out, "air-10-slot.ngc"), filepath.Join(out, "40-facets-from-7.ngc"), filepath.Join(out, "my-from-top.ngc")
	writeTest(t, air, read(t, air)+"(by hand)\n")
	writeTest(t, own, "M2\n")
	for _, c := range []struct {
		title string
		stay  []string
		told  string
	}{
		{"first", []string{air, from, own, filepath.Join(out, "air-40-facets.ngc")}, ""},
		{"second", []string{air, own}, "air-10-slot.ngc is of another state of the job"},
	} {
		demoJob(t, dir, "press.toml", c.title)
		code, _, stderr := command("make", path, "--pictures=false", "--quiet")
		if code != exitOK || !strings.Contains(stderr, c.told) || c.told == "" && stderr != "" {
			t.Errorf("%s: code %d: %q", c.title, code, stderr)
		}
		var have []string
		for _, p := range []string{air, from, own, filepath.Join(out, "air-40-facets.ngc")} {
			if _, err := os.Stat(p); err == nil {
				have = append(have, p)
			}
		}
		if !slices.Equal(have, c.stay) {
			t.Errorf("%s: %v are there, want %v", c.title, have, c.stay)
		}
	}
}

// The record does not grow for ever, and keeps what was written last.
func TestRecordBounded(t *testing.T) {
	o := &output{dir: t.TempDir()}
	unlock, err := o.lock()
	if err != nil {
		t.Fatal(err)
	}
	defer unlock()
	for i := range 200 {
		o.files = o.files[:0]
		for k := range 200 {
			o.add(fmt.Sprintf("%d.ngc", k), []byte(fmt.Sprint(i, k)))
		}
		if err := o.note(); err != nil {
			t.Fatal(err)
		}
	}
	text := read(t, filepath.Join(o.dir, recordName))
	if len(text) > 2*maxRecord || !strings.HasSuffix(text, digest([]byte("199 199"))+"\n") || !strings.Contains(text, digest([]byte("198 0"))) {
		t.Errorf("the record has %d bytes, or not the last files", len(text))
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
const kills = 40

// TestKill kills make at random moments: every file under a final name is
// then whole, of the old job or of the new one, and the next run works.
func TestKill(t *testing.T) {
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
	killed, mixed, parts := 0, 0, map[string]bool{}
	for i := range n {
		cmd := exec.Command(exe, args(random.IntN(len(paths)))...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		delay := time.Duration(random.Int64N(int64(whole)))
		if i%4 > 0 { // most kills while it writes
			awaitWriting(filepath.Join(out, recordName), whole)
			delay = time.Duration(random.Int64N(int64(10 * time.Millisecond)))
		}
		time.Sleep(delay)
		cmd.Process.Kill() // may be done already
		if cmd.Wait(); !cmd.ProcessState.Success() {
			killed++
		}
		seen := map[int]bool{}
		for name, data := range folder(t, out) {
			if strings.HasPrefix(name, ".cogmend-part-") {
				parts[name] = true
				continue
			}
			v := whichVersion(sets, name, data)
			if v < 0 {
				t.Fatalf("kill %d after %v: %s is of no job: %d bytes", i, delay, name, len(data))
			}
			seen[v] = true
		}
		if len(seen) > 1 {
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
	t.Logf("%d of %d runs were killed (a run takes %v), %d half files were left under no final name, %d times files of two jobs stood beside each other", killed, n, whole, len(parts), mixed)
	if killed < n/4 {
		t.Errorf("only %d of %d runs were killed before their end", killed, n)
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
		want := fmt.Sprintf("cogmend: %s: %v\n", out, errBusy)
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

// hostile are titles that try to end a comment, begin a block, leave the
// folder or steer what reads the programs.
var hostile = []string{
	"ends) G1 Z-99 F5000 (begins",
	")G0 X0 Y0 Z-50",
	"(nested (twice))",
	"line\nG0 Z-50",
	"line\r\nM3 S9999\r\n",
	"\u2028G0 Z-50\u2029M2\u0085M30",
	"%\nO1000",
	"%d %s %n %!v %",
	"; G1 Z-5",
	"#1=5 G0 Z#1",
	"M2",
	"MSG, press the green button",
	"m s g ,hidden",
	"DEBUG, #5", "PRINT, x", "LOG, x", "PROBEOPEN x.txt",
	"../../escape", `..\..\escape`, "/etc/passwd", `C:\x.ngc`, "con.ngc", "a/b/c",
	"nul\x00byte", "bell\x07", "esc\x1b[2J", "tab\tG0", "\x7f", "\u202egnp.elif",
	"Zähne – ½ Zoll ⌀ 12 µm × 3°", "歯車", "🦷🦷🦷", "\ufeffmark", "fullwidth （ ）Ｇ０",
	"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "</title><!--", "{{.}} {{template \"x\"}}", "javascript:alert(1)",
	"'; DROP TABLE teeth; --", "$(touch x) `touch x`",
	"Pass 2: right facet", "GEAR AT 33.0000 DEG", "(GEAR AT 33.0000 DEG)",
	strings.Repeat("x", 52) + " Pass 3: wrapped to the front of a line",
	strings.Repeat("x", 60) + " GEAR AT 33.0000 DEG",
	"Step 4.", "Put in T4", strings.Repeat("x", 64) + " Step 4.", strings.Repeat("x", 64) + " Put in T4",
	strings.Repeat("(", 80), strings.Repeat(")", 80), strings.Repeat("%", 80), strings.Repeat("é", 80), strings.Repeat("m ", 40),
}

var comments = regexp.MustCompile(`\([^()\n]*\)`)

// noComments is a program without its comments and blank lines.
func noComments(text string) string {
	var b strings.Builder
	for line := range strings.Lines(comments.ReplaceAllString(text, "")) {
		if s := strings.TrimRight(line, "\r\n"); s != "" {
			b.WriteString(s + "\n")
		}
	}
	return b.String()
}

// TestHostileTitles makes repairs with titles written by an attacker: the
// blocks of every program stay those of the plain title, every line is plain
// text, and nothing is written outside the folder. The demo is one job; the
// other is indexed by hand, so that comments carry its angles.
func TestHostileTitles(t *testing.T) {
	for name, base := range map[string]string{"demo": string(job.DemoText()), "by hand": read(t, "../../../testdata/jobs/good/head.toml")} {
		titles := hostile
		if name == "by hand" {
			titles = slices.DeleteFunc(slices.Clone(hostile), func(s string) bool { return !strings.Contains(s, "GEAR") })
		}
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			code, plain, stderr := titled(t, dir, base, "plain")
			if code != exitOK {
				t.Fatalf("code %d: %s", code, stderr)
			}
			refused := 0
			for _, title := range titles {
				code, got, stderr := titled(t, dir, base, title)
				switch {
				case code == exitUsage && strings.Count(stderr, "\n") == 1 && strings.Contains(stderr, "title"):
					refused++
					continue
				case code != exitOK:
					t.Errorf("title %q: code %d\n%s", title, code, stderr)
					continue
				}
				if n := dirNames(t, dir); !slices.Equal(n, []string{"press-repair", "press.toml"}) {
					t.Fatalf("title %q: beside the folder: %v", title, n)
				}
				for name, text := range got {
					harmless(t, title, name, text, plain[name])
				}
				if !strings.Contains(title, "GEAR") {
					continue
				}
				if code, _, stderr := command("check", filepath.Join(dir, "press.toml")); code != exitOK {
					t.Errorf("title %q: check: code %d\n%s", title, code, stderr)
				}
			}
			t.Logf("%d titles, %d of them refused", len(titles), refused)
		})
	}
}

// plainName is the form of every name we give a file.
var plainName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]*\.[a-z]+$`)

var titleLine = regexp.MustCompile(`(?m)^title = .*$`)

// titled makes the repair of a job with another title.
func titled(t *testing.T, dir, base, title string) (code int, files map[string]string, stderr string) {
	t.Helper()
	if !titleLine.MatchString(base) {
		t.Fatal("the job has no title")
	}
	path := writeTest(t, filepath.Join(dir, "press.toml"), titleLine.ReplaceAllLiteralString(base, "title = "+tomlText(title)))
	pictures := "--pictures=false"
	if strings.ContainsAny(title, "<{:\x1b") { // what a page may run
		pictures = "--pictures"
	}
	code, _, stderr = command("make", path, "--quiet", pictures)
	if code == exitUsage {
		return code, nil, stderr
	}
	files = folder(t, filepath.Join(dir, "press-repair"))
	for name := range files {
		if !plainName.MatchString(name) {
			t.Errorf("title %q: a file is called %q", title, name)
		}
		if pictures != "--pictures" && filepath.Ext(name) != programExt && filepath.Ext(name) != ".txt" {
			delete(files, name) // a picture of an earlier title
		}
	}
	return code, files, stderr
}

// harmless says whether a file written under a hostile title does what the
// same file does under a plain one.
func harmless(t *testing.T, title, name, text, plain string) {
	t.Helper()
	switch filepath.Ext(name) {
	case programExt:
		if noComments(text) != noComments(plain) {
			t.Errorf("title %q: other blocks in %s", title, name)
		}
		for i := range len(text) {
			if c := text[i]; c != '\n' && (c < ' ' || c > '~') {
				t.Fatalf("title %q: byte %#x in %s", title, c, name)
			}
		}
		s, err := replay.Summarise(strings.NewReader(text), name, 0, 0)
		if err != nil || len(s.Messages) > 0 {
			t.Errorf("title %q: %s: error %v, messages %q", title, name, err, s.Messages)
		}
	case ".txt":
		if strings.ContainsAny(text, "\x00\x07\x1b\x7f\r\u2028\u202e") {
			t.Errorf("title %q: control characters in %s", title, name)
		}
	case ".html":
		for _, bad := range []string{"<script>alert", "<img src=x", "</title><!--", "\x1b", "\u202e"} {
			if strings.Contains(text, bad) {
				t.Errorf("title %q: %q in %s", title, bad, name)
			}
		}
	}
}

// TestPassesOfHostileTitles starts again at a pass under titles that look like
// passes.
func TestPassesOfHostileTitles(t *testing.T) {
	dir := t.TempDir()
	var want string
	for _, title := range append([]string{"plain"}, hostile...) {
		if title != "plain" && !strings.Contains(title, "Pass") && !strings.Contains(title, "GEAR") && !strings.Contains(title, "(") {
			continue
		}
		path := demoJob(t, dir, "press.toml", title)
		code, _, stderr := command("make", path, "--from", "facets:7")
		if code == exitUsage && strings.Contains(stderr, "title") {
			continue
		}
		if code != exitOK {
			t.Errorf("title %q: code %d\n%s", title, code, stderr)
			continue
		}
		got := noComments(folder(t, filepath.Join(dir, "press-repair"))["40-facets-from-7.ngc"])
		if want == "" {
			want = got
		}
		if got == "" || got != want {
			t.Errorf("title %q: other blocks", title)
		}
	}
}

// TestOddPaths has jobs in folders and under names with spaces and other
// marks, and with line ends of either kind.
func TestOddPaths(t *testing.T) {
	names := []string{"two words.toml", "no-extension", "dots.in.name.toml", "-dash.toml", "Zähne ½.toml", "100%d.toml", "[a]*.toml", "(a).toml", "a;b'c.toml"}
	if runtime.GOOS == "windows" {
		names = slices.DeleteFunc(names, func(s string) bool { return strings.ContainsAny(s, `*?"<>|`) })
	}
	for i, name := range names {
		dir := filepath.Join(t.TempDir(), "my gears [old]")
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		text := string(job.DemoText())
		if i%2 == 1 {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		path := writeTest(t, filepath.Join(dir, name), text)
		if code, _, stderr := command("make", path, "--quiet", "--pictures=false"); code != exitOK {
			t.Errorf("%q: code %d: %s", name, code, stderr)
			continue
		}
		out := strings.TrimSuffix(name, filepath.Ext(name)) + "-repair"
		if got := dirNames(t, dir); len(got) != 2 || !slices.Contains(got, out) {
			t.Errorf("%q: the folder holds %v, want %q", name, got, out)
		}
		if code, _, stderr := command("check", path); code != exitOK {
			t.Errorf("%q: check: code %d: %s", name, code, stderr)
		}
	}
}

// TestCRLFJobIsTheSame: only the fingerprint tells a job with the line ends of
// another system apart.
func TestCRLFJobIsTheSame(t *testing.T) {
	dir := t.TempDir()
	lf := writeTest(t, filepath.Join(dir, "lf.toml"), string(job.DemoText()))
	crlf := writeTest(t, filepath.Join(dir, "crlf.toml"), strings.ReplaceAll(string(job.DemoText()), "\n", "\r\n"))
	for _, path := range []string{lf, crlf} {
		if code, _, stderr := command("make", path, "--quiet", "--pictures=false"); code != exitOK {
			t.Fatalf("%s: code %d: %s", path, code, stderr)
		}
	}
	a, b := folder(t, filepath.Join(dir, "lf-repair")), folder(t, filepath.Join(dir, "crlf-repair"))
	for name := range a {
		if filepath.Ext(name) == programExt && noComments(a[name]) != noComments(b[name]) {
			t.Errorf("%s differs", name)
		}
	}
}
