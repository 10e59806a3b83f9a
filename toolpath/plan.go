// Package toolpath turns a job into a plan: the programs in the order of
// work, their operations, passes and moves. All plans are made in the frame
// of the set-up: for the gear Z from its axis, for the insert Z0 at its top;
// the program's zero is applied once, when blocks are written.
package toolpath

import (
	"fmt"
	"slices"
	"strings"

	"cogmend/profiles"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// Pos is a position of the cutter's tip. mm in the set-up's frame.
type Pos struct{ X, Y, Z float64 }

// MoveKind says what a move is.
type MoveKind int

// The kinds of move.
const (
	Rapid MoveKind = iota // straight, all axes together, clear of metal
	Feed                  // straight, cutting
	Stop                  // wait for the operator
	Note                  // a comment
	Hole                  // drill at X, Y from Z to Bottom, in pecks of Peck when above 0
)

// Move is one step of a pass.
type Move struct {
	Kind   MoveKind // how it goes there
	To     Pos      // where the tip is after it
	Feed   float64  // mm/min
	Text   string   // Stop, Note
	Bottom float64  // Hole
	Peck   float64  // Hole
}

// Pass is a labelled stretch of an operation from which a program may be
// started again: it begins and ends at the safe height.
type Pass struct {
	Name    string  // as the program's comments and pictures have it
	Angle   float64 // of the gear, rad
	Setting string  // what to set by hand to get there from the pass before; "" with a rotary axis or where the gear stands there
	Brief   string  // Setting in a few words, for a picture
	Anew    string  // the same as Setting from the gap at top dead centre, for a program that begins with this pass
	Place   float64 // position of the tooth worked on, in pitches
	Spring  Spring  // of the cutter, in a facet's pass
	Moves   []Move  // in the order they are made
}

// Op is what one cutter does in one go.
type Op struct {
	Name   string           // as the program's comments have it
	Level  string           // what to set by hand so that the gap is on top while the cutter's length is touched off; "" where it is
	Cutter *profiles.Cutter // one of the job's
	Rpm    float64          // of the spindle, rev/min
	Feed   float64          // along and across the work, mm/min
	Plunge float64          // straight down, mm/min
	Passes []Pass           // in the order they are cut
}

// SetupKind says what is in the machine.
type SetupKind int

// The set-ups.
const (
	GearSetup SetupKind = iota
	InsertSetup
)

// Purpose is what a program is for. It stands in the names of files, in
// report.json, and where a person names a program.
type Purpose string

// The programs of a repair, in the order of work.
const (
	SlotProgram   Purpose = "slot"
	InsertProgram Purpose = "insert"
	TrialProgram  Purpose = "trial"
	FitProgram    Purpose = "fit"
	FlushProgram  Purpose = "flush"
	FacetsProgram Purpose = "facets"
)

// Program is one file.
type Program struct {
	Number  int       // in the order of work, from 1; it begins the file's name
	Purpose Purpose   // what it is for; it ends the file's name
	Ext     string    // of the file's name, no dot
	Title   string    // one line
	Setup   SetupKind // what is in the machine
	Zero    []string  // what X0, Y0, Z0 and A0 are
	Clamp   []string  // what must be clamped and looked at before the start
	Ops     []Op      // in the order they are cut
	Safe    float64   // height, frame
	Skipped string    // why it is not written; "" when it is
	Done    bool      // it has been run: it is not written anew, and what lies on the disk is left alone
}

// File is the program's file name.
func (p *Program) File() string { return p.Stem() + "." + p.Ext }

// Stem is the program's file name without its extension.
func (p *Program) Stem() string { return fmt.Sprintf("%02d-%s", p.Number, p.Purpose) }

// LeftIn returns the program before p, in the same set-up, that ends with the
// cutter p begins with: it may stand in the spindle yet, its length touched off.
// nil when there is none.
func (p *Plan) LeftIn(prog *Program) *Program {
	var last *Program
	for i := range p.Programs {
		q := &p.Programs[i]
		switch {
		case q.Number == prog.Number:
			if last == nil || len(prog.Ops) == 0 || last.Ops[len(last.Ops)-1].Cutter.Number != prog.Ops[0].Cutter.Number {
				return nil
			}
			return last
		case q.Setup != prog.Setup:
			last = nil // the work is taken out
		case len(q.Ops) > 0:
			last = q
		}
	}
	return nil
}

// Passes returns how many passes the program has.
func (p *Program) Passes() int {
	n := 0
	for _, o := range p.Ops {
		n += len(o.Passes)
	}
	return n
}

// From returns the program without the passes before number n, counted from 1:
// what is left to do after a stop. The first pass begins from the gap at top
// dead centre.
func (p *Program) From(n int) *Program {
	rest := *p
	rest.Ops = nil
	gone := n - 1
	for _, op := range p.Ops {
		if gone >= len(op.Passes) {
			gone -= len(op.Passes)
			continue
		}
		op.Passes = slices.Clone(op.Passes[max(0, gone):])
		gone = 0
		if first := &op.Passes[0]; len(rest.Ops) == 0 {
			op.Level = ""
			if first.Angle != 0 {
				first.Setting = first.Anew
			}
		}
		rest.Ops = append(rest.Ops, op)
	}
	return &rest
}

// Plan is the whole repair.
type Plan struct {
	*design.Design
	Facets   []Facet        // of all new teeth, as planned
	Filing   []metal.Filing // what is left for the file, by flank
	FileThis []FileThis     // of it, what no cutter of the job reaches
	Programs []Program      // in the order of work
	Warnings []string       // what to know before beginning, one sentence each
}

// Facet is one facet as planned, in the frame with the facet upright.
type Facet struct {
	Number  int
	Side    int     // +1 the +Y flank, -1 the -Y flank
	Place   float64 // position of the tooth, pitches
	Roll    float64 // rad
	Angle   float64 // gear angle, rad
	Y       float64 // plane of the cutter's side
	Bottom  float64 // lowest height reached, any cutter
	Need    float64 // height the facet should reach
	Cutters []int   // tool numbers, in order of use
	Left    float64 // metal left over the target at its upper joint (or the tip) or its lower one (or the foot), the greater
}

// FileThis is metal that no cutter of the job reaches.
type FileThis struct {
	Place    float64 // of the tooth, pitches
	Side     int     // +1 the +Y flank, -1 the -Y flank
	From, To float64 // radii, mm
	Thick    float64 // greatest, mm
	Reaches  float64 // diameter of the largest cutter that would reach it; 0: none
}

// Refusal says that the repair cannot be made as the job asks.
type Refusal struct{ Reasons []Reason }

// Reason is one thing that stands against the repair.
type Reason struct {
	Key  string // key or table of the job that it speaks of
	At   string // where a file gives that, as file:line:column; "" when none does
	Text string // what is wrong, and what would be right
}

func (r Reason) String() string {
	s := r.Key + ": " + r.Text
	if r.At != "" {
		s = r.At + ": " + s
	}
	return s
}

func (r *Refusal) Error() string {
	lines := make([]string, len(r.Reasons))
	for i, reason := range r.Reasons {
		lines[i] = reason.String()
	}
	return strings.Join(lines, "\n")
}

// refusals collects reasons.
type refusals struct {
	job  *job.Job
	list []Reason
}

// add notes a reason once.
func (r *refusals) add(key, format string, args ...any) {
	reason := Reason{key, r.job.Where(key), fmt.Sprintf(format, args...)}
	if !slices.Contains(r.list, reason) {
		r.list = append(r.list, reason)
	}
}

func (r *refusals) err() error {
	if len(r.list) == 0 {
		return nil
	}
	return &Refusal{r.list}
}

// Make plans the whole repair. The error is a *Refusal when the job cannot be
// made with its cutters and machine.
func Make(d *design.Design) (*Plan, error) {
	p := &planner{Plan: Plan{Design: d}, bad: refusals{job: d.Job}, weak: map[string]bool{}}
	for i, step := range []func() error{p.slot, p.insert, p.trial, p.fit, p.flush, p.facets} {
		if d.Job.BuiltUp() && doneTitles[i].forInsert() || p.done(doneTitles[i]) {
			continue
		}
		if err := step(); err != nil {
			return nil, err
		}
	}
	p.tellFlanks()
	p.tellBead()
	p.Warnings = append(append(p.Warnings, p.CopyWarnings()...), p.GearWarnings()...)
	p.settings()
	p.travel()
	p.keepOuts()
	if p.failed != nil {
		return nil, p.failed
	}
	if err := p.bad.err(); err != nil {
		return nil, err
	}
	return &p.Plan, nil
}

// doneTitles are the programs in the order of work, as they are called when
// they have been run.
var doneTitles = []Program{
	{Number: 10, Purpose: SlotProgram, Title: "seat, slot and dovetail in the gear"},
	{Number: 20, Purpose: InsertProgram, Title: "the insert's block, dovetail over size", Setup: InsertSetup},
	{Number: 21, Purpose: TrialProgram, Title: "trial cuts", Setup: InsertSetup},
	{Number: 22, Purpose: FitProgram, Title: "the insert's dovetail to size", Setup: InsertSetup},
	{Number: 30, Purpose: FlushProgram, Title: "the insert's ends and tip"},
	{Number: 40, Purpose: FacetsProgram, Title: "flanks and root"},
}

// forInsert says that the program lets an insert in or makes it.
func (p *Program) forInsert() bool {
	return p.Purpose != FlushProgram && p.Purpose != FacetsProgram
}

// done notes a program that the job says has been run, and says so.
func (p *planner) done(like Program) bool {
	if !p.Job.Done(string(like.Purpose)) {
		return false
	}
	if p.Job.BuiltUp() {
		like.Title = strings.Replace(like.Title, "insert", "bead", 1)
	}
	like.Ext, like.Done, like.Skipped = p.Job.Machine.Extension, true, "done: left as it is"
	p.Programs = append(p.Programs, like)
	return true
}

// planner is a plan being made.
type planner struct {
	Plan
	bad    refusals
	failed error                      // what no checked job leads to
	scenes map[[2]float64]*flankScene // by place and side
	weak   map[string]bool            // cutters refused for bending too near to their strength
}
