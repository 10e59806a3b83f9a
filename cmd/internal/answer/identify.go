package answer

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// settled is the confidence from which no further measurement is asked for.
const settled = 0.99

// shareTold is the chance from which a gear of no standard is described.
const shareTold = 0.02

// alike is how near the flanks of two gears stand, mm, before that is worth
// saying: own rule.
const alike = 0.05

// Identity is which gear readings are of.
type Identity struct {
	measure.Identity
	Touched []measure.Touched // what touches on successive teeth said
	Teeth   int               // as counted
	Show    int               // how many candidates to tell of
	Take    int               // number of the candidate taken, from 1
	Units   job.Units         // of lengths as written
	Job     *job.Job          // whose gear is compared; nil: none
}

// Print tells it.
func (id *Identity) Print(w io.Writer) {
	fmt.Fprintln(w, id.heading())
	if len(id.Candidates) > 0 && !id.NoFit && id.SamePitch > id.Candidates[0].Confidence+0.005 {
		fmt.Fprintf(w, "Pitch and pressure angle of the first, whatever the depth: confidence %s.\n", percent(id.SamePitch))
	}
	if id.Slip != nil {
		fmt.Fprintf(w, "Warning: a unit may be wrong: %v\n", id.Slip)
	}
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  \tgear\tconfidence\tchance of such misfits\tshift\tthinning")
	for i, c := range id.Candidates {
		if i >= max(id.Show, id.Take) {
			break
		}
		cut := ""
		if c.TipCut > shiftShown*c.Gear.Module {
			cut = ", tips shortened by " + id.Units.Both(c.TipCut)
		}
		fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%+.3f modules%s\t%s\n", i+1, c, id.confidence(c.Confidence), percent(c.Chance), job.Shown(c.Gear.Shift), cut, id.Units.Both(c.Gear.Thinning))
	}
	fmt.Fprintf(t, "-\tnone of the list\t%s\t%s\t\t\n", id.confidence(id.Free.Share), percent(id.Free.Chance))
	t.Flush()
	if id.noneWeighed() {
		fmt.Fprintln(w, "No confidence is told: it would weigh these against each other only, and no row fits.")
	}
	if id.Free.Share > shareTold && !id.Odd {
		fmt.Fprintf(w, "If it is none of the list: %s.\n", freeLine(id.Free, id.Units))
	}
	if len(id.Candidates) > 0 {
		id.printMisfits(w, id.Candidates[id.Take-1])
	}
	if !id.NoFit && id.Apart > 0 && id.Apart < alike && id.Candidates[0].Gear.Pressure != id.Candidates[1].Gear.Pressure {
		fmt.Fprintf(w, "The choice between the first two moves no flank by more than %s.\n", id.Units.Both(id.Apart))
	}
	for _, x := range id.Touched {
		fmt.Fprintf(w, "\n%s\n", touchedLine(x, id.Units))
	}
	if b := id.Best; b != nil && !id.NoFit && id.Candidates[0].Confidence < settled {
		first, second := id.Candidates[0], id.Candidates[1]
		fmt.Fprintf(w, "\nTo separate the first two measure: %s.\n  %s if %s,\n  %s if %s; then %.1f sigma apart\n", readingName(b.Reading, id.Units),
			id.Units.Both(b.Reading.Value), first, id.Units.Both(b.Second), second, b.Apart)
	}
	for _, n := range id.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	if id.Job != nil {
		fmt.Fprintln(w, id.agreement())
	}
}

// noneWeighed says that no confidence means anything: neither the first of the list
// nor a gear of no standard fits, and the likeliest of them is only the least bad.
func (id *Identity) noneWeighed() bool {
	return id.NoFit && (id.Odd || id.Free.Share <= 0.5)
}

// confidence is a row's, where it means anything.
func (id *Identity) confidence(p float64) string {
	if id.noneWeighed() {
		return "-"
	}
	return percent(p)
}

// heading is the answer in a line.
func (id *Identity) heading() string {
	nearest := ""
	if len(id.Candidates) > 0 {
		nearest = fmt.Sprintf("; the nearest is %s", id.Candidates[0])
	}
	switch {
	case id.Odd:
		return fmt.Sprintf("No gear of %d teeth fits these readings all together%s.", id.Teeth, nearest)
	case id.NoFit && id.Free.Share > 0.5:
		return fmt.Sprintf("No standard gear of %d teeth fits these readings, confidence %s%s.", id.Teeth, percent(id.Free.Share), nearest)
	case id.NoFit:
		return fmt.Sprintf("No standard gear of %d teeth fits these readings%s.", id.Teeth, nearest)
	case id.Tie:
		return fmt.Sprintf("A tie: %s, or %s.", id.Candidates[0], id.Candidates[1])
	}
	return fmt.Sprintf("%s: confidence %s.", id.Candidates[0], percent(id.Candidates[0].Confidence))
}

// freeLine describes a gear of no standard. A circular pitch in inches is what
// many old gears were cut to.
func freeLine(g measure.FreeGear, units job.Units) string {
	module := fmt.Sprintf("module %.3f ±%.3f mm", g.Module, g.ModuleSigma)
	pitch := fmt.Sprintf("%.3f DP, circular pitch %.4f in", 25.4/g.Module, math.Pi*g.Module/25.4)
	if units == job.Inch {
		module, pitch = fmt.Sprintf("%.3f ±%.3f DP", 25.4/g.Module, 25.4*g.ModuleSigma/(g.Module*g.Module)), fmt.Sprintf("module %.3f mm, circular pitch %.4f in", g.Module, math.Pi*g.Module/25.4)
	}
	return fmt.Sprintf("%s (%s), %.1f ±%.1f degrees, base pitch %s ±%s", module, pitch, geom.Degrees(g.Pressure), geom.Degrees(g.PressureSigma), units.Both(g.Step), units.Number(g.StepSigma))
}

// printMisfits sets the readings against the candidate taken, and where that fits
// says what wear they tell.
func (id *Identity) printMisfits(w io.Writer, c measure.Candidate) {
	fmt.Fprintf(w, "\nReadings against number %d:\n", id.Take)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  reading\tread\tit should be\toff\tsigma")
	for _, m := range c.Misfits {
		off := "+" + id.Units.Number(job.Shown(m.Off))
		if job.Shown(m.Off) < 0 {
			off = id.Units.Number(m.Off)
		}
		fmt.Fprintf(t, "  %s\t%s ±%s\t%s\t%s %s\t%+.1f\n", readingName(m.Reading, id.Units), id.Units.Both(m.Reading.Value), id.Units.Number(m.Reading.Sigma),
			id.Units.Length(m.Predicted), off, id.Units.Name(), m.Sigmas)
	}
	t.Flush()
	if !id.NoFit && c.Gear.Thinning > 0 && slices.ContainsFunc(c.Misfits, func(m measure.Misfit) bool { return m.Reading.TellsThickness() }) {
		x := measure.WearOf(c.Gear, c.Gear.Thinning)
		fmt.Fprintf(w, "Wear and backlash together: %.1f %% of the tooth's thickness, %.1f times the backlash of a new pair (0.04 modules, Machinery's Handbook, from memory).\n", 100*x.OfTooth, x.OfBacklash)
	}
}

// readingName names a reading with its sizes in the unit of the output.
func readingName(r measure.Reading, units job.Units) string {
	switch r.Kind {
	case measure.PinSize:
		return "over pins of " + units.Length(r.Pin)
	case measure.ChordSize:
		return "chord at " + units.Length(r.Height) + " under the tip"
	}
	return r.Name()
}

// touchedLine says what touches on successive teeth tell.
func touchedLine(t measure.Touched, units job.Units) string {
	text := fmt.Sprintf("Touches %d to %d step by %s, the base pitch", t.First, t.First+t.Used-1, units.Both(t.Reading.Value))
	if t.Straight {
		text += fmt.Sprintf(": an involute as far as they tell, none more than %s off", units.Both(t.Off))
	} else {
		text += "; a third touch would prove an involute"
	}
	if t.Left != "" {
		text += ". Left out: " + t.Left
	}
	return text + "."
}

// agreement says where the job's gear stands in the list.
func (id *Identity) agreement() string {
	g, units := id.Job.Gear.Gear, id.Units
	for i, c := range id.Candidates {
		if math.Abs(c.Gear.Module/g.Module-1) < 1e-6 && math.Abs(c.Gear.Pressure-g.Pressure) < 1e-6 &&
			(c.Gear.Rack.Name == g.Rack.Name || slices.Contains(c.AlsoRacks, g.Rack.Name)) {
			fits := "confidence " + percent(c.Confidence)
			if id.noneWeighed() {
				fits = "which does not fit these readings"
			}
			return fmt.Sprintf("The job's gear is number %d, %s; its neighbour_thinning is %s.", i+1, fits, units.Both(id.Job.Gear.NeighbourThinning))
		}
	}
	return "The job's gear is not among the candidates: it does not agree with these readings."
}

// percent never says more than is known: neither 0 nor 100.
func percent(p float64) string {
	switch {
	case p > 0.995:
		return "over 99 %"
	case p < 0.005:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// Data is it for JSON; s is what a job of the candidate taken begins with.
func (id *Identity) Data(s job.Start, remarks map[string]string) map[string]any {
	candidates := []map[string]any{}
	for i, c := range id.Candidates {
		if i >= id.Show {
			break
		}
		misfits := []map[string]any{}
		for _, m := range c.Misfits {
			misfits = append(misfits, map[string]any{"reading": m.Reading.Name(), "read_mm": m.Reading.Value,
				"uncertainty_mm": m.Reading.Sigma, "predicted_mm": m.Predicted, "off_mm": m.Off, "off_sigma": m.Sigmas})
		}
		candidates = append(candidates, map[string]any{"name": c.String(), "gear": GearData(c.Gear), "pitch": c.Pitch.String(), "tips_shortened_mm": c.TipCut,
			"also_proportions": append([]string{}, c.AlsoRacks...), "confidence": c.Confidence, "chance": c.Chance, "chi_square": c.ChiSquare, "misfits": misfits})
	}
	further := []map[string]any{}
	for _, f := range id.Further {
		further = append(further, map[string]any{"reading": f.Reading.Name(), "first_mm": f.Reading.Value, "second_mm": f.Second, "apart_sigma": Number(f.Apart)})
	}
	best, slip, table := any(nil), any(nil), ""
	if id.Best != nil {
		best = further[0]
	}
	if id.Slip != nil {
		slip = id.Slip.Error()
	}
	if len(id.Candidates) > 0 {
		table = GearTable(s, remarks)
	}
	steps := []map[string]any{}
	for _, t := range id.Touched {
		steps = append(steps, map[string]any{"base_pitch_mm": t.Reading.Value, "first_used": t.First, "used": t.Used, "most_off_mm": t.Off, "left_out": t.Left})
	}
	f := id.Free
	return map[string]any{
		"candidates": candidates, "tie": id.Tie, "fits": !id.NoFit, "same_pitch_confidence": id.SamePitch, "best_further": best, "further": further,
		"none_of_the_list": map[string]any{"confidence": f.Share, "chance": f.Chance, "module_mm": f.Module, "module_uncertainty_mm": f.ModuleSigma,
			"pressure_angle_deg": geom.Degrees(f.Pressure), "pressure_angle_uncertainty_deg": geom.Degrees(f.PressureSigma),
			"base_pitch_mm": f.Step, "base_pitch_uncertainty_mm": f.StepSigma},
		"readings_go_together": !id.Odd, "first_two_flanks_apart_mm": id.Apart, "unit_suspected": slip, "touches": steps,
		"notes": append([]string{}, id.Notes...), "gear_table_toml": table, "assumptions": AssumptionData(id.Assumptions),
	}
}
