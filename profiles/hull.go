package profiles

import (
	"math"

	"cogmend/profiles/geom"
)

// The leftovers of facets on any convex flank, by its support function: a facet
// is one tangent, so what two of them leave at their crossing X is how far X
// stands out of all tangents between, max (X . n - h); at the foot it is the
// distance along the foot's normal, at the tip that of the place where the
// facet leaves the tip circle.

func (b *builtFlank) ends() (form, tip float64) { return b.low, b.tip }

func (b *builtFlank) footLeft(f float64) float64 {
	c := math.Cos(f - b.low)
	if !(c > 0) {
		return math.Inf(1)
	}
	return max(0, (b.support(f).H-b.rest.Dot(normal(f)))/c)
}

func (b *builtFlank) joint(lower, upper float64) float64 {
	d := upper - lower
	if d < 1e-12 {
		return 0
	}
	s, c := math.Sincos(d)
	if !(c > 0) {
		return math.Inf(1)
	}
	// In the frame of the lower facet: y = h0, and y cos d + z sin d = h1.
	h0, h1 := b.support(lower).H, b.support(upper).H
	x := normal(lower).Scale(h0).Add(normal(lower + math.Pi/2).Scale((h1 - h0*c) / s))
	return b.over(x, lower, upper)
}

func (b *builtFlank) crest(f float64) float64 {
	h := b.support(f).H
	if h >= b.ra {
		return math.Inf(1)
	}
	x := normal(f).Scale(h).Add(normal(f + math.Pi/2).Scale(math.Sqrt(b.ra*b.ra - h*h)))
	return b.over(x, f, b.tip+farRoll/4)
}

// over is how far a point stands out of the tangents at rolls between lo and
// hi: the greatest X . n - h, by Newton's method on its derivative.
func (b *builtFlank) over(x geom.Vec, lo, hi float64) float64 {
	at := (lo + hi) / 2
	if hi-lo > 0.2 {
		at = lo
	}
	value := func(roll float64) (out, slope, bend float64) {
		n, s := normal(roll), b.support(roll)
		out = x.Dot(n) - s.H
		return out, x.Dot(geom.Vec{Y: -n.Z, Z: n.Y}) - s.Slope, -out - s.Rho
	}
	l, h := lo, hi
	for range 60 {
		_, slope, bend := value(at)
		if slope > 0 {
			l = at
		} else {
			h = at
		}
		next := at - slope/bend
		if !(bend < 0) || !(next > l && next < h) {
			next = (l + h) / 2
		}
		if math.Abs(next-at) < 1e-12 {
			break
		}
		at = next
	}
	out, _, _ := value(at)
	return max(0, out)
}

// least: a facet under the lowest roll goes through the lowest point, where the
// fillet begins; not so where the flank goes on hollow, which such a facet would
// not clear.
func (b *builtFlank) least() float64 {
	if b.hollow {
		return b.low
	}
	return b.low - farRoll
}
