package sheet

import (
	"fmt"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// task is one thing to do, with a box to tick.
type task struct {
	Do     string
	Blanks []string // readings to write down
	Type   []typed  // at the control, or what it must read
	Code   string   // a command to copy
	Note   string
	Halt   bool // when to stop and not go on
}

// do makes tasks of sentences.
func do(sentences ...string) []task {
	out := make([]task, len(sentences))
	for i, text := range sentences {
		out[i].Do = text
	}
	return out
}

// halt makes tasks of what must be looked at before going on.
func halt(sentences ...string) []task {
	out := do(sentences...)
	for i := range out {
		out[i].Halt = true
	}
	return out
}

// command is a whole command line for this job, as it works when copied.
func (s *sheet) command(name string, args ...string) string { return s.job.Command(name, args...) }

// control says what this machine's control changes in the work.
func (s *sheet) control() []string {
	m := &s.job.Machine
	var out []string
	add := func(text string) { out = append(out, text) }
	switch {
	case m.ToolWords:
		add("Tools: the program calls each by its T number, as listed under Tools (T and M6).")
	default:
		add("Tools: the program calls none by word. It stops with the cutter up and says which to put in.")
	}
	switch {
	case !m.TouchesOff():
		add("Tool lengths: a table (G43). Put every tool's length into the tool table under its own number (T1: H1), once. Z0 is set once in each set-up, with the first tool's length active. Never set Z0 at a tool change: the length would count twice.")
	case m.LengthComp:
		add("Tool lengths: a table (G43), but tools go in by hand. At each tool stop write the length of the tool put in into the table under its number. Z0 is set once in each set-up, with the first tool's length active; never at a tool change.")
	default:
		add("Tool lengths: no table. At each tool change the program stops: touch off the new tool as the sheet says and type Z there.")
	}
	if m.Stops {
		add("Stops: M0 stops the program wherever the sheet says STOP. Do what it says, hands out, then start it again.")
	} else {
		add("Stops: this control has no program stop. Hold it yourself wherever the sheet says STOP: run block by block from the pass before.")
	}
	if m.Messages {
		add("Messages: what to do at a stop also comes on the screen, a line at a time. The sheet has all of it.")
	} else {
		add("Messages: none come on the screen. What to do at a stop stands here and in the program's text.")
	}
	if m.HandSpeed {
		add("Spindle: its speed is set by hand. The program stops and names it: set it, start the spindle clockwise, then go on. M5 may not stop it: at every STOP stop the spindle yourself before you reach in.")
	}
	if m.Coolant {
		add("Coolant: the program switches it (M8, M9). The slot in grey iron is cut dry.")
	} else {
		add("Coolant: the program switches none.")
	}
	if m.Decimals > 0 {
		text := fmt.Sprintf("Numbers: %d decimals, as many as this control takes.", m.Decimals)
		if mm := s.job.Rounding(); mm > 0 {
			text += " Rounded so, a cut may lie " + s.both(mm) + " farther off than this sheet says; the check allows for it."
		}
		add(text)
	}
	if s.job.Index.Device == job.Rotary {
		add("Rotary axis: it must be held at each angle while it cuts, by its own lock or a brake that you set. A free axis is drawn round by the cut.")
	}
	return out
}

// locking is what holds the gear after it has been turned by hand.
func (s *sheet) locking() string {
	if s.job.Index.Device == job.Head {
		return "Lock the head."
	}
	return "Gear down on both stops: neither lets a paper through. Clamp it."
}

// airRun is the run in air before a program; the programs for it are written
// once, before the first.
func (s *sheet) airRun(p *toolpath.Program, first bool) []task {
	if !first {
		return do("Run air-" + p.File() + " first: all raised, zeros as they are. Nothing of spindle, holder or arbor may touch.")
	}
	return []task{{Do: "Write the programs for the runs in air, once for all; then run air-" + p.File() + ". Zeros stay as they are.",
		Code: s.command("make", "--lift", s.liftWord()), Note: "Everything is raised. Watch every move: nothing of spindle, holder or arbor may touch."}}
}

// liftWord is the least height of a run in air in one word of the job's unit.
func (s *sheet) liftWord() string {
	mm := s.Plan.LeastLift()
	if s.job.Units == job.Inch {
		const step = 0.05 // in
		n := int(mm/25.4/step) + 1
		return trim(fmt.Sprintf("%.2f", float64(n)*step)) + "in"
	}
	return fmt.Sprintf("%.0fmm", mm)
}

// verdict says what the check found of a program, in the words of every
// picture, report and command.
func (s *sheet) verdict(p *toolpath.Program, r *replay.Report) (clean bool, text string) {
	switch {
	case r == nil:
		return false, "The written program cannot be read back."
	case !r.Clean():
		return false, fmt.Sprintf("The check found %d.", len(r.Findings)+r.Dropped)
	}
	if most, ok := s.Plan.MostToFile(); ok && p.Purpose == toolpath.FacetsProgram {
		return true, "clean, then file: up to " + s.size(most.Thick).Main + ", " + toolpath.SideName(most.Side) + " root" + s.Plan.PlaceName(most.Place)
	}
	return true, "clean"
}

// clamp is what is clamped and looked at before a start, as the program's head
// has it.
func (s *sheet) clamp(p *toolpath.Program) []task {
	var out []task
	for _, text := range p.Clamp {
		out = append(out, do(s.bothIn(text))...)
	}
	if p.Setup == toolpath.GearSetup {
		out = append(out, do("No tooth, key or thread alone holds it: gear clamped on the arbor from both faces, arbor on the table.")...)
	}
	return out
}
