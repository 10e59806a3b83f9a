package preview

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cogmend/profiles/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func v(y, z float64) geom.Vec { return geom.Vec{Y: y, Z: z} }

// checkGolden compares a text with testdata/golden/figures, or rewrites that.
func checkGolden(t *testing.T, name, got string) {
	t.Run(name, func(t *testing.T) {
		path := filepath.Join("..", "testdata", "golden", "figures", name+".txt")
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		g, w := strings.Split(got, "\n"), strings.Split(strings.ReplaceAll(string(want), "\r\n", "\n"), "\n")
		for i := range max(len(g), len(w)) {
			if i >= len(g) || i >= len(w) || g[i] != w[i] {
				t.Fatalf("line %d differs\n got %q\nwant %q", i+1, at(g, i), at(w, i))
			}
		}
	})
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(end)"
}
