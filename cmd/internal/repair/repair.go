// Package repair makes the whole repair of one job, each step once and in this
// order: plan, text of the programs, check of that text, warnings, report,
// pictures, sheet. It writes no file and prints nothing; the commands do.
package repair

import (
	"fmt"
	"io"

	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// Repair is a job's repair: planned, written, checked.
type Repair struct {
	Job  *job.Job
	Plan *toolpath.Plan
	// Programs are the plan's, in the same order.
	Programs []chain.Program
	// Estimates is what the estimates of strength, fit and mesh say of the job.
	Estimates Estimates
	// Expect is what to expect of the new tooth.
	Expect *toolpath.Expectation
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
	r := &Repair{Job: d.Job, Plan: plan, Expect: &expect}
	if r.Programs, err = chain.All(plan); err != nil {
		return nil, err
	}
	r.Estimates = EstimatesOf(d)
	return r, nil
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
