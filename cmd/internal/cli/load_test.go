package cli

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// The report's part: nothing without a load, an honest verdict with one, and
// no silence when no estimate can be made.
func TestLoadReport(t *testing.T) {
	j := job.Demo()
	lines, data, ok := loadReport(j)
	text := strings.Join(lines, "\n")
	if !ok || !strings.Contains(lines[0], "An estimate, not a rating") || !strings.Contains(text, "not for lifting gear") || data["allowed"] != true {
		t.Errorf("demo: %v, %v\n%s", ok, data["verdict"], text)
	}
	if _, err := json.Marshal(data); err != nil {
		t.Error(err)
	}
	j.Load.Torque *= 10
	if lines, data, ok = loadReport(j); ok || data["allowed"] != false || !strings.Contains(lines[0], "do not repair") {
		t.Errorf("ten times the load: %v, %v, %v", ok, data["verdict"], lines[0])
	}
	j.Load.Torque = -1
	if lines, data, ok = loadReport(j); ok || len(lines) != 1 || data["error"] == nil {
		t.Errorf("nonsense: %v, %v, %v", ok, data, lines)
	}
	j.Load = nil
	if lines, data, ok = loadReport(j); !ok || lines != nil || data != nil {
		t.Errorf("no load: %v, %v, %v", ok, data, lines)
	}
}

// The screws' least diameter is the thread's core, or a point ground thinner.
func TestLoadScrews(t *testing.T) {
	j := job.Demo()
	c := loadCase(j)
	m5, _ := profiles.ThreadByName("M5")
	if c.Screws != 1 || math.Abs(c.Screw-min(4, m5.Minor())) > 1e-9 {
		t.Errorf("%d of %.3f", c.Screws, c.Screw)
	}
	j.Lock.Point = 3
	if c = loadCase(j); c.Screw != 3 {
		t.Errorf("a point of 3: %.3f", c.Screw)
	}
}

// The fit command, what make minds of the fit, and the load estimate speak of
// one joint: as deep as the insert bears, however much deeper the slot is.
func TestOneJoint(t *testing.T) {
	j := job.Demo()
	j.Slot.Deeper = 0.5
	o := fitOptions{bench: bench{Job: j, file: "demo"}}
	f, _, _, err := o.joint()
	if err != nil {
		t.Fatal(err)
	}
	joinIn(&f, j, metal.DovetailCutter(j).Radius())
	if load := loadCase(j).Slot; f.Slot != load {
		t.Errorf("fit has %+v, load %+v", f.Slot, load)
	}
	if got, want := f.Slot.Depth, j.Slot.Depth; got != want {
		t.Errorf("the joint is %.3f mm deep, the insert's dovetail %.3f", got, want)
	}
	r, err := f.Fit()
	if err != nil {
		t.Fatal(err)
	}
	if mind := fitMind(j); (r.Verdict != estimate.FitSafe) != (mind != "") || !strings.Contains(mind, r.Verdict.String()) {
		t.Errorf("fit says %s, make minds %q", r.Verdict, mind)
	}
	if pins := slotSize(j).Depth; pins != j.Slot.Depth+0.5 {
		t.Errorf("pins lie in a slot %.3f mm deep", pins)
	}
}

// Beside a lone slot the metal reaches to the root circle, by Pythagoras;
// between two slots a pitch apart only to the other one.
func TestWallBeside(t *testing.T) {
	j := job.Demo()
	d := metal.DimsOf(j)
	lone := wallBeside(j)
	if y := lone + d.FloorHalf; math.Abs(math.Hypot(y, d.Floor)-j.Gear.RootRadius()) > 1e-9 {
		t.Errorf("a lone slot has %.3f", lone)
	}
	j.Gear.Places = []float64{-0.5, 0.5}
	two := wallBeside(j)
	// The floor's corners are nearest: between the middles of both floors,
	// 2 Floor sin(tau/2) apart, less both half floors turned.
	half := j.Gear.Pitch() / 2
	want := 2 * (d.Floor*math.Sin(half) - d.FloorHalf*math.Cos(half))
	if math.Abs(two-want) > 1e-9 || two >= lone {
		t.Errorf("between two slots %.4f, want %.4f", two, want)
	}
	// Far apart they do not matter.
	j.Gear.Places = []float64{0, 27}
	if far := wallBeside(j); math.Abs(far-lone) > 1e-9 {
		t.Errorf("opposite slots: %.3f, alone %.3f", far, lone)
	}
}
