package answer

import (
	"fmt"
	"io"
	"math"
	"slices"

	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// Touch is what touches on the neighbours of the gap say. What is nil was not
// touched.
type Touch struct {
	Job    *job.Job
	File   bool // the job is a file's, so device and zeros are known
	Gap    measure.Gap
	Paper  float64    // thickness of the paper, mm; 0: none
	Tips   [2]float64 // heights read at the left and the right tip, mm
	Level  *measure.LevelResult
	Sides  *measure.SideResult
	Arbor  *measure.ArborLevel
	Height measure.HeightResult
}

// Data is the touches for JSON.
func (t *Touch) Data() map[string]any {
	h := t.Height
	data := map[string]any{"gear": GearData(t.Gap.Gear), "missing": t.Gap.Missing, "paper_mm": t.Paper,
		"z": map[string]any{"type_for_zero_at_tips_mm": h.TipsZero, "type_for_zero_at_axis_mm": h.AxisZero, "type_for_zero_at_finished_tip_mm": h.FinishZero}}
	if l := t.Level; l != nil {
		data["level"] = map[string]any{"turn_deg": geom.Degrees(l.Turn), "uncertainty_deg": geom.Degrees(l.Residual), "flank_moves_mm": l.FlankCost,
			"axis_height_mm": l.Axis, "tips_level_height_mm": l.TipLevel}
	}
	if a := t.Arbor; a != nil {
		data["level_by_arbor"] = map[string]any{"turn_deg": geom.Degrees(a.Turn), "off_mm": a.Off}
	}
	if r := t.Sides; r != nil {
		causes := []map[string]any{}
		for _, c := range r.Causes {
			causes = append(causes, map[string]any{"cause": c.Text, "amount_mm": c.Amount})
		}
		data["sides"] = map[string]any{"centre_y_mm": r.Centre, "type_at_right_touch_y_mm": r.TypeRight, "type_at_left_touch_y_mm": r.TypeLeft,
			"gap_mm": r.Gap, "expected_gap_mm": r.Expected, "difference_mm": r.Difference, "uncertainty_mm": r.Sigma, "agrees": r.Agrees, "wrong": r.Wrong,
			"corner_over_axis_mm": r.Height, "gap_per_mm_of_depth": r.PerDepth, "causes": causes, "notes": slices.Clone(r.Notes)}
	}
	return data
}

// Print tells the touches, what to turn and what to type.
func (t *Touch) Print(w io.Writer) {
	fmt.Fprintf(w, "%s; standing teeth thinned by %s\n", Gear(t.Gap.Gear), t.Job.Units.Both(t.Gap.Gear.Thinning))
	if t.Level != nil {
		t.printLevel(w)
	}
	if t.Arbor != nil {
		t.printArbor(w)
	}
	if t.Sides != nil {
		t.printSides(w)
	}
	t.printHeight(w)
}

// topToward is the side to which a turn moves the gear's top.
func topToward(turn float64) string {
	if turn < 0 {
		return "-Y (left)"
	}
	return "+Y (right)"
}

// printLevel tells the heights of both tips.
func (t *Touch) printLevel(w io.Writer) {
	l, u := t.Level, t.Job.Units
	fmt.Fprintf(w, "\nLevel: the left tip stands %s over the right.\n", u.Difference(t.Tips[0]-t.Tips[1]))
	if low := t.Job.Gear.TipLow; low != [2]float64{} {
		fmt.Fprintf(w, "  taken for sound they would be %s and %s higher (as_cut.tips); the arbor is surer (--arbor)\n", u.Both(low[0]), u.Both(low[1]))
	}
	if math.Abs(l.Turn) <= l.Residual {
		fmt.Fprintf(w, "  level within what a touch can tell (%.3f degrees)\n", geom.Degrees(l.Residual))
		return
	}
	turn, index := geom.Degrees(l.Turn), &t.Job.Index
	fmt.Fprintf(w, "  turn the gear by %.3f degrees, its top toward %s; sure to %.3f degrees\n", math.Abs(turn), topToward(turn), geom.Degrees(l.Residual))
	switch {
	case !t.File:
	case index.Device == job.Rotary:
		fmt.Fprintf(w, "  at the control: A %+.3f from where it stands, then set A to 0\n", turn*float64(t.Job.Machine.RotarySign))
	case index.Device == job.Head && index.Graduation == 0:
		fmt.Fprintf(w, "  at the head: %.4f turns of the crank\n", math.Abs(turn)/360*float64(index.Ratio))
	}
	fmt.Fprintf(w, "  left undone it would move the new flank by %s; both tips will stand at %s in your heights\n", u.Both(l.FlankCost), u.Both(l.TipLevel))
}

// printArbor tells where the gap stands over the arbor.
func (t *Touch) printArbor(w io.Writer) {
	a := t.Arbor
	fmt.Fprintf(w, "\nLevel by the arbor: the gap's middle stands %s beside the arbor's.\n", t.Job.Units.Difference(a.Off))
	fmt.Fprintf(w, "  turn the gear by %.3f degrees, its top toward %s, touch both flanks again, then take Y0 at the arbor's middle\n", math.Abs(geom.Degrees(a.Turn)), topToward(a.Turn))
}

// printSides tells the touches on both flanks.
func (t *Touch) printSides(w io.Writer) {
	r, u := t.Sides, t.Job.Units
	fmt.Fprintf(w, "\nY: the middle of the gap is at Y %s on the read-out.\n", u.Both(r.Centre))
	fmt.Fprintf(w, "  cutter still at the right touch: type Y %s\n", u.Both(r.TypeRight))
	fmt.Fprintf(w, "  cutter still at the left touch:  type Y %s\n", u.Both(r.TypeLeft))
	fmt.Fprintf(w, "  the gap there is %s and should be %s: off by %s, sure to %s\n", u.Both(r.Gap), u.Both(r.Expected), u.Difference(r.Difference), u.Both(r.Sigma))
	switch {
	case r.Agrees:
		fmt.Fprintln(w, "  that agrees")
	case r.Wrong:
		fmt.Fprintln(w, "  DO NOT CUT: too much for wear or paper. It would be explained by, likeliest first:")
	default:
		fmt.Fprintln(w, "  that is more than a touch is uncertain. It would be explained by, likeliest first:")
	}
	for _, c := range r.Causes {
		fmt.Fprintf(w, "    %s: %s\n", c.Text, u.Both(c.Amount))
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "  warning: %s\n", n)
	}
}

// printHeight tells what Z to type.
func (t *Touch) printHeight(w io.Writer) {
	u, h := t.Job.Units, t.Height
	fmt.Fprintf(w, "\nZ: the cutter's end on a level neighbour's tip, over paper of %s:\n", u.Both(t.Paper))
	for _, z := range []struct {
		zero  job.ZeroHeight
		where string
		mm    float64
	}{
		{job.ZeroNeighbours, "the tips beside the gap", h.TipsZero},
		{job.ZeroAxis, "the gear axis", h.AxisZero},
		{job.ZeroTip, "the finished tip over the repair", h.FinishZero},
	} {
		if !t.File || z.zero == t.Job.Gear.Zero {
			fmt.Fprintf(w, "  with Z0 at %s: type Z %s\n", z.where, u.Both(z.mm))
		}
	}
}
