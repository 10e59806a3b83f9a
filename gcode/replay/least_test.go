package replay

import (
	"math"
	"strings"
	"testing"

	"cogmend/gcode"
)

// TestLeast: what a program cannot do without, part by part, worked out by
// hand: a cut 2 mm deep of a cutter of 6 mm at Y-8, of which 5 mm are in the
// block, along 29.995 mm at 100 mm/min, rapids of 1000 mm/min.
func TestLeast(t *testing.T) {
	s := flat()
	cut := "G0 X-5 Y-8\nG0 Z0\nG1 X35 F100\n"
	text := withTool + "(Pass 1: a)\n" + cut + "(" + gcode.OnceMore + ": it springs)\nG0 Z50\nG0 X-5\nG0 Z0\nG1 X35\n" + programE
	res, err := Check(strings.NewReader(text), "test.nc", s)
	if err != nil {
		t.Fatal(err)
	}
	length := 29.995
	want := Least{
		Changes: 1,
		Lifts:   50. / 1000,
		Metal:   (length + 3) / 100, // met a radius before the face: more than half of it cuts
		Again:   (50.+40+50)/1000 + length/100,
	}
	got := res.Report.Least
	for _, x := range [][2]float64{{got.Changes, want.Changes}, {got.Turns, 0}, {got.Lifts, want.Lifts}, {got.Metal, want.Metal}, {got.Again, want.Again}} {
		if math.Abs(x[0]-x[1]) > 1e-9 {
			t.Fatalf("%+v, want %+v", got, want)
		}
	}
	if got.Minutes() > res.Report.Minutes {
		t.Errorf("at the least %.3f of %.3f minutes", got.Minutes(), res.Report.Minutes)
	}
	// Without the word it is a cut in air.
	res, err = Check(strings.NewReader(strings.Replace(text, gcode.OnceMore, "again", 1)), "test.nc", flat())
	if err != nil {
		t.Fatal(err)
	}
	if again := res.Report.Least.Again; again != 0 {
		t.Errorf("%.3f minutes of a cut that nobody ordered", again)
	}
	// Two cuts on one pass: as the second is shallower, it might have been done
	// in one of 2 mm, but not in less.
	res, err = Check(strings.NewReader(withTool+"(Pass 1: a)\n"+strings.Replace(cut, "Z0", "Z1", 1)+"G0 Z50\n"+cut+programE), "test.nc", flat())
	if err != nil {
		t.Fatal(err)
	}
	if got := res.Report.Least.Metal; math.Abs(got-want.Metal) > 1e-9 {
		t.Errorf("two cuts where one would do: %.4f minutes, want %.4f", got, want.Metal)
	}
}

// TestRounded: a cutter of radius 3 meets a strip of 0.6 mm 1.8 mm before its
// axis is there (3, 2.4, 1.8: a right-angled triangle), a strip of its radius or
// more a radius before.
func TestRounded(t *testing.T) {
	for _, x := range [][3]float64{{3, 0.6, 1.8}, {3, 3, 3}, {3, 5, 3}, {3, 0, 0}} {
		if got := rounded(x[0], x[1]); math.Abs(got-x[2]) > 1e-12 {
			t.Errorf("rounded(%g, %g) = %g, want %g", x[0], x[1], got, x[2])
		}
	}
}
