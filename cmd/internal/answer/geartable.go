package answer

import (
	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
	"fmt"
	"math"
	"slices"
	"strings"
)

// shiftShown is the least profile shift, in modules, that is written into a
// table: less is the blank's tolerance. Own rule.
const shiftShown = 0.02

// GearTable is the [gear] table of a job file in mm or inch. Sizes nobody has
// measured yet stand in it as comments.
func GearTable(s job.Start, remarks map[string]string) string {
	var b strings.Builder
	unit := s.Units.Name()
	// As fine as a micrometer reads, without noughts at the end.
	length := func(mm float64) string {
		return strings.TrimSuffix(strings.TrimRight(s.Units.Number(mm), "0"), ".")
	}
	line := func(key, value, remark string) {
		text := key + " = " + value
		if remark != "" {
			text = fmt.Sprintf("%-30s # %s", text, remark)
		}
		fmt.Fprintf(&b, "%s\n", text)
	}
	line("[gear]\nteeth", fmt.Sprint(s.Teeth), "")
	if s.Module > 0 {
		line("module", fmt.Sprintf("%g", s.Module), "")
	} else {
		line("diametral_pitch", fmt.Sprintf("%g", s.DiametralPitch), "")
	}
	line("pressure_angle", fmt.Sprintf("%.4g", geom.Degrees(s.Pressure)), "")
	line("proportions", fmt.Sprintf("%q", s.Rack), remarks["proportions"])
	if s.Addendum != 0 {
		line("addendum", fmt.Sprintf("%.3f", s.Addendum), remarks["addendum"])
	}
	if s.Shift != 0 {
		line("profile_shift", fmt.Sprintf("%.3f", s.Shift), "modules")
	}
	line("thinning", fmt.Sprintf("%q", length(s.Thinning)+" "+unit), remarks["thinning"])
	for _, l := range []struct {
		key    string
		mm     float64
		remark string
	}{{"face", s.Face, "width along the axis"}, {"bore", s.Bore, "diameter, 0 when in one with the shaft"}} {
		if l.mm > 0 {
			line(l.key, fmt.Sprintf("%q", length(l.mm)+" "+unit), "")
		} else {
			line("# "+l.key, `"... `+unit+`"`, "measure and fill in: "+l.remark)
		}
	}
	return b.String()
}

// StartOf adds the candidate taken to what is known already; remarks say how sure
// its numbers are.
func StartOf(s job.Start, c measure.Candidate, readings []measure.Reading) (job.Start, map[string]string) {
	g := c.Gear
	remarks := map[string]string{}
	if math.Abs(g.Shift) < shiftShown {
		// The same thickness without the shift.
		g.Thinning -= 2 * g.Shift * g.Module * math.Tan(g.Pressure)
		g.Shift = 0
	}
	s.Teeth, s.Pressure, s.Rack, s.Missing = g.Teeth, g.Pressure, g.Rack.Name, 1
	s.Shift, s.Thinning = math.Round(g.Shift*1000)/1000, math.Round(max(0, g.Thinning)*1000)/1000
	if s.Module = c.Pitch.Module; c.Pitch.Diametral > 0 {
		s.Module, s.DiametralPitch = 0, c.Pitch.Diametral
	}
	if c.TipCut > shiftShown*g.Module {
		s.Addendum = math.Round(1000*(g.Rack.Addendum-c.TipCut/g.Module)) / 1000
		remarks["addendum"] = "the tips are shortened, as those of a shifted pair: measure them"
	}
	remarks["thinning"] = "wear and backlash of the standing teeth as measured; the new one is made alike"
	if !slices.ContainsFunc(readings, measure.Reading.TellsThickness) {
		s.Thinning, remarks["thinning"] = 0, "not known: span the standing teeth, or measure over pins"
	}
	if len(c.AlsoRacks) > 0 {
		remarks["proportions"] = "or " + strings.Join(c.AlsoRacks, ", ") + ": the same heights, another root fillet"
	}
	return s, remarks
}
