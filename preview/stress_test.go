package preview

import (
	"math"
	"strings"
	"testing"

	"cogmend/preview/figure"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// TestBetween: the bands of a triangle cover it once, and each keeps to its
// values.
func TestBetween(t *testing.T) {
	tri := estimate.FieldTriangle{P: [3]geom.Vec{{}, {Y: 3}, {Z: 2}}, Stress: [3]float64{-5, 40, 95}}
	edges := []float64{math.Inf(-1), 2, 20, 40, 60, 80, math.Inf(1)}
	sum := 0.0
	for i := range len(edges) - 1 {
		ring := between(tri, edges[i], edges[i+1])
		area := 0.0
		for j, p := range ring {
			area += p.Cross(ring[(j+1)%len(ring)]) / 2
			// The stress is linear: -5 + 15 Y + 50 Z.
			if v := -5 + 15*p.Y + 50*p.Z; v < edges[i]-1e-9 || v > edges[i+1]+1e-9 {
				t.Errorf("band %g to %g has a corner of %g", edges[i], edges[i+1], v)
			}
		}
		if !(area > 0) {
			t.Errorf("band %g to %g has an area of %g", edges[i], edges[i+1], area)
		}
		sum += area
	}
	if math.Abs(sum-3) > 1e-9 {
		t.Errorf("the bands cover %g of 3", sum)
	}
}

// TestStressFigure: the picture names the greatest place and the limit, and
// the bands cover the casting in the window once.
func TestStressFigure(t *testing.T) {
	j := job.Demo()
	j.Fit.TightMiddle = 0.05
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	s, ok := StressOf(d)
	if !ok {
		t.Fatal("no picture of a tight middle of 0.05")
	}
	f := StressFigure(s)
	text := f.Text()
	for _, want := range []string{"greatest: ", "beside the hole in the floor", "beyond the limit", "An estimate, no rating", "middle of the floor"} {
		if !strings.Contains(text, want) {
			t.Errorf("the picture does not say %q:\n%s", want, text)
		}
	}
	area := 0.0
	for _, it := range f.Panels[0].Items {
		if it.Kind != figure.KindRegion || it.Style == figure.Insert {
			continue
		}
		for _, ring := range it.Pieces {
			for i, p := range ring {
				area += p.Cross(ring[(i+1)%len(ring)]) / 2
			}
		}
	}
	whole := 0.0
	for _, x := range s.Stress.Field(s.Cases[0].Stressed) {
		whole += x.P[1].Sub(x.P[0]).Cross(x.P[2].Sub(x.P[0])) / 2
	}
	if math.Abs(area-whole) > 1e-6*whole {
		t.Errorf("the bands cover %.3f mm2 of %.3f", area, whole)
	}
	if _, err := f.Draw(1); err != nil {
		t.Error(err)
	}
	j.Fit.TightMiddle, j.Load, j.Lock.Kind = 0, nil, job.NoLock
	if d, err = design.Of(j); err != nil {
		t.Fatal(err)
	}
	if _, ok = StressOf(d); ok {
		t.Error("a picture of nothing pressing on the casting")
	}
}

// TestStressFigureInch: in a job in inches every stress of the picture is in psi
// first. The conversion is held to NIST SP 811 beside the table of stresses.
func TestStressFigureInch(t *testing.T) {
	j := job.Demo()
	j.Fit.TightMiddle, j.Units = 0.05, job.Inch
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	s, ok := StressOf(d)
	if !ok {
		t.Fatal("no picture of a tight middle of 0.05")
	}
	text := StressFigure(s).Text()
	told := strings.Count(text, " MPa")
	if both := strings.Count(text, " MPa)"); told == 0 || both != told {
		t.Errorf("%d of %d stresses stand in psi first:\n%s", both, told, text)
	}
}
