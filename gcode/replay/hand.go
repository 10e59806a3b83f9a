package replay

import (
	"fmt"
	"math"

	"cogmend/gcode"
	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// told keeps what a comment tells the operator to set, and which job it is of.
func (r *runner) told(line int, text string) error {
	o, err := gcode.ReadOrder(text)
	if err != nil {
		return fmt.Errorf("line %d: number in comment: %w", line, err)
	}
	switch o.Kind {
	case gcode.OfJob:
		r.report.Fingerprint = o.Job
	case gcode.PutIn:
		r.askTool = o.Number
	case gcode.TouchOff:
		r.askTouch = o.Number
	case gcode.TryStep:
		r.askStep = o.Number
	case gcode.SetSpindle:
		r.askSpeed = o.Number
	}
	if o.Kind != gcode.GearAt || !r.setup.ByHand {
		return nil
	}
	a := geom.Radians(o.Angle)
	if !r.angleSet && a == 0 {
		// The gear is set to 0 before the program is started.
		r.angleSet = true
		return nil
	}
	r.asked = &a
	return nil
}

// byHand takes what the operator was told as done: the program stands still.
func (r *runner) byHand(line int) {
	if tool := max(r.askTool, r.askTouch); tool > 0 && !r.setup.LengthComp {
		r.level(line, tool)
	}
	if r.askTool > 0 {
		r.changed(line)
		r.report.Minutes += r.setup.ToolChange / 60
		r.lifted()
		r.least.Changes += r.setup.ToolChange / 60
		r.control.ByHand()
		r.handTool, r.touched, r.askTool = r.askTool, r.askTool, 0
	}
	if r.askTouch > 0 {
		r.control.ByHand()
		r.z = math.NaN()
		r.touched, r.askTouch = r.askTouch, 0
	}
	if r.askStep > 0 {
		r.tried(line)
	}
	if r.askSpeed > 0 {
		r.speed, r.askSpeed = r.askSpeed, 0
	}
	if r.asked == nil {
		return
	}
	r.counted(line)
	if r.angleSet && r.angle != *r.asked && r.z < r.setup.Top {
		r.find(TurnedLow, line, r.setup.Top-r.z, "", "the gear is turned by hand while the cutter stands %.3f mm below the highest tooth", r.setup.Top-r.z)
	}
	r.turnTo(*r.asked)
	r.angleSet, r.asked = true, nil
}

// level finds a cutter that is touched off while the gear is turned away: Z0 was
// found on its level neighbours.
func (r *runner) level(line, tool int) {
	if r.setup.Turns && math.Abs(r.angle) > levelSlack {
		r.find(Unplaced, line, 0, "length", "the length of tool %d is touched off with the gear at %.4f degrees, and Z0 was found with it at 0", tool, geom.Degrees(r.angle))
	}
}

// levelSlack is what two written angles may differ by, rad.
const levelSlack = 1e-6

// changed looks at where a cutter is taken out.
func (r *runner) changed(line int) {
	if r.z < r.setup.Top {
		r.find(ChangedLow, line, r.setup.Top-r.z, "", "the tool is changed while it stands %.3f mm below the highest metal", r.setup.Top-r.z)
	}
	r.z = math.NaN()
	r.touched, r.lengthTold = 0, false
}

// tried looks at the work as it is at the stop of a step.
func (r *runner) tried(line int) {
	s, step := r.setup, r.askStep
	r.askStep = 0
	switch due := r.step + 1; {
	case s.Steps == 0 || step == due && step <= s.Steps:
	case due <= s.Steps:
		r.find(WrongStep, line, 0, "order", "the program stops for step %d to be tried where step %d is due", step, due)
	default:
		r.find(WrongStep, line, 0, "order", "the program stops for step %d to be tried after the last of the %d steps", step, s.Steps)
	}
	r.step = max(r.step, step)
	if r.places != nil {
		return
	}
	if step == s.SnapshotStep {
		r.snapshot = kept(r.along())
	}
	if s.Step == nil {
		return
	}
	if text := s.Step(step, r.along()); text != "" {
		r.find(WrongStep, line, 0, "", "%s", text)
	}
}

// lengths finds a motion of a tool whose length the control does not have:
// the program's Z is then not where the tool's end goes.
func (r *runner) lengths(m *machine.Motion) {
	if r.lengthTold {
		return
	}
	st := m.State
	switch keeps := r.setup.LengthComp; {
	case st.LengthOffset && st.Offset != st.Tool:
		r.find(WrongTool, m.Line, 0, "H", "the length offset H%d is not tool %d's: its end would stand at another height", st.Offset, st.Tool)
	case keeps && !st.LengthStated:
		r.find(WrongTool, m.Line, 0, "H", "tool %d moves before G43 H%d has stated its length: its end would stand at another height", st.Tool, st.Tool)
	case !keeps && st.LengthOffset:
		r.find(WrongTool, m.Line, 0, "H", "G43 H%d adds a length to tool %d, which the job has touched off: its end would stand at another height", st.Offset, st.Tool)
	case r.askTouch > 0 || !keeps && r.touched != st.Tool:
		r.find(NoStop, m.Line, 0, "length", "tool %d moves before the program has stopped for its length to be touched off", st.Tool)
	default:
		return
	}
	r.lengthTold = true
}

// waiting finds a motion that comes before the stop at which the operator
// would have done what the program told.
func (r *runner) waiting(m *machine.Motion) {
	if r.asked != nil {
		r.find(NoStop, m.Line, 0, "angle", "the program goes on without a stop at which the gear could be turned by hand")
		r.asked = nil
	}
	if r.askTool > 0 {
		r.find(NoStop, m.Line, 0, "tool", "the program goes on without a stop at which tool %d could be put in", r.askTool)
		r.askTool = 0
	}
	if r.askStep > 0 {
		r.find(NoStop, m.Line, 0, "step", "the program goes on without a stop at which step %d could be tried", r.askStep)
		r.askStep = 0
	}
}
