package cli

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// gaugeReading is one --read: a name, the reading, and what it was read with.
type gaugeReading struct {
	name  string
	value float64
	with  string // "" : as the sheet has it
	bare  job.Units
}

func parseGaugeReading(text string, bare job.Units) (gaugeReading, error) {
	name, rest, ok := strings.Cut(text, "=")
	if !ok {
		return gaugeReading{}, fmt.Errorf("--read %q: it must be NAME=READING, such as slot.depth=6.29", text)
	}
	value, with, at := strings.Cut(rest, "@")
	r, err := job.ParseReading(value, bare)
	if err != nil {
		return gaugeReading{}, fmt.Errorf("--read %q: %w", text, err)
	}
	if at && strings.TrimSpace(with) == "" {
		return gaugeReading{}, fmt.Errorf("--read %q: after @ a pin, height or number of teeth is wanted", text)
	}
	return gaugeReading{strings.TrimSpace(name), r.Value, strings.TrimSpace(with), bare}, nil
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
	for _, text := range append(slices.Clone(o.readings), o.extras...) {
		r, err := parseGaugeReading(text, o.Units)
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
	at := slices.IndexFunc(items, func(i measure.GaugeItem) bool { return i.Key == r.name })
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
func pinOf(item measure.GaugeItem, r gaugeReading) (float64, error) {
	if r.with == "" {
		if item.Pin == 0 {
			return 0, fmt.Errorf("the sheet has no pin for it; name yours after an @")
		}
		return item.Pin, nil
	}
	p, err := job.ParseReading(r.with, r.bare)
	return p.Value, err
}

func (s *sheet) answerDovetail(item measure.GaugeItem, r gaugeReading, depth float64) (verdict, error) {
	pin, err := pinOf(item, r)
	if err != nil {
		return verdict{}, err
	}
	v := verdict{name: r.name}
	var read measure.DovetailReading
	switch r.name {
	case "slot.between_pins":
		slot := s.dovetail.Slot
		if depth > 0 {
			slot.Depth = depth
		} else {
			v.lines = append(v.lines, "taken as "+both(slot.Depth)+" deep; with --read slot.depth=... too it is surer")
		}
		read, err = measure.ReadSlot(slot, r.value, pin)
	case "insert.over_pins_tight":
		read, err = measure.ReadInsert(s.dovetail.Insert, r.value, pin)
	default:
		size := s.dovetail.Insert
		size.Mouth = s.dovetail.Slide
		read, err = measure.ReadInsert(size, r.value, pin)
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

func (s *sheet) answerTooth(item measure.GaugeItem, r gaugeReading) (verdict, error) {
	var read measure.ToothReading
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
		h := job.Reading{Value: item.Height}
		if r.with != "" {
			if h, err = job.ParseReading(r.with, r.bare); err != nil {
				return verdict{}, err
			}
		}
		read, err = s.tooth.ReadChord(h.Value, r.value)
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

func (s *sheet) answerOld(item measure.GaugeItem, r gaugeReading) (verdict, error) {
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
		if _, err := measure.Span(n, k); err != nil {
			return verdict{}, err
		}
		thin = measure.ThinningFromSpan(n, k, r.value)
	} else {
		pin, err := pinOf(item, r)
		if err == nil {
			thin, err = measure.ThinningFromPins(n, pin, r.value)
		}
		if err != nil {
			return verdict{}, err
		}
	}
	v := verdict{name: r.name, within: true, data: map[string]any{"neighbour_thinning_mm": thin, "job_neighbour_thinning_mm": n.Thinning}}
	v.lines = []string{fmt.Sprintf("standing teeth thinned by %s (gear.neighbour_thinning); the job has %s", both(thin), both(n.Thinning))}
	return v, nil
}
