package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/cmd/internal/outdir"
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
	chord, touches      []string
	face, bore          string
	inch, replace, json bool
	units               job.Units // of lengths without a unit
}

const identifyHelp = `Rank the standard gears that a gear may be, from what was measured on it: modules
and diametral pitches, 14.5, 20 and 25 degrees, full depth, older full depth and
stub; and, as rarer, the odd sizes of old machines (modules 3.25, 3.75 and 6.5,
22 DP, 15 and 22.5 degrees). Profile shift, tips shortened for it, and wear are
taken as unknown. Beside them stands a gear that is none of these, with its
chance: the chances add up to 100 %, and what is called 95 % is so 95 times of 100.

Count the teeth, with those missing. Then give any of these, each as often as
you like; several readings of one size go in one text:
  --outside  over the tips               --root    over the roots, twice their radius
  --depth    from tip to root            --centre  "MATE'S TEETH: distance of the axes"
  --span     "TEETH SPANNED: readings"   --over-pins  "PIN: readings over two pins"
  --chord    "HEIGHT UNDER THE TIP: chords by tooth vernier"
  --touches  "Y1 Y2 Y3 ...": where the spindle stands when the side of a still cutter
             touches like flanks of successive teeth, the gear level, from tooth to
             tooth toward one side; each step is the base pitch. A touch on a tip's
             corner is found out and left out.

A reading is in mm (in inches with --inch or an inch job), or has a unit: 23.41,
"0.922 in". After ± (or +/-) stands its standard uncertainty, within which two of
three readings fall; without a unit of its own it is in the reading's. Without ± the
instrument's counts: vernier 0.03 mm, micrometer 0.01 mm; a touch 0.02 mm.

Span over k and over k+1 good teeth: the difference is the base pitch, and wear
cannot change it. Turn about and span in several places. Touches on both
sides, of the right flank j teeth to the right and the left flank j teeth to the
left, stand apart by the span over 2j+1 teeth, the cutter's diameter and two papers.

The answer lists the likeliest gears with the misfit of every reading, says a tie
when it is one, names the one further measurement that would separate the first
two, asks whether a reading was in the other unit where that would fit, and ends
with a [gear] table to paste into a job file.

Exit code: 0 a gear fits, 1 no standard gear fits the readings, 2 usage.`

func newIdentify() *cobra.Command {
	o := identifyOptions{}
	c := &cobra.Command{
		Use:   "identify --teeth N [readings]",
		Short: "Tell from readings which standard gear it is",
		Long:  identifyHelp,
		Example: `  cogmend identify --teeth 54 --outside "7.000 in"
  cogmend identify --teeth 54 --outside 177.78 --span "5: 44.30 44.29" --span "6: 53.96"
  cogmend identify --teeth 54 --span "5: 1.7441 1.7438 in ±0.0005 in" --new press.toml
  cogmend identify --teeth 40 --over-pins "5: 126.51" --instrument micrometer
  cogmend identify --teeth 54 --outside 177.78 --chord "3.22: 4.93" --touches "12.52 22.18 31.83"
  cogmend identify --job press.toml --span "5: 44.30"     does it agree with the job?`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("identify: %q stands behind no flag: say what was measured, as --outside %q; a job file stands behind --job", args[0], args[0])
			}
			return nil
		},
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
	f.StringArrayVar(&o.chord, "chord", nil, "chord by tooth vernier at a height under the tip, as \"3.22: 4.93\"")
	f.StringArrayVar(&o.touches, "touches", nil, "spindle's Y at touches on successive teeth, as \"12.52 22.18 31.83\"")
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

// readings gathers the flags' readings, and what the touches say.
func (o *identifyOptions) readings() ([]measure.Reading, []measure.Touched, error) {
	var sigma float64
	switch o.instrument {
	case "vernier":
		sigma = measure.VernierSigma
	case "micrometer":
		sigma = measure.MicrometerSigma
	default:
		return nil, nil, fmt.Errorf("--instrument %q: it must be vernier or micrometer", o.instrument)
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
		{"chord", o.chord, measure.ChordSize},
	} {
		for _, text := range kind.texts {
			like := measure.Reading{Kind: kind.kind}
			var rs []job.Reading
			var err error
			switch kind.kind {
			case measure.SpanSize:
				like.Teeth, rs, err = job.ParseCounted(text, "a number of teeth", o.units)
			case measure.CentreDistance:
				like.Teeth, rs, err = job.ParseCounted(text, "the mate's number of teeth", o.units)
			case measure.PinSize:
				like.Pin, rs, err = job.ParseSized(text, "the pin's diameter", o.units)
			case measure.ChordSize:
				like.Height, rs, err = job.ParseSized(text, "the height under the tip", o.units)
			default:
				rs, err = job.ParseReadings(text, o.units)
			}
			if err != nil {
				return nil, nil, fmt.Errorf("--%s %q: %w", kind.flag, text, err)
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
	touched, err := o.touchSteps()
	if err != nil {
		return nil, nil, err
	}
	for _, t := range touched {
		out = append(out, t.Reading)
	}
	if len(out) == 0 {
		return nil, nil, fmt.Errorf("identify: no reading; give --outside or --span, see 'cogmend identify --help'")
	}
	return out, touched, nil
}

// touchSteps reads the touches.
func (o *identifyOptions) touchSteps() ([]measure.Touched, error) {
	var out []measure.Touched
	for _, text := range o.touches {
		rs, err := job.ParseReadings(text, o.units)
		if err != nil {
			return nil, fmt.Errorf("--touches %q: %w", text, err)
		}
		sigma := 0.0
		var places []float64
		for _, r := range rs {
			places, sigma = append(places, r.Value), max(sigma, r.Sigma)
		}
		if sigma == 0 {
			sigma = measure.TouchSigma
		}
		t, err := measure.Steps(places, sigma)
		if err != nil {
			return nil, fmt.Errorf("--touches %q: %w", text, err)
		}
		out = append(out, t)
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
	readings, touched, err := o.readings()
	if err != nil {
		return err
	}
	var known job.Start
	if o.inch {
		known.Units = job.Inch
	}
	if err := o.measured(&known); err != nil {
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
	if o.take < 1 || o.take > max(1, len(id.Candidates)) {
		return fmt.Errorf("--take %d: there are candidates 1 to %d", o.take, len(id.Candidates))
	}
	var start job.Start
	var remarks map[string]string
	if len(id.Candidates) > 0 {
		start, remarks = answer.StartOf(known, id.Candidates[o.take-1], readings)
	}
	told := answer.Identity{Identity: id, Touched: touched, Teeth: o.teeth, Show: o.show, Take: o.take, Units: o.units, Job: j}
	// What was found is printed first: it stands, whether a job can be made of
	// it or not.
	if o.json {
		if err := printJSON(w, told.Data(start, remarks)); err != nil {
			return err
		}
	} else {
		told.Print(w)
	}
	if id.NoFit {
		return errFound // a table would only mislead
	}
	if !o.json {
		fmt.Fprintf(w, "\n%s", answer.GearTable(start, remarks))
	}
	if o.newFile == "" {
		return nil
	}
	return o.writeJob(start, w)
}

// writeJob writes a starting job for the gear.
func (o *identifyOptions) writeJob(start job.Start, w io.Writer) error {
	text, err := job.Starter(start)
	if err != nil {
		if !o.json {
			fmt.Fprintf(w, "\nnot written: %s, for no job can be made of this gear.\n", o.newFile)
		}
		return err
	}
	if err := outdir.WriteFile(o.newFile, text); err != nil {
		return outdir.PlainError(err)
	}
	if !o.json {
		fmt.Fprintf(w, "\nwritten: %s. Measure, fill in, then: cogmend make %s\n", o.newFile, o.newFile)
	}
	return nil
}

// measured reads the sizes that are only handed on.
func (o *identifyOptions) measured(s *job.Start) error {
	for _, l := range []struct {
		name, text string
		at         *float64
	}{{"face", o.face, &s.Face}, {"bore", o.bore, &s.Bore}} {
		if l.text == "" {
			continue
		}
		v, err := lengthFlag(l.name, l.text, o.units)
		if err != nil {
			return err
		}
		if *l.at = v; !(v > 0) {
			return fmt.Errorf("--%s %q: it must be positive", l.name, l.text)
		}
	}
	return nil
}
