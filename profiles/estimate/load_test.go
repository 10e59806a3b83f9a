package estimate

import (
	"math"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

func TestStrengthTable(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	jindal := profiles.Gear{Teeth: 30, Module: 5, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
	wentzell := profiles.Gear{Teeth: 48, Module: 25.4 / 12, Pressure: geom.Radians(20), Rack: rack, Shift: 0, Thinning: 0}
	for _, r := range published.Table(t, "strength.csv") {
		var got float64
		q := r.Fields["quantity"]
		switch r.Fields["case"] {
		case "jindal":
			got = 150 / LewisStress(1, 5, 60, 0.358) // the force that makes 150 MPa
			if q == "power" {
				v := PitchLineSpeed(jindal, 1000)
				got = got / VelocityFactor(v) / 1.5 / 2 * v / 1000
			}
		case "wentzell":
			v := PitchLineSpeed(wentzell, 900) / 0.3048 * 60 // ft/min
			force := 2 * 33000 / v                           // lbf: 1 hp is 33 000 ft lbf/min
			got = map[string]float64{
				"velocity": v, "tangential": force,
				"dynamic": force * velocityFactor(v, 600),
			}[q]
		case "static":
			m := profiles.GreyIron
			if q == "steel" {
				m = profiles.MildSteel
			}
			const psi = 0.006894757293168 // MPa
			got = m.Strength().SafeStatic / psi
		case "tensile":
			got = profiles.GreyIron.Strength().Limit
		case "yield":
			got = profiles.MildSteel.Strength().Limit
		case "rim":
			var err error
			if got, err = RimFactor(r.Num("quantity")); err != nil {
				t.Fatal(err)
			}
		default:
			t.Errorf("unknown case %v", r.Fields)
		}
		r.Near(got, r.Num("value"), r.Num("tolerance"))
	}
	if got := LewisStress(16110, 5, 60, 0.358); math.Abs(got-150) > 1e-9 {
		t.Errorf("Lewis stress %.3f, want 150", got)
	}
	if _, err := RimFactor(0); err == nil {
		t.Error("a gear without rim was accepted")
	}
}

func pressLoad(torque float64) LoadCase {
	rack, _ := profiles.RackByName("old-full-depth")
	g := profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Shift: 0, Thinning: 0.08}
	return LoadCase{
		Duty: Duty{Tooth: g, Neighbours: g, Face: 32, Torque: torque, Rpm: 20, RimUnder: 9},
		Slot: profiles.DovetailSize{Mouth: 6, Depth: 5, HalfAngle: geom.Radians(7.5)}, SeatBelow: 0.3, Body: 9, Wall: 8,
		Screws: 2, Screw: 4.134, Insert: profiles.MildSteel, Stress: pressCasting(),
	}
}

func TestLoad(t *testing.T) {
	r, err := pressLoad(20).Load()
	if err != nil {
		t.Fatal(err)
	}
	// By hand: 20 N m on a pitch radius of 85.725 mm.
	if math.Abs(r.Tangential-20000/85.725) > 1e-9 || r.Rim != 1 {
		t.Errorf("force %.3f N, rim factor %g", r.Tangential, r.Rim)
	}
	v := 2 * math.Pi * 0.085725 * 20 / 60
	if want := r.Tangential * 1.5 * (3 + v) / 3; math.Abs(r.Design-want) > 1e-9 {
		t.Errorf("design force %.3f, want %.3f", r.Design, want)
	}
	if r.Verdict != "looks strong enough" || len(r.NotFor) == 0 || len(r.Assumptions) < 8 {
		t.Errorf("verdict %q, worst %s %.2f", r.Verdict, r.Worst, r.Use)
	}
	for _, i := range r.Items {
		if !(i.Value > 0) || !(i.Allowable > 0) || i.Source == "" || math.IsNaN(i.Use) {
			t.Errorf("%+v", i)
		}
	}
	if len(strings.Fields(r.Verdict)) != 3 {
		t.Errorf("verdict %q is not three words", r.Verdict)
	}
}

// Every stress grows in proportion to the load; the verdict only gets worse.
func TestLoadScales(t *testing.T) {
	rank := map[string]int{"looks strong enough": 0, "near the limit": 1, "do not repair": 2}
	base, err := pressLoad(10).Load()
	if err != nil {
		t.Fatal(err)
	}
	last := 0
	for _, k := range []float64{1, 2, 5, 10, 30, 100, 300} {
		r, err := pressLoad(10 * k).Load()
		if err != nil {
			t.Fatal(err)
		}
		for n, i := range r.Items {
			if i.Unit == "MPa" && math.Abs(i.Value/base.Items[n].Value-k) > 1e-6*k {
				t.Errorf("%s: %g times the load gives %g times the stress", i.Key, k, i.Value/base.Items[n].Value)
			}
		}
		if rank[r.Verdict] < last {
			t.Errorf("more load, better verdict: %s", r.Verdict)
		}
		last = rank[r.Verdict]
	}
	if last != 2 {
		t.Error("3000 N m were not refused")
	}
}

// With a fit the casting has more to bear than with the load alone, and the
// fit's own stress is in the list.
func TestLoadWithFit(t *testing.T) {
	c := pressLoad(20)
	c.Interference, c.Most = 0.004, 0.008
	r, err := c.Load()
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]LoadItem{}
	for _, i := range r.Items {
		got[i.Key] = i
	}
	for _, key := range []string{"casting.fit", "casting.fit.most", "casting.load", "casting.both", "flank.pressure"} {
		if i, ok := got[key]; !ok || !(i.Value > 0) || !i.Decides {
			t.Errorf("%s: %+v", key, i)
		}
	}
	if both := got["casting.both"].Value; !(both > got["casting.load"].Value) || !(both > got["casting.fit"].Value) {
		t.Errorf("both %.1f, load %.1f, fit %.1f MPa", both, got["casting.load"].Value, got["casting.fit"].Value)
	}
	c.Interference, c.Most = 0.03, 0.04
	if r, err = c.Load(); err != nil || r.Verdict != "do not repair" {
		t.Errorf("a fit that cracks the casting: %q, %v", r.Verdict, err)
	}
}

func TestLoadPower(t *testing.T) {
	a := pressLoad(20)
	b := pressLoad(0)
	b.Power = 20 * 2 * math.Pi * 20 / 60
	ra, err1 := a.Load()
	rb, err2 := b.Load()
	if err1 != nil || err2 != nil || math.Abs(ra.Design-rb.Design) > 1e-9 {
		t.Errorf("by torque %.4f, by power %.4f, %v %v", ra.Design, rb.Design, err1, err2)
	}
}

func TestLoadThinRim(t *testing.T) {
	c := pressLoad(20)
	c.RimUnder = 2
	r, err := c.Load()
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict != "do not repair" || r.Rim <= 1 || len(r.Warnings) == 0 {
		t.Errorf("%s, rim %.2f, %q", r.Verdict, r.Rim, r.Warnings)
	}
	c = pressLoad(20)
	c.Body = 6.5
	if r, err = c.Load(); err != nil || r.Verdict != "do not repair" {
		t.Errorf("a feather of a shoulder: %q, %v", r.Verdict, err)
	}
}

// Without a named grade the weakest of the material is assumed: ASTM A48 No. 20,
// half as strong as No. 40 (276 MPa); S235, where S275 has 275 MPa (EN 10025-2
// table 7).
func TestLoadGrades(t *testing.T) {
	c := pressLoad(20)
	c.CastingTensile, c.InsertYield = 276, 275
	strong, err := c.Load()
	if err != nil {
		t.Fatal(err)
	}
	weak, err := pressLoad(20).Load()
	if err != nil {
		t.Fatal(err)
	}
	for n, i := range strong.Items {
		switch i.Key {
		case "casting.load":
			if math.Abs(i.Allowable-2*weak.Items[n].Allowable) > 1e-9 {
				t.Errorf("No. 40 allows %.1f, No. 20 %.1f", i.Allowable, weak.Items[n].Allowable)
			}
		case "neck.bending":
			if i.Allowable != 275 {
				t.Errorf("S275 allows %.1f", i.Allowable)
			}
		}
	}
}

func TestLoadRefusals(t *testing.T) {
	for name, change := range map[string]func(*LoadCase){
		"no load":   func(c *LoadCase) { c.Torque = 0 },
		"both":      func(c *LoadCase) { c.Power = 100 },
		"torque":    func(c *LoadCase) { c.Torque = math.NaN() },
		"power":     func(c *LoadCase) { c.Torque, c.Power, c.Rpm = 0, 100, 0 },
		"rpm":       func(c *LoadCase) { c.Rpm = -1 },
		"service":   func(c *LoadCase) { c.Service = 0.5 },
		"face":      func(c *LoadCase) { c.Face = math.Inf(1) },
		"seat":      func(c *LoadCase) { c.SeatBelow = -1 },
		"shoulders": func(c *LoadCase) { c.Body = 6 },
		"wall":      func(c *LoadCase) { c.Wall = 0 },
		"section":   func(c *LoadCase) { c.Stress = nil },
		"rim":       func(c *LoadCase) { c.RimUnder = 0 },
		"screws":    func(c *LoadCase) { c.Screw = 0 },
		"slot":      func(c *LoadCase) { c.Slot.Depth = 0 },
		"grade":     func(c *LoadCase) { c.CastingTensile = -1 },
		"yield":     func(c *LoadCase) { c.InsertYield = math.NaN() },
		"tooth":     func(c *LoadCase) { c.Tooth.Teeth = 0 },
		"neighbour": func(c *LoadCase) { c.Neighbours.Module = 0 },
	} {
		c := pressLoad(20)
		change(&c)
		if r, err := c.Load(); err == nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
}
