package toolpath

import (
	"fmt"
	"math"
	"strconv"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// indexStep returns the smallest turn of the job's index device and the angle
// its steps are counted from, for the mirrored world of one side. A step of 0
// means that any angle can be set.
func (p *planner) indexStep(side int) (step, zero float64) {
	x := p.Job.Index
	switch x.Device {
	case job.Head:
		return design.HeadStep(x, p.Flanks.Circle), 0
	case job.Teeth:
		step = p.Job.Gear.Pitch()
		if x.HalfTooth {
			step /= 2
		}
		return step, float64(side) * p.Flanks.Phase
	}
	return 0, 0
}

// settings writes into each pass what the operator sets by hand to
// bring the gear there, and into each operation what brings it back for the
// cutter to be touched off; nothing with a rotary axis.
func (p *planner) settings() {
	say := map[job.Device]func(from, to float64, first bool) (full, brief string){
		job.Head:  p.crank,
		job.Teeth: p.onStops,
	}[p.Job.Index.Device]
	if say == nil || p.bad.err() != nil || !p.Flanks.Met {
		return
	}
	for i := range p.Programs {
		prog := &p.Programs[i]
		if prog.Setup != GearSetup {
			continue
		}
		at, first := 0.0, true
		for k := range prog.Ops {
			op, from := &prog.Ops[k], ""
			if k > 0 && at != 0 && p.Job.Machine.TouchesOff() {
				op.Level, _ = say(at, 0, false)
				at, from = 0, "from level: "
			}
			for n := range prog.Ops[k].Passes {
				pass := &prog.Ops[k].Passes[n]
				// Teeth a pitch apart come to one angle by sums that differ in
				// the last figure: no reason to stop.
				if math.Abs(pass.Angle-at) < geom.Eps {
					pass.Angle = at
				}
				pass.Anew, _ = say(0, pass.Angle, true)
				if pass.Angle != at || first && pass.Angle != 0 {
					pass.Setting, pass.Brief = say(at, pass.Angle, first)
					pass.Brief = from + pass.Brief
					first, from = false, ""
				}
				at = pass.Angle
			}
		}
	}
}

// otherCircle says which hole circle would bring every place of the job to top
// dead centre, where those of its head do not.
func (p *planner) otherCircle() string {
	x := &p.Job.Index
	if x.Device != job.Head {
		return ""
	}
	c := design.CircleFor(&p.Job.Gear, x.Ratio)
	switch {
	case c == 0:
		return fmt.Sprintf("; with a ratio of %d no circle of holes does", x.Ratio)
	case x.Graduation > 0:
		return fmt.Sprintf("; its scale does not, a circle of %d holes would do", c)
	}
	return fmt.Sprintf("; a circle of %d holes would do", c)
}

// crank says how a dividing head is turned from one angle to another. Facets
// are taken in the sense of falling angle; the other way the backlash is taken
// up again.
func (p *planner) crank(from, to float64, first bool) (full, brief string) {
	x := p.Job.Index
	start := ""
	if first {
		start = "From the gap at top dead centre: "
	}
	back := ""
	switch {
	case to <= from:
	case x.Graduation > 0:
		back = " Go beyond it and come back, so that the backlash lies as before."
	default:
		back = " Go half a turn of the crank beyond and come back to it, so that the backlash lies as before."
	}
	toward := "toward -Y"
	if to > from {
		toward = "toward +Y"
	}
	if x.Graduation > 0 {
		by := degrees(math.Abs(to - from))
		return fmt.Sprintf("%sturn the gear's top %.4f deg, %s, %s, to %.4f deg.%s%s", start, by, minutes(by), toward, degrees(to), back, lockHead),
			fmt.Sprintf("%s %s", minutes(by), toward)
	}
	circle := p.Flanks.Circle
	turns, holes := profiles.Crank(x.Ratio, circle, math.Abs(to-from))
	turn := job.Counted(holes, "hole")
	if turns > 0 {
		turn = job.Counted(turns, "turn") + " and " + turn
	}
	return fmt.Sprintf("%sturn the crank %s on the %d circle, the gear's top %s, to %.4f deg.%s%s", start, turn, circle, toward, degrees(to), back, lockHead),
		fmt.Sprintf("%s of %d %s", turn, circle, toward)
}

// What ends every setting by hand: a free spindle is drawn round by the cut, a
// free gear lifted off its stops.
const (
	lockHead  = " Lock its spindle."
	clampGear = " Stops in, gear down on both, clamp it."
)

// HeldThen are the last words of settings, which say how the gear is held.
var HeldThen = []string{lockHead, clampGear}

// onStops says how the gear is moved on the stops that hold it by its own
// teeth.
func (p *planner) onStops(from, to float64, first bool) (full, brief string) {
	step, phase := p.indexStep(1)
	whole := math.Abs(math.Remainder(to-phase, step)) < 1e-6
	if !whole && to == 0 {
		return "Level the gear anew by the two neighbours' tips.", "level anew"
	}
	if !whole {
		return fmt.Sprintf("Level the gear anew by the two neighbours' tips, then turn its top to %.4f deg toward +Y.", degrees(to)), "level anew, then turn"
	}
	if first && math.Abs(phase) < geom.Eps {
		full, brief = p.moveTeeth(0, to)
		return "Set the stops so that the gear rests on them with the gap on top, both neighbours level. Then " + full, "stops at 0 deg, " + brief
	}
	if first || math.Abs(math.Remainder(from-phase, step)) > 1e-6 {
		full, brief = p.moveTeeth(phase, to)
		return fmt.Sprintf("Set the stops so that the gear rests on them at %.4f deg: before that, with the gap on top, turned %.4f deg toward +Y, the corner of the +Y neighbour's tip stands %s below that of the -Y neighbour. Then %s",
			geom.Degrees(phase), geom.Degrees(phase), p.len(p.tipDrop(phase)), full), fmt.Sprintf("stops at %.4f deg, %s", degrees(phase), brief)
	}
	full, brief = p.moveTeeth(from, to)
	return "Unclamp, draw the stops out: " + full, brief
}

// moveTeeth says how many teeth the gear is moved on its stops, and which way.
func (p *planner) moveTeeth(from, to float64) (full, brief string) {
	teeth := math.Round((to-from)/p.Job.Gear.Pitch()*2) / 2
	toward, word := "+Y", "teeth"
	if teeth < 0 {
		toward, teeth = "-Y", -teeth
	}
	if teeth <= 1 {
		word = "tooth"
	}
	if teeth == 0 {
		return fmt.Sprintf("leave it there, at %.4f deg.", degrees(to)), "leave it"
	}
	brief = fmt.Sprintf("%g %s toward %s", teeth, word, toward)
	return fmt.Sprintf("move its top %s, to %.4f deg.%s", brief, degrees(to), clampGear), brief
}

// tipDrop is how much lower the inner tip corner of the +Y neighbour stands
// than that of the -Y one with the gear turned by angle.
func (p *planner) tipDrop(angle float64) float64 {
	s := &p.Standing
	ra := s.TipRadius()
	a := s.Pitch() - s.HalfAngle(ra)
	return ra * (math.Cos(a-angle) - math.Cos(a+angle))
}

// minutes writes an angle of 0 degrees and more as a plain scale with a vernier
// shows it: degrees and minutes of arc.
func minutes(deg float64) string {
	tenths := math.Round(deg * 600)
	whole := math.Floor(tenths / 600)
	return fmt.Sprintf("%.0f deg %s min", whole, strconv.FormatFloat((tenths-600*whole)/10, 'f', -1, 64))
}

// degrees is an angle to be printed with four decimals: no minus zero.
func degrees(rad float64) float64 {
	d := math.Round(geom.Degrees(rad)*1e4) / 1e4
	return d + 0 // -0 + 0 is 0
}
