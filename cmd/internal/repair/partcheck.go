package repair

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/job"
	"cogmend/toolpath/post"
)

// Part says what of a program a file holds: nothing set, the whole of it.
type Part struct {
	From int  // it begins again at this pass
	Air  bool // it is raised, for a run in air
}

// NamedPart tells by a file's name which program of the plan it is a part of, and
// which part; p is nil where it is none.
func NamedPart(plan *toolpath.Plan, base string) (p *toolpath.Program, part Part) {
	if p := Named(plan, base); p != nil {
		return p, Part{}
	}
	name := strings.ToLower(base)
	if rest, ok := strings.CutPrefix(name, airPrefix); ok {
		return Named(plan, rest), Part{Air: true}
	}
	for i := range plan.Programs {
		p := &plan.Programs[i]
		rest, ok := strings.CutPrefix(name, p.Stem()+fromInfix)
		digits := len(rest) - len(strings.TrimLeft(rest, "0123456789"))
		if n, err := strconv.Atoi(rest[:digits]); ok && err == nil {
			return p, Part{From: n}
		}
	}
	return nil, Part{}
}

// CheckPart replays the text of a part of one program: one that begins again on
// the metal that the passes before leave, one raised in air, where it may meet
// none. What it says is compared with the job's own. The chain has come to the program,
// and stays there.
func (r *Repair) CheckPart(c *chain.Chain, own *chain.Program, part Part, file string, text []byte) (chain.Program, error) {
	opt := post.Options{From: part.From}
	if part.Air {
		opt.Lift = liftIn(own, text)
	} else if part.From < 1 || part.From > own.Passes() {
		return chain.Program{}, fmt.Errorf("%s: %s has passes 1 to %d", file, own.File(), own.Passes())
	}
	var words bytes.Buffer
	if err := post.Write(&words, r.Plan, own.Program, opt); err != nil {
		return chain.Program{}, err
	}
	said, err := replay.Sayings(&words, own.File())
	if err != nil {
		return chain.Program{}, fmt.Errorf("the job's own %s: %w", own.File(), err)
	}
	if !part.Air {
		return c.Resume(own.Program, file, own.Text, text, part.From, said)
	}
	setup, err := c.Setup(own.Purpose)
	if err != nil {
		return chain.Program{}, fmt.Errorf("%s: metal before it: %w", file, err)
	}
	setup.Air, setup.Said, setup.Steps, setup.SnapshotStep, setup.Step = true, said, 0, 0, nil
	out := chain.Program{Program: own.Program, Text: text, Before: setup}
	out.Result, out.Err = replay.Check(bytes.NewReader(text), file, setup)
	return out, nil
}

// raisedBy is the height that the head of a raised program tells.
var raisedBy = regexp.MustCompile(`AIR RUN: everything raised by ([0-9.]+ (?:mm|in))\b`)

// liftIn is the height, mm, that a raised program says it is raised by; the least
// that keeps it in air where it says none.
func liftIn(own *chain.Program, text []byte) float64 {
	m := raisedBy.FindSubmatch(bytes.ReplaceAll(bytes.ReplaceAll(text, []byte(")\r\n("), []byte(" ")), []byte(")\n("), []byte(" ")))
	if m == nil {
		return own.LeastLift()
	}
	lift, err := job.ParseQuantity(job.Length, string(m[1]), job.MM)
	if err != nil || !(lift > 0) || lift > mostLift {
		return own.LeastLift()
	}
	return lift
}
