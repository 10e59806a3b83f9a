// Package replay takes what the cutters of a program sweep out of the stock and
// keeps what is left. It knows nothing of plans: stock and target are handed to
// it as outlines, and package machine says what a control does with the text.
package replay

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// Tolerances of the check, mm.
const (
	// CutLimit is how deep a cut into what must stay may seem to go: the
	// rounding of the written numbers (1e-4 degree at 100 mm is 0.0002 mm)
	// and the chords of the outlines (0.0002 mm) with room to spare.
	CutLimit = 0.002
	// grazing is the mean thickness below which touched metal is not looked
	// at further.
	grazing = 0.0005
	// LeftLimit is what a leftover may exceed its limit by, for the same
	// reason as CutLimit.
	LeftLimit = 0.002
	// wideShare is the share of the diameter from which a cut counts as wide
	// and is bound by the cutter's greatest depth; a narrower one by its
	// flutes.
	wideShare = 0.25
	// arcChord is how far the chords of an arc may stand off it.
	arcChord = 0.0002
	// depthSlack forgives rounding of depths.
	depthSlack = 0.01
)

// workSystem is the coordinate system whose zero is set on the work: G54.
const workSystem = 54

// runner is one replay.
type runner struct {
	setup      *Setup
	control    *machine.Control
	report     *Report
	places     *places // in the first reading; nil in the second
	live       []live
	groups     []group
	free       []int            // groups that are no longer used
	passed     map[passing]bool // this time
	parted     bool             // groups have parted this time
	visited    []int            // groups looked at this time
	own        []int            // the set-up's stations in live
	now        []Station        // see stationsNow
	round      int              // of regroup
	arena      []geom.Vec
	work       int // done so far, see mostWork
	snapshot   []Station
	angle      float64 // of the gear, rad
	angleSet   bool
	asked      *float64 // angle told to the operator, until the next stop
	askTool    int      // tool told to the operator, until the next stop
	askTouch   int      // tool whose length is to be touched off, until the next stop
	handTool   int      // put in by hand at a stop, until the next M6; 0: none
	touched    int      // tool whose length has been touched off since the last change
	lengthTold bool     // a wrong length has been told since the last change
	askStep    int      // step told to the operator, until the next stop
	step       int      // last step that had its stop
	systemTold bool     // a wrong coordinate system has been told
	modesTold  bool     // modes not stated have been told
	pathTold   bool     // G64 has been told
	aloneTold  int      // T without M6 that has been told; -1: none
	turning    bool     // the spindle
	askSpeed   int      // speed told to the operator, until the next stop
	speed      int      // set by hand and running, rev/min; 0: not
	toGear     geom.Rotation
	tool       *Tool
	least      least
	length     float64 // of the work along X
	z          float64 // of the tip, frame; NaN until known
	buf        geom.Scratch
	pts        []geom.Vec
	outline    []geom.Vec // of a solid, as the gear stands
	bite       bite
	advance    advance
	engaged    []engaged  // of each station
	wrong      []wrongWay // cuts that went the wrong way
	cutLast    advance    // the last that cut
	again      advance    // to be taken again, its line that of the comment; line 0: none
	down       float64    // straight down into metal at this place so far, mm
	downFrom   float64    // height of the tip where that began, mm
	words      string     // of the comments since the last motion or stop
	byWords    float64    // angle to which the words so far have brought the gear, rad
	said       []Saying   // of the first reading
	inch       bool       // of the first motion
}

// bite is what one motion cut.
type bite struct {
	area     float64 // greatest removed at a station, mm^2
	depth    float64 // axial
	width    float64
	load     struct{ area, depth, width float64 } // the same of the whole advance so far, where this motion cut
	drop     float64                              // of the whole motion's way down, cutting or not
	xlo, xhi float64                              // stations it cut at
}

// Result is a report and the stock after the program.
type Result struct {
	Report   *Report   // what was found
	After    []Station // at the set-up's own stations
	Along    []Station // all that was looked at: the next program's stock
	Snapshot []Station // Along, at Setup.SnapshotStep; nil when there was none
}

// Check replays the program read from r, which is read twice: first for the
// places along X where the work is to be looked at. The error is for text that
// cannot be read or is not allowed, and names the line; what the program would
// do wrong is in the report.
func Check(r io.Reader, file string, setup *Setup) (*Result, error) {
	text, err := again(r)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	first := newRunner(file, setup)
	first.places = &places{at: map[int64]struct{}{}}
	if n := len(setup.Stations); n > 0 {
		first.places.lo, first.places.hi = setup.Stations[0].X, setup.Stations[n-1].X
	}
	if err := first.control.Run(text, first.event); err != nil {
		return nil, err
	}
	if text, err = again(text); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	run := newRunner(file, setup)
	run.work = first.work
	run.look(first.places)
	if err := run.control.Run(text, run.event); err != nil {
		return nil, err
	}
	run.compare(first.said)
	run.finish()
	return &Result{run.report, slices.Clone(run.stationsNow()), run.along(), run.snapshot}, nil
}

// again returns r at its beginning, in memory if it cannot be gone back in.
func again(r io.Reader) (io.ReadSeeker, error) {
	if s, ok := r.(io.ReadSeeker); ok {
		if _, err := s.Seek(0, io.SeekStart); err == nil {
			return s, nil
		}
	}
	text, err := io.ReadAll(r)
	return bytes.NewReader(text), err
}

func newRunner(file string, setup *Setup) *runner {
	r := &runner{
		setup:   setup,
		control: machine.New(file),
		report:  &Report{File: file, NotChecked: setup.notChecked()},
		toGear:  geom.Turn(0),
		z:       math.NaN(),

		aloneTold: -1,
		passed:    map[passing]bool{},
	}
	r.angleSet = !setup.ByHand
	r.least.cutZ, r.least.high = math.NaN(), math.Inf(-1)
	r.control.MilliDwell = setup.MilliDwell
	if n := len(setup.Stations); n > 0 {
		r.length = setup.Stations[n-1].X - setup.Stations[0].X
	}
	return r
}

func (r *runner) event(e *machine.Event) error {
	rep := r.report
	if r.places != nil {
		r.said = said(r.said, e)
	}
	switch e.Kind {
	case machine.EventMotion:
		rep.Motions++
		r.motion(&e.Motion)
		r.words = ""
		return r.tooMuch(e.Line)
	case machine.EventStop:
		rep.Stops++
		r.lifted()
		if e.State.Spindle != machine.Off {
			r.find(NoSpeed, e.Line, 0, "", "the program stops for the operator's hands while the spindle turns")
		}
		r.stopped(e.Line)
		if e.Code != 1 { // M1 stops only where a switch says so
			r.byHand(e.Line)
			r.words = ""
		}
	case machine.EventEnd:
		r.takenAgain(e.Line, "")
		r.ended(e.Line, e.Before)
	case machine.EventDwell:
		rep.Minutes += e.Seconds / 60
		r.least.Changes += e.Seconds / 60
	case machine.EventSpindle:
		was := r.turning
		if r.turning = e.State.Spindle != machine.Off; was && !r.turning {
			r.speed = 0
		}
	case machine.EventToolChange:
		if r.turning { // the standard has M6 stop it; hands cannot rely on that
			r.find(NoSpeed, e.Line, 0, "change", "the tool is changed before M5 has stopped the spindle")
			r.turning = false
		}
		if r.handTool > 0 {
			r.control.ByHand() // M6 may bring back the tool it last brought
			r.handTool = 0
		}
		r.changed(e.Line)
		rep.Minutes += r.setup.ToolChange / 60
		r.lifted()
		r.least.Changes += r.setup.ToolChange / 60
	case machine.EventComment, machine.EventMessage:
		for _, text := range e.Comments() {
			r.takenAgain(e.Line, text)
			r.least.mark(text)
			r.words += " " + text
			if err := r.told(e.Line, text); err != nil {
				return err
			}
		}
	}
	return nil
}

func (r *runner) turnTo(a float64) {
	r.angle = a
	r.toGear = geom.Turn(-a)
}

func (r *runner) find(k Kind, line int, amount float64, where, format string, args ...any) {
	r.report.add(Finding{k, line, amount, where, fmt.Sprintf(format, args...), format})
}

func (r *runner) motion(m *machine.Motion) {
	s := r.setup
	r.asWritten(m, m.State.Tool)
	if r.handTool > 0 {
		st := *m.State
		st.Tool = r.handTool
		m.State = &st
	}
	if rep := r.report; rep.Motions == 1 {
		r.inch = m.State.Inch
	}
	r.minutes(m)
	r.travel(m)
	if m.Turns() {
		r.turn(m)
	}
	r.z = m.To.Z + s.ZShift
	if !m.Travels() {
		return
	}
	if r.tool == nil || r.tool.Number != m.State.Tool {
		t, ok := s.Tools[m.State.Tool]
		if !ok {
			r.find(WrongTool, m.Line, 0, "", "tool %d is not in the job, so what it would cut is not known", m.State.Tool)
			return
		}
		r.tool = &t
	}
	r.lengths(m)
	r.waiting(m)
	r.system(m)
	r.modes(m)
	if !r.known(m) {
		return
	}
	r.bite = bite{xlo: math.Inf(1), xhi: math.Inf(-1)}
	if m.Kind != machine.Rapid {
		r.advances(m)
	}
	machine.Flatten(*m, arcChord, func(a, b machine.Position) {
		if r.work > mostWork {
			return // one great arc may be all it can do
		}
		a.Z += s.ZShift
		b.Z += s.ZShift
		if r.places != nil {
			r.collect(m, a, b)
			return
		}
		r.bite.drop += max(0, a.Z-b.Z)
		r.keepOuts(m, a, b)
		r.sweep(m, a, b)
	})
	if r.places != nil {
		return
	}
	r.judge(m)
	r.sunk(m)
	if s.Observe != nil {
		s.Observe(m, r.angle, r.stationsNow())
	}
}

// travel finds motions that leave the machine's travel. An arc may reach
// farther than its end does.
func (r *runner) travel(m *machine.Motion) {
	if m.Arc == nil {
		r.within(m.Line, m.To)
		return
	}
	lo, hi := machine.Extent(m)
	r.within(m.Line, lo)
	r.within(m.Line, hi)
}

func (r *runner) within(line int, p machine.Position) {
	for i, v := range [3]float64{p.X, p.Y, p.Z} {
		t := r.setup.Travel[i]
		if t[0] < t[1] && (v < t[0]-depthSlack || v > t[1]+depthSlack) {
			r.find(OutOfTravel, line, max(t[0]-v, v-t[1]), "XYZ"[i:i+1], "%c%.3f is outside the travel %.3f to %.3f mm", "XYZ"[i], v, t[0], t[1])
		}
	}
}

func (r *runner) turn(m *machine.Motion) {
	s := r.setup
	switch {
	case !s.Turns:
		r.find(TurnedLow, m.Line, 0, "", "A is turned in a set-up that does not turn")
		return
	case s.ByHand:
		r.find(TurnedLow, m.Line, 0, "", "A is turned, but the job's gear is indexed by hand")
		return
	case m.Travels():
		r.find(TurnedLow, m.Line, 0, "A", "A moves together with X, Y or Z")
	case m.Kind != machine.Rapid:
		r.find(TurnedLow, m.Line, 0, "A", "A moves at feed: controls do not agree on its speed")
	}
	z := min(m.From.Z, m.To.Z) + s.ZShift
	if !(z >= s.Top+s.Margin-depthSlack) {
		amount := s.Top + s.Margin - z
		if math.IsNaN(amount) {
			amount = 0
		}
		r.find(TurnedLow, m.Line, amount, "", "the gear turns while the cutter stands %.3f mm too low over the highest metal for it", amount)
	}
	if !math.IsNaN(m.To.A) {
		r.turnTo(s.Sign * geom.Radians(m.To.A))
		r.angleSet = true
	}
}

func (r *runner) minutes(m *machine.Motion) {
	s := r.setup
	length := math.Sqrt(sq(m.To.X-m.From.X) + sq(m.To.Y-m.From.Y) + sq(m.To.Z-m.From.Z))
	if math.IsNaN(length) {
		length = 0
	}
	if m.Arc != nil {
		length = m.Length
	}
	rate := s.Rapid
	if m.Kind != machine.Rapid {
		rate = m.Feed
	}
	var t float64
	if length > 0 && rate > 0 {
		t = length / rate
		if s.Acceleration > 0 {
			t = ramped(length, rate/60, s.Acceleration) / 60
		}
	}
	if turn := math.Abs(m.To.A - m.From.A); turn > 0 && s.TurnRate > 0 {
		t = max(t, turn/s.TurnRate/60)
	}
	r.report.Minutes += t
	r.leastMoved(m, t)
}

// ramped is the time in seconds of a move of the given length from rest to
// rest, speed in mm/s, with constant acceleration.
func ramped(length, speed, acc float64) float64 {
	if length*acc >= speed*speed {
		return length/speed + speed/acc
	}
	return 2 * math.Sqrt(length/acc)
}

func sq(x float64) float64 { return x * x }
