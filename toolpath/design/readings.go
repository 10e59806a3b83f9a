package design

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// Reading is a reading of the sheet, and what it says.
type Reading struct {
	measure.SheetReading
	Side   string // the flank of the new tooth it was taken on, "left" or "right" as seen from +X; "": not said
	Answer measure.Answer
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
			return fmt.Errorf("%s: %w", r.Name, inUnits(err, d.Job.Units))
		}
	}
	return nil
}

// inUnits is the error of a reading with its lengths in both units.
func inUnits(err error, u job.Units) error {
	var impossible *measure.ErrImpossible
	if !errors.As(err, &impossible) {
		return err
	}
	text := fmt.Sprintf("%s cannot be; %s to %s could", u.Both(impossible.Value), u.Both(impossible.Low), u.Both(impossible.High))
	if impossible.Slip != "" {
		text += ". " + strings.ToUpper(impossible.Slip[:1]) + impossible.Slip[1:]
	}
	return errors.New(text)
}
