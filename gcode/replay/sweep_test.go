package replay

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cogmend/gcode/machine"
	"cogmend/profiles/geom"

	"pgregory.net/rapid"
)

// edgesAt returns the least and the greatest Y of a convex ring at height z.
func edgesAt(ring []geom.Vec, z float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Z-z)*(b.Z-z) > 0 {
			continue
		}
		for _, p := range []geom.Vec{a, b} {
			if p.Z == z {
				lo, hi = min(lo, p.Y), max(hi, p.Y)
			}
		}
		if a.Z != b.Z {
			y := a.Lerp(b, (z-a.Z)/(b.Z-a.Z)).Y
			lo, hi = min(lo, y), max(hi, y)
		}
	}
	return lo, hi
}

// TestChordOfShortCut: a cutter of radius R that stops u before a station
// takes there a chord of half length sqrt(R^2 - u^2).
func TestChordOfShortCut(t *testing.T) {
	flutes := endMill(1, 10, 15).Parts[0]
	for _, u := range []float64{0, 1, 3, 4, 4.9, 4.9999} {
		ring := flutes.section(machine.Position{X: -30, Y: 2, Z: 1}, machine.Position{X: -u, Y: 2, Z: 1}, 0, nil)
		half := math.Sqrt(25 - u*u)
		want := geom.Rect(2-half, 1, 2+half, 16)
		if got := geom.Bounds(ring); len(ring) != 4 || math.Abs(got.Lo.Y-want.Box.Lo.Y) > 1e-9 || math.Abs(got.Hi.Y-want.Box.Hi.Y) > 1e-9 || got.Lo.Z != 1 || got.Hi.Z != 16 {
			t.Errorf("%g short: section %v, want a half chord of %.6f", u, ring, half)
		}
	}
	if ring := flutes.section(machine.Position{X: -30}, machine.Position{X: -5.001}, 0, nil); len(ring) > 0 {
		t.Errorf("5.001 short of it a 10 mm cutter meets the station: %v", ring)
	}
}

// TestSlantedPath: a cutter going along a slope m reaches R sqrt(1+m^2) in Y
// beside its path.
func TestSlantedPath(t *testing.T) {
	flutes := endMill(1, 10, 15).Parts[0]
	for _, m := range []float64{0.01, 0.5, -2} {
		ring := flutes.section(machine.Position{X: -20, Y: -20 * m}, machine.Position{X: 20, Y: 20 * m}, 3, nil)
		lo, hi := edgesAt(ring, 7)
		reach := 5 * math.Sqrt(1+m*m)
		if math.Abs(lo-(3*m-reach)) > 1e-9 || math.Abs(hi-(3*m+reach)) > 1e-9 {
			t.Errorf("slope %g: %.6f to %.6f, want %.6f +- %.6f", m, lo, hi, 3*m, reach)
		}
	}
}

// TestDovetailChord: short of the station each height has its own chord.
func TestDovetailChord(t *testing.T) {
	flutes := dovetailCutter(3, 6, 5, geom.Radians(10)).Parts[0]
	for _, u := range []float64{0, 0.5, 1.5, 2, 2.5, 2.9} {
		ring := flutes.section(machine.Position{X: -30, Z: -5}, machine.Position{X: -u, Z: -5}, 0, nil)
		for h := 0.05; h < 5; h += 0.35 {
			r := 3 - h*math.Tan(geom.Radians(10))
			lo, hi := edgesAt(ring, h-5)
			if r <= u {
				if hi > lo+0.2 {
					t.Errorf("%g short, %.2f up: chord %.4f wide, want none", u, h, hi-lo)
				}
				continue
			}
			want := math.Sqrt(r*r - u*u)
			if math.Abs(lo+want) > 0.005 || math.Abs(hi-want) > 0.005 {
				t.Errorf("%g short, %.2f up: chord %.4f to %.4f, want +- %.4f", u, h, lo, hi, want)
			}
		}
	}
	// Past the station the section is the cutter's own, exact.
	ring := flutes.section(machine.Position{X: -30, Y: 1, Z: -5}, machine.Position{X: 30, Y: 1, Z: -5}, 0, nil)
	top := 3 - 5*math.Tan(geom.Radians(10))
	want := []geom.Vec{{Y: -2, Z: -5}, {Y: 4, Z: -5}, {Y: 1 + top, Z: 0}, {Y: 1 - top, Z: 0}}
	for i := range want {
		if len(ring) != 4 || ring[i].Sub(want[i]).Norm() > 1e-9 {
			t.Fatalf("section %v, want %v", ring, want)
		}
	}
}

// TestDrillCone: beside the axis the drill's point makes a hyperbola.
func TestDrillCone(t *testing.T) {
	d := drill(4, 4, geom.Radians(118))
	slope := 1 / math.Tan(geom.Radians(59))
	for _, u := range []float64{0, 0.3, 1, 1.8} {
		ring := d.Parts[0].section(machine.Position{X: -u, Z: 10}, machine.Position{X: -u, Z: -6}, 0, nil)
		for _, y := range []float64{0, 0.2, 0.5, 0.8} {
			if math.Hypot(y, u) > 1.95 {
				continue
			}
			want := -6 + math.Hypot(y, u)*slope
			p := geom.Vec{Y: y, Z: want + 0.02}
			if !geom.Inside(p, ring) {
				t.Errorf("%g beside the axis: %v is not drilled", u, p)
			}
			if p.Z = want - 1e-6; geom.Inside(p, ring) {
				t.Errorf("%g beside the axis: %v is drilled", u, p)
			}
		}
	}
}

// inTool says by how much a point lies inside a part that stands at the tip
// position: negative outside. It is the plain definition of a frustum.
func inTool(p *Part, at machine.Position, x, y, z float64) float64 {
	h := z - at.Z
	r := p.R0 + (p.R1-p.R0)*(h-p.Z0)/(p.Z1-p.Z0)
	return min(h-p.Z0, p.Z1-h, r-math.Hypot(x-at.X, y-at.Y))
}

// sampledMoments is how finely a move is sampled by the plain replay.
const sampledMoments = 200

// deepest is the greatest inTool along a move.
func deepest(p *Part, a, b machine.Position, x, y, z float64) float64 {
	best := math.Inf(-1)
	for i := range sampledMoments + 1 {
		t := float64(i) / sampledMoments
		at := machine.Position{X: a.X + (b.X-a.X)*t, Y: a.Y + (b.Y-a.Y)*t, Z: a.Z + (b.Z-a.Z)*t}
		best = max(best, inTool(p, at, x, y, z))
	}
	return best
}

func drawPart(t *rapid.T) Part {
	r0 := rapid.Float64Range(0.5, 6).Draw(t, "r0")
	r1 := r0
	switch rapid.IntRange(0, 2).Draw(t, "shape") {
	case 1:
		r1 = rapid.Float64Range(0.2, 6).Draw(t, "r1")
	case 2:
		r0 = 0
	}
	low := rapid.Float64Range(0, 3).Draw(t, "low")
	return Part{Name: "flutes", Cuts: true, R0: r0, R1: max(r1, 0.2), Z0: low, Z1: low + rapid.Float64Range(0.5, 12).Draw(t, "high")}
}

func drawMove(t *rapid.T) (a, b machine.Position) {
	coordinate := rapid.Float64Range(-12, 12)
	at := func(name string) machine.Position {
		return machine.Position{X: coordinate.Draw(t, name+" x"), Y: coordinate.Draw(t, name+" y"), Z: coordinate.Draw(t, name+" z")}
	}
	a, b = at("from"), at("to")
	switch rapid.IntRange(0, 4).Draw(t, "way") {
	case 0:
		b.Y, b.Z = a.Y, a.Z // along the gear
	case 1:
		b.Z = a.Z // level
	case 2:
		b.X, b.Y = a.X, a.Y // up or down
	case 3:
		b.X = a.X
	}
	return a, b
}

// TestSectionAgainstPoints: the section of a sweep holds the points that the
// part covers at some moment, and no others.
func TestSectionAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPart(t)
		a, b := drawMove(t)
		station := rapid.Float64Range(-12, 12).Draw(t, "station")
		ring := p.section(a, b, station, nil)
		// What the chords of a curved section and the moments may miss.
		length := math.Sqrt(sq(a.X-b.X) + sq(a.Y-b.Y) + sq(a.Z-b.Z))
		miss := 0.02 + length/sampledMoments
		if a.Z != b.Z && (a.X != b.X || a.Y != b.Y) {
			miss += 0.01 // a cone on a ramp is taken at rampHeights
		}
		at := rapid.Float64Range(-20, 20)
		for i := range 20 {
			y, z := at.Draw(t, fmt.Sprint("y", i)), at.Draw(t, fmt.Sprint("z", i))
			d := deepest(&p, a, b, station, y, z)
			in := len(ring) >= 3 && geom.Inside(geom.Vec{Y: y, Z: z}, ring)
			if in && d < -miss || !in && d > miss {
				t.Fatalf("%+v from %+v to %+v at station %g: point %g, %g lies %g in the tool, section %v says %t", p, a, b, station, y, z, d, ring, in)
			}
		}
		for i, v := range ring {
			w, u := ring[(i+1)%len(ring)], ring[(i+2)%len(ring)]
			if w.Sub(v).Cross(u.Sub(w)) < -1e-9 {
				t.Fatalf("section %v is not convex or not counter-clockwise", ring)
			}
		}
	})
}

// plain is the second replay: points on a raster, and for every motion the
// tool's solid asked at many moments. It shares no code with the first.
type plain struct {
	step        float64
	waste, keep map[geom.Vec]bool
	deepest     float64 // into what must stay, from its surface
}

func newPlain(step float64, waste, keep geom.Box) *plain {
	p := &plain{step: step, waste: map[geom.Vec]bool{}, keep: map[geom.Vec]bool{}}
	fill := func(b geom.Box, m map[geom.Vec]bool) {
		for y := b.Lo.Y + step/2; y < b.Hi.Y; y += step {
			for z := b.Lo.Z + step/2; z < b.Hi.Z; z += step {
				m[geom.Vec{Y: y, Z: z}] = true
			}
		}
	}
	fill(waste, p.waste)
	fill(keep, p.keep)
	return p
}

func (p *plain) sweep(tool *Tool, angle float64, a, b machine.Position, x float64, keep geom.Box) {
	if min(a.X, b.X) > x+tool.Diameter/2 || max(a.X, b.X) < x-tool.Diameter/2 {
		return
	}
	s, c := math.Sincos(angle)
	hit := func(v geom.Vec) bool {
		// Top toward +Y.
		y, z := v.Y*c+v.Z*s, v.Z*c-v.Y*s
		for i := range tool.Parts {
			if tool.Parts[i].Cuts && deepest(&tool.Parts[i], a, b, x, y, z) > 0 {
				return true
			}
		}
		return false
	}
	for v := range p.waste {
		if hit(v) {
			delete(p.waste, v)
		}
	}
	for v := range p.keep {
		if hit(v) {
			p.deepest = max(p.deepest, min(v.Y-keep.Lo.Y, keep.Hi.Y-v.Y, v.Z-keep.Lo.Z, keep.Hi.Z-v.Z))
		}
	}
}

// TestAgainstPlainReplay: random straight moves at random gear angles leave
// the same area, and cut or do not cut what must stay, in both replays.
func TestAgainstPlainReplay(t *testing.T) {
	const step = 0.25
	rounds := 60
	if testing.Short() {
		rounds = 10
	}
	gouged, cut := 0, 0
	for round := range rounds {
		rng := rand.New(rand.NewPCG(7, uint64(round)))
		waste := geom.Box{Lo: geom.Vec{Y: -5, Z: 30}, Hi: geom.Vec{Y: 5, Z: 38}}
		keep := geom.Box{Lo: geom.Vec{Y: -5, Z: 26}, Hi: geom.Vec{Y: 5, Z: 30}}
		rect := func(b geom.Box) geom.Convex { return geom.Rect(b.Lo.Y, b.Lo.Z, b.Hi.Y, b.Hi.Z) }
		outline := append(rect(keep).Pts, rect(keep).Pts[0])
		station := rng.Float64()*10 - 5
		s := &Setup{Top: 45, Turns: true, Sign: 1, Tools: map[int]Tool{
			1: endMill(1, 2+4*rng.Float64(), 40), 2: dovetailCutter(2, 4+2*rng.Float64(), 6, geom.Radians(8)), 3: drill(3, 2+4*rng.Float64(), geom.Radians(118)),
		}, Stations: []Station{{X: station, Section: &Section{Waste: geom.Region{rect(waste)}, Keep: []Solid{{Name: "part", Metal: geom.Region{rect(keep)}, Outline: outline}}}}}}
		tool := s.Tools[1+rng.IntN(3)]
		second := newPlain(step, waste, keep)
		var text strings.Builder
		fmt.Fprintf(&text, "G17 G21 G40 G49 G54 G80 G90 G94\nT%d M6\nS1000 M3\nG0 Z60\n", tool.Number)
		for range 3 {
			angle := math.Round((rng.Float64()*30-15)*1e4) / 1e4
			fmt.Fprintf(&text, "G0 A%.4f\n", angle)
			at := machine.Position{X: station + math.Round(rng.Float64()*160-80)/10, Y: math.Round(rng.Float64()*200-100) / 10, Z: 60}
			fmt.Fprintf(&text, "G0 X%.4f Y%.4f\n", at.X, at.Y)
			for k := range 3 {
				to := at
				switch {
				case k == 0:
					to.Z = math.Round(rng.Float64()*90+280) / 10
				case rng.IntN(3) == 0:
					to.X, to.Y, to.Z = station+rng.Float64()*16-8, to.Y+rng.Float64()*10-5, to.Z+rng.Float64()*4-2
				default:
					to.X, to.Y = station+rng.Float64()*16-8, to.Y+rng.Float64()*10-5
				}
				to = machine.Position{X: math.Round(to.X*1e4) / 1e4, Y: math.Round(to.Y*1e4) / 1e4, Z: math.Round(to.Z*1e4) / 1e4}
				fmt.Fprintf(&text, "G1 X%.4f Y%.4f Z%.4f F100\n", to.X, to.Y, to.Z)
				second.sweep(&tool, angle*math.Pi/180, at, to, station, keep)
				at = to
			}
			fmt.Fprintf(&text, "G1 Z60\n")
			up := at
			up.Z = 60
			second.sweep(&tool, angle*math.Pi/180, at, up, station, keep)
		}
		text.WriteString("M5\nM2\n")
		res, err := Check(strings.NewReader(text.String()), "random.nc", s)
		if err != nil {
			t.Fatalf("round %d: %v\n%s", round, err, text.String())
		}
		left, want := res.After[0].Waste.Area(), float64(len(second.waste))*step*step
		// A raster is out by some cells along the edges of the cuts.
		if math.Abs(left-want) > 2.2 {
			t.Errorf("round %d: %.3f mm^2 left, the raster says %.3f\n%s", round, left, want, text.String())
		}
		if want < 80-1 {
			cut++
		}
		deep := res.Report.TargetCut
		switch {
		case second.deepest > step && deep < second.deepest-step:
			t.Errorf("round %d: cut %.3f mm deep, the raster says %.3f\n%s", round, deep, second.deepest, text.String())
		case second.deepest == 0 && deep > 2*step:
			t.Errorf("round %d: cut %.3f mm deep, the raster says nothing\n%s", round, deep, text.String())
		}
		if deep > 0 {
			gouged++
		}
	}
	t.Logf("%d rounds, %d took waste, %d cut what must stay", rounds, cut, gouged)
	if cut < rounds/4 || gouged < rounds/6 || gouged == rounds {
		t.Errorf("of %d rounds %d took waste and %d cut what must stay: the draw is no test", rounds, cut, gouged)
	}
}
