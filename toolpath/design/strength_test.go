package design

import (
	"math"
	"testing"

	"cogmend/profiles"
	"cogmend/toolpath/job"
)

// The screws' least diameter is the thread's core, or a point ground thinner.
func TestLoadScrews(t *testing.T) {
	j := job.Demo()
	c := of(t, j).LoadCase()
	m5, _ := profiles.ThreadByName("M5")
	if c.Screws != 1 || math.Abs(c.Screw-min(4, m5.Minor())) > 1e-9 {
		t.Errorf("%d of %.3f", c.Screws, c.Screw)
	}
	j.Lock.Point = 3
	if c = of(t, j).LoadCase(); c.Screw != 3 {
		t.Errorf("a point of 3: %.3f", c.Screw)
	}
}

// Beside a lone slot the metal reaches to the root circle, by Pythagoras;
// between two slots a pitch apart only to the other one.
func TestWallBeside(t *testing.T) {
	j := job.Demo()
	s := of(t, j).Sizes
	lone := of(t, j).WallBeside()
	if y := lone + s.FloorHalf; math.Abs(math.Hypot(y, s.Floor)-j.Gear.RootRadius()) > 1e-9 {
		t.Errorf("a lone slot has %.3f", lone)
	}
	j.Gear.Places = []float64{-0.5, 0.5}
	two := of(t, j).WallBeside()
	// The floor's corners are nearest: between the middles of both floors,
	// 2 Floor sin(tau/2) apart, less both half floors turned.
	half := j.Gear.Pitch() / 2
	want := 2 * (s.Floor*math.Sin(half) - s.FloorHalf*math.Cos(half))
	if math.Abs(two-want) > 1e-9 || two >= lone {
		t.Errorf("between two slots %.4f, want %.4f", two, want)
	}
	// Far apart they do not matter.
	j.Gear.Places = []float64{0, 27}
	if far := of(t, j).WallBeside(); math.Abs(far-lone) > 1e-9 {
		t.Errorf("opposite slots: %.3f, alone %.3f", far, lone)
	}
}
