package repair

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"cogmend/toolpath"
	"cogmend/toolpath/chain"
)

// Verdict prints why the insert should not be let in or the built-up tooth not carry
// its load, and who answers for it
// all the same; nothing when the estimates allow it.
func (r *Repair) Verdict(w io.Writer) {
	for _, why := range r.Estimates.Against {
		fmt.Fprintf(w, "%s: %s\n", r.Plan.Not(), why)
	}
	if len(r.Estimates.Against) > 0 && r.Job.OwnerAnswers != "" {
		fmt.Fprintf(w, "Its owner answers for it: %s\n", r.Job.OwnerAnswers)
	}
}

// Allowed says that the estimates allow the insert to be let in, or that the
// job's owner answers for it.
func (r *Repair) Allowed() bool {
	return len(r.Estimates.Against) == 0 || r.Job.OwnerAnswers != ""
}

// Table prints one line a program.
func (r *Repair) Table(w io.Writer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "program\ttools\tpasses\tstops\tminutes\tworst left\tverdict")
	for i := range r.Programs {
		p := &r.Programs[i]
		if p.Done {
			fmt.Fprintf(t, "%s\t-\t-\t-\t-\t-\t%s\n", p.File(), p.Skipped)
			continue
		}
		if p.Skipped != "" {
			fmt.Fprintf(t, "%s\t-\t-\t-\t-\t-\tnot written: %s\n", p.File(), p.Skipped)
			continue
		}
		if p.Err != nil {
			fmt.Fprintf(t, "%s\t%s\t%d\t-\t-\t-\tcannot be read: %v\n", p.File(), toolList(p.Program), p.Passes(), p.Err)
			continue
		}
		report := p.Result.Report
		fmt.Fprintf(t, "%s\t%s\t%d\t%d\t%.1f\t%s\t%s\n", p.File(), toolList(p.Program), p.Passes(), report.Stops, report.Minutes, WorstLeft(report, r.Job.Units), r.verdict(p))
	}
	t.Flush()
	for _, f := range r.Plan.FileThis {
		fmt.Fprintf(w, "file this%s: %s\n", r.Plan.PlaceName(f.Place), fileThis(r.Job, f))
	}
}

// verdict is the check's, with what is left to the file.
func (r *Repair) verdict(p *chain.Program) string {
	report := p.Result.Report
	if report.Clean() && p.Purpose == toolpath.FacetsProgram && len(r.Plan.FileThis) > 0 {
		return "clean, then file"
	}
	return report.Verdict()
}

func toolList(p *toolpath.Program) string {
	var s []string
	seen := map[int]bool{}
	for _, o := range p.Ops {
		if !seen[o.Cutter.Number] {
			seen[o.Cutter.Number] = true
			s = append(s, fmt.Sprintf("T%d", o.Cutter.Number))
		}
	}
	return strings.Join(s, " ")
}
