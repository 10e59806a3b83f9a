package preview

import (
	"testing"

	"cogmend/gcode/replay"
	"cogmend/toolpath/job"
)

// sheetDataOf plans a job and gathers what its sheet is made of. The measures
// are made up: these tests are about the sheet.
func sheetDataOf(tb testing.TB, j *job.Job, pictures bool) SheetData {
	tb.Helper()
	d := SheetData{Pictures: map[string][]byte{}}
	reports := map[string]*replay.Report{}
	for _, w := range repair(tb, j, nil) {
		d.Plan = w.Plan
		reports[w.Program.File()] = w.Report
		if !pictures {
			continue
		}
		for _, f := range ProgramFigures(w.Scene) {
			drawn, err := f.Draw(1)
			if err != nil {
				tb.Fatal(err)
			}
			if d.Pictures[f.Name], err = drawn.PNG(); err != nil {
				tb.Fatal(err)
			}
		}
	}
	for i := range d.Plan.Programs {
		d.Reports = append(d.Reports, reports[d.Plan.Programs[i].File()])
	}
	d.Measures = []SheetMeasure{
		{Name: "old.span", What: "span over 5 standing teeth, to compare", Nominal: 44.321, Low: 44.321, High: 44.321},
		{After: "slot", Name: "slot.depth", What: "slot, depth from the seat", Nominal: 6.3, Low: 6.3, High: 6.35},
		{After: "slot", Name: "slot.between_pins", What: "slot, between two pins on the floor", With: "pins 2 mm (0.0787 in)", Nominal: 2.38, Low: 2.36, High: 2.413},
		{After: "facets", Name: "tooth.chord", What: "chordal thickness on the pitch circle", With: "height 3.204 mm (0.1261 in)", Nominal: 4.905, Low: 4.9, High: 4.94, Note: "over a joint the vernier reads the metal left there too"},
		{After: "facets", Name: "tooth.over_pins", What: "over pins", Note: "no stock pin serves this gear"},
	}
	d.Costs = []SheetCost{{"Y zero off by 0.01 mm", 0.01}, {"gear angle off by 0.01 degree", 0.0145}}
	return d
}
