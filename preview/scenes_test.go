package preview

import (
	"bytes"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
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
	follow := chain.New(plan)
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
		w := written{Scene{Plan: plan, Program: p}, b.Bytes()}
		done, err := follow.Watch(p, p.File(), bytes.NewReader(b.Bytes()), func(before *replay.Setup) {
			if w.Before = before; watch != nil {
				watch(&w)
			}
		})
		if err != nil || done.Err != nil {
			tb.Fatal(err, done.Err)
		}
		w.After, w.Report = done.Result.After, done.Result.Report
		out = append(out, w)
	}
	return out
}
