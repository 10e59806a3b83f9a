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

// operation is what is done with one cutter.
type operation struct {
	Name      string
	Tool      tool
	Rpm       string
	Feed      size
	HandSpeed bool   // the spindle is set by hand
	Spring    string // why some passes cut once more at the same place
	Steps     []step
}

// step is one line to tick off: a number to set by hand, a pass, or what
// to do at a stop.
type step struct {
	Number int // of the pass; 0: of none
	Name   string
	Set    string // what is set by hand before it
	Lock   string // what holds the gear then
	Stop   string
	Try    string // at the stop after it, which has the same to do as the first
	A      string // where the gear stands
	Turned string // what A is called: the axis's word, or the gear by hand
	Y      *size  // of the cutter's middle in the last cut
	Z      *size  // lowest
	Cuts   string
}

// ops writes out the operations of a program.
func (s *sheet) ops(p *toolpath.Program) []operation {
	j, turns := s.job, false
	for _, o := range p.Ops {
		for _, pass := range o.Passes {
			turns = turns || pass.Angle != 0
		}
	}
	shift := 0.0
	if p.Setup == toolpath.GearSetup {
		shift = s.Plan.Shift
	}
	var out []operation
	number, at := 0, 0.0
	on, _ := s.stops()
	for i := range p.Ops {
		o := &p.Ops[i]
		feed := o.Feed
		if o.Cutter.Kind == profiles.Drill {
			feed = o.Plunge
		}
		v := operation{Name: o.Name, Tool: s.tool(o.Cutter), Rpm: fmt.Sprintf("%.0f", o.Rpm), HandSpeed: j.Machine.HandSpeed,
			Feed: s.sizes(fmt.Sprintf("%.0f", feed), fmt.Sprintf("%.1f", feed/25.4))}
		v.Feed.Main, v.Feed.Other = v.Feed.Main+"/min", v.Feed.Other+"/min"
		if o.Level != "" {
			v.Steps = append(v.Steps, step{Set: s.handsOff(s.settingText(o.Level, at, 0, on)), Lock: s.locking()})
			at = 0
		}
		v.Steps = append(v.Steps, s.change(p, i, v.Rpm)...)
		for k := range o.Passes {
			pass := &o.Passes[k]
			number++
			if pass.Setting != "" {
				v.Steps = append(v.Steps, step{Set: s.handsOff(s.settingText(pass.Setting, at, pass.Angle, on)), Lock: s.locking()})
			}
			at = pass.Angle
			v.Steps = append(v.Steps, s.step(pass, number, shift, turns))
			for _, m := range pass.Moves {
				if m.Kind != toolpath.Stop {
					continue
				}
				if p.Purpose == toolpath.TrialProgram && number > 1 {
					v.Steps[len(v.Steps)-1].Try = s.handsOff(fmt.Sprintf("Try it as step 1. It slides: its number is %d, end here.", number))
					continue
				}
				v.Steps = append(v.Steps, step{Stop: s.handsOff(figure.PrintedSigns(m.Text))})
			}
		}
		v.Spring = s.spring(o)
		out = append(out, v)
	}
	return out
}

// spring says why passes of an operation cut once more at the same place; ""
// when none does.
func (s *sheet) spring(o *toolpath.Op) string {
	first, left := 0.0, 0.0
	for i := range o.Passes {
		if p := &o.Passes[i].Spring; p.Again > 0 {
			first, left = max(first, p.First), max(left, p.Left)
		}
	}
	if first == 0 {
		return ""
	}
	least := 0.001 // mm, the finest that is told
	if s.job.Units == job.Inch {
		least = 0.0001 * 25.4
	}
	leaves := s.both(left)
	if left < least {
		leaves = "under " + s.size(least).Main
	}
	return fmt.Sprintf("The number after “+” is of cuts made again at the same place: this cutter springs away by up to %s (an estimate), too much there; the cuts again leave %s. Little or nothing comes off then: do not skip them.", s.both(first), leaves)
}

// step writes out one pass. shift is taken off heights over the axis to get
// the program's Z.
func (s *sheet) step(pass *toolpath.Pass, number int, shift float64, turns bool) step {
	v := step{Number: number, Name: pass.Name}
	low, side := math.Inf(1), math.NaN()
	along, across, holes := 0, 0, 0
	at := toolpath.Pos{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
	for _, m := range pass.Moves {
		switch m.Kind {
		case toolpath.Feed:
			low = min(low, m.To.Z)
			if m.To.Z == at.Z && math.Abs(m.To.X-at.X) > geom.Eps {
				along++
				side = m.To.Y
			} else if m.To.Z == at.Z && math.Abs(m.To.Y-at.Y) > geom.Eps {
				across++
			}
		case toolpath.Hole:
			low = min(low, m.Bottom)
			holes++
		}
		if m.Kind != toolpath.Note && m.Kind != toolpath.Stop {
			at = m.To
		}
	}
	if !math.IsInf(low, 0) {
		z := s.size(low - shift)
		v.Z = &z
	}
	// A cut goes along X; one beside an end face goes across.
	switch cuts := max(along, across); {
	case holes > 0:
		v.Cuts = job.Counted(holes, "hole")
	case cuts > 0:
		v.Cuts = job.Counted(cuts, "cut")
		if again := pass.Spring.Again; again > 0 {
			v.Cuts = fmt.Sprintf("%d+%d cuts", cuts-again, again)
		}
	}
	if turns {
		a := pass.Angle
		if s.job.Index.Device == job.Rotary {
			a *= float64(s.job.Machine.RotarySign)
		}
		v.A, v.Turned = degrees(a), "gear at"
		if s.job.Index.Device == job.Rotary {
			v.Turned = "A"
		}
		if !math.IsNaN(side) {
			y := s.size(side)
			v.Y = &y
		}
	}
	return v
}

// change is what hands do when a cutter is called: the stops that the program
// makes before it cuts.
func (s *sheet) change(p *toolpath.Program, op int, rpm string) []step {
	m, c := &s.job.Machine, p.Ops[op].Cutter
	var out []step
	if m.TouchesOff() {
		text := fmt.Sprintf("T%d is in, its length touched off as above.", c.Number)
		if op > 0 {
			at, where := s.zOnTips(), "on the spot on the tip, gear level"
			if p.Setup == toolpath.InsertSetup {
				at, where = 0, "on the faced top"
			}
			text = fmt.Sprintf("Put in T%d. Touch %s: set Z %s.", c.Number, strings.TrimPrefix(where, "on "), s.size(at).Main)
			if m.LengthComp {
				text = fmt.Sprintf("Put in T%d. Its end %s: write its length into the table (H%d) so that Z reads %s; Z0 stays.", c.Number, where, c.Number, s.size(at).Main)
			}
		}
		if op > 0 {
			text = s.handsOff(text)
		}
		out = append(out, step{Stop: text + " Hands out, cutter up, go on."})
	}
	if m.HandSpeed {
		out = append(out, step{Stop: "Set the spindle to " + rpm + " rev/min, clockwise, and start it. Go on."})
	}
	return out
}

// handsOff is what is done at a stop, with the spindle stopped first where the
// program does not stop it.
func (s *sheet) handsOff(text string) string {
	if s.job.Machine.HandSpeed {
		return "Stop the spindle. " + sentence(text)
	}
	return sentence(text)
}

// setWords is a setting without its last words, how the gear is held then: that
// is a step of its own here.
func setWords(text string) string {
	for _, held := range toolpath.HeldThen {
		text = strings.TrimSuffix(text, held)
	}
	return figure.PrintedSigns(text)
}
