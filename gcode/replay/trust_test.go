package replay

import (
	"fmt"
	"strings"
	"testing"

	"cogmend/profiles/geom"
)

// stepped is a straight way along X in many motions.
func stepped(from, to, step float64) string {
	var b strings.Builder
	for x := from + step; x < to; x += step {
		fmt.Fprintf(&b, "G1 X%.4f\n", x)
	}
	fmt.Fprintf(&b, "G1 X%.4f\n", to)
	return b.String()
}

// walled is flat with a rib on it that is to stay: its side is cut by a motion
// along X at Y 5, of a cutter 6 mm wide.
func walled(cut Way) *Setup {
	s := flat()
	s.Top, s.Cut = 4, cut
	rib := Solid{Name: "rib", Role: Target, Metal: geom.Region{geom.Rect(-2, 0, 2, 4)},
		Outline: []geom.Vec{{Y: -2, Z: 0}, {Y: -2, Z: 2}, {Y: -2, Z: 4}, {Y: 2, Z: 4}, {Y: 2, Z: 2}, {Y: 2, Z: 0}}}
	for i := range s.Stations {
		s.Stations[i].Keep = append([]Solid{rib}, s.Stations[i].Keep...)
		s.Stations[i].Zones = nil
		s.Stations[i].Waste = geom.Region{geom.Rect(2, 0, 3, 4)}
	}
	return s
}

// TestPatient: what a patient adversary wrote, each with a finding that says what
// would happen.
func TestPatient(t *testing.T) {
	deep := flat()
	for i := range deep.Stations {
		deep.Stations[i].Waste = geom.Region{geom.Rect(-10, 0, 10, 6)}
	}
	deep.Top = 6
	pecked := flat()
	d := pecked.Tools[4]
	d.MaxPeck = 1
	pecked.Tools[4] = d
	slow := flat()
	e := slow.Tools[1]
	e.MaxDown = 50
	slow.Tools[1] = e
	drilled := strings.Replace(strings.Replace(withTool, "T1", "T4", 2), "of T1", "of T4", 1)
	along := "G0 X-5 Y5\nG1 Z0.5 F100\n"
	const back = "G0 Z50\n"
	for _, tt := range []struct {
		name  string
		setup *Setup
		text  string
		want  string // in a finding; "": clean but for metal left
	}{
		{"a slot too deep", deep, withTool + "G0 X-5 Y0\nG0 Z1\nG1 X35 F100\n" + programE, "5.000 mm deep and 6.000 mm wide"},
		{"in tenths of a millimetre", deep, withTool + "G0 X-5 Y0\nG0 Z1\nG1 X-3.5 F100\n" + stepped(-3.5, 4, 0.1) + programE, "5.000 mm deep"},
		{"in hundredths", deep, withTool + "G0 X-5 Y0\nG0 Z1\nG1 X-3.1 F100\n" + stepped(-3.1, 0, 0.01) + programE, "5.000 mm deep"},
		{"pecked at, back and forth", deep, withTool + "G0 X-5 Y0\nG0 Z1\nG1 X-3 F100\n" +
			strings.Repeat("G91\nG1 X0.05\nG0 X-0.04\nG1 X0.04\nG90\n", 60) + programE, "5.000 mm deep"},
		{"down between steps aside", deep, withTool + "G0 X15 Y0\nG0 Z6.2\nG1 Z6.1 F40\n" +
			strings.Repeat("G91\nG1 Z-0.1\nG1 X0.001\nG90\n", 50) + programE, "straight down into metal"},
		{"fast down, a hair aside", slow, withTool + "G0 X15 Y0\nG0 Z3\nG1 X15.001 Z1 F200\n" + programE, "mm/min down is more than tool 1 bears"},
		{"a drill not drawn out", pecked, drilled + "G0 X15 Y0\nG0 Z3\nG1 Z0.5 F50\n" + programE, "without being drawn out"},
		{"a drill lifted a hair", pecked, drilled + "G0 X15 Y0\nG0 Z3\nG1 Z1.2 F50\nG0 Z1.21\nG1 Z0.5\n" + programE, "without being drawn out"},
		{"a drill drawn out", pecked, drilled + "G0 X15 Y0\nG0 Z3\nG1 Z1.2 F50\nG0 Z3\nG0 Z1.5\nG1 Z0.8\n" + programE, ""},

		{"conventional, as asked", walled(Conventional), withTool + along + "G1 X35\n" + programE, "climb cut where the job asks for a conventional one"},
		{"conventional, not asked", walled(Climb), withTool + along + "G1 X35\n" + programE, ""},
		{"the other way", walled(Conventional), withTool + "G0 X35 Y5\nG1 Z0.5 F100\nG1 X-5\n" + programE, ""},
		{"the other way, climb asked", walled(Climb), withTool + "G0 X35 Y5\nG1 Z0.5 F100\nG1 X-5\n" + programE, "conventional cut where the job asks for a climb cut"},
		{"and back along it", walled(Conventional), withTool + along + "G1 X35\nG1 X-5\n" + programE, ""},
		{"and back, but not all the way", walled(Conventional), withTool + along + "G1 X35\nG1 X10\n" + programE, "as a climb cut"},
		{"any way", walled(AnyCut), withTool + along + "G1 X35\n" + programE, ""},

		{"rapid down to a hair over the metal", flat(), withTool + "G0 X15 Y0\nG0 Z2.01\n" + programE, "goes at rapid nearer than 0.10 mm"},
		{"rapid to a hair before it", flat(), withTool + "G0 X-5 Y0\nG0 Z1\nG0 X-3.01\n" + programE, "goes at rapid nearer than 0.10 mm"},
		{"rapid down beside it", flat(), withTool + "G0 X15 Y13.05\nG0 Z1\n" + programE, "goes at rapid nearer than 0.10 mm"},
		{"rapid well over it", flat(), withTool + "G0 X15 Y0\nG0 Z2.2\nG0 X35\n" + programE, ""},
		{"rapid away from what was cut", flat(), withTool + "G0 X-5 Y0\nG1 Z1 F100\nG1 X33\nG0 X40\n" + programE, ""},

		{"once more, not taken", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\n(the same cut once more: it sprang)\n" + back + programE, "does not take it"},
		{"once more, half of it", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\n(the same cut once more: it sprang)\nG1 X20\n" + programE, "does not take it"},
		{"once more, begun wide of it", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\n(the same cut once more: it sprang)\nG0 Z60\nG0 X-5 Y-8.5\nG0 Z0\nG1 X35 Y-8\n" + programE, "does not take it"},
		{"once more, begun too high", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\n(the same cut once more: it sprang)\nG0 Z60\nG0 X-5\nG0 Z0.5\nG1 X35 Z0\n" + programE, "does not take it"},
		{"once more, beside another comment", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\n(the same cut once more: it sprang) (so)\n" + back + programE, "does not take it"},
		{"once more, taken", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\n(the same cut once more: it sprang)\nG1 X-5\n" + programE, ""},

		{"once more, where nothing was met", flat(), withTool + "G0 X-5 Y-8\nG1 Z0 F100\nG1 X35\nG0 Z60\n(Pass 2: wide of it)\nG0 X-5 Y-40\nG0 Z0\nG1 X35\n(the same cut once more: it sprang)\nG1 X-5\n" + programE, ""},

		{"T alone", flat(), withTool + "T2\nG0 X5\n" + programE, "T2 stands without M6"},
		{"G64", flat(), withTool + "G64\nG0 X5\n" + programE, "round off corners"},
		{"ends in G64", flat(), withTool + "G0 Z60\nG64\nM5\nM2\n", "G64 is left in force"},
		{"ends in inch", flat(), withTool + "G0 Z60\nM5\nG20\nM2\n", "G20 is left in force"},
		{"ends in G91", flat(), withTool + "G0 Z60\nM5\nG91\nM2\n", "G91 is left in force"},
		{"ends in G93", flat(), withTool + "G0 Z60\nM5\nG93\nM2\n", "G93 is left in force"},
		{"ends shifted", flat(), withTool + "G0 X0 Y0\nM5\nG92 X1\nM2\n", "G92 is left in force"},
		{"ends without overrides", flat(), withTool + "G0 Z60\nM5\nM49\nM2\n", "M49 is left in force"},
		{"ends with a length", flat(), withTool + "G0 Z60\nM5\nG43 H1\nM2\n", "G43 is left in force"},
		{"ends turning", flat(), withTool + "G0 Z60\nM2\n", "ends while the spindle turns"},
		{"ends by percent, turning", flat(), "%\n" + withTool + "G0 Z60\n%\n", "ends while the spindle turns"},
	} {
		res, err := Check(strings.NewReader(tt.text), "test.nc", tt.setup)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		var found []string
		for _, f := range res.Report.Findings {
			if tt.want == "" && f.Kind == MetalLeft && f.Where != "again" {
				continue
			}
			found = append(found, f.Text)
		}
		text := strings.Join(found, "\n")
		if tt.want == "" && text != "" || !strings.Contains(text, tt.want) {
			t.Errorf("%s: found %q, want %q", tt.name, text, tt.want)
		}
	}
}
