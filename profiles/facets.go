package profiles

import (
	"math"
	"sort"

	"cogmend/profiles/geom"
)

// A flat facet that touches the involute at roll angle phi is the side of a
// plain cutter at y = r_b phi while the gear stands at phi - psi_b; its line
// of touch is at the height r_b. At a roll below the involute's end it goes
// through that end, which is nearer than the tangent of an involute carried on:
// where only some angles can be set, such a facet may serve best. Facets stand
// outside the involute, so what they leave is measured along the involute's
// normals: the greatest of it is at the joints of neighbouring facets and at the
// two ends of the flank.

// FacetSet is a set of facets on one flank, from the root up.
type FacetSet struct {
	Rolls         []float64 // phi of each facet, rad, rising
	GreatestError float64   // greatest metal left outside the flank, mm
}

// faceted is what the best facets depend on: what facets at given rolls leave
// of a flank.
type faceted interface {
	ends() (form, tip float64)  // rolls of the two ends
	least() float64             // least roll of a facet
	footLeft(f float64) float64 // over the lowest point, by the lowest facet
	joint(a, b float64) float64 // where two facets at rolls a < b cross
	crest(f float64) float64    // where the highest facet leaves the tip circle
}

// flank is the involute's.
type flank struct {
	rb        float64
	form, tip float64 // roll angles of the two ends
	ra        float64
}

func (g Gear) flank() (faceted, error) {
	if g.Form != nil {
		return g.flankOf()
	}
	return g.involute()
}

// involute is the flank of a gear without a Form.
func (g Gear) involute() (flank, error) {
	root, err := g.Root()
	return flank{g.BaseRadius(), root.FormRoll, g.Roll(g.TipRadius()), g.TipRadius()}, err
}

func (k flank) ends() (form, tip float64) { return k.form, k.tip }

// least: below the involute's end a facet goes through it; so far under it that
// the next one up leaves no more than a flank does without any.
func (k flank) least() float64 { return k.form - farRoll }

// support is where a facet at roll f stands: r_b f, or below the involute's end
// where that reaches.
func (k flank) support(f float64) float64 {
	if f >= k.form {
		return k.rb * f
	}
	s, c := math.Sincos(k.form - f)
	return k.rb * (k.form*c - s)
}

// footLeft is what a facet at roll f leaves over the involute's lowest point: the
// distance along its normal, r_b ((f - sin d)/cos d - form), d = f - form.
func (k flank) footLeft(f float64) float64 {
	s, c := math.Sincos(f - k.form)
	if !(c > 0) {
		return math.Inf(1)
	}
	return k.rb * ((f-s)/c - k.form)
}

// joint is what two facets at rolls a < b leave where they cross: the point
// (r_b m/cos d, r_b d/sin d) in the frame of their middle roll m, d half
// their difference, taken along the involute's normal through it.
func (k flank) joint(a, b float64) float64 {
	m, d := (a+b)/2, (b-a)/2
	if d < 1e-12 {
		return 0
	}
	s, c := math.Sincos(d)
	if !(c > 0) {
		return math.Inf(1)
	}
	if a >= k.form {
		return k.over(geom.Vec{Y: k.rb * m / c, Z: k.rb * d / s}, m)
	}
	if b <= k.form { // both through the involute's end
		return 0
	}
	// In the frame of a: y = h, and y cos 2d + z sin 2d = r_b b.
	h := k.support(a)
	s, c = math.Sincos(2 * d)
	if !(s > 0) {
		return math.Inf(1)
	}
	return k.over(geom.Vec{Y: h, Z: (k.rb*b - h*c) / s}, a)
}

// crest is what a facet at roll f leaves where it leaves the tip circle.
func (k flank) crest(f float64) float64 {
	y := k.support(f)
	if y >= k.ra {
		return math.Inf(1)
	}
	return k.over(geom.Vec{Y: y, Z: math.Sqrt(k.ra*k.ra - y*y)}, f)
}

// over is the distance of p from the involute along its normal, in the frame
// in which the involute's tangent at roll m is upright on the +Y side.
func (k flank) over(p geom.Vec, m float64) float64 {
	r := p.Norm()
	if r <= k.rb {
		return 0
	}
	return math.Sqrt(r*r-k.rb*k.rb) - k.rb*(m-p.Angle()+math.Acos(k.rb/r))
}

// leftOf returns the greatest metal left by the facets.
func leftOf(k faceted, rolls []float64) float64 {
	if len(rolls) == 0 {
		return math.Inf(1)
	}
	var e float64
	for i := range len(rolls) + 1 {
		e = max(e, leftoverAt(k, rolls, i))
	}
	return e
}

// leftoverAt is what is left under facet 0, at the joint under facet i, or over
// the last one. A facet that touches below the involute's end leaves nothing
// at the foot, one at the tip nothing there.
func leftoverAt(k faceted, rolls []float64, i int) float64 {
	form, tip := k.ends()
	switch {
	case i == 0:
		if rolls[0] <= form {
			return 0
		}
		return k.footLeft(rolls[0])
	case i < len(rolls):
		return k.joint(rolls[i-1], rolls[i])
	case rolls[i-1] >= tip:
		return 0
	}
	return k.crest(rolls[i-1])
}

// Left returns the greatest metal left on a flank of g by facets at the given
// rolls, rising, in mm along the involute's normals.
func (g Gear) Left(rolls []float64) (float64, error) {
	k, err := g.flank()
	if err != nil {
		return 0, err
	}
	return leftOf(k, rolls), nil
}

// climb returns the facets that leave e each, starting from the root: every
// next one as far up as the joint allows. It stops when the tip is reached or
// after most facets; ok says that the tip was reached.
func climb(k faceted, e float64, most int) (rolls []float64, ok bool) {
	form, limit := k.ends()
	at := farthest(form, limit, e, k.footLeft)
	for n := 1; ; n++ {
		rolls = append(rolls, at)
		if at >= limit || k.crest(at) <= e {
			return rolls, true
		}
		if n == most {
			return rolls, false
		}
		from := at
		at = farthest(from, limit, e, func(f float64) float64 { return k.joint(from, f) })
		if !(at > from) {
			return rolls, false
		}
	}
}

// farthest returns the greatest f in [lo, hi] with error(f) <= e, error
// rising from 0 at lo. The error grows about as the square of the way from lo,
// so its root is followed by false position (the Illinois rule: Dowell and
// Jarratt, BIT 11, 1971), which needs a few steps only.
func farthest(lo, hi, e float64, err func(float64) float64) float64 {
	root := math.Sqrt(e)
	over := func(f float64) float64 { return math.Sqrt(max(0, err(f))) - root }
	a, b := -root, over(hi)
	if b <= 0 {
		return hi
	}
	last := 0
	for range 100 {
		f := lo - a*(hi-lo)/(b-a)
		if !(f > lo && f < hi) { // too near to tell, or the error at hi is infinite
			f = (lo + hi) / 2
		}
		if -a <= rootClose*root || f <= lo || f >= hi {
			break
		}
		// An end that stays twice counts half.
		if o := over(f); o <= 0 {
			lo, a = f, o
			if last < 0 {
				b /= 2
			}
			last = -1
		} else {
			hi, b = f, o
			if last > 0 {
				a /= 2
			}
			last = 1
		}
	}
	return lo
}

// rootClose is how near, as a share, the root of an error must come to what is
// asked: as near as its own rounding.
const rootClose = 1e-13

// evenClose is by how much, as a share, errors that are the same may differ.
const evenClose = 1e-9

// MaxFacets is the greatest number of facets a flank may have. More would
// each be thinner than a machine can place them.
const MaxFacets = 200

// BestFacets returns the set of count facets whose greatest error is least:
// all joints and both ends leave the same. count is 1 to MaxFacets.
func (g Gear) BestFacets(count int) (FacetSet, error) {
	k, err := g.flank()
	if err != nil {
		return FacetSet{}, err
	}
	form, tip := k.ends()
	one := leftOf(k, []float64{(form + tip) / 2})
	_, least := geom.Bisect(0, one, one*0x1p-60, func(e float64) bool {
		_, ok := climb(k, e, count)
		return ok
	})
	rolls, _ := climb(k, least, count)
	return FacetSet{rolls, leftOf(k, rolls)}, nil
}

// FewestFacets returns the least number of facets that leave at most tol, and
// of the sets of that number the best. ok is false when MaxFacets are not
// enough.
func (g Gear) FewestFacets(tol float64) (set FacetSet, ok bool, err error) {
	k, err := g.flank()
	if err != nil {
		return FacetSet{}, false, err
	}
	rolls, ok := climb(k, tol, MaxFacets)
	if !ok {
		return FacetSet{rolls, leftOf(k, rolls)}, false, nil
	}
	set, err = g.BestFacets(len(rolls))
	return set, true, err
}

// pickAmong is climb with only the given rolls, rising: each step takes the
// farthest that the error allows.
func pickAmong(k faceted, cands []float64, e float64, most int) ([]float64, bool) {
	form, tip := k.ends()
	pick := func(from int, err func(float64) float64) int {
		n := sort.Search(len(cands)-from, func(i int) bool { return err(cands[from+i]) > e })
		return from + n - 1
	}
	at := pick(0, func(f float64) float64 {
		if f <= form {
			return 0
		}
		return k.footLeft(f)
	})
	if at < 0 {
		return nil, false
	}
	var rolls []float64
	for n := 1; ; n++ {
		rolls = append(rolls, cands[at])
		if cands[at] >= tip || k.crest(cands[at]) <= e {
			return rolls, true
		}
		if n == most {
			return rolls, false
		}
		next := pick(at, func(f float64) float64 { return k.joint(cands[at], f) })
		if next == at {
			return rolls, false
		}
		at = next
	}
}

// usable returns, rising, the rolls whose tangent touches between the lowest
// there is, the involute's on the base circle, and the tip circle.
func usable(k faceted, cands []float64) []float64 {
	least := k.least()
	_, tip := k.ends()
	var use []float64
	for _, c := range cands {
		if c >= least && c <= tip {
			use = append(use, c)
		}
	}
	sort.Float64s(use)
	return use
}

// BestFacetsAmong is BestFacets when only some roll angles can be set. It
// returns fewer than count when more would not help. ok is false when even
// all of them leave the flank open at an end.
func (g Gear) BestFacetsAmong(cands []float64, count int) (set FacetSet, ok bool, err error) {
	k, err := g.flank()
	if err != nil {
		return FacetSet{}, false, err
	}
	use := usable(k, cands)
	if len(use) == 0 {
		return FacetSet{}, false, nil
	}
	lo, hi := 0.0, leftOf(k, use[:1])
	for _, c := range use {
		hi = min(hi, leftOf(k, []float64{c}))
	}
	best, ok := pickAmong(k, use, hi*(1+evenClose), count) // alike ones differ by rounding
	if !ok {
		return FacetSet{}, false, nil
	}
	for range 50 {
		mid := (lo + hi) / 2
		if mid <= lo || mid >= hi {
			break
		}
		if r, ok := pickAmong(k, use, mid, count); ok {
			best = r
			hi = min(mid, leftOf(k, r))
		} else {
			lo = mid
		}
	}
	return FacetSet{best, leftOf(k, best)}, true, nil
}

// FewestFacetsAmong is FewestFacets when only some roll angles can be set.
// When none of their sets keeps the tolerance, it returns the best there is,
// and ok is false.
func (g Gear) FewestFacetsAmong(cands []float64, tol float64) (set FacetSet, ok bool, err error) {
	k, err := g.flank()
	if err != nil {
		return FacetSet{}, false, err
	}
	use := usable(k, cands)
	if len(use) == 0 {
		return FacetSet{}, false, nil
	}
	rolls, reached := pickAmong(k, use, tol, MaxFacets)
	count := len(rolls)
	if !reached {
		count = MaxFacets
	}
	set, found, err := g.BestFacetsAmong(use, max(1, count))
	return set, reached && found, err
}

// Leftovers returns what a set of facets leaves at the foot, at each joint
// from the root up, and at the tip: one more number than facets, mm.
func (g Gear) Leftovers(rolls []float64) ([]float64, error) {
	k, err := g.flank()
	if err != nil || len(rolls) == 0 {
		return nil, err
	}
	out := make([]float64, len(rolls)+1)
	for i := range out {
		out[i] = leftoverAt(k, rolls, i)
	}
	return out, nil
}
