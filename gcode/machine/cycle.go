package machine

import "math"

// backOff is how far above the last depth the rapid of a peck ends, by units
// (3.5.16.4: 0.254 mm, 0.010 in).
const backOff = 0.254

// mostHoles is the most repeats of one block and the most pecks of one hole
// that are read: more is a slip of the finger, and would run for hours.
const mostHoles = 10_000

// mostStrokes is the most motions that the cycles of one program may make, for
// the same reason.
const mostStrokes = 200_000

// cycleWords are the numbers a cycle keeps from block to block (3.5.16.1), in
// mm, and P as written.
type cycleWords struct {
	code int // the cycle they belong to; 0: none kept
	r    float64
	z    float64
	q    float64
	p    float64
}

// cycleMotion does G81, G82, G83, G85, G86 and G89 (3.5.16). before is the
// motion mode of the block before.
func (m *Control) cycleMotion(before int) error {
	l := &m.line
	col := l.doCol()
	if err := m.cycleAllowed(col); err != nil {
		return err
	}
	p, q, n, _ := planeAxes(m.state.Plane)
	if err := m.keepWords(col, n, before == l.do); err != nil {
		return err
	}
	repeats, err := m.repeats()
	if err != nil {
		return err
	}
	to, err := m.target()
	if err != nil {
		return err
	}
	old := m.pos[n]
	for _, a := range [...]struct {
		axis int
		at   float64
	}{{p, to[p]}, {q, to[q]}, {n, old}} {
		if math.IsNaN(a.at) {
			return m.bad(col, "%s where %c is not known", gName(l.do), axisLetters[a.axis])
		}
	}
	base, depthBase := m.shift[n], m.shift[n]
	if m.state.Incremental {
		base = old
		depthBase = old + m.cycle.r
	}
	r, bottom := base+m.cycle.r, depthBase+m.cycle.z
	if r < bottom {
		return m.bad(col, "%s with R below the bottom of the hole", gName(l.do))
	}
	clear := r
	if m.ret == 98 {
		clear = math.Max(r, old)
	}
	step := [2]float64{to[p] - m.pos[p], to[q] - m.pos[q]}
	if old < r {
		if err := m.along(Rapid, n, r); err != nil {
			return err
		}
	}
	for i := range repeats {
		at := m.pos
		at[p], at[q] = to[p], to[q]
		if m.state.Incremental && i > 0 {
			at[p], at[q] = m.pos[p]+step[0], m.pos[q]+step[1]
		}
		if math.Abs(at[p]) > maxReach || math.Abs(at[q]) > maxReach {
			return m.cannot(col, "a hole beyond any machine")
		}
		if at != m.pos {
			if err := m.straight(Rapid, at); err != nil {
				return err
			}
		}
		if err := m.hole(col, n, r, bottom, clear); err != nil {
			return err
		}
	}
	return nil
}

// cycleAllowed refuses a cycle where it may not stand, or that says not where.
func (m *Control) cycleAllowed(col int) error {
	l := &m.line
	switch {
	case m.state.Plane == 0:
		return m.bad(col, "%s, and no plane stated: G17, G18 or G19 must come before", gName(l.do))
	case m.ret == 0:
		return m.bad(col, "%s, and no return stated: G98 or G99 must come before", gName(l.do))
	case l.got('A'):
		return m.bad(l.col('A'), "A in a cycle")
	case l.do == g86 && m.state.Spindle == Off:
		return m.bad(col, "G86 with the spindle off")
	case !l.got('X') && !l.got('Y') && !l.got('Z'):
		return m.bad(col, "%s without X, Y or Z", gName(l.do))
	}
	return nil
}

// repeats is how often a cycle is done, by its L.
func (m *Control) repeats() (int, error) {
	l := &m.line
	if !l.got('L') {
		return 1, nil
	}
	n, err := m.whole('L')
	switch {
	case err != nil:
		return 0, err
	case n <= 0:
		return 0, m.bad(l.col('L'), "L must be positive")
	case n > mostHoles:
		return 0, m.cannot(l.col('L'), "more than %d repeats", mostHoles)
	}
	return n, nil
}

// keepWords takes the cycle's numbers from the block, or from the block
// before if that was of the same cycle.
func (m *Control) keepWords(col, normal int, again bool) error {
	l := &m.line
	if !again || m.cycle.code != l.do {
		m.cycle = cycleWords{}
	}
	c := &m.cycle
	for _, w := range [...]struct {
		letter byte
		to     *float64
		needed bool
	}{
		{'R', &c.r, true},
		{axisLetters[normal], &c.z, true},
		{'Q', &c.q, l.do == g83},
		{'P', &c.p, l.do == g82 || l.do == g86 || l.do == g89},
	} {
		switch {
		case !l.got(w.letter):
			if w.needed && c.code == 0 {
				return m.bad(col, "the first %s without %c", gName(l.do), w.letter)
			}
		case w.letter == 'P':
			*w.to = l.value('P')
		default:
			v, err := m.length(w.letter)
			if err != nil {
				return err
			}
			if w.letter == 'Q' && v <= 0 {
				return m.bad(l.col('Q'), "Q must be positive")
			}
			*w.to = v
		}
	}
	c.code = l.do
	return nil
}

// along moves one axis.
func (m *Control) along(kind MotionKind, axis int, v float64) error {
	to := m.pos
	to[axis] = v
	if to == m.pos {
		return nil
	}
	if m.strokes++; m.strokes > mostStrokes {
		return m.cannot(m.line.doCol(), "more than %d motions in the cycles of one program", mostStrokes)
	}
	return m.straight(kind, to)
}

// hole makes one hole along the normal: from r to bottom, and out to clear.
func (m *Control) hole(col, n int, r, bottom, clear float64) error {
	if err := m.along(Rapid, n, r); err != nil {
		return err
	}
	if m.line.do == g83 {
		if err := m.pecks(col, n, r, bottom); err != nil {
			return err
		}
	}
	if err := m.along(Feed, n, bottom); err != nil {
		return err
	}
	switch m.line.do {
	case g82, g86, g89:
		if err := m.dwell(m.cycle.p); err != nil {
			return err
		}
	}
	switch m.line.do {
	case g85, g89: // out at the feed (3.5.16.6, 3.5.16.10)
		if err := m.along(Feed, n, clear); err != nil {
			return err
		}
	case g86: // out with the spindle standing (3.5.16.7)
		turning := m.state.Spindle
		m.state.Spindle = Off
		if err := m.send(&Event{Kind: EventSpindle}); err != nil {
			return err
		}
		if err := m.along(Rapid, n, clear); err != nil {
			return err
		}
		m.state.Spindle = turning
		return m.send(&Event{Kind: EventSpindle})
	}
	return m.along(Rapid, n, clear)
}

// pecks makes all pecks of G83 but the last (3.5.16.4). The rapid back never
// ends above R, where a Q shorter than the back-off would take it.
func (m *Control) pecks(col, n int, r, bottom float64) error {
	if (r-bottom)/m.cycle.q > mostHoles {
		return m.cannot(col, "more than %d pecks in one hole", mostHoles)
	}
	for i := 1; ; i++ {
		depth := r - float64(i)*m.cycle.q
		if depth <= bottom {
			return nil
		}
		if err := m.along(Feed, n, depth); err != nil {
			return err
		}
		if err := m.along(Rapid, n, r); err != nil {
			return err
		}
		if err := m.along(Rapid, n, math.Min(r, depth+backOff)); err != nil {
			return err
		}
	}
}
