package sheet

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

// written is one program and what the replay says of its text.
type written struct {
	Plan    *toolpath.Plan
	Program *toolpath.Program
	Report  *replay.Report
}

// repair plans a job, writes its programs and replays them one after another.
func repair(tb testing.TB, j *job.Job) []written {
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
		res, err := replay.Check(bytes.NewReader(b.Bytes()), p.File(), before)
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, written{plan, p, res.Report})
		switch p.Purpose {
		case "slot":
			casting = res.After
		case "insert", "fit":
			insert = res.After
		case "trial":
			if insert = res.After; res.Snapshot != nil {
				insert = res.Snapshot
			}
		case "flush":
			flush = res.After
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
