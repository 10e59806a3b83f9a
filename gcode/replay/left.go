package replay

import (
	"math"

	"cogmend/profiles/geom"
)

// finish measures what is left and closes the report.
func (r *runner) finish() {
	rep := r.report
	if r.step < r.setup.Steps {
		r.find(NoStop, 0, 0, "step", "the last stop at which a step could be tried is that of step %d, and there are %d steps", r.step, r.setup.Steps)
	}
	r.ways()
	r.least.close()
	rep.Least = r.least.Least
	index := map[string]int{}
	measured := map[*Section]bool{}
	live := r.live
	if r.setup.Air {
		live = nil // what stays is not asked of a run in air
	}
	for i := range live {
		s := &r.live[i].Station
		if measured[s.Section] && !s.isEnd() {
			continue
		}
		measured[s.Section] = true
		for _, l := range s.left(r.setup.Rounding) {
			n, ok := index[l.Zone]
			if !ok {
				n = len(rep.Left)
				index[l.Zone] = n
				rep.Left = append(rep.Left, Left{Zone: l.Zone, Limit: l.Limit, High: l.High})
			}
			have := &rep.Left[n]
			have.Filed = max(have.Filed, l.Filed)
			if l.Amount > have.Amount {
				have.Amount, have.X, have.Radius = l.Amount, l.X, l.Radius
			}
		}
		for _, z := range s.Zones {
			for _, l := range rep.Left {
				if l.Zone == z.Name && l.Filed > z.Filed+r.setup.leftLimit() {
					r.find(MetalLeft, 0, l.Filed, z.Name, "%.3f mm is left on the %s where the job counts on filing %.3f", l.Filed, z.Name, z.Filed)
				}
			}
		}
	}
	for _, l := range rep.Left {
		if l.Amount > l.Limit+r.setup.leftLimit() {
			r.find(MetalLeft, 0, l.Amount, l.Zone, "%.3f mm of metal stays on the %s, %.3f allowed (X %.3f, %.3f mm from the axis of the gear or the middle of the insert's top)", l.Amount, l.Zone, l.Limit, l.X, l.Radius)
		}
	}
	rep.sort()
}

// isEnd says that the station stands beyond an end face.
func (s *Station) isEnd() bool { return len(s.Zones) > 0 && s.Zones[0].End }

// A crumb is a loose piece that is a trace of rounding, not metal: thinner than
// two written numbers, each within 0.00005 mm, and a turned gear make it, or no
// greater than 2 micrometres square.
const (
	CrumbBreadth = 0.0003 // mm
	CrumbArea    = 4e-6   // mm^2
)

// Crumb says that a piece is one.
func Crumb(c geom.Convex) bool {
	return geom.Area(c.Pts) < CrumbArea || c.Breadth() < CrumbBreadth
}

// left measures the station's waste against the zones: each corner of a
// piece belongs to the zone it is nearest to. So do the middles of its edges and
// the farthest places along them, and its own middle: in a slot that was never
// cut all corners lie on the surface. rounding is the set-up's.
func (s *Station) left(rounding float64) []Left {
	out := make([]Left, len(s.Zones))
	for i, z := range s.Zones {
		out[i] = Left{Zone: z.Name, Limit: z.Limit, X: s.X, High: z.Over > 0}
	}
	if len(s.Zones) == 0 {
		return nil
	}
	if z := s.Zones[0]; z.End {
		for _, c := range s.Waste {
			if !Crumb(c) && c.Breadth() >= CrumbBreadth+2*rounding {
				// Of a stretch it is not known where on it the metal is: as far
				// as its nearer end at least.
				out[0].Amount = math.Abs(s.X-z.Face) - s.Half
			}
		}
		return out
	}
	crown := 0.0
	surfaces := make([]geom.Track, len(s.Zones))
	for i, z := range s.Zones {
		crown = max(crown, z.Upto)
		surfaces[i] = geom.NewTrack(z.Surface)
	}
	measure := func(p geom.Vec) float64 {
		best, at := math.Inf(1), 0
		for i, z := range s.Zones {
			if z.Upto > 0 && p.Norm() > z.Upto+geom.Sliver {
				continue
			}
			// A corner that two zones share belongs to the first.
			if d := surfaces[i].Distance(p, best); d < best-geom.Eps {
				best, at = d, i
			}
		}
		l, z := &out[at], &s.Zones[at]
		if z.Over > 0 {
			best = max(0, p.Norm()-z.Over)
		}
		if z.Filed > 0 && p.Norm() <= z.FiledTo {
			l.Filed = max(l.Filed, best)
		} else if best > l.Amount {
			l.Amount, l.Radius = best, p.Norm()
		}
		return best
	}
	for _, c := range s.Waste {
		if Crumb(c) || c.Breadth() < CrumbBreadth+2*rounding {
			continue
		}
		c.Probe(measure)
		// What stands over the crown is another zone's.
		for i, p := range c.Pts {
			q := c.Pts[(i+1)%len(c.Pts)]
			if (p.Norm()-crown)*(q.Norm()-crown) < 0 {
				measure(onCircle(p, q, crown))
			}
		}
	}
	return out
}

// onCircle is where the edge from p to q, one inside and one outside, crosses
// the circle about the origin.
func onCircle(p, q geom.Vec, radius float64) geom.Vec {
	d := q.Sub(p)
	a, b, c := d.Dot(d), p.Dot(d), p.Dot(p)-radius*radius
	root := math.Sqrt(max(0, b*b-a*c))
	t := (-b + root) / a
	if t < 0 || t > 1 {
		t = (-b - root) / a
	}
	return p.Lerp(q, min(1, max(0, t)))
}
