// Package machine does what a control does with a program: modes, motions,
// cycles and times. It turns blocks into motions and other events, in
// millimetres and degrees, by NISTIR 6556, clause 3, and refuses every broken
// rule with its line. It knows nothing of plans, stock or cutters.
package machine

import (
	"fmt"
	"io"
	"math"
	"slices"

	"cogmend/gcode"
)

// Position is where the tool is: its tip on its own axis, in the coordinate
// system the program has chosen, G92 offsets removed. X, Y and Z are
// millimetres whatever the program's units, A is degrees as written and does
// not wrap. An axis whose place the program has not yet said is NaN; A is 0
// at the start, because the gear is set to A0 by hand.
type Position struct{ X, Y, Z, A float64 }

// MotionKind is the way of a motion.
type MotionKind uint8

// The kinds of motion.
const (
	Rapid MotionKind = iota // straight, as fast as the machine goes
	Feed                    // straight, at the feed
	Arc                     // arc or helix, at the feed
)

func (k MotionKind) String() string { return [...]string{"rapid", "feed", "arc"}[k] }

// ArcData is the rest of an arc (NISTIR 6556, 3.5.3).
type ArcData struct {
	Plane  int      // 17, 18 or 19: XY, ZX or YZ
	Centre Position // in the plane; the other coordinates are those of the start
	Radius float64  // at the start, mm; that at the end may differ by the tolerance of the standard
	Sweep  float64  // radians, counter-clockwise positive seen from the positive end of the normal
}

// Motion is one motion. An axis that is NaN in From is moved from a place the
// program does not tell; an axis that is NaN in To has not been placed yet.
type Motion struct {
	Line int // of the block, from 1
	Kind MotionKind
	From Position // where it begins
	To   Position // where it ends
	Arc  *ArcData // for Arc only
	// Length is mm along X, Y and Z; axes that come from an unknown place do
	// not count.
	Length float64
	// Feed is mm/min along X, Y and Z, or degrees a minute when A moves
	// alone (2.1.2.5); 0 for rapids.
	Feed float64
	// Minutes is the time that Length takes at that feed, 0 for rapids.
	Minutes float64
	State   *State // as the block has it
}

// Travels says that X, Y or Z moves: a full circle ends where it began.
func (m *Motion) Travels() bool {
	return m.Arc != nil || moved(m.From.X, m.To.X) || moved(m.From.Y, m.To.Y) || moved(m.From.Z, m.To.Z)
}

// Turns says that A moves.
func (m *Motion) Turns() bool { return moved(m.From.A, m.To.A) }

// moved says that a coordinate changes; one that is not known on either side
// has not been asked to.
func moved(from, to float64) bool {
	return from != to && !(math.IsNaN(from) && math.IsNaN(to))
}

// Spindle is the turning of the spindle.
type Spindle uint8

// The states of the spindle.
const (
	Off Spindle = iota
	CW
	CCW
)

// State is what holds from block to block, apart from the position.
type State struct {
	Tool     int     // in the spindle, by M6; 0: none, or set by hand
	Selected int     // by T, for the next M6; -1: none
	Speed    float64 // S, rev/min; 0: not stated
	Spindle  Spindle
	Mist     bool // M7
	Flood    bool // M8

	Inch         bool // G20; else millimetres
	Plane        int  // 17, 18, 19; 0: not stated
	Incremental  bool // G91
	InverseTime  bool // G93
	LengthOffset bool // G43
	Offset       int  // H of G43
	LengthStated bool // G43 since the tool was last changed
	System       int  // 54 to 59, 591 to 593; 0: not stated
	Path         int  // 61, 611, 64; 0: not stated
	FeedRate     float64
	NoOverrides  bool // M49
	Shifted      bool // G92 in force
	Stated       Stated
}

// Stated says which modes the program has set; the rest are as the control last
// had them.
type Stated struct {
	Distance bool // G90, G91
	FeedMode bool // G93, G94
	Radius   bool // G40 to G42
	Length   bool // G43, G49
}

// EventKind is what happens.
type EventKind uint8

// The kinds of event.
const (
	EventMotion     EventKind = iota // Motion
	EventStop                        // M0, M1 or M60: Code
	EventToolChange                  // State.Tool is in the spindle
	EventSpindle                     // S, M3, M4 or M5: see State
	EventDwell                       // Seconds
	EventComment                     // Text
	EventMessage                     // Text, without MSG
	EventEnd                         // M2, M30 or the second % line
)

// Event is one thing the machine does. It, and what it points to, is the
// machine's own and changes with the next event: copy what is kept.
type Event struct {
	Kind    EventKind // which of the fields below count
	Line    int       // of the block, from 1
	Code    int       // number of the M word of a stop or the end; 0 for an end by %
	Motion  Motion    // EventMotion
	Text    string    // EventComment, EventMessage
	Idle    []string  // comments before it on its line: a control passes over them, a hand reads them
	Seconds float64   // EventDwell
	State   *State    // after the event
	Before  *State    // EventEnd: as the program left it, before the end puts anything back
}

// Comments are all comments of the event's line in their order, Text the last.
func (e *Event) Comments() []string { return append(slices.Clone(e.Idle), e.Text) }

// maxReach is the largest coordinate and offset that is read, mm or degrees:
// a kilometre, beyond any machine, and small enough for every sum and chord
// to stay exact far below what is written.
const maxReach = 1e6

// inchTenths is the tenths of a millimetre in one inch, exactly.
const inchTenths = 254

// Axes, and the letters of the words that move them.
const (
	axisX = iota
	axisY
	axisZ
	axisA
	axes
)

const axisLetters = "XYZA"

// Control is the modal machine of NISTIR 6556, clause 3. It knows no more
// than the program tells: at the start no motion mode holds, G90, G94 and G40
// hold (3.6.1), units, plane, coordinate system and cycle return are unknown
// and must be stated before anything relies on them, and no axis but A has a
// place. Every broken rule is an error with its line.
//
// Not supported, since the program alone does not say what they do: machine
// coordinates (G10, G28, G30, G53), a second coordinate system, probing,
// cutter radius compensation, the axes B and C, block delete, the cycles G84,
// G87 and G88. A change of tool or of the tool length offset makes the place
// of the tip in Z unknown until the next absolute Z word; of a change by hand
// the program does not tell, see ByHand.
type Control struct {
	// MilliDwell says that the control counts P of dwells in milliseconds,
	// not in seconds as in the standard.
	MilliDwell bool

	file  string
	line  line
	state State
	pos   [axes]float64
	err   error

	motion    int  // G code in force times ten, or noCode
	unitsSet  bool // G20 or G21 has been stated
	feedSet   bool // FeedRate holds for the feed mode and units in force
	lengthSet bool // G43 or G49 has been stated
	ret       int  // 98 or 99; 0: not stated
	used      bool // a coordinate system has been moved in
	percent   bool // after the first % line
	ended     bool

	shift      [axes]float64 // G92, in force
	saved      [axes]float64 // as G92.3 brings back
	savedKnown bool

	cycle   cycleWords
	strokes int // motions made by cycles
	arc     ArcData
	event   Event
	emit    func(*Event) error
}

// New returns a machine that has read nothing. The name of the file
// stands in the positions of errors.
func New(file string) *Control {
	nan := math.NaN()
	return &Control{
		file:   file,
		motion: noCode,
		pos:    [axes]float64{nan, nan, nan, 0},
		state:  State{Selected: -1},
	}
}

// State returns the state after the last block.
func (m *Control) State() State { return m.state }

// Position returns the place after the last block.
func (m *Control) Position() Position { return position(m.pos) }

// ByHand tells the machine, at a stop, that a cutter has been put in or touched
// off by hand: hands have moved the axes, so the place of its tip is not known.
func (m *Control) ByHand() {
	m.pos[axisX], m.pos[axisY], m.pos[axisZ] = math.NaN(), math.NaN(), math.NaN()
	m.state.LengthStated = false
}

// Ended says whether the program has ended. Blocks after that do nothing.
func (m *Control) Ended() bool { return m.ended }

// End says whether the program may stop here: after M2, M30 or the second of
// two % lines (3.2).
func (m *Control) End() error {
	switch {
	case m.err != nil:
		return m.err
	case m.ended:
		return nil
	case m.percent:
		return &gcode.SyntaxError{Pos: gcode.Pos{File: m.file}, Msg: "the program begins with a % line and ends without one, and without M2 or M30"}
	}
	return &gcode.SyntaxError{Pos: gcode.Pos{File: m.file}, Msg: "the program does not end with M2 or M30"}
}

// Step does one block, in the order of 3.8, and calls emit for all that
// happens; emit may be nil. It returns a *gcode.SyntaxError or *gcode.UnsupportedError for a
// rule broken, or the error of emit. After an error the machine stands: Step
// returns the same error again.
func (m *Control) Step(b *gcode.Block, emit func(*Event) error) error {
	if m.err != nil || m.ended {
		return m.err
	}
	m.emit = emit
	m.err = m.step(b)
	m.emit = nil
	return m.err
}

func (m *Control) step(b *gcode.Block) error {
	m.line.number = b.Line
	if b.Percent {
		if m.percent {
			m.ended = true
			before := m.state
			return m.send(&Event{Kind: EventEnd, Before: &before})
		}
		m.percent = true
		return nil
	}
	if err := m.sort(b); err != nil {
		return err
	}
	return m.execute(b)
}

// Run reads a program and replays it to its end. What stands after the end is
// not read, but for the second % line if there is a first.
func Run(r io.Reader, file string, emit func(*Event) error) error {
	return New(file).Run(r, emit)
}

// Run is Run on a machine made before.
func (m *Control) Run(r io.Reader, emit func(*Event) error) error {
	in := gcode.NewReader(r, m.file)
	var b gcode.Block
	for !m.ended {
		if err := in.Next(&b); err == io.EOF {
			return m.End()
		} else if err != nil {
			return err
		}
		if err := m.Step(&b, emit); err != nil {
			return err
		}
	}
	return in.Rest()
}

// send hands an event on. The event is copied into the machine's own, so that
// none is allocated.
func (m *Control) send(e *Event) error {
	m.event = *e
	m.event.Line = m.line.number
	m.event.State = &m.state
	if m.emit == nil {
		return nil
	}
	return m.emit(&m.event)
}

func (m *Control) at(col int) gcode.Pos {
	return gcode.Pos{File: m.file, Line: m.line.number, Col: col}
}

func (m *Control) bad(col int, format string, args ...any) error {
	return &gcode.SyntaxError{Pos: m.at(col), Msg: fmt.Sprintf(format, args...)}
}

func (m *Control) cannot(col int, format string, args ...any) error {
	return &gcode.UnsupportedError{Pos: m.at(col), Msg: fmt.Sprintf(format, args...)}
}

func position(p [axes]float64) Position { return Position{p[axisX], p[axisY], p[axisZ], p[axisA]} }
