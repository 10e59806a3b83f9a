package answer

import (
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// Items prints a part of the sheet, the job's unit first.
func Items(w io.Writer, heading string, items []measure.GaugeItem, units job.Units) {
	fmt.Fprintf(w, "\n%s:\n", heading)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if units == job.Inch {
		fmt.Fprintln(t, "  name\twith\texpect in\tlimits in\texpect mm\tlimits mm")
	} else {
		fmt.Fprintln(t, "  name\twith\texpect mm\tlimits mm\texpect in\tlimits in")
	}
	var notes []string
	for _, i := range items {
		mm, inches := []string{"-", "-"}, []string{"-", "-"}
		if i.Nominal != 0 {
			mm[0], inches[0] = fmt.Sprintf("%.3f", i.Nominal), fmt.Sprintf("%.4f", i.Nominal/25.4)
		}
		if i.High > i.Low {
			mm[1], inches[1] = fmt.Sprintf("%.3f to %.3f", i.Low, i.High), fmt.Sprintf("%.4f to %.4f", i.Low/25.4, i.High/25.4)
		}
		columns := append(mm, inches...)
		if units == job.Inch {
			columns = append(inches, mm...)
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\n", i.Key, i.With(units.Both), strings.Join(columns, "\t"))
		note := i.Key + ": " + i.What
		if i.Note != "" {
			note += "; " + i.Note
		}
		notes = append(notes, note)
	}
	t.Flush()
	for _, n := range notes {
		fmt.Fprintf(w, "  %s\n", n)
	}
}

// ItemData is a part of the sheet for JSON.
func ItemData(items []measure.GaugeItem) []map[string]any {
	out := []map[string]any{}
	for _, i := range items {
		d := map[string]any{"name": i.Key, "what": i.What, "note": i.Note}
		if i.Nominal != 0 {
			d["expect_mm"], d["low_mm"], d["high_mm"] = i.Nominal, i.Low, i.High
		}
		if i.Pin > 0 {
			d["pin_mm"] = i.Pin
		}
		if i.Height > 0 {
			d["height_mm"] = i.Height
		}
		if i.Teeth > 0 {
			d["teeth"] = i.Teeth
		}
		out = append(out, d)
	}
	return out
}
