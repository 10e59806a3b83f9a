package sheet

import (
	"fmt"
	"math"
	"reflect"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// typed is an axis and the number it gets.
type typed struct {
	Axis string
	Size size
}

// signTest turns the rotary axis in air to see which way it goes.
type signTest struct {
	Z     size   // height to be clear
	Angle string // what to type
	Other int    // rotary_sign when it turns the wrong way
	Again bool   // it has been done in a set-up before
}

func (s *sheet) signTest(p *toolpath.Program) *signTest {
	j := s.job
	if p.Setup != toolpath.GearSetup || j.Index.Device != job.Rotary {
		return nil
	}
	return &signTest{Z: s.size(p.Safe - s.Plan.Shift), Angle: figure.Number(10*float64(j.Machine.RotarySign), 0), Other: -j.Machine.RotarySign}
}

// keepOuts lists the boxes of a set-up: the check believed them.
func (s *sheet) keepOuts(gear bool) []keepOut {
	var out []keepOut
	for _, k := range s.job.KeepOuts {
		if (k.Setup == "gear") == gear {
			out = append(out, keepOut{k.Name, s.span(k.X[0], k.X[1]), s.span(k.Y[0], k.Y[1]), s.span(k.Z[0], k.Z[1])})
		}
	}
	return out
}

// touches says what to touch for the zeros of a program, and when they still
// stand from the program before.
func (s *sheet) touches(p *toolpath.Program) (moved string, out []task) {
	if len(p.Ops) == 0 {
		return "", nil
	}
	c := p.Ops[0].Cutter
	switch p.Purpose {
	case "trial", "fit":
		moved = "Block not moved since 20-insert." + p.Ext + ": X and Y stand."
	case "facets": // before the flush cut the block was in the vice, with zeros of its own
		moved = "Gear not moved since the program before: X, Y and the gear's angle stand."
		if s.job.Index.Device != job.Rotary {
			moved = "Gear not moved on its arbor since the program before: X and Y stand. Bring the new tooth back to the top, level."
		}
	}
	z := s.zOnTips()
	if p.Setup == toolpath.InsertSetup {
		z = 0
		if p.Purpose == "insert" {
			z = s.job.Insert.TopCut
		}
		out = s.touchBlock(p, c, z)
	} else {
		out = s.touchGear(p, c, z)
	}
	for i := range p.Ops {
		if p.Ops[i].Cutter != c {
			return moved, append(out, s.touchFurther(p, z)...)
		}
	}
	return moved, out
}

// touchFurther sets the lengths of the tools after the first. What the first
// touched may have been turned away or cut off by the time they come.
func (s *sheet) touchFurther(p *toolpath.Program, z float64) []task {
	m := &s.job.Machine
	where, at := "on the same spot as the first, gear level", z
	if s.job.Index.Device == job.Rotary {
		where = "on the same spot as the first, gear at A 0"
	}
	if p.Setup == toolpath.InsertSetup {
		where, at = "on the faced top", 0
	}
	if !m.TouchesOff() {
		if p.Setup == toolpath.InsertSetup {
			where, at = "on the rough top", z
		}
		return []task{{Do: "Each further tool, before the run: its end " + where + ", its own length active (G43 with its H). It must read:", Type: []typed{{"Z", s.size(at)}},
			Note: "If not, its length in the tool table is wrong. Mend it there; do not set Z0 anew."}}
	}
	if m.LengthComp {
		return []task{{Do: "Each further tool, at its stop in the run: its end " + where + ". Write its length into the tool table under its number, so that with its length active (G43) it reads:", Type: []typed{{"Z", s.size(at)}},
			Note: "Do not set Z0 anew: the control would count the length twice."}}
	}
	return []task{{Do: "Each further tool, at its stop in the run: its end " + where + ".", Type: []typed{{"Z", s.size(at)}}}}
}

// touchBlock finds the zeros of the insert's block; its top is at z.
func (s *sheet) touchBlock(p *toolpath.Program, c *profiles.Cutter, z float64) []task {
	d, r := s.Plan.Sizes, c.Radius()
	half, where, top := d.BlockHalf, "left side", "rough top"
	if p.Purpose != "insert" {
		half, where, top = d.BodyHalf, "left side as milled, below the shoulder", "faced top"
	}
	y := s.size(half + r)
	return []task{
		{Do: fmt.Sprintf("Side of T%d on the front end.", c.Number), Type: []typed{{"X", s.size(-r)}}},
		{Do: fmt.Sprintf("Side of T%d on the %s (−Y).", c.Number, where), Type: []typed{{"Y", s.size(-half - r)}},
			Note: "On the right side it must then read " + y.both() + ". If it reads otherwise, set it to the mean of the two: alike on both sides, the middle is Y0."},
		{Do: fmt.Sprintf("End of T%d on the %s%s.", c.Number, top, s.active(c)), Type: []typed{{"Z", s.size(z)}}},
	}
}

// touchGear finds the zeros of the gear: first level, so that the other
// touches mean what they should. The neighbours' tips are at z.
func (s *sheet) touchGear(p *toolpath.Program, c *profiles.Cutter, z float64) []task {
	r := c.Radius()
	level, byArbor := s.levelling(c)
	arbor := task{Do: "Arbor along X and level: an indicator along its top and along its side reads alike at both ends, within " + s.both(0.01) + "."}
	face := "the gear's front face"
	if p.Purpose != "slot" {
		face += ", clear of the " + s.newMetal()
	}
	tip := "a level neighbour's tip, same corner"
	if good := s.goodTip(); good != "" {
		tip = "the tip of the " + good + " neighbour, at its corner toward the gap"
	}
	out := append([]task{arbor}, level...)
	out = append(out, task{Do: fmt.Sprintf("End of T%d on %s%s.", c.Number, tip, s.active(c)), Type: []typed{{"Z", s.size(z)}}})
	if byArbor.Do != "" {
		out = append(out, byArbor)
	}
	return append(out, task{Do: fmt.Sprintf("Side of T%d on %s.", c.Number, face), Type: []typed{{"X", s.size(-r)}}}, s.touchGap(p, c))
}

// goodTip names the neighbour whose tip is whole, where the other's is low;
// "" when both are.
func (s *sheet) goodTip() string {
	switch low := s.job.Gear.TipLow; {
	case low[0] > 0:
		return "right"
	case low[1] > 0:
		return "left"
	}
	return ""
}

// levelling finds the gear level, and Z0 by the arbor where the tips are worn;
// the latter is empty for a gear without a bore.
func (s *sheet) levelling(c *profiles.Cutter) (level []task, byArbor task) {
	j := s.job
	pins := "two pins of one size, one in the space on each side of the gap"
	if m, ok := s.measure("old.over_pins"); ok && m.Pin > 0 {
		pins = "two pins of " + s.both(m.Pin) + ", one in the space on each side of the gap beyond the neighbour"
	}
	first := task{
		Do:     fmt.Sprintf("Level: end of T%d on both neighbours' tips, at the corner toward the gap. Turn the gear until both read alike.", c.Number),
		Blanks: []string{"Z left", "Z right"},
		Note:   "Tips worn or chipped: " + pins + ", instead; turn until the tops of both read alike.",
	}
	if s.goodTip() != "" {
		first.Do, first.Note = "Level, not by the tips, for one is low: "+pins+". Turn the gear until the tops of both read alike.", ""
	}
	switch j.Index.Device {
	case job.Rotary:
		first.Type = []typed{{"A", size{Main: "0.000°"}}}
	case job.Head:
		if j.Index.Graduation > 0 {
			first.Blanks = append(first.Blanks, "scale when level")
			first.Note += " Come to it with the gear's top going toward −Y: so the backlash lies. All angles are counted from what the scale reads here."
		} else {
			first.Note += " Crank pin in a hole, come to it with the gear's top going toward −Y: so the backlash lies. All turns are counted from here."
		}
	}
	if j.Gear.Bore > 0 {
		byArbor = task{Do: fmt.Sprintf("Or Z by the arbor, where tips are worn: end of T%d on top of the arbor, where it is %s thick%s.", c.Number, s.coarse(j.Gear.Bore).Main, s.active(c)),
			Type: []typed{{"Z", s.size(j.Gear.Bore/2 - s.Plan.Shift)}}}
	}
	return []task{first}, byArbor
}

// active says that a cutter's length counts while Z0 is set with it, where the
// control keeps lengths.
func (s *sheet) active(c *profiles.Cutter) string {
	if !s.job.Machine.LengthComp {
		return ""
	}
	return fmt.Sprintf(", its length active (G43 H%d)", c.Number)
}

// zOnTips is the program's Z of the level neighbours' tips, mm.
func (s *sheet) zOnTips() float64 {
	return design.ZeroHeight(&s.job.Gear, job.ZeroNeighbours) - s.Plan.Shift
}

// touchGap finds the middle of the gap.
func (s *sheet) touchGap(p *toolpath.Program, c *profiles.Cutter) task {
	t := task{
		Do:     fmt.Sprintf("In the gap: side of T%d on the left neighbour's flank, then on the right one's, at one height.", c.Number),
		Blanks: []string{"Y left", "Y right"},
		Type:   []typed{{"Y", size{Main: "(right − left) / 2"}}},
		Note:   "Typed with the cutter still on the right one.",
	}
	gap, ok := s.job.Gear.Gap()
	if !ok {
		return t
	}
	depth, ok := s.touchDepth(gap)
	if !ok {
		return t
	}
	width, err := gap.WidthAt(gap.TipHeight() - depth)
	if err != nil {
		return t
	}
	if p.Purpose != "slot" {
		if width/2-s.Plan.Sizes.BlockHalf < c.Diameter+touchRoom {
			return s.touchFar(t, gap, c)
		}
	} else if width < c.Diameter+touchRoom {
		return t
	}
	half := (width - c.Diameter) / 2
	r, err := gap.Centre(measure.SideTouch{Left: -half, Right: half, Cutter: c.Diameter, Depth: depth})
	if err != nil {
		return t
	}
	z := s.size(gap.TipHeight() - depth - s.Plan.Shift)
	t.Do = fmt.Sprintf("In the gap: side of T%d on the left neighbour's flank, then on the right one's, both at Z %s.", c.Number, z.both())
	about, off := s.size(r.TypeRight), s.size(r.Sigma)
	t.Note += fmt.Sprintf(" Expect %s; off by more than %s: find out why first.", about.both(), off.both())
	return t
}

// touchFar finds the middle by the neighbours' far flanks, where new metal fills
// the gap.
func (s *sheet) touchFar(t task, gap measure.Gap, c *profiles.Cutter) task {
	t.Do = fmt.Sprintf("Side of T%d on the far flanks of both neighbours, left then right, at one height.", c.Number)
	low, y, ok := s.farTouch(gap, c)
	if !ok {
		return t
	}
	t.Do = fmt.Sprintf("Side of T%d on the far flanks of both neighbours, the left one's left flank, then the right one's right, both at Z %s.", c.Number, s.both(low-s.Plan.Shift))
	t.Note += fmt.Sprintf(" Expect about %s.", s.both(y))
	return t
}

// farTouch is how high over the axis the cutter's end stands while its side
// touches the far flanks of the neighbours, and the spindle's distance from the
// middle then, mm: half way down that flank, or as far down as the space beyond
// it lets the cutter in.
func (s *sheet) farTouch(gap measure.Gap, c *profiles.Cutter) (low, y float64, ok bool) {
	flank, err := gap.Gear.RightFlank()
	if err != nil {
		return 0, 0, false
	}
	side := gap.Gear.Pitch() * float64(gap.Missing+1) / 2
	far := geom.Turn(side).ApplyAll(flank)
	next := geom.Turn(side + gap.Gear.Pitch()).ApplyAll(geom.BothSides(flank))
	step := s.touchStep()
	for down := gap.Gear.WholeDepth() / 2; down >= 0.5; down -= step {
		low := s.Plan.Shift + math.Floor((far[0].Z-down-s.Plan.Shift)/step)*step
		at, met := profiles.HalfWidthAt(far, low)
		if !met {
			continue
		}
		for _, q := range far {
			if q.Z > low {
				at = max(at, q.Y)
			}
		}
		room := math.Inf(1)
		for _, q := range next {
			if q.Z > low-step {
				room = min(room, q.Y-at)
			}
		}
		if at > far[0].Y && room > c.Diameter+touchRoom {
			return low, at + c.Radius(), true
		}
	}
	return 0, 0, false
}

// touchRoom is the least room beside a cutter for touching off, mm.
const touchRoom = 0.3

// touchStep is what heights to touch at are whole numbers of, mm.
func (s *sheet) touchStep() float64 {
	if s.job.Units == job.Inch {
		return 0.005 * 25.4
	}
	return 0.1
}

// touchDepth is how deep below the tips the cutter's end touches: half way
// down, but over the stub where its height is known; a whole number of tenths or of five thousandths of
// an inch. mm.
func (s *sheet) touchDepth(gap measure.Gap) (float64, bool) {
	step := s.touchStep()
	const overStub, least = 0.4, 0.5
	depth := gap.Gear.WholeDepth() / 2
	if s.job.Slot.StubKnown {
		depth = min(depth, gap.TipHeight()-s.Plan.Sizes.StubTop-overStub)
	}
	depth = math.Floor(depth/step) * step
	return depth, depth >= least
}

// asBefore is a touching off without what it begins with in common with that of
// the program before, which is told there.
func asBefore(touches, before []task, programs []program) []task {
	same := 0
	for same < min(len(touches), len(before)) && reflect.DeepEqual(touches[same], before[same]) {
		same++
	}
	if same < 2 || len(programs) == 0 {
		return touches
	}
	return append(do("All as for "+programs[len(programs)-1].File+": the same touches, the same numbers."), touches[same:]...)
}
