package answer

import (
	"cogmend/profiles/estimate"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"fmt"
	"io"
	"math"
	"text/tabwriter"
)

// Fit tells the finishing cut of the insert and what it does to the casting;
// planned is the tight middle that the job's programs are made with, mm.
func Fit(w io.Writer, j *job.Job, found design.Found, r estimate.FitResult, planned float64) {
	f, units := found.Joint, j.Units
	fmt.Fprintf(w, "Verdict: %s.\n", r.Verdict)
	for _, l := range fitSource(j, found, planned) {
		fmt.Fprintf(w, "  %s\n", l)
	}
	fmt.Fprintf(w, "\nFinishing cut of the insert:\n")
	line := func(what, size string) { fmt.Fprintf(w, "  %-38s %s\n", what, size) }
	line("width under the shoulders, ends", units.Both(f.Sliding))
	line("width under the shoulders, middle", units.Both(r.Mouth))
	line("the tight flank stands proud by", units.Both(r.Offset))
	line("sliding at each end", units.Both(r.StraightEnd))
	line("step spread by the cutter's radius", units.Both(max(r.StepLength, r.StepAtMouth)))
	line("tight as planned, and really", units.Both(r.TightPlanned)+", "+units.Both(r.TightLeft))
	fmt.Fprintf(w, "\nWhat it does to the casting (an estimate, not a rating):\n")
	line("interference", fmt.Sprintf("%s; %s to %s", units.Both(r.Interference), units.Length(r.Least), units.Length(r.Most)))
	line("strain across the dovetail, at most", fmt.Sprintf("%.2f per thousand", 1000*r.Strain))
	line("pressure on the flanks", units.Stress(r.Pressure))
	line("greatest tight middle that is allowed", units.Both(r.LargestTight))
	line("greatest interference, if measured", units.Both(r.Allowed))
	Stresses(w, units, r.Cases)
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	list(w, "Assumed:", assumptionLines(units, r.Assumptions))
	list(w, "The stress leaves out:", f.Stress.Limits())
}

// fitSource says what the joint was found from, and how its tight middle came
// about.
func fitSource(j *job.Job, found design.Found, planned float64) (out []string) {
	f, length := found.Joint, j.Units.Both
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	switch n := found.Step; {
	case n == 1:
		say("from step 1 of the trial cuts: sliding size %s", length(f.Sliding))
		say("the first step slid at once, so the play is not known to be small: begin the trial cuts wider (fit.trial_first)")
	case n > 1:
		say("from step %d of the trial cuts: sliding size %s; step %d did not slide, so the play is under %s", n, length(f.Sliding), n-1, length(f.ClearanceHigh))
	case found.Measured:
		say("as measured: the slot's mouth is %s, the insert slides at %s, with a play of %s", length(j.AsMade().Slot.Mouth), length(f.Sliding), length(f.ClearanceHigh))
	case found.Slot != nil:
		cut := found.Slot
		say("from pins: the slot's mouth is %s (%s against %s), the insert slides at %s", length(cut.Mouth), j.Units.Difference(cut.Over), length(j.Slot.Mouth), length(f.Sliding))
	}
	if math.Abs(f.Tight-planned) > 1e-9 {
		say("so well known, the casting bears a tight middle of %s; the programs are made with %s until the job says fit.tight_middle", length(f.Tight), length(planned))
	}
	if now := found.Insert; now != nil {
		say("the insert is %s under its shoulders now: %s to come off at the ends, %s in the middle", length(now.Mouth), length(now.Over), length(now.Over-f.Tight))
		if now.Over < f.Tight {
			say("that is less than the tight middle needs: this insert is already too narrow for it")
		}
	}
	return out
}

// Stresses writes the stress of each case, in the job's unit first.
func Stresses(w io.Writer, units job.Units, cases []estimate.StressCase) {
	if len(cases) == 0 {
		fmt.Fprintln(w, "Nothing presses on the casting: no interference, no load.")
		return
	}
	unit, cell := "MPa", func(mpa float64) string { return fmt.Sprintf("%.0f", mpa) }
	if units == job.Inch {
		unit, cell = "psi (MPa)", func(mpa float64) string { return fmt.Sprintf("%.0f (%.0f)", mpa*job.PSI, mpa) }
	}
	fmt.Fprintf(w, "\nGreatest pull in the casting, %s:\n", unit)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  case\tfloor\tcorner\tgreatest\twhere\tlimit\tused")
	for _, c := range cases {
		use := fmt.Sprintf("%.0f %%", 100*c.Use)
		if !c.Decides {
			use += ", shown only"
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\n", c.What, cell(c.Floor), cell(c.Corner), cell(c.Greatest.Stress), c.Greatest.What, cell(c.Limit), use)
	}
	t.Flush()
}

// stressData is the cases for JSON.
func stressData(cases []estimate.StressCase) []map[string]any {
	out := []map[string]any{}
	for _, c := range cases {
		out = append(out, map[string]any{"key": c.Key, "what": c.What, "interference_mm": c.Interference, "floor_mpa": c.Floor, "corner_mpa": c.Corner, "hole_mpa": c.Hole,
			"greatest_mpa": c.Greatest.Stress, "where": c.Greatest.What, "at_mm": []float64{c.Greatest.At.Y, c.Greatest.At.Z}, "pressure_mpa": c.Pressure,
			"limit_mpa": c.Limit, "use": c.Use, "decides": c.Decides})
	}
	return out
}

// FitData is the fit for JSON.
func FitData(found design.Found, r estimate.FitResult) map[string]any {
	f := found.Joint
	data := map[string]any{
		"verdict": r.Verdict.String(), "safe": r.Verdict == estimate.FitSafe, "sliding_mm": f.Sliding, "tight_middle_mouth_mm": r.Mouth, "offset_mm": r.Offset,
		"straight_end_mm": r.StraightEnd, "step_length_mm": r.StepLength, "step_length_at_mouth_mm": r.StepAtMouth,
		"tight_length_planned_mm": r.TightPlanned, "tight_length_left_mm": r.TightLeft,
		"interference_mm": r.Interference, "interference_least_mm": r.Least, "interference_most_mm": r.Most, "strain": r.Strain,
		"pressure_mpa": r.Pressure, "stress": stressData(r.Cases), "allowed_interference_mm": r.Allowed,
		"largest_tight_mm": r.LargestTight, "flattening_mm": r.FlatteningOff, "notes": append([]string{}, r.Notes...), "assumptions": AssumptionData(r.Assumptions),
	}
	switch {
	case found.Measured:
		data["sliding_measured"] = true
	case found.Slot == nil:
		data["step"] = found.Step
	default:
		data["slot_mouth_mm"] = found.Slot.Mouth
	}
	if now := found.Insert; now != nil {
		data["insert_mouth_now_mm"], data["insert_to_sliding_mm"], data["insert_to_tight_mm"] = now.Mouth, now.Over, now.Over-f.Tight
	}
	return data
}
