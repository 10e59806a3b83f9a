package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
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

// find gathers the joint.
func (o *fitOptions) find(d *design.Design) (f design.Found, err error) {
	n := o.step
	if n == 0 && o.slotPins == "" {
		if d.Job.Fit.Width > 0 {
			if f, err = d.FindMeasured(); err != nil {
				return f, fmt.Errorf("fit: %w", err)
			}
			return f, nil
		}
		n = o.Fit.Step
	}
	switch {
	case o.slotPins != "" && n > 0:
		return f, fmt.Errorf("fit: --step and --slot-pins do not go together")
	case o.overPins != "" && o.slotPins == "":
		return f, fmt.Errorf("fit: --insert-pins needs --slot-pins too")
	case o.slotPins != "":
		return o.fromPins(d)
	case o.file == "":
		return f, fmt.Errorf("fit: give --slot-pins, or --step with a job file")
	case n == 0:
		return f, fmt.Errorf("fit: the job has no fit.step yet: give --step, the number of the trial cut that slid in, or --slot-pins")
	case n < 0 || n > o.Fit.TrialCount:
		return f, fmt.Errorf("--step %d: the job has trial steps 1 to %d", n, o.Fit.TrialCount)
	}
	tip, err := o.cutterRadius(d)
	if err != nil {
		return f, err
	}
	if f, err = d.FindByStep(n, tip); err != nil {
		return f, fmt.Errorf("fit: %w", err)
	}
	return f, nil
}

// fromPins is the joint by the sizes over pins.
func (o *fitOptions) fromPins(d *design.Design) (f design.Found, err error) {
	play, err := lengthFlag("play", o.play, o.Units)
	if err != nil {
		return f, err
	}
	slot, err := o.dovetail("slot-pins", o.slotPins, d.Slot(), measure.ReadSlot)
	if err != nil {
		return f, err
	}
	tip, err := o.cutterRadius(d)
	if err != nil {
		return f, err
	}
	if f, err = d.FindByPins(slot, play, tip); err != nil {
		return f, fmt.Errorf("fit: %w", err)
	}
	if o.overPins != "" {
		now, err := o.dovetail("insert-pins", o.overPins, d.Sliding(f), measure.ReadInsert)
		if err != nil {
			return f, err
		}
		f.Insert = &now
	}
	return f, nil
}

// dovetail reads a flag's pin and readings, of which the mean is taken.
func (o *fitOptions) dovetail(flag, text string, nominal profiles.DovetailSize, read func(nominal profiles.DovetailSize, size, pin float64) (measure.DovetailReading, error)) (r measure.DovetailReading, err error) {
	pin, rs, err := job.ParseSized(text, "the pin's diameter", o.Units)
	if err == nil {
		mean := 0.0
		for _, v := range rs {
			mean += v.Value / float64(len(rs))
		}
		r, err = read(nominal, mean, pin)
	}
	if err != nil {
		err = fmt.Errorf("--%s %q: %w", flag, text, err)
	}
	return r, err
}

func runFit(o fitOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	if o.Job.BuiltUp() {
		return fmt.Errorf("fit: the tooth is built up (repair.by): nothing is let in, so there is nothing to fit")
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
	f, err := o.find(d)
	if err != nil {
		return err
	}
	r, err := f.Joint.Fit()
	if err != nil {
		return fmt.Errorf("fit: %w", err)
	}
	if o.out != "" {
		if err := o.picture(f.Joint, r); err != nil {
			return err
		}
	}
	if o.json {
		err = printJSON(w, answer.FitData(f, r))
	} else {
		planned := d.Tight()
		if o.file == "" {
			planned = f.Joint.Tight // nothing is planned
		}
		answer.Fit(w, d.Job, f, r, planned)
		o.printEntry(w, f.Joint)
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
		return job.KeyAt(key).Entry(mm, 0, o.Units)
	}
	fmt.Fprintf(w, "\nTo make the programs so, put into the job, in place of fit.step:\n  [fit]\n  play = %s\n  [as_cut]\n  slot.mouth = %s\n",
		value("fit.play", f.Slot.Mouth-f.Sliding), value("as_cut.slot.mouth", f.Slot.Mouth))
	fmt.Fprintln(w, "and, where the insert has been begun, how wide it stands under its shoulders now: insert.mouth_rough, and insert.mouth_trial at its front end")
}
