package cli

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

type identifyOptions struct {
	file, newFile       string
	teeth, take, show   int
	instrument          string
	outside, root       []string
	depth, span, pins   []string
	centre              []string
	face, bore          string
	inch, replace, json bool
	units               job.Units // of lengths without a unit
}

func newIdentify() *cobra.Command {
	o := identifyOptions{}
	c := &cobra.Command{
		Use:   "identify --teeth N [readings]",
		Short: "Tell from readings which standard gear it is",
		Long: `Rank the standard gears (modules and diametral pitches, 14.5, 20 and 25 degrees,
full depth, older full depth and stub) that a gear may be, from what was measured
on it. Profile shift and wear are taken as unknown within usual bounds.

Count the teeth, with those missing. Then give any of these, each as often as
you like; several readings of one size go in one text:
  --outside  over the tips               --root    over the roots, twice their radius
  --depth    from tip to root            --centre  "MATE'S TEETH: distance of the axes"
  --span     "TEETH SPANNED: readings"   --over-pins  "PIN: readings over two pins"

A reading is in mm (in inches with --inch or an inch job), or has a unit: 23.41,
"0.922 in". After ± (or +/-) stands its
standard uncertainty, within which two of three readings fall; without a unit of
its own it is in the reading's. Without ± the instrument's counts: vernier
0.03 mm, micrometer 0.01 mm.

Span over k and over k+1 good teeth: the difference is the base pitch, and wear
cannot change it. Turn about and span in several places.

The answer lists the likeliest gears with the misfit of every reading, says a tie
when it is one, names the one further measurement that would separate the first
two, and ends with a [gear] table to paste into a job file.

Exit code: 0 a gear fits, 1 no standard gear fits the readings, 2 usage.`,
		Example: `  cogmend identify --teeth 54 --outside "7.000 in"
  cogmend identify --teeth 54 --outside 177.78 --span "5: 44.30 44.29" --span "6: 53.96"
  cogmend identify --teeth 54 --span "5: 1.7441 1.7438 in ±0.0005 in" --new press.toml
  cogmend identify --teeth 40 --over-pins "5: 126.51" --instrument micrometer
  cogmend identify --job press.toml --span "5: 44.30"     does it agree with the job?`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, args []string) error {
			return runIdentify(o, c.OutOrStdout())
		},
	}
	f := c.Flags()
	f.StringVar(&o.file, "job", "", "job file (or demo) whose count is taken, and whose gear is compared")
	f.IntVar(&o.teeth, "teeth", 0, "number of teeth, the missing ones counted")
	f.StringArrayVar(&o.outside, "outside", nil, "outside diameter")
	f.StringArrayVar(&o.root, "root", nil, "root diameter")
	f.StringArrayVar(&o.depth, "depth", nil, "whole depth of a tooth")
	f.StringArrayVar(&o.span, "span", nil, "base tangent length over teeth, as \"5: 44.30 44.29\"")
	f.StringArrayVar(&o.pins, "over-pins", nil, "size over two pins in opposite spaces, as \"5: 178.2\"")
	f.StringArrayVar(&o.centre, "centre", nil, "centre distance to a mate, as \"18: 114.3\"")
	f.StringVar(&o.instrument, "instrument", "vernier", "vernier or micrometer")
	f.IntVar(&o.show, "show", 5, "how many candidates to print")
	f.IntVar(&o.take, "take", 1, "number of the candidate to print as a table or write as a job")
	f.StringVar(&o.newFile, "new", "", "write a starting job file for the gear")
	f.StringVar(&o.face, "face", "", "face width, for the table")
	f.StringVar(&o.bore, "bore", "", "diameter of the bore, for the table")
	f.BoolVar(&o.inch, "inch", false, "lengths without a unit, the table and the job file are in inches")
	f.BoolVar(&o.replace, "replace", false, "overwrite the file of --new")
	addJSON(c, &o.json)
	return c
}

// readings gathers the flags' readings.
func (o *identifyOptions) readings() ([]measure.Reading, error) {
	var sigma float64
	switch o.instrument {
	case "vernier":
		sigma = measure.VernierSigma
	case "micrometer":
		sigma = measure.MicrometerSigma
	default:
		return nil, fmt.Errorf("--instrument %q: it must be vernier or micrometer", o.instrument)
	}
	var out []measure.Reading
	for _, kind := range []struct {
		flag  string
		texts []string
		kind  measure.ReadingKind
	}{
		{"outside", o.outside, measure.OutsideDiameter},
		{"root", o.root, measure.RootDiameter},
		{"depth", o.depth, measure.WholeDepth},
		{"span", o.span, measure.SpanSize},
		{"over-pins", o.pins, measure.PinSize},
		{"centre", o.centre, measure.CentreDistance},
	} {
		for _, text := range kind.texts {
			like := measure.Reading{Kind: kind.kind}
			var rs []job.Reading
			var err error
			switch kind.kind {
			case measure.SpanSize:
				like.Teeth, rs, err = countedReadings(text, "a number of teeth", o.units)
			case measure.CentreDistance:
				like.Teeth, rs, err = countedReadings(text, "the mate's number of teeth", o.units)
			case measure.PinSize:
				like.Pin, rs, err = pinnedReadings(text, o.units)
			default:
				rs, err = job.ParseReadings(text, o.units)
			}
			if err != nil {
				return nil, fmt.Errorf("--%s %q: %w", kind.flag, text, err)
			}
			for _, r := range rs {
				like.Value, like.Sigma = r.Value, r.Sigma
				if like.Sigma == 0 {
					like.Sigma = sigma
				}
				out = append(out, like)
			}
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("identify: no reading; give --outside or --span, see 'cogmend identify --help'")
	}
	return out, nil
}

func runIdentify(o identifyOptions, w io.Writer) error {
	var j *job.Job
	if o.file != "" {
		var err error
		if j, err = readJob(orDemo(o.file)); err != nil {
			return err
		}
		if o.teeth == 0 {
			o.teeth = j.Gear.Teeth
		}
		o.units = j.Units
	}
	if o.inch {
		o.units = job.Inch
	}
	if o.teeth == 0 {
		return fmt.Errorf("identify: give --teeth, with the missing ones counted")
	}
	readings, err := o.readings()
	if err != nil {
		return err
	}
	if o.newFile != "" {
		if err := outdir.IsFree(o.newFile, o.replace); err != nil {
			return err
		}
	}
	id, err := measure.Identify(o.teeth, readings)
	if err != nil {
		return fmt.Errorf("identify: %w", err)
	}
	if o.take < 1 || o.take > len(id.Candidates) {
		return fmt.Errorf("--take %d: there are candidates 1 to %d", o.take, len(id.Candidates))
	}
	start, remarks, err := o.start(id, readings)
	if err != nil {
		return err
	}
	if o.newFile != "" && !id.NoFit {
		text, err := job.Starter(start)
		if err != nil {
			return err
		}
		if err := outdir.WriteFile(o.newFile, text); err != nil {
			return outdir.PlainError(err)
		}
	}
	if o.json {
		if err := printJSON(w, identityData(id, start, remarks, o.show)); err != nil {
			return err
		}
	} else {
		printIdentity(w, o, id, j)
		if id.NoFit {
			return errFound // a table would only mislead
		}
		fmt.Fprintf(w, "\n%s", gearTable(start, remarks))
		if o.newFile != "" {
			fmt.Fprintf(w, "\nwritten: %s. Measure, fill in, then: cogmend make %s\n", o.newFile, o.newFile)
		}
	}
	if id.NoFit {
		return errFound
	}
	return nil
}

// shiftShown is the least profile shift, in modules, that is written into a
// table: less is the blank's tolerance. Own rule.
const shiftShown = 0.02

// start turns the candidate taken into what a job file begins with; remarks
// say how sure its numbers are.
func (o *identifyOptions) start(id measure.Identity, readings []measure.Reading) (job.Start, map[string]string, error) {
	c := id.Candidates[o.take-1]
	g := c.Gear
	remarks := map[string]string{}
	if math.Abs(g.Shift) < shiftShown {
		// The same thickness without the shift.
		g.Thinning -= 2 * g.Shift * g.Module * math.Tan(g.Pressure)
		g.Shift = 0
	}
	s := job.Start{Teeth: g.Teeth, Pressure: g.Pressure, Rack: g.Rack.Name, Missing: 1,
		Shift: math.Round(g.Shift*1000) / 1000, Thinning: math.Round(max(0, g.Thinning)*1000) / 1000}
	if s.Module = c.Pitch.Module; c.Pitch.Diametral > 0 {
		s.Module, s.DiametralPitch = 0, c.Pitch.Diametral
	}
	if o.inch {
		s.Units = job.Inch
	}
	remarks["thinning"] = "wear and backlash of the standing teeth as measured; the new one is made alike"
	if !slices.ContainsFunc(readings, func(r measure.Reading) bool { return r.Kind == measure.SpanSize || r.Kind == measure.PinSize }) {
		s.Thinning, remarks["thinning"] = 0, "not known: span the standing teeth, or measure over pins"
	}
	if len(c.AlsoRacks) > 0 {
		remarks["proportions"] = "or " + strings.Join(c.AlsoRacks, ", ") + ": the same heights, another root fillet"
	}
	for _, l := range []struct {
		name, text string
		at         *float64
	}{{"face", o.face, &s.Face}, {"bore", o.bore, &s.Bore}} {
		if l.text == "" {
			continue
		}
		v, err := lengthFlag(l.name, l.text, o.units)
		if err != nil {
			return s, nil, err
		}
		if *l.at = v; !(v > 0) {
			return s, nil, fmt.Errorf("--%s %q: it must be positive", l.name, l.text)
		}
	}
	return s, remarks, nil
}

// gearTable is the [gear] table of a job file in mm or inch. Sizes nobody has
// measured yet stand in it as comments.
func gearTable(s job.Start, remarks map[string]string) string {
	var b strings.Builder
	unit := map[job.Units]string{job.MM: "mm", job.Inch: "in"}[s.Units]
	// As fine as a micrometer reads, without noughts at the end.
	length := func(mm float64) string {
		text := fmt.Sprintf("%.3f", mm)
		if s.Units == job.Inch {
			text = fmt.Sprintf("%.4f", mm/25.4)
		}
		return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	line := func(key, value, remark string) {
		text := key + " = " + value
		if remark != "" {
			text = fmt.Sprintf("%-30s # %s", text, remark)
		}
		fmt.Fprintf(&b, "%s\n", text)
	}
	line("[gear]\nteeth", fmt.Sprint(s.Teeth), "")
	if s.Module > 0 {
		line("module", fmt.Sprintf("%g", s.Module), "")
	} else {
		line("diametral_pitch", fmt.Sprintf("%g", s.DiametralPitch), "")
	}
	line("pressure_angle", fmt.Sprintf("%.4g", geom.Degrees(s.Pressure)), "")
	line("proportions", fmt.Sprintf("%q", s.Rack), remarks["proportions"])
	if s.Shift != 0 {
		line("profile_shift", fmt.Sprintf("%.3f", s.Shift), "modules")
	}
	line("thinning", fmt.Sprintf("%q", length(s.Thinning)+" "+unit), remarks["thinning"])
	for _, l := range []struct {
		key    string
		mm     float64
		remark string
	}{{"face", s.Face, "width along the axis"}, {"bore", s.Bore, "diameter, 0 when in one with the shaft"}} {
		if l.mm > 0 {
			line(l.key, fmt.Sprintf("%q", length(l.mm)+" "+unit), "")
		} else {
			line("# "+l.key, `"... `+unit+`"`, "measure and fill in: "+l.remark)
		}
	}
	return b.String()
}

// settled is the confidence from which no further measurement is asked for.
const settled = 0.99

func printIdentity(w io.Writer, o identifyOptions, id measure.Identity, j *job.Job) {
	first := id.Candidates[0]
	switch {
	case id.NoFit:
		fmt.Fprintf(w, "No standard gear of %d teeth fits these readings; the nearest is %s.\n", o.teeth, first)
	case id.Tie:
		fmt.Fprintf(w, "A tie: %s, or %s.\n", first, id.Candidates[1])
	default:
		fmt.Fprintf(w, "%s: confidence %s.\n", first, percent(first.Confidence))
	}
	if id.SamePitch > first.Confidence+0.005 {
		fmt.Fprintf(w, "Pitch and pressure angle of the first, whatever the depth: confidence %s.\n", percent(id.SamePitch))
	}
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  \tgear\tconfidence\tchance of such misfits\tshift\tthinning")
	for i, c := range id.Candidates {
		if i >= max(o.show, o.take) {
			break
		}
		fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%+.3f modules\t%s\n", i+1, c, percent(c.Confidence), percent(c.Chance), plain(c.Gear.Shift), both(c.Gear.Thinning))
	}
	t.Flush()
	taken := id.Candidates[o.take-1]
	fmt.Fprintf(w, "\nReadings against number %d:\n", o.take)
	t = tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  reading\tread\tit should be\toff\tsigma")
	for _, m := range taken.Misfits {
		fmt.Fprintf(t, "  %s\t%s ±%.3f\t%s\t%+.3f mm\t%+.1f\n", m.Reading.Name(), both(m.Reading.Value), m.Reading.Sigma, job.MM.Length(m.Predicted), plain(m.Off), m.Sigmas)
	}
	t.Flush()
	if b := id.Best; b != nil && !id.NoFit && first.Confidence < settled {
		second := id.Candidates[1]
		fmt.Fprintf(w, "\nTo separate the first two measure: %s.\n  %s if %s,\n  %s if %s", b.Reading.Name(), both(b.Reading.Value), first, both(b.Second), second)
		if !math.IsInf(b.Apart, 0) {
			fmt.Fprintf(w, "; then %.1f sigma apart", b.Apart)
		}
		fmt.Fprintln(w)
	}
	for _, n := range id.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	if j != nil {
		fmt.Fprintln(w, agreement(id, j))
	}
}

// agreement says where the job's gear stands in the list.
func agreement(id measure.Identity, j *job.Job) string {
	g := j.Gear.Gear
	for i, c := range id.Candidates {
		if math.Abs(c.Gear.Module/g.Module-1) < 1e-6 && math.Abs(c.Gear.Pressure-g.Pressure) < 1e-6 &&
			(c.Gear.Rack.Name == g.Rack.Name || slices.Contains(c.AlsoRacks, g.Rack.Name)) {
			return fmt.Sprintf("The job's gear is number %d; its neighbour_thinning is %s.", i+1, both(j.Gear.NeighbourThinning))
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

func identityData(id measure.Identity, s job.Start, remarks map[string]string, show int) map[string]any {
	candidates := []map[string]any{}
	for i, c := range id.Candidates {
		if i >= show {
			break
		}
		misfits := []map[string]any{}
		for _, m := range c.Misfits {
			misfits = append(misfits, map[string]any{"reading": m.Reading.Name(), "read_mm": m.Reading.Value,
				"uncertainty_mm": m.Reading.Sigma, "predicted_mm": m.Predicted, "off_mm": m.Off, "off_sigma": m.Sigmas})
		}
		candidates = append(candidates, map[string]any{"name": c.String(), "gear": gearData(c.Gear), "pitch": c.Pitch.String(),
			"also_proportions": append([]string{}, c.AlsoRacks...), "confidence": c.Confidence, "chance": c.Chance, "chi_square": c.ChiSquare, "misfits": misfits})
	}
	further := []map[string]any{}
	for _, f := range id.Further {
		further = append(further, map[string]any{"reading": f.Reading.Name(), "first_mm": f.Reading.Value, "second_mm": f.Second, "apart_sigma": number(f.Apart)})
	}
	best := any(nil)
	if id.Best != nil {
		best = further[0]
	}
	return map[string]any{
		"candidates": candidates, "tie": id.Tie, "fits": !id.NoFit, "same_pitch_confidence": id.SamePitch, "best_further": best, "further": further,
		"notes": append([]string{}, id.Notes...), "gear_table_toml": gearTable(s, remarks), "assumptions": assumptionData(id.Assumptions),
	}
}
