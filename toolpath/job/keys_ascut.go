package job

// The programs of a repair by their purposes, in the order of work.
const (
	slotWork   = "slot"
	insertWork = "insert"
	trialWork  = "trial"
	fitWork    = "fit"
	flushWork  = "flush"
	facetsWork = "facets"
)

// works are the programs of the job, in the order of work.
func (j *Job) works() []string {
	if j.BuiltUp() {
		return []string{flushWork, facetsWork}
	}
	return []string{slotWork, insertWork, trialWork, fitWork, flushWork, facetsWork}
}

// asCutTable is the table of what has been measured of work that is done. Its
// keys are the names of the readings of sheet and gauge, dots and all.
const asCutTable = "as_cut"

var asCutKeys = []Key{
	{Table: asCutTable, Name: "done", Kind: Texts, Auto: "what the readings tell: slot.* that the slot is cut, insert.depth and mouth_rough that the insert is, insert.mouth_trial that the trial cuts are, insert.mouth_sliding and mouth_tight that the fit is, tooth.* that all but a flank too thick is", Example: `["slot"]`,
		Meaning: "programs that have been run, of slot, insert, trial, fit, flush, facets: they are not planned again", at: func(d *draft) any { return &d.asCut.done }},
	{Table: asCutTable, Name: "slot.mouth", Kind: Length, Auto: "as designed", Low: 0.5, High: 100, Example: `5.1`,
		Meaning: "width of the slot at the seat, as measured", at: func(d *draft) any { return &d.asCut.mouth }},
	{Table: asCutTable, Name: "slot.floor", Kind: Length, Auto: "as designed", Low: 0.5, High: 200, Example: `6.76`,
		Meaning: "width of the slot at its floor, as measured; gives the mouth", at: func(d *draft) any { return &d.asCut.floor }},
	{Table: asCutTable, Name: "slot.between_pins", Kind: SizeAt, Auto: "as designed", Low: 0, High: 200, Example: `"0.25 @ 3"`,
		Meaning: "size between two pins on the slot's floor @ their diameter, as measured; gives the mouth", at: func(d *draft) any { return &d.asCut.betweenPins }},
	{Table: asCutTable, Name: "slot.depth", Kind: Length, Auto: "as designed", Low: 0.5, High: 100, Example: `6.35`,
		Meaning: "depth of the slot's floor below the seat, as measured", at: func(d *draft) any { return &d.asCut.depth }},
	{Table: asCutTable, Name: "slot.seat", Kind: Length, Auto: "as designed", Low: 0.5, High: 200, Example: `7.2`,
		Meaning: "depth of the seat below the tips of the level neighbours, as measured", at: func(d *draft) any { return &d.asCut.seat }},
	{Table: asCutTable, Name: "shim", Kind: Length, Auto: "none", Low: 0.01, High: 1, Example: `0.1`,
		Meaning: "thickness of a shim laid between one flank of a slot too wide and the insert", at: func(d *draft) any { return &d.asCut.shim }},
	{Table: asCutTable, Name: "insert.depth", Kind: Length, Auto: "as designed", Low: 0.5, High: 100, Example: `6.2`,
		Meaning: "depth of the insert's dovetail below its shoulders, as measured", at: func(d *draft) any { return &d.asCut.insertDepth }},
	{Table: asCutTable, Name: "insert.length", Kind: Length, Auto: "as designed", Low: 3, High: 600, Example: `33.4`,
		Meaning: "length of the block along the slot, as measured", at: func(d *draft) any { return &d.asCut.length }},
	{Table: asCutTable, Name: "insert.mouth_rough", Kind: Length, Auto: "as designed", Low: 0.3, High: 100, Example: `5.3`,
		Meaning: "width of the insert under the shoulders as the insert program left it, as measured", at: func(d *draft) any { return &d.asCut.rough }},
	{Table: asCutTable, Name: "insert.mouth_trial", Kind: Length, Auto: "as designed", Low: 0.3, High: 100, Example: `5.06`,
		Meaning: "width of the insert's front end under the shoulders after the last trial cut made; with fit.step it is the width that slid", at: func(d *draft) any { return &d.asCut.trial }},
	{Table: asCutTable, Name: "insert.mouth_sliding", Kind: Length, Auto: "as designed", Low: 0.3, High: 100, Example: `5.01`,
		Meaning: "width of the insert under the shoulders at its ends, finished, as measured", at: func(d *draft) any { return &d.asCut.sliding }},
	{Table: asCutTable, Name: "insert.mouth_tight", Kind: Length, Auto: "as designed", Low: 0.3, High: 100, Example: `5.05`,
		Meaning: "width of the insert under the shoulders in its tight middle, finished, as measured", at: func(d *draft) any { return &d.asCut.tight }},
	{Table: asCutTable, Name: "old.span", Kind: SizeAt, At: Count, Auto: "gear.neighbour_thinning", Low: 1, High: 5000, Example: `"44.22 @ 5"`,
		Meaning: "span over standing teeth @ their number, as measured; gives the wear of the neighbours", at: func(d *draft) any { return &d.asCut.span }},
	{Table: asCutTable, Name: "old.over_pins", Kind: SizeAt, Auto: "gear.neighbour_thinning", Low: 1, High: 6000, Example: `"181.2 @ 6"`,
		Meaning: "size over pins in spaces of standing teeth @ their diameter, as measured; gives the wear of the neighbours", at: func(d *draft) any { return &d.asCut.overPins }},
	{Table: asCutTable, Name: "tips.left_low", Kind: Length, Auto: "sound", Low: 0, High: 20, Example: `0.4`,
		Meaning: "how much lower than sound the tip of the left neighbour stands, chipped or worn", at: func(d *draft) any { return &d.job.Gear.TipLow[0] }},
	{Table: asCutTable, Name: "tips.right_low", Kind: Length, Auto: "sound", Low: 0, High: 20, Example: `0.4`,
		Meaning: "the same of the right neighbour", at: func(d *draft) any { return &d.job.Gear.TipLow[1] }},
	{Table: asCutTable, Name: "tooth.left_off", Kind: Length, Auto: "as planned", Low: -5, High: 5, Example: `0.15`,
		Meaning: "how far the left flank was found over its plan, all facets alike; below 0 too deep; 'cogmend gauge --read tooth.span_left=...' says it", at: func(d *draft) any { return &d.job.Facets.Off[0] }},
	{Table: asCutTable, Name: "tooth.right_off", Kind: Length, Auto: "as planned", Low: -5, High: 5, Example: `-0.05`,
		Meaning: "the same of the right flank", at: func(d *draft) any { return &d.job.Facets.Off[1] }},
}

// readings are the values of [as_cut] as the file gives them, mm; 0: not given.
type readings struct {
	done                      []string
	mouth, floor, depth, seat float64
	betweenPins               SizeRead
	shim                      float64
	insertDepth, length       float64
	rough, trial              float64
	sliding, tight            float64
	span, overPins            SizeRead
}

// SizeRead is a size and what it was read with.
type SizeRead struct {
	Size float64 // mm
	At   float64 // diameter of the pins, mm, or number of teeth
}
