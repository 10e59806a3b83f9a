package machine

import (
	"errors"
	"strings"
	"testing"

	"cogmend/gcode"
)

// motions runs a program and returns kind and end of each motion after the
// first, which brings the tool to its start.
func motions(program string) (string, error) {
	var got []string
	err := Run(strings.NewReader(program), "p", func(e *Event) error {
		if e.Kind == EventMotion {
			p := e.Motion.To
			got = append(got, e.Motion.Kind.String()+" "+short(p.X)+" "+short(p.Y)+" "+short(p.Z))
		}
		return nil
	})
	if len(got) > 0 {
		got = got[1:]
	}
	return strings.Join(got, "|"), err
}

// Returns, planes and repeats of cycles, NISTIR 6556, 3.5.16; worked by hand
// from the text of the clauses.
func TestCycles(t *testing.T) {
	for _, c := range []struct{ name, program, want string }{
		{"G98 returns to the old Z", "G17 G21 G98\nF9\nG0 X0 Y0 Z5\nG81 X1 Y0 Z-1 R2",
			"rapid 1 0 5|rapid 1 0 2|feed 1 0 -1|rapid 1 0 5"},
		{"G99 returns to R", "G17 G21 G99\nF9\nG0 X0 Y0 Z5\nG81 X1 Y0 Z-1 R2\nX2",
			"rapid 1 0 5|rapid 1 0 2|feed 1 0 -1|rapid 1 0 2|rapid 2 0 2|feed 2 0 -1|rapid 2 0 2"},
		{"G98 from below R returns to R", "G17 G21 G98\nF9\nG0 X0 Y0 Z1\nG81 X1 Y0 Z-1 R2",
			"rapid 0 0 2|rapid 1 0 2|feed 1 0 -1|rapid 1 0 2"},
		{"L in G90 repeats in place", "G17 G21 G99\nF9\nG0 X0 Y0 Z2\nG81 X1 Y0 Z-1 R2 L2",
			"rapid 1 0 2|feed 1 0 -1|rapid 1 0 2|feed 1 0 -1|rapid 1 0 2"},
		{"along Y in G18", "G18 G21 G99\nF9\nG0 X0 Y5 Z0\nG81 X1 Z3 Y-1 R2",
			"rapid 1 5 3|rapid 1 2 3|feed 1 -1 3|rapid 1 2 3"},
		{"along X in G19", "G19 G21 G99\nF9\nG0 X5 Y0 Z0\nG81 Y1 X-1 R2",
			"rapid 5 1 0|rapid 2 1 0|feed -1 1 0|rapid 2 1 0"},
		{"0.010 in back-off", "G17 G20 G99\nF9\nG0 X0 Y0 Z0.1\nG83 X0 Z-1 R0.1 Q0.6",
			"feed 0 0 -12.7|rapid 0 0 2.54|rapid 0 0 -12.446|feed 0 0 -25.4|rapid 0 0 2.54"},
		{"Q that ends on the bottom", "G17 G21 G99\nF9\nG0 X0 Y0 Z2\nG83 X0 Z-2 R2 Q2",
			"feed 0 0 0|rapid 0 0 2|rapid 0 0 0.254|feed 0 0 -2|rapid 0 0 2"},
		{"no back-off above R", "G17 G21 G99\nF9\nG0 X0 Y0 Z2\nG83 X0 Z1.7 R2 Q0.2",
			"feed 0 0 1.8|rapid 0 0 2|feed 0 0 1.7|rapid 0 0 2"},
		{"with G92", "G17 G21 G99\nF9\nG0 X0 Y0 Z10\nG92 Z2\nG81 X1 Z-1 R2",
			"rapid 1 0 10|feed 1 0 7|rapid 1 0 10"},
		{"motion again after G80", "G17 G21 G99\nF9\nG0 X0 Y0 Z2\nG81 X1 Z-1 R2\nG80\nG0 X5",
			"rapid 1 0 2|feed 1 0 -1|rapid 1 0 2|rapid 5 0 2"},
	} {
		got, err := motions("G90 G94\n" + c.program + "\nM2\n")
		if err != nil || got != c.want {
			t.Errorf("%s: %v\n%s, want\n%s", c.name, err, got, c.want)
		}
	}
}

// What a cycle keeps does not outlive its plane, its distance mode or its
// units: the numbers would mean something else.
func TestCycleWordsForgotten(t *testing.T) {
	const head = "G17 G21 G90 G94 G99\nF9\nG0 X0 Y0 Z2\nG81 X1 Z-1 R2\n"
	for _, line := range []string{"G18", "G91", "G20 F9\nF9"} {
		if _, err := motions(head + line + "\nX2\nM2\n"); err == nil || !strings.Contains(err.Error(), "the first G81 without R") {
			t.Errorf("%s: %v", line, err)
		}
	}
	if _, err := motions(head + "G17 G21 G90\nX2\nM2\n"); err != nil {
		t.Errorf("modes stated again: %v", err)
	}
}

// An error of the caller stops a cycle wherever it is.
func TestCycleStops(t *testing.T) {
	boom := errors.New("boom")
	const program = "G17 G21 G90 G94 G98\nF9\nS100 M3\nG0 X0 Y0 Z1\nG83 X1 Z-3 R2 Q2\nG82 X2 Z-1 R3 P1\nG86 X3 Z-1 R4 P1\nG89 X4 Z-1 R5 P1\nM2\n"
	total := 0
	if err := Run(strings.NewReader(program), "p", func(*Event) error { total++; return nil }); err != nil || total < 30 {
		t.Fatalf("%d events, %v", total, err)
	}
	for stop := 1; stop <= total; stop++ {
		calls := 0
		err := Run(strings.NewReader(program), "p", func(*Event) error {
			if calls++; calls == stop {
				return boom
			}
			return nil
		})
		if !errors.Is(err, boom) || calls != stop {
			t.Errorf("stopped at event %d: %v after %d", stop, err, calls)
		}
	}
}

// End without a reader: what is missing is named.
func TestMachineEnd(t *testing.T) {
	m := New("p")
	for _, c := range []struct {
		block gcode.Block
		want  string
	}{
		{gcode.Block{Line: 1, Percent: true}, "a % line and ends without one"},
		{gcode.Block{Line: 2}, "a % line and ends without one"},
		{gcode.Block{Line: 3, Percent: true}, ""},
	} {
		if err := m.Step(&c.block, nil); err != nil {
			t.Fatal(err)
		}
		err := m.End()
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("after line %d: %v", c.block.Line, err)
		}
	}
}
