package job

import (
	"slices"

	"cogmend/profiles"
)

// schema is every key of a job file.
var schema = slices.Concat(headKeys, gearKeys, slotKeys, insertKeys, fitKeys, lockKeys, flushKeys,
	facetKeys, indexKeys, uncertaintyKeys, loadKeys, mateKeys, asCutKeys, machineKeys, cutterKeys, keepOutKeys)

var headKeys = []Key{
	{Name: "format", Kind: Count, Required: true, Low: 1, High: 1, Example: `1`,
		Meaning: "version of this file's form", at: func(d *draft) any { return &d.format }},
	{Name: "units", Kind: Choice, Required: true, Set: []string{"mm", "inch"}, Example: `"mm"`,
		Meaning: "unit of bare lengths here, and of programs and sheet", at: func(d *draft) any { return func(i int) { d.units = Units(i) } }},
	{Name: "title", Kind: Text, Auto: "none", Example: `"Proof press, roller gear"`,
		Meaning: "one line for the head of programs and sheet", at: func(d *draft) any { return &d.job.Title }},
	{Name: "owner_answers", Kind: Text, Auto: "nobody", Example: `"R. Hollis, owner of the press"`,
		Meaning: "who answers for letting the insert in though the estimates speak against it; said wherever they do", at: func(d *draft) any { return &d.job.OwnerAnswers }},
	{Name: "shop", Kind: Text, Auto: "none", Example: `"shop.toml"`,
		Meaning: "file with [machine] and [cutter.NAME] tables, sought from this file's folder; what stands here goes before it", at: func(d *draft) any { return &d.shop }},
}

var gearKeys = []Key{
	{Table: "gear", Name: "teeth", Kind: Count, Required: true, Low: 6, High: 999, Example: `54`,
		Meaning: "number of teeth, the missing ones too", at: func(d *draft) any { return &d.job.Gear.Teeth }},
	{Table: "gear", Name: "module", Kind: Module, Auto: "from diametral_pitch", Low: 0.3, High: 50, Example: `3`,
		Meaning: "pitch diameter / teeth, in mm also when units = \"inch\"; give this or diametral_pitch", at: func(d *draft) any { return &d.module }},
	{Table: "gear", Name: "diametral_pitch", Kind: Number, Unit: "teeth per inch", Auto: "from module", Low: 0.5, High: 80, Example: `8`,
		Meaning: "teeth / pitch diameter in inches; give this or module", at: func(d *draft) any { return &d.pitch }},
	{Table: "gear", Name: "pressure_angle", Kind: Angle, Required: true, Low: 10, High: 30, Example: `20`,
		Meaning: "pressure angle at the reference pitch circle", at: func(d *draft) any { return &d.job.Gear.Pressure }},
	{Table: "gear", Name: "proportions", Kind: Choice, Set: profiles.RackNames(), Auto: "with module iso-a; with diametral_pitch full-depth, below 15 degrees old-full-depth, from 20 DP on fine-pitch", Example: `"old-full-depth"`,
		Meaning: "addendum, dedendum and root fillet of the basic rack by name", at: func(d *draft) any { return func(i int) { d.rack = profiles.RackNames()[i] } }},
	{Table: "gear", Name: "addendum", Kind: Number, Unit: "modules", Auto: "from proportions", Low: 0.4, High: 1.6, Example: `1`,
		Meaning: "tip above the pitch circle", at: func(d *draft) any { return &d.addendum }},
	{Table: "gear", Name: "dedendum", Kind: Number, Unit: "modules", Auto: "from proportions", Low: 0.5, High: 2, Example: `1.157`,
		Meaning: "root below the pitch circle", at: func(d *draft) any { return &d.dedendum }},
	{Table: "gear", Name: "root_fillet", Kind: Number, Unit: "modules", Auto: "from proportions", Low: 0, High: 0.6, Example: `0.2`,
		Meaning: "radius of the rack's rounded tip, which forms the root", at: func(d *draft) any { return &d.fillet }},
	{Table: "gear", Name: "profile_shift", Kind: Number, Unit: "modules", Default: "0", Low: -1, High: 1.5, Example: `0.25`,
		Meaning: "profile shift coefficient, positive outward", at: func(d *draft) any { return &d.job.Gear.Shift }},
	{Table: "gear", Name: "thinning", Kind: Length, Default: `"0 mm"`, Low: 0, High: 5, Example: `0.1`,
		Meaning: "how much thinner than standard the new tooth is made, at the pitch circle", at: func(d *draft) any { return &d.job.Gear.Thinning }},
	{Table: "gear", Name: "neighbour_thinning", Kind: Length, Auto: "as thinning", Low: 0, High: 5, Example: `0.15`,
		Meaning: "how much thinner than standard the worn neighbours are, at the pitch circle", at: func(d *draft) any { return &d.job.Gear.NeighbourThinning }},
	{Table: "gear", Name: "fat_neighbour", Kind: Length, Auto: "not used", Low: 0.1, High: 100, Example: `4.95`,
		Meaning: "measured arc thickness of the fattest neighbour at the pitch circle", at: func(d *draft) any { return &d.job.Gear.FatThickness }},
	{Table: "gear", Name: "face", Kind: Length, Required: true, Low: 3, High: 500, Example: `32`,
		Meaning: "width of the gear along its axis", at: func(d *draft) any { return &d.job.Gear.Face }},
	{Table: "gear", Name: "bore", Kind: Length, Required: true, Low: 0, High: 5000, Example: `30`,
		Meaning: "diameter of the bore, 0 when the gear is one with its shaft", at: func(d *draft) any { return &d.job.Gear.Bore }},
	{Table: "gear", Name: "rim_inner", Kind: Length, Auto: "as bore: no web", Low: 0, High: 10000, Example: `130`,
		Meaning: "diameter under the rim, where web or spokes begin", at: func(d *draft) any { return &d.job.Gear.RimInner }},
	{Table: "gear", Name: "material", Kind: Choice, Set: materialNames, Default: `"grey iron"`, Example: `"grey iron"`,
		Meaning: "what the gear is made of", at: func(d *draft) any { return pick(&d.job.Gear.Material) }},
	{Table: "gear", Name: "missing", Kind: Count, Auto: "1", Low: 1, High: 3, Example: `2`,
		Meaning: "how many teeth are missing side by side", at: func(d *draft) any { return &d.missing }},
	{Table: "gear", Name: "missing_at", Kind: Counts, Auto: "see missing", Low: 0, High: 998, Example: `[0, 7]`,
		Meaning: "numbers of missing teeth that stand apart, counted toward +Y from 0, which must be one of them", at: func(d *draft) any { return &d.missingAt }},
	{Table: "gear", Name: "zero", Kind: Choice, Set: []string{"neighbours", "axis", "tip"}, Default: `"neighbours"`, Example: `"neighbours"`,
		Meaning: "Z0 of the gear's set-ups: tips of the two level neighbours, gear axis, or finished tip circle", at: func(d *draft) any { return pick(&d.job.Gear.Zero) }},
}

var materialNames = []string{"grey iron", "mild steel"}

var slotKeys = []Key{
	{Table: "slot", Name: "mouth", Kind: Length, Auto: "about half the insert's body, leaving a third of a module beside it", Low: 0.5, High: 100, Example: `5`,
		Meaning: "width of the dovetail slot at the seat", at: func(d *draft) any { return &d.job.Slot.Mouth }},
	{Table: "slot", Name: "depth", Kind: Length, Auto: "1.25 x mouth, less where the rim or the dovetail cutter does not allow it", Low: 0.5, High: 100, Example: `6.25`,
		Meaning: "depth of the dovetail below the seat", at: func(d *draft) any { return &d.job.Slot.Depth }},
	{Table: "slot", Name: "included_angle", Kind: Angle, Auto: "that of the dovetail cutter", Low: 4, High: 90, Example: `15`,
		Meaning: "angle between the slot's two flanks (each leans half of it)", at: func(d *draft) any { return &d.included }},
	{Table: "slot", Name: "deeper", Kind: Length, Default: `"0.05 mm"`, Low: 0, High: 1, Example: `0.05`,
		Meaning: "the slot is cut this much deeper than the insert's dovetail is high", at: func(d *draft) any { return &d.job.Slot.Deeper }},
	{Table: "slot", Name: "seat_below", Kind: Length, Default: `"0.2 mm"`, Low: 0, High: 10, Example: `0.2`,
		Meaning: "flat seat below the root circle", at: func(d *draft) any { return &d.job.Slot.SeatBelow }},
	{Table: "slot", Name: "seat_play", Kind: Length, Default: `"0.2 mm"`, Low: 0, High: 2, Example: `0.2`,
		Meaning: "seat wider than the insert's body, both sides together", at: func(d *draft) any { return &d.job.Slot.SeatPlay }},
	{Table: "slot", Name: "stub", Kind: Length, Auto: "as tall as a whole tooth: cleared from the tip circle down", Low: 0, High: 100, Example: `2`,
		Meaning: "measured height of what stands of the broken tooth, over the root circle, at its highest place", at: func(d *draft) any { return &d.job.Slot.Stub }},
	{Table: "slot", Name: "radial_cut", Kind: Length, Default: `"0.2 mm"`, Low: 0.02, High: 2, Example: `0.2`,
		Meaning: "sideways cut of one dovetail pass", at: func(d *draft) any { return &d.job.Slot.RadialCut }},
	{Table: "slot", Name: "finish_cut", Kind: Length, Default: `"0.1 mm"`, Low: 0, High: 1, Example: `0.1`,
		Meaning: "left on each wall for the finishing pass", at: func(d *draft) any { return &d.job.Slot.FinishCut }},
	{Table: "slot", Name: "roughing", Kind: Text, Auto: "chosen by the plan", Example: `"end4"`,
		Meaning: "name of the end mill for the slot", at: func(d *draft) any { return &d.job.Slot.Roughing }},
	{Table: "slot", Name: "dovetail", Kind: Text, Auto: "the first with the slot's angle", Example: `"dovetail15"`,
		Meaning: "name of the dovetail cutter", at: func(d *draft) any { return &d.job.Slot.Dovetail }},
}

var insertKeys = []Key{
	{Table: "insert", Name: "body", Kind: Length, Auto: "the tooth's foot, fillets too, where the neighbours leave room", Low: 1, High: 200, Example: `8`,
		Meaning: "width of the body that stands on the seat", at: func(d *draft) any { return &d.job.Insert.Body }},
	{Table: "insert", Name: "block_width", Kind: Length, Auto: "body + 2 mm, to the next whole mm, less where the neighbours' tips are nearer; the body where teeth are missing side by side", Low: 1, High: 300, Example: `12`,
		Meaning: "width of the blank, across the tooth", at: func(d *draft) any { return &d.job.Insert.BlockWidth }},
	{Table: "insert", Name: "block_height", Kind: Length, Auto: "what tooth, dovetail, top cut and the vice's grip need, to the next whole mm", Low: 2, High: 300, Example: `16`,
		Meaning: "height of the blank as it stands in the vice", at: func(d *draft) any { return &d.job.Insert.BlockHeight }},
	{Table: "insert", Name: "top_cut", Kind: Length, Default: `"0.5 mm"`, Low: 0, High: 10, Example: `0.5`,
		Meaning: "faced off the top of the blank, which becomes the dovetail's bottom", at: func(d *draft) any { return &d.job.Insert.TopCut }},
	{Table: "insert", Name: "over", Kind: Length, Default: `"1 mm"`, Low: 0, High: 20, Example: `1`,
		Meaning: "blank longer than the gear's face, at each end", at: func(d *draft) any { return &d.job.Insert.Over }},
	{Table: "insert", Name: "oversize", Kind: Length, Default: `"0.3 mm"`, Low: 0.02, High: 2, Example: `0.3`,
		Meaning: "left on the dovetail's width for the fit, both flanks together", at: func(d *draft) any { return &d.job.Insert.OverSize }},
	{Table: "insert", Name: "material", Kind: Choice, Set: materialNames, Default: `"mild steel"`, Example: `"mild steel"`,
		Meaning: "what the insert is made of", at: func(d *draft) any { return pick(&d.job.Insert.Material) }},
	{Table: "insert", Name: "over_jaws", Kind: Length, Auto: "not checked", Low: 0.1, High: 300, Example: `10`,
		Meaning: "height of the finished top over the vice jaws", at: func(d *draft) any { return &d.job.Insert.Zero }},
}

var fitKeys = []Key{
	{Table: "fit", Name: "tight_middle", Kind: Length, Auto: "the greatest of 0.05, 0.04, 0.03 ... mm that the casting bears by the estimate", Low: 0, High: 0.3, Example: `0.03`,
		Meaning: "how proud the middle of one dovetail flank stands; common practice is 0.05 mm", at: func(d *draft) any { return &d.job.Fit.TightMiddle }},
	{Table: "fit", Name: "lead", Kind: Length, Auto: "0.3 x face", Low: 0.5, High: 200, Example: `10`,
		Meaning: "length at each end that slides freely, measured from the gear's faces", at: func(d *draft) any { return &d.job.Fit.Lead }},
	{Table: "fit", Name: "play", Kind: Length, Auto: "not used: the step of the trial cuts tells", Low: 0, High: 0.3, Example: `0.01`,
		Meaning: "in place of a step: how much narrower than the measured slot (as_cut.slot.mouth or slot.between_pins) the insert's ends are made", at: func(d *draft) any { return &d.play }},
	{Table: "fit", Name: "trial_first", Kind: Length, Default: `"0.06 mm"`, Low: -0.5, High: 0.5, Example: `0.06`,
		Meaning: "first trial cut: dovetail wider than the slot by this", at: func(d *draft) any { return &d.job.Fit.TrialFirst }},
	{Table: "fit", Name: "trial_step", Kind: Length, Default: `"0.02 mm"`, Low: 0.005, High: 0.2, Example: `0.02`,
		Meaning: "each trial cut is narrower by this", at: func(d *draft) any { return &d.job.Fit.TrialStep }},
	{Table: "fit", Name: "trial_count", Kind: Count, Default: `8`, Low: 1, High: 40, Example: `8`,
		Meaning: "number of trial cuts", at: func(d *draft) any { return &d.job.Fit.TrialCount }},
	{Table: "fit", Name: "trial_length", Kind: Length, Auto: "0.6 x (lead + over)", Low: 0.5, High: 200, Example: `6`,
		Meaning: "length of the trial cuts from the insert's front end", at: func(d *draft) any { return &d.job.Fit.TrialLength }},
	{Table: "fit", Name: "step", Kind: Count, Auto: "not known yet: no fit program", Low: 1, High: 40, Example: `4`,
		Meaning: "number of the trial cut that slid in", at: func(d *draft) any { return &d.job.Fit.Step }},
}

var lockKeys = []Key{
	{Table: "lock", Name: "kind", Kind: Choice, Set: []string{"none", "screw", "pin"}, Auto: "screw when thread is given, pin when diameter is, else none", Example: `"screw"`,
		Meaning: "what goes up through the rim into the insert", at: func(d *draft) any { return pick(&d.job.Lock.Kind) }},
	{Table: "lock", Name: "thread", Kind: Text, Auto: "M5 for a screw", Example: `"M5"`,
		Meaning: "thread of the screw, e.g. M5, M8x1, 1/4-20", at: func(d *draft) any { return &d.job.Lock.Thread }},
	{Table: "lock", Name: "diameter", Kind: Length, Auto: "3 mm for a pin", Low: 0.5, High: 20, Example: `4`,
		Meaning: "diameter of the pin", at: func(d *draft) any { return &d.pin }},
	{Table: "lock", Name: "tap_drill", Kind: Length, Auto: "from the thread; for a pin its diameter", Low: 0.5, High: 30, Example: `4.2`,
		Meaning: "drill through the rim", at: func(d *draft) any { return &d.job.Lock.TapDrill }},
	{Table: "lock", Name: "point", Kind: Length, Auto: "the thread's dog point, or 0.7 x its major diameter; for a pin its diameter", Low: 0.5, High: 20, Example: `4`,
		Meaning: "diameter of the hole in the insert", at: func(d *draft) any { return &d.job.Lock.Point }},
	{Table: "lock", Name: "point_depth", Kind: Length, Auto: "5 mm, at most half the insert", Low: 0.5, High: 60, Example: `5`,
		Meaning: "depth of the hole in the insert, from the dovetail's bottom", at: func(d *draft) any { return &d.job.Lock.PointDepth }},
	{Table: "lock", Name: "positions", Kind: Lengths, Auto: "one in the middle of the face", Low: 0, High: 500, Example: `[8, 24]`,
		Meaning: "X of each lock, from the front face", at: func(d *draft) any { return &d.job.Lock.Positions }},
	{Table: "lock", Name: "draw", Kind: Length, Default: `"0 mm"`, Low: -0.5, High: 0.5, Example: `0.1`,
		Meaning: "the insert's hole stands this much toward +X of the rim's, so that a coned point pulls", at: func(d *draft) any { return &d.job.Lock.Draw }},
	{Table: "lock", Name: "rim_drill", Kind: Text, Auto: "by diameter", Example: `"drill42"`,
		Meaning: "name of the drill for the rim", at: func(d *draft) any { return &d.job.Lock.RimDrill }},
	{Table: "lock", Name: "point_drill", Kind: Text, Auto: "by diameter", Example: `"drill40"`,
		Meaning: "name of the drill for the insert", at: func(d *draft) any { return &d.job.Lock.PointDrill }},
}

var flushKeys = []Key{
	{Table: "flush", Name: "leave", Kind: Length, Default: `"0.02 mm"`, Low: 0, High: 1, Example: `0.02`,
		Meaning: "left on the insert's end faces for the file, so that the cutter never rubs the gear", at: func(d *draft) any { return &d.job.Flush.Leave }},
	{Table: "flush", Name: "cutter", Kind: Text, Auto: "chosen by the plan", Example: `"end6"`,
		Meaning: "name of the end mill", at: func(d *draft) any { return &d.job.Flush.Cutter }},
}

var facetKeys = []Key{
	{Table: "facets", Name: "tolerance", Kind: Length, Auto: "as fine as shows beside [uncertainty], unless count is given", Low: 0.001, High: 1, Example: `0.02`,
		Meaning: "greatest distance of the finished flank from the involute; gives the count", at: func(d *draft) any { return &d.job.Facets.Tolerance }},
	{Table: "facets", Name: "count", Kind: Count, Auto: "from tolerance", Low: 1, High: profiles.MaxFacets, Example: `4`,
		Meaning: "facets on each flank; gives the tolerance", at: func(d *draft) any { return &d.job.Facets.Count }},
	{Table: "facets", Name: "lean", Kind: Choice, Set: []string{"proud", "even"}, Default: `"proud"`, Example: `"proud"`,
		Meaning: "proud: all the error left on, for filing; even: half on, half off", at: func(d *draft) any { return pick(&d.job.Facets.Lean) }},
	{Table: "facets", Name: "clearance", Kind: Length, Default: `"0.15 mm"`, Low: 0.02, High: 3, Example: `0.15`,
		Meaning: "kept from the good neighbours", at: func(d *draft) any { return &d.job.Facets.Clearance }},
	{Table: "facets", Name: "root_step", Kind: Length, Default: `"0.1 mm"`, Low: 0.01, High: 2, Example: `0.1`,
		Meaning: "greatest step left in the root fillet", at: func(d *draft) any { return &d.job.Facets.RootStep }},
	{Table: "facets", Name: "most_filed", Kind: Length, Auto: "one module", Low: 0, High: 30, Example: `0.5`,
		Meaning: "most metal that may be left to the file where no cutter gets down", at: func(d *draft) any { return &d.job.Facets.MostFiled }},
	{Table: "facets", Name: "cut", Kind: Choice, Set: []string{"conventional", "climb"}, Default: `"conventional"`, Example: `"climb"`,
		Meaning: "conventional suits a machine with play in its screws", at: func(d *draft) any { return func(i int) { d.job.Facets.Climb = i == 1 } }},
	{Table: "facets", Name: "cutters", Kind: Texts, Auto: "every end mill", Example: `["end4", "end2"]`,
		Meaning: "names of the end mills the flanks may be made with", at: func(d *draft) any { return &d.job.Facets.Cutters }},
}

var indexKeys = []Key{
	{Table: "index", Name: "device", Kind: Choice, Set: []string{"rotary", "head", "teeth"}, Default: `"rotary"`, Example: `"rotary"`,
		Meaning: "rotary: an A axis; head: a dividing head or table with a worm; teeth: stops against the gear's own teeth", at: func(d *draft) any { return pick(&d.job.Index.Device) }},
	{Table: "index", Name: "ratio", Kind: Count, Default: `40`, Low: 1, High: 1000, Example: `40`,
		Meaning: "head: turns of the crank for one of the spindle", at: func(d *draft) any { return &d.job.Index.Ratio }},
	{Table: "index", Name: "circles", Kind: Counts, Auto: "15 to 20, 21 23 27 29 31 33, 37 39 41 43 47 49", Low: 1, High: 1000, Example: `[15, 16, 17, 18, 19, 20]`,
		Meaning: "head: holes of each circle of its plates", at: func(d *draft) any { return &d.job.Index.Circles }},
	{Table: "index", Name: "graduation", Kind: Angle, Auto: "plates are used", Low: 0.001, High: 30, Example: `0.1`,
		Meaning: "head without plates: smallest angle its scale can set", at: func(d *draft) any { return &d.job.Index.Graduation }},
	{Table: "index", Name: "half_tooth", Kind: Flag, Default: `false`, Example: `true`,
		Meaning: "teeth: the stops can hold in a space as well as on a tooth", at: func(d *draft) any { return &d.job.Index.HalfTooth }},
}

var uncertaintyKeys = []Key{
	{Table: "uncertainty", Name: "y_zero", Kind: Length, Default: `"0.02 mm"`, Low: 0, High: 1, Example: `0.02`,
		Meaning: "+- of Y0, the middle of the gap, as it is found by touching both neighbours", at: func(d *draft) any { return &d.job.Uncertainty.YZero }},
	{Table: "uncertainty", Name: "level", Kind: Length, Default: `"0.02 mm"`, Low: 0, High: 1, Example: `0.02`,
		Meaning: "+- of the difference in height of the two tips the gear is levelled by", at: func(d *draft) any { return &d.job.Uncertainty.Level }},
	{Table: "uncertainty", Name: "index", Kind: Angle, Auto: "rotary 0.01 deg, head 1 arc minute, a scale half its graduation, stops 0.02 mm at the pitch circle", Low: 0, High: 5, Example: `0.02`,
		Meaning: "+- of each angle the gear is set to, against the first", at: func(d *draft) any { return &d.job.Uncertainty.Index }},
	{Table: "uncertainty", Name: "backlash", Kind: Angle, Default: `0`, Low: 0, High: 5, Example: `0.05`,
		Meaning: "play of the index device that is not taken up by turning one way", at: func(d *draft) any { return &d.job.Uncertainty.Backlash }},
	{Table: "uncertainty", Name: "cutter_size", Kind: Length, Default: `"0.01 mm"`, Low: 0, High: 1, Example: `0.01`,
		Meaning: "+- of the finishing cutter's measured diameter", at: func(d *draft) any { return &d.job.Uncertainty.CutterSize }},
	{Table: "uncertainty", Name: "runout", Kind: Length, Default: `"0.02 mm"`, Low: 0, High: 1, Example: `0.01`,
		Meaning: "greatest total reading of a dial gauge on the turning cutter", at: func(d *draft) any { return &d.job.Uncertainty.Runout }},
	{Table: "uncertainty", Name: "neighbours", Kind: Length, Default: `"0.02 mm"`, Low: 0, High: 2, Example: `0.05`,
		Meaning: "+- of the difference in wear of the two flanks the gap is found by", at: func(d *draft) any { return &d.job.Uncertainty.Neighbours }},
}

var loadKeys = []Key{
	{Table: "load", Name: "torque", Kind: Torque, Auto: "from power and speed", Low: 0.001, High: 1e6, Example: `20`,
		Meaning: "torque on this gear, for the strength estimate; give this or power", at: func(d *draft) any { return &d.load.Torque }},
	{Table: "load", Name: "power", Kind: Power, Auto: "not used", Low: 1e-4, High: 1e4, Example: `"0.5 hp"`,
		Meaning: "power through this gear; needs speed", at: func(d *draft) any { return &d.power }},
	{Table: "load", Name: "speed", Kind: Spindle, Auto: "not known", Low: 0.01, High: 1e5, Example: `60`,
		Meaning: "speed of this gear", at: func(d *draft) any { return &d.load.Rpm }},
	{Table: "load", Name: "service", Kind: Number, Default: `1.5`, Low: 1, High: 5, Example: `1.5`,
		Meaning: "service factor: 1 smooth, 1.5 light shocks, 2 and more heavy", at: func(d *draft) any { return &d.load.Service }},
}

var mateKeys = []Key{
	{Table: "mate", Name: "teeth", Kind: Count, Required: true, Low: 6, High: 999, Example: `24`,
		Meaning: "teeth of the gear it runs with", at: func(d *draft) any { return &d.mate.Teeth }},
	{Table: "mate", Name: "centre_distance", Kind: Length, Auto: "where the two mesh without play as standard teeth", Low: 3, High: 20000, Example: `124`,
		Meaning: "measured distance between the two axes", at: func(d *draft) any { return &d.mate.Centre }},
	{Table: "mate", Name: "profile_shift", Kind: Number, Unit: "modules", Default: `0`, Low: -1, High: 1.5, Example: `0`,
		Meaning: "profile shift coefficient of the mate", at: func(d *draft) any { return &d.mate.Shift }},
	{Table: "mate", Name: "thinning", Kind: Length, Default: `"0 mm"`, Low: 0, High: 5, Example: `0.1`,
		Meaning: "how much thinner than standard its teeth are, at the pitch circle", at: func(d *draft) any { return &d.mate.Thinning }},
}
