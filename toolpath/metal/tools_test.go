package metal

import (
	"math"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/toolpath/job"
)

// TestParts: the tools' shapes by hand.
func TestParts(t *testing.T) {
	part := func(name string, z0, r0, z1, r1 float64, cuts bool) replay.Part {
		return replay.Part{Name: name, Z0: z0, R0: r0, Z1: z1, R1: r1, Cuts: cuts}
	}
	for _, tt := range []struct {
		name string
		c    profiles.Cutter
		want []replay.Part
	}{
		{"end mill", profiles.Cutter{Kind: profiles.EndMill, Diameter: 6, FluteLength: 16, Shank: 6, StickOut: 26, Holder: 28},
			[]replay.Part{part("flutes", 0, 3, 16, 3, true), part("shank", 16, 3, 26, 3, false), part("holder", 26, 14, 86, 14, false)}},
		{"necked", profiles.Cutter{Kind: profiles.EndMill, Diameter: 2, FluteLength: 5, Neck: 1.9, NeckLength: 16, Shank: 4, StickOut: 24, Holder: 28},
			[]replay.Part{part("flutes", 0, 1, 5, 1, true), part("neck", 5, 0.95, 16, 0.95, false), part("shank", 16, 2, 24, 2, false), part("holder", 24, 14, 84, 14, false)}},
		{"dovetail", profiles.Cutter{Kind: profiles.Dovetail, Diameter: 5, FlankAngle: math.Atan(0.2), FlankHeight: 5, FluteLength: 5, Neck: 3, NeckLength: 15, Shank: 6, StickOut: 20, Holder: 28},
			[]replay.Part{part("flutes", 0, 2.5, 5, 1.5, true), part("neck", 5, 1.5, 15, 1.5, false), part("shank", 15, 3, 20, 3, false), part("holder", 20, 14, 80, 14, false)}},
		{"drill", profiles.Cutter{Kind: profiles.Drill, Diameter: 4, PointAngle: math.Pi / 2, FluteLength: 40, Shank: 4, StickOut: 50, Holder: 28},
			[]replay.Part{part("flutes", 0, 0, 2, 2, true), part("flutes", 2, 2, 40, 2, true), part("shank", 40, 2, 50, 2, false), part("holder", 50, 14, 110, 14, false)}},
	} {
		got := Parts(&tt.c)
		if len(got) != len(tt.want) {
			t.Errorf("%s: %+v", tt.name, got)
			continue
		}
		for i, p := range got {
			w := tt.want[i]
			if p.Name != w.Name || p.Cuts != w.Cuts || math.Abs(p.Z0-w.Z0)+math.Abs(p.Z1-w.Z1)+math.Abs(p.R0-w.R0)+math.Abs(p.R1-w.R1) > 1e-9 {
				t.Errorf("%s: part %d is %+v, want %+v", tt.name, i, p, w)
			}
		}
	}
}

// TestTooFastSpindle: a cutter that the machine turns too fast is not without
// limits in the check.
func TestTooFastSpindle(t *testing.T) {
	j := job.Demo()
	c := &j.Cutters[0]
	s, err := profiles.SpeedsFor(*c, j.Gear.Material, profiles.SideCut)
	if err != nil {
		t.Fatal(err)
	}
	j.Machine.MinRpm, j.Machine.MaxRpm = 2*s.Rpm, 3*s.Rpm
	got := tool(c, j.Gear.Material, j)
	if !(got.MaxRpm > s.Rpm && got.MaxRpm < j.Machine.MinRpm) || !(got.MaxFeed > 0 && got.MaxChip > 0 && got.MaxDown > 0) {
		t.Errorf("at %g rev/min at least, good for %g: %+v", j.Machine.MinRpm, s.Rpm, got)
	}
}
