package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cogmend/profiles"
	"cogmend/profiles/measure"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

type gaugeOptions struct {
	gearFlags
	widthTol         string
	depthTol         string
	inchPins         bool
	filed            bool
	readings, extras []string
}

func newGauge() *cobra.Command {
	o := gaugeOptions{}
	c := &cobra.Command{
		Use:   "gauge [JOB.toml] [--read NAME=READING...]",
		Short: "What to measure on slot, insert and tooth, with limits; and what readings mean",
		Long: `Print the sizes to measure: slot and insert plain and over or between pins one can
buy, the new tooth by chord, span and pins, as it will be with its facets and
with the limits that the metal left on its flanks allows.

With --read the other way round: what was cut, whether it is within the limits,
and what to change. NAME is the one the sheet prints. When you had another pin,
height or count of teeth than the sheet's, put it after an @.

Without a job file the tooth is gauged from the gear's flags; slot and insert
need --mouth, --slot-depth, --included and --body as well.

Exit code: 0 all within limits, 1 a reading is not, 2 usage or job file.`,
		Example: `  cogmend gauge press.toml
  cogmend gauge press.toml --read slot.between_pins=0.25
  cogmend gauge press.toml --read tooth.span=44.31 tooth.chord_facet=5.15 slot.depth="0.2485 in"
  cogmend gauge press.toml --read tooth.span=53.96@6 slot.between_pins=2.38@2 tooth.chord=4.92@3.21
  cogmend gauge --teeth 54 --pitch 8 --angle 14.5 --facets 3 --inch-pins`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			var files []string
			for _, a := range args {
				if strings.Contains(a, "=") && len(o.readings) > 0 {
					o.extras = append(o.extras, a)
				} else {
					files = append(files, a)
				}
			}
			if err := o.jobArg(c, files); err != nil {
				return err
			}
			return runGauge(o, c.OutOrStdout())
		},
	}
	addGearFlags(c, &o.gearFlags, "thinning", "neighbour-thinning", "mouth", "slot-depth", "included", "body", "tight", "facets", "tolerance")
	f := c.Flags()
	f.StringVar(&o.widthTol, "width-tolerance", usualWidth, "plus and minus on widths of slot and insert")
	f.StringVar(&o.depthTol, "depth-tolerance", usualDepth, "plus on the slot's depth")
	f.BoolVar(&o.filed, "filed", false, "the tooth is filed to its true flanks")
	f.BoolVar(&o.inchPins, "inch-pins", false, "pins of inch sizes")
	f.StringArrayVar(&o.readings, "read", nil, "a reading, as NAME=VALUE or NAME=VALUE@PIN, HEIGHT or TEETH; more may follow")
	return c
}

// Limits of slot and insert when no others are asked for: common practice.
const (
	usualWidth = "0.02 mm"
	usualDepth = "0.05 mm"
)

// sheet is all there is to gauge.
type sheet struct {
	dovetail *measure.DovetailGauge
	tooth    measure.ToothGauge
	uneven   bool // left and right flanks have facets of their own
	joint    []measure.GaugeItem
	flank    []measure.GaugeItem
	remarks  []string
}

func runGauge(o gaugeOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	d, err := design.Of(o.Job)
	if err != nil {
		return fmt.Errorf("gauge: %w", err)
	}
	s, err := o.sheet(d)
	if err != nil {
		return err
	}
	if len(o.readings) > 0 {
		return o.readBack(s, w)
	}
	if o.json {
		return printJSON(w, map[string]any{"gear": gearData(o.Gear.Gear), "slot_and_insert": itemData(s.joint), "tooth": itemData(s.flank), "remarks": append([]string{}, s.remarks...)})
	}
	fmt.Fprintf(w, "%s\n", gearLine(o.Gear.Gear))
	if s.dovetail != nil {
		printItems(w, "Slot and insert", s.joint)
	}
	heading := fmt.Sprintf("New tooth, %d facets a flank, %s to %s of metal left", len(s.tooth.Facets), job.MM.Length(s.tooth.Low), job.MM.Length(s.tooth.High))
	if o.filed {
		heading = "New tooth, filed to its true flanks"
	}
	printItems(w, heading, s.flank)
	for _, r := range s.remarks {
		fmt.Fprintf(w, "Warning: %s\n", r)
	}
	return nil
}

// sheet gathers what is to be gauged.
func (o *gaugeOptions) sheet(d *design.Design) (*sheet, error) {
	s := &sheet{}
	var err error
	if s.tooth, s.uneven, err = d.ToothGauge(); err != nil {
		return nil, err
	}
	s.tooth.InchStock = o.inchPins
	if o.filed {
		s.tooth.Facets, s.tooth.Low = nil, min(0, s.tooth.Low)
	}
	if s.flank, err = s.tooth.Items(); err != nil {
		return nil, fmt.Errorf("gauge: %w", err)
	}
	// The height at which a facet lies on the true flank is the one to trust.
	slices.SortStableFunc(s.flank, func(a, b measure.GaugeItem) int {
		const first = "tooth.chord_facet"
		switch {
		case a.Key == first && b.Key != first:
			return -1
		case b.Key == first && a.Key != first:
			return 1
		}
		return 0
	})
	if s.uneven {
		s.remarks = append(s.remarks, "the left flank's facets differ: what is expected of the tooth holds for the right one, the limits for both")
	}
	if o.file != "" || o.given("mouth") || o.given("slot-depth") || o.given("body") {
		if err := o.dovetailSheet(d, s); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func (o *gaugeOptions) dovetailSheet(d *design.Design, s *sheet) error {
	if err := o.need("mouth", "slot-depth", "body"); err != nil {
		return err
	}
	slide := o.Slot.Mouth
	if o.file != "" {
		slide = d.SlideWidth(max(1, o.Fit.Step))
		if o.Fit.Step == 0 {
			s.remarks = append(s.remarks, "the job has no fit.step yet: the insert's sizes are those of the first trial cut")
		}
	}
	width, err := lengthFlag("width-tolerance", o.widthTol, o.Units)
	if err != nil {
		return err
	}
	depth, err := lengthFlag("depth-tolerance", o.depthTol, o.Units)
	if err != nil {
		return err
	}
	g := measure.DovetailGauge{
		Slot:   d.Slot(),
		Insert: profiles.DovetailSize{Mouth: slide + o.Fit.TightMiddle, Depth: o.Slot.Depth, HalfAngle: o.Slot.HalfAngle},
		Slide:  slide, Shoulder: (o.Insert.Body - slide - o.Fit.TightMiddle) / 2,
		Width: width, Depth: depth, InchStock: o.inchPins,
	}
	if s.joint, err = g.Items(); err != nil {
		return fmt.Errorf("gauge: %w", err)
	}
	s.dovetail = &g
	s.remarks = append(s.remarks, fmt.Sprintf("limits of slot and insert are our own: %s on widths (--width-tolerance), %s deeper (--depth-tolerance)", both(width), both(depth)))
	return nil
}

// printItems prints a part of the sheet.
func printItems(w io.Writer, heading string, items []measure.GaugeItem) {
	fmt.Fprintf(w, "\n%s:\n", heading)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  name\twith\texpect mm\tlimits mm\tlimits in")
	var notes []string
	for _, i := range items {
		if i.Nominal == 0 {
			fmt.Fprintf(t, "  %s\t-\t-\t-\t-\n", i.Key)
		} else {
			limits, inches := "-", fmt.Sprintf("%.4f", i.Nominal/25.4)
			if i.High > i.Low {
				limits, inches = fmt.Sprintf("%.3f to %.3f", i.Low, i.High), fmt.Sprintf("%.4f to %.4f", i.Low/25.4, i.High/25.4)
			}
			fmt.Fprintf(t, "  %s\t%s\t%.3f\t%s\t%s\n", i.Key, withWhat(i), i.Nominal, limits, inches)
		}
		note := i.Key + ": " + i.What
		if i.Note != "" {
			note += "; " + i.Note
		}
		notes = append(notes, note)
	}
	t.Flush()
	for _, n := range notes {
		fmt.Fprintf(w, "  %s\n", n)
	}
}

// withWhat names the pin, the height or the teeth of a size.
func withWhat(i measure.GaugeItem) string {
	switch {
	case i.Pin > 0:
		return "pins " + both(i.Pin)
	case i.Height > 0:
		return "height " + both(i.Height)
	case i.Teeth > 0:
		return count(i.Teeth, "teeth")
	}
	return "-"
}

func itemData(items []measure.GaugeItem) []map[string]any {
	out := []map[string]any{}
	for _, i := range items {
		d := map[string]any{"name": i.Key, "what": i.What, "note": i.Note}
		if i.Nominal != 0 {
			d["expect_mm"], d["low_mm"], d["high_mm"] = i.Nominal, i.Low, i.High
		}
		if i.Pin > 0 {
			d["pin_mm"] = i.Pin
		}
		if i.Height > 0 {
			d["height_mm"] = i.Height
		}
		if i.Teeth > 0 {
			d["teeth"] = i.Teeth
		}
		out = append(out, d)
	}
	return out
}
