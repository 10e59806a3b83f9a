package replay

import (
	"fmt"
	"math"
	"slices"

	"cogmend/gcode/machine"
)

// Where along X the work is looked at.
//
// The set-up's own stations stand where the job's metal changes. To them come
// those of the program's text: where a motion near the work begins or ends, a
// cutter's radius to both sides of that, and one between any two. So between
// two neighbours no motion along an axis begins, ends or reaches its full
// width: what it takes there changes one way only, and the stretch between them
// is a station too, from which is taken what the motion takes at both its ends. Metal that
// seems to stay on a stretch is thus never less than what stays anywhere on it.
//
// Slopes and arcs have stations at least every slopeStep along them.

const (
	// slopeStep is how far stations along a slope or an arc stand apart, mm.
	slopeStep = 0.25
	// mostStations bounds the places taken from the text. Beyond it those
	// nearest to one another fall away, and the report says how wide the
	// stretches became.
	mostStations = 600
	// leastApart is the least distance between two places taken from the
	// text, mm: below the rounding of a written number.
	leastApart = 0.0002
	// wideGap is the distance of two places, mm, from which a stretch that
	// holds the end of a motion is told of.
	wideGap = 0.005
)

// places collects the X of a program's motions, in its first reading.
type places struct {
	at     map[int64]struct{} // in leastApart
	slopes []stretch
	lo, hi float64 // ends of all metal
	full   bool    // no more are kept
}

// stretch is a stretch of X.
type stretch struct{ lo, hi float64 }

func (c *places) add(x float64) {
	if x <= c.lo || x >= c.hi {
		return
	}
	if len(c.at) >= 4*mostStations {
		c.full = true
		return
	}
	c.at[int64(math.Round(x/leastApart))] = struct{}{}
}

// collect notes the places of one motion. A part of the tool that stays above
// all metal does not count.
func (r *runner) collect(m *machine.Motion, a, b machine.Position) {
	c := r.places
	low, top := min(a.Z, b.Z), r.setup.Top
	if m.Kind == machine.Rapid {
		top += rapidClear
	}
	slope := m.Kind != machine.Rapid && a.X != b.X && (a.Y != b.Y || a.Z != b.Z)
	for i := range r.tool.Parts {
		p := &r.tool.Parts[i]
		if low+p.Z0 >= top {
			break
		}
		reach := max(p.R0, p.R1)
		if max(a.X, b.X)+reach <= c.lo || min(a.X, b.X)-reach >= c.hi {
			continue
		}
		if slope {
			c.slopes = append(c.slopes, stretch{max(c.lo, min(a.X, b.X)-reach), min(c.hi, max(a.X, b.X)+reach)})
			if len(c.slopes) > mostStations {
				c.slopes = joined(c.slopes)
			}
		}
		if m.Arc != nil {
			continue // its pieces count as slopes
		}
		for _, x := range [2]float64{a.X, b.X} {
			c.add(x)
			c.add(x - p.R0)
			c.add(x + p.R0)
			c.add(x - p.R1)
			c.add(x + p.R1)
		}
	}
}

// joined returns the stretches without their overlaps.
func joined(s []stretch) []stretch {
	slices.SortFunc(s, func(a, b stretch) int {
		switch {
		case a.lo < b.lo:
			return -1
		case a.lo > b.lo:
			return 1
		}
		return 0
	})
	out := s[:0]
	for _, x := range s {
		if n := len(out); n > 0 && x.lo <= out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, x.hi)
		} else {
			out = append(out, x)
		}
	}
	return out
}

// look takes the places of the first reading and says what they leave unseen.
func (r *runner) look(c *places) {
	xs, gap := c.thinned()
	r.lay(xs)
	if len(c.slopes) > 0 {
		r.report.NotChecked = append(r.report.NotChecked, fmt.Sprintf("slopes and arcs between places %.2f mm apart along X, where each is taken for the worse of the two", slopeGap(c.slopes)))
	}
	if gap > wideGap || c.full {
		r.report.NotChecked = append(r.report.NotChecked, fmt.Sprintf("the ends of motions nearer than %.2f mm to one another along X, of which there are too many to look at each", gap))
	}
}

// slopeGap is how far stations along slopes stand apart.
func slopeGap(slopes []stretch) float64 {
	length := 0.0
	for _, s := range slopes {
		length += s.hi - s.lo
	}
	return max(slopeStep, length/mostStations)
}

// thinned returns the collected places in order, no more than mostStations of
// them, and how far apart those stand that gave way to each other.
func (c *places) thinned() (xs []float64, gap float64) {
	for n := range c.at {
		xs = append(xs, float64(n)*leastApart)
	}
	gap = leastApart
	c.slopes = joined(c.slopes)
	step := slopeGap(c.slopes)
	for _, s := range c.slopes {
		n := math.Ceil((s.hi - s.lo) / step)
		for i := 0.0; i <= n; i++ {
			xs = append(xs, s.lo+(s.hi-s.lo)*i/max(n, 1))
		}
	}
	slices.Sort(xs)
	for spread(xs, gap) > 2*mostStations {
		gap *= 2
	}
	out := xs[:0]
	for _, x := range xs {
		if len(out) == 0 || x-out[len(out)-1] >= gap {
			out = append(out, x)
		}
	}
	return out, gap
}

// spread counts the places that stay when those nearer than gap give way.
func spread(xs []float64, gap float64) int {
	n, last := 0, math.Inf(-1)
	for _, x := range xs {
		if x-last >= gap {
			n, last = n+1, x
		}
	}
	return n
}

// lay sets out the stations: the set-up's own, those collected, one between any
// two of these, and the stretches between.
func (r *runner) lay(collected []float64) {
	var own []float64
	for _, s := range r.setup.Stations {
		own = append(own, s.X)
	}
	xs := slices.DeleteFunc(collected, func(x float64) bool {
		i, _ := slices.BinarySearch(own, x)
		return i < len(own) && own[i]-x < leastApart || i > 0 && x-own[i-1] < leastApart
	})
	xs = append(xs, own...)
	slices.Sort(xs)
	groups := map[*Section]int{}
	stand := func(x, half float64, s *Section) {
		n, ok := groups[s]
		if !ok {
			n = len(r.groups)
			groups[s] = n
			mine := Station{Section: s}
			mine.Split() // the set-up's own stays as it is
			r.groups = append(r.groups, group{section: mine.Section, from: -1})
		}
		r.groups[n].size++
		r.live = append(r.live, live{Station: Station{X: x, Half: half, Section: r.groups[n].section}, group: n})
	}
	band := func(lo, hi float64) {
		if s, even := r.setup.section((lo + hi) / 2); even {
			stand((lo+hi)/2, (hi-lo)/2, s)
		}
	}
	n := 0 // of the set-up's stations
	for i, x := range xs {
		isOwn := n < len(own) && x == own[n]
		if isOwn {
			r.own = append(r.own, len(r.live))
			stand(x, 0, r.setup.Stations[n].Section)
			n++
		} else {
			s, _ := r.setup.section(x)
			stand(x, 0, s)
		}
		if i+1 == len(xs) {
			break
		}
		// Between two of the set-up's own nothing of the program happens.
		if next := xs[i+1]; next-x > 2*leastApart && !(isOwn && n < len(own) && next == own[n]) {
			mid := (x + next) / 2
			band(x, mid)
			s, _ := r.setup.section(mid)
			stand(mid, 0, s)
			band(mid, next)
		} else {
			band(x, next)
		}
	}
	r.engaged = make([]engaged, len(r.live))
}

// stationsNow returns the set-up's own stations with the metal they have now.
func (r *runner) stationsNow() []Station {
	r.now = r.now[:0]
	for _, k := range r.own {
		r.now = append(r.now, r.live[k].Station)
	}
	return r.now
}

// Changes returns the X at which the metal differs from that on one of their
// sides.
func Changes(stations []Station) (xs []float64) {
	for i, s := range stations {
		if s.Half == 0 && (i == 0 || i == len(stations)-1 || stations[i-1].Section != s.Section || stations[i+1].Section != s.Section) {
			xs = append(xs, s.X)
		}
	}
	return xs
}

// along returns all stations.
func (r *runner) along() []Station {
	out := make([]Station, len(r.live))
	for k := range r.live {
		out[k] = r.live[k].Station
	}
	return out
}

// kept copies stations and their sections, shared ones once.
func kept(stations []Station) []Station {
	out := slices.Clone(stations)
	shared := map[*Section]*Section{}
	for i := range out {
		s := &out[i]
		if shared[s.Section] == nil {
			was := s.Section
			s.Split()
			shared[was] = s.Section
		} else {
			s.Section = shared[s.Section]
		}
	}
	return out
}
