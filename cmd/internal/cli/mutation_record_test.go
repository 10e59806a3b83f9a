package cli

import (
	"math"
	"regexp"
	"strings"
	"testing"
)

// drift is the share by which a count may differ from the one recorded before
// the record is stale: a changed program moves a few mutants.
const drift = 0.03

// recorded holds the counts to those that DEVELOPERS.md tells, so that neither
// the ways of spoiling nor the judge fall asleep.
func recorded(t *testing.T, row string, ways int, sum score, jobs int) {
	t.Helper()
	form := regexp.MustCompile(`(?m)^ +` + row + ` +([0-9,]+) ways, ([0-9,]+)(?: spoiled programs)? of ([0-9,]+) jobs: ([0-9,]+) harmful, ([0-9,]+) caught$`)
	m := form.FindStringSubmatch(read(t, "../../../DEVELOPERS.md"))
	if m == nil {
		t.Fatalf("DEVELOPERS.md has no line of counts %q", row)
	}
	for i, got := range []int{ways, sum.mutants, jobs, sum.harmful, sum.caught} {
		want := mustNumber(strings.ReplaceAll(m[i+1], ",", ""))
		if !(math.Abs(float64(got)-want) <= drift*want) {
			t.Errorf("DEVELOPERS.md tells %q; found %d ways, %d spoiled programs of %d jobs: %d harmful, %d caught", strings.TrimSpace(m[0]), ways, sum.mutants, jobs, sum.harmful, sum.caught)
			return
		}
	}
}
