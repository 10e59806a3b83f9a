package sheet

import (
	"fmt"
	"math"
	"strings"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// settings is the table of what is set by hand to index the gear.
type settings struct {
	Head []string // of the columns
	Rows [][]string
	Note string
}

// Halves are the rows in one or two tables, to stand side by side.
func (t *settings) Halves() [][][]string {
	const alone = 8 // rows that need no second table
	if len(t.Rows) <= alone {
		return [][][]string{t.Rows}
	}
	half := (len(t.Rows) + 1) / 2
	return [][][]string{t.Rows[:half], t.Rows[half:]}
}

// settings lists every position of the gear in a program in its order, as it
// is set; nil with a rotary axis, or where the gear is not turned.
func (s *sheet) settings(p *toolpath.Program) *settings {
	x := s.job.Index
	if p.Setup != toolpath.GearSetup || x.Device == job.Rotary {
		return nil
	}
	t := &settings{}
	stops, ok := s.stops()
	switch {
	case x.Device == job.Teeth && ok:
		t.Head = []string{"pass", "gear at", "move its top", "right under tooth", "left under tooth", "packing"}
		t.Note = "Teeth are counted from the gap outward, down each side: the first that stands is 1. “Level, for T”: the gear stands so while that tool is touched off. Packing, both: one piece of " + s.both(stops.Packing) + " on each stop."
	case x.Device == job.Teeth:
		t.Head = []string{"pass", "gear at", "move its top"}
	case x.Graduation > 0:
		t.Head = []string{"pass", "gear at", "scale from level", "turn by", "gear's top toward"}
		t.Note = "Turn toward −Y without going back. Toward +Y go beyond and come back to it, so that the backlash lies as before. Lock the head each time, before the cutter starts; unlock it before it is turned."
	default:
		t.Head = []string{"pass", "gear at", "turns", "holes", "gear's top toward"}
		t.Note = fmt.Sprintf("Circle of %d holes, worm %d to 1. Counted from the last position, the sector arms set to the holes. Toward +Y go half a turn of the crank beyond and come back, so that the backlash lies as before. Lock the head each time, before the cutter starts; unlock it before it is turned.", s.Plan.Flanks.Circle, x.Ratio)
	}
	at, number := 0.0, 0
	row := func(pass string, to float64) {
		if math.Abs(to-at) > geom.Eps {
			t.Rows = append(t.Rows, s.settingRow(pass, at, to, stops))
		}
		at = to
	}
	for i := range p.Ops {
		o := &p.Ops[i]
		if o.Level != "" {
			row("level, for T"+fmt.Sprint(o.Cutter.Number), 0)
		}
		for k := range o.Passes {
			number++
			row(fmt.Sprint(number), o.Passes[k].Angle)
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}

// settingRow is one turn of the gear by hand.
func (s *sheet) settingRow(pass string, from, to float64, st stops) []string {
	x := s.job.Index
	toward := "−Y"
	if to > from {
		toward = "+Y"
	}
	by := math.Abs(to - from)
	out := []string{pass, degrees(to)}
	switch {
	case x.Device == job.Teeth:
		teeth := math.Round(by/s.job.Gear.Pitch()*2) / 2
		out = append(out, fmt.Sprintf("%s toward %s", teethWord(teeth), toward))
		if st.Packing > 0 {
			right, left, packed := st.under(to)
			packing := "–"
			if packed {
				packing = "both"
			}
			out = append(out, right, left, packing)
		}
	case x.Graduation > 0:
		out = append(out, degreesMinutes(to), degreesMinutes(by), toward)
	default:
		turns, holes := profiles.Crank(x.Ratio, s.Plan.Flanks.Circle, by)
		out = append(out, fmt.Sprint(turns), fmt.Sprint(holes), toward)
	}
	return out
}

// settingText is a turn of the gear by hand in words, as the table beside it has
// it; given is what the program's text says.
func (s *sheet) settingText(given string, from, to float64, st stops) string {
	x := s.job.Index
	toward, start, back := "−Y", "", ""
	if math.Abs(from) < geom.Eps {
		start = "From level: "
	}
	if to > from {
		toward, back = "+Y", " Go past it, then back to it."
	}
	by := math.Abs(to - from)
	switch {
	case x.Device == job.Head && x.Graduation > 0:
		return fmt.Sprintf("%sgear's top %s toward %s, scale at %s from level.%s", start, degreesMinutes(by), toward, degreesMinutes(to), back)
	case x.Device == job.Head:
		turns, holes := profiles.Crank(x.Ratio, s.Plan.Flanks.Circle, by)
		crank := job.Counted(holes, "hole")
		if turns > 0 {
			crank = job.Counted(turns, "turn") + " and " + crank
		}
		return fmt.Sprintf("%s%s of %d, gear's top toward %s, to %s.%s", start, crank, s.Plan.Flanks.Circle, toward, degrees(to), strings.Replace(back, "past", "half a turn past", 1))
	case st.Packing > 0 || st.phase == 0 && st.step > 0:
		if by < geom.Eps || math.Abs(math.Remainder(by, st.step/2)) > geom.Eps {
			break // no whole number of half teeth: the program has its own words
		}
		right, left, packed := st.under(to)
		text := fmt.Sprintf("%sunclamp, stops out, gear's top %s toward %s, to %s. Right stop under tooth %s, left under %s", start, teethWord(math.Round(2*by/st.step)/2), toward, degrees(to), right, left)
		switch {
		case packed:
			return text + ", both packed."
		case st.Packing > 0:
			return text + ", no packing."
		}
		return text + "."
	}
	return setWords(given)
}

// sentence begins with a capital.
func sentence(text string) string {
	for i, r := range text {
		return text[:i] + strings.ToUpper(string(r)) + text[i+len(string(r)):]
	}
	return text
}

func teethWord(n float64) string {
	text := strings.TrimSuffix(fmt.Sprintf("%.1f", n), ".0")
	text = strings.Replace(text, ".5", "½", 1)
	text = strings.TrimPrefix(text, "0")
	if n <= 1 {
		return text + " tooth"
	}
	return text + " teeth"
}

// degreesMinutes writes an angle as a plain scale with a vernier shows it.
func degreesMinutes(rad float64) string {
	minutes := geom.Degrees(rad) * 60
	sign := ""
	if math.Round(minutes*10) < 0 {
		sign, minutes = "−", -minutes
	}
	tenths := math.Round(minutes * 10)
	whole := math.Floor(tenths / 600)
	return fmt.Sprintf("%s%.0f° %s′", sign, whole, trim(figure.Number((tenths-600*whole)/10, 1)))
}
