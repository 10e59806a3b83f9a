package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"cogmend/gcode/machine"
	"cogmend/toolpath/job"
)

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
	"../../escape", `..\..\escape`, "/etc/passwd", `C:\x.nc`, "con.nc", "a/b/c",
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
	t.Parallel()
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
		if pictures != "--pictures" && filepath.Ext(name) != ".nc" && filepath.Ext(name) != ".txt" {
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
	case ".nc":
		if noComments(text) != noComments(plain) {
			t.Errorf("title %q: other blocks in %s", title, name)
		}
		for i := range len(text) {
			if c := text[i]; c != '\n' && (c < ' ' || c > '~') {
				t.Fatalf("title %q: byte %#x in %s", title, c, name)
			}
		}
		s, err := machine.Summarise(strings.NewReader(text), name, 0, 0)
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
	t.Parallel()
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
		got := noComments(folder(t, filepath.Join(dir, "press-repair"))["40-facets-from-7.nc"])
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
		if filepath.Ext(name) == ".nc" && noComments(a[name]) != noComments(b[name]) {
			t.Errorf("%s differs", name)
		}
	}
}
