package cli

import "fmt"

// minds is what one should know of a repair before cutting, one sentence each:
// the same on the terminal, in the report and on the sheet.
func (m *made) minds() []string {
	if m.mind != nil {
		return m.mind
	}
	d := m.plan.Design
	out := append([]string{}, m.plan.Warnings...)
	if text := d.FitWarning(); text != "" {
		out = append(out, text)
	}
	if d.Job.Load == nil {
		for _, i := range d.LoadCase().Room() {
			if i.Use > 1 || !(i.Value > 0) {
				out = append(out, fmt.Sprintf("%s: only %s, %s at least is wanted (%s)", i.What, amount(i.Value, i.Unit), amount(i.Allowable, i.Unit), i.Source))
			}
		}
		out = append(out, "strength was not estimated: the job has no [load] table; see 'cogmend load'")
	} else if _, _, carried := loadReport(d); !carried {
		out = append(out, "the strength estimate speaks against this repair; see report.txt, or 'cogmend load'")
	}
	if text := d.MateWarning(); text != "" {
		out = append(out, text)
	}
	m.mind = out
	return out
}
