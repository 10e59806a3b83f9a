// Package published reads the tables of published values in testdata/tables,
// for tests: one topic a file, each row with its source and a mark. "read" was
// seen in a text of that source, "memory" was recalled from it and recomputed,
// "computed" follows from the cited formula alone.
package published

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Row is one line of a table.
type Row struct {
	t      testing.TB
	Fields map[string]string // by the name of the column
}

// Table reads the table of that name. A row without a source or with an
// unknown mark fails the test.
func Table(t testing.TB, name string) []Row {
	t.Helper()
	f, err := os.Open(filepath.Join(root(t), "testdata", "tables", name))
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
	var rows []Row
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
		rows = append(rows, Row{t, m})
	}
	return rows
}

// Num returns the number in a column.
func (r Row) Num(key string) float64 {
	r.t.Helper()
	v, err := strconv.ParseFloat(r.Fields[key], 64)
	if err != nil {
		r.t.Fatalf("column %s: %v in %v", key, err, r.Fields)
	}
	return v
}

// Int is Num of a column of whole numbers.
func (r Row) Int(key string) int { r.t.Helper(); return int(r.Num(key)) }

// Near fails when got is farther than tol from want.
func (r Row) Near(got, want, tol float64) {
	r.t.Helper()
	if !(math.Abs(got-want) <= tol) {
		r.t.Errorf("got %.6f, want %.6f within %g: %v", got, want, tol, r.Fields)
	}
}

// root returns the top of the module, seen from the package under test.
func root(t testing.TB) string {
	dir, err := os.Getwd()
	for ; err == nil; dir = filepath.Dir(dir) {
		if _, e := os.Stat(filepath.Join(dir, "go.mod")); e == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			break
		}
	}
	t.Fatalf("no go.mod above the package under test: %v", err)
	return ""
}
