package geom

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

const tol = 1e-9

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > tol || math.IsNaN(got) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

// TestVectors: by hand. Angles are from +Z toward +Y.
func TestVectors(t *testing.T) {
	v, w := Vec{3, 4}, Vec{1, -2}
	for _, tt := range []struct {
		name      string
		got, want float64
	}{
		{"norm", v.Norm(), 5},
		{"dot", v.Dot(w), -5},
		{"cross", v.Cross(w), -10},
		{"cross of Y and Z", Vec{1, 0}.Cross(Vec{0, 1}), 1},
		{"add", v.Add(w).Z, 2},
		{"sub", v.Sub(w).Z, 6},
		{"scale", v.Scale(-2).Y, -6},
		{"lerp", v.Lerp(w, 0.25).Y, 2.5},
		{"angle of +Z", Vec{0, 1}.Angle(), 0},
		{"angle of +Y", Vec{1, 0}.Angle(), math.Pi / 2},
		{"angle of -Y", Vec{-1, 0}.Angle(), -math.Pi / 2},
		{"angle of -Z", Vec{0, -1}.Angle(), math.Pi},
		{"polar, Y", Polar(2, Radians(30)).Y, 1},
		{"polar, Z", Polar(2, Radians(30)).Z, math.Sqrt(3)},
		{"turned top, Y", Turn(Radians(90)).Apply(Vec{0, 1}).Y, 1},
		{"turned right, Z", Turn(Radians(90)).Apply(Vec{1, 0}).Z, -1},
		{"degrees", Degrees(math.Pi), 180},
		{"radians", Radians(-90), -math.Pi / 2},
	} {
		near(t, tt.name, tt.got, tt.want)
	}
}

// TestShapes: areas, breadths and boxes by hand.
func TestShapes(t *testing.T) {
	square := Rect(-1, 0, 1, 2)
	near(t, "square", Area(square.Pts), 4)
	near(t, "its breadth, area over half its girth", square.Breadth(), 1)
	near(t, "a sliver's breadth", Rect(0, 0, 10, 0.01).Breadth(), 0.1/10.01)
	near(t, "clockwise", Area([]Vec{{0, 0}, {0, 1}, {1, 1}, {1, 0}}), -1)
	near(t, "triangle", Area([]Vec{{0, 0}, {4, 0}, {0, 3}}), 6)
	near(t, "nothing", Area(nil), 0)
	if skin := Area(Rect(300, 300, 301, 300+1e-9).Pts); math.Abs(skin-1e-9) > 1e-12 {
		t.Errorf("a skin far away has %g mm^2, want 1e-9", skin)
	}
	near(t, "breadth of a point", NewConvex(Vec{1, 1}).Breadth(), 0)
	turned := square.Turned(Turn(Radians(90)))
	near(t, "turned square", Area(turned.Pts), 4)
	near(t, "its left edge", turned.Box.Lo.Y, 0)
	near(t, "its upper edge", turned.Box.Hi.Z, 1)
	if b := EmptyBox(); b.Meets(square.Box) || !b.Union(square.Box).Meets(square.Box) {
		t.Error("an empty box meets something, or its union does not")
	}
	if square.Box.Meets(Rect(1, 0, 3, 2).Box) {
		t.Error("boxes that share an edge only are said to meet")
	}
	for _, tt := range []struct {
		p    Vec
		want bool
	}{{Vec{0, 1}, true}, {Vec{1, 1}, true}, {Vec{1 + Eps/2, 1}, true}, {Vec{1 + 3*Eps, 1}, false}, {Vec{0, -0.1}, false}, {Vec{1, 2}, true}} {
		if got := square.Contains(tt.p); got != tt.want {
			t.Errorf("Contains(%v) = %t", tt.p, got)
		}
	}
	// Its corners, the last twice, the middles of its edges and its own.
	var probes []Vec
	square.Probe(func(p Vec) float64 { probes = append(probes, p); return 0 })
	if len(probes) != 10 || probes[9] != (Vec{0, 1}) {
		t.Errorf("probes of a square: %v", probes)
	}
	// A distance that rises and falls along the lower edge, highest at 0.4.
	top := 0.0
	square.Probe(func(p Vec) float64 {
		d := 3 - p.Z - (p.Y-0.4)*(p.Y-0.4)
		top = max(top, d)
		return d
	})
	near(t, "greatest distance on an edge", top, 3)
}

// TestClip: overlaps by hand.
func TestClip(t *testing.T) {
	a := Rect(0, 0, 4, 4)
	diamond := NewConvex(Vec{4, 2}, Vec{6, 4}, Vec{4, 6}, Vec{2, 4})
	for _, tt := range []struct {
		name string
		k    Convex
		want float64
	}{
		{"itself", a, 16},
		{"inside", Rect(1, 1, 2, 3), 2},
		{"around", Rect(-5, -5, 9, 9), 16},
		{"a corner", Rect(3, 3, 9, 9), 1},
		{"beside", Rect(4, 0, 8, 4), 0},
		{"away", Rect(10, 0, 12, 4), 0},
		{"thinner than Overlap", Rect(4-Overlap/4, 0, 8, 4), 0},
		{"a diamond over the corner", diamond, 2},
		// The square turned about its corner at the origin shares the triangle
		// Z < Y less the tip beyond Y + Z = 4 sqrt 2.
		{"turned by 45 degrees about a corner", a.Turned(Turn(Radians(45))), 16 * (math.Sqrt2 - 1)},
	} {
		var buf Scratch
		got := a.Clip(tt.k, &buf)
		area := 0.0
		if len(got.Pts) > 0 {
			area = Area(got.Pts)
		}
		near(t, tt.name, area, tt.want)
	}
}

// TestSubtract: what is left and what is handed out, by hand.
func TestSubtract(t *testing.T) {
	var buf Scratch
	for _, tt := range []struct {
		name          string
		from          Region
		k             Convex
		left, removed float64
	}{
		{"a hole in the middle", Region{Rect(0, 0, 4, 4)}, Rect(1, 1, 2, 2), 15, 1},
		{"a slot through", Region{Rect(0, 0, 4, 4)}, Rect(1, -1, 2, 5), 12, 4},
		{"all", Region{Rect(0, 0, 4, 4)}, Rect(-1, -1, 5, 5), 0, 16},
		{"nothing", Region{Rect(0, 0, 4, 4)}, Rect(4, 0, 5, 5), 16, 0},
		{"two pieces", Region{Rect(0, 0, 2, 2), Rect(3, 0, 5, 2)}, Rect(1, 0, 4, 1), 6, 2},
		{"a skin thinner than a sliver is not kept", Region{Rect(0, 0, 4, 4)}, Rect(Sliver/8, -1, 9, 9), 0, 16 - Sliver/2},
		{"a skin thicker than a sliver is", Region{Rect(0, 0, 4, 4)}, Rect(4*Sliver, -1, 9, 9), 16 * Sliver, 16 - 16*Sliver},
	} {
		removed := 0.0
		left := append(Region(nil), tt.from...).Subtract(tt.k, &buf, func(c Convex) { removed += Area(c.Pts) })
		near(t, tt.name+": left", left.Area(), tt.left)
		near(t, tt.name+": removed", removed, tt.removed)
	}
	r := Region{Rect(0, 0, 4, 4)}
	near(t, "minus", r.Minus(Region{Rect(0, 0, 1, 1), Rect(3, 3, 9, 9)}).Area(), 14)
	near(t, "which leaves the first alone", r.Area(), 16)
	near(t, "intersect", r.Intersect(Region{Rect(0, 0, 1, 1), Rect(3, 3, 9, 9)}).Area(), 2)
	near(t, "turned", r.Turned(1).Area(), 16)
	near(t, "bounds", r.Turned(math.Pi).Bounds().Lo.Y, -4)
	if apart := (Region{Rect(0, 0, 2, 1), Rect(0, 1, 1, 2), Rect(3, 0, 4, 1)}).Joined(); len(apart) != 3 {
		t.Errorf("pieces that share no whole edge are joined to %v", apart)
	}
	// Where both have a straight corner, a joint would turn back on itself.
	if spike := (Region{Rect(0, 0, 1, 1), Rect(1, 0, 2, 1), Rect(-0.5, 1, 1, 2), Rect(1, 1, 2, 2)}).Joined(); len(spike) != 2 || spike.Area() != 4.5 {
		t.Errorf("four pieces, two of them straight on, are joined to %v", spike)
	}
	if quarters := (Region{Rect(0, 0, 1, 1), Rect(1, 0, 2, 1), Rect(0, 1, 1, 2), Rect(1, 1, 2, 2)}).Joined(); len(quarters) != 1 || quarters.Area() != 4 {
		t.Errorf("four quarters are joined to %v", quarters)
	}
	if b := (Region{}).Bounds(); !math.IsInf(b.Lo.Y, 1) {
		t.Errorf("bounds of nothing: %v", b)
	}
}

// TestDecompose: outlines with known areas, and those that have no inside.
func TestDecompose(t *testing.T) {
	star := func(points int, inner float64) (ring []Vec) {
		for i := range 2 * points {
			r := 1.0
			if i%2 == 1 {
				r = inner
			}
			ring = append(ring, Polar(r, -math.Pi*float64(i)/float64(points)))
		}
		return ring
	}
	for _, tt := range []struct {
		name   string
		ring   []Vec
		area   float64
		pieces int // at most
	}{
		{"square", Rect(0, 0, 3, 3).Pts, 9, 1},
		{"square, the other way round", []Vec{{0, 0}, {0, 3}, {3, 3}, {3, 0}}, 9, 1},
		{"square, points doubled", []Vec{{0, 0}, {0, 0}, {3, 0}, {3, 3}, {3, 3}, {0, 3}, {0, 0}}, 9, 1},
		{"square, points along the edges", []Vec{{0, 0}, {1, 0}, {2, 0}, {3, 0}, {3, 3}, {1, 3}, {0, 3}, {0, 1}}, 9, 2},
		{"L", []Vec{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 3}, {0, 3}}, 5, 3},
		{"dovetail slot in a block", []Vec{{0, 0}, {9, 0}, {9, 5}, {6, 5}, {7, 1}, {2, 1}, {3, 5}, {0, 5}}, 45 - 16, 5},
		{"star of five", star(5, 0.4), 5 * 0.4 * math.Sin(math.Pi/5), 10},
		{"star of forty", star(40, 0.6), 40 * 0.6 * math.Sin(math.Pi/40), 80},
	} {
		got, err := Decompose(tt.ring)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		near(t, tt.name, got.Area(), tt.area)
		if len(got) > tt.pieces {
			t.Errorf("%s: %d pieces", tt.name, len(got))
		}
	}
	for _, tt := range []struct {
		name string
		ring []Vec
	}{
		{"nothing", nil},
		{"a point", []Vec{{1, 1}}},
		{"a line", []Vec{{0, 0}, {1, 1}}},
		{"a point many times", []Vec{{1, 1}, {1, 1}, {1, 1}, {1, 1}}},
		{"a bow tie", []Vec{{0, 0}, {2, 2}, {2, 0}, {0, 2}}},
		{"a star drawn in one stroke", []Vec{Polar(1, 0), Polar(1, 4*math.Pi/5), Polar(1, 8*math.Pi/5), Polar(1, 12*math.Pi/5), Polar(1, 16*math.Pi/5)}},
		{"a bow tie with unequal wings", []Vec{{0, 0}, {4, 3}, {4, 0}, {0, 1}}},
	} {
		if got, err := Decompose(tt.ring); !errors.Is(err, ErrTangled) {
			t.Errorf("%s: %d pieces of %.3f mm^2, error %v", tt.name, len(got), got.Area(), err)
		}
	}
}

// TestLines: distances and heights by hand.
func TestLines(t *testing.T) {
	line := []Vec{{0, 0}, {4, 0}, {4, 3}}
	for _, tt := range []struct {
		p, at Vec
		d     float64
	}{
		{Vec{2, 1}, Vec{2, 0}, 1},
		{Vec{-3, 4}, Vec{0, 0}, 5},
		{Vec{6, 2}, Vec{4, 2}, 2},
		{Vec{4, 3}, Vec{4, 3}, 0},
		{Vec{7, 7}, Vec{4, 3}, 5},
	} {
		at, d := Nearest(tt.p, line)
		near(t, "distance", d, tt.d)
		near(t, "nearest", at.Sub(tt.at).Norm(), 0)
		near(t, "Distance", Distance(tt.p, line), tt.d)
	}
	near(t, "one point", Distance(Vec{3, 4}, []Vec{{0, 0}}), 5)
	near(t, "a point twice", Distance(Vec{3, 4}, []Vec{{0, 0}, {0, 0}}), 5)
	if d := Distance(Vec{}, nil); !math.IsInf(d, 1) {
		t.Errorf("distance from no line: %g", d)
	}
	roof := []Vec{{0, 0}, {2, 4}, {4, 0}, {4, -5}}
	for _, tt := range []struct{ y0, y1, want float64 }{
		{0, 4, 4}, {1.5, 2.5, 4}, {0, 1, 2}, {3, 3.5, 2}, {3, 3, 2}, {4, 9, 0}, {-9, 0, 0},
	} {
		near(t, "highest", Highest(roof, tt.y0, tt.y1), tt.want)
	}
	for _, got := range []float64{Highest(roof, 5, 9), Highest(nil, 0, 1), Highest(roof[:1], 0, 1)} {
		if !math.IsInf(got, -1) {
			t.Errorf("highest of nothing is %g", got)
		}
	}
	ring := []Vec{{0, 0}, {4, 0}, {4, 4}, {2, 1}, {0, 4}}
	for _, tt := range []struct {
		p    Vec
		want bool
	}{{Vec{1, 1}, true}, {Vec{3, 1}, true}, {Vec{2, 2}, false}, {Vec{5, 1}, false}, {Vec{-1, 1}, false}, {Vec{2, 0.5}, true}} {
		if got := Inside(tt.p, ring); got != tt.want {
			t.Errorf("Inside(%v) = %t", tt.p, got)
		}
	}
}

// TestRotations undo each other and keep lengths.
func TestSpaced(t *testing.T) {
	line := []Vec{{0, 0}, {0, 1}, {0.25, 1}}
	got := Spaced(line, 0.3)
	if got[0] != line[0] || got[len(got)-1] != line[2] || Distance(line[1], got) > 1e-15 {
		t.Errorf("spaced line %v lacks a corner of %v", got, line)
	}
	for i := 1; i < len(got); i++ {
		if d := got[i].Sub(got[i-1]).Norm(); d > 0.3 || Distance(got[i], line) > 1e-15 {
			t.Errorf("point %v, %g from the last, of %v", got[i], d, line)
		}
	}
	if Spaced(nil, 1) != nil {
		t.Error("points on no line")
	}
}

func TestEdges(t *testing.T) {
	r := Region{Rect(1, 0, 2, 2), NewConvex(Vec{-3, 0}, Vec{-1, 0}, Vec{-2, 2})}
	least, most := r.Edges(1)
	near(t, "left edge", least, -2.5)
	near(t, "right edge", most, 2)
	if least, most = r.Edges(3); least <= most {
		t.Errorf("edges %g and %g above all", least, most)
	}
	mirror := Mirrored([]Vec{{1, 2}, {-3, 4}})
	if mirror[0] != (Vec{-1, 2}) || mirror[1] != (Vec{3, 4}) {
		t.Errorf("mirrored %v", mirror)
	}
}

func TestRotations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Vec{rapid.Float64Range(-1e3, 1e3).Draw(t, "y"), rapid.Float64Range(-1e3, 1e3).Draw(t, "z")}
		a := rapid.Float64Range(-10, 10).Draw(t, "angle")
		r := Turn(a)
		if back := r.Inverse().Apply(r.Apply(v)); back.Sub(v).Norm() > 1e-9 {
			t.Fatalf("%v turned by %g and back is %v", v, a, back)
		}
		if d := math.Abs(r.Apply(v).Norm() - v.Norm()); d > 1e-9 {
			t.Fatalf("%v turned by %g is longer by %g", v, a, d)
		}
		if v.Norm() > 1e-3 {
			want := math.Remainder(v.Angle()+a, 2*math.Pi)
			if d := math.Remainder(r.Apply(v).Angle()-want, 2*math.Pi); math.Abs(d) > 1e-9 {
				t.Fatalf("%v turned by %g stands at %g, want %g", v, a, r.Apply(v).Angle(), want)
			}
		}
	})
}

// FuzzDecompose: any outline gives pieces of its area, or ErrTangled.
func FuzzDecompose(f *testing.F) {
	f.Add([]byte{0, 0, 30, 0, 30, 30, 0, 30})
	f.Add([]byte{0, 0, 20, 20, 20, 0, 0, 20})
	f.Add([]byte{0, 0, 10, 0, 10, 0, 10, 10, 5, 5, 0, 10})
	f.Add([]byte{1, 1, 1, 1, 1, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 80 {
			return
		}
		var ring []Vec
		for i := 0; i+1 < len(data); i += 2 {
			ring = append(ring, Vec{float64(data[i]), float64(data[i+1])})
		}
		got, err := Decompose(ring)
		if err != nil {
			if !errors.Is(err, ErrTangled) {
				t.Fatalf("error %v", err)
			}
			return
		}
		if math.IsNaN(got.Area()) {
			t.Fatal("area is no number")
		}
		for _, c := range got {
			if Area(c.Pts) < 0 {
				t.Fatalf("piece %v has a negative area", c.Pts)
			}
		}
	})
}

func BenchmarkSubtract(b *testing.B) {
	var ring []Vec
	for i := range 200 {
		ring = append(ring, Polar(20+float64(i%2), -2*math.Pi*float64(i)/200))
	}
	r, err := Decompose(ring)
	if err != nil {
		b.Fatal(err)
	}
	k := Rect(-3, 0, 3, 40)
	var buf Scratch
	for b.Loop() {
		append(Region(nil), r...).Subtract(k, &buf, nil)
	}
}

// TestOffset: under the line offset by d lies all that is nearer than d, and
// nothing else, looked at from above.
func TestOffset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0.01, 2).Draw(t, "distance")
		// A convex hump from left to right.
		var line []Vec
		a := -1.4
		at := Vec{}
		for a < 1.4 {
			line = append(line, at)
			at = at.Add(Polar(rapid.Float64Range(0.05, 3).Draw(t, "length"), a+math.Pi/2))
			a += rapid.Float64Range(0.05, 0.6).Draw(t, "turn")
		}
		if len(line) < 2 {
			return
		}
		off := Offset(line, d)
		for range 20 {
			y := rapid.Float64Range(line[0].Y-d, line[len(line)-1].Y+d).Draw(t, "y")
			z := Highest(off, y, y)
			if math.IsInf(z, -1) {
				continue
			}
			if got := Distance(Vec{y, z}, line); math.Abs(got-d) > 2e-4*d+1e-9 {
				t.Fatalf("the offset line at Y %g lies %g from the line, not %g", y, got, d)
			}
		}
	})
}
