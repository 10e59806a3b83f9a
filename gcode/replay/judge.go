package replay

import (
	"math"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// judge looks at a whole motion: spindle, feed, depth.
func (r *runner) judge(m *machine.Motion) {
	if m.Kind == machine.Rapid {
		return
	}
	t, st, s, b := r.tool, m.State, r.setup, &r.bite
	switch {
	case st.Spindle == machine.Off:
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed with the spindle standing still", t.Number)
	case st.Spindle == machine.CCW:
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed with the spindle turning backwards", t.Number)
	case !(st.Speed > 0):
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed with no spindle speed stated", t.Number)
	case s.MaxRpm > 0 && st.Speed > s.MaxRpm+0.5 || s.MinRpm > 0 && st.Speed < s.MinRpm-0.5:
		r.find(NoSpeed, m.Line, 0, "", "spindle speed %.0f is outside the machine's %.0f to %.0f rev/min", st.Speed, s.MinRpm, s.MaxRpm)
	case t.MaxRpm > 0 && st.Speed > t.MaxRpm:
		r.find(NoSpeed, m.Line, 0, "", "spindle speed %.0f burns tool %d, good for %.0f rev/min", st.Speed, t.Number, t.MaxRpm)
	case s.HandSpeed && r.speed == 0:
		r.find(NoSpeed, m.Line, 0, "", "tool %d is fed before a stop at which the operator could set and start the spindle", t.Number)
	case s.HandSpeed && float64(r.speed) != st.Speed:
		r.find(NoSpeed, m.Line, 0, "", "the operator is told to set %d rev/min where the program counts on %.0f", r.speed, st.Speed)
	}
	if s.MaxFeed > 0 && m.Feed > s.MaxFeed+0.5 {
		r.find(NoFeed, m.Line, 0, "machine", "feed %.0f is more than the machine's %.0f mm/min", m.Feed, s.MaxFeed)
	}
	if b.area == 0 {
		return
	}
	if s.Air {
		r.find(CutTarget, m.Line, b.depth, "air", "tool %d cuts metal, %.3f mm deep, and the program is to be run in air", t.Number, b.depth)
	}
	sideways := m.Arc != nil || m.To.X != m.From.X || m.To.Y != m.From.Y
	if down := m.Feed * b.drop / max(m.Length, geom.Eps); b.drop > 0 && t.MaxDown > 0 && down > t.MaxDown+0.5 {
		r.find(NoFeed, m.Line, 0, "down", "feed %.0f mm/min down is more than tool %d bears, %.0f", down, t.Number, t.MaxDown)
	}
	if t.MaxFeed > 0 && m.Feed > t.MaxFeed {
		r.find(NoFeed, m.Line, 0, "", "feed %.0f mm/min is more than tool %d bears, %.0f", m.Feed, t.Number, t.MaxFeed)
	} else if t.MaxChip > 0 && st.Speed > 0 && t.Teeth > 0 && m.Feed/(st.Speed*float64(t.Teeth)) > t.MaxChip {
		r.find(NoFeed, m.Line, 0, "", "a chip of %.3f mm a tooth is more than tool %d bears, %.3f", m.Feed/(st.Speed*float64(t.Teeth)), t.Number, t.MaxChip)
	}
	if t.NoPlunge && b.drop > 0 {
		r.find(TooDeep, m.Line, b.drop, "down", "tool %d cuts while it moves down, which it cannot", t.Number)
	}
	// A cut across X has its breadth along X.
	width, deep := b.load.width, b.load.depth
	if a := &r.advance; math.Abs(m.To.Y-m.From.Y) > math.Abs(m.To.X-m.From.X) {
		c, rad := max(m.To.X, m.From.X), t.Diameter/2
		width = min(c+rad-a.xlo, a.xhi-(min(m.To.X, m.From.X)-rad))
	}
	if sideways && t.MaxDepth > 0 && deep > t.MaxDepth+depthSlack && width > wideShare*t.Diameter {
		r.find(TooDeep, m.Line, deep, "", "tool %d takes %.3f mm deep and %.3f mm wide at once; its limit is %.3f", t.Number, deep, width, t.MaxDepth)
	}
	if side := b.load.area / deep; sideways && t.MaxSide > 0 && side > t.MaxSide+depthSlack {
		r.find(TooDeep, m.Line, side, "side", "tool %d takes %.3f mm sideways at once; its limit is %.3f", t.Number, side, t.MaxSide)
	}
	r.leastCut(m)
}

// keepOuts looks for any part of the tool in a box, program coordinates.
func (r *runner) keepOuts(m *machine.Motion, a, b machine.Position) {
	for i := range r.setup.KeepOuts {
		k := &r.setup.KeepOuts[i]
		low, high := min(a.Z, b.Z)-r.setup.ZShift, max(a.Z, b.Z)-r.setup.ZShift
		for j := range r.tool.Parts {
			p := &r.tool.Parts[j]
			// A ramp is taken as if it were at all its heights at once.
			if low+p.Z0 >= k.Z[1] || high+p.Z1 <= k.Z[0] {
				continue
			}
			if d := segmentToBox(a, b, k); d < max(p.R0, p.R1) {
				r.find(InKeepOut, m.Line, max(p.R0, p.R1)-d, k.Name, "the %s of tool %d enters %q", p.Name, r.tool.Number, k.Name)
			}
		}
	}
}

// segmentToBox is the plan distance of a straight path from the box.
func segmentToBox(a, b machine.Position, k *KeepOut) float64 {
	box := geom.Rect(k.X[0], k.Y[0], k.X[1], k.Y[1])
	p, q := geom.Vec{Y: a.X, Z: a.Y}, geom.Vec{Y: b.X, Z: b.Y}
	if box.Contains(p) || box.Contains(q) {
		return 0
	}
	path := []geom.Vec{p, q}
	d := math.Inf(1)
	ring := append(append([]geom.Vec(nil), box.Pts...), box.Pts[0])
	for _, c := range box.Pts {
		d = min(d, geom.Distance(c, path))
	}
	d = min(d, geom.Distance(p, ring), geom.Distance(q, ring))
	// Crossing paths have no near corner: look at where the path meets the box.
	for i := 1; i < len(ring); i++ {
		u, v := ring[i-1], ring[i]
		if q.Sub(p).Cross(u.Sub(p))*q.Sub(p).Cross(v.Sub(p)) < 0 && v.Sub(u).Cross(p.Sub(u))*v.Sub(u).Cross(q.Sub(u)) < 0 {
			return 0
		}
	}
	return d
}
