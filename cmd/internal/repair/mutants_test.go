package repair

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"sync"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/job"
)

// score counts mutants.
type score struct{ mutants, harmful, caught, strict int }

// tally counts the mutants of all programs.
type tally struct {
	mutex sync.Mutex
	score
	ways     map[string]bool // those that were tried
	harmless map[string]int  // mutants that neither the judge nor the check minds, by way
}

// add counts what came of one program.
func (t *tally) add(s score, ways map[string]bool, harmless map[string]int) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.ways == nil {
		t.ways, t.harmless = map[string]bool{}, map[string]int{}
	}
	t.mutants += s.mutants
	t.harmful += s.harmful
	t.caught += s.caught
	t.strict += s.strict
	maps.Copy(t.ways, ways)
	for way, n := range harmless {
		t.harmless[way] += n
	}
}

// TestMutations spoils good programs and asks the check for every one that
// the judge finds harmful.
func TestMutations(t *testing.T) {
	most, names := sitesEach, mutatedJobs
	switch {
	case os.Getenv("COGMEND_SOAK") != "":
		most, names = sitesSoak, append(slices.Clone(names), "two-missing")
	case testing.Short():
		most, names = 1, names[:1]
	}
	var all tally
	t.Run("jobs", func(t *testing.T) {
		for _, name := range names {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				spoilJob(t, name, most, &all)
			})
		}
	})
	sum, ways, harmless := all.score, all.ways, all.harmless
	t.Logf("%d ways, %d mutants: %d harmful, %d caught, %d escaped; %d refused that do no harm the judge can see", len(ways), sum.mutants, sum.harmful, sum.caught, sum.harmful-sum.caught, sum.strict)
	var classes []string
	for c := range harmless {
		classes = append(classes, c)
	}
	sort.Strings(classes)
	for _, c := range classes {
		t.Logf("harmless: %s: %d", c, harmless[c])
	}
	// Neither the ways of spoiling nor the judge may fall asleep.
	if share := float64(sum.harmful) / float64(sum.mutants); share < leastHarmful || len(ways) < leastWays {
		t.Errorf("%d ways, and %.0f %% of the mutants are harmful to the judge: %d and %.0f %% at least were so when this was written",
			len(ways), 100*share, leastWays, 100*leastHarmful)
	}
}

// What the ways and the judge brought at the least when this was written, in
// the short run too.
const (
	leastWays    = 90
	leastHarmful = 0.4
)

// spoilJob tries every way on every program of a job.
func spoilJob(t *testing.T, name string, most int, all *tally) {
	j, err := job.Read(filepath.Join("../../../testdata/jobs/good", name+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	switch name {
	case "demo":
		// Not in the middle, so that a mirrored hole is elsewhere.
		j.Lock.Positions, j.Lock.Draw = []float64{11}, 0.1
	case "head":
		j.Machine.ToolWords = false
	case "module4-inch":
		j.Machine.LengthComp = true
	}
	m, err := Make(j)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.Programs {
		p := &m.Programs[i]
		if !p.Written() {
			continue
		}
		if !p.Clean() {
			t.Fatalf("%s: %s is not good to begin with", name, p.File())
		}
		t.Run(p.File(), func(t *testing.T) {
			t.Parallel()
			ways, harmless := map[string]bool{}, map[string]int{}
			got := spoil(t, name, p, most, harmless, ways)
			t.Logf("%s %s: %d mutants, %d harmful, %d of them caught; %d more refused", name, p.File(), got.mutants, got.harmful, got.caught, got.strict)
			all.add(got, ways, harmless)
		})
	}
}

// spoil tries every way on one program.
func spoil(t *testing.T, name string, p *chain.Program, most int, harmless map[string]int, ways map[string]bool) (sum score) {
	setup := *p.Before
	setup.Observe = nil
	jd, err := newJudge(&setup, string(p.Text))
	if err != nil {
		t.Fatalf("%s %s: %v", name, p.File(), err)
	}
	lines := strings.Split(string(p.Text), "\n")
	for _, m := range mutations() {
		texts, at := m.sites(lines, most)
		for i, text := range texts {
			ways[m.name] = true
			sum.mutants++
			_, harm := jd.run(text)
			res, err := replay.Check(bytes.NewReader([]byte(text)), p.File(), &setup)
			caught := err != nil || !res.Report.Clean()
			if caught && !tells(err, res) {
				t.Errorf("%s %s line %d, %s: caught, but no sentence says what would happen", name, p.File(), at[i], m.name)
			}
			switch {
			case harm != "" && caught:
				sum.harmful++
				sum.caught++
			case harm != "":
				sum.harmful++
				t.Errorf("%s %s line %d %q, %s: escaped: %s", name, p.File(), at[i], lines[at[i]-1], m.name, harm)
			case caught:
				sum.strict++
			default:
				harmless[m.name]++
			}
		}
	}
	return sum
}

// tells says that the reader's error has a line, or that every finding is a
// sentence.
func tells(err error, res *replay.Result) bool {
	if err != nil {
		return strings.Contains(err.Error(), ".nc:")
	}
	for _, f := range res.Report.Findings {
		if len(strings.Fields(f.Text)) < 5 {
			return false
		}
	}
	return true
}
