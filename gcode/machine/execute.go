package machine

import (
	"math"

	"cogmend/gcode"
)

// execute does the sorted block in the order of 3.8, Table 8.
func (m *Control) execute(b *gcode.Block) error {
	l := &m.line
	if n := len(b.Comments); n > 0 {
		e := Event{Kind: EventComment, Text: b.Comments[n-1], Idle: b.Comments[:n-1]}
		if text, ok := gcode.Message(e.Text); ok {
			e.Kind, e.Text = EventMessage, text
		}
		if err := m.send(&e); err != nil {
			return err
		}
	}
	if len(b.Words) == 0 {
		return nil
	}
	m.setFeedMode()
	if l.got('F') {
		m.setFeed()
	}
	if err := m.tools(); err != nil {
		return err
	}
	if err := m.auxiliary(); err != nil {
		return err
	}
	if err := m.modes(); err != nil {
		return err
	}
	if err := m.offsets(); err != nil {
		return err
	}
	if l.g[motionGroup] == g80 {
		m.motion = g80
	}
	if l.do != noCode {
		if err := m.move(); err != nil {
			return err
		}
	}
	return m.stop()
}

func (m *Control) setFeedMode() {
	if c := m.line.g[feedModeGroup]; c != noCode && m.state.InverseTime != (c == g93) {
		m.state.InverseTime = c == g93
		m.feedSet = false
	}
}

// setFeed takes F in the units in force, before those of the same line. With
// no units stated yet the number is worth nothing, and a feed motion that
// would use it is an error.
func (m *Control) setFeed() {
	n := m.line.word['F'-'A'].Value
	v := n.Float()
	if m.state.Inch && !m.state.InverseTime {
		v = inches(n)
	}
	m.state.FeedRate = v
	m.feedSet = m.unitsSet || m.state.InverseTime
}

// tools does S, T, M6 and the spindle.
func (m *Control) tools() error {
	l := &m.line
	if l.got('S') {
		m.state.Speed = l.value('S')
	}
	if l.got('T') {
		n, err := m.whole('T')
		if err != nil {
			return err
		}
		m.state.Selected = n
	}
	if l.m[toolGroup] == 6 {
		if m.state.Selected < 0 {
			return m.bad(l.mCol[toolGroup], "M6, and no T before it")
		}
		if m.state.Selected != m.state.Tool {
			m.pos[axisZ] = math.NaN()
		}
		m.state.Tool = m.state.Selected
		m.state.Spindle = Off
		m.state.LengthStated = false
		if err := m.send(&Event{Kind: EventToolChange}); err != nil {
			return err
		}
	}
	switch l.m[spindleGroup] {
	case 3:
		m.state.Spindle = CW
	case 4:
		m.state.Spindle = CCW
	case 5:
		m.state.Spindle = Off
	default:
		if !l.got('S') {
			return nil
		}
	}
	return m.send(&Event{Kind: EventSpindle})
}

// auxiliary does coolant, overrides and the dwell.
func (m *Control) auxiliary() error {
	l := &m.line
	switch l.m[coolantGroup] {
	case 7:
		m.state.Mist = true
	case 8:
		m.state.Flood = true
	case 9:
		m.state.Mist, m.state.Flood = false, false
	}
	if c := l.m[overrideGroup]; c != noCode {
		m.state.NoOverrides = c == 49
	}
	if l.g[nonModalGroup] != g4 {
		return nil
	}
	if !l.got('P') {
		return m.bad(l.gCol[nonModalGroup], "G4 without P")
	}
	return m.dwell(l.value('P'))
}

// dwell waits for a P word's time.
func (m *Control) dwell(p float64) error {
	if m.MilliDwell {
		p /= 1000
	}
	return m.send(&Event{Kind: EventDwell, Seconds: p})
}

// modes does plane, units, radius compensation, length offset, coordinate
// system, path, distance and cycle return.
func (m *Control) modes() error {
	l := &m.line
	s := &m.state.Stated
	s.Distance = s.Distance || l.g[distanceGroup] != noCode
	s.FeedMode = s.FeedMode || l.g[feedModeGroup] != noCode
	s.Radius = s.Radius || l.g[radiusGroup] != noCode
	s.Length = s.Length || l.g[lengthGroup] != noCode
	if c := l.g[planeGroup]; c != noCode && c/10 != m.state.Plane {
		m.state.Plane = c / 10
		m.cycle = cycleWords{}
	}
	if c := l.g[unitsGroup]; c != noCode && (!m.unitsSet || m.state.Inch != (c == g20)) {
		m.state.Inch = c == g20
		m.unitsSet = true
		m.feedSet = m.feedSet && m.state.InverseTime
		m.cycle = cycleWords{}
	}
	if err := m.setLength(); err != nil {
		return err
	}
	if c := l.g[systemGroup]; c != noCode {
		n := c
		if c%10 == 0 {
			n = c / 10
		}
		if n != m.state.System && m.used {
			return m.cannot(l.gCol[systemGroup], "%s after motions in another coordinate system: how they lie to each other is not known", gName(c))
		}
		m.state.System = n
	}
	if c := l.g[pathGroup]; c != noCode {
		m.state.Path = c
		if c%10 == 0 {
			m.state.Path = c / 10
		}
	}
	if c := l.g[distanceGroup]; c != noCode && m.state.Incremental != (c == g91) {
		m.state.Incremental = c == g91
		m.cycle = cycleWords{}
	}
	if c := l.g[returnGroup]; c != noCode {
		m.ret = c / 10
	}
	return nil
}

// setLength does G43 and G49 (3.5.7). The program holds the tip of the tool;
// a change of the offset moves what Z means by an amount not known here.
func (m *Control) setLength() error {
	l := &m.line
	c := l.g[lengthGroup]
	if c == noCode {
		return nil
	}
	on, h := c == g43, 0
	if on {
		if !l.got('H') {
			return m.bad(l.gCol[lengthGroup], "G43 without H")
		}
		var err error
		if h, err = m.whole('H'); err != nil {
			return err
		}
	}
	if !m.lengthSet || on != m.state.LengthOffset || h != m.state.Offset {
		m.pos[axisZ] = math.NaN()
	}
	m.lengthSet = true
	m.state.LengthOffset, m.state.Offset, m.state.LengthStated = on, h, on
	return nil
}

// offsets does G92 and its fellows (3.5.18): the place stays, the coordinates
// that name it change.
func (m *Control) offsets() error {
	l := &m.line
	switch l.g[nonModalGroup] {
	case g92:
		for i := range m.pos {
			c := axisLetters[i]
			if !l.got(c) {
				continue
			}
			v, err := m.length(c)
			if err != nil {
				return err
			}
			if math.IsNaN(m.pos[i]) {
				return m.cannot(l.col(c), "G92 %c where %c is not known", c, c)
			}
			m.shift[i] = m.pos[i] - v
		}
		m.saved, m.savedKnown = m.shift, true
		m.used = true
	case g92p1:
		m.shift = [axes]float64{}
		m.saved, m.savedKnown = m.shift, true
	case g92p2:
		m.shift = [axes]float64{}
	case g92p3:
		if !m.savedKnown {
			return m.cannot(l.gCol[nonModalGroup], "G92.3 with no G92 before it: the offsets kept by the machine are not known")
		}
		m.shift = m.saved
	}
	m.state.Shifted = m.shift != [axes]float64{}
	return nil
}

// move does the motion of the block and sets the motion mode.
func (m *Control) move() error {
	l := &m.line
	before := m.motion
	m.motion = l.do
	m.used = true
	if l.do != g0 {
		if err := m.checkFeed(); err != nil {
			return err
		}
	}
	switch l.do {
	case g0, g1:
		to, err := m.target()
		if err != nil {
			return err
		}
		if l.do == g0 {
			return m.straight(Rapid, to)
		}
		return m.straight(Feed, to)
	case g2, g3:
		return m.arcMotion()
	default:
		return m.cycleMotion(before)
	}
}

// checkFeed refuses feed motions without a feed (3.5.2, 3.5.3, 3.5.19).
func (m *Control) checkFeed() error {
	l := &m.line
	col := l.doCol()
	switch {
	case m.state.InverseTime && l.do >= g80:
		return m.bad(col, "%s while G93 is in force", gName(l.do))
	case m.state.InverseTime && !l.got('F'):
		return m.bad(col, "%s without F on its line while G93 is in force", gName(l.do))
	case !m.feedSet:
		return m.bad(col, "%s, and no F since the units or the feed mode were stated", gName(l.do))
	case m.state.FeedRate == 0:
		return m.bad(col, "%s with a feed of 0", gName(l.do))
	}
	return nil
}

// target returns the place the axis words name.
func (m *Control) target() ([axes]float64, error) {
	l := &m.line
	to := m.pos
	for i := range to {
		c := axisLetters[i]
		if !l.got(c) {
			continue
		}
		v, err := m.length(c)
		if err != nil {
			return to, err
		}
		from := m.shift[i]
		if m.state.Incremental {
			if from = m.pos[i]; math.IsNaN(from) {
				return to, m.bad(l.col(c), "an incremental move from a place in %c that is not known", c)
			}
		}
		to[i] = from + v
		if math.Abs(to[i]) > maxReach {
			return to, m.cannot(l.col(c), "%c is beyond any machine", c)
		}
	}
	return to, nil
}

// straight moves in a straight line.
func (m *Control) straight(kind MotionKind, to [axes]float64) error {
	length := 0.0
	for i := range 3 {
		if d := to[i] - m.pos[i]; !math.IsNaN(d) {
			length = math.Hypot(length, d)
		}
	}
	return m.travel(kind, to, length, nil)
}

// travel sends a motion along a path of the given length in X, Y and Z.
func (m *Control) travel(kind MotionKind, to [axes]float64, length float64, arc *ArcData) error {
	e := Event{Kind: EventMotion}
	e.Motion = Motion{
		Line: m.line.number, Kind: kind, From: position(m.pos), To: position(to),
		Length: length, Arc: arc, State: &m.state,
	}
	if kind != Rapid {
		if length == 0 { // A alone: degrees a minute (2.1.2.5)
			length = math.Abs(to[axisA] - m.pos[axisA])
		}
		switch {
		case m.state.InverseTime:
			e.Motion.Minutes = 1 / m.state.FeedRate
			e.Motion.Feed = length * m.state.FeedRate
		default:
			e.Motion.Minutes = length / m.state.FeedRate
			e.Motion.Feed = m.state.FeedRate
		}
	}
	m.pos = to
	return m.send(&e)
}

// stop does M0, M1, M60, M2 and M30. The two last put back what 3.6.1 says.
func (m *Control) stop() error {
	c := m.line.m[stopGroup]
	switch c {
	case noCode:
		return nil
	case 2, 30:
		m.ended = true
		before := m.state
		m.shift, m.state.Shifted = [axes]float64{}, false
		m.motion = g1
		m.state.System, m.state.Plane = 54, 17
		m.state.Incremental, m.state.InverseTime = false, false
		m.state.NoOverrides = false
		m.state.Spindle, m.state.Mist, m.state.Flood = Off, false, false
		return m.send(&Event{Kind: EventEnd, Code: c, Before: &before})
	}
	return m.send(&Event{Kind: EventStop, Code: c})
}
