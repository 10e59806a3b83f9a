package sheet

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// The gear of a job without an index device rests on two stops: blocks on the
// table, one on each side of the gear near its axis's height, with flat level
// tops. The top of a stop bears on the lower flank of a tooth there. Where a
// flank's tangent is level it lies H(roll) below the axis, the roll being the
// tooth's turn from level and half its thickness (design: the support
// function), and for an involute it touches as far from the middle as the base
// radius whatever the height. So the tops' height alone sets the gear's angle.

// stop is one of the two.
type stop struct {
	Number float64 // of the tooth it bears on with the gear at the stops' zero, in pitches from the top
	Below  float64 // its top, under the axis, without packing
	Bears  float64 // from the middle to the line of touch
	End    float64 // from the middle to the stop's end, toward the gear
	Thick  float64 // the most its end may measure upright
}

// stops are both, with what raises them for half a tooth.
type stops struct {
	Right, Left stop
	Packing     float64 // half the base pitch; 0: the gear is moved by whole teeth only
	phase, step float64 // rad: of the stops' zero, of a pitch
	last        float64 // place of the outermost tooth to be made, pitches
}

// stops finds where the stops stand; false when no flank gives them room.
func (s *sheet) stops() (stops, bool) {
	j := s.job
	if j.Index.Device != job.Teeth {
		return stops{}, false
	}
	g := s.Plan.Worn()
	out := stops{phase: s.Plan.Flanks.Phase, step: g.Pitch(), last: runEnd(j.Gear.Places)}
	var ok bool
	if out.Right, ok = s.stopAt(g, out.phase); !ok {
		return stops{}, false
	}
	if out.Left, ok = s.stopAt(g.Mirrored(), -out.phase); !ok {
		return stops{}, false
	}
	if j.Index.HalfTooth {
		lean := g.SupportAt(s.rollAt(g, out.Right.Number, out.phase)).H
		half := g.SupportAt(s.rollAt(g, out.Right.Number-0.5, out.phase)).H
		out.Packing = lean - half
	}
	return out, true
}

// runEnd is the outermost place of the run of gaps on top, in pitches.
func runEnd(places []float64) float64 {
	end := places[0]
	for _, q := range places {
		if q-end < 1.5 {
			end = max(end, q)
		}
	}
	return end
}

// rollAt is the roll at which the lower flank of the tooth number pitches from
// the top, the gear turned by at, lies level on the right side.
func (s *sheet) rollAt(g profiles.Gear, number, at float64) float64 {
	return g.BaseHalfAngle() + number*g.Pitch() + at - math.Pi/2
}

// stopAt chooses the tooth whose flank is touched nearest the pitch circle, on
// the side to which at turns the gear: well over its root, or where no tooth has a
// line of touch there, nearer to it.
func (s *sheet) stopAt(g profiles.Gear, at float64) (stop, bool) {
	for _, share := range []float64{0.35, 0.2} {
		if b, ok := s.stopOver(g, at, g.RootRadius()+share*g.WholeDepth()); ok {
			return b, true
		}
	}
	return stop{}, false
}

// stopOver is stopAt with the line of touch over a radius.
func (s *sheet) stopOver(g profiles.Gear, at, low float64) (stop, bool) {
	j := s.job
	best, off := stop{}, math.Inf(1)
	high := g.TipRadius() - 0.12*g.WholeDepth()
	radius := func(number float64) (profiles.Support, float64) {
		sup := g.SupportAt(s.rollAt(g, number, at))
		return sup, math.Hypot(sup.H, sup.Slope)
	}
	for k := range g.Teeth {
		number := j.Gear.Places[0] + float64(k)
		roll := s.rollAt(g, number, at)
		if roll <= 0 || roll > math.Pi/3 || g.Form != nil && roll < g.Roll(0) {
			continue
		}
		sup, r := radius(number)
		if r < low || r > high || sup.H <= 0 {
			continue
		}
		worst := math.Abs(r - g.PitchRadius())
		if j.Index.HalfTooth {
			_, half := radius(number - 0.5)
			if half < low || half > high {
				continue
			}
			worst = max(worst, math.Abs(half-g.PitchRadius()))
		}
		if worst < off {
			off, best = worst, stop{Number: number, Below: sup.H, Bears: sup.Slope}
		}
	}
	if math.IsInf(off, 1) {
		return best, false
	}
	// The end reaches a little past the line of touch; how thick it may be is
	// what the next flank below leaves.
	best.End = best.Bears - 0.25*g.Module
	best.Thick = s.roomBelow(g, best, at)
	return best, best.Thick > 0.2*g.Module
}

// roomBelow is how far the metal of the next tooth lies under a stop's top,
// less some air.
func (s *sheet) roomBelow(g profiles.Gear, b stop, at float64) float64 {
	line, err := g.Tooth()
	if err != nil {
		return 0
	}
	const air = 0.15 // of the room
	least := math.Inf(1)
	numbers := []float64{b.Number + 1}
	if s.job.Index.HalfTooth {
		numbers = append(numbers, b.Number+0.5)
	}
	for i, number := range numbers {
		top := -b.Below
		if i > 0 { // packed
			top = -g.SupportAt(s.rollAt(g, b.Number-0.5, at)).H
		}
		turn := geom.Turn(number*g.Pitch() + at)
		for k := range line {
			v, w := turn.Apply(line[k]), turn.Apply(line[(k+1)%len(line)])
			for _, q := range []geom.Vec{v, v.Lerp(w, 0.5)} {
				if q.Y >= b.End && q.Z < top {
					least = min(least, top-q.Z)
				}
			}
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least * (1 - air)
}

// under says under which teeth the stops are with the gear at an angle, the
// teeth counted from the gap down each side, and whether they are packed.
func (t stops) under(angle float64) (right, left string, packed bool) {
	moved := (angle - t.phase) / t.step
	whole := math.Round(moved)
	half := 0.0
	if packed = math.Abs(moved-whole) > 0.25; packed {
		half = 0.5
	}
	count := func(number float64) string { return fmt.Sprintf("%.0f", math.Round(number-t.last)) }
	return count(t.Right.Number - half - moved), count(t.Left.Number - half + moved), packed
}

// stopsAhead points, in a program that only rests on the stops, to where they are
// drawn; "" in the others.
func (s *sheet) stopsAhead(p *toolpath.Program) string {
	if t, ok := s.stops(); !ok || t.phase != 0 || p.Setup != toolpath.GearSetup || s.settings(p) != nil {
		return ""
	}
	for i := range s.Plan.Programs {
		if after := &s.Plan.Programs[i]; after.Skipped == "" && s.settings(after) != nil {
			return "The two stops are drawn, with their heights, at " + after.File() + ": make them now and let the gear rest on them, level."
		}
	}
	return ""
}

// settingStops is how the stops are set.
func (s *sheet) settingStops(t stops) []task {
	g := s.job.Gear
	out := []task{
		{Do: "The stops: two blocks on the table, one at each side of the gear, their tops flat and level. Each bears on the lower flank of a tooth, on a line as long as the face; only its height counts. Make the ends as drawn.",
			Blanks: []string{"axis over the table"}},
		{Do: fmt.Sprintf("Height of the right stop: axis over the table, less %s. Its end stands %s from the middle and bears at %s; no thicker than %s there.",
			s.both(t.Right.Below), s.both(t.Right.End), s.both(t.Right.Bears), s.both(t.Right.Thick)), Blanks: []string{"right stop"}},
	}
	if math.Abs(t.Left.Below-t.Right.Below) < 1e-6 {
		out = append(out, task{Do: "Left stop: the same, mirrored.", Blanks: []string{"left stop"}})
	} else {
		out = append(out, task{Do: fmt.Sprintf("Height of the left stop: axis over the table, less %s. Its end stands %s from the middle and bears at %s; no thicker than %s there.",
			s.both(t.Left.Below), s.both(t.Left.End), s.both(t.Left.Bears), s.both(t.Left.Thick)), Blanks: []string{"left stop"}})
	}
	if t.Packing > 0 {
		out = append(out, task{Do: "Half a tooth: two packing pieces, alike within " + s.both(0.01) + ", one on each stop.", Type: []typed{{"thickness", s.size(t.Packing)}},
			Note: "Half the base pitch. Then each stop bears on the tooth above: the table says which."})
	}
	level := "Level: the gap, or the new tooth in it, on top; right stop under tooth %.0f, left stop under tooth %.0f. Both neighbours' tips must read alike; shim one stop until they do."
	if t.phase != 0 {
		level = "The stops hold the gear turned by " + degrees(t.phase) + ", not level: right stop under tooth %.0f, left stop under tooth %.0f."
	}
	out = append(out, do(fmt.Sprintf(level, t.Right.Number-t.last, t.Left.Number-t.last))...)
	_, moved := g.TouchHeights()
	out = append(out, task{Do: "Each index: spindle still, cutter up. Unclamp the gear. Draw both stops out sideways. Turn. Push both stops in under the teeth the table names, packed or not. Gear down on both: neither lets a paper through. Clamp it.",
		Note: fmt.Sprintf("A stop %s too high or too low turns the gear by %.3f°, and moves the flank by about as much as the stop.", s.both(0.01), geom.Degrees(0.01/moved))})
	return out
}
