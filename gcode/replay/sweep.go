package replay

import (
	"math"
	"slices"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// Part is one stretch of a tool: a frustum between two heights over the tip.
type Part struct {
	Name   string  // "flutes", "neck", "shank", "holder"
	Z0, R0 float64 // lower height over the tip and radius there, mm
	Z1, R1 float64 // upper height and radius
	Cuts   bool    // flutes remove metal; all else must not touch any
}

// Tool is what turns in the spindle under one T number.
type Tool struct {
	Number   int     // of its T word
	Name     string  // as findings have it
	Parts    []Part  // from the tip up
	Diameter float64 // greatest cutting diameter, mm
	Teeth    int     // cutting edges, for the chip a tooth takes
	MaxDepth float64 // greatest axial depth of a wide cut, mm
	MaxSide  float64 // greatest sideways cut, mean over its depth, mm; 0: not bound
	NoPlunge bool    // must not cut while moving along Z
	OnlyDown bool    // a drill: must not cut while moving sideways
	MaxPeck  float64 // greatest way down into metal without being drawn out, mm; 0: not bound
	MaxFeed  float64 // mm/min while cutting; 0: not known
	MaxDown  float64 // mm/min while cutting straight down; 0: as MaxFeed
	MaxRpm   float64 // rev/min; 0: not known
	MaxChip  float64 // feed a tooth, mm; 0: not known
}

// chordTol is how far the chords of a curved section may stand inside it, mm.
// Straight passes, which are all that stand in a finished part, are exact.
const chordTol = 0.0005

// section appends to dst the corners of the convex section, across X at
// station, of the part swept along the straight move a-b (tip positions). It
// returns none when the sweep does not reach the station.
//
// The sweep of a convex solid along a straight line is convex, and so is its
// section. For level moves the bounds in Y at each height are exact: with
// u = x - station, y + sqrt(r^2 - u^2) is concave in u and greatest where its
// slope is zero.
func (p Part) section(a, b machine.Position, station float64, dst []geom.Vec) []geom.Vec {
	reach := max(p.R0, p.R1)
	if min(a.X, b.X) > station+reach || max(a.X, b.X) < station-reach {
		return dst
	}
	dx, dy, dz := b.X-a.X, b.Y-a.Y, b.Z-a.Z
	straight := p.R0 == p.R1 || (min(a.X, b.X) <= station && max(a.X, b.X) >= station && dy == 0 && dz == 0)
	if dz == 0 || (dx == 0 && dy == 0) {
		low, high := min(a.Z, b.Z), max(a.Z, b.Z)
		if straight {
			lo0, hi0, ok0 := span(a, b, station, p.R0)
			lo1, hi1, ok1 := span(a, b, station, p.R1)
			if !ok0 || !ok1 {
				return dst
			}
			if p.R0 == p.R1 {
				return append(dst, geom.Vec{Y: lo0, Z: low + p.Z0}, geom.Vec{Y: hi0, Z: low + p.Z0},
					geom.Vec{Y: hi1, Z: high + p.Z1}, geom.Vec{Y: lo1, Z: high + p.Z1})
			}
			if dz == 0 {
				dst = append(dst, geom.Vec{Y: lo0, Z: low + p.Z0})
				if hi0 > lo0 {
					dst = append(dst, geom.Vec{Y: hi0, Z: low + p.Z0})
				}
				dst = append(dst, geom.Vec{Y: hi1, Z: low + p.Z1})
				if hi1 > lo1 {
					dst = append(dst, geom.Vec{Y: lo1, Z: low + p.Z1})
				}
				return dst
			}
		}
		shares := p.shares(a, b, station)
		pts := make([]geom.Vec, 0, 4*len(shares))
		for _, t := range shares {
			lo, hi, ok := span(a, b, station, p.R0+(p.R1-p.R0)*t)
			if !ok {
				continue
			}
			h := p.Z0 + (p.Z1-p.Z0)*t
			for _, z := range []float64{low + h, high + h} {
				pts = append(pts, geom.Vec{Y: lo, Z: z}, geom.Vec{Y: hi, Z: z})
			}
		}
		return append(dst, hull(pts)...)
	}
	// A ramp: the discs at some heights, at moments while they reach the
	// station.
	var pts []geom.Vec
	for _, share := range p.shares(a, b, station) {
		h, r := p.Z0+(p.Z1-p.Z0)*share, p.R0+(p.R1-p.R0)*share
		for _, t := range moments(a, b, station, r) {
			at := machine.Position{X: a.X + dx*t, Y: a.Y + dy*t, Z: a.Z + dz*t}
			if lo, hi, ok := span(at, at, station, r); ok {
				pts = append(pts, geom.Vec{Y: lo, Z: at.Z + h}, geom.Vec{Y: hi, Z: at.Z + h})
			}
		}
	}
	return append(dst, hull(pts)...)
}

// anyWay is section for a move whose axes may each run as fast as they can: the
// tip may come anywhere in the box between a and b.
func (p Part) anyWay(a, b machine.Position, station float64, dst []geom.Vec) []geom.Vec {
	var pts []geom.Vec
	for _, y := range [2]float64{a.Y, b.Y} {
		for _, z := range [2]float64{a.Z, b.Z} {
			pts = p.section(machine.Position{X: a.X, Y: y, Z: z}, machine.Position{X: b.X, Y: y, Z: z}, station, pts)
		}
	}
	return append(dst, hull(pts)...)
}

// moments returns the shares of a move at which a disc of radius r is taken
// on its way over the station. The ends of its chord run along an ellipse,
// which is the circle stretched as steep as the move is: equal steps of the
// circle's angle keep its chords within chordTol, but for moves so steep that
// mostMoments would not do.
func moments(a, b machine.Position, station, r float64) []float64 {
	dx := b.X - a.X
	if math.Abs(dx) < geom.Eps {
		return []float64{0, 1}
	}
	angle := func(u float64) float64 { return math.Asin(max(-1, min(1, u/max(r, geom.Eps)))) }
	from, to := angle(a.X-station), angle(b.X-station)
	steep := math.Sqrt(sq(dx)+sq(b.Y-a.Y)+sq(b.Z-a.Z)) / math.Abs(dx)
	n := 1 + int(min(mostMoments, math.Abs(to-from)*math.Sqrt(steep*r/(8*chordTol))))
	out := make([]float64, n+1)
	for i := range out {
		t := (station + r*math.Sin(from+(to-from)*float64(i)/float64(n)) - a.X) / dx
		out[i] = max(0, min(1, t))
	}
	return out
}

// mostMoments bounds the work on one move.
const mostMoments = 1000

// shares returns at which shares of the part's height its section is taken,
// rising.
//
// Off from the tool's axis a disc of radius r is 2 sqrt(r^2 - off^2) wide, so
// that a cone standing at an end of the move is bounded there by a hyperbola:
// r = off cosh s, half width off sinh s. Over a step ds its chord stands
// slope off ds^2/8 / sqrt(cosh^2 s + slope^2 sinh^2 s) inside it, slope being
// the cone's height over the change of its radius.
func (p Part) shares(a, b machine.Position, station float64) []float64 {
	if p.R0 == p.R1 {
		return []float64{0, 1}
	}
	slope := math.Abs((p.Z1 - p.Z0) / (p.R1 - p.R0))
	out := []float64{0, 1}
	for _, x := range []float64{a.X, b.X} {
		off := math.Abs(x - station)
		if off < geom.Eps || off >= max(p.R0, p.R1) {
			continue
		}
		s, end := math.Acosh(max(1, min(p.R0, p.R1)/off)), math.Acosh(max(p.R0, p.R1)/off)
		for s < end {
			cosh, sinh := math.Cosh(s), math.Sinh(s)
			out = append(out, max(0, min(1, (off*cosh-p.R0)/(p.R1-p.R0))))
			s += math.Sqrt(8 * chordTol / (slope * off) * math.Hypot(cosh, slope*sinh))
		}
		if a.X == b.X {
			break
		}
	}
	if a.X != b.X && a.Z != b.Z {
		// On a ramp the cone's outline runs over from one end's hyperbola to
		// the other's.
		for i := 1; i < rampHeights; i++ {
			out = append(out, float64(i)/rampHeights)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// rampHeights is how many stretches of its height a cone is taken at on a
// ramp: within 0.003 mm on moves as steep as they are long. No program of ours
// has any.
const rampHeights = 24

// span returns the Y range that a disc of radius r, its centre moving
// straight from a to b, covers on the line X = station.
func span(a, b machine.Position, station, r float64) (lo, hi float64, ok bool) {
	u0, u1 := a.X-station, b.X-station
	y0, y1 := a.Y, b.Y
	if u0 > u1 {
		u0, u1, y0, y1 = u1, u0, y1, y0
	}
	if u0 > r+geom.Eps || u1 < -r-geom.Eps {
		return 0, 0, false
	}
	if y0 == y1 || u1-u0 < geom.Eps {
		u := max(u0, min(u1, 0))
		c := math.Sqrt(max(0, r*r-u*u))
		return min(y0, y1) - c, max(y0, y1) + c, true
	}
	m := (y1 - y0) / (u1 - u0)
	from, to := max(u0, -r), min(u1, r)
	top := m * r / math.Sqrt(1+m*m)
	at := func(u float64) (y, c float64) {
		return y0 + m*(u-u0), math.Sqrt(max(0, r*r-u*u))
	}
	y, c := at(max(from, min(to, top)))
	hi = y + c
	y, c = at(max(from, min(to, -top)))
	return y - c, hi, true
}

// hull returns the convex hull, counter-clockwise (Andrew's monotone chain,
// Information Processing Letters 9, 1979), or nil for fewer than three corners.
func hull(pts []geom.Vec) []geom.Vec {
	slices.SortFunc(pts, func(a, b geom.Vec) int {
		switch {
		case a.Y < b.Y || a.Y == b.Y && a.Z < b.Z:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	h := make([]geom.Vec, 0, len(pts)+1)
	half := func(p geom.Vec, base int) {
		for len(h) >= base+2 && h[len(h)-1].Sub(h[len(h)-2]).Cross(p.Sub(h[len(h)-1])) <= 0 {
			h = h[:len(h)-1]
		}
		h = append(h, p)
	}
	for _, p := range pts {
		half(p, 0)
	}
	base := len(h) - 1
	for i := len(pts) - 2; i >= 0; i-- {
		half(pts[i], base)
	}
	if len(h) < 4 {
		return nil
	}
	return h[:len(h)-1]
}
