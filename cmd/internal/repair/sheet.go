package repair

import (
	"bytes"
	"encoding/base64"
	"slices"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/preview/sheet"
)

// Sheet makes the sheet to work from at the machine, an HTML page.
func (r *Repair) Sheet(pictures []Picture) ([]byte, error) {
	measures, err := sheet.Measures(r.Plan.Design)
	if err != nil {
		return nil, err
	}
	d := sheet.Data{Plan: r.Plan, Pictures: map[string]sheet.Picture{}, Measures: measures, Expect: r.Expect}
	size := 0
	for _, p := range pictures {
		d.Pictures[p.Name] = sheet.Picture{PNG: p.PNG, Notes: p.Notes, Body: p.Body}
		size += base64.StdEncoding.EncodedLen(len(p.PNG))
	}
	for i := range r.Programs {
		var report *replay.Report
		if p := &r.Programs[i]; p.Result != nil {
			report = p.Result.Report
		}
		d.Reports = append(d.Reports, report)
	}
	if t := r.tight(); t != nil {
		d.Tight = t.LengthMM
	}
	for _, w := range slices.Concat(r.Estimates.StrengthNotes, r.Warnings()) {
		d.Warnings = append(d.Warnings, strings.ToUpper(w[:1])+strings.TrimSuffix(w[1:], ".")+".")
	}
	var b bytes.Buffer
	b.Grow(size + 1<<18) // pictures are nearly all of it
	if err := sheet.Write(&b, d); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
