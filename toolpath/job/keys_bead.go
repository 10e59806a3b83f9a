package job

import "cogmend/profiles"

var repairKeys = []Key{
	{Table: "repair", Name: "by", Kind: Choice, Set: []string{"insert", "build-up"}, Default: `"insert"`, Example: `"build-up"`,
		Meaning: "insert: a steel block let into a dovetail slot; build-up: the tooth is cut from metal brazed or welded on", at: func(d *draft) any { return pick(&d.job.By) }},
}

const beadTable = "bead"

// beadMaterials are what a bead may be of, in the order of the names.
var (
	beadMaterials     = []profiles.Material{profiles.Bronze, profiles.MildSteel}
	beadMaterialNames = []string{"bronze", "mild steel"}
)

var beadKeys = []Key{
	{Table: beadTable, Name: "beside", Kind: Length, Auto: "none: measure it; wanted with repair.by = \"build-up\"", Low: 0.2, High: 30, Example: `1.5`,
		Meaning: "the most by which the bead stands over either finished flank, across the tooth, at any height", at: func(d *draft) any { return &d.job.Bead.Beside }},
	{Table: beadTable, Name: "top", Kind: Length, Auto: "none: measure it; wanted with repair.by = \"build-up\"", Low: 0.1, High: 50, Example: `1.5`,
		Meaning: "the most by which it stands over the tip circle", at: func(d *draft) any { return &d.job.Bead.Top }},
	{Table: beadTable, Name: "ends", Kind: Length, Auto: "none: measure it; wanted with repair.by = \"build-up\"", Low: 0, High: 30, Example: `2`,
		Meaning: "the most by which it stands over either face of the gear; 0: filed flush", at: func(d *draft) any { return &d.job.Bead.Ends }},
	{Table: beadTable, Name: "stub", Kind: Length, Default: `"0 mm"`, Low: 0, High: 100, Example: `1`,
		Meaning: "least height over the root circle of the sound iron it was laid on; 0: the tooth broke off at its root", at: func(d *draft) any { return &d.job.Bead.Stub }},
	{Table: beadTable, Name: "material", Kind: Choice, Set: beadMaterialNames, Default: `"bronze"`, Example: `"bronze"`,
		Meaning: "bronze: brazed; mild steel: welded", at: func(d *draft) any { return func(i int) { d.job.Bead.Material = beadMaterials[i] } }},
	{Table: beadTable, Name: "strength", Kind: Number, Unit: "MPa", Auto: "the weakest of its kind", Low: 50, High: 1000, Example: `350`,
		Meaning: "strength of what was laid as the maker of the rod states it (bronze: tensile; steel: yield), for the load", at: func(d *draft) any { return &d.job.Bead.Strength }},
	{Table: beadTable, Name: "bond", Kind: Number, Unit: "MPa", Auto: "a quarter of the casting's tensile strength", Low: 1, High: 300, Example: `40`,
		Meaning: "stress that the joint between bead and iron may bear, by whoever laid it, for the load", at: func(d *draft) any { return &d.job.Bead.Bond }},
}
