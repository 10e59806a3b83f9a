package toolpath

import (
	"fmt"

	"cogmend/gcode"
	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// trial plans the trial cuts at the insert's front end.
func (p *planner) trial() error {
	j, d := p.Job, p.Sizes
	dove := p.Dovetail
	if p.bad.err() != nil {
		return nil
	}
	w := p.start(21, TrialProgram, "trial cuts at the front end, to find the sliding size", InsertSetup, j.Insert.TopCut+j.Machine.SafeHeight)
	w.insertHead()
	if j.Fit.Width > 0 {
		w.prog.Skipped = "not needed: the insert's ends are made to the slot as measured (fit.play)"
		return nil
	}
	if !j.Machine.Stops {
		w.prog.Skipped = "each trial cut is tried at a stop, and machine.stops = false"
		return nil
	}
	r := dove.Radius()
	lo, _ := w.ends(r)
	w.tool("trial cuts", dove, j.Insert.Material, profiles.SideCut)
	z := -j.Slot.Depth
	out := d.BlockHalf + r + approach
	last := j.Slot.Mouth + j.Insert.OverSize // what the step before left
	for step := 1; step <= j.Fit.TrialCount; step++ {
		width := p.SlideWidth(step)
		w.pass(0, 0, "step %d, %s under the shoulders", step, p.len(width))
		for _, side := range []float64{1, -1} {
			last := last / 2
			for _, half := range levels(last, width/2, j.Slot.RadialCut) {
				y := side * (half + r)
				cut := func(width float64) {
					w.over(lo, y, z)
					w.near(j.Fit.TrialLength, w.beside(width))
					w.cut(j.Fit.TrialLength, y, z)
					// Away from the work sideways; the way up is then free.
					w.aside(side * out)
				}
				w.sprung((last-half)*j.Slot.Depth, j.Slot.Depth)
				cut(last - half)
				if half == width/2 {
					w.finished(j.Slot.Depth, last-half)
					w.again(j.Slot.Depth, p.jointLimit(), cut)
				}
				last = half
			}
		}
		last = width
		w.stop(fmt.Sprintf("%s Brush off and try the front end by hand: %s. If it starts and slides %s, write %d into fit.step and end here.", gcode.Order{Kind: gcode.TryStep, Number: step}, tryIn(j.Fit.TrialStep), p.len(j.Fit.TrialLength), step))
	}
	w.end()
	return nil
}

// setBack is within what a block can be put back against a stop in the vice, mm
// (common practice, no source).
const setBack = 0.01

// StaysInVice says that the trial cuts are so fine, steps of step mm, that the
// block must not leave the vice between them.
func StaysInVice(step float64) bool { return step/2 < setBack-geom.Eps }

// tryIn is how the slot and the front end come together at a stop: a block put
// back aslant by half a step is cut narrower than its step says.
func tryIn(step float64) string {
	if StaysInVice(step) {
		return "leave the block in the vice, no stop puts it back so near, and bring the gear, or a gauge cut like its slot, to it"
	}
	return "bring a gauge cut like the slot to the block, or put the block back against a stop in the vice so that it stands as before within 0.01 mm"
}

// fit plans the finishing of both dovetail flanks, the middle of one a little
// tight.
func (p *planner) fit() error {
	j, d := p.Job, p.Sizes
	dove := p.Dovetail
	if p.bad.err() != nil {
		return nil
	}
	if j.Fit.Step == 1 && j.Fit.Width == 0 {
		p.Warnings = append(p.Warnings, fmt.Sprintf("the first trial cut slid at once, so the insert may be loose: measure the slot by pins, as '%s' lists them, and enter the reading under [as_cut]", p.Job.Command("gauge")))
	}
	w := p.start(22, FitProgram, "both dovetail flanks to size, one tight in the middle", InsertSetup, j.Insert.TopCut+j.Machine.SafeHeight)
	w.insertHead()
	width, known := p.FitWidth()
	if !known {
		w.prog.Skipped = "fit.step is not known yet: run 21-trial." + w.prog.Ext + ", write the number of the step that slid into the job, and make again"
		if j.Done(string(TrialProgram)) {
			w.prog.Skipped = "fit.step is not known: the trial cuts are done (as_cut); give the number that slid in, or where none did or the first was loose, fit.play and the slot's measured width"
		} else if !j.Machine.Stops {
			w.prog.Skipped = "fit.step is not known yet, and the trial cuts that find it need machine.stops = true"
		}
		return nil
	}
	slide, tight := width/2, p.Tight()
	if front := p.SlideWidth(j.Fit.TrialCount); p.Job.Done(string(TrialProgram)) && front < width-geom.Sliver {
		p.Warnings = append(p.Warnings, fmt.Sprintf("the trial cuts have left the insert's front %s narrower than its ends are made, by %s: it is loose there, and what it lacks is filled with adhesive",
			p.len(j.Fit.TrialLength), p.len(width-front)))
	}
	r := dove.Radius()
	w.tool("finish the dovetail", dove, j.Insert.Material, profiles.SideCut)
	from := d.MouthHalf + j.Insert.OverSize/2 + r
	w.pass(0, 0, "straight flank")
	w.flankCuts(-1, 1, flank{from: from, to: slide + r, z: -j.Slot.Depth, deep: j.Slot.Depth, finish: true})
	w.pass(0, 0, "tight flank, whole length")
	w.flankCuts(1, -1, flank{from: from, to: slide + tight + r, z: -j.Slot.Depth, deep: j.Slot.Depth, finish: true})
	// The leads, from each end inward, leaving sideways away from the flank.
	lo, hi := w.ends(r)
	lead := j.Insert.Over + j.Fit.Lead
	y, z := slide+r, -j.Slot.Depth
	for _, e := range []struct {
		name     string
		from, to float64
	}{{"front", lo, lead}, {"back", hi, d.Length - lead}} {
		w.pass(0, 0, "tight flank, %s lead", e.name)
		last := y + tight
		for _, at := range levels(last, y, j.Slot.RadialCut) {
			cut := func(width float64) {
				w.over(e.from, at, z)
				w.near(e.to, w.beside(width))
				w.cut(e.to, at, z)
				w.aside(d.BlockHalf + r + approach)
			}
			w.sprung((last-at)*j.Slot.Depth, j.Slot.Depth)
			cut(last - at)
			if at == y {
				w.finished(j.Slot.Depth, last-at)
				w.again(j.Slot.Depth, p.jointLimit(), cut)
			}
			last = at
		}
	}
	w.end()
	return nil
}
