package toolpath

import (
	"fmt"
	"math"
	"slices"

	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// set returns the angle nearest to one that the device can be set to, and how.
// Level is the gap at top dead centre.
func (t *toucher) set(angle float64) (float64, TouchSetting) {
	x := t.Job.Index
	switch {
	case x.Device == job.Teeth:
		return t.setOnStops(angle)
	case x.Device == job.Head && x.Graduation == 0:
		circle := slices.Max(x.Circles)
		hole := design.HeadStep(x, circle)
		n := int(math.Round(angle / hole))
		turns, holes := n/circle, n%circle
		if n == 0 {
			return 0, TouchSetting{Words: "level"}
		}
		words := fmt.Sprintf("%s of the %d circle", job.Counted(abs(holes), "hole"), circle)
		if turns != 0 {
			words = job.Counted(abs(turns), "turn") + " and " + words
		}
		set := TouchSetting{Words: fmt.Sprintf("%s from level, top toward %s", words, towardY(angle))}
		if turns != 0 {
			set.Keys = append(set.Keys, fmt.Sprintf("turns = %d", turns))
		}
		if holes != 0 {
			set.Keys = append(set.Keys, fmt.Sprintf("holes = %d, circle = %d", holes, circle))
		}
		return float64(n) * hole, set
	}
	step := x.Graduation
	if x.Device == job.Rotary {
		step = math.Pi / 180 / 100
	}
	angle = math.Round(angle/step) * step
	if angle == 0 {
		return 0, TouchSetting{Words: "level"}
	}
	deg := degrees(angle)
	set := TouchSetting{Words: fmt.Sprintf("turned %s deg from level, top toward %s", plainNumber(math.Abs(deg)), towardY(angle)), Keys: []string{"angle = " + plainNumber(deg)}}
	if x.Device == job.Rotary {
		set.Words = fmt.Sprintf("A%s, top toward %s", plainNumber(deg*float64(t.Job.Machine.RotarySign)), towardY(angle))
	}
	return angle, set
}

// setOnStops is set for a gear that rests on stops by its own teeth: moved on by
// whole teeth, or half ones where the stops hold in a space too, and tipped by
// the drop between the two tips beside the gap.
func (t *toucher) setOnStops(angle float64) (float64, TouchSetting) {
	unit := t.pitch
	if t.Job.Index.HalfTooth {
		unit /= 2
	}
	moved := math.Round(angle/unit) * unit / t.pitch
	rest := angle - moved*t.pitch
	set := TouchSetting{Words: "level"}
	if math.Abs(rest) > sameLean {
		// The corners of the two tips toward the gap, as the job reads the drop back.
		r := t.Job.Gear.TipRadius()
		corner := math.Sin(t.reach*t.pitch - t.Job.Touching.TipLand/(2*r))
		step := 0.01
		if t.Job.Units == job.Inch {
			step = 0.0005 * 25.4
		}
		drop := math.Round(2*r*corner*math.Sin(rest)/step) * step
		rest = math.Asin(drop / (2 * r * corner))
		low, high := "+Y", "-Y"
		if drop < 0 {
			low, high = high, low
		}
		set.Words = fmt.Sprintf("stops set so that the tip corner beside the gap on the %s side stands %s lower than that on the %s side", low, t.len(math.Abs(drop)), high)
		set.Keys, set.Drop = append(set.Keys, "drop = "+t.bare(drop)), drop
	} else {
		rest = 0
	}
	if moved != 0 {
		words := fmt.Sprintf("moved on by %s toward %s", teethWords(math.Abs(moved)), towardY(moved))
		if rest == 0 {
			set.Words = "level, then " + words
		} else {
			set.Words += ", then " + words
		}
		set.Keys = append(set.Keys, "moved = "+plainNumber(moved))
	}
	return moved*t.pitch + rest, set
}

func teethWords(n float64) string {
	if n == 1 {
		return "a tooth"
	}
	if n == 0.5 {
		return "half a tooth"
	}
	return plainNumber(n) + " teeth"
}

// towardY says to which side the gear's top goes for a positive or negative angle.
func towardY(angle float64) string {
	if angle < 0 {
		return "-Y"
	}
	return "+Y"
}

func abs(n int) int { return max(n, -n) }

// plainNumber writes a number to four decimals without those that say nothing.
func plainNumber(v float64) string {
	s := fmt.Sprintf("%.4f", v+0)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}

// bare writes a length as a bare number of the job's unit.
func (t *toucher) bare(mm float64) string {
	if t.Job.Units == job.Inch {
		mm /= 25.4
	}
	return plainNumber(mm)
}
