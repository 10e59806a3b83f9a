package cli

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/preview"
	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/measure"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

type fitOptions struct {
	gearFlags
	step               int
	slotPins, overPins string
	play               string
	tip                string
	wall               string // no longer of use
	out                string
	replace            bool
}

func newFit() *cobra.Command {
	o := fitOptions{}
	c := &cobra.Command{
		Use:   "fit [JOB.toml]",
		Short: "The insert's finishing cut, the length left tight, and what it does to the casting",
		Long: `From the step of the trial cuts that started (--step, or fit.step of the job), or
from pins (--slot-pins, and --insert-pins for the insert as it now is), work out the
sizes of the finishing cut: the sliding ends, the tight middle, the length that is
really tight after the cutter's radius, and an estimate of the stress that the tight
middle puts into the casting: alone, with the job's [load], and with the screw. It
is worked out in the job's own section by finite elements in plane strain, with
contact on the dovetail's flanks and the seat.

The limits for grey iron are our own, in shares of the tensile strength of the
weakest class: two thirds for the fit alone at its tightest, a third for the load
alone, three quarters for both. An estimate, not a rating.

Exit code: 0 the fit may be made, 1 do not: the casting may crack, 2 usage or job file.`,
		Example: `  cogmend fit press.toml --step 4
  cogmend fit press.toml --step 4 --tight 0.03
  cogmend fit press.toml --step 4 --out pictures       with a picture of the stress
  cogmend fit press.toml --slot-pins "3: 0.25" --insert-pins "2.5: 10.65"
  cogmend fit --teeth 54 --pitch 8 --angle 14.5 --face 32 --lead 9 --mouth 5 --slot-depth 6.25 \
      --dovetail-cutter 5 --slot-pins "3: 0.25"`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.jobArg(c, args); err != nil {
				return err
			}
			return runFit(o, c.OutOrStdout())
		},
	}
	addGearFlags(c, &o.gearFlags, "face", "rim-inner", "mouth", "slot-depth", "included", "tight", "lead")
	f := c.Flags()
	f.IntVar(&o.step, "step", 0, "number of the trial cut that first slid in")
	f.StringVar(&o.slotPins, "slot-pins", "", "size between two pins in the slot, as \"3: 0.25\"")
	f.StringVar(&o.overPins, "insert-pins", "", "size over two pins on the insert as it now is, as \"2.5: 10.65\"")
	f.StringVar(&o.play, "play", "0.01 mm", "with pins: how much narrower than the slot the ends shall be")
	f.StringVar(&o.tip, "dovetail-cutter", "", "diameter of the dovetail cutter, without a job file")
	f.StringVar(&o.wall, "wall", "", "no longer used: the whole section is worked out")
	_ = f.MarkHidden("wall")
	f.StringVar(&o.out, "out", "", "write a picture of the stress in the casting to this PNG, or as stress.png into this folder")
	f.BoolVar(&o.replace, "replace", false, "let the picture take the place of a file that is there")
	return c
}

// joint gathers the joint and says in words what it was found from.
func (o *fitOptions) joint(d *design.Design) (f estimate.JointFit, from []string, data map[string]any, err error) {
	slot := d.Slot()
	data = map[string]any{}
	switch {
	case o.slotPins != "" && o.step > 0:
		return f, nil, nil, fmt.Errorf("fit: --step and --slot-pins do not go together")
	case o.overPins != "" && o.slotPins == "":
		return f, nil, nil, fmt.Errorf("fit: --insert-pins needs --slot-pins too")
	case o.slotPins != "":
		return o.fromPins(d, data)
	}
	n := o.step
	if n == 0 {
		n = o.Fit.Step
	}
	switch {
	case o.file == "":
		return f, nil, nil, fmt.Errorf("fit: give --slot-pins, or --step with a job file")
	case n == 0:
		return f, nil, nil, fmt.Errorf("fit: the job has no fit.step yet: give --step, the number of the trial cut that slid in, or --slot-pins")
	}
	if n < 0 || n > o.Fit.TrialCount {
		return f, nil, nil, fmt.Errorf("--step %d: the job has trial steps 1 to %d", n, o.Fit.TrialCount)
	}
	f, err = estimate.FitFromLadder(slot, o.Fit.TrialFirst, o.Fit.TrialStep, n)
	data["step"] = n
	from = []string{fmt.Sprintf("from step %d of the trial cuts: sliding size %s; step %d did not slide, so the play is under %s", n, inBoth(f.Sliding, d.Job.Units), n-1, inBoth(f.ClearanceHigh, d.Job.Units))}
	if n == 1 {
		from[0] = fmt.Sprintf("from step 1 of the trial cuts: sliding size %s", inBoth(f.Sliding, d.Job.Units))
		from = append(from, "the first step slid at once, so the play is not known to be small: begin the trial cuts wider (fit.trial_first)")
	}
	if err == nil {
		from, err = o.settle(d, &f, from)
	}
	return f, from, data, err
}

// settle puts into a joint what the job says of it, and its tight middle: where
// none is asked for, the greatest that this joint allows, which is better known
// than the trial cuts the design goes by.
func (o *fitOptions) settle(d *design.Design, f *estimate.JointFit, from []string) ([]string, error) {
	tip, err := o.cutterRadius(d)
	if err != nil {
		return from, err
	}
	if err := d.JoinIn(f, tip); err != nil {
		return from, fmt.Errorf("fit: %w", err)
	}
	f.Tight = d.Tight()
	if o.Fit.TightMiddle != job.TightBest {
		return from, nil
	}
	if f.Tight, err = f.DefaultTight(); err != nil {
		return from, fmt.Errorf("fit: %w", err)
	}
	if o.file != "" && math.Abs(f.Tight-d.Tight()) > 1e-9 {
		from = append(from, fmt.Sprintf("so well known, the casting bears a tight middle of %s; the programs are made with %s until the job says fit.tight_middle", inBoth(f.Tight, d.Job.Units), inBoth(d.Tight(), d.Job.Units)))
	}
	return from, nil
}

func (o *fitOptions) fromPins(d *design.Design, data map[string]any) (f estimate.JointFit, from []string, _ map[string]any, err error) {
	slot := d.Slot()
	play, err := lengthFlag("play", o.play, o.Units)
	if err != nil {
		return f, nil, nil, err
	}
	read := func(flag, text string, answer func(pin, size float64) (measure.DovetailReading, error)) (measure.DovetailReading, error) {
		pin, rs, err := pinnedReadings(text, o.Units)
		var r measure.DovetailReading
		if err == nil {
			mean := 0.0
			for _, v := range rs {
				mean += v.Value / float64(len(rs))
			}
			r, err = answer(pin, mean)
		}
		if err != nil {
			return r, fmt.Errorf("--%s %q: %w", flag, text, err)
		}
		return r, nil
	}
	cut, err := read("slot-pins", o.slotPins, func(pin, size float64) (measure.DovetailReading, error) {
		return measure.ReadSlot(slot, size, pin)
	})
	if err != nil {
		return f, nil, nil, err
	}
	slot.Mouth = cut.Mouth
	if f, err = estimate.FitFromPins(slot, play); err != nil {
		return f, nil, nil, fmt.Errorf("fit: %w", err)
	}
	data["slot_mouth_mm"] = cut.Mouth
	from = []string{fmt.Sprintf("from pins: the slot's mouth is %s (%s against %s), the insert slides at %s", inBoth(cut.Mouth, d.Job.Units), signedIn(cut.Over, d.Job.Units), inBoth(o.Slot.Mouth, d.Job.Units), inBoth(f.Sliding, d.Job.Units))}
	if from, err = o.settle(d, &f, from); err != nil || o.overPins == "" {
		return f, from, data, err
	}
	insert := profiles.DovetailSize{Mouth: f.Sliding, Depth: o.Slot.Depth, HalfAngle: slot.HalfAngle}
	now, err := read("insert-pins", o.overPins, func(pin, size float64) (measure.DovetailReading, error) {
		return measure.ReadInsert(insert, size, pin)
	})
	if err != nil {
		return f, nil, nil, err
	}
	tight := f.Tight
	data["insert_mouth_now_mm"], data["insert_to_sliding_mm"], data["insert_to_tight_mm"] = now.Mouth, now.Over, now.Over-tight
	from = append(from, fmt.Sprintf("the insert is %s under its shoulders now: %s to come off at the ends, %s in the middle", inBoth(now.Mouth, d.Job.Units), inBoth(now.Over, d.Job.Units), inBoth(now.Over-tight, d.Job.Units)))
	if now.Over < tight {
		from = append(from, "that is less than the tight middle needs: this insert is already too narrow for it")
	}
	return f, from, data, nil
}

func runFit(o fitOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	if err := o.need("face", "mouth", "slot-depth"); err != nil {
		return err
	}
	d, err := design.Of(o.Job)
	if err != nil {
		return fmt.Errorf("fit: %w", err)
	}
	if o.wall != "" {
		return fmt.Errorf("fit: --wall is no longer used: the stress is worked out in the whole section; --rim-inner and the job's places say what stands beside the slot")
	}
	f, from, data, err := o.joint(d)
	if err != nil {
		return err
	}
	r, err := f.Fit()
	if err != nil {
		return fmt.Errorf("fit: %w", err)
	}
	if o.out != "" {
		if err := o.picture(f, r); err != nil {
			return err
		}
	}
	if o.json {
		err = printJSON(w, fitData(f, r, data))
	} else {
		printFit(w, o.Units, f, r, from)
		o.printEntry(w, f)
	}
	if err == nil && r.Verdict == estimate.FitTooTight {
		return errFound
	}
	return err
}

// picture writes the PNG of the stress.
func (o *fitOptions) picture(f estimate.JointFit, r estimate.FitResult) error {
	if len(r.Cases) == 0 {
		return fmt.Errorf("fit: --out: nothing presses on the casting, so there is no stress to draw")
	}
	path := o.out
	if !strings.EqualFold(filepath.Ext(path), ".png") {
		if err := os.MkdirAll(path, 0o755); err != nil {
			return outdir.PlainError(err)
		}
		path = filepath.Join(path, "stress.png")
	}
	return writePicture(preview.StressFigure(preview.StressScene{
		Title: o.Heading(), Name: "stress", Fingerprint: o.Fingerprint, Units: o.Units, Stress: f.Stress, Cases: r.Cases}), path, o.replace)
}

// cutterRadius is that of the dovetail cutter at its wide end.
func (o *fitOptions) cutterRadius(d *design.Design) (float64, error) {
	if o.tip != "" {
		d, err := lengthFlag("dovetail-cutter", o.tip, o.Units)
		return d / 2, err
	}
	if d.Dovetail != nil {
		return d.Dovetail.Radius(), nil
	}
	return 0, fmt.Errorf("fit: give --dovetail-cutter, or a job file with --job")
}

// printEntry says what to put into the job so that the finishing cut is made
// from the pins.
func (o *fitOptions) printEntry(w io.Writer, f estimate.JointFit) {
	if o.slotPins == "" || o.file == "" {
		return
	}
	value := func(key string, mm float64) string {
		return asCutValue(job.KeyAt(key), measure.SheetReading{Value: mm}, measure.GaugeItem{}, o.Units)
	}
	fmt.Fprintf(w, "\nTo make the programs so, put into the job, in place of fit.step:\n  [fit]\n  play = %s\n  [as_cut]\n  slot.mouth = %s\n",
		value("fit.play", f.Slot.Mouth-f.Sliding), value("as_cut.slot.mouth", f.Slot.Mouth))
	fmt.Fprintln(w, "and, where the insert has been begun, how wide it stands under its shoulders now: insert.mouth_rough, and insert.mouth_trial at its front end")
}

func printFit(w io.Writer, units job.Units, f estimate.JointFit, r estimate.FitResult, from []string) {
	fmt.Fprintf(w, "Verdict: %s.\n", r.Verdict)
	for _, l := range from {
		fmt.Fprintf(w, "  %s\n", l)
	}
	fmt.Fprintf(w, "\nFinishing cut of the insert:\n")
	line := func(what, size string) { fmt.Fprintf(w, "  %-38s %s\n", what, size) }
	line("width under the shoulders, ends", inBoth(f.Sliding, units))
	line("width under the shoulders, middle", inBoth(r.Mouth, units))
	line("the tight flank stands proud by", inBoth(r.Offset, units))
	line("sliding at each end", inBoth(r.StraightEnd, units))
	line("step spread by the cutter's radius", inBoth(max(r.StepLength, r.StepAtMouth), units))
	line("tight as planned, and really", inBoth(r.TightPlanned, units)+", "+inBoth(r.TightLeft, units))
	fmt.Fprintf(w, "\nWhat it does to the casting (an estimate, not a rating):\n")
	line("interference", fmt.Sprintf("%s; %s to %s", inBoth(r.Interference, units), units.Length(r.Least), units.Length(r.Most)))
	line("strain across the dovetail, at most", fmt.Sprintf("%.2f per thousand", 1000*r.Strain))
	line("pressure on the flanks", fmt.Sprintf("%.0f MPa", r.Pressure))
	line("greatest tight middle that is allowed", inBoth(r.LargestTight, units))
	line("greatest interference, if measured", inBoth(r.Allowed, units))
	printCases(w, r.Cases)
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	list(w, "Assumed:", assumptionLines(r.Assumptions))
	list(w, "The stress leaves out:", f.Stress.Limits())
}

// printCases writes the stress of each case.
func printCases(w io.Writer, cases []estimate.StressCase) {
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

// caseData is the cases for JSON.
func caseData(cases []estimate.StressCase) []map[string]any {
	out := []map[string]any{}
	for _, c := range cases {
		out = append(out, map[string]any{"key": c.Key, "what": c.What, "interference_mm": c.Interference, "floor_mpa": c.Floor, "corner_mpa": c.Corner, "hole_mpa": c.Hole,
			"greatest_mpa": c.Greatest.Stress, "where": c.Greatest.What, "at_mm": []float64{c.Greatest.At.Y, c.Greatest.At.Z}, "pressure_mpa": c.Pressure,
			"limit_mpa": c.Limit, "use": c.Use, "decides": c.Decides})
	}
	return out
}

func fitData(f estimate.JointFit, r estimate.FitResult, data map[string]any) map[string]any {
	for k, v := range map[string]any{
		"verdict": r.Verdict.String(), "safe": r.Verdict == estimate.FitSafe, "sliding_mm": f.Sliding, "tight_middle_mouth_mm": r.Mouth, "offset_mm": r.Offset,
		"straight_end_mm": r.StraightEnd, "step_length_mm": r.StepLength, "step_length_at_mouth_mm": r.StepAtMouth,
		"tight_length_planned_mm": r.TightPlanned, "tight_length_left_mm": r.TightLeft,
		"interference_mm": r.Interference, "interference_least_mm": r.Least, "interference_most_mm": r.Most, "strain": r.Strain,
		"pressure_mpa": r.Pressure, "stress": caseData(r.Cases), "allowed_interference_mm": r.Allowed,
		"largest_tight_mm": r.LargestTight, "flattening_mm": r.FlatteningOff, "notes": append([]string{}, r.Notes...), "assumptions": assumptionData(r.Assumptions),
	} {
		data[k] = v
	}
	return data
}

// fitReport is the estimate of the job's fit for make's report: its lines and
// its data.
func fitReport(d *design.Design) (lines []string, data map[string]any) {
	f, err := d.Fit()
	if err != nil {
		return []string{fmt.Sprintf("no estimate: %v", err)}, map[string]any{"verdict": "no estimate", "error": err.Error()}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Fit: %s. Tight middle %s, interference %.3f to %.3f mm; at most %s is allowed here\n",
		f.Result.Verdict, inBoth(f.Joint.Tight, d.Job.Units), f.Result.Least, f.Result.Most, inBoth(f.Result.LargestTight, d.Job.Units))
	printCases(&b, f.Result.Cases)
	return strings.Split(strings.TrimRight(b.String(), "\n"), "\n"), fitData(f.Joint, f.Result, map[string]any{"step": d.Job.Fit.Step})
}
