package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
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

// recordName is the file that lists what was written into a folder.
const recordName = ".cogmend-written"

// folder returns the contents of the files of a folder by their names, as one
// sees them who knows nothing of us; there is no folder in it.
func folder(t *testing.T, dir string) map[string]string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range list {
		if strings.HasPrefix(e.Name(), ".cogmend-") {
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
