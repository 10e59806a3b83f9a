package post

import (
	"fmt"
	"sort"

	"cogmend/gcode"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// cautions stand at the head of every program.
var cautions = []string{
	"Cutters and broken castings hurt: eye protection, hands off, stop within reach.",
	"Local codes and licensed practice come first. Not for lifting gear or anything a life hangs on.",
	"Run it in the air first: the sheet says how to write the air program. Watch every move.",
	"Start with the spindle high and nothing under it: the first move is down to the safe height.",
}

// head writes the comments and the safe start.
func (p *printer) head() {
	j, prog := p.job, p.prog
	p.say("%s: %s", prog.File(), prog.Title)
	if p.opt.Lift > 0 {
		p.say("AIR RUN: everything raised by %s. This program cuts nothing.", p.len(p.opt.Lift))
	}
	if p.opt.From > 1 {
		p.say("STARTS AGAIN AT PASS %d: what went before must have been cut.", p.opt.From)
	}
	if j.Title != "" {
		// One line only: the check reads some comments from their beginning, and
		// a user's words must never stand there.
		line := gcode.CommentLines("Job: "+j.Title, gcode.DefaultWidth-2)[0]
		p.block(gcode.Block{Comments: []string{line}})
	}
	p.say("%s", gcode.Order{Kind: gcode.OfJob, Job: j.Fingerprint})
	if prog.Setup == toolpath.GearSetup {
		p.say("Set-up: the gear, its axis along X, Y across, Z up")
	} else {
		p.say("Set-up: the insert's block in the vice, dovetail end up, X along it")
	}
	for _, z := range prog.Zero {
		p.say("Zero: %s", z)
	}
	p.say("Units: %s", map[job.Units]string{job.MM: "mm, mm/min", job.Inch: "inch, inch/min"}[j.Units])
	seen := map[int]string{}
	var numbers []int
	for _, op := range prog.Ops {
		if _, ok := seen[op.Cutter.Number]; !ok {
			numbers = append(numbers, op.Cutter.Number)
		}
		seen[op.Cutter.Number] = fmt.Sprintf("Tool T%d: %s", op.Cutter.Number, p.cutter(op.Cutter))
	}
	sort.Ints(numbers)
	for _, n := range numbers {
		p.say("%s", seen[n])
	}
	for _, c := range prog.Clamp {
		p.say("%s", c)
	}
	p.against()
	for _, c := range cautions {
		p.say("CAUTION: %s", c)
	}
	p.say("Minutes expected, stops not counted: %.1f", prog.Minutes(j))
	p.words(g(17), g(40), g(49), g(54), g(80), g(90), g(94))
	if j.Units == job.Inch {
		p.words(g(20))
	} else {
		p.words(g(21))
	}
}

// against says, in the programs next to which the insert is let in, why it
// should not be, and who answers for it.
func (p *printer) against() {
	if prog := p.prog.Purpose; prog != toolpath.FitProgram && prog != toolpath.FlushProgram {
		return
	}
	why := p.plan.Against()
	for _, w := range why {
		p.say("%s: %s", p.plan.Not(), w)
	}
	if len(why) > 0 && p.job.OwnerAnswers != "" {
		// One line only, as the title: a user's words never begin one.
		p.block(gcode.Block{Comments: gcode.CommentLines("Its owner answers for it: "+p.job.OwnerAnswers, gcode.DefaultWidth-2)[:1]})
	}
}

// foot ends the program.
func (p *printer) foot() {
	if p.m.EndM30 {
		p.words(m(30))
	} else {
		p.words(m(2))
	}
}
