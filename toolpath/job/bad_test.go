package job

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the expected mistakes into testdata/jobs/bad")

// wantMark begins a line of a bad job that holds an expected mistake.
const wantMark = "#! "

var wantLine = regexp.MustCompile(`(?m)^(?:\x{feff})?#! (.*?)\r?$`)

// TestBadJobs reads every job of testdata/jobs/bad. Its first lines, "#! ",
// hold line:column, key and message of each mistake, in order and complete.
func TestBadJobs(t *testing.T) {
	paths, err := filepath.Glob(jobs + "/bad/*.toml")
	if err != nil || len(paths) < 90 {
		t.Fatalf("%d bad jobs found, error %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".toml"), func(t *testing.T) {
			src, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if *update {
				src = rewrite(t, path, src)
			}
			var want []string
			for _, m := range wantLine.FindAllStringSubmatch(string(src), -1) {
				want = append(want, m[1])
			}
			if len(want) == 0 {
				t.Fatalf("the file has no line %q", wantMark)
			}
			got := mistakes(t, path)
			if g, w := strings.Join(got, "\n"), strings.Join(want, "\n"); g != w {
				t.Errorf("got\n%s\nwant\n%s", g, w)
			}
		})
	}
}

// mistakes reads a job that must be refused and returns its mistakes without
// the name of the file.
func mistakes(t *testing.T, path string) []string {
	t.Helper()
	j, err := Read(path)
	all, ok := err.(Errors)
	if j != nil || !ok {
		t.Fatalf("job %v, error %v: want no job and Errors", j != nil, err)
	}
	var lines []string
	for _, e := range all {
		line := e.Error()
		if strings.ContainsAny(line, "\r\n\t") {
			t.Errorf("more than one line: %q", line)
		}
		line = strings.TrimPrefix(line, path+":")
		lines = append(lines, strings.TrimPrefix(line, filepath.Dir(path)+string(filepath.Separator)))
	}
	return lines
}

// rewrite puts the mistakes now found at the head of the file. Their number
// moves the lines, so it is found first.
func rewrite(t *testing.T, path string, src []byte) []byte {
	t.Helper()
	text, mark := strings.CutPrefix(string(src), "\ufeff")
	eol := "\n"
	if strings.Contains(text, "\r\n") {
		eol = "\r\n"
	}
	for strings.HasPrefix(text, wantMark) {
		_, text, _ = strings.Cut(text, "\n")
	}
	put := func(lines []string) []byte {
		head := ""
		for _, l := range lines {
			head += wantMark + l + eol
		}
		out := head + text
		if mark {
			out = "\ufeff" + out
		}
		if err := os.WriteFile(path, []byte(out), 0o644); err != nil {
			t.Fatal(err)
		}
		return []byte(out)
	}
	put([]string{"0:0"})
	n := len(mistakes(t, path))
	put(make([]string, n))
	return put(mistakes(t, path))
}

// TestOddFiles covers files that cannot hold a comment and paths that are no
// files.
func TestOddFiles(t *testing.T) {
	dir := t.TempDir()
	file := func(name, content string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	loop := filepath.Join(dir, "loop.toml")
	if err := os.Symlink(loop, loop); err != nil {
		t.Logf("no symbolic links here: %v", err)
		loop = filepath.Join(dir, "none.toml")
	}
	head := "format = 1\nunits = \"mm\"\n"
	for _, c := range []struct{ path, want string }{
		{file("empty.toml", ""), `:1:1: format: this key is missing`},
		{file("blank.toml", "\n\n# nothing\n"), `:1:1: gear: the table [gear] is missing`},
		{file("mark.toml", "\ufeff"), `:1:1: units: this key is missing`},
		{file("binary.toml", "\x00\x01\x02\xff"), `:1:1: byte 0x00: this is not UTF-8 text`},
		{file("utf16.toml", "\xff\xfef\x00o\x00"), `:1:1: byte 0xff: this is not UTF-8 text`},
		{file("latin.toml", "title = \"Z\xe4hne\"\n"), `:1:11: byte 0xe4`},
		{file("huge.toml", strings.Repeat("# filler\n", 200000)), `: the file is larger than 1048576 bytes`},
		{file("lists.toml", head+"a = "+strings.Repeat("[", 500000)), `:3:14: a: brackets are nested more than 8 deep`},
		{file("tables.toml", head+"a = "+strings.Repeat("{a=", 300000)), `:3:28: a.a.a.a.a.a.a.a: this key has more than 8 parts`},
		{file("parts.toml", head+strings.Repeat("a.", 500000)+"a = 1"), `:3:18: this key has more than 8 parts`},
		{file("many.toml", head+unknownKeys(5000)), `: and 4`},
		{dir, `: this is a folder, not a file`},
		{filepath.Join(dir, "none.toml"), `: no such file`},
		{loop, `: `},
		{filepath.Join(dir, "a\x00b"), `: `},
		{os.DevNull, `: this is not a plain file`},
	} {
		j, err := Read(c.path)
		if j != nil || err == nil {
			t.Fatalf("%q: job %v, error %v", c.path, j != nil, err)
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %.300v, want %q in it", c.path, err, c.want)
		}
		if n := strings.Count(err.Error(), "\n"); n > maxErrors {
			t.Errorf("%q: %d lines", c.path, n)
		}
	}
}

func unknownKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "unknown%d = 1\n", i)
	}
	return b.String()
}
