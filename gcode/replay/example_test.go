package replay_test

import (
	"fmt"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// A block 20 mm wide has 1 mm to be milled off its top. The program goes along
// it twice with a 12 mm cutter, 0.2 mm too deep.
func ExampleCheck() {
	outline := []geom.Vec{{Y: -10, Z: -20}, {Y: -10, Z: 0}, {Y: 10, Z: 0}, {Y: 10, Z: -20}}
	block := &replay.Section{
		Keep:  []replay.Solid{{Name: "block", Role: replay.Target, Metal: geom.Region{geom.Rect(-10, -20, 10, 0)}, Outline: outline}},
		Waste: geom.Region{geom.Rect(-10, 0, 10, 1)},
		Zones: []replay.Zone{{Name: "top", Surface: outline[1:3], Limit: 0.01}},
	}
	setup := &replay.Setup{
		Stations: []replay.Station{{X: 0, Section: block}, {X: 30, Section: block}},
		Top:      1, Sign: 1, Rapid: 1000, MaxRpm: 4000, MaxFeed: 500,
		Travel: [3][2]float64{{-40, 80}, {-40, 40}, {-40, 60}},
		Tools: map[int]replay.Tool{1: {Number: 1, Name: "end mill", Diameter: 12, Teeth: 4, MaxDepth: 5, Parts: []replay.Part{
			{Name: "flutes", R0: 6, Z1: 25, R1: 6, Cuts: true},
		}}},
	}
	program := `G17 G21 G40 G49 G54 G80 G90 G94
(Touch off the length of T1) T1 M6 M0
S1000 M3
G0 Z30
G0 X-10 Y-5
G1 Z-0.2 F200
X40
Y5
X-10
G0 Z30
M5
M2
`
	result, err := replay.Check(strings.NewReader(program), "top.nc", setup)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range result.Report.Findings {
		fmt.Printf("line %d: %s %.2f mm\n", f.Line, f.Kind, f.Amount)
	}
	// Output:
	// line 7: target cut 0.20 mm
	// line 9: target cut 0.20 mm
}
