package repair

import (
	"math"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// spotsOf lays the spots of one station: a grid over all metal, and rows
// along the surfaces.
func spotsOf(st *replay.Station) []spot {
	var out []spot
	within := func(r geom.Region, p geom.Vec) bool {
		for _, c := range r {
			if p.Y >= c.Box.Lo.Y && p.Y <= c.Box.Hi.Y && p.Z >= c.Box.Lo.Z && p.Z <= c.Box.Hi.Z && c.Contains(p) {
				return true
			}
		}
		return false
	}
	lay := func(r geom.Region, step float64, s spot) {
		if len(r) == 0 {
			return
		}
		b := r.Bounds()
		for y := b.Lo.Y + step/3; y < b.Hi.Y; y += step {
			for z := b.Lo.Z + step/3; z < b.Hi.Z; z += step {
				if s.at = (geom.Vec{Y: y, Z: z}); within(r, s.at) {
					add := s
					add.must = !s.keep && mustGo(st, s.at)
					out = append(out, add)
				}
			}
		}
	}
	along := func(line []geom.Vec, off float64, r geom.Region, s spot) {
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			d := b.Sub(a)
			l := d.Norm()
			if l < 1e-6 {
				continue
			}
			n := geom.Vec{Y: -d.Z / l, Z: d.Y / l}.Scale(off)
			steps := math.Ceil(l / judgeEdge)
			for k := 0.5; k < steps; k++ {
				for _, side := range []float64{1, -1} {
					if s.at = a.Lerp(b, k/steps).Add(n.Scale(side)); within(r, s.at) {
						add := s
						add.must = !s.keep && mustGo(st, s.at)
						out = append(out, add)
					}
				}
			}
		}
	}
	for _, k := range st.Keep {
		lay(k.Metal, 2*judgeGrid, spot{keep: true})
		along(k.Outline, judgeDeep, k.Metal, spot{keep: true})
	}
	lay(st.Waste, judgeGrid, spot{})
	for _, z := range st.Zones {
		if z.Limit < someLimit {
			along(z.Surface, z.Limit+judgeProud+0.001, st.Waste, spot{})
			along(z.Surface, z.Limit+3*judgeProud, st.Waste, spot{})
		}
	}
	return out
}

// mustGo says that metal at p is more than the job allows to be left.
func mustGo(st *replay.Station, p geom.Vec) bool {
	best := math.Inf(1)
	must := false
	for _, z := range st.Zones {
		if z.End {
			return math.Abs(st.X-z.Face) > z.Limit+judgeProud
		}
		if z.Upto > 0 && p.Norm() > z.Upto {
			continue
		}
		// A corner that two zones share belongs to the first.
		if d := geom.Distance(p, z.Surface); d < best-geom.Eps {
			best = d
			limit := z.Limit
			if z.Filed > 0 && p.Norm() <= z.FiledTo+0.05 {
				limit = max(limit, z.Filed)
			}
			if z.Over > 0 {
				d = p.Norm() - z.Over
			}
			must = d > limit+judgeProud
		}
	}
	return must
}
