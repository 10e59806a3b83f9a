package toolpath

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"cogmend/profiles"
	"cogmend/toolpath/design"
)

// flushUnder is how far below the insert's dovetail the end faces are cut: the
// slot's floor lies a little deeper, and the adhesive that was pressed out.
const flushUnder = 0.05

// flushDepth is the depth of one cut along an end face: narrow, so deeper
// than a wide cut may be.
func flushDepth(c *profiles.Cutter) float64 { return min(c.FluteLength, 2*c.MaxDepth) }

// runs groups places that stand side by side: their ends are milled in one.
func runs(places []float64) [][]float64 {
	sorted := append([]float64(nil), places...)
	sort.Float64s(sorted)
	var out [][]float64
	for i, p := range sorted {
		if i > 0 && p-sorted[i-1] < 1.5 {
			out[len(out)-1] = append(out[len(out)-1], p)
		} else {
			out = append(out, []float64{p})
		}
	}
	return out
}

// runName is PlaceName for a run: ", teeth 1 and 2".
func (p *planner) runName(run []float64) string {
	if len(run) == 1 {
		return p.PlaceName(run[0])
	}
	first, last := p.PlaceName(run[0]), p.PlaceName(run[len(run)-1])
	word := " to "
	if len(run) == 2 {
		word = " and "
	}
	return strings.Replace(first, "tooth", "teeth", 1) + word + strings.TrimPrefix(last, ", tooth ")
}

// endFace is where the ends of a run of inserts are milled, the middle of the
// run at top dead centre.
type endFace struct {
	run       []float64
	others    []float64 // places that are not of the run
	angle     float64   // of the gear
	low, half float64   // how deep the inserts reach, and how far across
	gear      float64   // greatest height of teeth and inserts, tips cut
}

// endFace measures the ends of a run. flat are all inserts, tips cut.
func (p *planner) endFace(flat *stock, run []float64) endFace {
	f := endFace{run: run, angle: p.angleOf((run[0] + run[len(run)-1]) / 2)}
	for _, at := range p.Job.Gear.Places {
		if !design.IsPlace(run, at) {
			f.others = append(f.others, at)
		}
	}
	own := p.inserts(run)
	p.flatten(own, run)
	// The outer inserts of a run lean, and with them their corners.
	box := own.box(f.angle)
	f.low, f.half = box.Lo.Z-flushUnder, max(-box.Lo.Y, box.Hi.Y)
	f.gear = max(p.Sizes.GearTop, flat.box(f.angle).Hi.Z)
	return f
}

// offFace is kept from the gear's faces where nothing is to be left on the
// insert's ends, mm: more than a written number is rounded by, an inch's in the
// worst case, and less than the check sees.
const offFace = 0.0015

// faceShare is how much of its diameter a cutter takes off an end face at once:
// a little of it stays outside.
const faceShare = 0.9

// millFace mills one end of the inserts of a run, the cutter outside the
// gear's face: level by level, and where they stand out farther than the cutter
// takes at once, from outside in.
func (w *writer) millFace(flat *stock, f endFace, end int) {
	j, c := w.p.Job, w.op.Cutter
	r, out := c.Radius(), float64(end)
	left := max(j.Flush.Leave, offFace)
	x := -left - r
	name := "front end"
	if end > 0 {
		x, name = j.Gear.Face+left+r, "back end"
	}
	w.pass(f.run[0], f.angle, "%s%s", name, w.p.runName(f.run))
	half := f.half + r + approach
	// Metal lies toward the gear. With Y taken for X: travelling to +Y the
	// right is +X.
	from, to := -half, half
	if (end < 0) != j.Facets.Climb {
		from, to = to, from
	}
	thick := j.Over() - left
	strips := math.Ceil(thick / (faceShare * c.Diameter))
	wide := thick / strips
	// The insert of another run may stand in the way, to be cut with this one.
	crowded := !empty(w.p.inserts(f.others).extent(f.angle, -half-r, half+r, f.low))
	leave := w.rapid
	if crowded {
		leave = w.cut
	}
	clear := x + out*(j.Over()+approach)
	top := flat.extent(f.angle, -half-r, half+r, f.low).Hi.Z
	rest := flat.copy()
	for i, z := range levels(top, f.low, w.endStep(top-f.low, wide, crowded)) {
		if !crowded {
			from, to = w.acrossEnd(rest, f, z, wide, from)
		}
		deep := top - z
		top = z
		for k := strips - 1; k >= 0; k-- {
			at := x + out*k*wide
			cut := func(float64) {
				if w.at.Z == w.prog.Safe {
					w.over(clear, from, z)
				} else {
					leave(clear, w.at.Y, w.at.Z) // straight out: cuts do not end alike at all levels
					w.rapid(clear, from, w.at.Z)
					w.rapid(clear, from, z)
				}
				w.cut(at, from, z) // near the good teeth's faces: not at rapid
				if strips > 1 {
					w.note(fmt.Sprintf("%s level %d, strip %.0f of %.0f", name, i+1, strips-k, strips))
				} else {
					w.note(fmt.Sprintf("%s level %d", name, i+1))
				}
				w.cut(at, to, z)
			}
			w.sprung(wide*deep, deep)
			cut(wide)
			if k == 0 {
				w.finished(deep, wide)
				w.again(deep, endLimit, cut)
			}
		}
	}
	if crowded {
		leave(clear, w.at.Y, w.at.Z) // that insert may hang over the way up
	}
}

// endLimit is how far the cutter's spring may leave an end face off, mm: what is
// left there is filed, by so much in a few strokes (own rule).
const endLimit = 0.05

// endStep is how deep cuts along an end face are that is deep mm high, each
// width wide: as the cutter's depth allows where they are wide or something
// stands in the way; else so that there are fewest, those once more counted.
func (w *writer) endStep(deep, width float64, crowded bool) float64 {
	c := w.op.Cutter
	if crowded || !light(c, width) {
		return w.strong(min(c.MaxDepth, deep), width)
	}
	most := w.strong(min(stepFor(c, width), deep), width)
	best, fewest := most, math.Inf(1)
	for n := math.Ceil(deep / most); n <= math.Ceil(deep/flushDepth(c)); n++ {
		cuts, left := 0.0, width
		for left > endLimit && cuts <= mostAgain {
			left = w.leaves(deep/n, []float64{left})
			cuts++
		}
		if cuts *= n; cuts <= fewest {
			best, fewest = deep/n, cuts
		}
	}
	return best
}

// acrossEnd is where a cut across an end face begins and ends, from the side
// that from lies on: an approach outside the metal between z and the level
// before, which the cutter meets with its side. st follows.
func (w *writer) acrossEnd(st *stock, f endFace, z, wide, from float64) (begin, end float64) {
	r := w.op.Cutter.Radius()
	box := st.extent(f.angle, -f.half-r, f.half+r, z)
	st.take(f.angle, -f.half-r, f.half+r, z)
	half := f.half
	if !empty(box) {
		half = min(half, max(-box.Lo.Y, box.Hi.Y))
	}
	side := math.Copysign(1, from)
	return side * (half + before(r, r-wide) + approach), -side * (half + approach)
}
