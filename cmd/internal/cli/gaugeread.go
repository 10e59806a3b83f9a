package cli

import (
	"bytes"
	"fmt"
	"io"

	"cogmend/cmd/internal/answer"
	"cogmend/cmd/internal/repair"
	"cogmend/profiles/measure"
	"cogmend/toolpath/design"
)

// readBack answers the readings of --read.
func (o *gaugeOptions) readBack(d *design.Design, how design.Gauging, s *measure.Sheet, stdout io.Writer) error {
	rs, err := design.ParseReadings(o.readings, s, o.Units)
	if err == nil {
		err = d.Read(how, s, rs)
	}
	if err != nil {
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
