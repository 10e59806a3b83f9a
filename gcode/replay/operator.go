package replay

import (
	"math"

	"cogmend/gcode"
	"cogmend/gcode/machine"
	"cogmend/profiles/geom"
)

// counted adds up what the words before a stop tell a hand to turn, and holds it
// to the angle the program counts on: a hand follows the words.
func (r *runner) counted(line int) {
	t, ok := gcode.ReadTurned(r.words)
	want := *r.asked
	switch {
	case r.setup.CrankRatio == 0 && r.setup.Pitch == 0:
		return // the set-up does not say how the gear is turned
	case !ok && math.Abs(want-r.byWords) > levelSlack:
		r.find(Unplaced, line, 0, "words", "no comment tells how the gear comes from %.4f to %.4f degrees, where the program counts on it: it would be cut at the wrong angle",
			geom.Degrees(r.byWords), geom.Degrees(want))
		r.byWords = want
		return
	case !ok:
		return
	}
	from := r.byWords
	if t.Anew {
		from = geom.Radians(t.From)
	}
	by := geom.Radians(t.By)
	switch {
	case t.Circle > 0 && r.setup.CrankRatio > 0:
		by = (float64(t.Turns) + float64(t.Holes)/float64(t.Circle)) * 2 * math.Pi / float64(r.setup.CrankRatio)
	case t.Teeth > 0:
		by = t.Teeth * r.setup.Pitch
	}
	r.byWords = from + float64(t.Toward)*by
	if math.Abs(math.Remainder(r.byWords-want, 2*math.Pi)) > wordSlack {
		r.find(Unplaced, line, 0, "words", "the words bring the gear to %.4f degrees, the program counts on %.4f: it would be cut at the wrong angle",
			geom.Degrees(r.byWords), geom.Degrees(want))
	}
	r.byWords = want // told once
}

// wordSlack is what an angle that is counted may differ from the same written to
// four decimals of a degree, rad: half the last decimal of each, of a word that
// a hand sets and of the sum of some dozens of such.
const wordSlack = 2e-5

// stopped looks at where the cutter is while a program waits for the operator.
func (r *runner) stopped(line int) {
	if r.z < r.setup.Top {
		r.find(StopLow, line, r.setup.Top-r.z, "", "the program stops with the cutter %.3f mm below the highest metal: it stands in the work, and marks it when the spindle stops and starts",
			r.setup.Top-r.z)
		return
	}
	n := len(r.setup.Stations)
	if !gcode.HandsIn(r.words) || n == 0 || r.tool == nil {
		return
	}
	at, reach := r.control.Position(), r.tool.Diameter/2
	if at.X > r.setup.Stations[0].X-reach && at.X < r.setup.Stations[n-1].X+reach {
		r.find(StopLow, line, 0, "hands", "hands are sent to the work while the cutter stands over it, at X %.3f: let it wait beyond the work's ends", at.X)
	}
}

// ended looks at how a program leaves the machine.
func (r *runner) ended(line int, last *machine.State) {
	if r.z < r.setup.Top {
		r.find(StopLow, line, r.setup.Top-r.z, "end", "the program ends with the cutter %.3f mm below the highest metal: whoever moves it next moves it through the work", r.setup.Top-r.z)
	}
	for _, left := range []struct {
		held bool
		code string
		then string
	}{
		{last.Inch != r.inch, map[bool]string{true: "G20", false: "G21"}[last.Inch], "a control that keeps it takes the next program's places in another unit than this one's"},
		{last.Path == 64, "G64", "a control that keeps it rounds off the next program's corners"},
		{last.LengthOffset && !r.setup.LengthComp, "G43", "a control that keeps it adds a tool's length to Z the next time"},
		{last.Shifted, "G92", "a control that keeps it works from another zero the next time"},
		{last.Incremental, "G91", "a control that keeps it takes the next program's places as steps"},
		{last.InverseTime, "G93", "a control that keeps it takes the next program's feeds as times"},
		{last.NoOverrides, "M49", "a control that keeps it does not let the feed be turned down the next time"},
	} {
		if left.held {
			r.find(Unplaced, line, 0, left.code, "%s is left in force at the end: %s", left.code, left.then)
		}
	}
	if last.Spindle != machine.Off {
		r.find(NoSpeed, line, 0, "end", "the program ends while the spindle turns: a control that does not stop it leaves it turning where hands go next")
	}
}

// sunk adds up how deep a cutter goes straight down into metal, however small
// the steps, and finds what it does not bear.
func (r *runner) sunk(m *machine.Motion) {
	t, b := r.tool, &r.bite
	along := math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
	sideways := m.Arc != nil || along > 0
	away := m.To.Z > m.From.Z || m.Arc != nil || along > t.Diameter/2
	if t.OnlyDown { // a drill is drawn out when it is back where it began
		away = m.To.Z >= r.downFrom
	}
	if r.down == 0 || away {
		r.down, r.downFrom = 0, max(m.From.Z, m.To.Z)
	}
	switch {
	case away:
	case b.area > 0 && b.drop > 0:
		r.down += min(b.drop, b.depth)
	}
	if t.MaxDepth > 0 && r.down > t.MaxDepth+depthSlack {
		r.find(TooDeep, m.Line, r.down, "sunk", "tool %d goes %.3f mm straight down into metal; its limit is %.3f, and its end packs with chips", t.Number, r.down, t.MaxDepth)
	}
	if t.MaxPeck > 0 && r.down > t.MaxPeck+depthSlack {
		r.find(TooDeep, m.Line, r.down, "peck", "tool %d is fed %.3f mm deep without being drawn out; %.3f at most, or its flutes pack with chips and it breaks", t.Number, r.down, t.MaxPeck)
	}
	if t.OnlyDown && sideways && b.area > 0 {
		r.find(TooDeep, m.Line, 0, "sideways", "tool %d is a drill and is fed sideways in metal: it breaks", t.Number)
	}
}
