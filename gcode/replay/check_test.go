package replay

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"cogmend/profiles/geom"
)

// endMill is a plain cutter.
func endMill(number int, diameter, flutes float64) Tool {
	r := diameter / 2
	return Tool{Number: number, Name: "end mill", Diameter: diameter, Teeth: 4, MaxDepth: 3, MaxRpm: 4000, MaxFeed: 400, MaxChip: 0.1, Parts: []Part{
		{Name: "flutes", R0: r, Z1: flutes, R1: r, Cuts: true},
		{Name: "shank", Z0: flutes, R0: r, Z1: 30, R1: r},
		{Name: "holder", Z0: 30, R0: 12, Z1: 70, R1: 12},
	}}
}

// dovetailCutter is widest at its tip.
func dovetailCutter(number int, diameter, height, angle float64) Tool {
	r := diameter / 2
	top := r - height*math.Tan(angle)
	return Tool{Number: number, Name: "dovetail cutter", Diameter: diameter, Teeth: 1, NoPlunge: true, Parts: []Part{
		{Name: "flutes", R0: r, Z1: height, R1: top, Cuts: true},
		{Name: "neck", Z0: height, R0: top, Z1: 40, R1: top},
	}}
}

// drill has a cone for its tip.
func drill(number int, diameter, point float64) Tool {
	r := diameter / 2
	tip := r / math.Tan(point/2)
	return Tool{Number: number, Name: "drill", Diameter: diameter, Teeth: 2, OnlyDown: true, Parts: []Part{
		{Name: "flutes", Z1: tip, R1: r, Cuts: true},
		{Name: "flutes", Z0: tip, R0: r, Z1: 40, R1: r, Cuts: true},
	}}
}

// flat is a block 30 long, 20 wide, 20 high with 2 mm to be milled off its
// top, which lies at Z0 when finished.
func flat() *Setup {
	block := geom.Region{geom.Rect(-10, -20, 10, 0)}
	outline := []geom.Vec{{Y: -10, Z: -20}, {Y: -10, Z: 0}, {Y: 10, Z: 0}, {Y: 10, Z: -20}}
	s := &Setup{
		Top: 2, Sign: 1, MinRpm: 100, MaxRpm: 5000, MaxFeed: 600, Rapid: 1000, ToolChange: 60,
		Travel: [3][2]float64{{-50, 80}, {-50, 50}, {-30, 120}},
		Tools:  map[int]Tool{},
	}
	for _, t := range []Tool{endMill(1, 6, 15), endMill(2, 6, 1.5), dovetailCutter(3, 6, 5, geom.Radians(10)), drill(4, 4, geom.Radians(118))} {
		s.Tools[t.Number] = t
	}
	keep := []Solid{{Name: "block", Role: Target, Metal: block, Outline: outline}}
	zones := []Zone{{Name: "top", Surface: outline[1:3], Limit: 0.003}}
	for _, x := range []float64{0.0025, 10, 20, 29.9975} {
		s.Stations = append(s.Stations, Station{X: x, Section: &Section{Keep: keep, Zones: zones, Waste: geom.Region{geom.Rect(-10, 0, 10, 2)}}})
	}
	return s
}

// wheel is a set-up that turns: a bar 4 wide from radius 20 to 38 to be left,
// 2 mm of waste over it, a neighbour beside.
func wheel() *Setup {
	s := flat()
	s.Top, s.Turns = 40, true
	keep := []Solid{
		{Name: "bar", Role: Target, Metal: geom.Region{geom.Rect(-2, 20, 2, 38)}, Outline: []geom.Vec{{Y: -2, Z: 20}, {Y: -2, Z: 38}, {Y: 2, Z: 38}, {Y: 2, Z: 20}}},
		{Name: "tooth", Role: Neighbour, Metal: geom.Region{geom.Rect(10, 20, 14, 38)}, Outline: []geom.Vec{{Y: 10, Z: 20}, {Y: 10, Z: 38}, {Y: 14, Z: 38}, {Y: 14, Z: 20}}},
	}
	for i := range s.Stations {
		s.Stations[i].Keep, s.Stations[i].Zones = keep, nil
		s.Stations[i].Waste = geom.Region{geom.Rect(-2, 38, 2, 40)}
	}
	return s
}

const (
	safeStart = "G17 G21 G40 G49 G54 G80 G90 G94\n" // line 1
	loadTool  = "(Touch off the length of T1) T1 M6 M0\n"
	withTool  = safeStart + loadTool + "S1000 M3\nG0 Z50\n"
	programE  = "G0 Z50\nM5\nM2\n"
)

// level mills the whole top with a 6 mm cutter; from line 5.
const level = "G0 X-5 Y-8\nG1 Z0 F100\nX35\nY-4\nX-5\nY0\nX35\nY4\nX-5\nY8\nX35\n"

// sunk goes down into the waste in steps of five hundredths, n of them.
func sunk(n int) string {
	var b strings.Builder
	for k := range n {
		fmt.Fprintf(&b, "G1 Z%.2f F50\n", 2-0.05*float64(k+1))
	}
	return b.String()
}

// TestFindings: programs of a few blocks with known answers.
func TestFindings(t *testing.T) {
	boxed := flat()
	boxed.KeepOuts = []KeepOut{{Name: "jaw", X: [2]float64{40, 60}, Y: [2]float64{-5, 5}, Z: [2]float64{-40, 5}}}
	hand := wheel()
	hand.ByHand = true
	steps := flat()
	steps.Steps = 2
	shallow := flat()
	little := shallow.Tools[1]
	little.MaxDepth = 1
	shallow.Tools[1] = little
	cranked := wheel()
	cranked.ByHand, cranked.CrankRatio, cranked.Pitch = true, 40, geom.Radians(15)
	reversed := wheel()
	reversed.Sign = -1
	three := flat()
	three.Steps = 3
	keeps := flat()
	keeps.LengthComp = true
	narrow := flat()
	narrow.Travel[1] = [2]float64{-10, 10}
	slow := flat()
	t1 := slow.Tools[1]
	t1.MaxDown = 50
	slow.Tools[1] = t1
	slowly := flat()
	slowly.HandSpeed = true
	ends := flat()
	ends.Stations = []Station{ends.Stations[0], ends.Stations[3]}
	far := wheel()
	far.Stations = []Station{far.Stations[0], far.Stations[3]}
	byHand := func(tool, then string) string {
		return "G0 Z50\n(Put in " + tool + " end mill)\nM5\nM0\nS1000 M3\n" + then
	}
	const circle, halves = "G2 X21 Y0 I6 J0 F100\n", "G2 X33 Y0 I6 J0 F100\nG2 X21 Y0 I-6 J0\n"
	tests := []struct {
		name   string
		setup  *Setup
		text   string
		kind   Kind // "": clean
		line   int
		amount float64
	}{
		{"clean", flat(), withTool + level + programE, "", 0, 0},
		{"gouge 0.1", flat(), withTool + level + "Z-0.1\nX-5\n" + programE, CutTarget, 17, 0.1},
		{"gouge 0.1 along", flat(), withTool + strings.Replace(level, "Y0\nX35", "Y0\nX35 Z-0.1", 1) + programE, CutTarget, 11, 0.1 * 37.9975 / 40},
		{"gouge within rounding", flat(), withTool + strings.ReplaceAll(level, "Z0", "Z-0.0015") + programE, "", 0, 0},
		{"gouge over rounding", flat(), withTool + strings.ReplaceAll(level, "Z0", "Z-0.0025") + programE, CutTarget, 7, 0.0025},
		{"gouge between stations", flat(), withTool + level + "G0 Z10\nX15 Y0\nG1 Z-1.5\nG0 Z10\n" + programE, CutTarget, 18, 1.5},
		{"rapid between stations", flat(), withTool + level + "G0 Z10\nX15 Y0\nZ-1.5\nZ10\n" + programE, RapidInMetal, 18, 0},
		{"into a neighbour", wheel(), withTool + "G0 X-5 Y6.9\nG0 Z30\nG1 X35 Y7.1 F100\nG0 Z50\n" + programE, CutNeighbour, 7, 0.2*34.9975/40 + 3*math.Sqrt(1+0.005*0.005) - 3.1},
		{"right through a neighbour", wheel(), withTool + "G0 X-5 Y-30\nG0 Z30\n" + "G0 Y20\nG1 X35 Y12 F100\nG0 Z50\n" + programE, CutNeighbour, 8, 0},
		{"feed between stations", flat(), withTool + "G0 X15 Y0\nS500\nG1 Z1 F401\nG0 Z50\n" + level + programE, NoFeed, 7, 0},
		{"plunge between stations", flat(), strings.ReplaceAll(withTool, "T1", "T3") + "G0 X15 Y0\nG1 Z1 F50\n" + programE, TooDeep, 6, 49},
		{"plunge between stations, in air", flat(), strings.ReplaceAll(withTool, "T1", "T3") + "G0 X15 Y0\nG1 Z2.1 F50\nG0 Z50\nM5\n" + loadTool + "S1000 M3\nG0 Z50\n" + level + programE, "", 0, 0},
		{"rapid through metal", flat(), withTool + "G0 X-5 Y0\nG0 Z1\nG0 X35\nG0 Z50\n" + strings.Replace(level, "G0", "G0 Z50\nG0", 1) + programE, RapidInMetal, 7, 0},
		{"rapid down into metal", flat(), withTool + level + "G0 Z50\nX15 Y0\nZ-3\nZ50\n" + programE, RapidInMetal, 18, 0},
		{"shank", flat(), strings.ReplaceAll(withTool, "T1", "T2") + level + programE, NotFlutes, 7, 0},
		{"out of travel", flat(), withTool + level + "G0 Z50\nX80.02\n" + programE, OutOfTravel, 17, 0.02},
		{"within travel", flat(), withTool + level + "G0 Z50\nX80.005\n" + programE, "", 0, 0},
		{"keep-out", boxed, withTool + level + "Y0\nX38\n" + programE, InKeepOut, 17, 1},
		{"beside the keep-out", boxed, withTool + level + "G0 Y8.1\nX70\n" + programE, "", 0, 0},
		{"through the keep-out", boxed, withTool + level + "G0 Z50\nX35 Y20\nZ4\nX70 Y-20\n" + programE, InKeepOut, 19, 3},
		{"holder in the keep-out", boxed, withTool + level + "G0 X35 Y0\nX38 Z-30\n" + programE, InKeepOut, 17, 0},
		{"spindle never started", flat(), strings.Replace(withTool, " M3", "", 1) + level + programE, NoSpeed, 6, 0},
		{"spindle backwards", flat(), strings.Replace(withTool, "M3", "M4", 1) + level + programE, NoSpeed, 6, 0},
		{"no speed", flat(), strings.Replace(withTool, "S1000 ", "", 1) + level + programE, NoSpeed, 6, 0},
		{"speed over the machine's", flat(), strings.Replace(withTool, "S1000", "S5001", 1) + level + programE, NoSpeed, 6, 0},
		{"speed under the machine's", flat(), strings.Replace(withTool, "S1000", "S99", 1) + level + programE, NoSpeed, 6, 0},
		{"speed over the cutter's", flat(), strings.Replace(withTool, "S1000", "S4100", 1) + level + programE, NoSpeed, 7, 0},
		{"feed over the machine's", flat(), withTool + strings.Replace(level, "F100", "F700", 1) + programE, NoFeed, 6, 0},
		{"feed over the cutter's", flat(), strings.Replace(withTool, "S1000", "S2000", 1) + strings.Replace(level, "F100", "F450", 1) + programE, NoFeed, 7, 0},
		{"chip too thick", flat(), strings.Replace(withTool, "S1000", "S200", 1) + level + programE, NoFeed, 7, 0},
		{"too deep", deep(), withTool + level + programE, TooDeep, 7, 3.5},
		{"plunge with a dovetail cutter", flat(), strings.ReplaceAll(withTool, "T1", "T3") + "G0 X10 Y0\nG1 Z1 F50\n" + programE, TooDeep, 6, 49},
		{"a tool not in the job", flat(), strings.ReplaceAll(withTool, "T1", "T9") + level + programE, WrongTool, 4, 0},
		{"no tool", flat(), strings.Replace(withTool, loadTool, "", 1) + level + programE, WrongTool, 3, 0},
		{"X and Y before Z", flat(), safeStart + loadTool + "S1000 M3\nG0 X-5 Y-8\nZ50\n" + level + programE, Unplaced, 4, 0},
		{"first Z too low", flat(), safeStart + loadTool + "S1000 M3\nG0 Z1.5\n" + level + programE, Unplaced, 4, 0.5},
		{"first move at feed", flat(), safeStart + loadTool + "S1000 M3\nG1 Z50 F100\n" + level + programE, Unplaced, 4, 0},
		{"another coordinate system", flat(), strings.Replace(withTool, "G54", "G55", 1) + level + programE, Unplaced, 4, 0},
		{"no coordinate system", flat(), strings.Replace(withTool, "G54 ", "", 1) + level + programE, Unplaced, 4, 0},
		{"a pass left out", flat(), withTool + strings.Replace(level, "Y0\nX35\nY4\nX-5\n", "X35\n", 1) + programE, MetalLeft, 0, 0},
		{"A where nothing turns", flat(), withTool + "G0 A1\n" + level + programE, TurnedLow, 5, 0},
		{"A low", wheel(), withTool + "G0 X-5 Y-20\nZ39\nA10\n" + programE, TurnedLow, 7, 1},
		{"A with X", wheel(), withTool + "G0 X-5 Y-20\nX-6 A10\n" + programE, TurnedLow, 6, 0},
		{"A at feed", wheel(), withTool + "G0 X-5 Y-20\nG1 A10 F100\n" + programE, TurnedLow, 6, 0},
		{"A by hand", hand, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nA10\n" + programE, TurnedLow, 7, 0},
		{"angle never told", hand, withTool + "G0 X-5 Y-20\n" + programE, "", 0, 0},
		{"angle told too late", hand, withTool + "G0 X-5 Y-20\nG0 Z30\n" + programE, Unplaced, 6, 0},
		{"turned by hand, no stop", hand, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ50\n(GEAR AT 10.0000 DEG)\nG0 Z45\n" + programE, NoStop, 9, 0},
		{"turned by hand, optional stop", hand, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ50\n(GEAR AT 10.0000 DEG)\nM1\nG0 Z45\n" + programE, NoStop, 10, 0},
		{"turned by hand, low", hand, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ39\n(GEAR AT 10.0000 DEG)\nM5\nM0\nG0 Z45\n" + programE, TurnedLow, 10, 1},
		{"turned by hand", hand, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ41\n(GEAR AT 10.0000 DEG)\nM5\nM0\nG0 Z45\n" + programE, "", 0, 0},
		{"tool by hand", flat(), safeStart + "(Put in T1 end mill)\nM0\nS1000 M3\nG0 Z50\n" + level + programE, "", 0, 0},
		{"tool by hand, wrong one", flat(), safeStart + "(Put in T2 end mill)\nM0\nS1000 M3\nG0 Z50\n" + level + programE, NotFlutes, 8, 0},
		{"second tool by hand, no stop", flat(), safeStart + "(Put in T1 end mill)\nM0\nS1000 M3\nG0 Z50\n" + level + "G0 Z50\n(Put in T2 end mill)\nG0 X0\n" + programE, NoStop, 19, 0},
		{"tool by hand, X and Y before Z", flat(), withTool + level + byHand("T1", "G0 X-5 Y-8\nZ50\n") + programE, Unplaced, 21, 0},
		{"tool by hand after tool words", flat(), withTool + level + byHand("T1", "G0 Z50\nX-5 Y-8\nG1 Z0 F100\nX35\n") + programE, "", 0, 0},
		{"tool by hand after tool words, wrong one", flat(), withTool + byHand("T2", "G0 Z50\n") + level + programE, NotFlutes, 13, 0},
		{"tool words after a tool by hand", flat(), withTool + byHand("T2", "G0 Z50\n") + "M5\n" + loadTool + "S1000 M3\nG0 Z50\n" + level + programE, "", 0, 0},
		{"tool words after a tool by hand, X and Y before Z", flat(), withTool + byHand("T2", "G0 Z50\n") + loadTool + "S1000 M3\nG0 X0 Y0\nZ50\n" + level + programE, Unplaced, 13, 0},
		{"no touch-off", flat(), strings.Replace(withTool, "(Touch off the length of T1) T1 M6 M0", "T1 M6", 1) + level + programE, NoStop, 4, 0},
		{"touch-off without its stop", flat(), strings.Replace(withTool, " M0", "", 1) + level + programE, NoStop, 4, 0},
		{"touch-off of another tool", flat(), strings.Replace(withTool, "T1)", "T2)", 1) + level + programE, NoStop, 4, 0},
		{"touch-off before the change", flat(), strings.Replace(withTool, loadTool, "(Touch off the length of T1) M0\nT1 M6\n", 1) + level + programE, NoStop, 5, 0},
		{"touch-off again, X and Y before Z", flat(), withTool + level + "G0 Z50\nM5\n(Touch off the length of T1) M0\nS1000 M3\nG0 X0 Y0\nZ50\n" + programE, Unplaced, 20, 0},
		{"touched off, and an offset", flat(), strings.Replace(withTool, "G0 Z50", "G43 H1 G0 Z50", 1) + level + programE, WrongTool, 4, 0},
		{"length offset", keeps, safeStart + "T1 M6\nS1000 M3\nG43 H1\nG0 Z50\n" + level + programE, "", 0, 0},
		{"no length offset", keeps, safeStart + "T1 M6\nS1000 M3\nG0 Z50\n" + level + programE, WrongTool, 4, 0},
		{"length offset of another tool", keeps, safeStart + "T1 M6\nS1000 M3\nG43 H2\nG0 Z50\n" + level + programE, WrongTool, 5, 0},
		{"length offset before the change", keeps, safeStart + "G43 H1\nT1 M6\nS1000 M3\nG0 Z50\n" + level + programE, WrongTool, 5, 0},
		{"no length offset the second time", keeps, safeStart + "T1 M6\nS1000 M3\nG43 H1\nG0 Z50\n" + level + "G0 Z50\nT1 M6\nS1000 M3\nG0 Z60\n" + programE, WrongTool, 20, 0},
		{"tool by hand, no length offset", keeps, safeStart + "(Put in T1 end mill)\nM0\nS1000 M3\nG0 Z50\n" + level + programE, WrongTool, 5, 0},
		{"tool by hand, length offset", keeps, safeStart + "(Put in T1 end mill)\nM0\nS1000 M3\nG43 H1\nG0 Z50\n" + level + programE, "", 0, 0},
		{"circle too deep", deep(), withTool + "G0 X21 Y0\nG1 Z0 F100\n" + circle + "G0 Z50\n" + programE, TooDeep, 7, 3.5},
		{"half circles too deep", deep(), withTool + "G0 X21 Y0\nG1 Z0 F100\n" + halves + "G0 Z50\n" + programE, TooDeep, 7, 3.5},
		{"circle into the part", flat(), withTool + "G0 X21 Y0\nG1 Z-1 F100\n" + circle + "G0 Z50\n" + programE, CutTarget, 7, 1},
		{"helix is not straight down", slow, withTool + "G0 X21 Y0\nZ3\n" + strings.Replace(circle, "Y0", "Y0 Z1", 1) + "G1 Z3\nG0 Z50\n" + level + programE, "", 0, 0},
		{"straight down", slow, withTool + "G0 X21 Y0\nZ3\nG1 Z1 F100\nG0 Z50\n" + level + programE, NoFeed, 7, 0},
		{"upright circle with a dovetail cutter", flat(), strings.ReplaceAll(withTool, "T1", "T3") + "G0 X10 Y0\nZ3\nG18 G2 X10 Z3 I0 K-1 F50\nG0 Z50\n" + programE, TooDeep, 7, 0},
		{"circle out of travel", narrow, withTool + level + "G0 Z50\nX25 Y0\nG2 X25 Y0 I20 J0 F100\n" + programE, OutOfTravel, 18, 0},
		{"half circle out of travel", narrow, withTool + level + "G0 Z50\nX25 Y0\nG2 X49 Y0 I12 J0 F100\n" + programE, OutOfTravel, 18, 0},
		{"half circle within travel", narrow, withTool + level + "G0 Z50\nX25 Y0\nG2 X45 Y0 I10 J0 F100\n" + programE, "", 0, 0},
		{"down a slope between stations", ends, withTool + level + "G0 Z10\nX8 Y0\nG1 Z0.8\nX22 Z-0.8\nG0 Z10\n" + programE, CutTarget, 19, 0.8},
		{"up a slope between stations", ends, withTool + level + "G0 Z10\nX8 Y0\nG1 Z-0.8\nX22 Z0\nG0 Z10\n" + programE, CutTarget, 19, 0.8},
		{"slopes that meet between stations", flat(), withTool + level + "G0 Z10\nX8 Y0\nG1 Z0\nX15 Z-0.7\nX22 Z0\nG0 Z10\n" + programE, CutTarget, 19, 0.7},
		{"rapid down a slope between stations", ends, withTool + level + "G0 Z10\nX8 Y0\nZ0.8\nX22 Z-0.8\nZ10\n" + programE, RapidInMetal, 19, 0},
		{"slope within the waste", ends, withTool + "G0 X8 Y0\nG1 Z2 F100\nX22 Z0\nZ3\nG0 Z50\n" + level + programE, "", 0, 0},
		{"across a neighbour between stations", far, withTool + "G0 X5 Y30\nZ36\nG1 X25 Y8 F100\nG0 Z50\n" + programE, CutNeighbour, 7, 2},
		{"across a neighbour and two stations", far, withTool + "G0 X-5 Y30\nZ36\nG1 X35 Y3 F100\nG0 Z50\n" + programE, CutNeighbour, 7, 2},
		{"across, over a neighbour", far, withTool + "G0 X-5 Y30\nZ38\nG1 X35 Y3 F100\nG0 Z50\n" + programE, "", 0, 0},
		{"places or steps not stated", flat(), strings.Replace(withTool, "G90 ", "", 1) + level + programE, Unplaced, 4, 0},
		{"kind of feed not stated", flat(), strings.Replace(withTool, " G94", "", 1) + level + programE, Unplaced, 4, 0},
		{"cutter's radius not cancelled", flat(), strings.Replace(withTool, "G40 ", "", 1) + level + programE, Unplaced, 4, 0},
		{"length not cancelled", flat(), strings.Replace(withTool, "G49 ", "", 1) + level + programE, Unplaced, 4, 0},
		{"plane not stated", flat(), strings.Replace(withTool, "G17 ", "", 1) + level + programE, Unplaced, 4, 0},
		{"tool changed with the spindle turning", flat(), withTool + "T1 M6 (Touch off the length of T1) M0\nS1000 M3\nG0 Z50\n" + level + programE, NoSpeed, 5, 0},
		{"touched off with the gear turned", wheel(), withTool + "G0 A-15\nM5\n" + loadTool + "S1000 M3\nG0 Z50\nX-5 Y-12\nG1 Z34 F100\nX35\nG0 Z50\n" + programE, Unplaced, 7, 0},
		{"speed by hand", slowly, strings.Replace(withTool, "S1000", "(Set the spindle to 1000 rev/min, clockwise, and start it) M0\nS1000", 1) + level + programE, "", 0, 0},
		{"speed by hand, not told", slowly, withTool + level + programE, NoSpeed, 7, 0},
		{"speed by hand, no stop", slowly, strings.Replace(withTool, "S1000", "(Set the spindle to 1000 rev/min, clockwise, and start it)\nS1000", 1) + level + programE, NoSpeed, 8, 0},
		{"speed by hand, another", slowly, strings.Replace(withTool, "S1000", "(Set the spindle to 5000 rev/min, clockwise, and start it) M0\nS1000", 1) + level + programE, NoSpeed, 8, 0},
		{"speed by hand, not again after M5", slowly, strings.Replace(withTool, "S1000", "(Set the spindle to 1000 rev/min, clockwise, and start it) M0\nS1000", 1) + "M5\nM3\n" + level + programE, NoSpeed, 10, 0},
		{"steps", steps, withTool + level + "G0 Z50\nX60\n(Step 1. Try it.)\nM5\nM0\n(Step 2. Try it.)\nM0\n" + programE, "", 0, 0},
		{"a step tried under the cutter", steps, withTool + level + "G0 Z50\nX15\n(Step 1. Try it.)\nM5\nM0\n(Step 2. Try it.)\nM0\n" + programE, StopLow, 20, 0},
		{"a stop in the cut", flat(), withTool + strings.Replace(level, "Y0\n", "M5\nM0\nS1000 M3\nY0\n", 1) + programE, StopLow, 11, 2},
		{"an end in the cut", flat(), withTool + level + "M5\nM2\n", StopLow, 17, 2},
		{"sunk in small steps", shallow, withTool + "G0 X15 Y0\nZ2\n" + sunk(40) + "G0 Z50\n" + level + programE, TooDeep, 27, 1.05},
		{"a drill fed sideways", flat(), strings.ReplaceAll(withTool, "T1", "T4") + "G0 X-5 Y0\nZ1\nG1 X35 F50\n" + programE, TooDeep, 7, 0},
		{"G92 left in force", flat(), withTool + level + "G0 Z50\nG92 X0\n" + programE, Unplaced, 20, 0},
		{"M49 left in force", flat(), withTool + level + "M49\n" + programE, Unplaced, 19, 0},
		{"by words to another angle", cranked, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ50\nM5\n(turn the crank 1 turn and 2 holes on the 18 circle, the gear's top toward +Y, to 10.0000 deg.)\n(GEAR AT 9.0000 DEG)\nM0\nS1000 M3\nG0 Z50\n" + programE, Unplaced, 11, 0},
		{"by words", cranked, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ50\nM5\n(turn the crank 1 turn and 2 holes on the 18 circle, the gear's top toward +Y,)\n(to 10.0000 deg.)\n(GEAR AT 10.0000 DEG)\nM0\nS1000 M3\nG0 Z50\n" + programE, "", 0, 0},
		{"turned, and no word of how", cranked, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\nZ50\nM5\n(GEAR AT 10.0000 DEG)\nM0\nS1000 M3\nG0 Z50\n" + programE, Unplaced, 10, 0},
		{"a step without stop", steps, withTool + level + "(Step 1. Try it.)\nG0 Z50\n(Step 2. Try it.)\nM0\n" + programE, NoStop, 17, 0},
		{"a step missing", steps, withTool + level + "(Step 1. Try it.)\nM0\nG0 Z50\n" + programE, NoStop, 0, 0},
		{"one step left out, another twice", three, withTool + level + "(Step 1. Try it.)\nM5\nM0\n(Step 3. Try it.)\nM0\n(Step 3. Try it.)\nM0\n" + programE, WrongStep, 20, 0},
		{"the last step twice", steps, withTool + level + "(Step 1. Try it.)\nM5\nM0\n(Step 2. Try it.)\nM0\n(Step 2. Try it.)\nM0\n" + programE, WrongStep, 22, 0},
		{"steps in the wrong order", steps, withTool + level + "(Step 2. Try it.)\nM5\nM0\n(Step 1. Try it.)\nM0\n" + programE, WrongStep, 18, 0},
		{"a step too many", steps, withTool + level + "(Step 1. Try it.)\nM5\nM0\n(Step 2. Try it.)\nM0\n(Step 3. Try it.)\nM0\n" + programE, WrongStep, 22, 0},
		{"wired the other way", reversed, withTool + "G0 A-15\nX-5 Y-12\nG1 Z34 F100\nX35\nG0 Z50\n" + programE, "", 0, 0},
		{"wired as the standard says", wheel(), withTool + "G0 A-15\nX-5 Y-12\nG1 Z34 F100\nX35\nG0 Z50\n" + programE, CutTarget, 8, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			res, err := Check(strings.NewReader(tt.text), "test.nc", tt.setup)
			if err != nil {
				t.Fatal(err)
			}
			found := res.Report.Findings
			if tt.kind == "" {
				if len(found) > 0 {
					t.Fatalf("not clean: %+v", found)
				}
				return
			}
			for _, f := range found {
				if f.Kind == tt.kind && f.Line == tt.line && (tt.amount == 0 || math.Abs(f.Amount-tt.amount) < 1e-6) {
					if len(strings.Fields(f.Text)) < 5 {
						t.Errorf("%q is no sentence", f.Text)
					}
					return
				}
			}
			t.Errorf("want %s at line %d of %.4f mm, got %+v", tt.kind, tt.line, tt.amount, found)
		})
	}
}

// TestAllOfOneLine: what is wrong with one line in several ways is told in as
// many findings.
func TestAllOfOneLine(t *testing.T) {
	hand := wheel()
	hand.ByHand = true
	for _, tt := range []struct {
		name  string
		setup *Setup
		text  string
		line  int
		kind  Kind
		where []string
	}{
		{"stops missing", hand, withTool + "(GEAR AT 0.0000 DEG)\nG0 X-5 Y-20\n(GEAR AT 10.0000 DEG)\n(Put in T2 end mill)\n(Step 1. Try it.)\nX-6\n", 10, NoStop, []string{"angle", "tool", "step"}},
		{"zero and angle not told", hand, strings.Replace(withTool, "G54 ", "", 1) + "X-5 Y-20\nX-6\n", 6, Unplaced, []string{"angle"}},
		{"zero and height not told", flat(), strings.Replace(strings.Replace(withTool, "G54 ", "", 1), "Z50", "X0 Y0", 1), 4, Unplaced, []string{"zero", "Z"}},
		{"A with X at feed, low", wheel(), withTool + "G0 X-5 Y-20\nZ39\nG1 X-6 A10 F100\n", 7, TurnedLow, []string{"A", ""}},
		{"feed over the machine's and the cutter's", flat(), withTool + "G0 X-5 Y0\nZ0\nG1 X35 F700\n", 7, NoFeed, []string{"machine", ""}},
	} {
		res, err := Check(strings.NewReader(tt.text+programE), "test.nc", tt.setup)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range res.Report.Findings {
			if f.Line == tt.line && f.Kind == tt.kind {
				got = append(got, f.Where)
			}
		}
		if !slices.Equal(got, tt.where) {
			t.Errorf("%s: findings of %q at line %d, want %q: %+v", tt.name, got, tt.line, tt.where, res.Report.Findings)
		}
	}
}

// deep is flat with 3.5 mm to be taken off, more than the cutter bears.
func deep() *Setup {
	s := flat()
	s.Top = 3.5
	for i := range s.Stations {
		s.Stations[i].Waste = geom.Region{geom.Rect(-10, 0, 10, 3.5)}
	}
	return s
}

// TestWhatIsLeft: leftovers are measured from the surface, and a slot that
// was never cut counts though all its corners lie on the surface.
func TestWhatIsLeft(t *testing.T) {
	amount := func(s *Setup, text string) float64 {
		t.Helper()
		res, err := Check(strings.NewReader(text), "test.nc", s)
		if err != nil {
			t.Fatal(err)
		}
		return res.Report.Left[0].Amount
	}
	near := func(name string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: %.6f mm left, want %.6f", name, got, want)
		}
	}
	near("nothing cut", amount(flat(), withTool+programE), 2)
	near("all cut", amount(flat(), withTool+level+programE), 0)
	near("0.3 too high", amount(flat(), withTool+strings.Replace(level, "Z0", "Z0.3", 1)+programE), 0.3)
	near("one strip", amount(flat(), withTool+strings.Replace(level, "Y4\nX-5\nY8\nX35\n", "", 1)+programE), 2)

	slot := flat()
	surface := []geom.Vec{{Y: -3, Z: 0}, {Y: -4, Z: -5}, {Y: 4, Z: -5}, {Y: 3, Z: 0}}
	for i := range slot.Stations {
		slot.Stations[i].Keep = nil
		slot.Stations[i].Waste = geom.Region{geom.NewConvex(surface[1], surface[2], surface[3], surface[0])}
		slot.Stations[i].Zones = []Zone{{Name: "slot", Surface: surface, Limit: 0.003}}
	}
	if got := amount(slot, withTool+programE); got < 2 {
		t.Errorf("an uncut dovetail slot: only %.3f mm seem left", got)
	}

	filed := flat()
	for i := range filed.Stations {
		filed.Stations[i].Zones = []Zone{{Name: "top", Surface: []geom.Vec{{Y: -10}, {Y: 10}}, Limit: 0.003, Filed: 2, FiledTo: 50}}
	}
	res, err := Check(strings.NewReader(withTool+programE), "test.nc", filed)
	if err != nil {
		t.Fatal(err)
	}
	if l := res.Report.Left[0]; l.Filed != 2 || l.Amount != 0 || !res.Report.Clean() {
		t.Errorf("2 mm the job counts on filing: %+v, findings %+v", l, res.Report.Findings)
	}
}

// TestSnapshot: the stock is kept as it is at the step's stop.
func TestSnapshot(t *testing.T) {
	s := flat()
	s.Steps, s.SnapshotStep = 2, 1
	half := strings.Index(level, "Y0\n")
	text := withTool + level[:half] + "(Step 1. Try it.)\nM0\n" + level[half:] + "(Step 2. Try it.)\nM0\n" + programE
	res, err := Check(strings.NewReader(text), "test.nc", s)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Stations {
		before, then, after := s.Stations[i].Waste.Area(), res.Snapshot[i].Waste.Area(), res.After[i].Waste.Area()
		// Passes at Y -8 and -4 clear all up to Y -1.
		if math.Abs(before-40) > 1e-9 || math.Abs(then-22) > 1e-6 || after > 1e-6 {
			t.Errorf("station %d: %.3f, %.3f, %.3f mm^2 before, at the step and after; want 40, 22, 0", i, before, then, after)
		}
	}
}

// TestMinutes: feed and rapid lengths over their rates, and the change of a
// tool; with acceleration each move starts and ends at rest.
func TestMinutes(t *testing.T) {
	s := flat()
	text := withTool + "G0 X-5 Y-8\nG0 Z0\nG1 X35 F100\n" + programE
	// Rapids: Z from nowhere, X and Y from nowhere, 50 down and up; 40 at feed.
	want := 1 + 100.0/1000 + 40.0/100
	res, err := Check(strings.NewReader(text), "test.nc", s)
	if err != nil {
		t.Fatal(err)
	}
	if got := res.Report.Minutes; math.Abs(got-want) > 1e-9 {
		t.Errorf("%.6f minutes, want %.6f", got, want)
	}
	if least := res.Report.Least.Minutes(); least > res.Report.Minutes || least <= 0 {
		t.Errorf("least %.6f minutes of %.6f", least, res.Report.Minutes)
	}
	for _, tt := range []struct{ length, speed, acc, want float64 }{
		{100, 10, 10, 11}, // 1 s up, 90 mm at speed, 1 s down
		{10, 10, 10, 2},   // just reaches its speed
		{2.5, 10, 10, 1},  // half a second up, half down
		{0.025, 10, 10, 0.1},
	} {
		if got := ramped(tt.length, tt.speed, tt.acc); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("ramped(%g, %g, %g) = %g s, want %g", tt.length, tt.speed, tt.acc, got, tt.want)
		}
	}
}

// TestReportIsBounded: a wholly wrong program does not fill the memory, and
// the worst of a line and kind is kept.
func TestReportIsBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString(withTool + "G0 X-5 Y0\nG1 Z-5 F100\n")
	for i := range 600 {
		fmt.Fprintf(&b, "X%d\n", 35-i%2*40)
		fmt.Fprintf(&b, "Z%g\n", -5-0.01*float64(i))
	}
	res, err := Check(strings.NewReader(b.String()+programE), "test.nc", flat())
	if err != nil {
		t.Fatal(err)
	}
	if n := len(res.Report.Findings); n > maxFindings || res.Report.Dropped == 0 {
		t.Errorf("%d findings kept, %d dropped", n, res.Report.Dropped)
	}
	// The middle of the slot's floor is nearer to the sides of the block, 10 mm,
	// than to its top.
	if got := res.Report.TargetCut; math.Abs(got-10) > 1e-6 {
		t.Errorf("deepest cut %.3f, want 10", got)
	}
}
