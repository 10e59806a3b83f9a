package toolpath

import (
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// indexStep returns the smallest turn of the job's index device and the angle
// its steps are counted from, for the mirrored world of one side. A step of 0
// means that any angle can be set.
func (p *planner) indexStep(side int) (step, zero float64) {
	x := p.Job.Index
	switch x.Device {
	case job.Head:
		return metal.HeadStep(x, p.Flanks.Circle), 0
	case job.Teeth:
		step = p.Job.Gear.Pitch()
		if x.HalfTooth {
			step /= 2
		}
		return step, float64(side) * p.Flanks.Phase
	}
	return 0, 0
}
