package repair

import (
	"fmt"
	"io"
	"strings"

	"cogmend/cmd/internal/answer"
	"cogmend/toolpath/design"
)

// Estimates is what is estimated of a repair from its design alone, apart from
// the programs and their check: strength, fit and mesh.
type Estimates struct {
	// Warnings are sentences without capital or full stop.
	Warnings []string
	// Against are the reasons why the insert should not be let in as the job has
	// it, sentences as Warnings are; none when the estimates allow it.
	Against []string
	// Fit is the estimate of the tight middle's stress in lines, FitData the
	// same for report.json.
	Fit     []string
	FitData map[string]any
	// Strength is the estimate of strength in lines; empty without a load.
	Strength []string
	// StrengthData is the same for report.json; nil without a load.
	StrengthData map[string]any
	// StrengthNotes is the same for the sheet: whole sentences.
	StrengthNotes []string
}

// EstimatesOf works the estimates of a design out.
func EstimatesOf(d *design.Design) Estimates {
	e := Estimates{Against: d.Against()}
	e.fit(d)
	if d.Job.Load == nil {
		e.room(d)
	} else {
		e.strength(d)
	}
	if text := d.MateWarning(); text != "" {
		e.Warnings = append(e.Warnings, text)
	}
	return e
}

// fit puts the estimate of the job's fit in.
func (e *Estimates) fit(d *design.Design) {
	if text := d.FitWarning(); text != "" && len(e.Against) == 0 {
		e.Warnings = append(e.Warnings, text)
	}
	if d.Job.BuiltUp() {
		return // nothing is let in
	}
	f, err := d.Fit()
	if err != nil {
		e.Fit, e.FitData = []string{fmt.Sprintf("no estimate: %v", err)}, noEstimate(err)
		return
	}
	u, r := d.Job.Units, f.Result
	e.Fit = append([]string{fmt.Sprintf("Fit: %s. Tight middle %s, interference %s to %s; at most %s is allowed here",
		r.Verdict, u.Both(f.Joint.Tight), u.Length(r.Least), u.Length(r.Most), u.Both(r.LargestTight))},
		lines(func(w io.Writer) { answer.Stresses(w, u, r.Cases) })...)
	e.FitData = answer.FitData(design.Found{Step: d.Job.Fit.Step, Joint: f.Joint}, r)
}

// room warns of too little metal round the slot, where no load is known.
func (e *Estimates) room(d *design.Design) {
	for _, i := range d.Room() {
		if i.Use > 1 || !(i.Value > 0) {
			e.Warnings = append(e.Warnings, fmt.Sprintf("%s: only %s, %s at least is wanted (%s)", i.What, answer.Amount(d.Job.Units, i.Value, i.Unit), answer.Amount(d.Job.Units, i.Allowable, i.Unit), i.Source))
		}
	}
	e.Warnings = append(e.Warnings, fmt.Sprintf("strength was not estimated: the job has no [load] table; with one see '%s'", d.Job.Command("load")))
}

// strength puts the estimate under the job's load in.
func (e *Estimates) strength(d *design.Design) {
	r, err := d.Loaded()
	if err != nil {
		e.Strength, e.StrengthData = []string{fmt.Sprintf("load: no estimate: %v", err)}, noEstimate(err)
		e.StrengthNotes = []string{fmt.Sprintf("No estimate of strength: %v.", err)}
	} else {
		e.Strength, e.StrengthData = lines(func(w io.Writer) { answer.Load(w, d.Job.Units, r) }), answer.LoadData(r)
		e.StrengthNotes = append([]string{"Strength, an estimate and no rating: " + r.Verdict + "."}, r.Warnings...)
	}
	if (err != nil || !r.Carried()) && len(e.Against) == 0 {
		e.Warnings = append(e.Warnings, fmt.Sprintf("the strength estimate speaks against this repair; see report.txt, or '%s'", d.Job.Command("load")))
	}
}

// noEstimate stands in report.json for an estimate that cannot be made.
func noEstimate(err error) map[string]any {
	return map[string]any{"verdict": "no estimate", "error": err.Error()}
}

// lines is what is written, line by line.
func lines(write func(io.Writer)) []string {
	var b strings.Builder
	write(&b)
	return strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
}
