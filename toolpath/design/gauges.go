package design

import (
	"fmt"

	"cogmend/profiles"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// Limits of slot and insert when no others are asked for, mm: common practice,
// no source.
const (
	UsualWidth = 0.02 // plus on the widths of the slot, minus on those of the insert
	UsualDepth = 0.05 // plus on the slot's depth
)

// Gauging is how the sizes of a repair are to be measured. Lengths mm.
type Gauging struct {
	Width, Depth float64   // tolerances of slot and insert, see UsualWidth and UsualDepth
	Pins         []float64 // diameters to choose from; nil: those one can buy in the job's unit
	Filed        bool      // the tooth is filed to its true flanks
	ToothOnly    bool      // slot and insert are not known
	AsSlot       bool      // nothing was tried: the insert's sliding ends are as wide as the slot
	// Standing is the thinning of the standing teeth where it has been read; nil:
	// the job's.
	Standing *float64
}

// Sheet lists the sizes to measure, and remarks on them.
func (d *Design) Sheet(a Gauging) (*measure.Sheet, []string, error) {
	if a.Pins == nil {
		a.Pins = profiles.StockPins(d.Job.Units == job.Inch)
	}
	tooth, err := d.ToothGauge()
	if err != nil {
		return nil, nil, err
	}
	tooth.Pins = a.Pins
	if a.Standing != nil {
		tooth.Neighbours.Thinning = *a.Standing
	}
	if a.Filed {
		tooth.Facets, tooth.Left, tooth.Low = nil, nil, min(0, tooth.Low)
	}
	var joint *measure.DovetailGauge
	var remarks []string
	if !a.ToothOnly && !d.Job.BuiltUp() {
		joint, remarks = d.jointGauge(a)
	}
	s, err := measure.NewSheet(joint, tooth)
	return s, remarks, err
}

// jointGauge is slot and insert as they are to be measured.
func (d *Design) jointGauge(a Gauging) (g *measure.DovetailGauge, remarks []string) {
	j := d.Job
	step := j.Fit.Step
	slide, known := d.FitWidth()
	switch {
	case a.AsSlot:
		slide = j.Slot.Mouth
	case !known:
		remarks = append(remarks, "the job has no fit.step yet: the insert's sizes are those of the first trial cut")
	}
	insert, slot := d.Joint(), d.Slot()
	insert.Mouth = slide + d.Tight()
	if step > 0 && slide > slot.Mouth+1e-9 {
		// What slid in was that wide.
		slot.Mouth = slide
		remarks = append(remarks, fmt.Sprintf("trial cut %d slid at %s, so the slot must be that wide at least, wider than planned", step, j.Units.Length(slide)))
	}
	g = &measure.DovetailGauge{
		Slot: slot, Insert: insert, Slide: slide, Shoulder: (j.Insert.Body - insert.Mouth) / 2,
		Width: a.Width, Depth: a.Depth, Pins: a.Pins,
	}
	if !a.AsSlot {
		g.Seat = ZeroHeight(&j.Gear, job.ZeroNeighbours) - d.Sizes.Seat
	}
	if step > 0 {
		if most, ok := d.mostOver(step); ok {
			g.MostOver = most
			if insert.Mouth+a.Width-(slot.Mouth-a.Width) > most {
				remarks = append(remarks, fmt.Sprintf("the tight middle may be %s wider than the slot at most (see '%s'): the limits on that side are drawn in", j.Units.Length(most), j.Command("fit")))
			}
		}
	}
	return g, append(remarks, fmt.Sprintf("limits of slot and insert are our own: %s on widths, %s deeper", j.Units.Length(a.Width), j.Units.Length(a.Depth)))
}

// leastOver stands for no room at all where the estimate allows none, mm.
const leastOver = 1e-6

// mostOver is by how much the tight middle may be wider than the slot before
// the estimate of the fit refuses it, mm; step is the trial cut that started.
func (d *Design) mostOver(step int) (float64, bool) {
	f, err := d.ladderFit(step)
	if err != nil {
		return 0, false
	}
	r, err := f.Fit()
	if err != nil {
		return 0, false
	}
	return max(leastOver, r.MostOver), true
}
