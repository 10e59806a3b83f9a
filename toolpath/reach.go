package toolpath

import (
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/metal"
)

// holderAir is kept between the holder and anything, mm.
const holderAir = 0.5

// scene is what stands around a place, seen with the place at top dead
// centre: surfaces that no part of a tool may go below.
type scene struct{ lines [][]geom.Vec }

// gearScene holds the standing teeth beside a place.
func (p *planner) gearScene(place float64) scene {
	g := &p.Standing
	var s scene
	for k := -3.0; k <= 3; k++ {
		if k == 0 || p.isPlace(place+k) {
			continue
		}
		s.lines = append(s.lines, geom.Turn(k*g.Pitch()).ApplyAll(g.Outline))
	}
	s.lines = append(s.lines, p.farCircle(-3.5, 3.5)...)
	return s
}

// surroundings is what stands around any of the places.
func (p *planner) surroundings() scene {
	var all scene
	for _, place := range p.Job.Gear.Places {
		all.lines = append(all.lines, p.gearScene(place).lines...)
	}
	return all
}

// farCircle stands for the teeth beyond those that are drawn, from and to in
// pitches from the place: the tip circle on both sides, a little outside.
func (p *planner) farCircle(from, to float64) [][]geom.Vec {
	g := &p.Standing
	out := g.TipRadius() / math.Cos(g.Pitch()/2)
	var lines [][]geom.Vec
	for _, side := range []float64{-1, 1} {
		begin := to
		if side < 0 {
			begin = -from
		}
		var line []geom.Vec
		for k := begin; k*g.Pitch() < metal.FarAngle; k++ {
			line = append(line, geom.Polar(out, side*k*g.Pitch()))
		}
		if side < 0 {
			slices.Reverse(line)
		}
		if len(line) > 1 {
			lines = append(lines, line)
		}
	}
	return lines
}

func (p *planner) isPlace(at float64) bool { return design.IsPlace(p.Job.Gear.Places, at) }

// highest is the greatest height of anything between y0 and y1.
func (s scene) highest(y0, y1 float64) float64 {
	top := math.Inf(-1)
	for _, l := range s.lines {
		top = max(top, geom.Highest(l, y0, y1))
	}
	return top
}

// needStickOut returns how far the cutter must stand out of its holder, at
// least, for the tip to reach height z with the holder's axis over y.
func (s scene) needStickOut(c *profiles.Cutter, y, z float64) float64 {
	h := s.highest(y-c.Holder/2, y+c.Holder/2)
	return h + holderAir - z
}

// fouls returns the name of the part that meets anything when the tip is at
// y, z, air beside and under it, and "" when none does.
func (s scene) fouls(c *profiles.Cutter, y, z, air float64) string {
	for _, q := range metal.Parts(c) {
		r := max(q.R0, q.R1) + air
		if s.highest(y-r, y+r) > z+q.Z0-air+1e-6 {
			return q.Name
		}
	}
	return ""
}
