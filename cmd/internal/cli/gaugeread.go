package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cogmend/profiles/measure"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// readBack answers the readings of --read.
func (o *gaugeOptions) readBack(d *design.Design, how design.Gauging, s *measure.Sheet, stdout io.Writer) error {
	w := &bytes.Buffer{}
	rs, sides, err := o.sheetReadings(s)
	if err != nil {
		return err
	}
	// The new tooth is gauged against the standing teeth as they have been read.
	standing := s
	for _, r := range rs {
		a, err := s.Read(r)
		if err == nil && a.Wear != nil {
			how.Standing = &a.Wear.Thinning
			if standing, _, err = d.Sheet(how); err != nil {
				return fmt.Errorf("gauge: %w", err)
			}
		}
	}
	all := true
	answers := []map[string]any{}
	var given []measure.Answer
	for _, r := range rs {
		from := s
		if _, ok := asCutKey(r.Name); ok && !slices.ContainsFunc(s.Items(), func(i measure.GaugeItem) bool { return i.Key == r.Name }) {
			// It has no limits, and is only planned to.
			given = append(given, measure.Answer{Within: true})
			answers = append(answers, map[string]any{"name": r.Name, "read_mm": r.Value, "within": true})
			if !o.json {
				fmt.Fprintf(w, "%s %s: as read\n", r.Name, o.Units.Both(r.Value))
			}
			continue
		}
		if strings.HasPrefix(r.Name, "tooth.") {
			from = standing
		}
		a, err := from.Read(r)
		if err != nil {
			return fmt.Errorf("--read %s: %w", r.Name, o.readingError(err))
		}
		all = all && a.Within
		given = append(given, a)
		answers = append(answers, answerData(r, a))
		if !o.json {
			o.printAnswer(w, r, a, from != s)
		}
	}
	entry, err := o.enter(rs, sides, given)
	if err != nil {
		return err
	}
	if o.json {
		data := map[string]any{"readings": answers, "all_within": all}
		if entry != nil {
			data["as_cut_toml"], data["changes"], data["refused"] = entry.lines, append([]string{}, entry.changes...), append([]string{}, entry.refused...)
		}
		if err := printJSON(w, data); err != nil {
			return err
		}
	} else {
		entry.print(w)
	}
	if _, err := w.WriteTo(stdout); err != nil {
		return err
	}
	if !all {
		return errFound
	}
	return nil
}

// readingError is the error of a reading in the job's unit.
func (o *gaugeOptions) readingError(err error) error {
	var impossible *measure.ErrImpossible
	if !errors.As(err, &impossible) {
		return err
	}
	text := fmt.Sprintf("%s cannot be; %s to %s could", o.Units.Both(impossible.Value), o.Units.Both(impossible.Low), o.Units.Both(impossible.High))
	if impossible.Slip != "" {
		text += ". " + strings.ToUpper(impossible.Slip[:1]) + impossible.Slip[1:]
	}
	return errors.New(text)
}

// sheetReadings parses the flags. A size that lies on one flank of the new
// tooth may say on which, as tooth.span_left: sides has the word, or "".
func (o *gaugeOptions) sheetReadings(s *measure.Sheet) (rs []measure.SheetReading, sides []string, err error) {
	depth := 0.0
	for _, text := range append(slices.Clone(o.readings), o.extras...) {
		side := ""
		if m := oneFlank.FindStringSubmatch(text); m != nil {
			text, side = m[1]+text[len(m[0]):], m[2]
		}
		sides = append(sides, side)
		r, err := parseSheetReading(text, s, o.Units)
		if err != nil {
			return nil, nil, err
		}
		if r.Name == "slot.depth" {
			depth = r.Value
		}
		rs = append(rs, r)
	}
	for i := range rs {
		rs[i].Depth = depth
	}
	return rs, sides, nil
}

// oneFlank is the name of a reading that says on which flank it was taken.
var oneFlank = regexp.MustCompile(`^(tooth\.(?:span|over_pins))_(left|right)`)

// parseSheetReading reads NAME=READING or NAME=READING@PIN, HEIGHT or TEETH.
func parseSheetReading(text string, s *measure.Sheet, units job.Units) (r measure.SheetReading, err error) {
	name, rest, ok := strings.Cut(text, "=")
	if !ok {
		return r, fmt.Errorf("--read %q: it must be NAME=READING, such as slot.depth=6.29", text)
	}
	value, with, at := strings.Cut(rest, "@")
	read, err := job.ParseReading(value, units)
	if err != nil {
		return r, fmt.Errorf("--read %q: %w", text, err)
	}
	r.Name, r.Value, with = strings.TrimSpace(name), read.Value, strings.TrimSpace(with)
	if !at {
		return r, nil
	}
	if with == "" {
		return r, fmt.Errorf("--read %q: after @ a pin, height or number of teeth is wanted", text)
	}
	switch {
	case strings.HasSuffix(r.Name, ".span"):
		if r.Teeth, err = strconv.Atoi(with); err != nil || r.Teeth < 1 {
			return r, fmt.Errorf("--read %s: @%s: a number of teeth is wanted", r.Name, with)
		}
		return r, nil
	case strings.Contains(r.Name, "_pins"), strings.Contains(r.Name, ".chord"):
	case slices.ContainsFunc(s.Items(), func(i measure.GaugeItem) bool { return i.Key == r.Name }):
		return r, fmt.Errorf("--read %s: it is measured plain, without @%s", r.Name, with)
	default:
		return r, nil // the name is refused when it is looked up
	}
	size, err := job.ParseReading(with, units)
	if err == nil && !(size.Value > 0) {
		err = fmt.Errorf("it must be positive")
	}
	if err != nil {
		return r, fmt.Errorf("--read %s: @%s: %w", r.Name, with, err)
	}
	if strings.Contains(r.Name, ".chord") {
		r.Height = size.Value
	} else {
		r.Pin = size.Value
	}
	return r, nil
}

// printAnswer says what a reading means; compared says that the standing teeth
// were read too.
func (o *gaugeOptions) printAnswer(w io.Writer, r measure.SheetReading, a measure.Answer, compared bool) {
	length := func(mm float64) string { return o.Units.Both(mm) }
	word := "within limits"
	switch {
	case a.Wear != nil:
		word = "standing teeth, to compare"
	case !a.Within:
		word = "NOT within limits"
	}
	fmt.Fprintf(w, "%s %s: %s\n", r.Name, length(r.Value), word)
	line := func(format string, args ...any) { fmt.Fprintf(w, "  "+format+"\n", args...) }
	if a.Wear != nil {
		x := a.Wear
		line("thinned by %s (gear.neighbour_thinning); the job has %s", length(x.Thinning), length(o.Gear.NeighbourThinning))
		line("wear and backlash together: %.1f %% of the tooth's thickness, %.1f times the backlash of a new pair (0.04 modules, Machinery's Handbook, from memory)", 100*x.OfTooth, x.OfBacklash)
		return
	}
	with := ""
	if a.Item.Pin > 0 || a.Item.Height > 0 || a.Item.Teeth > 0 {
		with = a.Item.With(o.Units.Both) + ": "
	}
	line("%slimits %s to %s; off by %s", with, length(a.Item.Low), length(a.Item.High), o.Units.Difference(a.Over))
	if compared && a.Item.Height == 0 {
		line("with the standing teeth as read")
	}
	switch {
	case a.Tooth != nil:
		o.printTooth(line, a)
	case a.Dovetail != nil:
		line("mouth %s, off by %s", length(a.Dovetail.Mouth), o.Units.Difference(a.Dovetail.Over))
		if r.Name == "slot.between_pins" && r.Depth == 0 {
			line("taken at the depth it should have; with --read slot.depth=... too it is surer")
		}
	}
	if !a.Within && a.Tooth == nil {
		line("%s", o.widthAdvice(r, a))
	}
	if a.Slip != "" {
		line("or a slip: %s", a.Slip)
	}
}

func (o *gaugeOptions) printTooth(line func(string, ...any), a measure.Answer) {
	t := a.Tooth
	length := func(mm float64) string { return o.Units.Both(mm) }
	line("flank %s off its plan, up to %s of metal left with the facets' own, %s allowed; tooth %s thick on the pitch circle",
		o.Units.Difference(t.Off), length(max(0, t.Metal)), length(t.Limit), length(t.Thickness))
	switch {
	case a.Within:
	case t.Off > 0:
		line("bring the cutter %s nearer to the tooth at every facet (Y zero or cutter diameter), or file it off", length(t.Off))
	default:
		line("cut %s too deep: there is nothing to take off; the tooth has so much more backlash on that flank", length(-t.Off))
	}
	if t.Spread > 0 {
		line("on facets sure to %s only: over a joint more is read than on a flat", length(t.Spread))
	}
}

// widthAdvice says what to do about a width or depth outside its limits.
func (o *gaugeOptions) widthAdvice(r measure.SheetReading, a measure.Answer) string {
	over, perFlank := a.Over, math.Abs(a.Over)/2
	if a.Dovetail != nil {
		over, perFlank = a.Dovetail.Over, math.Abs(a.Dovetail.PerFlank)
	}
	slot := strings.HasPrefix(r.Name, "slot.")
	switch {
	case r.Name == "slot.depth" && over < 0:
		return "cut deeper by " + o.Units.Both(-over)
	case r.Name == "slot.depth":
		return "too deep: the insert still stands on its shoulders; the room under it is filled with adhesive"
	case r.Name == "slot.seat" && over < 0:
		return "mill the seat deeper by " + o.Units.Both(-over) + ", or plan to it, see below"
	case r.Name == "slot.seat":
		return "the seat is low: the insert stands so much lower, see below"
	case slot == (over < 0):
		return "take " + o.Units.Both(perFlank) + " off each flank"
	case slot:
		return "wider than meant: the insert is made that much wider too, see below"
	}
	return "narrower than meant: it will be loose; make another insert"
}

// answerData is an answer in JSON.
func answerData(r measure.SheetReading, a measure.Answer) map[string]any {
	data := map[string]any{"name": r.Name, "read_mm": r.Value, "within": a.Within, "expect_mm": a.Item.Nominal, "over_nominal_mm": a.Over,
		"low_mm": a.Item.Low, "high_mm": a.Item.High, "slip": a.Slip}
	if a.Item.Pin > 0 {
		data["pin_mm"] = a.Item.Pin
	}
	if x := a.Dovetail; x != nil {
		data["mouth_mm"], data["over_nominal_mm"], data["per_flank_mm"] = x.Mouth, x.Over, x.PerFlank
	}
	if x := a.Tooth; x != nil {
		data["thickness_mm"], data["metal_left_mm"], data["metal_allowed_mm"], data["change_y_mm"], data["uncertain_by_joints_mm"] = x.Thickness, x.Metal, x.Limit, x.Off, x.Spread
	}
	if x := a.Wear; x != nil {
		data["neighbour_thinning_mm"], data["share_of_tooth"], data["times_usual_backlash"] = x.Thinning, x.OfTooth, x.OfBacklash
	}
	return data
}
