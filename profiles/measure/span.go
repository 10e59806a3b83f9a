package measure

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// Span returns the base tangent length W over k teeth,
//
//	W = m cos a [pi (k - 0.5) + z inv a] + 2 x m sin a - t cos a
//
// (ISO 21771, base tangent length; t the thinning), or an error when the
// anvils would not touch involute flanks.
func Span(g profiles.Gear, k int) (float64, error) {
	if g.Form != nil {
		return 0, errNoSpan
	}
	if k < 1 || k >= g.Teeth {
		return 0, fmt.Errorf("span over %d of %d teeth: not possible", k, g.Teeth)
	}
	w := span(g, k)
	r := math.Hypot(g.BaseRadius(), w/2)
	if r > g.TipRadius() {
		return 0, fmt.Errorf("span over %d teeth would touch at radius %.3f mm, over the tips at %.3f mm", k, r, g.TipRadius())
	}
	root, err := g.Root()
	if err != nil {
		return 0, err
	}
	if r < root.FormRadius {
		return 0, fmt.Errorf("span over %d teeth would touch at radius %.3f mm, under the involute, which ends at %.3f mm", k, r, root.FormRadius)
	}
	return w, nil
}

// span is W by the formula alone.
func span(g profiles.Gear, k int) float64 {
	return float64(k-1)*g.BasePitch() + 2*g.BaseRadius()*g.BaseHalfAngle()
}

// SpanContact returns the radius at which a span over k teeth touches when
// the anvils lie evenly: sqrt(r_b^2 + (W/2)^2).
func SpanContact(g profiles.Gear, k int) float64 { return math.Hypot(g.BaseRadius(), span(g, k)/2) }

// SpanTeeth returns the number of teeth to span: the one whose contact lies
// nearest to the middle of the working flank at r_p + x m. It is an error when
// no span touches the involute.
func SpanTeeth(g profiles.Gear) (int, error) {
	want := g.PitchRadius() + g.Shift*g.Module
	best, off := 0, math.Inf(1)
	// The contact moves outward with k; the first that passes want ends it.
	for k := 1; k < g.Teeth; k++ {
		d := math.Abs(SpanContact(g, k) - want)
		if d > off {
			break
		}
		if _, err := Span(g, k); err == nil {
			best, off = k, d
		}
		if SpanContact(g, k) > g.TipRadius() {
			break
		}
	}
	if best == 0 {
		return 0, fmt.Errorf("no span of this gear touches its involute flanks")
	}
	return best, nil
}

// ThinningFromSpan returns the thinning of a tooth of this gear whose span
// over k teeth measures w: the inverse of Span.
func ThinningFromSpan(g profiles.Gear, k int, w float64) float64 {
	return g.Thinning + (span(g, k)-w)/math.Cos(g.Pressure)
}
