package replay

import (
	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// Role says what a solid is, and so what a cut into it means.
type Role int

// The roles.
const (
	Target    Role = iota // the finished part
	Neighbour             // a tooth that is to stay as it is
)

// Solid is metal that must not be cut, at one station.
type Solid struct {
	Name    string
	Role    Role
	Metal   geom.Region // where there is metal
	Outline []geom.Vec  // its surface, from which depths are measured
}

// Zone is a stretch of the target's surface whose leftover metal is told
// apart from the rest, e.g. "right flank".
type Zone struct {
	Name    string
	Surface []geom.Vec
	Limit   float64 // metal that may be left on it, mm
	Filed   float64 // metal that may be left where the job says "file this", mm; 0: none
	FiledTo float64 // the "file this" part reaches up to this radius, mm
	Upto    float64 // radius beyond which leftovers are another zone's, mm; 0: none

	// StandsOut, when above 0, makes the whole station the zone: any waste
	// there stands this much out of an end face, mm.
	StandsOut float64
}

// Station is the section across X at one place.
type Station struct {
	X     float64
	Keep  []Solid
	Waste geom.Region // metal to be removed
	Zones []Zone      // leftover is measured only where there are any
}

// KeepOut is a box that nothing may enter, in program coordinates (mm).
type KeepOut struct {
	Name    string
	X, Y, Z [2]float64
}

// Setup is all that the replay knows: the job, the stock and the target.
type Setup struct {
	Stations []Station // rising in X
	Top      float64   // greatest distance of any metal from the axis (gear), or greatest Z (insert), frame mm
	Turns    bool      // the work turns with A: a gear set-up
	Sign     float64   // of A: +1, or -1 for a table wired the other way
	ByHand   bool      // the angle is set at stops, and told by a comment "GEAR AT n DEG"
	ZShift   float64   // frame Z = program Z + ZShift
	Tools    map[int]Tool
	KeepOuts []KeepOut
	Travel   [3][2]float64 // program coordinates; both 0: not known
	MinRpm   float64
	MaxRpm   float64
	MaxFeed  float64

	// LengthComp says that the control keeps the lengths of the tools: G43
	// with the tool's H must follow each change. Otherwise each tool is
	// touched off at a stop.
	LengthComp bool

	// HandSpeed says that the operator sets the spindle and starts it, at a
	// stop that tells the speed.
	HandSpeed bool

	Rapid        float64 // mm/min, for the minutes
	TurnRate     float64 // deg/s
	ToolChange   float64 // s
	MilliDwell   bool    // the control counts P of G4 in milliseconds
	Acceleration float64 // mm/s^2; 0: not known

	Steps        int // stops told as "Step n." that must come, for trying the work; 0: none
	SnapshotStep int // keep the stock as it is at that stop; 0: none

	// Step, when not nil, looks at the stock at the stop of a step and says
	// what is wrong with it; "" for nothing.
	Step func(step int, s []Station) string

	// Observe, when not nil, is called after every motion that may cut.
	Observe func(m *machine.Motion, angle float64, s []Station)
}
