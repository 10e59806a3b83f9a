package job

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
)

// The trial cuts that are planned where the job does not give them, mm: as far
// apart as lets the tight middle grip for sure, from so many of them over the
// slot's width to so much under it. Own rules; two hundredths apart is common
// practice (no source).
const (
	trialFirst = 0.06
	trialOver  = 6 // steps
	trialUnder = 0.02
	trialLeast = 8 // cuts
)

// trialSteps are how far apart trial cuts may be, mm, widest first: what one
// turns on a mill's scale, and at the least what a good one repeats.
var trialSteps = []float64{0.02, 0.01, 0.005}

// mostTrials is the greatest number of trial cuts.
const mostTrials = 40

// trials fills in the trial cuts. The one that slid leaves a play of up to a step,
// and the flanks' roughness flattens: a tight middle of no more than both may not
// grip at all. Where the middle is left to the estimate, which mostly allows
// about 0.02 mm, the step is the least.
func (d *draft) trials() {
	f := &d.job.Fit
	if !d.has("fit.trial_step") {
		f.TrialStep = trialSteps[len(trialSteps)-1]
		for _, s := range trialSteps {
			if t := f.TightMiddle; t == 0 || t != TightBest && t-estimate.Flattening-s > 0 {
				f.TrialStep = s
				break
			}
		}
	}
	if !d.has("fit.trial_first") {
		f.TrialFirst = min(trialFirst, trialOver*f.TrialStep)
	}
	if !d.has("fit.trial_count") {
		n := 1 + int(math.Ceil((f.TrialFirst+trialUnder)/f.TrialStep-1e-9))
		f.TrialCount = min(mostTrials, max(trialLeast, n))
	}
}

// Narrowest is the least width of the insert's neck that its programs cut, mm:
// that of the last trial cut, or the sliding ends'.
func (j *Job) Narrowest() float64 {
	f := &j.Fit
	last := j.Slot.Mouth + f.TrialFirst - float64(f.TrialCount-1)*f.TrialStep
	if f.Width > 0 {
		return min(last, f.Width)
	}
	return last
}

// What must stay of the insert's dovetail at its narrowest: own rules.
const (
	leastWaist = 0.5  // of the slot's mouth
	besideEye  = 0.3  // metal on each side of a lock's hole at the wide end, mm
	skinEye    = 0.05 // and higher up
)

// neckStays refuses trial cuts that leave too little of the insert's dovetail.
func (d *draft) neckStays(m *Job, keys ...string) bool {
	narrow, least, why := m.Narrowest(), leastWaist*m.Slot.Mouth, "half of slot.mouth"
	ways := "fewer or narrower trial cuts leave more"
	if m.Lock.Kind != NoLock {
		top := profiles.DovetailSize{Mouth: narrow, Depth: m.Slot.Depth, HalfAngle: m.Slot.HalfAngle}
		flare := top.Floor() - narrow
		if eye := m.Lock.Point + 2*besideEye - flare; eye > least {
			least, why = eye, "what lock.point leaves of it at its wide end"
			ways = "fewer or narrower trial cuts, or a thinner lock.point, leave more"
		}
		// A hole that goes on up must not come out at the flanks; one that does so in
		// a neck as wide as the slot is the plan's to refuse.
		if eye := m.Lock.Point + 2*skinEye - flare*(1-min(1, m.Lock.PointDepth/m.Slot.Depth)); eye > least && m.Slot.Mouth >= eye {
			least, why = eye, "what lock.point leaves of it where the hole ends"
			ways = "fewer or narrower trial cuts, or a thinner lock.point, leave more"
		}
	}
	if narrow >= least-1e-9 {
		return true
	}
	d.contradict(fmt.Sprintf("the insert would be cut down to %s under the shoulders, where %s is the least: %s; %s", d.mm(narrow), d.mm(upTo(least, 0.001)), why, ways), keys...)
	return false
}
