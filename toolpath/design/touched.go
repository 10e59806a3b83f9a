package design

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/copied"
	"cogmend/profiles/geom"
)

// Between says what touches at the given leans of a tooth, rad, would leave unknown
// of its flank: the most that facets at just these leans may leave of any convex
// flank that is so touched, mm, each reading good to limit. The flank is taken as
// the gear has it.
func Between(g profiles.Gear, leans []float64, limit float64) (float64, error) {
	list := make([]copied.Touch, len(leans))
	for i, a := range leans {
		list[i] = copied.Touch{Name: fmt.Sprint(i + 1), Angle: a, Plane: g.Plane(a + g.BaseHalfAngle())}
	}
	f, err := copied.Touches(list, copied.Tooth{TipRadius: g.TipRadius(), RootRadius: g.RootRadius(), Limit: limit})
	if err != nil {
		return math.Inf(1), err
	}
	most := 0.0
	for _, gap := range f.Gaps(g.RootRadius(), g.TipRadius()) {
		most = max(most, gap.Most)
	}
	return most, nil
}

// FewestTouches is how many different leans a flank is copied from at the least:
// two more than must be, for those that may come on the corner of the tip.
const FewestTouches = copied.Least + 2

// Open lists the leans, rad, midway between readings that leave more unknown than a
// tolerance, mm, though each were exact: where to touch again.
func (c *CopiedFlank) Open(root, tip, tolerance float64) []float64 {
	exact := *c.flank
	exact.Limit = 0
	lean := map[string]float64{}
	for _, r := range c.Readings {
		lean[r.Name] = r.Angle
	}
	var out []float64
	for _, g := range exact.Gaps(root, tip) {
		if to, ok := lean[g.To]; ok && g.Most > tolerance {
			out = append(out, (lean[g.From]+to)/2)
		}
	}
	return out
}

// NearInvolute is the standard gear, of one pressure angle, whose base pitch is
// nearest to that of a copied flank. Lengths mm.
type NearInvolute struct {
	Degrees   float64                // pressure angle
	Module    float64                // that the base pitch gives: m = p_b/(pi cos a)
	Standard  profiles.StandardPitch // the nearest size of a series
	Apart     float64                // Module over the standard one, less 1
	Thickness float64                // of the tooth on its pitch circle, by that module
	Thinning  float64                // less than half the circular pitch
}

// Nearest lists the standard gears that a copied flank may be one of, by common
// pressure angles, the nearest first.
func (c *CopiedFlank) Nearest(teeth int) []NearInvolute {
	degrees, modules := c.Modules(teeth)
	var out []NearInvolute
	for i, m := range modules {
		a := geom.Radians(degrees[i])
		n := NearInvolute{Degrees: degrees[i], Module: m, Apart: math.Inf(1)}
		for _, s := range profiles.StandardPitches() {
			if off := m/s.Module - 1; math.Abs(off) < math.Abs(n.Apart) {
				n.Standard, n.Apart = s, off
			}
		}
		n.Thickness = m * float64(teeth) * (c.flank.HalfAngle - profiles.Inv(a))
		n.Thinning = math.Pi*m/2 - n.Thickness
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(a, b NearInvolute) int { return cmp.Compare(math.Abs(a.Apart), math.Abs(b.Apart)) })
	return out
}

// Span returns the leans of the lowest and the highest reading used, and how far two of
// them lie apart on the average, rad.
func (c *CopiedFlank) Span() (first, last, step float64) {
	first, last = math.Inf(1), math.Inf(-1)
	n := 0.0
	for _, r := range c.Readings {
		if r.Left == "" {
			first, last = min(first, r.Angle), max(last, r.Angle)
			n++
		}
	}
	return first, last, (last - first) / (n - 1)
}

// Disagrees returns the reading, of those used, that agrees least with the copy.
func (c *CopiedFlank) Disagrees() (copied.Reading, bool) {
	var worst copied.Reading
	some := false
	for _, r := range c.Readings {
		if r.Left == "" && (!some || math.Abs(r.Rest) > math.Abs(worst.Rest)) {
			worst, some = r, true
		}
	}
	return worst, some
}
