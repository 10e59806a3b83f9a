package profiles

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Published values stand in testdata/tables, one topic a file, each row with
// its source and a mark: "read" was seen in a text of that source, "memory"
// was recalled from it and recomputed, "computed" follows from the cited
// formula alone.

// row is one line of such a table.
type row struct {
	t      *testing.T
	fields map[string]string
}

func table(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "tables", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(all) < 2 {
		t.Fatalf("%s: no rows", name)
	}
	var rows []row
	for _, rec := range all[1:] {
		m := map[string]string{}
		for i, key := range all[0] {
			m[key] = rec[i]
		}
		switch m["mark"] {
		case "read", "memory", "computed":
		default:
			t.Fatalf("%s: mark %q", name, m["mark"])
		}
		if m["source"] == "" {
			t.Fatalf("%s: a row without source: %v", name, rec)
		}
		rows = append(rows, row{t, m})
	}
	return rows
}

func (r row) num(key string) float64 {
	r.t.Helper()
	v, err := strconv.ParseFloat(r.fields[key], 64)
	if err != nil {
		r.t.Fatalf("column %s: %v in %v", key, err, r.fields)
	}
	return v
}

func (r row) int(key string) int { r.t.Helper(); return int(r.num(key)) }

// near fails when got is farther than tol from want.
func (r row) near(got, want, tol float64) {
	r.t.Helper()
	if !(math.Abs(got-want) <= tol) {
		r.t.Errorf("got %.6f, want %.6f within %g: %v", got, want, tol, r.fields)
	}
}
