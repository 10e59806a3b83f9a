package toolpath

import (
	"cmp"
	"math"
	"slices"

	"cogmend/profiles/geom"
	"cogmend/toolpath/metal"
)

// filingMargin is added to the thickness that is said to be filed, mm: the
// check holds the programs to it.
const filingMargin = 0.003

// leftover notes what no cutter of the job reaches on one side.
func (p *planner) leftover(st *stock, f *flankScene, place float64, side int) {
	lo, hi, thick := math.Inf(1), 0.0, 0.0
	var worst geom.Vec
	over := 0.0
	beside := 0.0 // the tip land
	p.leftovers(f, st, place, side, func(s spot) {
		if s.over() <= 2*chordSlack {
			return
		}
		if s.at.Norm() > p.Sizes.TipTop {
			beside = max(beside, s.off)
			return
		}
		lo, hi, thick = min(lo, s.at.Norm()), max(hi, s.at.Norm()), max(thick, s.off)
		if s.over() > over {
			// Metal down to here must come off there.
			near, _ := geom.Nearest(s.at, f.target)
			worst, over = near.Lerp(s.at, s.limit/s.off), s.over()
		}
	})
	if beside > 0 && p.Job.BuiltUp() {
		p.bad.add("facets.cutters", "beside the tip land %s of the bead stays: no cutter gets down between it and the neighbour; dress the bead down (bead.beside), or give a smaller facets.clearance or a thinner cutter", p.len(beside))
		return
	}
	if beside > 0 {
		p.bad.add("facets.cutters", "beside the tip land %s of the block, %s wide, stays: no cutter gets down between it and the neighbour; give a narrower insert.block_width, a smaller facets.clearance or a thinner cutter", p.len(beside), p.len(2*p.Sizes.BlockHalf))
		return
	}
	if thick == 0 {
		return
	}
	reaches := p.reaching(f, side, worst)
	if most := p.Job.Facets.MostFiled; thick > most {
		help := "no plain end mill gets there"
		if reaches > 0 {
			help = "an end mill of " + p.len(reaches) + " at most would get to the worst of it"
		}
		p.bad.add("facets.most_filed", "%s of metal would be left to the file on the %s, allowed %s; %s", p.len(thick), SideName(side), p.len(most), help)
		return
	}
	lo, hi = p.bandOf(f, st, place, side, lo, hi)
	p.Filing = append(p.Filing, metal.Filing{Place: place, Side: side, Upto: hi + bandStep, Thick: thick + filingMargin})
	p.FileThis = append(p.FileThis, FileThis{Place: place, Side: side, From: lo, To: hi, Thick: thick, Reaches: reaches})
}

// bandStep is how closely metal is looked at for where it begins and ends to be
// over its limit, mm.
const bandStep = 0.02

// bandOf widens the band of radii with metal to be filed to where, along the
// edges of that metal, it is no longer over its limit.
func (p *planner) bandOf(f *flankScene, st *stock, place float64, side int, lo, hi float64) (float64, float64) {
	t := geom.Turn(p.angleOf(place))
	for _, c := range st.pieces {
		if len(c.spots[f]) == 0 {
			continue
		}
		for i, a := range c.Pts {
			b := c.Pts[(i+1)%len(c.Pts)]
			n := math.Ceil(b.Sub(a).Norm() / bandStep)
			for k := range int(n) {
				if s := p.spotAt(f, t.Apply(a.Lerp(b, float64(k)/n)), side, p.beyond(f, place, side)); s.over() > 2*chordSlack {
					lo, hi = min(lo, s.at.Norm()), max(hi, s.at.Norm())
				}
			}
		}
	}
	return lo, hi
}

// reaching returns the diameter of the largest plain cutter, long and slender
// enough otherwise, whose end gets down to a place, to 0.1 mm down; 0 when
// none of 0.1 mm does.
func (p *planner) reaching(f *flankScene, side int, at geom.Vec) float64 {
	angles := p.cornerAngles(side)
	const places = 24
	reaches := func(d float64) bool {
		for _, a := range angles {
			v, q := f.at(a), geom.Turn(a).Apply(at)
			for i := range places {
				if v.bottom(q.Y-d*(float64(i)+0.5)/places, d) < q.Z {
					return true
				}
			}
		}
		return false
	}
	const step = 0.1
	lo, hi := 0, int(4*p.Job.Gear.Module/step)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if reaches(float64(mid) * step) {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return float64(lo) * step
}

// MostToFile is the thickest metal that no cutter of the job reaches; false
// when there is none.
func (p *Plan) MostToFile() (FileThis, bool) {
	if len(p.FileThis) == 0 {
		return FileThis{}, false
	}
	return slices.MaxFunc(p.FileThis, func(a, b FileThis) int { return cmp.Compare(a.Thick, b.Thick) }), true
}
