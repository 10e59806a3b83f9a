package gcode

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// What a program's comments tell the operator, as the check obeys them: each is
// written and read here.

// OnceMore begins the comment before a cut that is made once more at the same
// place, because the cutter springs: it takes off what no replay of the stock
// shows.
const OnceMore = "the same cut once more"

// PassTitle is the comment that begins a pass: its number from 1 and its name,
// a line of text that may be longer than one comment and then goes on in the next.
func PassTitle(number int, name string) string { return fmt.Sprintf("Pass %d: %s", number, name) }

var (
	passTitle = regexp.MustCompile(`^Pass ([0-9]+):(?: (.*))?$`)
	passBegun = regexp.MustCompile(`\((Pass [0-9]+:[^()\n]*)\)`)
)

// ReadPass reads the comment that begins a pass; ok is false for any other.
func ReadPass(comment string) (number int, name string, ok bool) {
	m := passTitle.FindStringSubmatch(comment)
	if m == nil {
		return 0, "", false
	}
	number, err := strconv.Atoi(m[1])
	return number, m[2], err == nil
}

// PassStart is where a pass begins in the text of a program.
type PassStart struct {
	Number int    // of the pass, from 1
	At     int    // the byte at which its comment begins, the parenthesis
	Line   int    // the line it stands in, from 1
	Title  string // the comment
}

// PassStarts finds where the passes of a program begin, in the order of the text.
func PassStarts(text []byte) []PassStart {
	var out []PassStart
	line, counted := 1, 0
	for _, m := range passBegun.FindAllSubmatchIndex(text, -1) {
		line += bytes.Count(text[counted:m[0]], []byte("\n"))
		counted = m[0]
		title := string(text[m[2]:m[3]])
		if number, _, ok := ReadPass(title); ok {
			out = append(out, PassStart{number, m[0], line, title})
		}
	}
	return out
}

// Order is one thing a comment tells the operator to do, or to know, at the next
// stop.
type Order struct {
	Kind   OrderKind // what is to be done or known
	Number int       // of the tool or the step; rev/min of the spindle
	Angle  float64   // GearAt: degrees
	Job    string    // OfJob: the fingerprint
}

// OrderKind is what an order is about.
type OrderKind int

// The kinds of order.
const (
	NoOrder    OrderKind = iota
	GearAt               // the angle the gear then stands at
	PutIn                // a tool put in by hand
	TouchOff             // a tool whose length is found by hand
	TryStep              // a trial cut to be tried
	SetSpindle           // the spindle set and started by hand
	OfJob                // the job the program was written from
)

// orders are the words of each kind: how they are written, and how they begin
// when they are read.
var orders = []struct {
	kind  OrderKind
	write string
	read  *regexp.Regexp
}{
	{GearAt, "GEAR AT %.4f DEG", regexp.MustCompile(`^GEAR AT (-?[0-9]+\.[0-9]+) DEG$`)},
	{PutIn, "Put in T%d", regexp.MustCompile(`^Put in T([0-9]+)`)},
	{TouchOff, "Touch off the length of T%d", regexp.MustCompile(`^Touch off the length of T([0-9]+)`)},
	{TryStep, "Step %d.", regexp.MustCompile(`^Step ([0-9]+)\.`)},
	{SetSpindle, "Set the spindle to %d rev/min", regexp.MustCompile(`^Set the spindle to ([0-9]+) rev/min`)},
	{OfJob, "Job file's fingerprint: %s", regexp.MustCompile(`^Job file's fingerprint: ([0-9a-f]+)$`)},
}

// String is the order as it stands in a comment, which may go on after it.
func (o Order) String() string {
	for _, form := range orders {
		if form.kind != o.Kind {
			continue
		}
		switch o.Kind {
		case GearAt:
			return fmt.Sprintf(form.write, o.Angle)
		case OfJob:
			return fmt.Sprintf(form.write, o.Job)
		}
		return fmt.Sprintf(form.write, o.Number)
	}
	return ""
}

// ReadOrder reads the order a comment begins with; its kind is NoOrder where it
// begins with none. The error is a number that cannot be read.
func ReadOrder(comment string) (o Order, err error) {
	for _, form := range orders {
		m := form.read.FindStringSubmatch(comment)
		if m == nil {
			continue
		}
		o.Kind = form.kind
		switch o.Kind {
		case GearAt:
			o.Angle, err = strconv.ParseFloat(m[1], 64)
		case OfJob:
			o.Job = m[1]
		default:
			o.Number, err = strconv.Atoi(m[1])
		}
		return o, err
	}
	return o, nil
}

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
