package replay

import (
	"strings"
	"testing"
)

// TestBounded: programs that ask for more work than is done are stopped at their
// line, however the work is packed: their count of it goes little beyond the bound.
func TestBounded(t *testing.T) {
	defer func(was int) { mostWork = was }(mostWork)
	mostWork = 3_000_000
	for _, tt := range []struct{ name, text string }{
		{"one great circle", "G0 X15 Y0\nG18\nG2 X15 I-500000 K0 F100\nG17\n"},
		{"thousands of arcs", "G0 X15 Y0\nG1 Z1 F100\n" + strings.Repeat("G2 X15 Y0 I5 J3\n", 5000)},
		{"steps of a hundredth", "G0 X-5 Y0\nG1 Z1 F100\n" + stepped(-5, 35, 0.01)},
		{"pecks without end", "G98\nF50\nG0 Z3\nG83 X15 Y0 Z-0.5 R2.5 Q0.001\nG80\n"},
	} {
		setup := flat()
		r := newRunner("test.nc", setup)
		text := strings.NewReader(withTool + tt.text + programE)
		first := newRunner("test.nc", setup)
		first.places = &places{at: map[int64]struct{}{}, lo: setup.Stations[0].X, hi: setup.Stations[3].X}
		if err := first.control.Run(text, first.event); err != nil {
			t.Errorf("%s, read for the first time: %v", tt.name, err)
			continue
		}
		r.work = first.work
		r.look(first.places)
		if _, err := text.Seek(0, 0); err != nil {
			t.Fatal(err)
		}
		err := r.control.Run(text, r.event)
		if err == nil || !strings.Contains(err.Error(), "its check would not end in a few seconds") || !strings.HasPrefix(err.Error(), "test.nc:") {
			t.Errorf("%s: %v", tt.name, err)
		}
		if r.work > 2*mostWork {
			t.Errorf("%s: %d looks, where %d are the most", tt.name, r.work, mostWork)
		}
	}
}
