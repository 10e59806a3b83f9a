package cli

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// ours begins the path of every package of this module.
const ours = "cogmend/"

// arrows says which packages of ours each package may import. A new package
// is added here on purpose, or the test fails.
var arrows = map[string][]string{
	"profiles/geom":               {},
	"gcode":                       {},
	"profiles":                    {"profiles/geom"},
	"profiles/measure":            {"profiles", "profiles/geom"},
	"profiles/estimate/elastic":   {"profiles/geom"},
	"profiles/estimate":           {"profiles/estimate/elastic", "profiles", "profiles/geom"},
	"profiles/copied":             {"profiles", "profiles/geom"},
	"profiles/internal/published": {},
	"gcode/machine":               {"gcode"},
	"gcode/replay":                {"gcode", "gcode/machine", "profiles/geom"},
	"toolpath/job":                {"profiles", "profiles/copied", "profiles/measure", "profiles/estimate", "profiles/geom"},
	"toolpath/design":             {"toolpath/job", "profiles", "profiles/copied", "profiles/measure", "profiles/estimate", "profiles/geom"},
	"toolpath/metal":              {"toolpath/design", "toolpath/job", "profiles", "profiles/measure", "profiles/estimate", "profiles/geom", "gcode", "gcode/machine", "gcode/replay"},
	"toolpath":                    {"gcode", "toolpath/design", "toolpath/job", "toolpath/metal", "profiles", "profiles/measure", "profiles/estimate", "profiles/geom"},
	"toolpath/post":               {"toolpath", "toolpath/job", "profiles", "profiles/measure", "profiles/estimate", "profiles/geom", "gcode"},
	"toolpath/chain":              {"toolpath/post", "toolpath", "toolpath/metal", "gcode", "gcode/replay"},
	"preview/figure":              {"profiles/geom"},
	"preview/sheet":               {"preview/figure", "toolpath", "toolpath/metal", "toolpath/design", "toolpath/job", "profiles", "profiles/measure", "profiles/estimate", "profiles/geom", "gcode/replay"},
	"preview":                     {"preview/figure", "preview/sheet", "toolpath/post", "toolpath", "toolpath/metal", "toolpath/design", "toolpath/job", "profiles", "profiles/measure", "profiles/estimate", "profiles/geom", "gcode", "gcode/machine", "gcode/replay"},
	"cmd/internal/outdir":         {},
	"cmd/internal/answer":         {"toolpath", "toolpath/design", "toolpath/job", "profiles", "profiles/copied", "profiles/measure", "profiles/estimate", "profiles/geom"},
	"cmd/internal/repair":         {"toolpath/chain", "cmd/internal/outdir", "cmd/internal/answer", "preview", "preview/figure", "preview/sheet", "toolpath/post", "toolpath", "toolpath/metal", "toolpath/design", "toolpath/job", "profiles", "profiles/measure", "profiles/estimate", "profiles/geom", "gcode", "gcode/machine", "gcode/replay"},
	"cmd/internal/cli":            {"toolpath/chain", "cmd/internal/answer", "cmd/internal/outdir", "cmd/internal/repair", "preview/sheet", "preview", "preview/figure", "toolpath/post", "toolpath", "toolpath/metal", "toolpath/design", "toolpath/job", "profiles", "profiles/copied", "profiles/measure", "profiles/estimate", "profiles/geom", "gcode", "gcode/machine", "gcode/replay"},
	"cmd/cogmend":                 {"cmd/internal/cli"},
}

// others says which module of others each package may import; the rest is the
// standard library.
var others = map[string][]string{
	"cmd/internal/cli": {"github.com/spf13/cobra"},
	"toolpath/job":     {"github.com/BurntSushi/toml"},
	"preview/figure":   {"github.com/fogleman/gg", "github.com/golang/freetype", "golang.org/x/image"},
}

// topLevel is all that stands at the top of the tree.
var topLevel = []string{".ci", ".git", ".gitignore", "DEVELOPERS.md", "LICENSE", "README.md", "cmd", "gcode", "go.mod", "go.sum", "preview", "profiles", "testdata", "toolpath"}

// TestArrows reads the imports of every file that is not a test and holds
// them against the tables above.
func TestArrows(t *testing.T) {
	const root = "../../.."
	seen := map[string]bool{}
	err := goFiles(root, func(path, rel string) error {
		if strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		pkg := filepath.ToSlash(filepath.Dir(rel))
		seen[pkg] = true
		may, ok := arrows[pkg]
		if !ok {
			t.Errorf("%s: the package %s is not in the table of arrows", rel, pkg)
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range file.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if !mayImport(pkg, name, may) {
				t.Errorf("%s may not import %s", rel, name)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg := range arrows {
		if !seen[pkg] {
			t.Errorf("the package %s of the table is not there", pkg)
		}
	}
}

func mayImport(pkg, name string, may []string) bool {
	if own, ok := strings.CutPrefix(name, ours); ok {
		return slices.Contains(may, own)
	}
	if first, _, _ := strings.Cut(name, "/"); !strings.Contains(first, ".") {
		return true // the standard library
	}
	return slices.ContainsFunc(others[pkg], func(module string) bool {
		return name == module || strings.HasPrefix(name, module+"/")
	})
}

// TestArrowsCatch: what the table forbids is found.
func TestArrowsCatch(t *testing.T) {
	for _, c := range []struct {
		pkg, name string
		want      bool
	}{
		{"gcode", "bufio", true},
		{"gcode", ours + "toolpath", false},
		{"gcode", ours + "profiles/geom", false},
		{"gcode", "github.com/spf13/cobra", false},
		{"gcode/replay", ours + "profiles/geom", true},
		{"gcode/replay", ours + "profiles", false},
		{"gcode/replay", ours + "toolpath/job", false},
		{"toolpath", "github.com/BurntSushi/toml", false},
		{"toolpath/job", "github.com/BurntSushi/toml", true},
		{"toolpath/job", ours + "toolpath", false},
		{"toolpath/post", ours + "gcode/replay", false},
		{"preview/figure", "golang.org/x/image/font/gofont/goregular", true},
		{"preview/figure", ours + "toolpath/job", false},
		{"preview", "github.com/fogleman/gg", false},
		{"cmd/internal/cli", "github.com/fogleman/gg", false},
		{"preview/figure", "github.com/fogleman/ggx", false},
	} {
		if got := mayImport(c.pkg, c.name, arrows[c.pkg]); got != c.want {
			t.Errorf("%s imports %s: allowed %v, want %v", c.pkg, c.name, got, c.want)
		}
	}
}

// TestTopLevel: nothing stands at the top of the tree that is not named here.
func TestTopLevel(t *testing.T) {
	list, err := os.ReadDir("../../..")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		repair := strings.HasSuffix(e.Name(), "-repair") // of make without --out, not in the index
		if !slices.Contains(topLevel, e.Name()) && !repair {
			t.Errorf("%s is not of the tree's top", e.Name())
		}
	}
}

// goFiles visits every Go file of the project below root, told by its path and by
// that from root, with slashes.
func goFiles(root string, visit func(path, rel string) error) error {
	return filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case d.IsDir() && (strings.HasPrefix(d.Name(), ".") && rel != "." || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(rel, ".go"):
			return nil
		}
		return visit(path, rel)
	})
}
