package preview

import (
	"cogmend/preview/figure"
	"cogmend/preview/sheet"
)

// Names by which the commands know what stands in packages of its own.
type (
	Figure       = figure.Figure
	SheetData    = sheet.Data
	SheetMeasure = sheet.Measure
	SettingCost  = sheet.SettingCost
)

// Sheet writes the sheet.
var Sheet = sheet.Write
