package toolpath

import (
	"fmt"

	"cogmend/toolpath/job"
)

// gearHead states zero and clamping of the gear's programs.
func (w *writer) gearHead() {
	j := w.p.Job
	z := "Z0 at the tips of the two level neighbours of the gap"
	switch low := j.Gear.TipLow; {
	case low[0] > 0:
		z = "Z0 at the tip of the right neighbour; the left one is low"
	case low[1] > 0:
		z = "Z0 at the tip of the left neighbour; the right one is low"
	}
	switch j.Gear.Zero {
	case job.ZeroAxis:
		z = "Z0 at the gear's axis"
	case job.ZeroTip:
		z = "Z0 at the finished tip circle over the repair"
	}
	w.prog.Zero = []string{
		"X0 front face of the gear (least X), Y0 middle of the gap",
		z,
		"A0 the gap at top dead centre, " + levelBy(j),
	}
	if j.Index.Device == job.Head {
		w.prog.Zero[2] += "; come to it with the gear's top going toward -Y, so that the head's backlash lies that way"
	}
	w.prog.Clamp = []string{
		"Gear on its arbor, axis along X, rim supported. Nothing in the way of the holder.",
	}
	if w.prog.Purpose == SlotProgram && j.Lock.Kind != job.NoLock {
		if c := w.p.Drill(j.Lock.RimDrill); c != nil && !w.p.LockHole(c).Blind {
			w.prog.Clamp = append(w.prog.Clamp, fmt.Sprintf("Support the rim on both sides of the gap, not under the lock holes: the drill comes out there, its point %s below the rim.",
				w.p.len(w.p.Sizes.RimInner-w.p.LockHole(c).Tip)))
		}
	}
}

// levelBy says by what the gear is found level.
func levelBy(j *job.Job) string {
	if j.Gear.TipLow != [2]float64{} {
		return "level by the arbor, not by the tips"
	}
	return "both neighbours level"
}
