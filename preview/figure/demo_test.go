package figure

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"cogmend/profiles/geom"
)

func v(y, z float64) geom.Vec { return geom.Vec{Y: y, Z: z} }

// demoTooth is a straight-sided stand-in for a tooth at angle a: these tests
// are about drawing, and the gear's own outline has its tests in profiles.
func demoTooth(a, root, tip, halfRoot, halfTip float64) []geom.Vec {
	turn := geom.Turn(a)
	var pts []geom.Vec
	for _, p := range []geom.Vec{
		{Y: -halfRoot, Z: root}, {Y: halfRoot, Z: root}, {Y: halfRoot * 0.8, Z: root + (tip-root)*0.5},
		{Y: halfTip, Z: tip}, {Y: -halfTip, Z: tip}, {Y: -halfRoot * 0.8, Z: root + (tip-root)*0.5},
	} {
		pts = append(pts, turn.Apply(p))
	}
	return pts
}

// demoRim is the rim as convex pieces between two radii.
func demoRim(r0, r1, from, to float64, n int) [][]geom.Vec {
	var out [][]geom.Vec
	for i := range n {
		a, b := from+(to-from)*float64(i)/float64(n), from+(to-from)*float64(i+1)/float64(n)
		out = append(out, []geom.Vec{geom.Polar(r0, a), geom.Polar(r0, b), geom.Polar(r1, b), geom.Polar(r1, a)})
	}
	return out
}

const (
	demoTau  = 2 * math.Pi / 54
	demoRoot = 82.0
	demoTip  = 88.9
)

func demoSection() *Figure {
	f := NewFigure("Proof press, feed gear", "Slot and seat, section across X", Millimetre)
	f.Program, f.Zero, f.Fingerprint = "10-slot.nc", "X front face, Y centre of the gap, Z gear axis", "4be1-09c2-77af"
	f.Notes = []string{
		"Gear on the rotary axis, gap at top dead centre, front face to the left.",
		"Cutter 1: two-flute slot drill, 5.5 mm, stick-out at least 21 mm.",
		"Clear both neighbours by 0.30 mm.",
	}
	section, plan := Whole().Beside(0.62)
	p := f.Panel("Section across X at the cutter's deepest", section).Window(-13, 72, 13, 98)
	p.Region(Neighbour, append(demoRim(70, demoRoot, -0.35, -0.04, 12),
		demoTooth(-demoTau, demoRoot-0.5, demoTip, 3.3, 1.6), demoTooth(-2*demoTau, demoRoot-0.5, demoTip, 3.3, 1.6)))
	p.Region(Neighbour, append(demoRim(70, demoRoot, 0.04, 0.35, 12),
		demoTooth(demoTau, demoRoot-0.5, demoTip, 3.3, 1.6), demoTooth(2*demoTau, demoRoot-0.5, demoTip, 3.3, 1.6)))
	p.Region(Stock, append(demoRim(70, demoRoot, -0.04, 0.04, 4), []geom.Vec{v(-3, 81.5), v(3, 81.5), v(2.6, 84), v(-2.7, 83.2)}))
	p.Line(Centre, v(0, 71), v(0, 99))
	p.Line(Alternative, demoTooth(0, demoRoot, demoTip, 3.3, 1.6)...)
	p.Name(Alternative, "tooth to come")
	p.Rect(Cutter, v(-2.75, 76), v(2.75, 90))
	p.Rect(Shank, v(-3, 90), v(3, 95))
	p.Rect(Holder, v(-8, 95), v(8, 104))
	for i := range 6 {
		z := 81 - float64(i)
		p.Line(Pass, v(-2.75, z), v(2.75, z))
	}
	p.Arrow(Rapid, v(4.6, 97), v(4.6, 90))
	p.Zero(v(0, 83.2), "Y0")
	p.Dim(v(-2.75, 76), v(2.75, 76), -40, "5.500 mm")
	p.Dim(v(2.75, 76), v(2.75, 82), -110, "6.00 mm")
	p.Label(v(-2.75, 78), "six passes of 1.00 mm")
	p.Label(geom.Polar(demoTip, demoTau), "good tooth")
	p.Label(geom.Polar(demoTip, -demoTau), "good tooth")
	p.Label(v(8, 96), "holder clears the tips by 5.3 mm")
	plan, side := plan.Stacked(0.56)
	q := f.Panel("Plan along X", plan).Axes("X", "Y").Window(-8, -14, 40, 14)
	q.Rect(Neighbour, v(0, -12), v(32, -4))
	q.Rect(Neighbour, v(0, 4), v(32, 12))
	q.Rect(Stock, v(0, -4), v(32, 4))
	q.Line(Centre, v(-7, 0), v(39, 0))
	q.Line(Pass, v(-5, 0), v(37, 0))
	q.Arrow(Pass, v(30, 0), v(37, 0))
	q.Line(Rapid, v(37, 0), v(37, 2), v(-5, 2), v(-5, 0))
	q.Zero(v(0, 0), "X0 Y0")
	q.Dim(v(0, 12), v(32, 12), 50, "32.00 mm")
	q.Cross(Edge, v(8, 0), v(24, 0))
	q.Label(v(24, 0), "M6 lock")
	q.Label(v(8, 0), "M6 lock")
	r := f.Panel("End of the stroke", side).Axes("X", "Z").Window(-8, 72, 42, 94)
	r.Rect(Stock, v(0, 70), v(32, 82))
	r.Rect(Cutter, v(34, 76), v(39.5, 90))
	r.Rect(KeepOut, v(-10, 70), v(-3, 80))
	r.Line(Hidden, v(0, 76), v(32, 76))
	r.Line(Pass, v(-5, 76), v(36.75, 76))
	r.Dim(v(32, 82), v(34, 82), 30, "2.00 mm")
	r.Label(v(-4, 78), "chuck jaw")
	return f
}

// demoFacets is a flank r_b (cos phi + phi sin phi) drawn with tangents.
func demoFacets() *Figure {
	f := NewFigure("Proof press, feed gear", "Facets of the right flank, metal left", Millimetre)
	f.Program, f.Zero, f.Fingerprint = "40-facets.nc", "X front face, Y centre of the gap, Z gear axis", "4be1-09c2-77af"
	f.Notes = []string{"Metal left is drawn ten times too wide.", "File the joints to marking blue."}
	top, bottom := Whole().Stacked(0.66)
	p := f.Panel("Right flank, each facet as the cutter leaves it", top).Window(-1.5, 82, 7, 90.4)
	flank := func(z float64) float64 { return 3.1 - 0.02*(z-82) - 0.025*(z-82)*(z-82) }
	slope := func(z float64) float64 { return -0.02 - 0.05*(z-82) }
	var target []geom.Vec
	for z := 82.0; z <= demoTip+1e-9; z += 0.1 {
		target = append(target, v(flank(z), z))
	}
	p.Polygon(Target, append([]geom.Vec{v(-3, 82), v(3.1, 82)}, append(target, v(-3, demoTip))...)...)
	heights := []float64{82.6, 83.9, 85.2, 86.5, 87.9}
	cross := func(a, b float64) float64 { // height at which two tangents cross
		return (flank(b) - slope(b)*b - flank(a) + slope(a)*a) / (slope(a) - slope(b))
	}
	var left [][]geom.Vec
	var graph []geom.Vec
	for i, z := range heights {
		lo, hi := 82.0, demoTip
		if i > 0 {
			lo = cross(heights[i-1], z)
		}
		if i < len(heights)-1 {
			hi = cross(z, heights[i+1])
		}
		line := func(h float64) geom.Vec { return v(flank(z)+slope(z)*(h-z), h) }
		var piece []geom.Vec
		for k := 0; k <= 20; k++ {
			h := lo + (hi-lo)*float64(k)/20
			over := line(h).Y - flank(h)
			piece = append(piece, v(flank(h)+10*over, h))
			graph = append(graph, v(h, over))
		}
		for k := 20; k >= 0; k-- {
			h := lo + (hi-lo)*float64(k)/20
			piece = append(piece, v(flank(h), h))
		}
		left = append(left, piece)
		p.Line(Thin, line(lo-0.3), line(hi+0.3))
	}
	p.Region(MetalLeft, left)
	for i, z := range heights {
		p.Dot(Pass, v(flank(z), z))
		p.Balloon(v(flank(z), z), strconv.Itoa(i+1)).Toward(v(1, 0.05))
	}
	p.Polygon(MustFile, v(3.1, 82), v(3.7, 82), v(3.25, 82.25), v(3.07, 82.5))
	p.Label(v(3.4, 82.1), "0.21 mm stays in the corner: file").Toward(v(-1, 0.3))
	p.Label(v(flank(88.4), 88.4), "facet 5 at −4.20 deg").Toward(v(-1, -0.2))
	p.Line(Centre, v(0, 81), v(0, 90))
	p.Rect(Cutter, v(4.2, 83), v(6.2, 92))
	for _, side := range []float64{-1, 1} {
		p.Region(Neighbour, [][]geom.Vec{demoTooth(side*demoTau, 80, demoTip, 3.3, 1.6)})
	}
	p.Dim(v(-3, 88.9), v(1.8, 88.9), 22, "4.80 mm")
	g := f.Graph("Metal left against height", bottom, Axis{"height Z", Millimetre}, Axis{"metal left", Micrometre}).Window(82, 0, 89, 0.02)
	g.Under(MetalLeft, 0, graph...)
	g.Line(Curve, graph...)
	g.Level(ToleranceLine, 0.015, "tolerance 15 µm")
	return f
}

// demoFrame is what stands still in a dry run of the slot.
func demoFrame() *Figure {
	f := NewFrame(Millimetre, "", "", "")
	p := f.Panel("Section at X 16.00 mm", Whole()).Window(-12, 74, 12, 92)
	for _, side := range []float64{-1, 1} {
		p.Region(Neighbour, [][]geom.Vec{demoTooth(side*demoTau, demoRoot-0.5, demoTip, 3.3, 1.6)})
		p.Region(Neighbour, demoRim(70, demoRoot, side*0.04, side*0.2, 12))
	}
	p.Line(Centre, v(0, 73), v(0, 93))
	p.ExtraKeys = []Style{Stock, Cutter, Shank}
	return f
}

// demoCut draws the frame after step i of 50.
func demoCut(f *Figure, i int) {
	z := 84 - 8*float64(i)/50
	f.Status = []string{
		"10-slot.nc  line " + strconv.Itoa(120+i),
		"G1 X36.5 Z" + strconv.FormatFloat(z, 'f', 4, 64) + " F180.",
		"A 0.000 deg   metal left 0.412 mm   pass " + strconv.Itoa(i+1) + " of 50",
	}
	p := f.Panels[0]
	stock := demoRim(70, 76, -0.04, 0.04, 4)
	stock = append(stock, []geom.Vec{v(-3.3, 75.9), v(3.3, 75.9), v(3.3, z), v(-3.3, z)})
	p.Region(Stock, stock)
	p.Rect(Cutter, v(-2.75, z), v(2.75, z+8))
	p.Rect(Shank, v(-3, z+8), v(3, z+20))
	p.Label(v(-2.75, z), "Z "+strconv.FormatFloat(z, 'f', 3, 64)).Toward(v(-1, 0.5))
}

func demoFigures() map[string]*Figure {
	return map[string]*Figure{"section": demoSection(), "facets": demoFacets()}
}

// TestLook writes the figures to a folder for a person to look at.
func TestLook(t *testing.T) {
	if os.Getenv("COGMEND_LOOK") == "" {
		t.Skip("set COGMEND_LOOK to write the pictures to " + os.TempDir())
	}
	for name, f := range demoFigures() {
		d, err := f.Draw(1)
		if err != nil {
			t.Fatal(err)
		}
		png, err := d.PNG()
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(os.TempDir(), "figure_"+name+".png")
		if err := os.WriteFile(path, png, 0o644); err != nil {
			t.Fatal(err)
		}
		t.Log(path, len(png), "bytes, omitted", d.Omitted)
	}
}

// TestLookFrames writes one frame and the reel of a dry run.
func TestLookFrames(t *testing.T) {
	if os.Getenv("COGMEND_LOOK") == "" {
		t.Skip("set COGMEND_LOOK to write the frames to " + os.TempDir())
	}
	s, err := NewBackdrop(demoFrame(), 1)
	if err != nil {
		t.Fatal(err)
	}
	var r Reel
	for i := range 50 {
		f := s.Next()
		demoCut(f, i)
		im, err := s.Frame(f)
		if err != nil {
			t.Fatal(err)
		}
		r.Add(im, 80*time.Millisecond)
		if i == 30 {
			b, err := PNG(im)
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(os.TempDir(), "frame.png"), b, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	var b bytes.Buffer
	if err := r.Encode(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(os.TempDir(), "frames.gif"), b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Log("gif of", b.Len(), "bytes")
}
