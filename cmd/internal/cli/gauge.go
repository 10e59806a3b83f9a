package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/profiles"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

type gaugeOptions struct {
	gearFlags
	widthTol string
	depthTol string
	inchPins bool
	pins     string
	filed    bool
	readings []string
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
			files, more, err := readingArgs(args, o.readings)
			if err != nil {
				return err
			}
			o.readings = append(o.readings, more...)
			if err := o.jobArg(c, files); err != nil {
				return err
			}
			return runGauge(o, c.OutOrStdout())
		},
	}
	addGearFlags(c, &o.gearFlags, "thinning", "neighbour-thinning", "mouth", "slot-depth", "included", "body", "tight", "facets", "tolerance")
	f := c.Flags()
	f.StringVar(&o.widthTol, "width-tolerance", "", fmt.Sprintf("plus on the widths of the slot, minus on those of the insert (default %g mm)", design.UsualWidth))
	f.StringVar(&o.depthTol, "depth-tolerance", "", fmt.Sprintf("plus on the slot's depth (default %g mm)", design.UsualDepth))
	f.BoolVar(&o.filed, "filed", false, "the tooth is filed to its true flanks")
	f.BoolVar(&o.inchPins, "inch-pins", false, "pins of inch sizes (an inch job has them anyway)")
	f.StringVar(&o.pins, "pins", "", "the pins you have, as \"4.76, 5\", in place of those one can buy up to 50 mm")
	f.StringArrayVar(&o.readings, "read", nil, "a reading, as NAME=VALUE or NAME=VALUE@PIN, HEIGHT or TEETH; more may follow")
	return c
}

func runGauge(o gaugeOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	d, err := design.Of(o.Job)
	if err != nil {
		return fmt.Errorf("gauge: %w", err)
	}
	how, err := o.gauging()
	if err != nil {
		return err
	}
	s, remarks, err := d.Sheet(how)
	if err != nil {
		return fmt.Errorf("gauge: %w", err)
	}
	if len(o.readings) > 0 {
		return o.readBack(d, how, s, w)
	}
	if o.json {
		return printJSON(w, map[string]any{"gear": answer.GearData(o.Gear.Gear), "slot_and_insert": answer.ItemData(s.Joint), "tooth": answer.ItemData(s.Tooth), "remarks": append([]string{}, remarks...)})
	}
	fmt.Fprintf(w, "%s\n", answer.Gear(o.Gear.Gear))
	if len(s.Joint) > 0 {
		answer.Items(w, "Slot and insert", s.Joint, o.Units)
	}
	f := &d.Flanks
	heading := fmt.Sprintf("New tooth, %s a flank, %s to %s of metal left", job.Counted(len(f.Right.Rolls), "facet"), o.Units.Length(0-f.Allowance), o.Units.Length(f.Limit-f.Allowance))
	if o.filed {
		heading = "New tooth, filed to its true flanks"
	}
	answer.Items(w, heading, s.Tooth, o.Units)
	for _, r := range remarks {
		fmt.Fprintf(w, "Note: %s\n", r)
	}
	return nil
}

// gauging is what the flags say of how to measure.
func (o *gaugeOptions) gauging() (g design.Gauging, err error) {
	g = design.Gauging{Width: design.UsualWidth, Depth: design.UsualDepth, Filed: o.filed, AsSlot: o.file == ""}
	if g.ToothOnly = o.file == "" && !o.given("mouth") && !o.given("slot-depth") && !o.given("body"); !g.ToothOnly {
		if err := o.need("mouth", "slot-depth", "body"); err != nil {
			return g, err
		}
	}
	for _, l := range []struct {
		name, text string
		at         *float64
	}{{"width-tolerance", o.widthTol, &g.Width}, {"depth-tolerance", o.depthTol, &g.Depth}} {
		if l.text == "" {
			continue
		}
		if *l.at, err = lengthFlag(l.name, l.text, o.Units); err != nil {
			return g, err
		}
	}
	switch {
	case o.pins != "" && o.inchPins:
		return g, fmt.Errorf("--pins and --inch-pins do not go together")
	case o.inchPins:
		g.Pins = profiles.StockPins(true)
	case o.pins != "":
		for _, text := range strings.Split(o.pins, ",") {
			pin, err := lengthFlag("pins", strings.TrimSpace(text), o.Units)
			if err != nil {
				return g, err
			}
			if !(pin > 0) {
				return g, fmt.Errorf("--pins %q: a diameter must be positive", text)
			}
			g.Pins = append(g.Pins, pin)
		}
	}
	return g, nil
}
