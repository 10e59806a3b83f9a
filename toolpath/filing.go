package toolpath

import (
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

// filingMargin is added to what is said to be filed, mm: the check holds the
// programs to it.
const filingMargin = 0.003

// leftover notes what no cutter of the job reaches on one side.
func (p *planner) leftover(st *stock, f *flankScene, place float64, side int) {
	lo, hi, thick := math.Inf(1), 0.0, 0.0
	p.leftovers(f, st, place, side, func(at geom.Vec, s spot) {
		if s.off <= s.limit+2*spare {
			return
		}
		lo, hi, thick = min(lo, at.Norm()), max(hi, at.Norm()), max(thick, s.off)
	})
	if thick == 0 {
		return
	}
	// Below, the whole root belongs to it.
	p.Filing = append(p.Filing, metal.Filing{Side: side, Upto: hi + filingMargin, Thick: thick + filingMargin})
	p.FileThis = append(p.FileThis, FileThis{Side: side, From: lo, To: hi, Thick: thick, Reaches: p.reaching(f, side)})
}

// reaching returns the diameter of the largest plain cutter, long and slender
// enough otherwise, whose lowest facet would go down to the form circle.
func (p *planner) reaching(f *flankScene, side int) float64 {
	var low *Facet
	for i := range p.Facets {
		c := &p.Facets[i]
		if c.Side == side && (low == nil || c.Roll < low.Roll) {
			low = c
		}
	}
	if low == nil {
		return 0
	}
	v := f.at(low.Roll - p.Job.Gear.BaseHalfAngle())
	lo, hi := 0.0, 4*p.Job.Gear.Module
	if v.bottom(low.Y, hi) <= low.Need+under {
		return hi
	}
	for range 40 {
		mid := (lo + hi) / 2
		if v.bottom(low.Y, mid) <= low.Need+under {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Floor(lo*10) / 10
}
