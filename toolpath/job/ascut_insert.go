package job

import (
	"fmt"
	"math"
)

// madeInsert fits what is left to do on the insert's dovetail to the slot as
// measured. What has been cut was cut by the design.
func (d *draft) madeInsert(m *Job) bool {
	in, f, c := &m.Insert, &m.Fit, &d.asCut
	was, mouth := d.job.Slot.Mouth, m.Slot.Mouth
	key := "as_cut.slot.mouth"
	if !d.unsaid(m, was != mouth) {
		return false
	}
	if d.has("as_cut.insert.mouth_rough") {
		in.OverSize = c.rough - mouth
	}
	switch {
	case d.has("as_cut.insert.mouth_trial"):
		f.TrialFirst, f.TrialCount = c.trial-mouth, 1
		if f.Step > 0 {
			f.Width = c.trial
		}
	case m.Done(trialWork) && f.Step > 0:
		f.TrialCount = f.Step // the trial ends when one slides
	}
	if d.has("fit.play") {
		f.Width = mouth - d.play
	}
	if d.has("as_cut.insert.mouth_sliding") {
		if over := c.sliding - mouth; over > FlankSeen {
			d.contradict(fmt.Sprintf("the finished insert's ends, %s, are %s wider than the slot: they do not slide but wedge the casting apart. Ways out: take %s off each flank at both ends; or plan the fit again (without fit in as_cut.done and insert.mouth_sliding and mouth_tight)",
				d.mm(c.sliding), d.mm(over), d.mm(over/2)), "as_cut.insert.mouth_sliding")
			return false
		}
		f.Width = min(c.sliding, mouth)
	}
	if !d.neckStays(m, "as_cut.insert.mouth_sliding", "as_cut.insert.mouth_trial", "fit.play", "fit.trial_first", "as_cut.slot.mouth", "as_cut") {
		return false
	}
	slide := f.Width
	if slide == 0 && f.Step > 0 {
		slide = mouth + f.TrialFirst - float64(f.Step-1)*f.TrialStep
	}
	if d.has("as_cut.insert.mouth_tight") {
		if f.TightMiddle = c.tight - slide; slide == 0 || f.TightMiddle < -1e-9 {
			d.contradict(fmt.Sprintf("the tight middle is narrower than the ends (%s): measured in the middle?", d.mm(slide)), "as_cut.insert.mouth_tight")
			return false
		}
		f.TightMiddle = max(0, f.TightMiddle)
	}
	tight := f.TightMiddle
	if tight == TightBest {
		tight = MostTight // it is chosen later, and no more than this
	}
	if m.Done(flushWork) && slide == 0 {
		return true // it is in the gear and holds
	}
	if m.Done(fitWork) {
		if slide == 0 {
			d.contradict("the fit has been cut, to which width? give as_cut.insert.mouth_sliding and mouth_tight", "as_cut.done", "as_cut")
			return false
		}
		return d.madeFit(m, slide+tight)
	}
	neck := mouth + in.OverSize
	if slide == 0 {
		slide = mouth + f.TrialFirst
	}
	if m.Done(insertWork) && neck < slide+tight+1e-9 {
		short := slide + tight - neck
		d.contradict(fmt.Sprintf("the insert was cut %s wide under the shoulders and would have to be %s: %s too narrow. Ways out: a shim of %s (as_cut.shim); another insert (without insert in as_cut.done); less fit.tight_middle",
			d.mm(neck), d.mm(slide+tight), d.mm(short), d.mm(upTo(short*math.Cos(m.Slot.HalfAngle), 0.01))), key, "as_cut.slot.floor", "as_cut.slot.between_pins", "as_cut.done", "as_cut")
		return false
	}
	return true
}

// unsaid refuses work done on the insert for a slot of another width than
// designed when it is not said how wide it was cut: it may have been cut before
// the slot was measured, or after, to the measured width.
func (d *draft) unsaid(m *Job, other bool) bool {
	if !other || m.Done(fitWork) {
		return true
	}
	if m.Fit.Step > 0 && !d.has("as_cut.insert.mouth_trial") {
		text := fmt.Sprintf("step %d was found on trial cuts for a slot of %s or of %s? give as_cut.insert.mouth_trial too, the width of that step under the shoulders, as the program names it", m.Fit.Step, d.mm(d.job.Slot.Mouth), d.mm(m.Slot.Mouth))
		if !d.has("as_cut.insert.mouth_rough") {
			text += ", and as_cut.insert.mouth_rough, how wide the insert stands there behind it"
		}
		d.contradict(text, "fit.step")
		return false
	}
	for _, k := range []struct{ work, key, what string }{
		{insertWork, "as_cut.insert.mouth_rough", "how wide the insert stands under its shoulders now"},
		{trialWork, "as_cut.insert.mouth_trial", "how wide the last trial cut left the front end (its number and width stand in the program)"},
	} {
		if m.Done(k.work) && !d.has(k.key) {
			d.contradict(fmt.Sprintf("the slot is %s wide and not %s, and the program %s has been run: give %s too, %s", d.mm(m.Slot.Mouth), d.mm(d.job.Slot.Mouth), k.work, k.key, k.what),
				"as_cut.done", "as_cut.slot.mouth", "as_cut.slot.between_pins", "as_cut.slot.floor", "as_cut")
			return false
		}
	}
	return true
}

// madeFit refuses a finished insert that does not hold.
func (d *draft) madeFit(m *Job, tight float64) bool {
	if loose := m.Slot.Mouth - tight; loose > 0 && m.Fit.TightMiddle >= 0 {
		d.contradict(fmt.Sprintf("the finished insert's tight middle, %s, is %s narrower than the slot: it has no grip. Ways out: a shim of %s (as_cut.shim); another insert (without insert, trial and fit in as_cut.done)",
			d.mm(tight), d.mm(loose), d.mm(upTo((loose+0.01)*math.Cos(m.Slot.HalfAngle), 0.01))), "as_cut.insert.mouth_tight", "as_cut.insert.mouth_sliding", "as_cut.slot.mouth", "as_cut")
		return false
	}
	return true
}
