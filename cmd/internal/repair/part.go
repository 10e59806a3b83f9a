package repair

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"cogmend/cmd/internal/outdir"
	"cogmend/gcode/machine"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/post"
)

// What the names of programs for a run in air begin with, and what stands
// before the pass in those that begin again.
const (
	airPrefix = "air-"
	fromInfix = "-from-"
)

// partPatterns returns the patterns of all names that raised programs and
// those that begin at a pass may have.
func partPatterns(plan *toolpath.Plan) []string {
	var out []string
	for i := range plan.Programs {
		p := &plan.Programs[i]
		out = append(out, airPrefix+p.File(), p.Stem()+fromInfix+"[0-9]*."+p.Ext)
	}
	return out
}

// Named tells by a file's name which program of the plan it is, nil: none. A
// program that starts again at a pass has another stock, and is none.
func Named(plan *toolpath.Plan, base string) *toolpath.Program {
	base = strings.ToLower(base)
	for i := range plan.Programs {
		p := &plan.Programs[i]
		if name := p.Stem(); strings.HasPrefix(base, name) && !strings.HasPrefix(base, name+fromInfix) {
			return p
		}
	}
	return nil
}

// Names lists the programs of a plan, without extension.
func Names(plan *toolpath.Plan) string {
	var s []string
	for i := range plan.Programs {
		s = append(s, plan.Programs[i].Stem())
	}
	return strings.Join(s, ", ")
}

// Pick returns the program of a plan that a word asks for: a purpose, a name, or a
// path of a file with the text to take, which is returned too. "" asks for all, and
// what is a file here means that file.
func Pick(plan *toolpath.Plan, word string) (p *toolpath.Program, file string, err error) {
	if word == "" {
		return nil, "", nil
	}
	info, err := os.Stat(word)
	if err == nil && !info.IsDir() || filepath.Base(word) != word {
		if p := Named(plan, filepath.Base(word)); p != nil {
			return p, word, nil
		}
		return nil, "", fmt.Errorf("%s: cannot tell which program of the job it is; its name must begin like one of %s", word, Names(plan))
	}
	for i := range plan.Programs {
		p := &plan.Programs[i]
		if slices.Contains([]string{string(p.Purpose), p.File(), p.Stem()}, word) {
			return p, "", nil
		}
	}
	return nil, "", fmt.Errorf("no program and no file is called %q; the job has %s", word, Names(plan))
}

// mostLift is the greatest height of a run in air, mm: more than any such
// machine travels.
const mostLift = 500

// Lifted returns all programs raised by a height in mm, for a run in air.
func (r *Repair) Lifted(lift float64) ([]outdir.File, error) {
	u := r.Job.Units
	if lift > mostLift {
		return nil, fmt.Errorf("%s at most", u.Length(mostLift))
	}
	var out []outdir.File
	for i := range r.Plan.Programs {
		p := &r.Plan.Programs[i]
		if p.Skipped != "" {
			continue
		}
		if lift < p.LeastLift() {
			return nil, fmt.Errorf("%s would still cut; %s at least keeps every cut in air", p.File(), u.Length(r.Plan.LeastLift()))
		}
		if z := r.Job.Machine.TravelZ; z[0] < z[1] && r.highest(p)+lift > z[1] {
			return nil, fmt.Errorf("%s would leave machine.travel_z; %s at most", p.File(), u.Length(z[1]-r.highest(p)))
		}
		var b bytes.Buffer
		if err := post.Write(&b, r.Plan, p, post.Options{Lift: lift}); err != nil {
			return nil, err
		}
		name := airPrefix + p.File()
		if _, err := machine.Summarise(bytes.NewReader(b.Bytes()), name, 0, 0); err != nil {
			return nil, fmt.Errorf("raised program cannot be read: %w", err)
		}
		out = append(out, outdir.File{Name: name, Data: b.Bytes()})
	}
	return out, nil
}

// highest is the greatest Z of a program, in its own coordinates.
func (r *Repair) highest(p *toolpath.Program) float64 {
	if p.Setup == toolpath.GearSetup {
		return p.Safe - r.Plan.Shift
	}
	return p.Safe
}

// FromPass returns the program of a name or purpose begun again at pass n,
// replayed on the metal that the passes before it leave, and its file's name.
func (r *Repair) FromPass(name string, n int) (out chain.Program, file string, err error) {
	c := chain.New(r.Plan)
	for i := range r.Programs {
		p := r.Programs[i]
		if string(p.Purpose) != name && p.Stem() != name && p.File() != name {
			if p.Done {
				if err := c.Done(p.Program); err != nil {
					return out, "", err
				}
			}
			if p.Written() {
				if _, err := c.Check(p.Program, p.File(), bytes.NewReader(p.Text)); err != nil {
					return out, "", err
				}
			}
			continue
		}
		if p.Skipped != "" {
			return out, "", fmt.Errorf("%s is not written: %s", p.File(), p.Skipped)
		}
		if n < 1 || n > p.Passes() {
			return out, "", fmt.Errorf("%s has passes 1 to %d", p.File(), p.Passes())
		}
		var b bytes.Buffer
		if err := post.Write(&b, r.Plan, p.Program, post.Options{From: n}); err != nil {
			return out, "", err
		}
		file = fmt.Sprintf("%s%s%d.%s", p.Stem(), fromInfix, n, p.Ext)
		out, err = c.Resume(p.Program, file, p.Text, b.Bytes(), n, nil)
		return out, file, err
	}
	return out, "", fmt.Errorf("no program is called that; the job has %s", Names(r.Plan))
}
