package replay

import (
	"fmt"
	"math"
	"regexp"
	"strconv"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// How a program says what the operator sets by hand at the next stop.
var (
	handAngle = regexp.MustCompile(`^GEAR AT (-?[0-9]+\.[0-9]+) DEG$`)
	handTool  = regexp.MustCompile(`^Put in T([0-9]+)`)
	handTouch = regexp.MustCompile(`^Touch off the length of T([0-9]+)`)
	handStep  = regexp.MustCompile(`^Step ([0-9]+)\.`)
	handSpeed = regexp.MustCompile(`^Set the spindle to ([0-9]+) rev/min`)
)

// ofJob is how a program names the state of the job it was written from.
var ofJob = regexp.MustCompile(`^Job file's fingerprint: ([0-9a-f]+)$`)

// fingerprintIn returns the fingerprint that sayings give; "" when they do not.
func fingerprintIn(list []Saying) string {
	for _, s := range list {
		if m := ofJob.FindStringSubmatch(s.Text); m != nil {
			return m[1]
		}
	}
	return ""
}

// told keeps what a comment tells the operator to set, and which job it is of.
func (r *runner) told(e *machine.Event) error {
	if m := ofJob.FindStringSubmatch(e.Text); m != nil {
		r.report.Fingerprint = m[1]
	}
	for _, told := range []struct {
		text *regexp.Regexp
		n    *int
	}{{handTool, &r.askTool}, {handTouch, &r.askTouch}, {handStep, &r.askStep}, {handSpeed, &r.askSpeed}} {
		if m := told.text.FindStringSubmatch(e.Text); m != nil {
			n, err := strconv.Atoi(m[1])
			if err != nil {
				return fmt.Errorf("line %d: number in comment: %w", e.Line, err)
			}
			*told.n = n
		}
	}
	m := handAngle.FindStringSubmatch(e.Text)
	if m == nil || !r.setup.ByHand {
		return nil
	}
	deg, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return fmt.Errorf("line %d: angle in comment: %w", e.Line, err)
	}
	a := geom.Radians(deg)
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
		r.least.minutes += r.setup.ToolChange / 60
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
