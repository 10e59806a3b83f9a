package cli

import (
	"bytes"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"cogmend/cmd/internal/answer"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// Sizes stand in the table as they were given, to a micrometre and to a ten
// thousandth of an inch.
func TestGearTableSizes(t *testing.T) {
	for _, c := range []struct {
		units      job.Units
		face, bore float64 // mm
		want       [2]string
	}{
		{job.MM, 127.25, 152.437, [2]string{`face = "127.25 mm"`, `bore = "152.437 mm"`}},
		{job.MM, 100, 1234.5678, [2]string{`face = "100 mm"`, `bore = "1234.568 mm"`}},
		{job.Inch, 25.4 * 10.0625, 25.4 * 1.5, [2]string{`face = "10.0625 in"`, `bore = "1.5 in"`}},
		{job.Inch, 25.4 * 12.34567, 25.4 * 10, [2]string{`face = "12.3457 in"`, `bore = "10 in"`}},
	} {
		table := answer.GearTable(job.Start{Units: c.units, Teeth: 54, Module: 3, Face: c.face, Bore: c.bore}, nil)
		for _, want := range c.want {
			if !strings.Contains(table, "\n"+want+"\n") {
				t.Errorf("no %s in\n%s", want, table)
			}
		}
	}
}

var gearBlock = regexp.MustCompile(`(?s)\[gear\]\n.*?\n\n`)

// The table that identify prints, pasted over the demo's [gear], makes a job
// of the gear that was measured: readings by formula, without noise, of gears
// with wear and shift, from modules and diametral pitches, in mm and inch.
func TestGearTablePastes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		module, degrees float64
		rack            string
		shift           float64
	}{
		{25.4 / 8, 14.5, "old-full-depth", 0},
		{25.4 / 10, 20, "full-depth", 0},
		{3, 20, "full-depth", 0.2},
		{2.5, 20, "full-depth", -0.1},
		{4, 20, "stub", 0},
	} {
		rack, _ := profiles.RackByName(c.rack)
		g := profiles.Gear{Teeth: 54, Module: c.module, Pressure: geom.Radians(c.degrees), Rack: rack, Shift: c.shift, Thinning: 0.05 + 0.1*rng.Float64()}
		k, err := measure.SpanTeeth(g)
		if err != nil {
			t.Fatal(err)
		}
		readings := []measure.Reading{
			{Kind: measure.OutsideDiameter, Value: 2 * g.TipRadius(), Sigma: measure.VernierSigma},
			{Kind: measure.RootDiameter, Value: 2 * g.RootRadius(), Sigma: measure.VernierSigma},
		}
		for _, n := range []int{k, k + 1} {
			w, err := measure.Span(g, n)
			if err != nil {
				t.Fatal(err)
			}
			readings = append(readings, measure.Reading{Kind: measure.SpanSize, Teeth: n, Value: w, Sigma: measure.MicrometerSigma})
		}
		id, err := measure.Identify(g.Teeth, readings)
		if err != nil {
			t.Fatal(err)
		}
		for _, inch := range []bool{false, true} {
			o := identifyOptions{face: "32", bore: "28", inch: inch}
			var known job.Start
			if err := o.measured(&known); err != nil {
				t.Fatal(err)
			}
			if inch {
				known.Units = job.Inch
			}
			start, remarks := answer.StartOf(known, id.Candidates[0], readings)
			table := answer.GearTable(start, remarks)
			text := gearBlock.ReplaceAll(job.DemoText(), []byte(table+"\n"))
			if bytes.Equal(text, job.DemoText()) {
				t.Fatal("the demo's [gear] was not found")
			}
			j, err := job.Decode("pasted", text, nil)
			if err != nil {
				// The demo's slot need not suit another gear; the gear's keys must.
				if strings.Contains(err.Error(), "gear.") && !strings.Contains(err.Error(), "insert") && !strings.Contains(err.Error(), "slot") {
					t.Errorf("%v: %v\n%s", c, err, table)
				}
				starter, err := job.Starter(start)
				if err != nil {
					t.Errorf("%v: %v", c, err)
					continue
				}
				if j, err = job.Decode("starter", starter, nil); err != nil {
					t.Fatal(err)
				}
			}
			got := j.Gear
			// Shift and wear both thicken: the arc is what the spans tell.
			if got.Teeth != g.Teeth || math.Abs(got.Module-g.Module) > 1e-9 || math.Abs(got.Pressure-g.Pressure) > 1e-9 || got.Rack.Name != g.Rack.Name ||
				math.Abs(got.Shift-g.Shift) > 0.04 || math.Abs(got.PitchThickness()-g.PitchThickness()) > 0.03 {
				t.Errorf("%v, thinning %.3f: got %d teeth, module %g, shift %g, thinning %.3f, %s\n%s", c, g.Thinning, got.Teeth, got.Module, got.Shift, got.Thinning, got.Rack.Name, table)
			}
		}
	}
}

// Tips found shortened stand in the table and in the job that is begun.
func TestShortenedTipsAreHandedOn(t *testing.T) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: 31, Module: 3, Pressure: geom.Radians(20), Rack: rack, Shift: 0.4, Thinning: 0.1}
	c := measure.Candidate{Gear: g, Pitch: profiles.StandardPitch{Module: 3, Series: "I"}, TipCut: 0.24}
	start, remarks := answer.StartOf(job.Start{Face: 30, Bore: 25}, c, nil)
	if table := answer.GearTable(start, remarks); !strings.Contains(table, "\naddendum = 0.920 ") {
		t.Errorf("no addendum in\n%s", table)
	}
	text, err := job.Starter(start)
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Decode("starter", text, nil)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(j.Gear.Rack.Addendum-0.92) > 1e-9 || math.Abs(j.Gear.TipRadius()-(46.5+3*1.32)) > 1e-9 {
		t.Errorf("addendum %g, tip radius %g", j.Gear.Rack.Addendum, j.Gear.TipRadius())
	}
}
