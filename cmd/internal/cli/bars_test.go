package cli

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
	"testing"
)

// What a reader can still take in, our own rules: lines of a file, of a function
// that is not a test's, and of the package of commands, which is to hold no more
// than flags, messages and exit codes.
const (
	mostFileLines     = 450
	mostFunctionLines = 70
	mostCommandLines  = 3000
)

// wordier are the files of tests that are longer, with what they may have: they
// may shrink, and no other may grow to it.
var wordier = map[string]int{
	"cmd/internal/repair/judge_test.go":  580,
	"cmd/internal/repair/random_test.go": 580,
	"profiles/measure/gauge_test.go":     500,
	"toolpath/plan_test.go":              510,
	"toolpath/post/post_test.go":         490,
}

// TestBars holds every file of the tree against them.
func TestBars(t *testing.T) {
	const root = "../../.."
	commands := 0
	err := goFiles(root, func(path, rel string) error {
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		lines := set.Position(file.FileEnd).Line
		if lines > max(mostFileLines, wordier[rel]) {
			t.Errorf("%s has %d lines, %d at most", rel, lines, max(mostFileLines, wordier[rel]))
		}
		if strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		if strings.HasPrefix(rel, "cmd/internal/cli/") {
			commands += lines
		}
		for _, decl := range file.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if n := set.Position(f.End()).Line - set.Position(f.Pos()).Line + 1; n > mostFunctionLines {
				t.Errorf("%s: %s has %d lines, %d at most", rel, f.Name.Name, n, mostFunctionLines)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if commands == 0 || commands > mostCommandLines {
		t.Errorf("the commands have %d lines, %d at most", commands, mostCommandLines)
	}
}
