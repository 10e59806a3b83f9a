package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// TestExpect: what is expected stands on the sheet in both units, the job's first,
// with the greatest shares; the half width of all together is the root of the sum
// of squares of all shares' (JCGM 100:2008, 5.1.2), worked out here from them.
func TestExpect(t *testing.T) {
	for _, name := range []string{"", "module4-inch"} {
		s, _ := planned(t, name, nil)
		e, err := s.Plan.Expect()
		if err != nil {
			t.Fatal(err)
		}
		s.Expect = &e
		out, err := s.expect()
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, x := range e.Shares {
			sum += x.Half() * x.Half()
		}
		// 1.96 standard uncertainties hold 95 % of a normal distribution.
		half := math.Sqrt(sum)
		metric, inches := fmt.Sprintf("± %.3f mm", half), fmt.Sprintf("± %.4f in", half/25.4)
		flank := out.Sums[0].Size
		if s.job.Units == job.Inch {
			metric, inches = inches, metric
		}
		if !strings.HasSuffix(flank.Main, metric) || !strings.HasSuffix(flank.Other, inches) {
			t.Errorf("%q: a flank is told as %q, %q; want %s and %s", name, flank.Main, flank.Other, metric, inches)
		}
		if len(out.Shares) < 3 || out.Shares[0].Name != e.Shares[0].Name || out.Shares[0].Percent != fmt.Sprintf("%.0f %%", 100*e.Shares[0].Part) {
			t.Errorf("%q: shares %+v", name, out.Shares)
		}
		if len(out.Errors) == 0 || out.Picture != nil {
			t.Errorf("%q: %d setting errors, picture %v", name, len(out.Errors), out.Picture)
		}
		s.Pictures = map[string]Picture{"expect": {PNG: smallPicture(t)}}
		var b bytes.Buffer
		if err := Write(&b, s.Data); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{`<section id="expect">`, "95 of 100 teeth", flank.Main, out.Shares[0].Name, "expect.png", out.Gain} {
			if want == "" || !strings.Contains(b.String(), want) {
				t.Errorf("%q: no %q on the sheet", name, want)
			}
		}
	}
}

// TestAgain: a cut that is made twice because the cutter springs is counted so, and
// the reason stands over it; an operation without one has no such words.
func TestAgain(t *testing.T) {
	s, p := planned(t, "", nil)
	seen := 0
	for i := range s.Plan.Programs {
		prog, v := &s.Plan.Programs[i], &p.Programs[i]
		for k := range v.Ops {
			again := 0
			for _, pass := range prog.Ops[k].Passes {
				again += pass.Spring.Again
			}
			if (again > 0) != (v.Ops[k].Spring != "") {
				t.Errorf("%s, %s: %d cuts again, and the reason %q", v.File, v.Ops[k].Name, again, v.Ops[k].Spring)
			}
			told := 0
			for _, st := range v.Ops[k].Steps {
				if before, after, ok := strings.Cut(strings.TrimSuffix(st.Cuts, " cuts"), "+"); ok && before != "" {
					n := 0
					fmt.Sscan(after, &n)
					told += n
				}
			}
			if again > 0 && strings.Contains(v.Springs, "again") {
				t.Errorf("%s: the cuts again are told twice: %q and %q", v.File, v.Springs, v.Ops[k].Spring)
			}
			if told != again {
				t.Errorf("%s, %s: %d cuts again are told, %d are made", v.File, v.Ops[k].Name, told, again)
			}
			seen += again
		}
	}
	if seen == 0 {
		t.Error("no cutter of the demo springs")
	}
}

// TestStressShown: the stress in the casting is shown with the cut that makes it,
// and with the slot where that cut is not written yet.
func TestStressShown(t *testing.T) {
	for _, fits := range []bool{true, false} {
		s, _ := planned(t, "", func(j *job.Job) {
			if !fits {
				j.Fit.Step = 0
			}
		})
		s.Pictures = map[string]Picture{"10-slot-stress": {PNG: smallPicture(t)}}
		p, err := s.page()
		if err != nil {
			t.Fatal(err)
		}
		want := map[bool]toolpath.Purpose{true: toolpath.FitProgram, false: toolpath.SlotProgram}[fits]
		for i := range p.Programs {
			if has := len(p.Programs[i].Telling) > 0; has != (s.Plan.Programs[i].Purpose == want) {
				t.Errorf("fit written %t: %s shows the stress: %t", fits, p.Programs[i].File, has)
			}
		}
	}
}
