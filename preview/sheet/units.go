package sheet

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// size is a length in the job's unit and in the other one, for the person
// may have either instrument.
type size struct{ Main, Other string }

// size writes a length as finely as it is measured or typed. Its argument is
// mm.
func (s *sheet) size(mm float64) size {
	return s.sizes(mmText(mm), inchText(mm))
}

// coarse writes a length without zeros that say nothing.
func (s *sheet) coarse(mm float64) size {
	return s.sizes(trim(mmText(mm)), trim(inchText(mm)))
}

func (s *sheet) sizes(mm, inch string) size {
	return s.written(mm+" mm", inch+" in")
}

// written puts the job's unit first.
func (s *sheet) written(mm, inch string) size {
	if s.job.Units == job.Inch {
		return size{inch, mm}
	}
	return size{mm, inch}
}

func mmText(mm float64) string   { return figure.Number(mm, 3) }
func inchText(mm float64) string { return figure.Number(mm/25.4, 4) }

func trim(number string) string {
	if !strings.Contains(number, ".") {
		return number
	}
	return strings.TrimRight(strings.TrimRight(number, "0"), ".")
}

// span writes a stretch in the job's unit.
func (s *sheet) span(from, to float64) string {
	return between(s.coarse(from).Main, s.coarse(to).Main)
}

// between joins two lengths with one unit.
func between(a, b string) string { return a[:strings.LastIndexByte(a, ' ')] + " to " + b }

func degrees(rad float64) string { return figure.Number(geom.Degrees(rad), 3) + "°" }

// tool is a cutter with what one looks for when setting it up.
type tool struct {
	Number   int
	Name     string
	Kind     string
	Diameter size
	StickOut size
}

func (s *sheet) tool(c *profiles.Cutter) tool {
	kind := c.Kind.String()
	if c.Kind == profiles.Dovetail {
		kind = fmt.Sprintf("%s %s included", kind, trim(figure.Number(2*geom.Degrees(c.FlankAngle), 3))+"°")
	}
	return tool{c.Number, c.Name, kind, s.coarse(c.Diameter), s.coarse(c.StickOut)}
}

// gearFacts tells which gear is meant.
func (s *sheet) gearFacts() []fact {
	g := &s.job.Gear
	word := func(name, main, other string) fact { return fact{name, size{main, other}} }
	form := word("pressure angle", trim(figure.Number(geom.Degrees(g.Pressure), 3))+"°", "")
	if g.Form != nil {
		form = word("form of the teeth", g.FormName(), "")
	}
	return []fact{
		word("teeth", fmt.Sprint(g.Teeth), ""),
		word("module", trim(figure.Number(g.Module, 4))+" mm", trim(figure.Number(25.4/g.Module, 3))+" DP"),
		form,
		word("teeth to make", fmt.Sprint(len(g.Places)), ""),
		{"face width", s.coarse(g.Face)},
		{"tip diameter", s.size(2 * g.TipRadius())},
	}
}

// both writes a length in both units in one line.
func (s *sheet) both(mm float64) string {
	return s.coarse(mm).both()
}

// both is the length in both units in one line.
func (z size) both() string { return z.Main + " (" + z.Other + ")" }

// ownLength finds lengths as the plan's sentences have them.
var ownLength = regexp.MustCompile(`(-?[0-9]+(?:\.[0-9]+)?) (mm|in)\b`)

// bothIn puts the other unit beside each length of a sentence of the plan.
func (s *sheet) bothIn(text string) string {
	return ownLength.ReplaceAllStringFunc(text, func(found string) string {
		m := ownLength.FindStringSubmatch(found)
		n, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			return found
		}
		if m[2] == "in" {
			n *= 25.4
		}
		return s.both(n)
	})
}

// facetLine says how the flanks are made.
func (s *sheet) facetLine() string {
	f := s.Plan.Flanks
	lean := "all of it stands proud, for the file"
	if s.job.Facets.Lean == job.Even {
		lean = "half of it proud, half too deep"
	}
	return fmt.Sprintf("%d facets right, %d left; error %s and %s, %s",
		len(f.Right.Rolls), len(f.Left.Rolls), s.size(f.Right.GreatestError).Main, s.size(f.Left.GreatestError).Main, lean)
}
