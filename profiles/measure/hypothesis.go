package measure

import (
	"cmp"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// How Identify weighs what was not measured. All are own rules, but where a
// source stands beside.
const (
	plainShare    = 0.7   // of gears made to the standard, without profile shift
	plainSigma    = 0.02  // of their profile shift: backlash cut in, modules
	shiftSigma    = 0.3   // of the profile shift of the others, modules
	shiftLimit    = 1.2   // its greatest amount, modules
	cutTip        = 0.04  // by how much tips of shifted pairs are shortened, on the radius, modules: the middle of
	cutTipSigma   = 0.04  // 0 to 0.1, which ISO 21771 gives for sums of shifts to 0.8 and of counts from 40 (tip alteration; formula from memory)
	blankSigma    = 0.015 // of the tip circle's radius, modules
	depthSigma    = 0.03  // cutters are fed deeper for backlash, modules
	usualShare    = 0.8   // of gears worn as usual
	wearSigma     = 0.05  // of their thinning, which is not negative, modules
	wornSigma     = 0.2   // of the thinning of the others
	wearLimit     = 0.5   // its greatest amount, modules
	mateSigma     = 0.15  // the mate's unknown shift, modules
	pitchSigma    = 0.008 // pitch error in a span, mm, and
	pitchSigmaM   = 0.001 // in modules beside it
	formSigmaM    = 0.004 // flanks off the involute where a chord is read, modules
	freeShare     = 0.25  // of gears of no standard at all
	oddAngleShare = 0.05  // of gears of a standard size with a pressure angle of their own
	freeSize      = 3.0   // middle of their modules, mm
	freeSizeLog   = 1.2   // and spread of the log of them
	freeAngle     = 19.0  // middle of their pressure angles, degrees
	freeAngleDev  = 4.0   // and spread
	freeHeight    = 0.12  // spread of addendum and dedendum about 0.95 and 1.2, modules
	chanceLimit   = 1e-4  // below this chance the readings do not fit
	tieLimit      = 2.0   // likelihood ratio under which two candidates are a tie
	separateGood  = 2.0   // sigma by which a further reading separates well
)

// identifyAssumptions says so in words.
func identifyAssumptions() []profiles.Assumption {
	own := func(name string, value float64, unit string) profiles.Assumption {
		return profiles.Assumption{Name: name, Value: value, Unit: unit, Source: profiles.OwnRule}
	}
	return []profiles.Assumption{
		own("share of gears that are none of the list, before any reading", freeShare+oddAngleShare, ""),
		own("share of gears without profile shift", plainShare, ""),
		own("spread of the profile shift of the others", shiftSigma, "modules"),
		{Name: "shortening of their tips", Value: cutTip, Unit: "modules", Source: "tip alteration of ISO 21771 for usual shifts; formula from memory"},
		own("spread of the thinning by wear and backlash, never negative", wearSigma, "modules"),
		own("and of one gear in five, worn more", wornSigma, "modules"),
		own("spread of the tip circle's radius", blankSigma, "modules"),
		own("spread of the depth of cut", depthSigma, "modules"),
		own("spread of the mate's profile shift", mateSigma, "modules"),
		{Name: "pitch error of the teeth in a span", Value: pitchSigma, Unit: "mm, and 0.001 modules", Source: "own rule, about half the single pitch deviation of ISO 1328-1:1995 grade 9"},
	}
}

// system is a tooth system and how common it is among old machines.
type system struct {
	rack     string
	also     []string // racks of the same heights, which no reading tells apart
	pressure float64
	weight   float64
	fineOnly bool
}

var isoHeights = []string{"iso-a", "iso-b", "iso-c"}

var systems = []system{
	{"old-full-depth", nil, 14.5, 1, false},
	{"full-depth", isoHeights, 14.5, 0.3, false},
	{"full-depth", isoHeights, 20, 1, false},
	{"old-full-depth", nil, 20, 0.5, false},
	{"iso-d", nil, 20, 0.3, false},
	{"fine-pitch", nil, 20, 1, true},
	{"stub", nil, 20, 0.3, false},
	{"full-depth", isoHeights, 25, 0.3, false},
	// 15 and 22.5 degrees exist on old machines; common practice, no source.
	{"full-depth", isoHeights, 15, 0.2, false},
	{"old-full-depth", nil, 15, 0.2, false},
	{"full-depth", isoHeights, 22.5, 0.15, false},
	{"stub", nil, 22.5, 0.05, false},
}

// seriesWeight is how common a size of a series is.
var seriesWeight = map[string]float64{"I": 1, "DP": 1, "II": 0.5, "old DP": 0.5, "odd": 0.1}

// manner is one way in which gears of a kind differ from the standard: how
// many do, and what is held of their unknowns.
type manner struct {
	share float64
	belief
}

// manners are those of standard gears, or with first under uShift of gears whose
// module or pressure angle is unknown too: made plain, or as one of a pair with
// shifted profiles, and worn as usual or more.
func manners(first int) []manner {
	var out []manner
	for _, wear := range []struct{ share, sigma float64 }{{1 - usualShare, wornSigma}, {usualShare, wearSigma}} {
		plain := guess{uShift: plainSigma, uTip: blankSigma, uRoot: depthSigma, uThin: wear.sigma}
		shifted := guess{uShift: shiftSigma, uTip: math.Hypot(blankSigma, cutTipSigma), uRoot: depthSigma, uThin: wear.sigma}
		out = append(out,
			manner{(1 - plainShare) * wear.share, belief{first: first, mean: guess{uTip: -cutTip}, sd: shifted}},
			manner{plainShare * wear.share, belief{first: first, sd: plain}})
	}
	return out
}

// listManners are those of standard gears, the widest first.
var listManners = manners(uShift)

// hypothesis is a gear of the list, fitted to the readings.
type hypothesis struct {
	base   base
	pitch  profiles.StandardPitch
	sys    *system
	weight float64 // how common it is
	best   *fitted // in the likeliest of its manners
	most   float64 // log of the share of that and of its evidence
	score  float64 // the same of all manners together
}

// standards are the gears of the list without their fits, and the sum of their
// weights.
func standards(teeth int) (list []hypothesis, total float64) {
	pitches := profiles.StandardPitches()
	list = make([]hypothesis, 0, len(pitches)*len(systems))
	for i := range systems {
		s := &systems[i]
		a := angleOf(geom.Radians(s.pressure))
		rack, _ := profiles.RackByName(s.rack)
		for _, p := range pitches {
			if s.fineOnly {
				if p.Diametral < 20 {
					continue
				}
				rack, _ = profiles.RackFor(s.rack, p.Module)
			}
			h := hypothesis{base: base{teeth, p.Module, a, rack}, pitch: p, sys: s, weight: s.weight * seriesWeight[p.Series]}
			list, total = append(list, h), total+h.weight
		}
	}
	return list, total
}

// hopeless is how many times its widest spread a reading may lie off before a
// gear is not looked at.
const hopeless = 7

// widest is the spread of a reading among gears of one module and pressure
// angle, in modules; roughly, and rather too large.
var widest = [...]float64{
	OutsideDiameter: 0.6, RootDiameter: 0.6, WholeDepth: 0.1, SpanSize: 0.35, PinSize: 0.8, CentreDistance: 0.4, ChordSize: 0.4, TouchStep: 0.01,
}

// near says whether a gear is worth a fit.
func (b *base) near(readings []Reading) bool {
	s := b.at(&guess{})
	for i := range readings {
		r := &readings[i]
		p, _ := s.read(r)
		if math.Abs(r.Value-p) > hopeless*(r.spread(s.module)+widest[r.Kind]*s.module) {
			return false
		}
	}
	return true
}

// weigh fits the gear in one manner and adds its evidence.
func (h *hypothesis) weigh(readings []Reading, m *manner) {
	f := &fitted{}
	if !f.fit(&h.base, &m.belief, readings) {
		return
	}
	score := math.Log(h.weight*m.share) + f.evidence
	if h.score = logSum(h.score, score); score > h.most {
		h.most, h.best = score, f
	}
}

// candidate is the hypothesis as it is told: share is its chance.
func (h *hypothesis) candidate(readings []Reading, share float64) Candidate {
	c := Candidate{
		Gear: h.best.gear(), Pitch: h.pitch, AlsoRacks: h.sys.also, ChiSquare: h.best.chi,
		Chance: chiSquareTail(h.best.chi, len(readings)), Weight: h.weight, Confidence: share,
	}
	// Against the gear with its fitted shift, thinning and shortened tips, but
	// with the blank and the depth of the standard.
	at := h.best.at
	if at[uRoot] = 0; h.best.belief.mean[uTip] == 0 {
		at[uTip] = 0
	}
	at[uTip] = min(at[uTip], 0)
	c.TipCut = -at[uTip] * h.base.module
	s := h.base.at(&at)
	for _, r := range readings {
		p, slope := s.read(&r)
		spread := math.Hypot(r.spread(s.module), math.Hypot(slope[uTip]*blankSigma, slope[uRoot]*depthSigma))
		c.Misfits = append(c.Misfits, Misfit{r, p, r.Value - p, (r.Value - p) / spread})
	}
	return c
}

// furtherReadings returns the measurements one might still make, the one that
// separates a and b best first: by how far apart the two foresee it, beside how
// surely they do.
func furtherReadings(a, b *hypothesis) []Further {
	var out []Further
	for _, r := range possibleReadings(a.best.gear(), b.best.gear()) {
		va, sa := a.best.foreseen(r)
		vb, sb := b.best.foreseen(r)
		if apart := math.Abs(va-vb) / max(sa, sb); !math.IsNaN(apart) {
			r.Value = va
			out = append(out, Further{r, vb, apart})
		}
	}
	slices.SortStableFunc(out, func(x, y Further) int { return cmp.Compare(y.Apart, x.Apart) })
	return out
}

// flanksApart is the farthest that the flanks of two fitted gears stand from each
// other, along the arc, where both have an involute and teeth.
func flanksApart(a, b *hypothesis) float64 {
	const steps = 20
	sa, sb := a.base.at(&a.best.at), b.base.at(&b.best.at)
	from, to := max(sa.base, sb.base, sa.root, sb.root), min(sa.tip, sb.tip)
	most := 0.0
	for i := range steps + 1 {
		r := from + (to-from)*float64(i)/steps
		ha, _ := sa.flank(r)
		hb, _ := sb.flank(r)
		most = max(most, r*math.Abs(ha-hb))
	}
	return most
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
