package replay

import (
	"math"

	"cogmend/gcode/machine"
)

// system finds motions from another zero than the one the work is set to.
func (r *runner) system(m *machine.Motion) {
	switch n := m.State.System; {
	case n == workSystem || r.systemTold:
		return
	case n == 0:
		r.find(Unplaced, m.Line, 0, "zero", "no coordinate system is stated, so the control moves from whatever zero it last used; G54 is wanted")
	default:
		r.find(Unplaced, m.Line, 0, "zero", "the program moves in another coordinate system than G54, whose zero is set on the work")
	}
	r.systemTold = true
}

// asWritten finds what the standard gives one meaning and controls another.
func (r *runner) asWritten(m *machine.Motion, tool int) {
	s := m.State
	if s.Path == 64 && !r.pathTold {
		r.pathTold = true
		r.find(Unplaced, m.Line, 0, "G64", "G64 lets the control round off corners of the path, by how much is not known: it may cut where the program does not go")
	}
	if s.Selected >= 0 && s.Selected != tool && s.Selected != r.aloneTold {
		r.aloneTold = s.Selected
		r.find(WrongTool, m.Line, 0, "alone", "T%d stands without M6: a control that changes tools at T alone goes on with another cutter", s.Selected)
	}
}

// modes finds motions in modes that the program has not set itself: a control
// keeps those of a program that was broken off.
func (r *runner) modes(m *machine.Motion) {
	if r.modesTold {
		return
	}
	s := m.State.Stated
	for _, mode := range []struct {
		stated    bool
		code, why string
	}{
		{s.Distance, "G90", "may take X, Y and Z as steps from where it stands"},
		{s.FeedMode, "G94", "may take F as another kind of feed"},
		{s.Radius, "G40", "may move beside the path by a cutter's radius"},
		{s.Length, "G49", "may add a tool's length to Z"},
		{m.State.Plane > 0, "G17", "may cut arcs and cycles in another plane"},
	} {
		if !mode.stated {
			r.find(Unplaced, m.Line, 0, mode.code, "%s is not stated, so the control %s, as it last did", mode.code, mode.why)
		}
	}
	r.modesTold = true
}

// known says that the motion's path is known; a path that is not must be
// above all metal.
func (r *runner) known(m *machine.Motion) bool {
	nan := math.IsNaN
	if !nan(m.From.X) && !nan(m.From.Y) && !nan(m.From.Z) {
		if !r.angleSet && r.setup.Turns {
			r.find(Unplaced, m.Line, 0, "angle", "the cutter moves before any stop has said where the gear stands")
			r.angleSet = true
		}
		return true
	}
	z := m.To.Z + r.setup.ZShift
	if !nan(m.From.Z) {
		z = min(z, m.From.Z+r.setup.ZShift)
	}
	switch {
	case nan(m.From.Z) && (m.To.X != m.From.X && !nan(m.To.X) || m.To.Y != m.From.Y && !nan(m.To.Y)):
		r.find(Unplaced, m.Line, 0, "Z", "X or Y moves before Z has been brought to a safe height")
	case !(z >= r.setup.Top):
		r.find(Unplaced, m.Line, r.setup.Top-z, "Z", "the first moves end %.3f mm below the highest metal, from a place that is not known", r.setup.Top-z)
	case m.Kind != machine.Rapid:
		r.find(Unplaced, m.Line, 0, "", "a feed move starts from a place that is not known")
	}
	return false
}
