package profiles

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
)

// Facet is one flat of a faceted flank.
type Facet struct {
	Roll   float64 // roll angle of the involute at the point it is parallel to, rad
	Offset float64 // how far outside the involute's tangent it stands, mm; negative: inside
}

// FacetsAt returns facets at the given rolls, all with one offset: 0 for
// facets that touch the involute.
func FacetsAt(rolls []float64, offset float64) []Facet {
	out := make([]Facet, len(rolls))
	for i, phi := range rolls {
		out[i] = Facet{phi, offset}
	}
	return out
}

// line is a facet in the frame of the tooth centred on +Z: the points p with
// p . n = d.
type line struct {
	n geom.Vec
	d float64
}

// facetLine: the facet at roll phi stands upright at the flank's support, y =
// r_b phi for an involute, when the tooth leans phi - psi_b.
func (g Gear) facetLine(f Facet) line {
	return line{g.normalAt(f.Roll), g.Plane(f.Roll) + f.Offset}
}

// normalAt is the outward normal of the flank at a roll, tooth centred on +Z.
func (g Gear) normalAt(roll float64) geom.Vec {
	s, c := math.Sincos(roll - g.BaseHalfAngle())
	return geom.Vec{Y: c, Z: s}
}

func (a line) meet(b line) (geom.Vec, bool) {
	det := a.n.Cross(b.n)
	if math.Abs(det) < 1e-12 {
		return geom.Vec{}, false
	}
	return geom.Vec{Y: (a.d*b.n.Z - b.d*a.n.Z) / det, Z: (b.d*a.n.Y - a.d*b.n.Y) / det}, true
}

// at returns the point of the line at radius r, on its upper side.
func (a line) at(r float64) (geom.Vec, bool) {
	h := r*r - a.d*a.d
	if h < 0 {
		return geom.Vec{}, false
	}
	up := geom.Vec{Y: -a.n.Z, Z: a.n.Y}
	return a.n.Scale(a.d).Add(up.Scale(math.Sqrt(h))), true
}

// FacetedFlank returns the +Y flank of a tooth centred on +Z made of flat
// facets with rising rolls: from the tip circle down over the joints to the
// form circle, and from there as RightFlank goes on, fillet and root.
func (g Gear) FacetedFlank(facets []Facet) ([]geom.Vec, error) {
	if len(facets) == 0 {
		return nil, fmt.Errorf("a flank needs at least one facet")
	}
	root, err := g.Root()
	if err != nil {
		return nil, err
	}
	full, err := g.RightFlank()
	if err != nil {
		return nil, err
	}
	k := len(facets)
	top, ok := g.facetLine(facets[k-1]).at(g.TipRadius())
	if !ok {
		return nil, fmt.Errorf("facet %d at roll %.4f does not cross the tip circle", k, facets[k-1].Roll)
	}
	pts := []geom.Vec{top}
	for i := k - 1; i > 0; i-- {
		p, ok := g.facetLine(facets[i]).meet(g.facetLine(facets[i-1]))
		if !ok || facets[i].Roll <= facets[i-1].Roll {
			return nil, fmt.Errorf("facets %d and %d do not cross: their rolls must rise", i, i+1)
		}
		pts = append(pts, p)
	}
	low := root.FormRadius
	if g.Form != nil { // a hollow under the facets is cut as the root is
		foot, err := g.Foot()
		if err != nil {
			return nil, err
		}
		low = foot.Norm()
	}
	if foot, ok := g.facetLine(facets[0]).at(low); ok {
		pts = append(pts, foot)
	}
	for _, p := range full {
		if p.Norm() < low-geom.Eps {
			pts = append(pts, p)
		}
	}
	return pts, nil
}

// HalfWidthAt returns the Y of a flank, given from the tip down, at height z.
func HalfWidthAt(flank []geom.Vec, z float64) (float64, bool) {
	for i := 1; i < len(flank); i++ {
		a, b := flank[i-1], flank[i]
		if b.Z <= z && z <= a.Z && a.Z > b.Z {
			return b.Lerp(a, (z-b.Z)/(a.Z-b.Z)).Y, true
		}
	}
	return 0, false
}

// Support returns how far the flank's points not below the form radius reach
// along the normal of the involute at roll phi; for the involute itself it is
// r_b phi.
func (g Gear) Support(flank []geom.Vec, form, phi float64) float64 {
	n := g.normalAt(phi)
	most := math.Inf(-1)
	for _, p := range flank {
		if p.Norm() >= form-geom.Eps {
			most = max(most, p.Dot(n))
		}
	}
	return most
}
