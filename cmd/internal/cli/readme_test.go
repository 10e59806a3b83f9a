package cli

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

var update = flag.Bool("update", false, "write the lines that the README quotes anew")

// TestScriptOfReadme holds what the README quotes to what the program does: the
// lines of the demo's table, and the job that it calls whole.
func TestScriptOfReadme(t *testing.T) {
	readme := filepath.Join("..", "..", "..", "README.md")
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	var printed, wrong bytes.Buffer
	out := filepath.Join(t.TempDir(), "demo")
	if code := Run([]string{"make", "demo", "--pictures=false", "--out", out}, strings.NewReader(""), &printed, &wrong); code != 0 {
		t.Fatalf("make demo: exit code %d: %s", code, wrong.String())
	}
	quoted := regexp.MustCompile(`(?m)^    ((?:program  |\d\d-\w+\.nc).*)$`).FindAllStringSubmatch(string(text), -1)
	if len(quoted) < 3 {
		t.Fatalf("%d lines of the demo's table in the README, 3 and more wanted", len(quoted))
	}
	lines, now := map[string]bool{}, map[string]string{}
	for line := range strings.Lines(printed.String()) {
		line = strings.TrimRight(line, " \n")
		name, _, _ := strings.Cut(line, " ")
		lines[line], now[name] = true, line
	}
	fresh := string(text)
	for _, q := range quoted {
		name, _, _ := strings.Cut(q[1], " ")
		fresh = strings.Replace(fresh, q[1], now[name], 1)
		if !lines[q[1]] && !*update {
			t.Errorf("the README quotes\n%s\nbut make prints\n%s\n(go test ./cmd/internal/cli -run Readme -update writes it)", q[1], now[name])
		}
	}
	if *update {
		writeTest(t, readme, fresh)
	}

	whole := regexp.MustCompile("(?s)```toml\n(format = 1\n.*?)```").FindSubmatch(text)
	if whole == nil {
		t.Fatal("no whole job in the README")
	}
	file := filepath.Join(t.TempDir(), "whole.toml")
	if err := os.WriteFile(file, whole[1], 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := job.Read(file); err != nil {
		t.Errorf("the README's whole job: %v", err)
	}
}
