package job

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
)

// onRoot is how far above the root circle, in mm, a fillet begins to count as
// tooth: what the check of the programs can see.
const onRoot = 0.002

// room is what the gear leaves for seat, body and slot at one place, seen with
// its gap at top dead centre. Lengths mm; widths are half widths.
type room struct {
	seat  float64 // Z of the seat
	tooth float64 // widest the new tooth's involute is: the body must have it
	foot  float64 // new tooth with its fillets, on the root circle
	free  float64 // to where a neighbour's half of the space rises over the seat, or halfway to the next insert
	tips  float64 // to the nearer corner of a neighbour's tip land
	rim   float64 // depth from the seat to the least rim
}

// roomAt measures the room for a gear whose tooth has been validated.
func roomAt(g *Gear, seatBelow float64) (room, error) {
	root := g.RootRadius()
	r := room{seat: root - seatBelow, rim: root - seatBelow - g.RimInner/2 - leastRim(g.Module)}
	for _, seen := range []profiles.Gear{g.Gear, g.Mirrored()} {
		if err := r.own(seen, root); err != nil {
			return r, err
		}
	}
	r.free, r.tips = math.Inf(1), math.Inf(1)
	for _, seen := range []profiles.Gear{g.Standing(), g.Standing().Mirrored()} {
		beside, err := facing(seen)
		if err != nil {
			return r, err
		}
		r.tips = math.Min(r.tips, beside[0].Y)
		for i, p := range beside {
			if p.Z > r.seat {
				r.free = math.Min(r.free, p.Y)
			} else if i > 0 && beside[i-1].Z > r.seat {
				above := beside[i-1]
				r.free = math.Min(r.free, above.Lerp(p, (above.Z-r.seat)/(above.Z-p.Z)).Y)
			}
		}
	}
	if g.Adjacent() {
		// The seats of two adjacent inserts meet on the line between them.
		r.free = math.Min(r.free, r.seat*math.Tan(g.Pitch()/2))
	}
	return r, nil
}

// own widens the room for one flank of the new tooth over a root circle.
func (r *room) own(g profiles.Gear, root float64) error {
	line, err := g.RightFlank()
	if err != nil {
		return err
	}
	low, err := g.Root()
	if err != nil {
		return err
	}
	for i, p := range line {
		radius := p.Norm()
		if radius >= low.FormRadius-onRoot {
			r.tooth = math.Max(r.tooth, p.Y)
		}
		if radius > root+onRoot {
			r.foot = math.Max(r.foot, p.Y)
		} else if i > 0 && line[i-1].Norm() > root+onRoot {
			over := line[i-1].Norm() - root - onRoot
			r.foot = math.Max(r.foot, line[i-1].Lerp(p, over/(over+root+onRoot-radius)).Y)
		}
	}
	return nil
}

// facing returns a flank of a standing gear as that of the +Y neighbour that
// faces the place, seen from whichever side it is the +Y one of its tooth.
func facing(g profiles.Gear) ([]geom.Vec, error) {
	line, err := g.RightFlank()
	return geom.Turn(g.Pitch()).ApplyAll(geom.Mirrored(line)), err
}

// Standing returns the gear whose tooth is the fattest of those that stand
// beside a place: what nothing may touch.
func (g *Gear) Standing() profiles.Gear {
	n := g.Gear
	n.Thinning = g.NeighbourThinning
	if g.FatThickness > 0 {
		standard := g.Gear
		standard.Thinning = 0
		n.Thinning = min(n.Thinning, standard.PitchThickness()-g.FatThickness)
	}
	return n
}

// NeighbourFlank returns the flank of the +Y neighbour that faces the place,
// from its tip down to the middle of the space, the place at top dead centre.
func (g *Gear) NeighbourFlank() ([]geom.Vec, error) {
	return facing(g.Standing().Mirrored())
}

// tipHeight is the height over the axis of the tips of the two neighbours of the
// first place or run, standing level: their highest point, the corner toward the
// gap.
func (g *Gear) tipHeight() float64 {
	s := g.Standing()
	run := 1
	for run < len(g.Places) && math.Abs(g.Places[run]-g.Places[0]-float64(run)) < 0.25 {
		run++
	}
	return s.TipRadius() * math.Cos(float64(run+1)/2*g.Pitch()-s.HalfAngle(s.TipRadius()))
}

// Gap returns the gap at A = 0 between the fattest of the standing teeth; ok is
// false when the run of missing teeth is not centred there.
func (g *Gear) Gap() (gap measure.Gap, ok bool) {
	n := 0
	for n < len(g.Places) && math.Abs(g.Places[n]-g.Places[0]-float64(n)) < 0.25 {
		n++
	}
	if n == 0 || math.Abs(g.Places[0]+float64(n-1)/2) > 0.25 {
		return measure.Gap{}, false
	}
	return measure.Gap{Gear: g.Standing(), Missing: n}, true
}

// mostBody is the widest body whose seat leaves the neighbours alone.
func (r room) mostBody(play float64) float64 { return 2*r.free - play }

// blankAir is how much room the blank's unmilled part is given between the
// neighbours at least, mm: more, when the facets' cutters keep more clearance.
const blankAir = 0.5

// SidesOver returns how far over the seat the sides of an insert's blank must be
// milled, mm: to where the gap between the neighbours lets the whole blank pass,
// but a module at least. seat is from the axis. The error is that of the
// neighbours' outline.
func (j *Job) SidesOver(seat float64) (float64, error) {
	g, block := &j.Gear, j.Insert.BlockWidth/2
	low := g.Module
	if j.Insert.BlockWidth <= j.Insert.Body {
		return low, nil
	}
	if g.Adjacent() {
		// The blank of the place beside this one leans away by a pitch.
		low = max(low, (block+blankAir/2)/math.Tan(g.Pitch()/2)-seat)
	}
	line, err := g.NeighbourFlank()
	if err != nil {
		return 0, err
	}
	return max(low, geom.Highest(line, math.Inf(-1), block+max(blankAir, j.Facets.Clearance))-seat), nil
}

// Adjacent says whether two of the places stand side by side.
func (g *Gear) Adjacent() bool {
	for i, p := range g.Places {
		for _, q := range g.Places[i+1:] {
			if math.Abs(math.Abs(p-q)-1) < 0.25 {
				return true
			}
		}
	}
	return false
}

// defaultBody is the width of the tooth's foot, where there is room for it.
func (r room) defaultBody(play float64) float64 {
	return downTo(math.Min(math.Max(upTo(2*r.foot, 0.1), 2*r.tooth), r.mostBody(play)), 0.1)
}

// defaultMouth is about half the body, with a shoulder at each side.
func defaultMouth(body, module float64) float64 {
	return downTo(math.Min(0.52*body, body-2*profiles.LeastShoulder(module)), 0.1)
}

// defaultDepth is 1.25 x the mouth (common practice), less where the rim, the
// cutter's flank or the body, which must hold the dovetail's wide end, is
// smaller.
func defaultDepth(mouth, halfAngle, body, oversize, rim, flank float64) float64 {
	wide := (body - oversize - mouth) / 2 / math.Tan(halfAngle)
	return downTo(math.Min(math.Min(1.25*mouth, wide), math.Min(rim, flank)), 0.05)
}
