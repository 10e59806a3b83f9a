package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// ErrorSpread is what the transmission error of a faceted tooth is likely to be,
// peak to peak over its roll, along the line of action, mm. It is no normal
// quantity: the standing teeth cut it off below, so a range is stated.
type ErrorSpread struct {
	Planned   float64 // of the facets as planned, every setting as meant
	Mean      float64
	Standard  float64 // standard uncertainty
	Low, High float64 // 95 of 100 lie between, as many below as above
}

// How finely the spread is worked out: places on the flank, moments of the roll and
// draws (own choice: finer ones change no figure by a twentieth).
const (
	spreadPlaces  = 120
	spreadMoments = 60
	spreadDraws   = 400
	// spreadReach is how far a facet is thought to move at the most, in standard
	// uncertainties, where places that cannot touch are left out.
	spreadReach = 4
)

// spreadRoll is the roll of one tooth with everything that no setting moves worked
// out.
type spreadRoll struct {
	height [][]float64 // of each facet over the true flank, at each place
	lean   [][]float64 // what that grows when the facet moves out by 1
	moment []spreadMoment
}

// spreadMoment is one moment of the roll. All lengths along the line of action.
type spreadMoment struct {
	held   float64 // how far the standing teeth push
	hollow float64 // how far what lies under the facets does
	first  int     // of the places that may touch
	push   []float64
	gain   []float64 // what push grows when the place stands out by 1
}

// ErrorSpread propagates the influences to the transmission error by drawing them
// (JCGM 101:2008), in a fixed set of draws that fills the range of each evenly. The
// facets are those of the +Y flank, which drives. The facets' own shape is part of
// the roll and must not be in list.
func (m Mesh) ErrorSpread(facets []profiles.Facet, list []Influence) (ErrorSpread, error) {
	var s ErrorSpread
	if len(facets) == 0 {
		return s, fmt.Errorf("a flank needs at least one facet")
	}
	var offset, variance float64
	for _, f := range list {
		offset += f.Offset
		variance += f.Right * f.Right * f.standard() * f.standard()
	}
	reach := math.Abs(offset) + spreadReach*math.Sqrt(variance)
	roll, err := m.spreadRoll(facets, reach)
	if err != nil {
		return s, err
	}
	shift, flank := make([]float64, len(facets)), make([]float64, len(roll.height[0]))
	s.Planned = roll.peak(shift, 0, flank)
	even := evenly{rand.New(rand.NewPCG(1, 2)), spreadDraws}
	type column struct {
		of     Influence
		values [][]float64 // one row, or one for each facet
	}
	columns := make([]column, len(list))
	for i, f := range list {
		columns[i].of = f
		n := 1
		if f.Anew {
			n = len(facets)
		}
		for range n {
			columns[i].values = append(columns[i].values, even.draws(f))
		}
	}
	peaks := make([]float64, spreadDraws)
	for k := range peaks {
		common := offset
		for i := range shift {
			shift[i] = 0
		}
		for _, c := range columns {
			if !c.of.Anew {
				common += c.of.Right * c.values[0][k]
				continue
			}
			for i := range shift {
				shift[i] += c.of.Right * c.values[i][k]
			}
		}
		for i := range shift {
			shift[i] += common
		}
		peaks[k] = roll.peak(shift, common, flank)
		s.Mean += peaks[k] / spreadDraws
	}
	for _, p := range peaks {
		s.Standard += (p - s.Mean) * (p - s.Mean) / (spreadDraws - 1)
	}
	s.Standard = math.Sqrt(s.Standard)
	slices.Sort(peaks)
	s.Low, s.High = peaks[spreadDraws/40], peaks[spreadDraws-1-spreadDraws/40]
	return s, nil
}

// evenly draws values so that each equal part of the likelihood has one.
type evenly struct {
	r *rand.Rand
	n int
}

func (e evenly) draws(f Influence) []float64 {
	out := make([]float64, e.n)
	for i, p := range e.r.Perm(e.n) {
		out[i] = f.quantile((float64(p) + e.r.Float64()) / float64(e.n))
	}
	return out
}

// quantile is the value of an influence that the share q of all lie below.
func (f Influence) quantile(q float64) float64 {
	switch f.Spread {
	case Triangular:
		if q < 0.5 {
			return f.Limit * (math.Sqrt(2*q) - 1)
		}
		return f.Limit * (1 - math.Sqrt(2*(1-q)))
	case Normal:
		return f.Limit * math.Sqrt2 * math.Erfinv(2*q-1)
	}
	return f.Limit * (2*q - 1)
}

// peak returns the transmission error peak to peak with each facet moved out by its
// shift, and what lies under them by rest. flank is scratch.
func (r *spreadRoll) peak(shift []float64, rest float64, flank []float64) float64 {
	for k := range flank {
		flank[k] = math.Inf(1)
	}
	for i, x := range shift {
		height, lean := r.height[i], r.lean[i]
		for k, h := range height[:len(flank)] {
			if h += lean[k] * x; h < flank[k] { // quicker than min, which looks for NaN
				flank[k] = h
			}
		}
	}
	high, low := math.Inf(-1), math.Inf(1)
	for i := range r.moment {
		m := &r.moment[i]
		most := max(m.held, m.hollow+rest)
		over, gain := flank[m.first:], m.gain
		for k, push := range m.push {
			if push += gain[k] * over[k]; push > most {
				most = push
			}
		}
		high, low = max(high, most), min(low, most)
	}
	return high - low
}

// spreadRoll works out what no setting moves; reach is how far a facet may move.
func (m Mesh) spreadRoll(facets []profiles.Facet, reach float64) (*spreadRoll, error) {
	layout, err := m.layout()
	if err != nil {
		return nil, err
	}
	mate, err := newMate(m.Mate)
	if err != nil {
		return nil, err
	}
	k := m.kinematics(layout)
	step := m.Tooth.Module / 12
	if k.standing[0], err = m.Neighbours.RightFlank(); err != nil {
		return nil, err
	}
	k.standing[0] = geom.Spaced(k.standing[0], step)
	foot, err := m.Tooth.Foot()
	if err != nil {
		return nil, err
	}
	places, normals := m.places(foot.Norm())
	out := &spreadRoll{}
	tall := out.heights(m.Tooth, facets, places, normals)
	var hollow []geom.Vec
	for _, p := range geom.Spaced(m.Right, step) {
		if p.Norm() < foot.Norm()-geom.Eps {
			hollow = append(hollow, p)
		}
	}
	margin := m.Tooth.Pitch() / 2
	from, to := k.angle(layout.Start)-margin, k.angle(layout.End)+margin
	for i := range spreadMoments {
		theta := from + (to-from)*float64(i)/(spreadMoments-1)
		at := spreadMoment{held: k.held(theta, 0, mate)}
		at.hollow, _ = k.push(theta, hollow, mate, k.nominal(theta))
		at.touching(k, theta, mate, places, normals, 2*reach+tall)
		out.moment = append(out.moment, at)
	}
	return out, nil
}

// places are points of the true +Y flank from where facets begin up to the tip, with
// the flank's normals.
func (m Mesh) places(low float64) (at, normal []geom.Vec) {
	g := m.Tooth
	a, b := g.Roll(low), g.Roll(g.TipRadius())
	for i := range spreadPlaces {
		roll := a + (b-a)*float64(i)/(spreadPlaces-1)
		s, c := math.Sincos(roll - g.BaseHalfAngle())
		at, normal = append(at, g.FlankPoint(roll)), append(normal, geom.Vec{Y: c, Z: s})
	}
	return at, normal
}

// heights works out how high each facet stands over the places, along their normals,
// and returns the greatest height of all facets together.
func (r *spreadRoll) heights(g profiles.Gear, facets []profiles.Facet, places, normals []geom.Vec) (tall float64) {
	least := make([]float64, len(places))
	for k := range least {
		least[k] = math.Inf(1)
	}
	for _, f := range facets {
		s, c := math.Sincos(f.Roll - g.BaseHalfAngle())
		n, d := geom.Vec{Y: c, Z: s}, g.Plane(f.Roll)+f.Offset
		height, lean := make([]float64, len(places)), make([]float64, len(places))
		for k, p := range places {
			lean[k] = 1 / n.Dot(normals[k])
			height[k] = (d - n.Dot(p)) * lean[k]
			least[k] = min(least[k], height[k])
		}
		r.height, r.lean = append(r.height, height), append(r.lean, lean)
	}
	for _, h := range least {
		tall = max(tall, math.Abs(h))
	}
	return tall
}

// touching keeps the places that may touch the mate at a moment: those that push it
// no less than reach under the one that pushes most.
func (s *spreadMoment) touching(k kinematics, theta float64, mate mateFlank, places, normals []geom.Vec, reach float64) {
	want, most := k.nominal(theta), math.Inf(-1)
	push := make([]float64, len(places))
	for i := range places {
		push[i], _ = k.push(theta, places[i:i+1], mate, want)
		most = max(most, push[i])
	}
	if math.IsInf(most, -1) {
		return
	}
	last := len(places) - 1
	for s.first < last && push[s.first] < most-reach {
		s.first++
	}
	for last > s.first && push[last] < most-reach {
		last--
	}
	const out = 0.01 // mm, to see what standing out does
	for i := s.first; i <= last; i++ {
		p := []geom.Vec{places[i].Add(normals[i].Scale(out))}
		more, _ := k.push(theta, p, mate, want)
		gain := 0.0
		if !math.IsInf(push[i], -1) && !math.IsInf(more, -1) {
			gain = (more - push[i]) / out
		}
		s.push, s.gain = append(s.push, push[i]), append(s.gain, gain)
	}
}
