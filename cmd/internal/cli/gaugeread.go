package cli

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cogmend/cmd/internal/answer"
	"cogmend/cmd/internal/repair"
	"cogmend/profiles/measure"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// readBack answers the readings of --read.
func (o *gaugeOptions) readBack(d *design.Design, how design.Gauging, s *measure.Sheet, stdout io.Writer) error {
	rs, err := o.sheetReadings(s)
	if err != nil {
		return err
	}
	if err := d.Read(how, s, rs); err != nil {
		return fmt.Errorf("--read %w", err)
	}
	w, all := &bytes.Buffer{}, true
	answers := []map[string]any{}
	for _, r := range rs {
		all = all && r.Answer.Within
		answers = append(answers, answer.ReadingData(r))
		if !o.json {
			answer.Reading(w, r, o.Gear.NeighbourThinning, o.Units)
		}
	}
	var entry *repair.Replanned
	if o.file != "" {
		if entry, err = repair.Replan(o.Job, rs); err != nil {
			return err
		}
	}
	if o.json {
		data := map[string]any{"readings": answers, "all_within": all}
		if entry != nil {
			data["as_cut_toml"], data["changes"], data["refused"] = entry.Lines, append([]string{}, entry.Changes...), append([]string{}, entry.Refused...)
		}
		if err := printJSON(w, data); err != nil {
			return err
		}
	} else if entry != nil {
		entry.Print(w)
	}
	if _, err := w.WriteTo(stdout); err != nil {
		return err
	}
	if !all {
		return errFound
	}
	return nil
}

// sheetReadings parses the flags. A size that lies on one flank of the new
// tooth may say on which, as tooth.span_left.
func (o *gaugeOptions) sheetReadings(s *measure.Sheet) (rs []design.Reading, err error) {
	depth := 0.0
	for _, text := range append(slices.Clone(o.readings), o.extras...) {
		side := ""
		if m := oneFlank.FindStringSubmatch(text); m != nil {
			text, side = m[1]+text[len(m[0]):], m[2]
		}
		r, err := parseSheetReading(text, s, o.Units)
		if err != nil {
			return nil, err
		}
		if r.Name == "slot.depth" {
			depth = r.Value
		}
		rs = append(rs, design.Reading{SheetReading: r, Side: side})
	}
	for i := range rs {
		rs[i].Depth = depth
	}
	return rs, nil
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
