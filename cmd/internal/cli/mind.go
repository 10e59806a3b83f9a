package cli

import (
	"fmt"

	"cogmend/toolpath/job"
)

// minds is what one should know of a repair before cutting, one sentence each:
// the same on the terminal, in the report and on the sheet.
func (m *made) minds() []string {
	if m.mind != nil {
		return m.mind
	}
	j := m.job
	out := append([]string{}, m.plan.Warnings...)
	if text := fitMind(j); text != "" {
		out = append(out, text)
	}
	if j.Load == nil {
		for _, i := range loadCase(j).Room() {
			if i.Use > 1 || !(i.Value > 0) {
				out = append(out, fmt.Sprintf("%s: only %s, %s at least is wanted (%s)", i.What, amount(i.Value, i.Unit), amount(i.Allowable, i.Unit), i.Source))
			}
		}
		out = append(out, "strength was not estimated: the job has no [load] table; see 'cogmend load'")
	} else if _, _, carried := loadReport(j); !carried {
		out = append(out, "the strength estimate speaks against this repair; see report.txt, or 'cogmend load'")
	}
	if text := mateMind(j, m.plan.Flanks.Right.Left+m.plan.Flanks.Left.Left-2*m.plan.Flanks.Allowance); text != "" {
		out = append(out, text)
	}
	m.mind = out
	return out
}

// mateMind speaks when the new tooth, its facets standing out by proud on both
// flanks together, need not have play with the mate the job names. Only rolling
// them tells for certain, and takes longer than all else.
func mateMind(j *job.Job, proud float64) string {
	if j.Mate == nil || j.Mate.Teeth == 0 {
		return ""
	}
	mesh, err := meshOf(j)
	if err != nil {
		return ""
	}
	play, err := mesh.Play()
	if err != nil || play > proud {
		return ""
	}
	return fmt.Sprintf("the new tooth may jam with its mate: %s of play at %s between centres, and the facets stand out %s; see 'cogmend mesh'",
		j.Units.Length(play), j.Units.Length(mesh.Centre), j.Units.Length(proud))
}
