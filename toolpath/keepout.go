package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// keepOuts refuses programs in which a tool enters a keep-out, and says what
// to mind where one stands higher than the first move.
func (p *planner) keepOuts() {
	for i := range p.Programs {
		prog := &p.Programs[i]
		setup, shift := "insert", 0.0
		if prog.Setup == GearSetup {
			setup, shift = "gear", p.Shift
		}
		for k := range p.Job.KeepOuts {
			box := &p.Job.KeepOuts[k]
			if box.Setup != setup || prog.Skipped != "" {
				continue
			}
			for n := range prog.Ops {
				p.keepOut(prog, &prog.Ops[n], box, shift)
			}
			// From where a cutter sets out is not known.
			if box.Z[1] > prog.Safe-shift {
				prog.Clamp = append(prog.Clamp, fmt.Sprintf("Keep-out %q is higher than the safe height: at the start and after a tool change it must not stand between cutter and work.", box.Name))
			}
		}
	}
}

// keepOut refuses an operation that enters a keep-out: what of its cutter goes
// deepest under the top of it.
func (p *planner) keepOut(prog *Program, op *Op, box *job.KeepOut, shift float64) {
	part, lowest := "", box.Z[1]
	parts := metal.Parts(op.Cutter)
	look := func(a, b Pos) {
		low, high := min(a.Z, b.Z)-shift, max(a.Z, b.Z)-shift
		off := planDistance(a, b, box)
		for _, q := range parts {
			if off < max(q.R0, q.R1) && high+q.Z1 > box.Z[0] && low+q.Z0 < lowest {
				part, lowest = q.Name, low+q.Z0
			}
		}
	}
	var at *Pos
	for i := range op.Passes {
		for k := range op.Passes[i].Moves {
			mv := &op.Passes[i].Moves[k]
			if mv.Kind == Note || mv.Kind == Stop {
				continue
			}
			if at == nil {
				at = &mv.To
			}
			look(*at, mv.To)
			if mv.Kind == Hole {
				look(mv.To, Pos{mv.To.X, mv.To.Y, mv.Bottom})
			}
			at = &mv.To
		}
	}
	if part == "" {
		return
	}
	over := p.len(math.Ceil((box.Z[1]-lowest)*100) / 100) // what one can set
	help := "its top must lie " + over + " lower there, or it must stand elsewhere"
	if prog.Setup == InsertSetup {
		help = "let the block stand " + over + " higher out of it"
	}
	if part == "shank" || part == "holder" {
		help += ", or the cutter so much longer out of its holder"
	}
	p.bad.add("keepout."+box.Name, "in %s, %s, the %s of cutter.%s would reach down to Z %s in it, and its top is at Z %s; %s",
		prog.File(), op.Name, part, op.Cutter.Name, p.len(lowest), p.len(box.Z[1]), help)
}

// planDistance is how far a straight move passes from a keep-out, seen from
// above.
func planDistance(a, b Pos, box *job.KeepOut) float64 {
	in, out := 0.0, 1.0 // the stretch of the move within the box's bounds
	for _, v := range [2][4]float64{{a.X, b.X, box.X[0], box.X[1]}, {a.Y, b.Y, box.Y[0], box.Y[1]}} {
		from, to, lo, hi := v[0], v[1], v[2], v[3]
		if from == to {
			if from < lo || from > hi {
				out = -1
			}
			continue
		}
		s, e := (lo-from)/(to-from), (hi-from)/(to-from)
		in, out = max(in, min(s, e)), min(out, max(s, e))
	}
	if in <= out {
		return 0
	}
	move := []geom.Vec{{Y: a.X, Z: a.Y}, {Y: b.X, Z: b.Y}}
	off := math.Inf(1)
	for _, x := range box.X {
		for _, y := range box.Y {
			off = min(off, geom.Distance(geom.Vec{Y: x, Z: y}, move))
		}
	}
	for _, q := range []Pos{a, b} {
		off = min(off, math.Hypot(max(box.X[0]-q.X, 0, q.X-box.X[1]), max(box.Y[0]-q.Y, 0, q.Y-box.Y[1])))
	}
	return off
}
