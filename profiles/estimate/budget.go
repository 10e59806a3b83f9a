package estimate

import (
	"math"
	"sort"
)

// Spread says how the values of an uncertain setting lie about what is meant.
type Spread int

// The spreads of JCGM 100:2008.
const (
	Rectangular Spread = iota // anywhere within limits +-a: standard uncertainty a / sqrt 3 (4.3.7)
	Triangular                // within +-a, the middle likelier: a / sqrt 6 (4.3.9)
	Normal                    // a is the standard uncertainty itself
)

// Standard returns the standard uncertainty of a value with limits or spread a.
func (s Spread) Standard(a float64) float64 {
	switch s {
	case Triangular:
		return a / math.Sqrt(6)
	case Normal:
		return a
	}
	return a / math.Sqrt(3)
}

// Influence is one thing that moves the flanks: a setting, a size, the cutter's
// spring. Lengths mm, angles rad.
type Influence struct {
	Name   string  // what it is, in words
	Limit  float64 // +- limit of the value, or its standard uncertainty when Spread is Normal; mm or rad
	Spread Spread  // how the value is spread within Limit
	Angle  bool    // the value is an angle, rad
	Source string  // "stated", or where the default comes from
	// Anew says that the value is met anew at every index (a setting of the
	// index device), not once for the whole tooth.
	Anew bool
	// Right and Left are what one unit of the value moves the +Y and the -Y
	// flank along their normals, outward positive: mm a mm, or mm a rad.
	Right, Left float64
	// Offset is what is expected of it on both flanks, outward positive, mm: a
	// systematic part, such as the cutter's mean spring.
	Offset float64
}

// standard is the standard uncertainty of the value.
func (f Influence) standard() float64 { return f.Spread.Standard(f.Limit) }

// Tooth is what a budget needs to know of the tooth as it is cut.
type Tooth struct {
	Right, Left int     // facets of each flank
	FacetError  float64 // greatest metal the facets leave by themselves, mm
	Even        bool    // half of it on, half off; else all of it on
}

// Expected is one line of what to expect: the middle, and the half width that
// holds 95 % of the likely values. mm, outward or thicker positive.
type Expected struct {
	Middle   float64 // the expected value
	Standard float64 // standard uncertainty
	Half     float64 // 95 %
}

// coverage is the half width of 95 % of a normal distribution, in standard
// uncertainties: the sum of several influences is nearly normal (JCGM 100:2008,
// G.2).
const coverage = 1.959963984540054

// Share is the part of one influence in the flank's variance.
type Share struct {
	Influence
	Standard float64 // what it alone does to the flank, mm
	Part     float64 // of the whole variance, 0 to 1
}

// Budget is what to expect of a tooth: JCGM 100:2008, 5.1.2, the root sum of
// squares of sensitivity times standard uncertainty.
type Budget struct {
	Flank     Expected // one facet of the worse flank against the true flank there
	Form      Expected // one facet against the mean of its flank; Middle is the facets' own error
	Thickness Expected // of the tooth, across both flanks
	Place     Expected // of the tooth's middle line, +Y positive; also the pitch error to each neighbour
	Shares    []Share  // of Flank, the greatest first
}

// Budget combines the influences.
func (t Tooth) Budget(list []Influence) Budget {
	var b Budget
	var right, left, form, thick, place float64
	middle := t.FacetError / 2
	if t.Even {
		middle = 0
	}
	facets := Influence{
		Name: "facets", Limit: t.FacetError / 2, Anew: true, Right: 1, Left: 1,
		Offset: middle, Source: "planned",
	}
	b.Thickness.Middle = 0
	all := append([]Influence{facets}, list...)
	n := float64(max(1, min(t.Right, t.Left)))
	for _, f := range all {
		u2 := f.standard() * f.standard()
		r, l := f.Right*f.Right*u2, f.Left*f.Left*u2
		right += r
		left += l
		if f.Anew {
			form += max(r, l) * (1 - 1/n)
			thick += r + l
			place += (r + l) / 4
		} else {
			s, d := f.Right+f.Left, f.Right-f.Left
			thick += s * s * u2
			place += d * d / 4 * u2
		}
		b.Flank.Middle += f.Offset
		b.Thickness.Middle += 2 * f.Offset
	}
	b.Form.Middle = t.FacetError
	worse := max(right, left)
	b.Flank.settle(worse)
	b.Form.settle(form)
	b.Thickness.settle(thick)
	b.Place.settle(place)
	for _, f := range all {
		u := f.standard() * max(math.Abs(f.Right), math.Abs(f.Left))
		s := Share{Influence: f, Standard: u}
		if worse > 0 {
			s.Part = u * u / worse
		}
		b.Shares = append(b.Shares, s)
	}
	sort.SliceStable(b.Shares, func(i, j int) bool { return b.Shares[i].Part > b.Shares[j].Part })
	return b
}

func (e *Expected) settle(variance float64) {
	e.Standard = math.Sqrt(variance)
	e.Half = HalfOf(e.Standard)
}

// HalfOf returns the half width that holds 95 % of the values of a standard
// uncertainty.
func HalfOf(standard float64) float64 { return coverage * standard }

// Half is the half width, mm, that holds 95 % of what the influence alone does
// to the flank.
func (s Share) Half() float64 { return HalfOf(s.Standard) }

// Without returns the standard uncertainty of the flank, mm, with one influence
// measured exactly: what that measurement would gain.
func (b Budget) Without(name string) float64 {
	v := b.Flank.Standard * b.Flank.Standard
	for _, s := range b.Shares {
		if s.Name == name {
			v -= s.Standard * s.Standard
		}
	}
	return math.Sqrt(max(0, v))
}

// showShare is the share of everything else below which the facets' own error
// no longer shows (own rule: a third adds a twentieth to a root sum of
// squares).
const showShare = 1.0 / 3

// Shows returns the facets' error in mm, half on each side of their middle,
// from which they show against all other influences: their error under a third
// of the rest at 95 %.
func Shows(list []Influence) float64 {
	var right, left float64
	for _, f := range list {
		u := f.standard()
		right += f.Right * f.Right * u * u
		left += f.Left * f.Left * u * u
	}
	return showShare * coverage * math.Sqrt(max(right, left))
}
