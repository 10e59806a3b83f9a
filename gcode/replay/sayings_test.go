package replay

import (
	"strings"
	"testing"
)

// TestCompare: what a program says differently from the job's own is listed, and
// found where a hand would do something else.
func TestCompare(t *testing.T) {
	head := "(Zero: Z0 at the tips)\n(Tool T1: end mill)\n(CAUTION: mind the cutter)\n(Pass 1: top)\n"
	own := withTool + head + "M5\nM0\nS1000 M3\n" + level + programE
	said, err := Sayings(strings.NewReader(own), "own.nc")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name, from, to string
		found, listed  string // in a finding, in the list; "" for none
	}{
		{"the same", "Z0 at", "Z0 at", "", ""},
		{"another zero", "Z0 at the tips", "Z0 at the axis", "another zero", ""},
		{"another tool", "Tool T1: end mill", "Tool T1: drill", "another cutter", ""},
		{"a stop gone", "M5\nM0\nS1000", "M5\nS1000", "lacks a stop", ""},
		{"a caution gone", "(CAUTION: mind the cutter)\n", "", "does not say \"CAUTION", ""},
		{"another caution", "mind the cutter", "all is well", "says \"CAUTION: all is well\"", ""},
		{"in another tongue, at a stop", "(Pass 1: top)\n", "(Pass 1: top)\n(zwei Loch weiter)\nM5\nM0\nS1000 M3\n", "may do what the job does not ask", "stops where"},
		{"something for hands", "(Pass 1: top)\n", "(Pass 1: top)\n(Raise the table by 2)\n", "a hand would do what the job does not ask", ""},
		{"another zero, in capitals", "(Pass 1: top)\n", "(Pass 1: top)\n(ZERO IS AT THE AXIS)\n", "a hand would do what the job does not ask", ""},
		{"beside another comment", "(Pass 1: top)\n", "(Turn the gear two teeth)(Pass 1: top)\n", "a hand would do what the job does not ask", ""},
		{"of another state, another zero", "(Zero: Z0 at the tips)\n", "(Job file's fingerprint: 0123)\n(Zero: Z0 at the axis)\n", "another zero", ""},
		{"a remark", "(Pass 1: top)\n", "(Pass 1: top)\n(my own remark)\n", "", "my own remark"},
	} {
		s := flat()
		s.Said = said
		res, err := Check(strings.NewReader(strings.Replace(own, tt.from, tt.to, 1)), "test.nc", s)
		if err != nil {
			t.Fatal(err)
		}
		var found, listed string
		for _, f := range res.Report.Findings {
			if f.Kind == OtherWords {
				found += f.Text
			}
		}
		listed = strings.Join(res.Report.Differs, "\n")
		if !strings.Contains(found, tt.found) || tt.found == "" && found != "" {
			t.Errorf("%s: found %q, want %q", tt.name, found, tt.found)
		}
		if !strings.Contains(listed, tt.listed) || tt.listed == "" && listed != "" {
			t.Errorf("%s: listed %q, want %q", tt.name, listed, tt.listed)
		}
	}
}
