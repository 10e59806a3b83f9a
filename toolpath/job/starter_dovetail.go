package job

import (
	"fmt"
	"math"
	"strconv"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
)

// dovetailRoom is what a new job's slot leaves for its dovetail cutter, mm.
type dovetailRoom struct {
	mouth, depth   float64
	deeper, radial float64    // slot.deeper, slot.radial_cut
	floor          float64    // Z of the slot's floor
	beside         []geom.Vec // flank of the neighbour that faces the slot, from its tip down; nil: not known
}

// besideShank is the air kept between a suggested cutter's shank and the good
// teeth, mm (own rule: twice facets.clearance).
const besideShank = 0.3

// thinShanksMM and thinShanksInch are shanks that collets hold, thickest first, mm
// and inches.
var (
	thinShanksMM   = []float64{4, 3}
	thinShanksInch = []float64{3.0 / 16, 1.0 / 8}
)

// slope is how much a dovetail cutter narrows on each side a millimetre of height.
var slope = math.Tan(starterAngle * math.Pi / 360)

// neckTo is where over the floor a shank may begin, mm: over the tips, or where the
// good teeth on both sides leave it room.
func (s *Start) neckTo(r dovetailRoom, c *profiles.Cutter) float64 {
	over := s.reach(r.depth, c.FlankHeight)
	wander := max(0, r.mouth/2+(r.depth+r.deeper)*slope-c.Radius())
	most := c.Shank/2 + wander + besideShank
	height := r.depth + r.deeper + s.module()/2 // over what the old tooth's fillets leave
	for _, p := range r.beside {
		if p.Y < most {
			height = max(height, p.Z-r.floor)
		}
	}
	if r.beside == nil || r.beside[0].Y < most {
		return over
	}
	// The corner over which there is room lies at most one point of the line further.
	return min(over, max(c.FlankHeight+0.1, height+s.module()/4))
}

// dovetailOf is a dovetail cutter of a diameter and a shank, its neck no longer than
// it must be.
func (s *Start) dovetailOf(r dovetailRoom, diameter, shank float64) profiles.Cutter {
	c := profiles.Cutter{Name: "dovetail", Kind: profiles.Dovetail, Diameter: diameter, Flutes: 1, SinglePoint: true, Shank: shank}
	c.FlankAngle = starterAngle * math.Pi / 360
	c.FlankHeight = upTo(r.depth+0.1, s.even(0.1))
	c.FluteLength, c.MaxDepth = c.FlankHeight, c.FlankHeight
	c.Neck = downTo(diameter-2*c.FlankHeight*slope, s.even(0.01))
	step := s.even(0.1)
	if r.beside == nil {
		step = s.even(1)
	}
	c.NeckLength = upTo(s.neckTo(r, &c), step)
	c.StickOut = upTo(max(s.reach(r.depth, c.FlankHeight), c.NeckLength)+5, s.even(1))
	return c
}

// bends is the greatest share of its bending strength to which the slot's and the
// insert's cuts bend a dovetail cutter.
func (r dovetailRoom) bends(c profiles.Cutter) (worst float64) {
	first := max(0, c.Radius()-r.mouth/2)
	total := max(0, r.mouth/2+(r.depth+r.deeper)*slope-max(c.Radius(), r.mouth/2))
	wall := total/max(1, math.Ceil(total/r.radial-1e-9)) + first
	for _, cut := range []struct {
		work         Material
		depth, width float64
	}{{profiles.GreyIron, r.depth + r.deeper, wall}, {profiles.MildSteel, r.depth, r.radial}} {
		s, err := profiles.SpeedsFor(c, cut.work, profiles.SideCut)
		if err != nil {
			return math.Inf(1)
		}
		feed := max(s.Feed, s.LeastFeed(c, r.radial))
		b, err := estimate.CutterSpring(&c, estimate.Engagement{Diameter: c.Diameter, Teeth: 1, Depth: cut.depth,
			Width: min(c.Diameter, cut.width), Feed: feed / s.Rpm, Work: cut.work})
		if err != nil {
			return math.Inf(1)
		}
		worst = max(worst, b.Share)
	}
	return worst
}

// chosen is the dovetail cutter to suggest: one as wide as the mouth with the
// common shank over the tips where it bears its cuts; else one whose shank, or a
// thinner one, begins between the good teeth, and then a wider one, whose neck is
// thicker: not wider than halfway to the floor's width, nor than the mouth and a cut
// on either side of it, or it would cut both walls at once.
func (s *Start) chosen(r dovetailRoom) (best profiles.Cutter, share float64) {
	shanks := append([]float64{0}, thinShanksMM...)
	if s.Units == Inch {
		shanks = []float64{0}
		for _, d := range thinShanksInch {
			shanks = append(shanks, d*inch)
		}
	}
	first := downTo(r.mouth, s.even(0.1))
	over := r
	over.beside = nil
	if best = s.dovetailOf(over, first, s.shank(first)); r.radial <= 0 {
		return best, 0 // no such gear can be: any will do
	}
	if share = r.bends(best); share <= estimate.BreakShare {
		return best, share
	}
	for diameter := first; diameter <= min(r.mouth+r.depth*slope, r.mouth+2*r.radial)+geom.Eps; diameter += s.even(0.025) {
		for _, shank := range shanks {
			if shank == 0 {
				shank = s.shank(diameter)
			} else if shank <= diameter {
				continue
			}
			c := s.dovetailOf(r, diameter, shank)
			if b := r.bends(c); b < share-geom.Eps {
				best, share = c, b
			}
			if share <= estimate.BreakShare {
				return best, share
			}
		}
	}
	return best, share
}

// dovetail writes the dovetail cutter.
func (s *Start) dovetail(w *writer, r dovetailRoom) {
	c, share := s.chosen(r)
	w.table("cutter.dovetail", "dovetail cutter, ground to suit")
	least := w.mm(upTo(c.Neck*math.Cbrt(share/estimate.BreakShare), s.even(0.01)))
	if share <= estimate.BreakShare {
		fmt.Fprintf(w, "# Its neck: %s thick at least, and no longer than %s; as here the cuts bend it to %.0f %% of its strength.\n", least, w.mm(c.NeckLength), 100*share)
	} else {
		fmt.Fprintf(w, "# Its neck should be %s thick at least, for which this slot has no room: as here\n# the cuts bend it to %.0f %% of its strength. Cut with care, or let the slot be less deep.\n", least, 100*share)
	}
	w.key("cutter.NAME.number", "3")
	w.key("cutter.NAME.kind", strconv.Quote(cutterKinds[profiles.Dovetail]))
	w.key("cutter.NAME.diameter", w.mm(c.Diameter))
	w.key("cutter.NAME.angle", strconv.Itoa(starterAngle))
	w.key("cutter.NAME.flank_height", w.mm(c.FlankHeight))
	w.key("cutter.NAME.neck", w.mm(c.Neck))
	w.key("cutter.NAME.neck_length", w.mm(c.NeckLength))
	w.key("cutter.NAME.shank", w.mm(c.Shank))
	w.key("cutter.NAME.stick_out", w.mm(c.StickOut))
	w.key("cutter.NAME.single_point", "true")
}
