package measure

import (
	"cmp"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// hypothesis is one candidate while its shift and thinning are sought.
type hypothesis struct {
	gear  profiles.Gear
	pitch profiles.StandardPitch
	sys   system
	chi   float64 // readings and spread of the unknowns
	score float64 // chi less twice the log of how common the system is
}

func newHypothesis(teeth int, p profiles.StandardPitch, s system) hypothesis {
	rack, _ := profiles.RackFor(s.rack, p.Module)
	return hypothesis{
		gear:  profiles.Gear{Teeth: teeth, Module: p.Module, Pressure: geom.Radians(s.pressure), Rack: rack},
		pitch: p,
		sys:   s,
	}
}

func (f *hypothesis) weight() float64 { return f.sys.weight * seriesWeight[f.pitch.Series] }

// predict returns what reading r would be on gear g, or NaN when g cannot
// give it.
func predict(g profiles.Gear, r Reading) float64 {
	switch r.Kind {
	case OutsideDiameter:
		if g.Teeth%2 == 0 {
			return 2 * g.TipRadius()
		}
		// One jaw lies on a tip land, the other on the inner corners of the
		// two tips opposite.
		return g.TipRadius() * (1 + math.Cos(g.Pitch()/2-max(0, g.HalfAngle(g.TipRadius()))))
	case RootDiameter:
		return 2 * g.RootRadius()
	case WholeDepth:
		return g.WholeDepth()
	case SpanSize:
		return span(g, r.Teeth)
	case PinSize:
		p, err := pinPlace(g, r.Pin)
		if err != nil {
			return math.NaN()
		}
		return p.Over
	case CentreDistance:
		return g.PitchRadius() + g.Module*(float64(r.Teeth)/2+g.Shift)
	}
	return math.NaN()
}

// spread returns the uncertainty of a reading with the model's own.
func spread(g profiles.Gear, r Reading) float64 {
	m := g.Module
	switch r.Kind {
	case OutsideDiameter:
		return math.Hypot(r.Sigma, blankSigma*m)
	case RootDiameter, WholeDepth:
		return math.Hypot(r.Sigma, depthSigma*m)
	case CentreDistance:
		return math.Hypot(r.Sigma, mateSigma*m)
	}
	return math.Hypot(r.Sigma, pitchSigma+pitchSigmaM*m)
}

// chiSquare of the readings and of the spread of shift and thinning.
func chiSquare(g profiles.Gear, readings []Reading) float64 {
	x, t := g.Shift/shiftSigma, g.Thinning/(wearSigma*g.Module)
	sum := x*x + t*t
	for _, r := range readings {
		d := (r.Value - predict(g, r)) / spread(g, r)
		sum += d * d
	}
	return sum
}

// solve finds the bounded shift and thinning of least chi-square by Gauss and
// Newton's method, and says whether the gear can give the readings at all. The
// predictions are all but linear in both, so few steps are needed.
func (f *hypothesis) solve(readings []Reading) bool {
	const step = 1e-4 // modules, for the derivatives
	g := f.gear
	m := g.Module
	limit := func(v, lo, hi float64) float64 { return min(max(v, lo), hi) }
	for range 4 {
		// Normal equations for the changes dx (modules) and dt (modules).
		var xx, xt, tt, bx, bt float64
		for _, r := range readings {
			p, s := predict(g, r), spread(g, r)
			gx, gt := g, g
			gx.Shift += step
			gt.Thinning += step * m
			jx, jt := (predict(gx, r)-p)/step/s, (predict(gt, r)-p)/step/s
			d := (r.Value - p) / s
			xx, xt, tt = xx+jx*jx, xt+jx*jt, tt+jt*jt
			bx, bt = bx+jx*d, bt+jt*d
		}
		x, t := g.Shift, g.Thinning/m
		xx, bx = xx+1/(shiftSigma*shiftSigma), bx-x/(shiftSigma*shiftSigma)
		tt, bt = tt+1/(wearSigma*wearSigma), bt-t/(wearSigma*wearSigma)
		det := xx*tt - xt*xt
		if !(det > 0) {
			return false
		}
		nx, nt := x+(bx*tt-bt*xt)/det, t+(bt*xx-bx*xt)/det
		// When thinning strikes its bound it stays there, and the shift is
		// sought alone, and the other way round.
		if nt < 0 || nt > wearLimit {
			nt = limit(nt, 0, wearLimit)
			nx = x + (bx-xt*(nt-t))/xx
		}
		if math.Abs(nx) > shiftLimit {
			nx = limit(nx, -shiftLimit, shiftLimit)
			nt = limit(t+(bt-xt*(nx-x))/tt, 0, wearLimit)
		}
		g.Shift, g.Thinning = nx, nt*m
		if math.Abs(nx-x)+math.Abs(nt-t) < 1e-7 {
			break
		}
	}
	f.gear = g
	f.chi = chiSquare(g, readings)
	f.score = f.chi - 2*math.Log(f.weight())
	return !math.IsNaN(f.chi) && f.possible(readings)
}

// possible says whether the fitted tooth is not pointed and whether the spans
// touch flanks: anvils that pass over the tips read no span. The slack lets
// a gear with a turned-down blank through.
func (f *hypothesis) possible(readings []Reading) bool {
	g := f.gear
	for _, r := range readings {
		if r.Kind == SpanSize && SpanContact(g, r.Teeth) > g.TipRadius()+0.2*g.Module {
			return false
		}
	}
	return g.HalfAngle(g.TipRadius()) > 0
}

func (f *hypothesis) candidate(readings []Reading, confidence float64) Candidate {
	c := Candidate{
		Gear: f.gear, Pitch: f.pitch, AlsoRacks: f.sys.also, ChiSquare: f.chi,
		Chance: chiSquareTail(f.chi, len(readings)), Weight: f.weight(), Confidence: confidence,
	}
	for _, r := range readings {
		p := predict(f.gear, r)
		c.Misfits = append(c.Misfits, Misfit{r, p, r.Value - p, (r.Value - p) / spread(f.gear, r)})
	}
	return c
}

// furtherReadings returns the measurements one might still make, the one that
// separates a and b best first. The separation is what is left after the other
// candidate has been fitted to the new reading too.
func furtherReadings(a, b *hypothesis, readings []Reading) []Further {
	var out []Further
	for _, r := range possibleReadings(a.gear, b.gear) {
		va, vb := predict(a.gear, r), predict(b.gear, r)
		if math.IsNaN(va) || math.IsNaN(vb) {
			continue
		}
		apart := min(pull(b, r, va, readings), pull(a, r, vb, readings))
		r.Value = va
		out = append(out, Further{r, vb, apart})
	}
	slices.SortStableFunc(out, func(x, y Further) int { return cmp.Compare(y.Apart, x.Apart) })
	return out
}

// pull returns by how many sigma candidate f would fit worse after reading r
// came out as v.
func pull(f *hypothesis, r Reading, v float64, readings []Reading) float64 {
	r.Value = v
	more := *f
	if !more.solve(append(slices.Clone(readings), r)) {
		return math.Inf(1)
	}
	return math.Sqrt(max(0, more.chi-f.chi))
}

// possibleReadings lists what one could measure on either gear.
func possibleReadings(a, b profiles.Gear) []Reading {
	out := []Reading{
		{Kind: OutsideDiameter, Sigma: VernierSigma},
		{Kind: RootDiameter, Sigma: VernierSigma},
		{Kind: WholeDepth, Sigma: VernierSigma},
	}
	k, err := SpanTeeth(a)
	if err == nil {
		for _, n := range []int{k - 1, k, k + 1} {
			_, err1 := Span(a, n)
			_, err2 := Span(b, n)
			if err1 == nil && err2 == nil {
				out = append(out, Reading{Kind: SpanSize, Teeth: n, Sigma: MicrometerSigma})
			}
		}
	}
	for _, inchSizes := range []bool{false, true} {
		p, ok := BestGearPin(a, profiles.StockPins(inchSizes))
		if !ok {
			continue
		}
		if _, err := OverPins(b, p.Pin); err == nil {
			out = append(out, Reading{Kind: PinSize, Pin: p.Pin, Sigma: MicrometerSigma})
		}
	}
	return out
}
