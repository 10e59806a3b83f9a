package repair

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/job"
)

// Several edits at once, judged in planes of their own: every half millimetre,
// wherever the check looks.

// editedJobs are those whose programs are edited.
var editedJobs = []string{"demo", "head", "module4-inch", "brazed", "two-missing", "teeth", "pinion12", "apart", "minimal", "head-scale"}

// How many edits are tried: in CI enough for two thousand harmful ones; with
// COGMEND_EDITS as many as it says.
const (
	editsQuick = 240
	editsCI    = 2800
)

// planesApart is how far the judge's planes stand apart, mm.
const planesApart = 0.5

// nearEdit is how far from the X that an edit names all planes are looked at, mm;
// elsewhere every eighth is.
const nearEdit = 3.5

// newJudgeEvery lays the judge's planes at equal distances.
func newJudgeEvery(setup *replay.Setup, good string) (*judge, error) {
	j := &judge{setup: setup}
	lo, hi := setup.Stations[0].X, setup.Stations[len(setup.Stations)-1].X
	laid := map[*replay.Section][]spot{}
	for x := lo + planesApart/3; x < hi; x += planesApart {
		s := replay.SectionAt(setup.Stations, x)
		if setup.At != nil {
			s, _ = setup.At(x)
		}
		if laid[s] == nil {
			laid[s] = spotsOf(&replay.Station{X: x, Section: s})
		}
		j.planes = append(j.planes, plane{x: x, spots: slices.Clone(laid[s])})
	}
	return j, j.learn(good)
}

// edit does one change at a random place; ok is false where it does not apply.
type edit func(r *rand.Rand, lines []string) (out []string, ok bool)

// edits are the ways of a patient adversary beyond those of the mutations.
var edits = map[string]edit{
	"an end moved": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G1 X")
		if !ok {
			return nil, false
		}
		return changed('X', plus(30*r.Float64()-15))(lines, i)
	},
	"a cut left out over a band": func(r *rand.Rand, lines []string) ([]string, bool) {
		return banded(r, lines, func(z, safe float64) []string { return []string{"G0 Z" + four(safe)} }, func(z float64) []string { return []string{"G0 Z" + four(z)} })
	},
	"a cut lifted over a band": func(r *rand.Rand, lines []string) ([]string, bool) {
		up := 0.05 + r.Float64()
		return banded(r, lines, func(z, _ float64) []string { return []string{"G1 Z" + four(z+up)} }, func(z float64) []string { return []string{"G1 Z" + four(z)} })
	},
	"a cut lowered over a band": func(r *rand.Rand, lines []string) ([]string, bool) {
		down := 0.05 + r.Float64()
		return banded(r, lines, func(z, _ float64) []string { return []string{"G1 Z" + four(z-down)} }, func(z float64) []string { return []string{"G1 Z" + four(z)} })
	},
	"a rapid in the middle of a cut": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G1 X")
		if !ok {
			return nil, false
		}
		x := mustNumber(first(word(lines[i], 'X')))
		return slices.Insert(slices.Clone(lines), i, "G0 X"+four(x+20*r.Float64()-10)), true
	},
	"a plunge": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G0 Z")
		if !ok || i == 0 {
			return nil, false
		}
		z := mustNumber(first(word(lines[i], 'Z')))
		return slices.Insert(slices.Clone(lines), i, "G0 X"+four(34*r.Float64()), "G1 Z"+four(z-6*r.Float64())+" F50", lines[i]), true
	},
	"a step aside": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G1 X")
		if !ok {
			return nil, false
		}
		y, known := lastWord(lines[:i], 'Y')
		if !known {
			return nil, false
		}
		x := 30 * r.Float64()
		return slices.Insert(slices.Clone(lines), i, "G1 X"+four(x), "G1 Y"+four(y+2*r.Float64()-1), "G1 X"+four(x+3*r.Float64()), "G1 Y"+four(y)), true
	},
	"two passes change places": func(r *rand.Rand, lines []string) ([]string, bool) {
		var at []int
		for i, l := range lines {
			if passMark.MatchString(l) {
				at = append(at, i)
			}
		}
		if len(at) < 3 {
			return nil, false
		}
		k := r.IntN(len(at) - 2)
		a, b, c := at[k], at[k+1], at[k+2]
		return slices.Concat(lines[:a], lines[b:c], lines[a:b], lines[c:]), true
	},
	"some lines left out": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G")
		if !ok {
			return nil, false
		}
		return slices.Delete(slices.Clone(lines), i, min(i+1+r.IntN(4), len(lines)-2)), i+5 < len(lines)
	},
	"two lines change places": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G")
		k, also := someLine(r, lines, "G")
		if !ok || !also || lines[i] == lines[k] {
			return nil, false
		}
		out := slices.Clone(lines)
		out[i], out[k] = out[k], out[i]
		return out, true
	},
	"a line said again elsewhere": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G")
		k, also := someLine(r, lines, "G")
		return slices.Insert(slices.Clone(lines), k, lines[i]), ok && also
	},
	"a number a little off": func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := someLine(r, lines, "G")
		if !ok {
			return nil, false
		}
		return changed("XYZA"[r.IntN(4)], plus(math.Pow(10, 3*r.Float64()-2)*float64(1-2*r.IntN(2))))(lines, i)
	},
}

// banded breaks a cut along X in two and does something else between.
func banded(r *rand.Rand, lines []string, in func(z, safe float64) []string, out func(z float64) []string) ([]string, bool) {
	i, ok := someLine(r, lines, "G1 X")
	if !ok {
		return nil, false
	}
	z, known := lastWord(lines[:i], 'Z')
	safe := math.Inf(-1)
	for _, l := range lines {
		if text, _, ok := word(l, 'Z'); ok {
			safe = max(safe, mustNumber(text))
		}
	}
	if !known {
		return nil, false
	}
	a, b := 30*r.Float64(), 1+8*r.Float64()
	if mustNumber(first(word(lines[i], 'X'))) < a {
		b = -b
	}
	band := slices.Concat([]string{"G1 X" + four(a)}, in(z, safe), []string{"G1 X" + four(a+b)}, out(z))
	return slices.Insert(slices.Clone(lines), i, band...), true
}

func first(text string, _ int, _ bool) string { return text }

func four(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

// someLine is a random line that begins as said.
func someLine(r *rand.Rand, lines []string, begins string) (int, bool) {
	from := r.IntN(len(lines))
	for k := range lines {
		if i := (from + k) % len(lines); strings.HasPrefix(lines[i], begins) {
			return i, true
		}
	}
	return 0, false
}

// lastWord is the number of a letter's last word.
func lastWord(lines []string, letter byte) (float64, bool) {
	for i := len(lines) - 1; i >= 0; i-- {
		if text, _, ok := word(lines[i], letter); ok {
			return mustNumber(text), true
		}
	}
	return 0, false
}

// look chooses the planes that an edit asks for.
func (j *judge) look(lines []string) {
	good := map[string]bool{}
	for _, l := range j.good {
		good[l] = true
	}
	var xs []float64
	for i, l := range lines {
		if text, _, ok := word(l, 'X'); ok && !good[l] {
			xs = append(xs, mustNumber(text))
		} else if x, known := lastWord(lines[:i], 'X'); !good[l] && known {
			xs = append(xs, x)
		}
	}
	if j.only == nil {
		j.only = make([]bool, len(j.planes))
	}
	for i, p := range j.planes {
		j.only[i] = i%8 == 3 || slices.ContainsFunc(xs, func(x float64) bool { return math.Abs(x-p.x) < nearEdit })
	}
}

// TestEdits edits good programs at random, some places at once, and asks the check
// for every one that the judge finds harmful.
func TestEdits(t *testing.T) {
	count := editsQuick
	switch n, err := strconv.Atoi(os.Getenv("COGMEND_EDITS")); {
	case err == nil:
		count = n
	case os.Getenv("CI") == "true":
		count = editsCI
	case testing.Short():
		count = editsQuick / 3
	}
	seed, _ := strconv.ParseUint(os.Getenv("COGMEND_EDITS_FROM"), 10, 64)
	names := editedJobs
	if count < len(editedJobs)*30 {
		names = names[:4]
	}
	sum := map[string]*score{}
	var mutex sync.Mutex
	t.Run("jobs", func(t *testing.T) {
		for _, name := range names {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				editJob(t, name, seed, count/len(names), func(way string, s score) {
					mutex.Lock()
					defer mutex.Unlock()
					for _, way := range []string{way, ""} {
						if sum[way] == nil {
							sum[way] = &score{}
						}
						sum[way].mutants += s.mutants
						sum[way].harmful += s.harmful
						sum[way].caught += s.caught
						sum[way].strict += s.strict
					}
				})
			})
		}
	})
	for way, s := range sum {
		t.Logf("%-40s %6d edits, %6d harmful, %d missed", way, s.mutants, s.harmful, s.harmful-s.caught)
	}
	if all := sum[""]; all == nil || float64(all.harmful) < leastHarmful*float64(all.mutants) {
		t.Errorf("fewer than %.0f %% of the edits are harmful to the judge: %+v", 100*leastHarmful, all)
	}
}

// editJob edits the programs of one job.
func editJob(t *testing.T, name string, seed uint64, count int, tell func(way string, s score)) {
	j, err := job.Read(filepath.Join("../../../testdata/jobs/good", name+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	made, err := Make(j)
	if err != nil {
		t.Fatal(err)
	}
	var written []*chain.Program
	for i := range made.Programs {
		if p := &made.Programs[i]; p.Written() {
			written = append(written, p)
		}
	}
	var ways []string
	for way := range edits {
		ways = append(ways, way)
	}
	slices.Sort(ways)
	more := mutations()
	for k, p := range written {
		setup := *p.Before
		setup.Observe = nil
		jd, err := newJudgeEvery(&setup, string(p.Text))
		if err != nil {
			t.Fatalf("%s: %v", p.File(), err)
		}
		r := rand.New(rand.NewPCG(seed, uint64(k)))
		good := strings.Split(string(p.Text), "\n")
		for n := range count / len(written) {
			lines, done := good, []string(nil)
			for range 1 + r.IntN(4) {
				way := ways[r.IntN(len(ways))]
				out, ok := edits[way](r, lines)
				if r.IntN(4) == 0 {
					m := more[r.IntN(len(more))]
					way = m.name
					out, ok = m.spoil(lines, r.IntN(len(lines)))
				}
				if ok {
					lines, done = out, append(done, way)
				}
			}
			if len(done) == 0 {
				continue
			}
			tell(done[0], editOne(t, jd, p, &setup, lines, fmt.Sprintf("seed %d, edit %d: %s", seed, n, strings.Join(done, "; "))))
		}
	}
}

// editOne judges and checks one edited program.
func editOne(t *testing.T, jd *judge, p *chain.Program, setup *replay.Setup, lines []string, what string) (s score) {
	s.mutants = 1
	jd.look(lines)
	text := strings.Join(lines, "\n")
	_, harm := jd.run(text)
	res, err := replay.Check(bytes.NewReader([]byte(text)), p.File(), setup)
	caught := err != nil || !res.Report.Clean()
	switch {
	case harm != "" && caught:
		s.harmful, s.caught = 1, 1
	case harm != "":
		s.harmful = 1
		t.Errorf("%s %s: escaped: %s", p.File(), what, harm)
		if dir := os.Getenv("COGMEND_EDITS_KEEP"); dir != "" {
			name := filepath.Join(dir, strings.ReplaceAll(t.Name()+"-"+what[:min(30, len(what))], "/", "_")+"-"+p.File())
			if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
				t.Error(err)
			}
		}
	case caught:
		s.strict = 1
	}
	if caught && !tells(err, res) {
		t.Errorf("%s %s: caught, but no sentence says what would happen", p.File(), what)
	}
	return s
}
