package answer

import (
	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
	"fmt"
	"io"
	"text/tabwriter"
)

// Fit tells the finishing cut of the insert and what it does to the casting; from
// says what the joint was found from.
func Fit(w io.Writer, units job.Units, f estimate.JointFit, r estimate.FitResult, from []string) {
	fmt.Fprintf(w, "Verdict: %s.\n", r.Verdict)
	for _, l := range from {
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
	line("pressure on the flanks", fmt.Sprintf("%.0f MPa", r.Pressure))
	line("greatest tight middle that is allowed", units.Both(r.LargestTight))
	line("greatest interference, if measured", units.Both(r.Allowed))
	Stresses(w, r.Cases)
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	list(w, "Assumed:", assumptionLines(r.Assumptions))
	list(w, "The stress leaves out:", f.Stress.Limits())
}

// Stresses writes the stress of each case.
func Stresses(w io.Writer, cases []estimate.StressCase) {
	if len(cases) == 0 {
		fmt.Fprintln(w, "Nothing presses on the casting: no interference, no load.")
		return
	}
	fmt.Fprintln(w, "\nGreatest pull in the casting, MPa:")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  case\tfloor\tcorner\tgreatest\twhere\tlimit\tused")
	for _, c := range cases {
		use := fmt.Sprintf("%.0f %%", 100*c.Use)
		if !c.Decides {
			use += ", shown only"
		}
		fmt.Fprintf(t, "  %s\t%.0f\t%.0f\t%.0f\t%s\t%.0f\t%s\n", c.What, c.Floor, c.Corner, c.Greatest.Stress, c.Greatest.What, c.Limit, use)
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

// FitData is the fit for JSON, added to what data has already.
func FitData(f estimate.JointFit, r estimate.FitResult, data map[string]any) map[string]any {
	for k, v := range map[string]any{
		"verdict": r.Verdict.String(), "safe": r.Verdict == estimate.FitSafe, "sliding_mm": f.Sliding, "tight_middle_mouth_mm": r.Mouth, "offset_mm": r.Offset,
		"straight_end_mm": r.StraightEnd, "step_length_mm": r.StepLength, "step_length_at_mouth_mm": r.StepAtMouth,
		"tight_length_planned_mm": r.TightPlanned, "tight_length_left_mm": r.TightLeft,
		"interference_mm": r.Interference, "interference_least_mm": r.Least, "interference_most_mm": r.Most, "strain": r.Strain,
		"pressure_mpa": r.Pressure, "stress": stressData(r.Cases), "allowed_interference_mm": r.Allowed,
		"largest_tight_mm": r.LargestTight, "flattening_mm": r.FlatteningOff, "notes": append([]string{}, r.Notes...), "assumptions": AssumptionData(r.Assumptions),
	} {
		data[k] = v
	}
	return data
}
