package answer

import (
	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// join puts two remarks together.
func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

// Amount writes a value of the estimate in the job's units and in the other.
func Amount(units job.Units, v float64, unit string) string {
	switch unit {
	case "MPa":
		return inOrder(units, fmt.Sprintf("%.1f MPa", v), fmt.Sprintf("%.0f psi", v*job.PSI))
	case "mm":
		return units.Both(v)
	}
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", v, unit))
}

// inOrder puts what is written in the job's units first, the other in brackets.
func inOrder(units job.Units, metric, inch string) string {
	if units == job.Inch {
		metric, inch = inch, metric
	}
	return metric + " (" + inch + ")"
}

// Load tells the estimate of strength, in the job's units first.
func Load(w io.Writer, units job.Units, r estimate.LoadResult) {
	var b strings.Builder
	fmt.Fprintf(&b, "Load: %s. An estimate, not a rating.\n", r.Verdict)
	const newtonPound = 4.4482216152605
	force := func(n float64) string {
		return inOrder(units, fmt.Sprintf("%.0f N", n), fmt.Sprintf("%.0f lbf", n/newtonPound))
	}
	torque := fmt.Sprintf("%.3g N m", r.Torque)
	if units == job.Inch {
		torque = inOrder(units, torque, fmt.Sprintf("%.3g lbf ft", r.Torque/newtonPound/0.3048))
	}
	fmt.Fprintf(&b, "  torque %s, force on the pitch circle %s; with service and velocity factors %s\n", torque, force(r.Tangential), force(r.Design))
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  what\testimate\tallowable\tused\t")
	for _, i := range r.Items {
		bound := "at most "
		if i.AtLeast {
			bound = "at least "
		}
		use := fmt.Sprintf("%.0f %%", 100*i.Use)
		if i.AtLeast {
			use = map[bool]string{true: "there", false: "NOT there"}[i.Use <= 1]
		}
		mark := i.Where
		switch {
		case !i.Decides:
			mark = join(mark, "shown only: the joint does not rest on it")
		case i.Key == r.Worst:
			mark = join(mark, "used most")
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\n", i.What, Amount(units, i.Value, i.Unit), bound+Amount(units, i.Allowable, i.Unit), use, mark)
	}
	t.Flush()
	list(&b, "Allowables are from:", sources(r.Items))
	list(&b, "Assumed:", assumptionLines(units, r.Assumptions))
	list(&b, "Warnings:", r.Warnings)
	list(&b, "Whatever the numbers say:", r.NotFor)
	for l := range strings.Lines(b.String()) {
		fmt.Fprintln(w, strings.TrimRight(l, " \n"))
	}
}

func sources(items []estimate.LoadItem) []string {
	var out []string
	for _, i := range items {
		out = append(out, i.What+": "+i.Source)
	}
	return out
}

// LoadData is the load estimate for JSON.
func LoadData(r estimate.LoadResult) map[string]any {
	items := []map[string]any{}
	for _, i := range r.Items {
		items = append(items, map[string]any{"key": i.Key, "what": i.What, "value": Number(i.Value), "unit": i.Unit, "allowable": i.Allowable,
			"at_least": i.AtLeast, "source": i.Source, "where": i.Where, "use": Number(i.Use), "decides": i.Decides})
	}
	return map[string]any{
		"verdict": r.Verdict, "allowed": r.Carried(), "estimate_not_a_rating": true, "worst": r.Worst, "use": r.Use,
		"torque_nm": r.Torque, "tangential_n": r.Tangential, "design_n": r.Design, "pitch_speed_m_per_s": r.PitchSpeed, "velocity_factor": r.VelocityShare,
		"stress": stressData(r.Cases), "form_factor": r.Y, "neighbour_form_factor": r.YNeighbours, "rim_factor": r.Rim, "backup_ratio": r.BackupRatio, "pull_n": r.Pull,
		"items": items, "assumptions": AssumptionData(r.Assumptions), "warnings": append([]string{}, r.Warnings...), "not_for": append([]string{}, r.NotFor...),
	}
}
