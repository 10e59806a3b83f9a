package gcode

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// What a program's comments tell the operator to do by hand, as they are read
// by the check. They are written by the plan in these words.

// Turned is what the words of a setting say of the gear's angle. Degrees, the
// gear's top toward +Y positive.
type Turned struct {
	Turns  int     // whole turns of a crank
	Holes  int     // holes beyond them
	Circle int     // the hole circle; 0: not by a crank
	By     float64 // degrees by a scale
	Teeth  float64 // whole or half teeth on stops
	Toward int     // +1 toward +Y, -1 toward -Y; 0: left where it is
	To     float64 // the angle it comes to, as said
	Anew   bool    // counted from the gap at top dead centre, or from the stops as they are set
	From   float64 // where that leaves the gear, degrees
}

var (
	byCrank = regexp.MustCompile(`turn the crank (?:([0-9]+) turns? and |([0-9]+) turns? )?(?:([0-9]+) holes? )?on the ([0-9]+) circle, the gear's top toward ([+-])Y, to (-?[0-9.]+) deg`)
	byScale = regexp.MustCompile(`turn the gear's top ([0-9.]+) deg,? (?:([0-9]+) deg ([0-9.]+) min, )?toward ([+-])Y, to (-?[0-9.]+) deg`)
	byTeeth = regexp.MustCompile(`move its top ([0-9.]+) (?:tooth|teeth) toward ([+-])Y, to (-?[0-9.]+) deg`)
	stays   = regexp.MustCompile(`leave it there, at (-?[0-9.]+) deg`)
	stopsAt = regexp.MustCompile(`Set the stops so that the gear rests on them at (-?[0-9.]+) deg`)
	anewTo  = regexp.MustCompile(`then turn its top to (-?[0-9.]+) deg toward \+Y`)
	handsIn = regexp.MustCompile(`(^|[ .])(Tap |Step [0-9]+\.)|drill them through|[Tt]ry the insert`)
)

// ReadTurned reads a setting out of the words of all comments before one stop,
// joined by blanks. ok is false when they tell of none.
func ReadTurned(words string) (t Turned, ok bool) {
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(strings.TrimSuffix(s, "."), 64)
		if err != nil {
			return 0
		}
		return v
	}
	sign := func(s string) int {
		if s == "-" {
			return -1
		}
		return 1
	}
	if m := stopsAt.FindStringSubmatch(words); m != nil {
		t.Anew, t.From = true, num(m[1])
	}
	t.Anew = t.Anew || strings.Contains(words, "From the gap at top dead centre") ||
		strings.Contains(words, "Set the stops") || strings.Contains(words, "Level the gear anew")
	if m := byCrank.FindStringSubmatch(words); m != nil {
		t.Turns, t.Holes = int(num(m[1])+num(m[2])), int(num(m[3]))
		t.Circle, t.Toward, t.To = int(num(m[4])), sign(m[5]), num(m[6])
		return t, true
	}
	if m := byScale.FindStringSubmatch(words); m != nil {
		t.By, t.Toward, t.To = num(m[1]), sign(m[4]), num(m[5])
		// Said twice: the scale is read in minutes, to a tenth of one.
		if inMinutes := num(m[2]) + num(m[3])/60; m[2] != "" && math.Abs(inMinutes-t.By) > 0.06/60 {
			t.By = inMinutes
		}
		return t, true
	}
	if m := byTeeth.FindStringSubmatch(words); m != nil {
		t.Teeth, t.Toward, t.To = num(m[1]), sign(m[2]), num(m[3])
		return t, true
	}
	if m := anewTo.FindStringSubmatch(words); m != nil {
		t.By, t.Toward, t.To = num(m[1]), 1, num(m[1])
		return t, true
	}
	if m := stays.FindStringSubmatch(words); m != nil {
		t.To = num(m[1])
		return t, true
	}
	return t, t.Anew
}

// HandsIn says that the words before a stop send hands to the work itself, not
// only to a crank or a cutter.
func HandsIn(words string) bool { return handsIn.MatchString(words) }
