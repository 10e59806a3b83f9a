package machine_test

import (
	"fmt"
	"strings"

	"cogmend/gcode/machine"
)

// A slot is fed along X at 120 mm/min: 60 mm take half a minute.
func ExampleSummarise() {
	program := "G21 G90 G94\nG0 X-10 Y0 Z5\nG1 Z-2 F120\nX50\nG0 Z5\nM2\n"
	s, err := machine.Summarise(strings.NewReader(program), "slot.nc", 0, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("X %g to %g, lowest Z %g mm\n", s.Min.X, s.Max.X, s.Min.Z)
	fmt.Printf("%g mm at the feed in %.3f min\n", s.Cut, s.Minutes)
	// Output:
	// X -10 to 50, lowest Z -2 mm
	// 67 mm at the feed in 0.558 min
}

// A word holds until another takes its place: the last block is a feed along X
// in inches, handed on in millimetres.
func ExampleRun() {
	program := "G20 G90 G94\nG0 X0 Y0 Z0\nG1 F10 X1\nX2\nM2\n"
	err := machine.Run(strings.NewReader(program), "p.nc", func(e *machine.Event) error {
		if m := e.Motion; e.Kind == machine.EventMotion && m.Kind == machine.Feed {
			fmt.Printf("line %d: X %g to %g mm at %g mm/min\n", e.Line, m.From.X, m.To.X, m.Feed)
		}
		return nil
	})
	fmt.Println(err)
	// Output:
	// line 3: X 0 to 25.4 mm at 254 mm/min
	// line 4: X 25.4 to 50.8 mm at 254 mm/min
	// <nil>
}
