package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

// TestReadmeIsTrue holds what the README quotes to what the program does: the
// lines of the demo's table, and the job that it calls whole.
func TestReadmeIsTrue(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "README.md"))
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
	lines := map[string]bool{}
	for line := range strings.Lines(printed.String()) {
		lines[strings.TrimRight(line, " \n")] = true
	}
	for _, q := range quoted {
		if !lines[q[1]] {
			t.Errorf("the README quotes\n%s\nbut make prints\n%s", q[1], printed.String())
		}
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
