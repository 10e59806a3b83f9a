package profiles

import (
	"cmp"
	"slices"
	"strconv"
)

// StandardPitch is one size of a standard series.
type StandardPitch struct {
	Module    float64 // mm
	Diametral float64 // diametral pitch in 1/in; 0 for a size of a module series
	Series    string  // "I", "II", "DP", "old DP" or "odd"
	Source    string  // the standard it stands in
}

// String names the size as the trade does: "module 2.5" or "8 DP".
func (p StandardPitch) String() string {
	if p.Diametral > 0 {
		return strconv.FormatFloat(p.Diametral, 'f', -1, 64) + " DP"
	}
	return "module " + strconv.FormatFloat(p.Module, 'f', -1, 64)
}

const (
	iso54  = "ISO 54, series "
	pitch2 = "diametral pitches in general use, Shigley, Mechanical Engineering Design, table 13-2"
	pitchO = "old change wheel pitches; common practice"

	oddSize = "found on old machines; common practice, no source (ISO 54 has 6.5 in brackets, from memory)"
)

// Modules below 1 belong to no series of ISO 54; they are the old national
// first choice (DIN 780, from memory).
var (
	modulesBelow1 = []float64{0.5, 0.6, 0.7, 0.8, 0.9}
	modulesI      = []float64{1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20}
	modulesII     = []float64{1.125, 1.375, 1.75, 2.25, 2.75, 3.5, 4.5, 5.5, 7, 9, 11, 14, 18}
	pitches       = []float64{2, 2.25, 2.5, 3, 4, 6, 8, 10, 12, 16, 20, 24, 32, 40, 48, 64, 80}
	pitchesOld    = []float64{5, 7, 9, 11, 14, 18}
	modulesOdd    = []float64{3.25, 3.75, 6.5}
	pitchesOdd    = []float64{22}
)

// StandardPitches returns every standard size from the finest to the
// coarsest.
func StandardPitches() []StandardPitch {
	var out []StandardPitch
	add := func(series, source string, sizes []float64, diametral bool) {
		for _, s := range sizes {
			p := StandardPitch{Module: s, Series: series, Source: source}
			if diametral {
				p.Module, p.Diametral = inch/s, s
			}
			out = append(out, p)
		}
	}
	add("I", "modules below 1: DIN 780, series 1", modulesBelow1, false)
	add("I", iso54+"I", modulesI, false)
	add("II", iso54+"II", modulesII, false)
	add("DP", pitch2, pitches, true)
	add("old DP", pitchO, pitchesOld, true)
	add("odd", oddSize, modulesOdd, false)
	add("odd", oddSize, pitchesOdd, true)
	slices.SortStableFunc(out, func(a, b StandardPitch) int { return cmp.Compare(a.Module, b.Module) })
	return out
}
