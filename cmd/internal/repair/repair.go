// Package repair makes the whole repair of one job, each step once and in this
// order: plan, text of the programs, check of that text, warnings, report,
// pictures, sheet. It writes no file and prints nothing; the commands do.
package repair

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"sync"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/post"
)

// Repair is a job's repair: planned, written, checked.
type Repair struct {
	Job  *job.Job
	Plan *toolpath.Plan
	// Programs are the plan's, in the same order.
	Programs []Program
	// Estimates is what the estimates of strength, fit and mesh say of the job.
	Estimates Estimates
	// Expect is what to expect of the new tooth.
	Expect *toolpath.Expectation
}

// Program is one program of a repair, as its text was found by the check.
type Program struct {
	*toolpath.Program
	Text   []byte         // as written; nil when the program is not written
	Before *replay.Setup  // the metal it was checked against; nil when it is not written
	Result *replay.Result // what the check found; nil when there is none
	Err    error          // why the text cannot be read; nil when it can
}

// Written says that there is a text, and so what the check found.
func (p *Program) Written() bool { return p.Before != nil }

// Clean says that the program may be run.
func (p *Program) Clean() bool {
	return p.Written() && p.Err == nil && p.Result.Report.Clean()
}

// Make plans, writes and checks the repair of a job. The error is a
// *toolpath.Refusal when the job cannot be made. What the check finds is no
// error: see Clean.
func Make(j *job.Job) (*Repair, error) {
	d, err := design.Of(j)
	if err != nil {
		return nil, err
	}
	go d.Against() // the stress takes long, and waits for nothing
	plan, err := toolpath.Make(d)
	if err != nil {
		return nil, err
	}
	expect, err := plan.Expect()
	if err != nil {
		return nil, err
	}
	r := &Repair{Job: d.Job, Plan: plan, Expect: &expect, Programs: make([]Program, len(plan.Programs))}
	chain := NewChain(plan)
	// The gear and the insert meet only at the flush program: until then their
	// programs are written and checked side by side.
	var gear, insert error
	var both sync.WaitGroup
	both.Go(func() { gear = r.programs(chain, toolpath.SlotProgram) })
	both.Go(func() { insert = r.programs(chain, toolpath.InsertProgram, toolpath.TrialProgram, toolpath.FitProgram) })
	both.Wait()
	if err := cmp.Or(gear, insert); err != nil {
		return nil, err
	}
	if err := r.programs(chain, toolpath.FlushProgram, toolpath.FacetsProgram); err != nil {
		return nil, err
	}
	r.Estimates = EstimatesOf(d)
	return r, nil
}

// programs writes and checks the programs of the given purposes, in the order
// of work.
func (r *Repair) programs(chain *Chain, purposes ...toolpath.Purpose) error {
	for i := range r.Plan.Programs {
		p := &r.Plan.Programs[i]
		if !slices.Contains(purposes, p.Purpose) {
			continue
		}
		out := Program{Program: p}
		if p.Done {
			if err := chain.Done(p); err != nil {
				return err
			}
		} else if p.Skipped == "" {
			var text bytes.Buffer
			if err := post.Write(&text, r.Plan, p, post.Options{}); err != nil {
				return err
			}
			var err error
			if out, err = chain.Check(p, p.File(), bytes.NewReader(text.Bytes())); err != nil {
				return err
			}
			out.Text = text.Bytes()
		}
		r.Programs[i] = out
	}
	return nil
}

// Clean says that every program that is written may be run.
func (r *Repair) Clean() bool {
	for i := range r.Programs {
		if p := &r.Programs[i]; p.Written() && !p.Clean() {
			return false
		}
	}
	return true
}

// Findings prints what the check found in the programs that may not be run.
func (r *Repair) Findings(w io.Writer) {
	for i := range r.Programs {
		p := &r.Programs[i]
		switch {
		case !p.Written() || p.Clean():
		case p.Err != nil:
			fmt.Fprintf(w, "cogmend: %v\n", p.Err)
		default:
			PrintFindings(w, p.File(), p.Result.Report)
		}
	}
}
