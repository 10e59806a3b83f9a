package cli

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/preview"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// sheetName is the sheet's file.
const sheetName = "sheet.html"

// sheetOf makes the sheet to work from at the machine. Pictures are PNG files
// by the names of their figures.
func sheetOf(m *made, pictures map[string][]byte) ([]byte, error) {
	d := preview.SheetData{Plan: m.plan, Pictures: pictures, Costs: settingCosts(m)}
	for _, p := range m.programs {
		var r *replay.Report
		if p.checked != nil && p.err == nil {
			r = p.result.Report
		}
		d.Reports = append(d.Reports, r)
	}
	if m.job.Load != nil {
		c := m.plan.LoadCase()
		if r, err := c.Load(); err != nil {
			d.Mind = []string{fmt.Sprintf("No estimate of strength: %v.", err)}
		} else {
			d.Mind = append([]string{"Strength, an estimate and no rating: " + r.Verdict + "."}, r.Warnings...)
		}
	}
	for _, w := range m.minds() {
		d.Mind = append(d.Mind, strings.ToUpper(w[:1])+w[1:]+".")
	}
	var err error
	if d.Measures, err = sheetMeasures(m.plan.Design); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	size := 0
	for _, p := range pictures {
		size += base64.StdEncoding.EncodedLen(len(p))
	}
	b.Grow(size + 1<<18) // pictures are nearly all of it
	if err := preview.Sheet(&b, d); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// sheetMeasures lists what is to be measured, by the program after which it
// can be: the same sizes, limits and names as the gauge command has.
func sheetMeasures(d *design.Design) ([]preview.SheetMeasure, error) {
	j := d.Job
	o := gaugeOptions{widthTol: usualWidth, depthTol: usualDepth, inchPins: j.Units == job.Inch}
	o.Job, o.file, o.given = j, j.Name(), func(string) bool { return false }
	s, err := o.sheet(d)
	if err != nil {
		return nil, err
	}
	var out []preview.SheetMeasure
	for _, i := range append(s.joint, s.flank...) {
		m := preview.SheetMeasure{After: measuredAfter(i.Key), Name: i.Key, What: i.What, Nominal: i.Nominal, Low: i.Low, High: i.High, Note: i.Note}
		// The span's words say over how many teeth.
		if i.Pin > 0 || i.Height > 0 {
			m.With = withWhat(i)
		}
		if i.Key == "tooth.chord_facet" {
			m.Note = fmt.Sprintf("the better of the two: %s", i.Note)
		}
		out = append(out, m)
	}
	return out, nil
}

// measuredAfter is the program after which a size can be measured, "" for what
// is measured before any.
func measuredAfter(key string) string {
	part, _, _ := strings.Cut(key, ".")
	return map[string]string{"slot": "slot", "insert": "fit", "tooth": "facets"}[part]
}
