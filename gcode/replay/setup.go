package replay

import (
	"math"
	"slices"

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
	Name    string      // as findings have it
	Role    Role        // the part to be made, or a tooth beside it
	Metal   geom.Region // where there is metal
	Outline []geom.Vec  // its surface, from which depths are measured
}

// Zone is a stretch of the target's surface whose leftover metal is told
// apart from the rest, e.g. "right flank".
type Zone struct {
	Name    string     // as findings have it
	Surface []geom.Vec // a line along the target, mm, frame
	Limit   float64    // metal that may be left on it, mm
	Filed   float64    // metal that may be left where the job says "file this", mm; 0: none
	FiledTo float64    // the "file this" part reaches up to this radius, mm
	Upto    float64    // radius beyond which leftovers are another zone's, mm; 0: none
	Over    float64    // what is left is its height over the circle of this radius about the axis, mm; 0: its distance from Surface

	// End makes the whole station the zone: any waste there stands out of the
	// end face at X = Face by as much as the station does.
	End  bool
	Face float64 // mm
}

// Section is what stands across X: what must stay, what is to go, and the
// surfaces on which leftovers count.
type Section struct {
	Keep  []Solid     // metal that must stay
	Waste geom.Region // metal to be removed
	Zones []Zone      // leftover is measured only where there are any
}

// Station is a place along X, or a stretch of it, and the section there.
// Stations of the same metal hold the same Section: what is done to it is done
// at all of them. Split parts one from the others.
type Station struct {
	X    float64 // mm, frame
	Half float64 // mm: the section holds from X-Half to X+Half; 0: at X alone
	*Section
}

// cutLimit and leftLimit are CutLimit and LeftLimit for the decimals that the
// control takes, mm.
func (s *Setup) cutLimit() float64  { return CutLimit + s.Rounding }
func (s *Setup) leftLimit() float64 { return LeftLimit + s.Rounding }

// Split gives the station a section of its own, the same as the one it shared.
func (s *Station) Split() {
	own := *s.Section
	own.Waste = slices.Clone(own.Waste)
	s.Section = &own
}

// SectionAt returns the section that the stations have at x: that of the station
// there, or of the stretch x lies in, or of the nearest; nil when there is no
// station.
func SectionAt(stations []Station, x float64) *Section {
	var at *Section
	best := math.Inf(1)
	for i := range stations {
		s := &stations[i]
		// A stretch is not nearer to what lies in it than a place at x itself.
		d := max(math.Abs(s.X-x)-s.Half, 0)
		if s.Half > 0 && d < samePlace {
			d = samePlace
		}
		if d < best {
			best, at = d, s.Section
		}
	}
	return at
}

// samePlace is how near two X are one place, mm: far below the last decimal
// written.
const samePlace = 1e-6

// Way is how a cutter that turns clockwise, seen from above, goes along the metal
// it takes.
type Way int

// The ways.
const (
	AnyCut       Way = iota
	Conventional     // the metal on its left
	Climb            // on its right
)

// KeepOut is a box that nothing may enter, in program coordinates (mm).
type KeepOut struct {
	Name    string     // as findings have it
	X, Y, Z [2]float64 // from, to
}

// Setup is all that the replay knows: the job, the stock and the target.
type Setup struct {
	Stations []Station                               // rising in X; the outermost are the ends of all metal
	At       func(x float64) (s *Section, even bool) // see section; nil: as at the nearest station
	Top      float64                                 // greatest distance of any metal from the axis (gear), or greatest Z (insert), frame mm
	Turns    bool                                    // the work turns with A: a gear set-up
	Sign     float64                                 // of A: +1, or -1 for a table wired the other way
	ByHand   bool                                    // the angle is set at stops, and told by a comment "GEAR AT n DEG"
	ZShift   float64                                 // frame Z = program Z + ZShift
	Margin   float64                                 // height over Top at which the gear may turn, mm

	// How a hand turns the gear: turns of a crank for one of the gear, 0 without
	// one; and the angle from tooth to tooth, rad.
	CrankRatio int
	Pitch      float64

	// Clear is what the flutes keep, as a distance, from the places of Sound, on the
	// flanks and tips of teeth that stay as they are, mm in the gear's frame; 0: no
	// more than not to cut them.
	Clear float64
	Sound []geom.Vec

	// Rounding is how much farther off a cut may lie than the check's tolerances
	// allow for, because the control takes fewer decimals than they assume, mm.
	Rounding float64

	// Cut is the way the last cut along each wall must go.
	Cut Way

	// Said is what the job's own program says to the operator; nil: not compared.
	Said []Saying

	Tools    map[int]Tool  // by T number
	KeepOuts []KeepOut     // what no part of a tool may enter
	Travel   [3][2]float64 // program coordinates; both 0: not known
	MinRpm   float64       // least the spindle turns, rev/min; 0: not known
	MaxRpm   float64       // most it turns, rev/min; 0: not known
	MaxFeed  float64       // of the machine, mm/min; 0: not known

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

	// Air says that the program is run in air: it may meet no metal, and none of it
	// has to go.
	Air bool

	Steps        int // stops told as "Step n." that must come, for trying the work; 0: none
	SnapshotStep int // keep the stock as it is at that stop; 0: none

	// Step, when not nil, looks at the stock at the stop of a step and says
	// what is wrong with it; "" for nothing.
	Step func(step int, s []Station) string

	// Observe, when not nil, is called after every motion that may cut, with
	// the metal at the set-up's own stations.
	Observe func(m *machine.Motion, angle float64, s []Station)
}

// section returns the metal before the program at x, the same Section wherever
// it is the same, and whether it does not change around x, up to the next
// of the set-up's own stations.
func (s *Setup) section(x float64) (at *Section, even bool) {
	if s.At != nil {
		return s.At(x)
	}
	return SectionAt(s.Stations, x), true
}

// Resume makes the stock what another replay of the set-up left: all that it
// looked at.
func (s *Setup) Resume(along []Station) {
	s.Stations = nil
	for _, st := range along {
		if st.Half == 0 {
			s.Stations = append(s.Stations, st)
		}
	}
	s.At = func(x float64) (*Section, bool) { return SectionAt(along, x), true }
}
