package copied

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestMiddle: touches of both flanks of exact, worn and cycloidal teeth taken with
// Y0 off by a known amount tell it to within their scatter; with Y0 in the middle
// nothing is said.
func TestMiddle(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	for _, f := range trueFlanks(t) {
		for _, off := range []float64{0, 0.08, -0.2} {
			list := f.touched(16, 0.005, rng)
			var right, left []Touch
			for i, q := range list {
				if i%2 == 0 {
					q.Plane += off
					right = append(right, q)
				} else {
					q.Plane -= off
					left = append(left, q)
				}
			}
			got, sure := Middle(right, left, 0.005)
			if said := sure && math.Abs(got) > 2*0.005; said != (off != 0) {
				t.Errorf("%s, Y0 off by %.3f: %.4f, sure %v", f.name, off, got, sure)
			}
			within(t, f.name+": Y0", got, off, 0.006)
		}
	}
	if _, sure := Middle([]Touch{{Angle: 0.1}, {Angle: 0.2}}, []Touch{{Angle: 0.1}, {Angle: 0.2}}, 0.01); sure {
		t.Error("four touches tell five numbers")
	}
}

// TestAlike: touches that lean alike are taken together, and one of them that is
// off is named.
func TestAlike(t *testing.T) {
	f := trueFlanks(t)[0]
	rng := rand.New(rand.NewPCG(2, 9))
	list := f.touched(8, 0.004, rng)
	for i, q := range f.touched(8, 0.004, rng) {
		q.Name = fmt.Sprint("again ", i+1)
		list = append(list, q)
	}
	c, err := Touches(list, f.tooth(0.004))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range c.Readings {
		if r.Left != "" {
			t.Errorf("touch %s: %s", r.Name, r.Left)
		}
	}
	list[11].Plane += 0.05
	var fault *Fault
	if _, err := Touches(list, f.tooth(0.004)); !errors.As(err, &fault) || fault.Name != "again 4" || !strings.Contains(fault.Text, "touch 4") {
		t.Errorf("%v", err)
	}
}

// TestNoCorner: a touch in the middle that is off is not explained by a corner
// lower down.
func TestNoCorner(t *testing.T) {
	f := trueFlanks(t)[1]
	list := f.touched(9, 0.004, rand.New(rand.NewPCG(6, 2)))
	list[5].Plane += 0.06
	var fault *Fault
	if _, err := Touches(list, f.tooth(0.004)); !errors.As(err, &fault) || fault.Name != "6" {
		t.Errorf("%v", err)
	}
}
