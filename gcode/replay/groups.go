package replay

import (
	"math"
	"sort"

	"cogmend/profiles/geom"
)

// live is a station during the replay.
type live struct {
	Station
	group int
	// What the part being swept takes here: on a stretch, what it takes
	// everywhere on it.
	shape []geom.Vec
	// On a stretch on which that is not all, a shape that holds what it may
	// take anywhere on it; otherwise nil.
	most []geom.Vec
}

// group is the stations that hold one section.
type group struct {
	section *Section
	shared  bool  // the section is that of other groups too, this time
	size    int   // stations in it
	first   int   // station whose shape the others of the group have, this time; -1: one that nothing reaches
	round   int   // of regroup, that first and next are of
	within  int   // stations of it in the stretch that is looked at this time
	next    int   // group that parted from this one this time; 0: none
	from    int   // group it parted from this time; -1: none
	cut     int   // last round in which metal was taken from it
	got     taken // that time
}

// reached returns the stations that a part may meet which reaches from lo to hi:
// those from the first up to the one before the second, stretches with both their
// ends.
func (r *runner) reached(lo, hi float64) (from, to int) {
	n := len(r.live)
	from = sort.Search(n, func(k int) bool { return r.live[k].X+r.live[k].Half >= lo })
	to = sort.Search(n, func(k int) bool { return r.live[k].X-r.live[k].Half > hi })
	if from < n && r.live[from].Half > 0 {
		from--
	}
	if to > 0 && to < n && r.live[to-1].Half > 0 {
		to++
	}
	return from, max(to, from)
}

// regroup parts the stations of each group by the shape that is taken from them;
// nothing is taken from those before the first and from the second on.
func (r *runner) regroup(from, to int) {
	r.round++
	r.visited = r.visited[:0]
	for k := from; k < to; k++ {
		g := &r.groups[r.live[k].group]
		if g.round != r.round {
			g.round, g.within, g.next, g.first = r.round, 0, 0, k
			r.visited = append(r.visited, r.live[k].group)
		}
		g.within++
	}
	for _, g := range r.visited {
		if r.groups[g].within < r.groups[g].size {
			r.groups[g].first = -1
		}
	}
	r.work += 2 * (to - from)
	for k := from; k < to; k++ {
		s := &r.live[k]
		g := s.group
		for !r.alike(r.groups[g].first, s) {
			r.work += 4
			if r.groups[g].next == 0 {
				g = r.part(g, k)
				break
			}
			g = r.groups[g].next
		}
		if g != s.group {
			r.groups[s.group].size--
			r.groups[g].size++
			s.group, s.Section = g, r.groups[g].section
		}
	}
}

// ownSection gives a group that shares its section one of its own.
func (r *runner) ownSection(g int) *Section {
	h := &r.groups[g]
	s := Station{Section: h.section}
	s.Split()
	h.section, h.shared = s.Section, false
	return h.section
}

// alike says that the same is taken from station k as from s.
func (r *runner) alike(k int, s *live) bool {
	if k < 0 {
		return len(s.shape) == 0 && len(s.most) == 0
	}
	first := &r.live[k]
	return samePoints(first.shape, s.shape) && samePoints(first.most, s.most)
}

// part makes a new group for station k, apart from group g. It has the same
// section until something is taken from it.
func (r *runner) part(g, k int) int {
	n := len(r.groups)
	if free := len(r.free); free > 0 {
		n = r.free[free-1]
		r.free = r.free[:free-1]
	} else {
		r.groups = append(r.groups, group{})
	}
	r.groups[n] = group{section: r.groups[g].section, shared: true, first: k, round: r.round, from: g}
	r.groups[g].next, r.groups[g].shared = n, true
	r.visited = append(r.visited, n)
	r.parted = true
	return n
}

// rejoin brings those together again that have parted this time and from which
// nothing was taken after all.
func (r *runner) rejoin(from, to int) {
	if !r.parted {
		return
	}
	r.parted = false
	for k := from; k < to; k++ {
		s := &r.live[k]
		for {
			g := &r.groups[s.group]
			if g.round != r.round || g.from < 0 || g.cut == r.round {
				break
			}
			// The nearest before it in its row from which nothing was taken.
			at := g.from
			for r.groups[at].cut == r.round && r.groups[at].from >= 0 && r.groups[at].round == r.round {
				at = r.groups[at].from
			}
			if r.groups[at].cut == r.round {
				break
			}
			g.size--
			r.groups[at].size++
			s.group, s.Section = at, r.groups[at].section
		}
	}
	for _, g := range r.visited {
		if h := &r.groups[g]; h.size == 0 && h.section != nil {
			*h = group{from: -1}
			r.free = append(r.free, g)
		} else {
			h.from, h.shared = -1, false
		}
	}
}

// samePoints says that two shapes are the same, within the rounding of their
// own working out.
func samePoints(a, b []geom.Vec) bool {
	if len(a) != len(b) {
		return false
	}
	if len(a) == 0 || &a[0] == &b[0] {
		return true
	}
	for i := range a {
		if math.Abs(a[i].Y-b[i].Y) > sameShape || math.Abs(a[i].Z-b[i].Z) > sameShape {
			return false
		}
	}
	return true
}

// sameShape is what the corners of one shape may differ by, mm.
const sameShape = 1e-9
