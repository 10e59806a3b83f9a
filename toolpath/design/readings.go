package design

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// Reading is a reading of the sheet, and what it says.
type Reading struct {
	measure.SheetReading
	Side   string         // the flank of the new tooth it was taken on, "left" or "right" as seen from +X; "": not said
	Answer measure.Answer // what it says
	// Free says that the size has no limits and is only planned to: there is no
	// answer but that it is within them.
	Free bool
	// Worn says that it was held against the standing teeth as they were read.
	Worn bool
}

// Read answers readings of a sheet, which d.Sheet(how) has made. The new tooth is
// gauged against the standing teeth as they have been read. The error begins with
// the name of the reading.
func (d *Design) Read(how Gauging, s *measure.Sheet, rs []Reading) error {
	standing := s
	for _, r := range rs {
		a, err := s.Read(r.SheetReading)
		if err == nil && a.Wear != nil {
			how.Standing = &a.Wear.Thinning
			if standing, _, err = d.Sheet(how); err != nil {
				return fmt.Errorf("%s: %w", r.Name, err)
			}
		}
	}
	for i := range rs {
		r := &rs[i]
		if d.Job.BuiltUp() && (strings.HasPrefix(r.Name, "slot.") || strings.HasPrefix(r.Name, "insert.")) {
			return fmt.Errorf("%s: the tooth is built up (repair.by): it has neither slot nor insert", r.Name)
		}
		if _, ok := job.AsCutKey(r.Name); ok && !slices.ContainsFunc(s.Items(), func(i measure.GaugeItem) bool { return i.Key == r.Name }) {
			r.Free, r.Answer.Within = true, true
			continue
		}
		from := s
		if strings.HasPrefix(r.Name, "tooth.") {
			from, r.Worn = standing, standing != s
		}
		var err error
		if r.Answer, err = from.Read(r.SheetReading); err != nil {
			return fmt.Errorf("%s: %w", r.Name, misspelt(inUnits(err, d.Job.Units), r.Name))
		}
	}
	return nil
}

// misspelt adds to what is said of a name that the sheet does not have the nearest
// that it has.
func misspelt(err error, name string) error {
	var none *measure.ErrNoSuchSize
	if !errors.As(err, &none) {
		return err
	}
	near := job.Nearest(name, none.Names)
	if near == "" {
		return err
	}
	return fmt.Errorf("no such size; nearest: %s; there are %s", near, strings.Join(none.Names, ", "))
}

// inUnits is the error of a reading with its lengths in both units.
func inUnits(err error, u job.Units) error {
	var impossible *measure.ErrImpossible
	if !errors.As(err, &impossible) {
		return err
	}
	text := impossible.Taken() + fmt.Sprintf("%s cannot be; %s to %s could", u.Both(impossible.Value), u.Both(impossible.Low), u.Both(impossible.High))
	if impossible.Slip != "" {
		text += ". " + strings.ToUpper(impossible.Slip[:1]) + impossible.Slip[1:]
	}
	return errors.New(text)
}

// ParseReadings reads what was read, each as NAME=READING or NAME=READING@PIN, HEIGHT
// or TEETH; a number without a unit is in the given one. A size that lies on one
// flank of the new tooth may say on which, as tooth.span_left. A depth of the slot
// goes with its sizes between pins.
func ParseReadings(texts []string, s *measure.Sheet, u job.Units) (rs []Reading, err error) {
	depth := 0.0
	for _, text := range texts {
		side := ""
		if m := oneFlank.FindStringSubmatch(text); m != nil {
			text, side = m[1]+text[len(m[0]):], m[2]
		}
		r, err := parseReading(text, s, u)
		if err != nil {
			return nil, err
		}
		if r.Name == "slot.depth" {
			depth = r.Value
		}
		rs = append(rs, Reading{SheetReading: r, Side: side})
	}
	for i := range rs {
		rs[i].Depth = depth
	}
	return rs, nil
}

// oneFlank is the name of a reading that says on which flank it was taken.
var oneFlank = regexp.MustCompile(`^(tooth\.(?:span|over_pins))_(left|right)`)

// parseReading reads NAME=READING or NAME=READING@PIN, HEIGHT or TEETH.
func parseReading(text string, s *measure.Sheet, units job.Units) (r measure.SheetReading, err error) {
	name, rest, ok := strings.Cut(text, "=")
	if !ok {
		return r, fmt.Errorf("%q: it must be NAME=READING, such as slot.depth=6.29", text)
	}
	value, with, at := strings.Cut(rest, "@")
	read, err := job.ParseReading(value, units)
	if err != nil {
		return r, fmt.Errorf("%q: %w", text, err)
	}
	r.Name, r.Value, with = strings.TrimSpace(name), read.Value, strings.TrimSpace(with)
	if !at {
		return r, nil
	}
	if with == "" {
		return r, fmt.Errorf("%q: after @ a pin, height or number of teeth is wanted", text)
	}
	switch {
	case strings.HasSuffix(r.Name, ".span"):
		if r.Teeth, err = strconv.Atoi(with); err != nil || r.Teeth < 1 {
			return r, fmt.Errorf("%s: @%s: a number of teeth is wanted", r.Name, with)
		}
		return r, nil
	case strings.Contains(r.Name, "_pins"), strings.Contains(r.Name, ".chord"):
	case slices.ContainsFunc(s.Items(), func(i measure.GaugeItem) bool { return i.Key == r.Name }):
		return r, fmt.Errorf("%s: it is measured plain, without @%s", r.Name, with)
	default:
		return r, nil // the name is refused when it is looked up
	}
	size, err := job.ParseReading(with, units)
	if err == nil && !(size.Value > 0) {
		err = fmt.Errorf("it must be positive")
	}
	if err != nil {
		return r, fmt.Errorf("%s: @%s: %w", r.Name, with, err)
	}
	if strings.Contains(r.Name, ".chord") {
		r.Height = size.Value
	} else {
		r.Pin = size.Value
	}
	return r, nil
}
