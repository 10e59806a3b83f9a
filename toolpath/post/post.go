// Package post writes a plan as RS-274 blocks for the job's machine, by the
// subset that NISTIR 6556 and the controls of small shops agree on: G0 and G1
// with the G word on every line, no variables, A moved alone with the cutter
// clear. Numbers are rounded here, once, and compared after rounding, so a
// word is written only when the number the control holds changes.
package post

import (
	"fmt"
	"io"
	"math"

	"cogmend/gcode"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// Options change how a program is written.
type Options struct {
	Lift float64 // mm: an air run, everything raised by this
	From int     // pass to begin with, 1 is the first; 0: all
}

// FormOf returns the form of text the machine takes.
func FormOf(j *job.Job) gcode.Form {
	f := gcode.Metric()
	if j.Units == job.Inch {
		f = gcode.Inches()
	}
	f.Decimals, f.Degrees = j.Decimals()
	f.LineNumbers, f.Percents = j.Machine.LineNos, j.Machine.Percents
	f.Messages, f.CRLF = j.Machine.Messages, j.Machine.CRLF
	return f
}

// Write writes one program of the plan. The error is the writer's, or says
// that a number cannot be written.
func Write(w io.Writer, plan *toolpath.Plan, prog *toolpath.Program, o Options) error {
	p := &printer{
		job: plan.Job, m: &plan.Job.Machine, plan: plan, prog: prog, opt: o,
		form: FormOf(plan.Job), unit: 1, last: map[byte]gcode.Num{},
	}
	if o.From > 1 {
		p.prog = prog.From(o.From)
	}
	p.w = gcode.NewWriter(w, p.form)
	if plan.Job.Units == job.Inch {
		p.unit = 25.4
	}
	if prog.Setup == toolpath.GearSetup {
		p.shift = plan.Shift
	}
	p.head()
	p.body()
	p.foot()
	if p.err != nil {
		return fmt.Errorf("%s: %w", prog.File(), p.err)
	}
	return p.w.Flush()
}

// printer writes one program and keeps what the control then knows.
type printer struct {
	w     *gcode.Writer
	job   *job.Job
	m     *job.Machine
	prog  *toolpath.Program
	plan  *toolpath.Plan
	opt   Options
	form  gcode.Form
	unit  float64
	shift float64
	err   error

	last    map[byte]gcode.Num
	running bool // the spindle turns
	angle   float64
	turned  bool
}

func (p *printer) block(b gcode.Block) {
	if p.err == nil {
		p.err = p.w.Block(b)
	}
}

// words writes a line of words.
func (p *printer) words(ws ...gcode.Word) { p.block(gcode.Block{Words: ws}) }

func g(code float64) gcode.Word {
	n, _ := gcode.Fixed(code, 1)
	return gcode.Word{Letter: 'G', Value: n}
}

func m(code int) gcode.Word { return gcode.Word{Letter: 'M', Value: gcode.Int(code)} }

// num makes a word with a number of decimals.
func (p *printer) num(letter byte, v float64, decimals int) gcode.Word {
	n, err := gcode.Fixed(v, decimals)
	if err != nil && p.err == nil {
		p.err = fmt.Errorf("%c word: %w", letter, err)
	}
	return gcode.Word{Letter: letter, Value: n}
}

// say writes text as one or more comments.
func (p *printer) say(format string, args ...any) {
	for _, line := range gcode.CommentLines(fmt.Sprintf(format, args...), gcode.DefaultWidth-2) {
		p.block(gcode.Block{Comments: []string{line}})
	}
}

// tell is say for the operator: a message where the control shows them.
func (p *printer) tell(format string, args ...any) {
	if !p.m.Messages {
		p.say(format, args...)
		return
	}
	for _, line := range gcode.CommentLines(fmt.Sprintf(format, args...), gcode.DefaultWidth-8) {
		p.block(gcode.Block{Comments: []string{"MSG, " + line}})
	}
}

func (p *printer) len(mm float64) string { return p.job.Units.Length(mm) }

// z is the program's Z of a height in the frame.
func (p *printer) z(frame float64) float64 { return frame - p.shift + p.opt.Lift }

// axis appends the words of a position that differ from what the control
// holds.
func (p *printer) axis(ws []gcode.Word, letter byte, mm float64) []gcode.Word {
	if math.IsNaN(mm) {
		return ws
	}
	w := p.num(letter, mm/p.unit, p.form.Decimals)
	if n, ok := p.last[letter]; ok && n.Equal(w.Value) {
		return ws
	}
	p.last[letter] = w.Value
	return append(ws, w)
}

func (p *printer) move(code float64, to toolpath.Pos, feed float64) {
	ws := p.axis(nil, 'X', to.X)
	ws = p.axis(ws, 'Y', to.Y)
	ws = p.axis(ws, 'Z', p.z(to.Z))
	if len(ws) == 0 {
		return
	}
	if feed > 0 {
		ws = p.feed(ws, feed)
	}
	p.words(append([]gcode.Word{g(code)}, ws...)...)
}

func (p *printer) feed(ws []gcode.Word, feed float64) []gcode.Word {
	decimals := 1
	if p.unit > 1 {
		decimals = 3
	}
	f := p.num('F', feed/p.unit, decimals)
	if n, ok := p.last['F']; ok && n.Equal(f.Value) {
		return ws
	}
	p.last['F'] = f.Value
	return append(ws, f)
}

func (p *printer) body() {
	number := max(1, p.opt.From)
	for i := range p.prog.Ops {
		op := &p.prog.Ops[i]
		p.change(op)
		for k := range op.Passes {
			p.pass(&op.Passes[k], op, number)
			number++
		}
		p.still()
	}
}

// still stops spindle and coolant if they run.
func (p *printer) still() {
	if !p.running {
		return
	}
	if p.wet() {
		p.words(m(9))
	}
	p.words(m(5))
	p.running = false
}

// change brings in a tool, starts the spindle and goes to the safe height.
func (p *printer) change(op *toolpath.Op) {
	c := op.Cutter
	p.say("%s", op.Name)
	text := fmt.Sprintf("T%d %s", c.Number, p.cutter(c))
	p.level(op)
	if p.m.ToolWords {
		p.say("%s", text)
		p.words(gcode.Word{Letter: 'T', Value: gcode.Int(c.Number)}, m(6))
		if p.m.TouchesOff() {
			p.tell("%s, Z0 as at the head%s", gcode.Order{Kind: gcode.TouchOff, Number: c.Number}, p.unless(op))
			p.words(m(0))
		}
	} else {
		p.handsOff()
		p.tell("%s %s and touch off its length", gcode.Order{Kind: gcode.PutIn, Number: c.Number}, p.cutter(c))
		if p.m.Stops {
			p.words(m(0))
		}
	}
	delete(p.last, 'F')
	p.spindle(op)
	if p.m.LengthComp {
		p.words(g(43), gcode.Word{Letter: 'H', Value: gcode.Int(c.Number)})
	}
	delete(p.last, 'X')
	delete(p.last, 'Y')
	delete(p.last, 'Z')
	p.move(0, toolpath.Pos{X: math.NaN(), Y: math.NaN(), Z: p.prog.Safe}, 0)
}

// unless says when the length of a program's first tool need not be touched off
// anew.
func (p *printer) unless(op *toolpath.Op) string {
	if op != &p.prog.Ops[0] {
		return ""
	}
	before := p.plan.LeftIn(p.prog)
	if before == nil {
		return ""
	}
	return fmt.Sprintf(". It need not be if it stands in the spindle as %s left it and nothing was moved", before.File())
}

// handsOff tells to stop a spindle that M5 may not stop, before a text that
// sends hands to the work.
func (p *printer) handsOff() {
	if p.m.HandSpeed {
		p.tell("Stop the spindle.")
	}
}

// level turns the gear back to A0 where the zeros were found, so that a new
// cutter can be touched off; the cutter stands at the safe height.
func (p *printer) level(op *toolpath.Op) {
	if op.Level != "" {
		p.handsOff()
		p.tell("%s", op.Level)
		p.set(0)
	}
	if a, ok := p.last['A']; ok && !a.Equal(gcode.Int(0)) && !p.byHand() {
		w := p.num('A', 0, p.form.Degrees)
		p.last['A'] = w.Value
		p.words(g(0), w)
	}
}

func (p *printer) spindle(op *toolpath.Op) {
	if p.m.HandSpeed {
		p.tell("%s, clockwise, and start it", gcode.Order{Kind: gcode.SetSpindle, Number: int(math.Round(op.Rpm))})
		p.words(m(0))
	}
	p.words(p.num('S', op.Rpm, 0), m(3))
	p.running = true
	if p.m.SpinUp > 0 && !p.m.HandSpeed { // set by hand, it has been waited for
		wait := p.num('P', math.Ceil(p.m.SpinUp*100)/100, dwellDecimals)
		if p.m.MilliDwell {
			wait = p.num('P', math.Ceil(p.m.SpinUp*1000), 0)
		}
		p.words(g(4), wait)
	}
	if p.wet() {
		p.words(m(8))
	}
}

// wet says that the program is cut with coolant: never the casting, whose dust
// makes paste with it, when it is grey iron (common practice).
func (p *printer) wet() bool {
	return p.m.Coolant && (p.prog.Purpose != toolpath.SlotProgram || p.job.Gear.Material != profiles.GreyIron)
}

// dwellDecimals are the decimals of seconds in a dwell.
const dwellDecimals = 2

func (p *printer) pass(pass *toolpath.Pass, op *toolpath.Op, number int) {
	p.say("%s", gcode.PassTitle(number, pass.Name))
	if p.prog.Setup == toolpath.GearSetup {
		p.turn(pass)
	}
	for _, mv := range pass.Moves {
		if !p.running && mv.Kind != toolpath.Note && mv.Kind != toolpath.Stop {
			p.spindle(op) // it stood still for the operator
		}
		switch mv.Kind {
		case toolpath.Rapid:
			p.move(0, mv.To, 0)
		case toolpath.Feed:
			p.move(1, mv.To, mv.Feed)
		case toolpath.Note:
			p.say("%s", mv.Text)
		case toolpath.Stop:
			p.stop(mv.Text)
		case toolpath.Hole:
			p.hole(mv)
		}
	}
}

// stop waits for the operator with the spindle still. It starts again only
// before the next move, if there is one.
func (p *printer) stop(text string) {
	p.still()
	p.handsOff()
	p.tell("%s", text)
	if p.m.Stops {
		p.words(m(0))
	}
}

// toldDegrees are the decimals of an angle that hands set, whatever the control
// takes.
const toldDegrees = 4

// set ends a setting of the gear by hand: what the check reads, and a stop.
func (p *printer) set(angle float64) {
	p.say("%s", gcode.Order{Kind: gcode.GearAt, Angle: p.num('A', geom.Degrees(angle), toldDegrees).Value.Float()})
	if p.m.Stops {
		p.words(m(0))
	}
	p.angle = angle
}

// turn brings the gear to the pass's angle: an A word, or a stop that says
// what to set and what the check reads.
func (p *printer) turn(pass *toolpath.Pass) {
	if p.byHand() {
		switch {
		case p.turned && pass.Angle == p.angle: // it stands there
		case p.turned || pass.Angle != 0:
			p.still()
			p.handsOff()
			p.tell("%s", pass.Setting)
			p.set(pass.Angle)
		default:
			p.say("%s", gcode.Order{Kind: gcode.GearAt})
		}
		p.turned = true
		return
	}
	a := p.num('A', float64(p.m.RotarySign)*geom.Degrees(pass.Angle), p.form.Degrees)
	if n, ok := p.last['A']; ok && n.Equal(a.Value) {
		return
	}
	p.last['A'] = a.Value
	p.words(g(0), a)
}

func (p *printer) byHand() bool { return p.job.Index.Device != job.Rotary }

// chipGap is how far above the last depth a peck comes back to (NISTIR 6556,
// 3.5.16.4: 0.254 mm).
const chipGap = 0.254

func (p *printer) hole(mv toolpath.Move) {
	top := mv.To.Z
	if p.m.Cycles {
		code := 81.0
		if mv.Peck > 0 {
			code = 83
		}
		ws := []gcode.Word{g(99), g(code),
			p.num('X', mv.To.X/p.unit, p.form.Decimals), p.num('Y', mv.To.Y/p.unit, p.form.Decimals),
			p.num('Z', p.z(mv.Bottom)/p.unit, p.form.Decimals), p.num('R', p.z(top)/p.unit, p.form.Decimals)}
		if mv.Peck > 0 {
			ws = append(ws, p.num('Q', mv.Peck/p.unit, p.form.Decimals))
		}
		p.words(p.feed(ws, mv.Feed)...)
		p.words(g(80))
		return
	}
	at := func(z float64) toolpath.Pos { return toolpath.Pos{X: mv.To.X, Y: mv.To.Y, Z: z} }
	if mv.Peck > 0 {
		for z := top - mv.Peck; z > mv.Bottom; z -= mv.Peck {
			p.move(1, at(z), mv.Feed)
			p.move(0, at(top), 0)
			p.move(0, at(z+chipGap), 0)
		}
	}
	p.move(1, at(mv.Bottom), mv.Feed)
	p.move(0, at(top), 0)
}

func (p *printer) cutter(c *profiles.Cutter) string {
	return fmt.Sprintf("%s, %s %s, stick-out %s", c.Name, p.len(c.Diameter), c.Kind, p.len(c.StickOut))
}
