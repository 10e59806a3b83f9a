package machine

import "math"

// Tolerances of arcs, in millimetres but for nearStraight.
const (
	// Start and end radius may differ by this much (3.5.3.2).
	arcToleranceMM   = 0.002
	arcToleranceInch = 0.0002 * 25.4
	// Ends nearer than this are one point, and the arc a full turn: far
	// above the rounding of incremental sums, far below what is written.
	sameEnd = 1e-6
	// A half chord this close to the radius, as a share of it, is a half
	// circle (3.5.3.1; the report's own constant).
	nearStraight = 1e-12
	// leastChord is the finest tolerance arcs are flattened to: finer makes
	// chords without end and says nothing about a program of 4 decimals.
	leastChord = 1e-6
)

// planeAxes returns the two axes of a plane, in the order in which a turn
// from the first to the second is counter-clockwise seen from the positive
// end of the normal, and the letters of their offsets. The third letter is the
// offset that does not belong to the plane.
func planeAxes(plane int) (first, second, normal int, offsets [3]byte) {
	switch plane {
	case 18:
		return axisZ, axisX, axisY, [3]byte{'K', 'I', 'J'}
	case 19:
		return axisY, axisZ, axisX, [3]byte{'J', 'K', 'I'}
	default:
		return axisX, axisY, axisZ, [3]byte{'I', 'J', 'K'}
	}
}

// arcMotion does G2 and G3 (3.5.3).
func (m *Control) arcMotion() error {
	l := &m.line
	col := l.doCol()
	if m.state.Plane == 0 {
		return m.bad(col, "%s, and no plane stated: G17, G18 or G19 must come before", gName(l.do))
	}
	p, q, _, offsets := planeAxes(m.state.Plane)
	if !l.got(axisLetters[p]) && !l.got(axisLetters[q]) {
		return m.bad(col, "%s without %c or %c", gName(l.do), min(axisLetters[p], axisLetters[q]), max(axisLetters[p], axisLetters[q]))
	}
	if l.got(offsets[2]) {
		return m.bad(l.col(offsets[2]), "%c does not belong to an arc in plane G%d", offsets[2], m.state.Plane)
	}
	centred := l.got(offsets[0]) || l.got(offsets[1])
	switch {
	case centred && l.got('R'):
		return m.bad(l.col('R'), "an arc with R and with a centre")
	case !centred && !l.got('R'):
		return m.bad(col, "%s without R and without %c or %c", gName(l.do), min(offsets[0], offsets[1]), max(offsets[0], offsets[1]))
	case math.IsNaN(m.pos[p]) || math.IsNaN(m.pos[q]):
		return m.bad(col, "%s from a place that is not known", gName(l.do))
	}
	to, err := m.target()
	if err != nil {
		return err
	}
	u0, v0, u1, v1 := m.pos[p], m.pos[q], to[p], to[q]
	var cu, cv float64
	if centred {
		cu, cv, err = m.centre(col, offsets, u0, v0, u1, v1)
	} else {
		cu, cv, err = m.centreOfRadius(u0, v0, u1, v1)
	}
	if err != nil {
		return err
	}
	sweep := math.Atan2(v1-cv, u1-cu) - math.Atan2(v0-cv, u0-cu)
	full := math.Hypot(u1-u0, v1-v0) < sameEnd
	switch {
	case full:
		sweep = 2 * math.Pi
	case sweep <= 0 && l.do == g3:
		sweep += 2 * math.Pi
	case sweep >= 0 && l.do == g2:
		sweep -= 2 * math.Pi
	}
	if full && l.do == g2 {
		sweep = -sweep
	}
	centre := m.pos
	centre[p], centre[q] = cu, cv
	m.arc = ArcData{Plane: m.state.Plane, Centre: position(centre), Radius: math.Hypot(u0-cu, v0-cv), Sweep: sweep}
	length := m.arc.Radius * math.Abs(sweep)
	for i := range 3 {
		if d := to[i] - m.pos[i]; i != p && i != q && !math.IsNaN(d) {
			length = math.Hypot(length, d)
		}
	}
	return m.travel(Arc, to, length, &m.arc)
}

// centre returns the centre by its offsets from the start (3.5.3.2).
func (m *Control) centre(col int, offsets [3]byte, u0, v0, u1, v1 float64) (cu, cv float64, err error) {
	c := [2]float64{u0, v0}
	for i := range c {
		if !m.line.got(offsets[i]) {
			continue
		}
		d, err := m.length(offsets[i])
		if err != nil {
			return 0, 0, err
		}
		c[i] += d
	}
	r0 := math.Hypot(u0-c[0], v0-c[1])
	r1 := math.Hypot(u1-c[0], v1-c[1])
	if r0 == 0 || r1 == 0 {
		return 0, 0, m.bad(col, "an arc of radius 0")
	}
	allowed := arcToleranceMM
	if m.state.Inch {
		allowed = arcToleranceInch
	}
	if d := math.Abs(r0 - r1); d > allowed {
		return 0, 0, m.bad(col, "the arc's radius is %.4f mm at its start and %.4f mm at its end; they may differ by %.4f mm", r0, r1, allowed)
	}
	return c[0], c[1], nil
}

// centreOfRadius returns the centre of an arc of given radius, negative for
// the longer way round (3.5.3.1).
func (m *Control) centreOfRadius(u0, v0, u1, v1 float64) (cu, cv float64, err error) {
	l := &m.line
	r, err := m.length('R')
	if err != nil {
		return 0, 0, err
	}
	col := l.col('R')
	chord := math.Hypot(u1-u0, v1-v0)
	if chord < sameEnd {
		return 0, 0, m.bad(col, "an arc with R that ends where it starts")
	}
	if r == 0 {
		return 0, 0, m.bad(col, "an arc of radius 0")
	}
	half, a := chord/2, math.Abs(r)
	allowed := arcToleranceMM
	if m.state.Inch {
		allowed = arcToleranceInch
	}
	if half-a > allowed {
		return 0, 0, m.bad(col, "radius %.4f mm is less than half the way from start to end, %.4f mm", a, half)
	}
	height := 0.0
	if half/a < 1-nearStraight {
		height = math.Sqrt((a - half) * (a + half))
	}
	// The centre lies left of the way from start to end for a short G3.
	if (r < 0) != (l.do == g2) {
		height = -height
	}
	du, dv := (u1-u0)/chord, (v1-v0)/chord
	return (u0+u1)/2 - height*dv, (v0+v1)/2 + height*du, nil
}

// Flatten cuts a motion into straight pieces in order. Straight motions are
// one piece. The chords of an arc leave it nowhere by more than tol mm (at
// least 1e-6) and lie inside it; the last ends exactly in To. Z of a helix and
// A advance evenly.
func Flatten(m Motion, tol float64, emit func(from, to Position)) {
	if m.Kind != Arc || m.Arc == nil {
		emit(m.From, m.To)
		return
	}
	if !(tol > leastChord) {
		tol = leastChord
	}
	a := m.Arc
	// A chord over the angle s leaves the circle by r (1 - cos(s/2)).
	s := 4 * math.Asin(math.Min(math.Sqrt(tol/(2*a.Radius)), math.Sin(math.Pi/8)))
	n := int(math.Max(1, math.Ceil(math.Abs(a.Sweep)/s)))
	from, to, centre := coordinates(m.From), coordinates(m.To), coordinates(a.Centre)
	p, q, _, _ := planeAxes(a.Plane)
	start := math.Atan2(from[q]-centre[q], from[p]-centre[p])
	endRadius := math.Hypot(to[p]-centre[p], to[q]-centre[q])
	last := m.From
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		var at [axes]float64
		for k := range at {
			at[k] = from[k] + (to[k]-from[k])*t
		}
		r := a.Radius + (endRadius-a.Radius)*t
		sin, cos := math.Sincos(start + a.Sweep*t)
		at[p], at[q] = centre[p]+r*cos, centre[q]+r*sin
		next := position(at)
		emit(last, next)
		last = next
	}
	emit(last, m.To)
}

// Extent returns the least and the greatest coordinates that a motion reaches; an
// axis that is not known on one side counts for the other, on both is NaN.
func Extent(m *Motion) (lo, hi Position) {
	from, to := coordinates(m.From), coordinates(m.To)
	least, most := from, from
	include := func(i int, v float64) {
		if !(least[i] <= v) && !math.IsNaN(v) {
			least[i] = v
		}
		if !(most[i] >= v) && !math.IsNaN(v) {
			most[i] = v
		}
	}
	for i, v := range to {
		include(i, v)
	}
	if a := m.Arc; m.Kind == Arc && a != nil {
		p, q, _, _ := planeAxes(a.Plane)
		centre := coordinates(a.Centre)
		start := math.Atan2(from[q]-centre[q], from[p]-centre[p])
		endRadius := math.Hypot(to[p]-centre[p], to[q]-centre[q])
		first, last := start, start+a.Sweep
		if first > last {
			first, last = last, first
		}
		// It turns back along an axis at each quarter.
		for n := math.Ceil(first / (math.Pi / 2)); n*math.Pi/2 <= last; n++ {
			r := a.Radius + (endRadius-a.Radius)*(n*math.Pi/2-start)/a.Sweep
			sin, cos := math.Sincos(n * math.Pi / 2)
			include(p, centre[p]+r*cos)
			include(q, centre[q]+r*sin)
		}
	}
	return position(least), position(most)
}

func coordinates(p Position) [axes]float64 { return [axes]float64{p.X, p.Y, p.Z, p.A} }
