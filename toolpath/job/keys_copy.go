package job

// Tables of readings on good teeth, from which a flank is copied.
const (
	touchTable   = "touch"
	vernierTable = "vernier"
)

var copyKeys = []Key{
	{Table: "copy", Name: "flanks", Kind: Choice, Set: flanksNames, Default: `"alike"`, Example: `"apart"`,
		Meaning: "alike: the readings of right and left flanks make one; apart: each flank is copied by itself, which takes touches of both", at: func(d *draft) any { return func(i int) { d.apart = i == 1 } }},
	{Table: "copy", Name: "cutter", Kind: Text, Auto: "each touch names its own", Example: `"end6"`,
		Meaning: "name of the end mill whose side touched, spindle still", at: func(d *draft) any { return &d.touching }},
	{Table: "copy", Name: "pin", Kind: Length, Auto: "a cutter touched", Low: 0.5, High: 50, Example: `6`,
		Meaning: "diameter of a ground pin in the spindle that touched in place of a cutter", at: func(d *draft) any { return &d.touchPin }},
	{Table: "copy", Name: "paper", Kind: Length, Default: `"0 mm"`, Low: 0, High: 1, Example: `0.05`,
		Meaning: "thickness of the paper between cutter and flank", at: func(d *draft) any { return &d.paper }},
	{Table: "copy", Name: "within", Kind: Length, Default: `"0.01 mm"`, Low: 0.001, High: 0.1, Example: `0.01`,
		Meaning: "+- of each reading; the copy is no smoother and no rougher than that", at: func(d *draft) any { return &d.within }},
}

var flanksNames = []string{"alike", "apart"}

var touchKeys = []Key{
	{Table: "touch.NAME", Name: "tooth", Kind: Count, Required: true, Low: -999, High: 999, Example: `3`,
		Meaning: "standing tooth that was touched, counted from the gap on top: 1, 2, 3 toward +Y, -1, -2, -3 toward -Y", at: func(d *draft) any { return &d.touch.tooth }},
	{Table: "touch.NAME", Name: "flank", Kind: Choice, Set: []string{"right", "left"}, Auto: "right of teeth toward +Y, left of those toward -Y", Example: `"right"`,
		Meaning: "its flank: right is the one toward +Y with the tooth on top", at: func(d *draft) any { return func(i int) { d.touch.side = 1 - 2*i } }},
	{Table: "touch.NAME", Name: "y", Kind: Length, Required: true, Low: -5000, High: 5000, Example: `27.412`,
		Meaning: "Y of the spindle, Y0 the middle of the gap with the gear level", at: func(d *draft) any { return &d.touch.y }},
	{Table: "touch.NAME", Name: "angle", Kind: Angle, Auto: "0: level", Low: -90, High: 90, Example: `2.5`,
		Meaning: "angle the gear was turned to from level, its top toward +Y", at: func(d *draft) any { return &d.touch.angle }},
	{Table: "touch.NAME", Name: "turns", Kind: Count, Auto: "0", Low: -100, High: 100, Example: `1`,
		Meaning: "head: whole turns of the crank from level, the gear's top toward +Y", at: func(d *draft) any { return &d.touch.turns }},
	{Table: "touch.NAME", Name: "holes", Kind: Count, Auto: "0", Low: -1000, High: 1000, Example: `7`,
		Meaning: "head: holes beside the turns, toward +Y", at: func(d *draft) any { return &d.touch.holes }},
	{Table: "touch.NAME", Name: "circle", Kind: Count, Auto: "needed with holes", Low: 1, High: 1000, Example: `20`,
		Meaning: "head: circle the holes were counted on", at: func(d *draft) any { return &d.touch.circle }},
	{Table: "touch.NAME", Name: "moved", Kind: Number, Unit: "teeth", Auto: "0", Low: -500, High: 500, Example: `0.5`,
		Meaning: "stops: teeth the gear was moved on from level, its top toward +Y; a half with half_tooth", at: func(d *draft) any { return &d.touch.moved }},
	{Table: "touch.NAME", Name: "drop", Kind: Length, Auto: "0: level", Low: -100, High: 100, Example: `1.25`,
		Meaning: "in place of an angle: how much lower the tip corner beside the gap stood on the +Y side than on the -Y side, before the teeth in moved; needs gear.tip_land", at: func(d *draft) any { return &d.touch.drop }},
	{Table: "touch.NAME", Name: "cutter", Kind: Text, Auto: "copy.cutter", Example: `"end6"`,
		Meaning: "name of the end mill whose side touched", at: func(d *draft) any { return &d.touch.cutter }},
	{Table: "touch.NAME", Name: "paper", Kind: Length, Auto: "copy.paper", Low: 0, High: 1, Example: `0.05`,
		Meaning: "thickness of the paper between cutter and flank", at: func(d *draft) any { return &d.touch.paper }},
}

var vernierKeys = []Key{
	{Table: "vernier.NAME", Name: "height", Kind: Length, Required: true, Low: 0.05, High: 200, Example: `2.5`,
		Meaning: "height the gear-tooth vernier was set to, from the tip of a good tooth down", at: func(d *draft) any { return &d.chord.Height }},
	{Table: "vernier.NAME", Name: "chord", Kind: Length, Required: true, Low: 0.1, High: 300, Example: `4.38`,
		Meaning: "width of the tooth there", at: func(d *draft) any { return &d.chord.Width }},
}
