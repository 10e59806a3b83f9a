package toolpath

import (
	"math"
	"os"
	"strings"
	"testing"

	"cogmend/gcode"
	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
)

// TestSpringOfEveryProgram: each program of the demo has the spring of its passes
// estimated; no cutter is bent beyond what is allowed; every pass that leaves a
// finished flank leaves it within its share or was cut once more as often as is
// worth it; and each cut once more stands in the text of the plan.
func TestSpringOfEveryProgram(t *testing.T) {
	p, err := makeOf(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Programs {
		prog := &p.Programs[i]
		if _, _, _, ok := prog.WorstSpring(); !ok {
			t.Errorf("%s: no pass has its spring estimated", prog.File())
		}
		finished := 0
		for _, op := range prog.Ops {
			for _, pass := range op.Passes {
				s := pass.Spring
				if op.Cutter.Kind != profiles.Drill && !(s.Force > 0) {
					t.Errorf("%s, %s: no force", prog.File(), pass.Name)
				}
				if s.Share > estimate.BreakShare {
					t.Errorf("%s, %s: at %.2f of its strength", prog.File(), pass.Name, s.Share)
				}
				if !s.Finishes {
					continue
				}
				finished++
				limit := springShare * p.Flanks.Limit
				switch prog.Purpose {
				case SlotProgram, TrialProgram, FitProgram:
					limit = p.jointLimitOf()
				case FlushProgram:
					limit = endLimit
				}
				if s.Left > limit {
					t.Errorf("%s, %s: %.4f left, %.4f allowed", prog.File(), pass.Name, s.Left, limit)
				}
				told := 0
				for _, m := range pass.Moves {
					if m.Kind == Note && strings.HasPrefix(m.Text, gcode.OnceMore) {
						told++
					}
				}
				if told != s.Again {
					t.Errorf("%s, %s: %d cuts once more, %d told", prog.File(), pass.Name, s.Again, told)
				}
			}
		}
		if finished == 0 && prog.Purpose != InsertProgram {
			t.Errorf("%s: no finished flank", prog.File())
		}
	}
}

// jointLimitOf is the planner's limit for the flanks of the joint.
func (p *Plan) jointLimitOf() float64 { return (&planner{Plan: *p}).jointLimit() }

// TestWidths: however a flank is divided, the cuts make up the whole and none is
// wider than allowed; the last leaves less than even cuts would, and no light one
// is so thin that it rubs.
func TestWidths(t *testing.T) {
	j := job.Demo()
	p, err := makeOf(j)
	if err != nil {
		t.Fatal(err)
	}
	dove := p.Dovetail
	w := &writer{p: &planner{Plan: *p}, prog: &Program{}, work: profiles.GreyIron,
		op: &Op{Cutter: dove, Rpm: 770, Feed: 20, Passes: make([]Pass, 1)}}
	lightened := 0
	for total := 0.01; total < 2; total += 0.0173 {
		for _, limit := range []float64{0, 0.002, 0.004, 0.02} {
			widths := w.widths(total, 0.2, 6.3, limit)
			sum := 0.0
			for _, v := range widths {
				sum += v
				if v > 0.2+1e-9 || !(v > 0) {
					t.Fatalf("%.3f in cuts of %v", total, widths)
				}
			}
			least := int(math.Ceil(total/0.2 - 1e-9))
			if math.Abs(sum-total) > 1e-9 || len(widths) > least+1 || limit == 0 && len(widths) != least {
				t.Fatalf("%.3f in cuts of %v", total, widths)
			}
			if last := widths[len(widths)-1]; len(widths) > 1 && last < widths[0]-1e-9 {
				lightened++
				if last < leastLight || w.leaves(6.3, widths) > limit {
					t.Errorf("%.3f: a last cut of %.3f leaves %.4f, %.4f allowed", total, last, w.leaves(6.3, widths), limit)
				}
			}
		}
	}
	if lightened < 50 {
		t.Errorf("only %d flanks ended in a light cut", lightened)
	}
}

// TestNeckWarning: a dovetail cutter that its cuts bend to more than half of its
// strength is told of, once; one that they break as well, in other words.
func TestNeckWarning(t *testing.T) {
	text, err := os.ReadFile("../testdata/jobs/good/demo.toml")
	if err != nil {
		t.Fatal(err)
	}
	for neck, want := range map[string]string{"3.2": "", "2.6": "may break it", "1.8": "do not run them"} {
		p, err := makeOf(jobWith(t, neck, string(text), "neck = 3.2", "neck = "+neck))
		if err != nil {
			t.Fatal(err)
		}
		told := ""
		for _, w := range p.Warnings {
			if strings.HasPrefix(w, "cutter.dovetail15 bends to ") {
				told += w
			}
		}
		if want == "" && told != "" || !strings.Contains(told, want) || strings.Count(told, "bends to") > 1 {
			t.Errorf("a neck of %s: %q", neck, told)
		}
	}
}
