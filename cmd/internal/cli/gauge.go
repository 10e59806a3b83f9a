package cli

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

type gaugeOptions struct {
	bench
	included     float64
	widthTol     string
	depthTol     string
	tolerance    string
	count        int
	inchPins     bool
	filed        bool
	read, extras []string
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
				if strings.Contains(a, "=") && len(o.read) > 0 {
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
	addBench(c, &o.bench, "thinning", "neighbour-thinning", "mouth", "slot-depth", "body", "tight")
	f := c.Flags()
	f.Float64Var(&o.included, "included", 15, "dovetail's included angle in degrees, without a job file")
	f.StringVar(&o.widthTol, "width-tolerance", "0.02", "plus and minus on widths of slot and insert")
	f.StringVar(&o.depthTol, "depth-tolerance", "0.05", "plus on the slot's depth")
	f.StringVar(&o.tolerance, "tolerance", "", "metal the facets may leave, without a job file (default 0.02)")
	f.IntVar(&o.count, "facets", 0, "facets a flank, in place of a tolerance")
	f.BoolVar(&o.filed, "filed", false, "the tooth is filed to its true flanks")
	f.BoolVar(&o.inchPins, "inch-pins", false, "pins of inch sizes")
	f.StringArrayVar(&o.read, "read", nil, "a reading, as NAME=VALUE or NAME=VALUE@PIN, HEIGHT or TEETH; more may follow")
	return c
}

// sheet is all there is to gauge.
type sheet struct {
	dovetail *profiles.DovetailGauge
	relief   bool // the shoulders' inner corners are relieved: no pin lies there
	tooth    profiles.ToothGauge
	uneven   bool // left and right flanks have facets of their own
	joint    []profiles.GaugeItem
	flank    []profiles.GaugeItem
	remarks  []string
}

func runGauge(o gaugeOptions, w io.Writer) error {
	if err := o.load(); err != nil {
		return err
	}
	s, err := o.sheet()
	if err != nil {
		return err
	}
	if len(o.read) > 0 {
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
		fmt.Fprintf(w, "Mind: %s\n", r)
	}
	return nil
}

// sheet gathers what is to be gauged.
func (o *gaugeOptions) sheet() (*sheet, error) {
	s := &sheet{}
	var err error
	if err := facetFlags(o.Job, o.count, o.given("facets"), o.tolerance); err != nil {
		return nil, err
	}
	if s.tooth, s.uneven, err = toothGauge(o.Job, o.neighbours()); err != nil {
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
	slices.SortStableFunc(s.flank, func(a, b profiles.GaugeItem) int {
		return strings.Compare(first(a.Key == "tooth.chord_facet"), first(b.Key == "tooth.chord_facet"))
	})
	if s.uneven {
		s.remarks = append(s.remarks, "the left flank's facets differ: what is expected of the tooth holds for the right one, the limits for both")
	}
	if o.Slot.Mouth > 0 || o.file != "" {
		if err := o.dovetailSheet(s); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// facetFlags lays the flags on the facets over the job's.
func facetFlags(j *job.Job, count int, counted bool, tolerance string) error {
	switch {
	case counted && tolerance != "":
		return fmt.Errorf("--facets and --tolerance do not go together")
	case counted:
		if count < 1 || count > profiles.MaxFacets {
			return fmt.Errorf("--facets %d: it must be 1 to %d", count, profiles.MaxFacets)
		}
		j.Facets.Count, j.Facets.Tolerance = count, 0
	case tolerance != "":
		v, err := lengthFlag("tolerance", tolerance)
		if err != nil {
			return err
		}
		if !(v > 0) {
			return fmt.Errorf("--tolerance %q: it must be positive", tolerance)
		}
		j.Facets.Count, j.Facets.Tolerance = 0, v
	}
	return nil
}

// first makes what counts sort before the rest.
func first(yes bool) string {
	if yes {
		return ""
	}
	return "~"
}

// toothGauge is the new tooth of the job with the facets its device allows;
// uneven says that the left flank's differ.
func toothGauge(j *job.Job, neighbours profiles.Gear) (t profiles.ToothGauge, uneven bool, err error) {
	f, err := metal.FlanksOf(j)
	if err != nil {
		return t, false, err
	}
	if len(f.Right.Rolls) == 0 {
		return t, false, fmt.Errorf("the index device allows no facet on this flank")
	}
	return profiles.ToothGauge{
		Tooth: j.Gear.Gear, Neighbours: neighbours, Facets: profiles.FacetsAt(f.Right.Rolls, -f.Allowance),
		Low: 0 - f.Allowance, High: f.Limit - f.Allowance,
	}, !slices.Equal(f.Left.Rolls, f.Right.Rolls), nil
}

// slotSize is the slot as it is to be cut.
func (b *bench) slotSize() profiles.DovetailSize {
	return profiles.DovetailSize{Mouth: b.Slot.Mouth, Depth: b.Slot.Depth + b.Slot.Deeper, HalfAngle: b.Slot.HalfAngle}
}

func (o *gaugeOptions) dovetailSheet(s *sheet) error {
	if err := o.need("mouth", "slot-depth", "body"); err != nil {
		return err
	}
	if o.file == "" {
		o.Slot.HalfAngle = geom.Radians(o.included / 2)
	}
	slide := o.Slot.Mouth
	if o.file != "" {
		slide = metal.SlideWidth(o.Job, max(1, o.Fit.Step))
		if o.Fit.Step == 0 {
			s.remarks = append(s.remarks, "the job has no fit.step yet: the insert's sizes are those of the first trial cut")
		}
	}
	width, err := lengthFlag("width-tolerance", o.widthTol)
	if err != nil {
		return err
	}
	depth, err := lengthFlag("depth-tolerance", o.depthTol)
	if err != nil {
		return err
	}
	s.relief = o.Insert.Relief > 0
	g := profiles.DovetailGauge{
		Slot:   o.slotSize(),
		Insert: profiles.DovetailSize{Mouth: slide + o.Fit.TightMiddle, Depth: o.Slot.Depth, HalfAngle: o.Slot.HalfAngle},
		Slide:  slide, Shoulder: (o.Insert.Body - slide - o.Fit.TightMiddle) / 2,
		Width: width, Depth: depth, InchStock: o.inchPins,
	}
	if s.relief {
		// No pin lies in a relieved corner.
		g.Shoulder = 0
		s.remarks = append(s.remarks, "the insert's shoulders are relieved at their inner corners, so no pin lies there: gauge the widths")
	}
	if s.joint, err = g.Items(); err != nil {
		return fmt.Errorf("gauge: %w", err)
	}
	s.dovetail = &g
	s.remarks = append(s.remarks, fmt.Sprintf("limits of slot and insert are our own: %s on widths (--width-tolerance), %s deeper (--depth-tolerance)", both(width), both(depth)))
	return nil
}

// printItems prints a part of the sheet.
func printItems(w io.Writer, heading string, items []profiles.GaugeItem) {
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
func withWhat(i profiles.GaugeItem) string {
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

func itemData(items []profiles.GaugeItem) []map[string]any {
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

// gaugeReading is one --read: a name, the reading, and what it was read with.
type gaugeReading struct {
	name  string
	value float64
	with  string // "" : as the sheet has it
}

func parseGaugeReading(text string) (gaugeReading, error) {
	name, rest, ok := strings.Cut(text, "=")
	if !ok {
		return gaugeReading{}, fmt.Errorf("--read %q: it must be NAME=READING, such as slot.depth=6.29", text)
	}
	value, with, at := strings.Cut(rest, "@")
	r, err := oneReading(value)
	if err != nil {
		return gaugeReading{}, fmt.Errorf("--read %q: %w", text, err)
	}
	if at && strings.TrimSpace(with) == "" {
		return gaugeReading{}, fmt.Errorf("--read %q: after @ a pin, height or number of teeth is wanted", text)
	}
	return gaugeReading{strings.TrimSpace(name), r.value, strings.TrimSpace(with)}, nil
}

// verdict is what one reading says.
type verdict struct {
	name   string
	within bool
	lines  []string
	data   map[string]any
}

func (o *gaugeOptions) readBack(s *sheet, stdout io.Writer) error {
	w := &bytes.Buffer{}
	var rs []gaugeReading
	depth := 0.0
	for _, text := range append(slices.Clone(o.read), o.extras...) {
		r, err := parseGaugeReading(text)
		if err != nil {
			return err
		}
		if r.name == "slot.depth" {
			depth = r.value
		}
		rs = append(rs, r)
	}
	all := true
	answers := []map[string]any{}
	for _, r := range rs {
		v, err := s.answer(r, depth)
		if err != nil {
			return fmt.Errorf("--read %s: %w", r.name, err)
		}
		all = all && v.within
		v.data["name"], v.data["read_mm"], v.data["within"] = r.name, r.value, v.within
		answers = append(answers, v.data)
		if o.json {
			continue
		}
		word := "within limits"
		if !v.within {
			word = "NOT within limits"
		}
		fmt.Fprintf(w, "%s %s: %s\n", r.name, both(r.value), word)
		for _, l := range v.lines {
			fmt.Fprintf(w, "  %s\n", l)
		}
	}
	if o.json {
		if err := printJSON(w, map[string]any{"readings": answers, "all_within": all}); err != nil {
			return err
		}
	}
	if _, err := w.WriteTo(stdout); err != nil {
		return err
	}
	if !all {
		return errFound
	}
	return nil
}

// answer says what one reading means; depth is the slot's as read, or 0.
func (s *sheet) answer(r gaugeReading, depth float64) (verdict, error) {
	items := append(slices.Clone(s.joint), s.flank...)
	at := slices.IndexFunc(items, func(i profiles.GaugeItem) bool { return i.Key == r.name })
	if at < 0 {
		names := make([]string, len(items))
		for i, it := range items {
			names[i] = it.Key
		}
		return verdict{}, fmt.Errorf("no such size; there are %s", strings.Join(names, ", "))
	}
	item := items[at]
	switch r.name {
	case "slot.between_pins", "insert.over_pins_tight", "insert.over_pins_sliding":
		return s.answerDovetail(item, r, depth)
	case "tooth.chord", "tooth.chord_facet", "tooth.span", "tooth.over_pins":
		return s.answerTooth(item, r)
	case "old.span", "old.over_pins":
		return s.answerOld(item, r)
	}
	if r.with != "" {
		return verdict{}, fmt.Errorf("it is measured plain, without @%s", r.with)
	}
	v := verdict{name: r.name, within: r.value >= item.Low && r.value <= item.High}
	over := r.value - item.Nominal
	v.data = map[string]any{"over_nominal_mm": over, "low_mm": item.Low, "high_mm": item.High}
	v.lines = []string{fmt.Sprintf("limits %s to %s; off by %s", both(item.Low), both(item.High), signed(over))}
	switch {
	case v.within:
	case r.name == "slot.depth" && over < 0:
		v.lines = append(v.lines, "cut deeper by "+both(-over))
	case r.name == "slot.depth":
		v.lines = append(v.lines, "too deep: the insert still stands on its shoulders; the room under it is filled with adhesive")
	case strings.HasPrefix(r.name, "slot.") && over < 0, strings.HasPrefix(r.name, "insert.") && over > 0:
		v.lines = append(v.lines, "take "+both(math.Abs(over)/2)+" off each flank")
	default:
		v.lines = append(v.lines, tooMuch(r.name))
	}
	return v, nil
}

// tooMuch says what to do when more metal is gone than should be.
func tooMuch(name string) string {
	if strings.HasPrefix(name, "slot.") {
		return "wider than meant: put the width into the job as slot.mouth and make the insert to it"
	}
	return "narrower than meant: it will be loose; make another insert"
}

// pinOf takes the pin after the @, or the sheet's.
func pinOf(item profiles.GaugeItem, r gaugeReading) (float64, error) {
	if r.with == "" {
		if item.Pin == 0 {
			return 0, fmt.Errorf("the sheet has no pin for it; name yours after an @")
		}
		return item.Pin, nil
	}
	p, err := oneReading(r.with)
	return p.value, err
}

func (s *sheet) answerDovetail(item profiles.GaugeItem, r gaugeReading, depth float64) (verdict, error) {
	pin, err := pinOf(item, r)
	if err != nil {
		return verdict{}, err
	}
	if s.relief && r.name != "slot.between_pins" {
		return verdict{}, fmt.Errorf("the shoulders are relieved, so no pin lies in their corners; gauge the width")
	}
	v := verdict{name: r.name}
	var read profiles.DovetailReading
	switch r.name {
	case "slot.between_pins":
		slot := s.dovetail.Slot
		if depth > 0 {
			slot.Depth = depth
		} else {
			v.lines = append(v.lines, "taken as "+both(slot.Depth)+" deep; with --read slot.depth=... too it is surer")
		}
		read, err = profiles.ReadSlot(slot, r.value, pin)
	case "insert.over_pins_tight":
		read, err = profiles.ReadInsert(s.dovetail.Insert, r.value, pin)
	default:
		size := s.dovetail.Insert
		size.Mouth = s.dovetail.Slide
		read, err = profiles.ReadInsert(size, r.value, pin)
	}
	if err != nil {
		return verdict{}, err
	}
	v.within = math.Abs(read.Over) <= s.dovetail.Width
	v.data = map[string]any{"mouth_mm": read.Mouth, "over_nominal_mm": read.Over, "per_flank_mm": read.PerFlank, "pin_mm": pin}
	v.lines = append(v.lines, fmt.Sprintf("by pins of %s: mouth %s, off by %s", both(pin), both(read.Mouth), signed(read.Over)))
	switch {
	case v.within:
	case read.PerFlank > 0:
		v.lines = append(v.lines, "take "+both(read.PerFlank)+" off each flank")
	default:
		v.lines = append(v.lines, tooMuch(r.name))
	}
	return v, nil
}

func (s *sheet) answerTooth(item profiles.GaugeItem, r gaugeReading) (verdict, error) {
	var read profiles.ToothReading
	var err error
	switch r.name {
	case "tooth.span":
		k := item.Teeth
		if r.with != "" {
			if k, err = strconv.Atoi(r.with); err != nil {
				return verdict{}, fmt.Errorf("@%s: a number of teeth is wanted", r.with)
			}
		}
		if k < 2 {
			return verdict{}, fmt.Errorf("this gear has no span; gauge by chord or pins")
		}
		read, err = s.tooth.ReadSpan(k, r.value)
	case "tooth.over_pins":
		var pin float64
		if pin, err = pinOf(item, r); err == nil {
			read, err = s.tooth.ReadPins(pin, r.value)
		}
	default:
		h := reading{value: item.Height}
		if r.with != "" {
			if h, err = oneReading(r.with); err != nil {
				return verdict{}, err
			}
		}
		read, err = s.tooth.ReadChord(h.value, r.value)
	}
	if err != nil {
		return verdict{}, err
	}
	v := verdict{name: r.name, within: read.Within}
	v.data = map[string]any{"thickness_mm": read.Thickness, "metal_left_mm": read.Metal, "low_mm": read.Low, "high_mm": read.High, "change_y_mm": read.ChangeY, "uncertain_by_joints_mm": read.Spread}
	v.lines = []string{fmt.Sprintf("metal left on a flank %s, allowed %s to %s; tooth %s thick on the pitch circle", signed(read.Metal), job.MM.Length(read.Low), job.MM.Length(read.High), both(read.Thickness))}
	switch {
	case read.Metal > read.High:
		v.lines = append(v.lines, "bring the cutter "+both(read.ChangeY)+" nearer to the tooth at every facet (Y zero or cutter diameter), or file it off")
	case read.Metal < read.Low:
		v.lines = append(v.lines, "cut "+both(read.Low-read.Metal)+" too deep: nothing to take off; the tooth has so much more backlash")
	}
	if read.Spread > 0 {
		v.lines = append(v.lines, "on facets sure to "+both(read.Spread)+" only: over a joint more is read than on a flat")
	}
	return v, nil
}

func (s *sheet) answerOld(item profiles.GaugeItem, r gaugeReading) (verdict, error) {
	n := s.tooth.Neighbours
	var thin float64
	if r.name == "old.span" {
		k := item.Teeth
		if r.with != "" {
			var err error
			if k, err = strconv.Atoi(r.with); err != nil {
				return verdict{}, fmt.Errorf("@%s: a number of teeth is wanted", r.with)
			}
		}
		if _, err := n.Span(k); err != nil {
			return verdict{}, err
		}
		thin = n.ThinningFromSpan(k, r.value)
	} else {
		pin, err := pinOf(item, r)
		if err == nil {
			thin, err = n.ThinningFromPins(pin, r.value)
		}
		if err != nil {
			return verdict{}, err
		}
	}
	v := verdict{name: r.name, within: true, data: map[string]any{"neighbour_thinning_mm": thin, "job_neighbour_thinning_mm": n.Thinning}}
	v.lines = []string{fmt.Sprintf("standing teeth thinned by %s (gear.neighbour_thinning); the job has %s", both(thin), both(n.Thinning))}
	return v, nil
}
