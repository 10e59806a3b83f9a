package toolpath

import "math"

// travel refuses programs that leave the machine's travel.
func (p *planner) travel() {
	m := p.Job.Machine
	for i := range p.Programs {
		prog := &p.Programs[i]
		if prog.Passes() == 0 {
			continue
		}
		lo, hi := prog.reach()
		if prog.Setup == GearSetup {
			lo.Z, hi.Z = lo.Z-p.Shift, hi.Z-p.Shift
		}
		for _, axis := range []struct {
			name   string
			lo, hi float64
			travel [2]float64
		}{{"x", lo.X, hi.X, m.TravelX}, {"y", lo.Y, hi.Y, m.TravelY}, {"z", lo.Z, hi.Z, m.TravelZ}} {
			for _, v := range []float64{axis.lo, axis.hi} {
				if t := axis.travel; t[0] < t[1] && (v < t[0] || v > t[1]) {
					p.bad.add("machine.travel_"+axis.name, "%s reaches %s, the travel is %s to %s",
						prog.File(), p.len(v), p.len(t[0]), p.len(t[1]))
				}
			}
		}
	}
}

// LeastLift is the least height that lifts every cut of the program clear of
// the work, mm: what its deepest point lies below its safe height.
func (p *Program) LeastLift() float64 {
	lo, _ := p.reach()
	return p.Safe - lo.Z
}

// LeastLift is the least height that lifts every cut of every program clear of
// the work, rounded up to a whole mm.
func (p *Plan) LeastLift() float64 {
	most := 0.0
	for i := range p.Programs {
		most = max(most, p.Programs[i].LeastLift())
	}
	return math.Ceil(most)
}

// reach is how far the program goes, holes to their bottom, in its frame.
func (p *Program) reach() (lo, hi Pos) {
	inf := math.Inf(1)
	lo, hi = Pos{inf, inf, p.Safe}, Pos{-inf, -inf, p.Safe}
	grow := func(at Pos) {
		lo = Pos{min(lo.X, at.X), min(lo.Y, at.Y), min(lo.Z, at.Z)}
		hi = Pos{max(hi.X, at.X), max(hi.Y, at.Y), max(hi.Z, at.Z)}
	}
	for _, op := range p.Ops {
		for _, pass := range op.Passes {
			for _, mv := range pass.Moves {
				if mv.Kind == Note || mv.Kind == Stop {
					continue
				}
				grow(mv.To)
				if mv.Kind == Hole {
					grow(Pos{mv.To.X, mv.To.Y, mv.Bottom})
				}
			}
		}
	}
	return lo, hi
}
