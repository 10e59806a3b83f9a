package toolpath

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cogmend/toolpath/job"
)

// TestPlanDistance holds the distance of a move from a box against that of
// many points along it.
func TestPlanDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(name string) float64 { return float64(rapid.IntRange(-12, 12).Draw(t, name)) / 2 }
		a, b := Pos{X: num("ax"), Y: num("ay")}, Pos{X: num("bx"), Y: num("by")}
		box := &job.KeepOut{X: [2]float64{-2, 3}, Y: [2]float64{-1, 1.5}}
		const steps = 2000
		want := math.Inf(1)
		for i := range steps + 1 {
			s := float64(i) / steps
			x, y := a.X+(b.X-a.X)*s, a.Y+(b.Y-a.Y)*s
			want = min(want, math.Hypot(max(-2-x, 0, x-3), max(-1-y, 0, y-1.5)))
		}
		got := planDistance(a, b, box)
		if step := math.Hypot(b.X-a.X, b.Y-a.Y) / steps; got > want+1e-9 || got < want-step-1e-9 {
			t.Fatalf("%v to %v: %g, along the move %g", a, b, got, want)
		}
	})
}

// TestKeepOuts: each kind of way into a keep-out is refused with the
// operation, and one that stands beside all moves is not.
func TestKeepOuts(t *testing.T) {
	for _, tt := range []struct {
		name    string
		box     job.KeepOut
		refused []string // in the reason; nil: made
		minded  bool     // the program's head speaks of it
	}{
		{"hub under the slot", job.KeepOut{Setup: "gear", X: [2]float64{-60, -2}, Y: [2]float64{-5, 5}, Z: [2]float64{-90, -8}},
			[]string{"10-slot.nc", "its top must lie"}, false},
		{"arbor under the holes", job.KeepOut{Setup: "gear", X: [2]float64{15, 17}, Y: [2]float64{-3, 3}, Z: [2]float64{-90, -15}},
			[]string{"10-slot.nc, lock holes", "flutes"}, false},
		{"post that the holder meets", job.KeepOut{Setup: "gear", X: [2]float64{-20, -12}, Y: [2]float64{-3, 3}, Z: [2]float64{-90, 15}},
			[]string{"holder", "longer out of its holder"}, false},
		{"chuck out of the way, higher than the first move", job.KeepOut{Setup: "gear", X: [2]float64{-90, -40}, Y: [2]float64{-60, 60}, Z: [2]float64{-90, 30}}, nil, true},
		{"jaws lower than the cutter goes", job.KeepOut{Setup: "insert", X: [2]float64{-40, 80}, Y: [2]float64{-60, 60}, Z: [2]float64{-90, -12}}, nil, false},
	} {
		tt.box.Name = "thing"
		j := job.Demo()
		j.KeepOuts = append(j.KeepOuts, tt.box)
		p, err := makeOf(j)
		if tt.refused == nil && err != nil || tt.refused != nil && err == nil {
			t.Errorf("%s: error %v", tt.name, err)
			continue
		}
		for _, part := range tt.refused {
			if !strings.Contains(err.Error(), "keepout.thing: in ") || !strings.Contains(err.Error(), part) {
				t.Errorf("%s: %v does not speak of %q", tt.name, err, part)
			}
		}
		if err != nil {
			continue
		}
		for _, prog := range p.Programs {
			told := strings.Contains(strings.Join(prog.Clamp, "\n"), `Keep-out "thing"`)
			if want := tt.minded && prog.Setup == GearSetup; told != want {
				t.Errorf("%s: %s minds it: %v, want %v", tt.name, prog.File(), told, want)
			}
		}
	}
}
