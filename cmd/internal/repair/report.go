package repair

import (
	"fmt"
	"io"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// WorstLeft tells the greatest leftover on the surfaces that have a limit of
// their own in this program, and which of them has it.
func WorstLeft(r *replay.Report, u job.Units) string {
	var worst float64
	zone := ""
	for _, l := range r.Left {
		if most := max(l.Amount, l.Filed); l.Limit < someLimit && most > worst {
			worst, zone = most, l.Zone
		}
	}
	text := u.Length(worst)
	if u.Length(0) != text {
		text += " (" + zone + ")"
	}
	return text
}

// someLimit is above every true limit: surfaces left to a later program have
// one beyond it, mm.
const someLimit = 100

func fileThis(j *job.Job, f toolpath.FileThis) string {
	u := j.Units
	s := fmt.Sprintf("%s flank and root, from radius %s to %s, up to %s thick", toolpath.SideName(f.Side), u.Length(f.From), u.Length(f.To), u.Length(f.Thick))
	if f.Reaches > 0 {
		s += fmt.Sprintf("; a cutter of %s at most would get to the worst of it", u.Length(f.Reaches))
	}
	return s
}

// Tell prints what the check found of one program of a job, and says whether that
// speaks against running it.
func Tell(j *job.Job, path string, r *replay.Report, stdout, stderr io.Writer) (bad bool) {
	fmt.Fprintf(stdout, "%s: %s; standing teeth cut %s, finished part cut %s, worst left %s, %.1f minutes\n", path, r.Verdict(),
		j.Units.Length(r.NeighbourCut), j.Units.Length(r.TargetCut), WorstLeft(r, j.Units), r.Minutes)
	if r.Fingerprint != "" && r.Fingerprint != j.Fingerprint {
		fmt.Fprintf(stdout, "warning: %s was written from another state of the job (fingerprint %s, the job's is %s); '%s' writes it anew\n", path, r.Fingerprint, j.Fingerprint, j.Command("make"))
	}
	for _, d := range r.Differs {
		fmt.Fprintf(stdout, "%s: other words than the job's program: %s\n", path, d)
	}
	if !r.Clean() {
		PrintFindings(stderr, path, r)
	}
	return !r.Clean()
}

// Sound says that a program on which a checked one builds is clean and of the job
// as it now is; what is wrong is printed.
func Sound(p *chain.Program, path, fingerprint string, stderr io.Writer) bool {
	switch {
	case p.Err != nil:
		fmt.Fprintf(stderr, "%s: what is checked builds on it, and it cannot be read: %v\n", path, p.Err)
	case !p.Result.Report.Clean():
		fmt.Fprintf(stderr, "%s: what is checked builds on it, and it is not clean itself: %s\n", path, p.Result.Report.Verdict())
	case p.Result.Report.Fingerprint != fingerprint:
		fmt.Fprintf(stderr, "%s: what is checked builds on it, and it is not of the job as it now is\n", path)
	default:
		return true
	}
	return false
}

// PrintFindings prints one program's findings. Those of one cause are told once,
// with the lines of the others and the worst of them.
func PrintFindings(w io.Writer, file string, r *replay.Report) {
	alike := map[trouble][]replay.Finding{}
	for _, f := range r.Findings {
		alike[troubleOf(f)] = append(alike[troubleOf(f)], f)
	}
	for _, f := range r.Findings {
		group := alike[troubleOf(f)]
		if f != group[0] {
			continue
		}
		where := file
		if f.Line > 0 {
			where = fmt.Sprintf("%s:%d", file, f.Line)
		}
		fmt.Fprintf(w, "%s: %s: %s%s\n", where, f.Kind, f.Text, alsoLines(group))
	}
	if r.Dropped > 0 {
		fmt.Fprintf(w, "%s: %d further findings\n", file, r.Dropped)
	}
}

// trouble is what findings that are told together have in common.
type trouble struct {
	kind  replay.Kind
	where string
	form  string
}

// troubleOf is that of a finding; one of the whole program stands alone.
func troubleOf(f replay.Finding) trouble {
	if f.Line == 0 {
		return trouble{f.Kind, f.Where, f.Text}
	}
	return trouble{f.Kind, f.Where, f.Form}
}

// alsoLines names the lines of all findings alike but the first, and the worst
// of them when it is worse.
func alsoLines(group []replay.Finding) string {
	worst, also := group[0], ""
	sep := "; also on lines "
	if len(group) == 2 {
		sep = "; also on line "
	}
	for _, f := range group[1:] {
		also += fmt.Sprint(sep, f.Line)
		sep = ", "
		if f.Amount > worst.Amount {
			worst = f
		}
	}
	if worst.Line != group[0].Line {
		also += fmt.Sprintf(", the worst of them %d with %.3f mm", worst.Line, worst.Amount)
	}
	return also
}

// Text is report.txt.
func (r *Repair) Text() []byte {
	var b strings.Builder
	j, u := r.Job, r.Job.Units
	r.Verdict(&b)
	fmt.Fprintf(&b, "%s\n", j.Heading())
	fmt.Fprintf(&b, "job %s, fingerprint %s\n\n", j.Name(), j.Fingerprint)
	r.Table(&b)
	g := &j.Gear
	form, base, tip := fmt.Sprintf("%.4g deg", geom.Degrees(g.Pressure)), ", base "+u.Length(2*g.BaseRadius()), "rack's tip rounded by"
	if g.Form != nil {
		form, base, tip = g.FormName(), "", "root fillet"
	}
	fmt.Fprintf(&b, "\nGear: %d teeth, module %.4f mm (%.4g DP), %s; pitch circle %s%s, tip %s, root %s (diameters); %s %.3g modules\n",
		g.Teeth, g.Module, 25.4/g.Module, form, u.Length(2*g.PitchRadius()), base, u.Length(2*g.TipRadius()), u.Length(2*g.RootRadius()), tip, g.RackTip())
	for i, line := range r.Plan.CopyLines() {
		if i == 0 {
			fmt.Fprintf(&b, "Copied:\n")
		}
		fmt.Fprintf(&b, "  %s\n", line)
	}
	fmt.Fprintf(&b, "Z0 of the gear's programs lies %s over the axis\n", u.Length(r.Plan.Shift))
	fmt.Fprintf(&b, "Facets: %s\n", r.facetLine())
	for i := range r.Plan.Facets {
		f := &r.Plan.Facets[i]
		fmt.Fprintf(&b, "  %-5s facet %d%s: gear at %9.4f deg, cutter's side at %s, bottom %s over the axis, leaves %s\n",
			toolpath.SideName(f.Side), f.Number, r.Plan.PlaceName(f.Place), geom.Degrees(f.Angle), u.Length(f.Y), u.Length(f.Bottom), u.Length(f.Left))
	}
	fmt.Fprintf(&b, "\nWhat a setting error costs the flank:\n")
	for _, e := range r.Plan.SettingErrors() {
		fmt.Fprintf(&b, "  %s: %s\n", e.Setting, u.Length(e.FlankMM))
	}
	if r.Expect != nil {
		sums, parts := ExpectLines(r.Plan, r.Expect)
		fmt.Fprintf(&b, "\nWhat to expect of each new tooth, 95 of 100 times (an estimate):\n  %s\n", strings.Join(sums, "\n  "))
		fmt.Fprintf(&b, "What that is made of, on one flank:\n  %s\n", strings.Join(parts, "\n  "))
	}
	fmt.Fprintf(&b, "\nThe check replayed the written programs, as text, against the stock:\n")
	for i := range r.Programs {
		if p := &r.Programs[i]; p.Result != nil {
			reportProgram(&b, p, u)
		}
	}
	if t := r.tight(); t != nil {
		fmt.Fprintf(&b, "Tight middle, measured on the replayed insert: %s long, %s proud\n", u.Length(t.LengthMM), u.Length(t.HeightMM))
	}
	fmt.Fprintf(&b, "\nNot checked:\n")
	for _, n := range r.NotChecked() {
		fmt.Fprintf(&b, "  %s\n", n)
	}
	for _, w := range r.Warnings() {
		fmt.Fprintf(&b, "Warning: %s\n", w)
	}
	if len(r.Estimates.Fit) > 0 {
		fmt.Fprintf(&b, "\nFit, an estimate and no rating:\n")
		for _, l := range r.Estimates.Fit {
			fmt.Fprintf(&b, "  %s\n", l)
		}
	}
	if len(r.Estimates.Strength) > 0 {
		fmt.Fprintf(&b, "\nStrength, an estimate and no rating:\n")
		for _, l := range r.Estimates.Strength {
			fmt.Fprintf(&b, "  %s\n", l)
		}
	}
	return []byte(b.String())
}

// reportProgram says what the check found of one program.
func reportProgram(w io.Writer, p *chain.Program, u job.Units) {
	r, file := p.Result.Report, p.File()
	fmt.Fprintf(w, "%s: %.1f minutes and %s; %.1f at the least with these cutters and passes (%s)\n", file, r.Minutes, stops(r.Stops), r.Least.Minutes(), leastText(r.Least))
	fmt.Fprintf(w, "%s: %s; standing teeth cut %s, finished part cut %s; %d blocks of motion\n",
		file, r.Verdict(), u.Length(r.NeighbourCut), u.Length(r.TargetCut), r.Motions)
	if pass, n, tool, ok := p.WorstSpring(); ok {
		fmt.Fprintf(w, "  spring: most in pass %d, %s: T%d gives way %s under %.0f N, at %.0f %% of its strength%s\n",
			n, pass.Name, tool, u.Length(pass.Spring.First), pass.Spring.Force, 100*pass.Spring.Share, againText(pass.Spring, u))
	}
	for _, l := range r.Left {
		if l.Limit >= someLimit {
			continue
		}
		if l.Filed > 0 {
			fmt.Fprintf(w, "  to be filed on %s: %s; left elsewhere on it: %s, allowed %s\n", l.Zone, u.Length(l.Filed), u.Length(l.Amount), u.Length(l.Limit))
		} else {
			high := ""
			if l.High {
				high = " high over the tip circle"
			}
			fmt.Fprintf(w, "  left on %s: %s%s, allowed %s\n", l.Zone, u.Length(l.Amount), high, u.Length(l.Limit))
		}
	}
	PrintFindings(w, file, r)
}

// leastText says what the least time of a program is made of.
func leastText(l replay.Least) string {
	var out []string
	for _, part := range []struct {
		minutes float64
		what    string
	}{{l.Changes, "tool changes"}, {l.Turns, "turning the gear"}, {l.Lifts, "up and down"}, {l.Metal, "cutting"}, {l.Again, "cuts once more"}} {
		if part.minutes >= 0.05 {
			out = append(out, fmt.Sprintf("%s %.1f", part.what, part.minutes))
		}
	}
	return strings.Join(out, ", ")
}

func stops(n int) string {
	if n == 1 {
		return "1 stop"
	}
	return fmt.Sprintf("%d stops", n)
}

// againText says what cutting again at the same place leaves.
func againText(s toolpath.Spring, u job.Units) string {
	if s.Again == 0 {
		return ""
	}
	return fmt.Sprintf("; cut %s more, which leaves %s", howOften(s.Again), u.Length(s.Left))
}

func howOften(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// NotChecked lists what no check of the programs looks at.
func (r *Repair) NotChecked() []string {
	for i := range r.Programs {
		if p := &r.Programs[i]; p.Result != nil {
			return p.Result.Report.NotChecked
		}
	}
	return []string{}
}

func (r *Repair) facetLine() string {
	f, u := r.Plan.Flanks, r.Job.Units
	lean := "all of the error proud, for the file"
	if r.Job.Facets.Lean == job.Even {
		lean = "half of the error proud, half too deep"
	}
	return fmt.Sprintf("%d on the right flank, %d on the left, leave %s and %s (ideal for as many: %s); %s",
		len(f.Right.Rolls), len(f.Left.Rolls), u.Length(f.Right.GreatestError), u.Length(f.Left.GreatestError), u.Length(f.Ideal.GreatestError), lean)
}

// tight is the tight middle as it is on the replayed insert.
type tight struct {
	LengthMM float64 `json:"length_mm"`
	HeightMM float64 `json:"height_mm"`
}

// tight measures the tight middle after the fit program, nil when there is
// none.
func (r *Repair) tight() *tight {
	for i := range r.Programs {
		if p := &r.Programs[i]; p.Purpose == toolpath.FitProgram && p.Result != nil {
			l, h := metal.TightLength(r.Plan.Design, p.Result.After, metal.TightShare)
			return &tight{l, h}
		}
	}
	return nil
}
