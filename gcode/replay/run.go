package replay

import (
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"

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
	report     *Report
	stations   []Station
	snapshot   []Station
	angle      float64 // of the gear, rad
	angleSet   bool
	asked      *float64 // angle told to the operator, until the next stop
	askTool    int      // tool told to the operator, until the next stop
	askTouch   int      // tool whose length is to be touched off, until the next stop
	handTool   int      // put in by hand at a stop; 0: none
	askStep    int      // step told to the operator, until the next stop
	steps      int      // steps with their stop
	systemTold bool     // a wrong coordinate system has been told
	toGear     geom.Rotation
	tool       *Tool
	least      least
	length     float64      // of the work along X
	z          float64      // of the tip, frame; NaN until known
	twin       []int        // see sweep
	sections   [][]geom.Vec // of the part being swept, by station
	buf        geom.Scratch
	pts        []geom.Vec
	bite       bite
}

// bite is what one motion cut.
type bite struct {
	area     float64 // greatest removed at a station, mm^2
	depth    float64 // axial
	width    float64
	xlo, xhi float64 // stations it cut at
	at       []int   // the same, by number, twins left out
}

// Result is a report and the stock after the program.
type Result struct {
	Report   *Report
	After    []Station
	Snapshot []Station // at Setup.SnapshotStep; nil when there was none
}

// Check replays the program read from r. The error is for text that cannot
// be read or is not allowed, and names the line; what the program would do
// wrong is in the report.
func Check(r io.Reader, file string, setup *Setup) (*Result, error) {
	run := &runner{
		setup:    setup,
		report:   &Report{File: file, NotChecked: notChecked},
		stations: append([]Station(nil), setup.Stations...),
		toGear:   geom.Turn(0),
		z:        math.NaN(),
	}
	run.angleSet = !setup.ByHand
	run.pair()
	if n := len(run.stations); n > 0 {
		run.length = run.stations[n-1].X - run.stations[0].X
	}
	control := NewMachine(file)
	control.MilliDwell = setup.MilliDwell
	if err := control.Run(r, run.event); err != nil {
		return nil, err
	}
	run.settle()
	run.finish()
	return &Result{run.report, run.stations, run.snapshot}, nil
}

// copyStations copies what a replay changes; stations that shared their waste
// share the copy.
func copyStations(s []Station) []Station {
	out := append([]Station(nil), s...)
	shared := map[*geom.Convex]geom.Region{}
	for i := range out {
		if len(out[i].Waste) == 0 {
			continue
		}
		key := &out[i].Waste[0]
		if shared[key] == nil {
			shared[key] = append(geom.Region(nil), out[i].Waste...)
		}
		out[i].Waste = shared[key]
	}
	return out
}

// How a program says what the operator sets by hand at the next stop.
var (
	handAngle = regexp.MustCompile(`^GEAR AT (-?[0-9]+\.[0-9]+) DEG$`)
	handTool  = regexp.MustCompile(`^Put in T([0-9]+)`)
	handTouch = regexp.MustCompile(`^Touch off the length of T([0-9]+)`)
	handStep  = regexp.MustCompile(`^Step ([0-9]+)\.`)
)

func (r *runner) event(e *Event) error {
	rep := r.report
	switch e.Kind {
	case EventMotion:
		rep.Motions++
		r.motion(&e.Motion)
	case EventStop:
		rep.Stops++
		if e.State.Spindle != Off {
			r.find(NoSpeed, e.Line, 0, "", "the program stops for the operator's hands while the spindle turns")
		}
		if e.Code != 1 { // M1 stops only where a switch says so
			r.byHand(e.Line)
		}
	case EventDwell:
		rep.Minutes += e.Seconds / 60
	case EventToolChange:
		r.changed(e.Line)
		rep.Minutes += r.setup.ToolChange / 60
		r.least.minutes += r.setup.ToolChange / 60
	case EventComment, EventMessage:
		r.least.mark(e.Text)
		return r.told(e)
	}
	return nil
}

// told keeps what a comment tells the operator to set.
func (r *runner) told(e *Event) error {
	for _, told := range []struct {
		text *regexp.Regexp
		n    *int
	}{{handTool, &r.askTool}, {handTouch, &r.askTouch}, {handStep, &r.askStep}} {
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
	r.askTouch = 0
	if r.askTool > 0 {
		r.changed(line)
		r.handTool, r.askTool = r.askTool, 0
	}
	if r.askStep > 0 {
		if r.askStep == r.setup.SnapshotStep {
			r.settle()
			r.snapshot = copyStations(r.stations)
		}
		if s := r.setup.Step; s != nil {
			r.settle()
			if text := s(r.askStep, r.stations); text != "" {
				r.find(WrongStep, line, 0, "", "%s", text)
			}
		}
		r.steps++
		r.askStep = 0
	}
	if r.asked == nil {
		return
	}
	if r.angleSet && r.angle != *r.asked && r.z < r.setup.Top {
		r.find(TurnedLow, line, r.setup.Top-r.z, "", "the gear is turned by hand while the cutter stands %.3f mm below the highest tooth", r.setup.Top-r.z)
	}
	r.turnTo(*r.asked)
	r.angleSet, r.asked = true, nil
}

// changed looks at where a cutter is taken out.
func (r *runner) changed(line int) {
	if r.z < r.setup.Top {
		r.find(ChangedLow, line, r.setup.Top-r.z, "", "the tool is changed while it stands %.3f mm below the highest metal", r.setup.Top-r.z)
	}
	r.z = math.NaN()
}

func (r *runner) turnTo(a float64) {
	r.angle = a
	r.toGear = geom.Turn(-a)
}

func (r *runner) find(k Kind, line int, amount float64, where, format string, args ...any) {
	r.report.add(Finding{k, line, amount, where, fmt.Sprintf(format, args...)})
}

func (r *runner) motion(m *Motion) {
	s := r.setup
	if m.State.Tool == 0 && r.handTool > 0 {
		st := *m.State
		st.Tool = r.handTool
		m.State = &st
	}
	r.minutes(m)
	r.travel(m)
	if moved(m.From.A, m.To.A) {
		r.turn(m)
	}
	r.z = m.To.Z + s.ZShift
	if !moved(m.From.X, m.To.X) && !moved(m.From.Y, m.To.Y) && !moved(m.From.Z, m.To.Z) {
		return
	}
	if r.askTouch > 0 {
		r.find(NoStop, m.Line, 0, "length", "tool %d moves before the program has stopped for its length to be touched off", r.askTouch)
		r.askTouch = 0
	}
	if m.State.LengthOffset && m.State.Offset != m.State.Tool {
		r.find(WrongTool, m.Line, 0, "H", "the length offset H%d is not tool %d's: its end would stand at another height", m.State.Offset, m.State.Tool)
	}
	if r.tool == nil || r.tool.Number != m.State.Tool {
		t, ok := s.Tools[m.State.Tool]
		if !ok {
			r.find(WrongTool, m.Line, 0, "", "tool %d is not in the job, so what it would cut is not known", m.State.Tool)
			return
		}
		r.tool = &t
	}
	r.waiting(m)
	r.system(m)
	if !r.known(m) {
		return
	}
	r.bite = bite{xlo: math.Inf(1), xhi: math.Inf(-1), at: r.bite.at[:0]}
	Flatten(*m, arcChord, func(a, b Position) {
		a.Z += s.ZShift
		b.Z += s.ZShift
		r.keepOuts(m, a, b)
		r.sweep(m, a, b)
	})
	r.judge(m)
	if s.Observe != nil {
		r.settle()
		s.Observe(m, r.angle, r.stations)
	}
}

// waiting finds a motion that comes before the stop at which the operator
// would have done what the program told.
func (r *runner) waiting(m *Motion) {
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

// system finds motions from another zero than the one the work is set to.
func (r *runner) system(m *Motion) {
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

// known says that the motion's path is known; a path that is not must be
// above all metal.
func (r *runner) known(m *Motion) bool {
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
	case m.Kind != Rapid:
		r.find(Unplaced, m.Line, 0, "", "a feed move starts from a place that is not known")
	}
	return false
}

func (r *runner) travel(m *Motion) {
	for i, v := range [3]float64{m.To.X, m.To.Y, m.To.Z} {
		t := r.setup.Travel[i]
		if t[0] < t[1] && (v < t[0]-depthSlack || v > t[1]+depthSlack) {
			r.find(OutOfTravel, m.Line, max(t[0]-v, v-t[1]), "XYZ"[i:i+1], "%c%.3f is outside the travel %.3f to %.3f mm", "XYZ"[i], v, t[0], t[1])
		}
	}
}

func (r *runner) turn(m *Motion) {
	s := r.setup
	switch {
	case !s.Turns:
		r.find(TurnedLow, m.Line, 0, "", "A is turned in a set-up that does not turn")
		return
	case s.ByHand:
		r.find(TurnedLow, m.Line, 0, "", "A is turned, but the job's gear is indexed by hand")
		return
	case moved(m.From.X, m.To.X) || moved(m.From.Y, m.To.Y) || moved(m.From.Z, m.To.Z):
		r.find(TurnedLow, m.Line, 0, "", "A moves together with X, Y or Z")
	case m.Kind != Rapid:
		r.find(TurnedLow, m.Line, 0, "", "A moves at feed: controls do not agree on its speed")
	}
	z := min(m.From.Z, m.To.Z) + s.ZShift
	if !(z >= s.Top) {
		amount := s.Top - z
		if math.IsNaN(amount) {
			amount = 0
		}
		r.find(TurnedLow, m.Line, amount, "", "the gear turns while the cutter stands %.3f mm below the highest tooth", amount)
	}
	if !math.IsNaN(m.To.A) {
		r.turnTo(s.Sign * geom.Radians(m.To.A))
		r.angleSet = true
	}
}

func (r *runner) minutes(m *Motion) {
	s := r.setup
	length := math.Sqrt(sq(m.To.X-m.From.X) + sq(m.To.Y-m.From.Y) + sq(m.To.Z-m.From.Z))
	if math.IsNaN(length) {
		length = 0
	}
	if m.Arc != nil {
		length = 0
		Flatten(*m, 0.01, func(a, b Position) {
			length += math.Sqrt(sq(a.X-b.X) + sq(a.Y-b.Y) + sq(a.Z-b.Z))
		})
	}
	rate := s.Rapid
	if m.Kind != Rapid {
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
	if moved(m.From.A, m.To.A) {
		r.least.minutes += t
	}
}

// ramped is the time in seconds of a move of the given length from rest to
// rest, speed in mm/s, with constant acceleration.
func ramped(length, speed, acc float64) float64 {
	if length*acc >= speed*speed {
		return length/speed + speed/acc
	}
	return 2 * math.Sqrt(length/acc)
}

// moved says that a coordinate changes; one that is not known on either side
// has not been asked to.
func moved(from, to float64) bool {
	return from != to && !(math.IsNaN(from) && math.IsNaN(to))
}

func sq(x float64) float64 { return x * x }
