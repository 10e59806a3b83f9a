package copied

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Flank is one flank as it was read: the nearest involute, and the rest.
type Flank struct {
	BaseRadius float64   // of the nearest involute, mm
	HalfAngle  float64   // of its tooth at the base circle, rad
	Limit      float64   // each reading is good to plus and minus this, mm
	Readings   []Reading // by rising angle
	Straight   bool      // the readings lie on the involute itself
	trunk      trunk     // what the rest is left from
	rest       curve
	cost       float64 // squared misfits over the readings' scatter, and what its free numbers cost
	first      float64 // angles of the lowest and the highest reading used
	last       float64
}

// Reading is what one reading says. Lengths mm.
type Reading struct {
	Name   string  // of the touch or chord, as the job file has it
	Angle  float64 // of the tooth, rad: how far it leans with this flank on the side it leans to
	Plane  float64 // where the flank's upright tangent stands
	Left   string  // why it is left out; "" when it is used
	Off    float64 // from the nearest involute, positive: metal outside it
	Rest   float64 // from the copied flank
	Radius float64 // from the axis to where it touches
}

// sample is one value of the support function.
type sample struct{ angle, plane float64 }

// least is how good readings may be said to be at best, mm.
const least = 1e-6

// rare is how much farther from the involute readings must lie, in squares of
// their scatter, than from a curve of so many free numbers more, for the curve to
// be believed: an involute is what most teeth are.
const rare = 6

// perFree is what a free number of a curve costs, in squares of the scatter.
const perFree = 4

// fit returns the flank through samples: the involute, the roulette or a curve
// beside one of them whose smoothness fits the scatter of the readings: the one
// whose expected error is least by Mallows's C_p (Technometrics 15, 1973), the sum of squared
// misfits over the scatter's square and two for each free number; four, for the
// readings are few. Readings within
// a limit scatter by the limit over the root of 3 (rectangular limits, JCGM
// 100:2008, 4.3.7). Samples by rising angle.
func fit(samples []sample, limit float64) Flank {
	limit = max(limit, least)
	f := Flank{Limit: limit, first: samples[0].angle, last: samples[len(samples)-1].angle}
	f.line(samples)
	scatter := limit * limit / 3
	misfit := func() float64 {
		sum := 0.0
		for _, s := range samples {
			r := s.plane - f.at(s.angle).H
			sum += r * r
		}
		return sum / scatter
	}
	f.Straight, f.cost = true, misfit()+perFree*2-rare
	if len(samples) <= 3 || f.cost < float64(len(samples))/2 {
		return f
	}
	best := f
	f.Straight = false
	gap := (f.last - f.first) / float64(len(samples)-1)
	c := curve{lo: f.first - gap/4, step: (f.last - f.first + gap) / pieces}
	wants := make([]want, len(samples))
	stiffness := 0.0
	for _, base := range []trunk{f.trunk, roulette(samples)} {
		f.trunk, f.rest = base, curve{}
		if f.cost = misfit() + perFree*3; f.cost < best.cost {
			best = f
		}
		for i, s := range samples {
			h, _, _ := base.at(s.angle)
			wants[i] = want{x: s.angle, value: s.plane - h, weight: 1}
		}
		for stiff := 1e5; stiff > 1e-13; stiff /= 6 {
			free, ok := c.solve(wants, len(wants), stiff)
			if !ok {
				break
			}
			f.rest = c
			if f.cost = misfit() + perFree*free; f.cost < best.cost {
				best, stiffness = f, stiff
			}
		}
	}
	if best.rest.coef != nil {
		best.unbend(samples, stiffness)
	}
	return best
}

// trunk is a support function of two or three numbers, about an angle: a line,
// which is an involute's, or a sine, which is an epicycloid's.
type trunk struct{ middle, bend, sine, cosine float64 }

// of returns sin(s x)/s and cos(s x) and their derivatives, s^2 = bend; with a
// bend under 0 those of the hyperbola, at 0 the line.
func (t trunk) of(angle float64) (f, g, df, dg float64) {
	x := angle - t.middle
	switch s := math.Sqrt(math.Abs(t.bend)); {
	case s*math.Abs(x) < 1e-7:
		return x, 1, 1, -t.bend * x
	case t.bend > 0:
		sin, cos := math.Sincos(s * x)
		return sin / s, cos, cos, -s * sin
	default:
		return math.Sinh(s*x) / s, math.Cosh(s * x), math.Cosh(s * x), s * math.Sinh(s*x)
	}
}

func (t trunk) at(angle float64) (v, d1, d2 float64) {
	f, g, df, dg := t.of(angle)
	v = t.sine*f + t.cosine*g
	return v, t.sine*df + t.cosine*dg, -t.bend * v
}

// fitted returns the trunk of that bend nearest to samples, and the sum of the
// squares of what is left.
func (t trunk) fitted(samples []sample) (trunk, float64) {
	var ff, fg, gg, fh, gh float64
	for _, s := range samples {
		f, g, _, _ := t.of(s.angle)
		ff, fg, gg, fh, gh = ff+f*f, fg+f*g, gg+g*g, fh+f*s.plane, gh+g*s.plane
	}
	det := ff*gg - fg*fg
	t.sine, t.cosine = (fh*gg-gh*fg)/det, (gh*ff-fh*fg)/det
	sum := 0.0
	for _, s := range samples {
		v, _, _ := t.at(s.angle)
		sum += (s.plane - v) * (s.plane - v)
	}
	return t, sum
}

// Bends of a trunk: an epicycloid's is (R/(R + 2 q))^2 and under 1; worn
// involutes may bend the other way.
const (
	leastBend = -80
	mostBend  = 0.95
)

// roulette returns the trunk nearest to samples, its bend by golden section.
func roulette(samples []sample) trunk {
	t := trunk{middle: (samples[0].angle + samples[len(samples)-1].angle) / 2}
	left := func(bend float64) float64 {
		t.bend = bend
		_, sum := t.fitted(samples)
		return sum
	}
	const ratio = 0.6180339887498949
	lo, hi := float64(leastBend), float64(mostBend)
	a, b := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fa, fb := left(a), left(b)
	for hi-lo > 1e-9 {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - ratio*(hi-lo)
			fa = left(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + ratio*(hi-lo)
			fb = left(b)
		}
	}
	t.bend = (lo + hi) / 2
	t, _ = t.fitted(samples)
	return t
}

// The least radius of curvature a copied flank may have: as a share of its base
// radius, and of what the trunk's is there.
const (
	leastRho   = 1e-3
	leastShare = 0.3
)

// unbend holds the radius of curvature over its least where the rest alone
// would make the flank hollow.
func (f *Flank) unbend(samples []sample, stiff float64) {
	wants := make([]want, len(samples))
	for i, s := range samples {
		h, _, _ := f.trunk.at(s.angle)
		wants[i] = want{x: s.angle, value: s.plane - h, weight: 1}
	}
	for range 12 {
		bad := 0
		for i := range 2*pieces + 1 {
			x := f.rest.lo + f.rest.step*float64(i)/2
			h, _, d2 := f.trunk.at(x)
			low := max(leastRho*f.BaseRadius, leastShare*(h+d2))
			if f.at(x).Rho >= low/2 {
				continue
			}
			wants = append(wants, want{x: x, order: 2, own: 1, value: low - h - d2, weight: 1e-2})
			bad++
		}
		if bad == 0 {
			return
		}
		if _, ok := f.rest.solve(wants, 0, stiff); !ok {
			return
		}
	}
}

// line fits the nearest involute: planes rise by the base radius with the angle
// (least squares).
func (f *Flank) line(samples []sample) {
	n := float64(len(samples))
	var ma, mp, aa, ap float64
	for _, s := range samples {
		ma, mp = ma+s.angle/n, mp+s.plane/n
	}
	for _, s := range samples {
		aa += (s.angle - ma) * (s.angle - ma)
		ap += (s.angle - ma) * (s.plane - mp)
	}
	f.BaseRadius = ap / aa
	f.HalfAngle = mp/f.BaseRadius - ma
	f.trunk = trunk{middle: ma, sine: f.BaseRadius, cosine: mp}
}

// involute is the nearest involute's plane at an angle.
func (f *Flank) involute(angle float64) float64 { return f.BaseRadius * (angle + f.HalfAngle) }

// at is the copied flank's support function at an angle.
func (f *Flank) at(angle float64) profiles.Support {
	h, s, b := f.trunk.at(angle)
	v, d1, d2 := f.rest.at(angle)
	return profiles.Support{H: h + v, Slope: s + d1, Rho: h + v + b + d2}
}

// point is the point touched at an angle, the tooth upright.
func (f *Flank) point(angle float64) geom.Vec {
	s := f.at(angle)
	return unit(angle).Scale(s.H).Add(unit(angle + math.Pi/2).Scale(s.Slope))
}

// radius is how far from the axis the flank is touched at an angle.
func (f *Flank) radius(angle float64) float64 {
	s := f.at(angle)
	return math.Hypot(s.H, s.Slope)
}

// Lowest and Highest are the radii between which the flank has been read.
func (f *Flank) Lowest() float64  { return f.radius(f.first) }
func (f *Flank) Highest() float64 { return f.radius(f.last) }

// Off returns the greatest distance of the copied flank from the nearest
// involute between the readings, mm.
func (f *Flank) Off() float64 {
	most := 0.0
	for i := range 101 {
		a := f.first + (f.last-f.first)*float64(i)/100
		most = max(most, math.Abs(f.at(a).H-f.involute(a)))
	}
	return most
}

// Module returns the module of the gear of so many teeth whose base pitch this
// is, at a pressure angle: m = p_b/(pi cos a), mm.
func (f *Flank) Module(teeth int, pressure float64) float64 {
	return 2 * f.BaseRadius / (float64(teeth) * math.Cos(pressure))
}

// Shape returns the flank as a tooth form needs it: below the lowest reading as
// the fit goes, and where that is no longer convex, straight on.
func (f *Flank) Shape() profiles.Shape {
	zero := f.HalfAngle
	low := leastRho * f.BaseRadius
	// The radius of curvature falls with the angle below the lowest reading.
	from, step := f.first, 1e-3
	for from-step+zero >= 0 && f.at(from-step).Rho > low/4 {
		from -= step
	}
	end := f.at(from)
	n := geom.Vec{Y: math.Cos(from + zero), Z: math.Sin(from + zero)}
	along := geom.Vec{Y: -n.Z, Z: n.Y}
	foot := n.Scale(end.H).Add(along.Scale(end.Slope))
	return profiles.Shape{
		Zero:    zero,
		Support: func(roll float64) profiles.Support { return f.at(roll - zero) },
		From:    from + zero,
		Under: func(t float64) (geom.Vec, float64) {
			return foot.Sub(along.Scale(under * t * foot.Norm())), from + zero
		},
	}
}

// under is the share of its radius by which the flank is carried straight on
// below its convex part: under any root.
const under = 0.6

// Form returns the tooth form of two flanks; both may be the same.
func Form(right, left *Flank) *profiles.Form {
	f := &profiles.Form{Name: "copied", Right: right.Shape(), Alike: right == left}
	f.Left = f.Right
	if !f.Alike {
		f.Left = left.Shape()
	}
	return f
}

// Gap is what is not known between two readings next to each other. Lengths mm.
type Gap struct {
	From, To string  // names of the readings
	Left     float64 // what two facets at just these angles would leave, by the copied flank
	Most     float64 // the most they can leave of any convex flank with these readings
	Off      float64 // how far the true flank can be from the copied one
}

// tangent is the line of a reading.
type tangent struct{ angle, plane float64 }

// cross is where two tangents meet; the second is the upper one.
func cross(a, b tangent) geom.Vec {
	s, c := math.Sincos(b.angle - a.angle)
	n, up := unit(a.angle), unit(a.angle+math.Pi/2)
	return n.Scale(a.plane).Add(up.Scale((b.plane - a.plane*c) / s))
}

func unit(angle float64) geom.Vec {
	s, c := math.Sincos(angle)
	return geom.Vec{Y: c, Z: s}
}

// ring is where a tangent crosses a circle about the axis, on its upper side.
func ring(a tangent, r float64) geom.Vec {
	n, up := unit(a.angle), unit(a.angle+math.Pi/2)
	return n.Scale(a.plane).Add(up.Scale(math.Sqrt(max(0, r*r-a.plane*a.plane))))
}

// Gaps says what can be left between the readings used. A convex flank touches
// each reading's tangent somewhere between its crossings with the two beside
// it, so it lies outside the chord between those crossings; at the ends the root
// and the tip circle stand for the crossing that is missing. The readings may
// each be off by their limit: every combination is looked at.
func (f *Flank) Gaps(root, tip float64) []Gap {
	var used []Reading
	for _, r := range f.Readings {
		if r.Left == "" && (len(used) == 0 || r.Angle-used[len(used)-1].Angle > sameAngle) {
			used = append(used, r)
		}
	}
	var out []Gap
	for i := range len(used) - 1 {
		g := Gap{From: used[i].Name, To: used[i+1].Name}
		var t [4]tangent
		for k := range 4 {
			if n := i - 1 + k; n >= 0 && n < len(used) {
				t[k] = tangent{used[n].Angle, used[n].Plane}
			}
		}
		g.Left = f.over(cross(t[1], t[2]), t[1].angle, t[2].angle)
		for signs := range 16 {
			s := t
			for k := range s {
				s[k].plane += f.Limit * float64(2*(signs>>k&1)-1)
			}
			low, high := ring(s[1], root), ring(s[2], tip)
			if i > 0 {
				low = cross(s[0], s[1])
			}
			if i+2 < len(used) {
				high = cross(s[2], s[3])
			}
			mid := cross(s[1], s[2])
			chord := high.Sub(low)
			g.Most = max(g.Most, math.Abs(chord.Cross(mid.Sub(low)))/chord.Norm())
			for k := range 21 {
				a := t[1].angle + (t[2].angle-t[1].angle)*float64(k)/20
				n, h := unit(a), f.at(a).H
				g.Off = max(g.Off, mid.Dot(n)-h, h-max(low.Dot(n), high.Dot(n)))
			}
		}
		out = append(out, g)
	}
	return append(out, f.toTip(used, tip))
}

// toTip is what is not known from the highest reading up: the flank ends on the
// tip circle, no farther out than that reading's tangent, and no farther in than
// where the tangent meets the one under it.
func (f *Flank) toTip(used []Reading, tip float64) Gap {
	n := len(used)
	a, b := tangent{used[n-2].Angle, used[n-2].Plane}, tangent{used[n-1].Angle, used[n-1].Plane}
	g := Gap{From: used[n-1].Name, To: Tip}
	for signs := range 4 {
		s, t := a, b
		s.plane += f.Limit * float64(2*(signs&1)-1)
		t.plane += f.Limit * float64(signs&2-1)
		low, high := cross(s, t), ring(t, tip)
		g.Left = f.over(ring(b, tip), b.angle, b.angle+0.3)
		end := f.tipAngle(tip)
		for k := range 21 {
			at := b.angle + (end-b.angle)*float64(k)/20
			d, h := unit(at), f.at(at).H
			g.Off = max(g.Off, high.Dot(d)-h, h-low.Dot(d))
		}
	}
	g.Most = g.Off
	return g
}

// Tip is what the last gap goes up to.
const Tip = "the tip"

// sameAngle is how near the angles of two readings may be and count as one, rad.
const sameAngle = 1e-5

// over is how far a point stands out of the copied flank's tangents between two
// angles.
func (f *Flank) over(p geom.Vec, lo, hi float64) float64 {
	most := 0.0
	for i := range 201 {
		a := lo + (hi-lo)*float64(i)/200
		most = max(most, p.Dot(unit(a))-f.at(a).H)
	}
	return most
}
