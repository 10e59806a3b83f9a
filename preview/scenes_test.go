package preview

import (
	"bytes"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
	"cogmend/toolpath/post"
)

// written is one program with all that is drawn of it.
type written struct {
	Scene
	text []byte
}

// repair plans a job, writes its programs and replays them one after another.
// watch, when not nil, may add an observer before the replay of a program.
func repair(tb testing.TB, j *job.Job, watch func(*written)) []written {
	tb.Helper()
	d, err := design.Of(j)
	if err != nil {
		tb.Fatal(err)
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		tb.Fatal(err)
	}
	var casting, insert, flush []replay.Station
	var out []written
	for i := range plan.Programs {
		p := &plan.Programs[i]
		if p.Skipped != "" {
			continue
		}
		var b bytes.Buffer
		if err := post.Write(&b, plan, p, post.Options{}); err != nil {
			tb.Fatal(err)
		}
		before, err := setup(j, p.Purpose, plan, casting, insert, flush)
		if err != nil {
			tb.Fatal(err)
		}
		w := written{Scene{Plan: plan, Program: p, Before: before}, b.Bytes()}
		if watch != nil {
			watch(&w)
		}
		res, err := replay.Check(bytes.NewReader(b.Bytes()), p.File(), before)
		if err != nil {
			tb.Fatal(err)
		}
		w.After, w.Report = res.After, res.Report
		out = append(out, w)
		switch p.Purpose {
		case "slot":
			casting = res.Along
		case "insert", "fit":
			insert = res.Along
		case "trial":
			if insert = res.Along; res.Snapshot != nil {
				insert = res.Snapshot
			}
		case "flush":
			flush = res.Along
		}
	}
	return out
}

func setup(j *job.Job, purpose toolpath.Purpose, plan *toolpath.Plan, casting, insert, flush []replay.Station) (*replay.Setup, error) {
	switch purpose {
	case "slot":
		return metal.SlotSetup(plan.Design)
	case "insert":
		return metal.InsertSetup(plan.Design, metal.Rough, nil)
	case "trial":
		s, err := metal.InsertSetup(plan.Design, metal.Trial, insert)
		if err == nil {
			s.Steps, s.SnapshotStep = j.Fit.TrialCount, j.Fit.Step
		}
		return s, err
	case "fit":
		return metal.InsertSetup(plan.Design, metal.Fit, insert)
	}
	if j.Fit.Step == 0 {
		var err error
		if insert, err = metal.NominalInsert(plan.Design); err != nil {
			return nil, err
		}
	}
	f, err := metal.NewFinish(plan.Design, casting, insert)
	if err != nil {
		return nil, err
	}
	if purpose == "flush" {
		return f.FlushSetup(), nil
	}
	return f.FacetsSetup(flush, plan.Filing), nil
}
