package cli

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"cogmend": func() { os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command lines of testdata/script as a user would type
// them.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:  filepath.Join("..", "..", "..", "testdata", "script"),
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"code": exitCode},
	})
}

// exitCode runs a command and holds its exit code: code 1 cogmend check demo.
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	if err != nil {
		ts.Fatalf("code %q: a number is wanted", args[0])
	}
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%s: %v", args[1], err)
	}
	if got != want {
		ts.Fatalf("%v: exit code %d, want %d", args[1:], got, want)
	}
}
