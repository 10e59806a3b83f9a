package copied

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles/geom"
)

// Touch is one touch of a flank with the side of a still cutter.
type Touch struct {
	Name  string  // as the job file has it
	Angle float64 // how far the tooth leans, rad, with this flank on the side it leans to
	Plane float64 // distance of the touch from the axis's plane on that side, mm
	// What else the reading might have been, tried when it does not fit the others.
	Doubts []Doubt
}

// Doubt is another way to take a reading.
type Doubt struct {
	Text         string  // e.g. "the spindle was read in inches"
	Angle, Plane float64 // as in Touch: rad, mm
}

// Chord is one reading of a tooth vernier.
type Chord struct {
	Name   string  // as the job file has it
	Height float64 // below the top of the tooth, mm
	Width  float64 // of the tooth there, mm
}

// Tooth is what is known of the tooth without touching its flanks.
type Tooth struct {
	TipRadius  float64 // mm
	RootRadius float64 // mm
	Limit      float64 // each reading is good to plus and minus this, mm
}

// Fault is what is wrong with readings.
type Fault struct {
	Name string // of the reading it lies with; "" for all of them
	Text string // what is wrong, one sentence
}

func (f *Fault) Error() string { return f.Text }

// Least number of readings a flank is copied from: two make an involute, a third
// proves it, a fourth says which of them to doubt.
const Least = 4

// Touches copies a flank from touches. Touches on the tip's corner or below the
// flank are named and left out. The error is a *Fault.
func Touches(list []Touch, tooth Tooth) (*Flank, error) {
	if len(list) < Least {
		return nil, &Fault{"", fmt.Sprintf("%d touches of the flank are too few: %d at least", len(list), Least)}
	}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Touch) int { return cmp.Compare(a.Angle, b.Angle) })
	if err := steps(list, tooth); err != nil {
		return nil, err
	}
	lo, hi := inside(list, tooth)
	used := list[lo:hi]
	if distinct(used) < Least {
		return nil, &Fault{"", fmt.Sprintf("%d touches lie on the flank between its foot and its tip, and are too few: %d at least, at different angles", distinct(used), Least)}
	}
	single, err := merged(used, tooth.Limit)
	if err != nil {
		return nil, err
	}
	if err := agree(single, tooth.Limit); err != nil {
		return nil, err
	}
	f := fit(samplesOf(used), tooth.Limit)
	for i, t := range list {
		r := Reading{Name: t.Name, Angle: t.Angle, Plane: t.Plane, Off: t.Plane - f.involute(t.Angle),
			Rest: t.Plane - f.at(t.Angle).H, Radius: f.radius(t.Angle)}
		switch {
		case i < lo:
			r.Left = "it lies below the flank"
		case i >= hi:
			r.Left = "it lies on the tip's corner"
		}
		f.Readings = append(f.Readings, r)
	}
	return &f, nil
}

func samplesOf(list []Touch) []sample {
	out := make([]sample, len(list))
	for i, t := range list {
		out[i] = sample{t.Angle, t.Plane}
	}
	return out
}

// merged returns the touches with those that lean alike made one, their mean. It
// finds the touch, if any, that differs from one that leans alike.
func merged(list []Touch, limit float64) ([]Touch, error) {
	var out []Touch
	for i := 0; i < len(list); {
		j, sum := i, 0.0
		for ; j < len(list) && list[j].Angle-list[i].Angle < sameAngle; j++ {
			sum += list[j].Plane
		}
		one := list[i]
		one.Plane = sum / float64(j-i)
		out = append(out, one)
		i = j
	}
	for i, t := range list {
		for _, s := range list[:i] {
			off := t.Plane - s.Plane
			if t.Angle-s.Angle >= sameAngle || math.Abs(off) <= 4*max(limit, least) {
				continue
			}
			// The other touches say which of the two is off.
			f := Flank{}
			f.line(samplesOf(slices.DeleteFunc(slices.Clone(list), func(o Touch) bool { return o.Name == t.Name || o.Name == s.Name })))
			if math.Abs(s.Plane-f.involute(s.Angle)) > math.Abs(t.Plane-f.involute(t.Angle)) {
				t, s, off = s, t, -off
			}
			return nil, &Fault{t.Name, fmt.Sprintf("stands %+.3f mm off touch %s, whose tooth leans alike, with readings good to %.3f mm: touch both again", off, s.Name, limit)}
		}
	}
	return out, nil
}

// distinct counts touches at different angles.
func distinct(list []Touch) int {
	n := 0
	for i, t := range list {
		if i == 0 || t.Angle-list[i-1].Angle > sameAngle {
			n++
		}
	}
	return n
}

// Between any two touches the plane rises by the turn times a height that lies on
// the tooth: over loosely this share of the root radius, and under that of the
// tip radius.
const (
	leastStep = 0.75
	mostStep  = 1.05
)

// likely is how near the involute of the other touches a reading must come, taken
// another way, for that to be told, as a share of the tooth's depth.
const likely = 0.1

// steps finds the touch, if any, that cannot be on the same flank as the others.
func steps(list []Touch, tooth Tooth) error {
	fits := func(i int, angle, plane float64) int {
		n := 0
		for k, t := range list {
			turn := angle - t.Angle
			if k == i || math.Abs(turn) < sameAngle {
				continue
			}
			slack := 4 * tooth.Limit / math.Abs(turn)
			if z := (plane - t.Plane) / turn; z > leastStep*tooth.RootRadius-slack && z < mostStep*tooth.TipRadius+slack {
				n++
			}
		}
		return n
	}
	worst, least := -1, len(list)
	for i, t := range list {
		if n := fits(i, t.Angle, t.Plane); n < least {
			worst, least = i, n
		}
	}
	// A touch out of place is so against all the others, which are right among
	// themselves.
	if least > (len(list)-1)/2 {
		return nil
	}
	t := list[worst]
	others := Flank{}
	others.line(samplesOf(slices.Delete(slices.Clone(list), worst, worst+1)))
	near, text := likely*(tooth.TipRadius-tooth.RootRadius), ""
	for _, d := range t.Doubts {
		if off := math.Abs(d.Plane - others.involute(d.Angle)); off < near && fits(worst, d.Angle, d.Plane) > (len(list)-1)/2 {
			near, text = off, d.Text
		}
	}
	if text != "" {
		return &Fault{t.Name, "does not fit the other touches; it does if " + text}
	}
	return &Fault{t.Name, fmt.Sprintf("%.3f mm at %.3f deg cannot be on the same flank as the other touches, which step by %.2f to %.2f mm a degree; check tooth, flank, angle and reading",
		t.Plane, geom.Degrees(t.Angle), geom.Radians(leastStep*tooth.RootRadius), geom.Radians(mostStep*tooth.TipRadius))}
}

// inside returns the range of touches that lie on the flank. Those that touched
// the tip's corner, if any, are the uppermost: as many as make flank and corner
// together fit best, the corner being where that flank meets the tip circle.
// Below, those are left out that would have touched inside the root circle.
func inside(list []Touch, tooth Tooth) (lo, hi int) {
	n := len(list)
	scatter := max(tooth.Limit, least) * max(tooth.Limit, least) / 3
	hi = n
	best := math.Inf(1)
	for k := 0; n-k >= max(Least, n/2); k++ {
		if k > 0 && list[n-k].Angle-list[n-k-1].Angle < sameAngle {
			continue // what leans alike lies alike
		}
		if k > 0 && agree(list[:n-k], tooth.Limit) != nil {
			continue // a flank that does not hold together explains no corner
		}
		f := fit(samplesOf(list[:n-k]), tooth.Limit)
		cost := f.cost
		if k == 0 && f.radius(list[n-1].Angle) > tooth.TipRadius+cornerSlack(&f, tooth) {
			continue
		}
		tip := f.tipAngle(tooth.TipRadius)
		corner := f.point(tip)
		for _, t := range list[n-k:] {
			off := t.Plane - corner.Dot(unit(t.Angle))
			cost += off * off / scatter
			if t.Angle < tip || math.Abs(off) > 4*max(tooth.Limit, least) {
				cost = math.Inf(1)
			}
		}
		if cost < best-cornerDoubt {
			best, hi = cost, n-k
		}
	}
	for hi-lo >= Least {
		if f := fit(samplesOf(list[lo:hi]), tooth.Limit); f.radius(list[lo].Angle) >= tooth.RootRadius && f.at(list[lo].Angle).H > 0 {
			break
		}
		lo++
	}
	return lo, hi
}

// cornerDoubt is how much better, in squares of the readings' scatter, flank and
// corner must fit before a touch is said to be on the corner.
const cornerDoubt = 6

// tipAngle is the angle at which the flank is touched on the tip circle.
func (f *Flank) tipAngle(tip float64) float64 {
	return geom.Root(f.first, f.first+1, 0x1p-60, func(a float64) float64 { return f.radius(a) - tip })
}

// agree finds the touch, if any, without which the others lie on a far smoother
// flank, or that makes it hollow.
func agree(list []Touch, limit float64) error {
	limit = max(limit, least)
	hollow := -1
	for i := 1; i < len(list)-1; i++ {
		if excess, slack := bulge(list[i-1], list[i], list[i+1], limit); excess > slack {
			hollow = i
			break
		}
	}
	// The touch without which the others bend least.
	all := bends(list)
	worst, least := -1, all
	for i := range list {
		without := slices.Delete(slices.Clone(list), i, i+1)
		if b := bends(without); b < least && distinct(without) >= 3 {
			worst, least = i, b
		}
	}
	if worst < 0 {
		return nil
	}
	t := list[worst]
	others := fit(samplesOf(slices.Delete(slices.Clone(list), worst, worst+1)), limit)
	off := t.Plane - others.at(t.Angle).H
	end := worst == 0 || worst == len(list)-1
	odd := math.Abs(off) > 4*limit && least < all/8 && (!end || others.Straight)
	if hollow < 0 && !odd {
		return nil
	}
	for _, d := range t.Doubts {
		if math.Abs(d.Plane-others.at(d.Angle).H) < 4*limit && math.Abs(off) > 4*limit {
			return &Fault{t.Name, fmt.Sprintf("stands %+.3f mm off the others; it agrees if %s", off, d.Text)}
		}
	}
	switch {
	case hollow >= 0 && (worst < hollow-1 || worst > hollow+1 || math.Abs(off) <= 4*limit):
		return &Fault{list[hollow].Name, "would make the flank hollow between the touches beside it: touch there again"}
	case hollow >= 0:
		return &Fault{t.Name, fmt.Sprintf("stands %+.3f mm off the others, which makes the flank hollow: touch there again, or leave it out", off)}
	}
	return &Fault{t.Name, fmt.Sprintf("stands %+.3f mm off what the others say, with readings good to %.3f mm: touch there again, or leave it out", off, limit)}
}

// bulge is how far the middle one of three tangents stands out over the crossing
// of the other two, and how far it may seem to for the limit of the readings. A
// convex flank touches all three, so none does.
func bulge(a, b, c Touch, limit float64) (excess, slack float64) {
	d1, d2 := b.Angle-a.Angle, c.Angle-b.Angle
	if d1 < sameAngle || d2 < sameAngle {
		return 0, 1
	}
	wa, wc := math.Sin(d2)/math.Sin(d1+d2), math.Sin(d1)/math.Sin(d1+d2)
	return b.Plane - wa*a.Plane - wc*c.Plane, limit * (1 + wa + wc)
}

// bends is how much the planes bend from a line, by second divided differences.
func bends(list []Touch) float64 {
	sum := 0.0
	for i := 1; i < len(list)-1; i++ {
		a, b, c := list[i-1], list[i], list[i+1]
		if b.Angle-a.Angle < sameAngle || c.Angle-b.Angle < sameAngle {
			continue
		}
		bend := ((c.Plane-b.Plane)/(c.Angle-b.Angle) - (b.Plane-a.Plane)/(b.Angle-a.Angle)) / (c.Angle - a.Angle)
		sum += bend * bend
	}
	return sum
}

// chordRounds is how often the angles at which a vernier's points lie on the
// flank are found anew from the flank they give.
const chordRounds = 80

// Chords copies a flank from a tooth vernier's readings. The points lie on the
// flank; where its tangent through each leans follows from all of them, so it is
// found in rounds. guess is about the base radius. The error is a *Fault.
func Chords(list []Chord, tooth Tooth, guess float64) (*Flank, error) {
	if len(list) < Least {
		return nil, &Fault{"", fmt.Sprintf("%d readings of the vernier are too few: %d at least", len(list), Least)}
	}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Chord) int { return cmp.Compare(b.Height, a.Height) })
	pts := make([]geom.Vec, len(list))
	for i, c := range list {
		if most := tooth.TipRadius - tooth.RootRadius; !(c.Height > 0 && c.Height < most) {
			return nil, &Fault{c.Name, fmt.Sprintf("height %.3f mm below the top is not on the flank: more than 0 and less than the depth, %.3f mm", c.Height, most)}
		}
		if i > 0 && !(c.Width < list[i-1].Width) {
			return nil, &Fault{c.Name, fmt.Sprintf("chord %.3f mm at height %.3f mm is not less than %.3f mm at %.3f mm below it: a tooth grows thinner toward its top", c.Width, c.Height, list[i-1].Width, list[i-1].Height)}
		}
		pts[i] = geom.Vec{Y: c.Width / 2, Z: tooth.TipRadius - c.Height}
		if r := pts[i].Norm(); r > tooth.TipRadius {
			return nil, &Fault{c.Name, fmt.Sprintf("the point at height %.3f mm lies %.3f mm outside the outside diameter", c.Height, r-tooth.TipRadius)}
		}
	}
	// Half of a chord is read, with half of its error.
	limit := max(tooth.Limit/2, least)
	f := Flank{BaseRadius: guess, Limit: limit}
	mid := pts[len(pts)/2]
	roll := math.Sqrt(max(0, mid.Dot(mid)-guess*guess)) / guess
	f.HalfAngle = mid.Angle() + roll - math.Atan(roll)
	f.trunk = trunk{sine: guess, cosine: guess * f.HalfAngle}
	lo, hi := -f.HalfAngle, 1.2
	samples := make([]sample, len(pts))
	for i, p := range pts {
		samples[i].angle = f.leans(p, lo, hi)
	}
	for round := range chordRounds {
		for i, p := range pts {
			// Half of the way: all of it goes as far beyond, near the base circle.
			a := (samples[i].angle + f.leans(p, lo, hi)) / 2
			samples[i] = sample{a, p.Dot(unit(a))}
		}
		for i := 1; i < len(samples); i++ {
			if round > chordRounds/4 && samples[i].angle-samples[i-1].angle < sameAngle {
				return nil, &Fault{list[i].Name, "these chords make no convex flank: measure again, with heights at least a tenth of the depth apart"}
			}
		}
		before := f
		if round < chordRounds/2 { // the nearest involute first
			f = Flank{Limit: limit, first: samples[0].angle, last: samples[len(samples)-1].angle}
			f.line(samples)
		} else if f = fit(samples, limit); f.Straight && before.Straight && math.Abs(f.BaseRadius-before.BaseRadius) < 1e-12 {
			break
		}
	}
	for i, s := range samples {
		f.Readings = append(f.Readings, Reading{Name: list[i].Name, Angle: s.angle, Plane: s.plane,
			Off: s.plane - f.involute(s.angle), Rest: s.plane - f.at(s.angle).H, Radius: pts[i].Norm()})
		if i > 0 && i < len(samples)-1 {
			a, b, c := samples[i-1], samples[i], samples[i+1]
			if excess, slack := bulge(Touch{Angle: a.angle, Plane: a.plane}, Touch{Angle: b.angle, Plane: b.plane}, Touch{Angle: c.angle, Plane: c.plane}, limit); excess > slack {
				return nil, &Fault{list[i].Name, "this chord would make the flank hollow: measure it again"}
			}
		}
	}
	return &f, nil
}

// leans returns the angle at which the flank's normal through a point near it
// stands level: where the point's height over the axis is that of the touch.
func (f *Flank) leans(p geom.Vec, lo, hi float64) float64 {
	// The height falls as the tooth leans.
	return geom.Root(lo, hi, (hi-lo)*0x1p-60, func(a float64) float64 { return f.at(a).Slope - p.Dot(unit(a+math.Pi/2)) })
}

// cornerSlack is how far outside the tip circle a touch may seem to lie for the
// limit of its reading: its height is known from the step to the others.
func cornerSlack(f *Flank, tooth Tooth) float64 {
	return 4*tooth.Limit/max(f.last-f.first, 0.01) + 0.01
}
