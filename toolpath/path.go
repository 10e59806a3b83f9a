package toolpath

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Distances of the plans, mm.
const (
	// approach is how far outside the metal a pass starts and ends.
	approach = 1.0
	// rowShare is how far apart the rows of a flat surface are, as a share of
	// the diameter.
	rowShare = 0.7
)

// writer writes the moves of one program.
type writer struct {
	p    *planner
	prog *Program
	op   *Op
	at   Pos
	work job.Material // what the operation being written cuts
	// long is how much longer than the gear the work is at each end, mm.
	long float64
}

// start begins a program.
func (p *planner) start(number int, purpose Purpose, title string, setup SetupKind, safe float64) *writer {
	p.Programs = append(p.Programs, Program{Number: number, Purpose: purpose, Ext: p.Job.Machine.Extension, Title: title, Setup: setup, Safe: safe})
	nan := math.NaN()
	return &writer{p: p, prog: &p.Programs[len(p.Programs)-1], at: Pos{nan, nan, safe}}
}

// tool begins an operation with a cutter. It adds a refusal when the machine
// cannot turn it.
func (w *writer) tool(name string, c *profiles.Cutter, work job.Material, cut profiles.Cut) {
	m := &w.p.Job.Machine
	s, err := profiles.SpeedsFor(*c, work, cut)
	if err != nil {
		w.p.failed = cmp.Or(w.p.failed, err)
	}
	w.up() // the tool is changed clear of everything
	held, ok := s.Within(m.MinRpm, m.MaxRpm, m.MaxFeed)
	if !ok {
		w.p.bad.add("cutter."+c.Name, "machine.min_rpm %.0f is too fast for it, %.0f rev/min", m.MinRpm, s.Rpm)
	}
	rpm, feed := stated(held.Rpm, c.Rpm, max(m.MinRpm, roundRpm(held.Rpm))), round2(held.Feed)
	if c.Kind != profiles.Drill {
		feed = w.notRubbing(c, held, rpm, feed)
	}
	w.prog.Ops = append(w.prog.Ops, Op{
		Name: name, Cutter: c,
		Rpm:    rpm,
		Feed:   stated(held.Feed, c.Feed, feed),
		Plunge: stated(held.Plunge, c.Plunge, round2(held.Plunge)),
	})
	w.op, w.work = &w.prog.Ops[len(w.prog.Ops)-1], work
	w.at.X, w.at.Y = math.NaN(), math.NaN()
}

// notRubbing lifts a feed so far that the chip is cut and not rubbed off: a
// dovetail cutter takes off little at a time, a small end mill turns out fine
// chips even at its full width. It warns where that cannot be.
func (w *writer) notRubbing(c *profiles.Cutter, held profiles.Speeds, rpm, feed float64) float64 {
	width, m := c.Diameter, &w.p.Job.Machine
	if c.Kind == profiles.Dovetail {
		width = w.p.Job.Slot.RadialCut
	}
	// A mill too small to be fed so much is not loaded more for nothing.
	worth := c.Kind == profiles.Dovetail || profiles.LeastChip <= profiles.MostOver*held.Chip
	if least := held.LeastFeed(*c, width); worth && feed < least && (c.Kind == profiles.Dovetail || least > held.Feed) {
		most := profiles.MostOver * held.Feed * rpm / held.Rpm
		feed = max(feed, round2(min(least*roundUp, most)))
	}
	if m.MaxFeed > 0 {
		feed = min(feed, m.MaxFeed)
	}
	text := "cutter." + c.Name + ": of high speed steel and so small, it would rub rather than cut"
	told := func(s string) bool { return strings.HasPrefix(s, text) }
	if chip := feed / (rpm * float64(c.Flutes)); c.Kind == profiles.EndMill && !c.Carbide && c.Feed == 0 && chip < profiles.LeastChip && !slices.ContainsFunc(w.p.Warnings, told) {
		w.p.Warnings = append(w.p.Warnings, fmt.Sprintf("%s, its chip %s a tooth where %s is the least: take one of carbide, or state the feed", text, w.p.len(chip), w.p.len(profiles.LeastChip)))
	}
	return feed
}

// stated returns what the cutter itself states where the machine can keep to it,
// and else the rounded figure.
func stated(held, own, rounded float64) float64 {
	if own > 0 && math.Abs(held-own) < 1e-9*own {
		return own
	}
	return rounded
}

// roundUp lifts a feed over what round2 takes off it, at most.
const roundUp = 1.05

// roundRpm rounds a speed down to what one sets.
func roundRpm(v float64) float64 {
	if v < 100 {
		return math.Floor(v)
	}
	return math.Floor(v/10) * 10
}

// round2 keeps two figures: nobody sets a feed finer.
func round2(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	k := math.Pow(10, math.Floor(math.Log10(v))-1)
	return math.Floor(v/k) * k
}

// pass begins a pass at the safe height, the gear at angle (gear set-ups).
func (w *writer) pass(place, angle float64, format string, args ...any) {
	w.up()
	w.op.Passes = append(w.op.Passes, Pass{Name: fmt.Sprintf(format, args...), Angle: angle, Place: place})
}

func (w *writer) add(m Move) {
	p := &w.op.Passes[len(w.op.Passes)-1]
	p.Moves = append(p.Moves, m)
}

// up brings the cutter to the safe height.
func (w *writer) up() {
	if w.at.Z != w.prog.Safe && w.op != nil && len(w.op.Passes) > 0 {
		w.at.Z = w.prog.Safe
		w.add(Move{Kind: Rapid, To: w.at})
	}
}

// rapid goes straight to a place, in the air.
func (w *writer) rapid(x, y, z float64) {
	to := Pos{x, y, z}
	if to == w.at {
		return
	}
	w.at = to
	w.add(Move{Kind: Rapid, To: to})
}

// over goes to a place by way of the safe height.
func (w *writer) over(x, y, z float64) {
	w.up()
	w.rapid(x, y, w.prog.Safe)
	w.rapid(x, y, z)
}

// cut feeds to a place.
func (w *writer) cut(x, y, z float64) {
	to := Pos{x, y, z}
	if to == w.at {
		return
	}
	w.at = to
	w.add(Move{Kind: Feed, To: to, Feed: w.op.Feed})
}

// proud is how much more metal there may be beside a cut than is planned, mm:
// no rapid move goes where that would be met.
const proud = 0.1

// before is how far before its axis a cutter of radius r may meet metal that
// lies off from its path sideways, mm; 0 or less: across the path.
func before(r, off float64) float64 {
	off = min(max(0, off-proud), r)
	return math.Sqrt(r*r - off*off)
}

// nearStep is to what the places where cuts begin are rounded, mm: the check looks
// at the work at every X where motions begin or end, so fewer places are better.
const nearStep = 0.5

// near goes on at rapid along X toward x until the cutter is an approach away
// from metal that lies off from its path sideways: its side meets that later than
// its front would.
func (w *writer) near(x, off float64) {
	r := w.op.Cutter.Radius()
	lo, hi := w.ends(math.Ceil(before(r, off)/nearStep) * nearStep)
	at := lo
	if x < w.at.X {
		at = hi
	}
	if between := (at - w.at.X) * (x - at); between > 0 && math.Abs(at-w.at.X) > r/4 {
		w.rapid(at, w.at.Y, w.at.Z)
	}
}

// beside is how far off the path of a cutter metal lies of which it takes width
// with its side.
func (w *writer) beside(width float64) float64 { return w.op.Cutter.Radius() - width }

// offPath is how far off a path at y a box of metal begins.
func offPath(box geom.Box, y float64) float64 { return max(box.Lo.Y-y, y-box.Hi.Y, 0) }

// through feeds along X to the end of a pass, the metal off from its path
// sideways. The cutter has done its work when its axis is past the metal; the
// way to it and the rest of the way out are in air.
func (w *writer) through(x, y, z, off float64) {
	w.near(x, off)
	lo, hi := w.ends(0)
	done := max(lo, min(hi, x))
	if math.Abs(x-done) < w.op.Cutter.Radius()/2 {
		done = x
	}
	w.cut(done, y, z)
	w.rapid(x, y, z)
}

// aside feeds sideways off the metal, then goes on at rapid to y.
func (w *writer) aside(y float64) {
	if off := w.at.Y + math.Copysign(approach, y-w.at.Y); math.Abs(y-w.at.Y) > approach {
		w.cut(w.at.X, off, w.at.Z)
		w.rapid(w.at.X, y, w.at.Z)
		return
	}
	w.cut(w.at.X, y, w.at.Z)
}

func (w *writer) note(text string) { w.add(Move{Kind: Note, Text: text}) }

func (w *writer) stop(text string) {
	w.up()
	// Hands go to the work: the cutter waits beyond its end.
	_, x := w.ends(w.op.Cutter.Radius())
	w.rapid(x, w.at.Y, w.at.Z)
	w.add(Move{Kind: Stop, Text: text})
}

// end lifts the cutter.
func (w *writer) end() { w.up() }

// rows returns the Y of passes of a cutter of radius r that cover lo..hi with
// both edges exact.
func rows(lo, hi, r float64) []float64 {
	a, b := lo+r, hi-r
	if b <= a {
		return []float64{(lo + hi) / 2}
	}
	n := int(math.Ceil((b - a) / (2 * r * rowShare)))
	out := make([]float64, n+1)
	for i := range out {
		out[i] = a + (b-a)*float64(i)/float64(n)
	}
	return out
}

// packedShare is how far apart rows may lie at the most, as a share of the
// diameter, so that no fin stands between them.
const packedShare = 0.9

// packedRows are rows as far apart as they may be, what is left over to the last.
func packedRows(lo, hi, r float64) (out []float64) {
	for y := lo + r; y < hi-r; y += 2 * r * packedShare {
		out = append(out, y)
	}
	if len(out) == 0 {
		return rows(lo, hi, r)
	}
	return append(out, hi-r)
}

// levels returns heights from below top down to bottom in equal steps of at
// most step.
func levels(top, bottom, step float64) []float64 {
	if top <= bottom {
		return []float64{bottom}
	}
	n := int(math.Ceil((top - bottom) / step * (1 - 1e-9)))
	out := make([]float64, n)
	for i := range out {
		out[i] = top + (bottom-top)*float64(i+1)/float64(n)
	}
	return out
}
