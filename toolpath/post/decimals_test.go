package post

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// TestDecimals: the words of a program have as many decimals as the job says and
// no more, each stands within half the last one of a word written with six, and
// the check finds the programs clean. An angle that hands set keeps its four.
func TestDecimals(t *testing.T) {
	for _, tt := range []struct {
		job                       string
		decimals, lengths, angles int
	}{
		{"demo", 0, 4, 4}, {"demo", 3, 3, 3}, {"demo", 6, 6, 6}, {"head", 3, 3, 4}, {"module4-inch", 0, 5, 4}, {"module4-inch", 4, 4, 3},
	} {
		name := tt.job + " " + strconv.Itoa(tt.decimals)
		p := plan(t, tt.job, func(m *job.Machine) { m.Decimals = tt.decimals })
		fine := plan(t, tt.job, func(m *job.Machine) { m.Decimals = 6 })
		most := map[string]int{}
		for i := range p.Programs {
			if p.Programs[i].Skipped != "" {
				continue
			}
			text := written(t, p, &p.Programs[i], Options{})
			exact := axisWords(written(t, fine, &fine.Programs[i], Options{}))
			for letter, all := range axisWords(text) {
				decimals := tt.lengths
				if letter == "A" {
					decimals = tt.angles
				}
				for _, w := range all {
					_, after, _ := strings.Cut(w, ".")
					most[letter] = max(most[letter], len(after))
					near := 0.5 * math.Pow10(-decimals)
					if letter == "Y" && p.Programs[i].Purpose == toolpath.FlushProgram {
						// The block's sides are passed by twice the rounding on
						// purpose, lest a burr stands there.
						over := 2 * p.Job.Rounding()
						if p.Job.Units == job.Inch {
							over /= 25.4
						}
						near += over
					}
					if d := nearest(t, w, exact[letter]); d > near+1e-9 {
						t.Errorf("%s, %s: %s%s stands %g off every word of six decimals", name, p.Programs[i].File(), letter, w, d)
					}
				}
			}
			// Whatever the control takes, hands set as finely as ever.
			for _, told := range strings.Split(text, "(GEAR AT ")[1:] {
				angle, _, _ := strings.Cut(told, " DEG")
				_, after, _ := strings.Cut(angle, ".")
				most["A"] = max(most["A"], len(after))
			}
		}
		for letter, want := range map[string]int{"Y": tt.lengths, "Z": tt.lengths, "A": tt.angles} {
			if most[letter] != want {
				t.Errorf("%s: %s has up to %d decimals, want %d", name, letter, most[letter], want)
			}
		}
		if most["X"] > tt.lengths {
			t.Errorf("%s: X has %d decimals", name, most["X"])
		}
		checkAll(t, name, p)
	}
}

// axisWords are the numbers of X, Y, Z and A in a program, by letter.
func axisWords(text string) map[string][]string {
	out := map[string][]string{}
	for _, w := range wordOf.FindAllStringSubmatch(comment.ReplaceAllString(text, ""), -1) {
		if strings.Contains("XYZA", w[1]) {
			out[w[1]] = append(out[w[1]], w[2])
		}
	}
	return out
}

// nearest is how far a number stands from the nearest of others.
func nearest(t *testing.T, number string, others []string) float64 {
	t.Helper()
	at := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	v, best := at(number), math.Inf(1)
	for _, o := range others {
		best = min(best, math.Abs(at(o)-v))
	}
	return best
}
