package sheet

import (
	"fmt"
	"math"
	"strings"

	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// beforeAll is what is looked at and measured before any program.
func (s *sheet) beforeAll() []task {
	d := s.Plan.Sizes
	out := halt("Look for cracks in rim, web and root, and tap the rim: a sound casting rings, a cracked one is dull. Any crack: stop here, the repair is off.")
	out = append(out, do("The numbers in the job file are this gear's: count, pitch, angle.", "Photograph and measure it as it is: the readings below are wanted again at the end.")...)
	if !s.letsIn() {
		return append(out, s.beadTasks()...)
	}
	if depth := s.zOnTips() + s.Plan.Shift - d.StubTop; depth > 0 {
		out = append(out, task{Do: "Stub: its highest point must lie at least " + s.both(depth) + " below the neighbours' tips. Higher: file it down, or enter slot.stub and make again.", Blanks: []string{"stub below the tips"}})
	}
	return out
}

// beforeRun is what is done at the bench before a program.
func (s *sheet) beforeRun(p *toolpath.Program) []task {
	j, d := s.job, s.Plan.Sizes
	switch p.Purpose {
	case toolpath.InsertProgram:
		return []task{{Do: fmt.Sprintf("Measure the block: at least %s long, %s wide, %s high. Shorter or lower: not this block.", s.both(d.Length), s.both(j.Insert.BlockWidth), s.both(j.Insert.BlockHeight)),
			Blanks: []string{"block length", "block width", "block height"}}}
	case toolpath.TrialProgram:
		held := "A stop in the vice against the block's front end: after each trial it must come back to its place within " + s.both(0.01) + "."
		if toolpath.StaysInVice(j.Fit.TrialStep) {
			held = "The block stays in the vice from the first trial to the last: the gear, or a gauge cut like its slot, is brought to it."
		}
		return do(held,
			"Slot measured and within its limits, deburred, clean: the trial cuts are tried in it.")
	case toolpath.FitProgram:
		if j.Fit.Step == 0 {
			return nil // made to the slot as measured, not to a step
		}
		return []task{{Do: fmt.Sprintf("The job says fit.step = %d. The step that slid was:", j.Fit.Step), Blanks: []string{"step that slid, copied"}},
			{Do: "Another number: do not run this program. Correct the job file and make again.", Halt: true}}
	case toolpath.FlushProgram:
		if !s.letsIn() {
			return nil
		}
		return halt("The adhesive has cured, the insert does not move under a light tap. Else do not cut.")
	}
	return nil
}

// asCut are readings of what was cut that the job takes ([as_cut]) and no gauge
// lists, each with its name and what it should be.
func (s *sheet) asCut(after toolpath.Purpose) []task {
	j, d := s.job, s.Plan.Sizes
	var out []task
	add := func(name, what string, mm float64) {
		if _, listed := s.measure(name); !listed {
			out = append(out, task{Do: what + ": should be " + s.both(mm) + ".", Blanks: []string{name}})
		}
	}
	switch after {
	case toolpath.SlotProgram:
		add("slot.seat", "Depth of the seat below the tips of the level neighbours", s.zOnTips()+s.Plan.Shift-d.Seat)
	case toolpath.InsertProgram:
		add("insert.mouth_rough", "Width of the insert under its shoulders, left for the trial cuts", j.Slot.Mouth+j.Insert.OverSize)
		add("insert.length", "Length of the insert", d.Length)
	}
	return out
}

// afterRun is what is done by hand after a program and its measuring.
func (s *sheet) afterRun(p *toolpath.Program) []task {
	j := s.job
	switch p.Purpose {
	case toolpath.SlotProgram:
		return append(s.asCut(p.Purpose), []task{{Do: "Let the command judge the readings, yours in place of these:", Code: s.readCommand("slot.mouth", "slot.depth")},
			{Do: "Wider or deeper than its limits: the insert of this sheet will not fit. Stop. Write what you read into the job file under [as_cut], by the names beside the readings, and make again: the rest is then planned to the metal.", Halt: true}}...)
	case toolpath.InsertProgram:
		return append(s.numbered(), s.asCut(p.Purpose)...)
	case toolpath.TrialProgram:
		return []task{{Do: "The first step that started by hand and slid all of its trial cut, " + s.both(j.Fit.TrialLength) + ", and the width of the front end under the shoulders then:", Blanks: []string{"step that slid", "insert.mouth_trial"}},
			{Do: "Write it into the job file, under [fit]: step = that number. Then:", Code: s.command("make")},
			{Do: "No step slid: do not force it. Measure the slot, clean it, raise fit.trial_count and make again.", Halt: true}}
	case toolpath.FitProgram:
		var out []task
		if code := s.readCommand("insert.over_pins_tight", "insert.over_pins_sliding"); code != "" {
			out = append(out, task{Do: "Let the command judge the readings, yours in place of these:", Code: code})
		}
		out = append(out, task{Do: "What the tight middle as planned does to the casting:", Code: s.command("fit")})
		return append(out, s.fitGate()...)
	case toolpath.FlushProgram:
		if left := min(j.Flush.Leave, j.Over()); left > 0 {
			return do("File both end faces flush: " + s.both(left) + " stands.")
		}
	case toolpath.FacetsProgram:
		out := do("Break the sharp edges.")
		if left := max(s.Plan.Flanks.Right.GreatestError, s.Plan.Flanks.Left.GreatestError); j.Facets.Lean == job.Proud {
			out = append(out, task{Do: "Joints of the facets stand up to " + s.size(left).both() + ": marking blue, file the joints only, until the flats just vanish."})
		}
		out = append(out, halt("Turn the gear through its mesh by hand, two full turns. It binds: no power. Blue shows where; file there, measure again.")...)
		return append(out, task{Do: "Measure again what was measured before any work, and keep both:", Blanks: []string{"date, name"}})
	}
	return nil
}

// numbered keeps each of several inserts with its own slot.
func (s *sheet) numbered() []task {
	n := len(s.job.Gear.Places)
	if n < 2 {
		return nil
	}
	return do(fmt.Sprintf("Stamp each insert's front end and the gear beside its slot alike, 1 to %d: from here on each is tried, finished and let in where its number stands.", n))
}

// readCommand judges readings of the named sizes; the nominal ones stand for
// them, so that it works as it is.
func (s *sheet) readCommand(names ...string) string {
	var args []string // none of them is listed: no command
	for _, name := range names {
		for _, m := range s.Measures {
			if m.Name == name && m.Nominal != 0 {
				z := s.size(m.Nominal).Main
				args = append(args, "--read", name+"="+strings.ReplaceAll(strings.Replace(z, "−", "-", 1), " ", ""))
			}
		}
	}
	if len(args) == 0 {
		return ""
	}
	return s.command("gauge", args...)
}

// fitGate is when the insert must not be driven in.
func (s *sheet) fitGate() []task {
	var out []task
	for _, m := range s.Measures {
		if m.After == "fit" && strings.HasSuffix(m.Name, "_tight") && strings.Contains(m.Name, "pins") && m.High > m.Low {
			out = append(out, halt("DO NOT ASSEMBLE when the tight middle reads over "+s.both(m.High)+" ("+m.With+"): the casting may crack. Take the difference off the tight flank.")...)
		}
	}
	text := "DO NOT ASSEMBLE when the command says so: the casting may crack."
	if why := s.Plan.Against(); len(why) > 0 {
		text = "DO NOT ASSEMBLE: " + strings.Join(why, "; ") + ". Change the job and make again."
	} else if w := s.Plan.FitWarning(); w != "" {
		text += " As planned it says: " + plainWarning(w) + "."
	}
	return append(out, halt(text)...)
}

// plainWarning is a warning without the command it points to.
func plainWarning(text string) string { return strings.SplitN(text, "; see", 2)[0] }

// tightLength is how much of the tight middle is really tight after the
// cutter's radius, mm: as replayed, where the program is written; else as estimated, or
// as planned.
func (s *sheet) tightLength() (mm float64, really bool) {
	d, j := s.Plan.Sizes, s.job
	if s.Tight > 0 {
		return s.Tight, true
	}
	if f, err := s.Plan.Fit(); err == nil && f.Result.TightLeft > 0 {
		return f.Result.TightLeft, true
	}
	return d.Length - 2*(j.Insert.Over+j.Fit.Lead), false
}

// assembly is how the insert is let into the gear.
func (s *sheet) assembly() []task {
	j := s.job
	tight, _ := s.tightLength()
	until := "until it stands " + s.both(j.Insert.Over) + " over each face"
	if j.Insert.Over == 0 {
		until = "until both ends are flush with the faces"
	}
	holes := ""
	if j.Lock.Kind != job.NoLock && len(j.Lock.Positions) > 0 {
		holes = " Keep the lock holes free."
	}
	slide := s.both(j.Fit.Lead + j.Insert.Over)
	out := do("Deburr slot and insert. Blow out, degrease both; do not touch them again with bare fingers.",
		"Turn the insert over about its length (X): the dovetail goes down. The marked front end comes to the gear's front face.",
		"Try it dry from the front: it starts by hand, slides about "+slide+", then grips. Take it out again.")
	out = append(out, halt("It does not start by hand, or slides right through: stop. Measure both again.")...)
	out = append(out, do("Brush adhesive on both flanks and the floor of the slot, and on the dovetail and shoulders of the insert."+holes,
		"Put it in from the front face, by hand as far as it goes. Then drive it with brass and light taps, "+until+". The tight middle is "+s.both(tight)+" long.")...)
	out = append(out, halt("It needs more than light taps, or the ring of the casting goes dull: stop, drive it back out. The casting may crack.")...)
	switch j.Lock.Kind {
	case job.Screw:
		n := len(j.Lock.Positions) * len(j.Gear.Places)
		out = append(out, do(fmt.Sprintf("%s, a drop of adhesive on the thread, from the bore side up through the rim, point into the insert's hole. Snug by finger and short key, no more: the casting may crack. Its end stays below the rim's inner face.", job.Counted(n, j.Lock.Thread+" screw")))...)
	case job.Pin:
		out = append(out, do(job.Counted(len(j.Lock.Positions)*len(j.Gear.Places), "pin")+", with adhesive, from the bore side up through the rim into the insert's hole, to its bottom by light taps; stake at the rim. Its end stays below the rim's inner face.")...)
	}
	return append(out, task{Do: "Wipe off what came out. Let it cure as its maker says, at least two days where he says nothing (common practice). Do not turn or clamp the gear by the tooth meanwhile.",
		Blanks: []string{"put in, date and hour", "cured, date and hour"}})
}

// filing lists what no cutter of the job reaches.
func (s *sheet) filing() []filing {
	tip := s.Plan.Sizes.TipTop
	var out []filing
	for _, f := range s.Plan.FileThis {
		v := filing{
			Where: toolpath.SideName(f.Side) + " flank and root" + s.Plan.PlaceName(f.Place),
			Below: s.span(tip-f.To, tip-f.From), Thick: s.size(f.Thick),
		}
		if f.Reaches > 0 {
			d := s.coarse(f.Reaches)
			v.Reaches = &d
		}
		out = append(out, v)
	}
	return out
}

// minutes writes how long a program takes, as every report does.
func minutes(m float64) string { return fmt.Sprintf("%.1f", math.Round(m*10)/10) }
