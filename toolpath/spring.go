package toolpath

import (
	"fmt"
	"math"

	"cogmend/gcode"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
)

// Spring is how far the cutter of a pass gives way, an estimate.
type Spring struct {
	Force    float64 // greatest mean sideways force, N
	First    float64 // how far it gives way at the pass's deepest cut, mm
	Finishes bool    // the pass leaves a finished flank, which keeps what its last cut leaves
	Left     float64 // what the last cut leaves on the flank, mm
	Light    float64 // what the last cut takes off less than the others, mm; 0: as much as they do
	More     int     // cuts added so that the last is light
	Again    int     // cuts made once more at the same place
	Share    float64 // greatest share of the cutter's bending strength; 1 breaks
}

const (
	// springShare is how much of what a flank may be off the cutter's spring may
	// spend (own rule).
	springShare = 1.0 / 3
	// mostAgain is how often a cut is made once more at most: each leaves a small
	// share of what the one before it left.
	mostAgain = 3
	// leastLight is the least that a light last cut takes, mm: less would rub (own
	// rule).
	leastLight = 0.02
)

// sprung notes what a cut does to the cutter of the pass being written: metal of
// the given section, mm^2, and depth, mm.
func (w *writer) sprung(area, depth float64) {
	if !(area > 0) || !(depth > 0) {
		return
	}
	s, ok := w.spring(depth, area/depth)
	if !ok {
		return // a cutter without lengths has no bar to bend
	}
	p := &w.op.Passes[len(w.op.Passes)-1].Spring
	p.Force = max(p.Force, s.Force)
	p.First = max(p.First, s.Deflection)
	p.Share = max(p.Share, s.Share)
}

// engagement is a side cut of the operation being written.
func (w *writer) engagement(depth, width float64) estimate.Engagement {
	c := w.op.Cutter
	teeth := c.Flutes
	if c.SinglePoint {
		teeth = 1
	}
	return estimate.Engagement{
		Diameter: c.Diameter, Teeth: teeth, Depth: depth, Width: min(width, c.Diameter),
		Feed: w.op.Feed / (w.op.Rpm * float64(teeth)), Work: w.work,
	}
}

// spring is how a cut of a depth and a width bends the cutter; ok is false for a
// cutter without lengths.
func (w *writer) spring(depth, width float64) (estimate.Spring, bool) {
	s, err := estimate.CutterSpring(w.op.Cutter, w.engagement(depth, width))
	return s, err == nil
}

// finished notes that a flank was finished by cuts of the given widths, one after
// another: each takes what the one before it left as well.
func (w *writer) finished(depth float64, widths ...float64) {
	p := &w.op.Passes[len(w.op.Passes)-1].Spring
	p.Finishes = true
	p.Left = w.leaves(depth, widths)
}

// leaves is what cuts of the given widths, one after another, leave on a flank.
func (w *writer) leaves(depth float64, widths []float64) (left float64) {
	for _, width := range widths {
		var err error
		if left, err = estimate.Behind(w.op.Cutter, w.engagement(depth, width+left)); err != nil {
			return 0 // no lengths, no bar to bend
		}
	}
	return left
}

// again makes the last cut of a finished flank once more as often as the cutter's
// spring asks, if it may leave limit: cut makes it, and is told how wide.
func (w *writer) again(depth, limit float64, cut func(width float64)) {
	p := &w.op.Passes[len(w.op.Passes)-1].Spring
	for n := 0; p.Left > limit && n < mostAgain; n++ {
		left := w.leaves(depth, []float64{p.Left})
		if left >= p.Left {
			return
		}
		w.note(gcode.OnceMore + ": the cutter sprang away")
		cut(p.Left)
		p.Left = left
		p.Again++
	}
}

// widths divides what is to be taken off a flank of a depth, mm, into cuts of most
// at the greatest. Where the last of even cuts would leave more than limit, a
// light one takes its place, or comes after them; 0 for limit: it may leave
// anything.
func (w *writer) widths(total, most, depth, limit float64) []float64 {
	n := max(1, int(math.Ceil(total/most-1e-9)))
	even := func(n int, total float64) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = total / float64(n)
		}
		return out
	}
	best := even(n, total)
	if limit <= 0 || w.leaves(depth, best) <= limit {
		return best
	}
	for _, rest := range []int{n - 1, n} {
		for light := min(total/float64(n), most) / 2; light >= leastLight; light /= 2 {
			if rest == 0 || total-light > float64(rest)*most+geom.Eps {
				continue
			}
			if with := append(even(rest, total-light), light); w.leaves(depth, with) <= limit {
				return with
			}
		}
	}
	return best
}

// bears warns of a dovetail cutter that its cuts bend so far that a hard spot might
// break it, or that they would. It is not refused, as an end mill is, and its cuts
// are not made thinner or slower: its chip is as thin as it may be, and a thinner
// one would be rubbed off, not cut.
func (w *writer) bears(depth, width float64) {
	c := w.op.Cutter
	s, ok := w.spring(depth, width)
	if !ok || s.Share <= estimate.BreakShare || w.p.weak[c.Name] {
		return
	}
	w.p.weak[c.Name] = true
	what := "a hard spot or a dull edge may break it; a thicker or shorter neck is safer"
	if s.Share > 1 {
		what = "by the estimate it breaks: do not run them; let its neck be thicker or shorter, or the slot less deep"
	}
	w.p.Warnings = append(w.p.Warnings, fmt.Sprintf("cutter.%s bends to %.0f %% of its strength in the dovetail's cuts: %s", c.Name, 100*s.Share, what))
}

// mostHalved is how often a depth of cut is halved for a cutter that would bend
// too near to its strength.
const mostHalved = 4

// strong halves a depth of cut until the cutter bears it, and refuses a cutter
// that bears none.
func (w *writer) strong(step, width float64) float64 {
	c := w.op.Cutter
	var share float64
	for range mostHalved + 1 {
		s, ok := w.spring(step, width)
		if !ok || s.Share <= estimate.BreakShare {
			return step
		}
		share = s.Share
		step /= 2
	}
	if !w.p.weak[c.Name] {
		w.p.weak[c.Name] = true
		w.p.bad.add("cutter."+c.Name, "it would bend to %.0f %% of its strength in a cut %s deep and %s wide, %.0f %% at most; let it stick out less, or feed slower",
			100*share, w.p.len(2*step), w.p.len(min(width, c.Diameter)), 100*estimate.BreakShare)
	}
	return step
}
