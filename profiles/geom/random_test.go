package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawConvex draws a convex polygon: points on an ellipse, turned and moved.
func drawConvex(t *rapid.T, name string) Convex {
	n := rapid.IntRange(3, 9).Draw(t, name)
	a, b := rapid.Float64Range(0.05, 5).Draw(t, name+" a"), rapid.Float64Range(0.05, 5).Draw(t, name+" b")
	turn := Turn(rapid.Float64Range(-3, 3).Draw(t, name+" turn"))
	at := Vec{rapid.Float64Range(-4, 4).Draw(t, name+" y"), rapid.Float64Range(-4, 4).Draw(t, name+" z")}
	start := rapid.Float64Range(0, 6).Draw(t, name+" start")
	pts := make([]Vec, n)
	for i := range pts {
		s, c := math.Sincos(start + 2*math.Pi*float64(i)/float64(n))
		pts[i] = turn.Apply(Vec{a * c, b * s}).Add(at)
	}
	return NewConvex(pts...)
}

// drawRing draws an outline that does not cross itself: a radius at each of
// rising angles.
func drawRing(t *rapid.T) []Vec {
	n := rapid.IntRange(3, 40).Draw(t, "corners")
	ring := make([]Vec, n)
	for i := range ring {
		ring[i] = Polar(rapid.Float64Range(0.5, 5).Draw(t, "r"), -2*math.Pi*float64(i)/float64(n))
	}
	return ring
}

// convex says that a ring turns left only, and once round in all.
func convex(ring []Vec) bool {
	whole := 0.0
	for i, a := range ring {
		b, c := ring[(i+1)%len(ring)], ring[(i+2)%len(ring)]
		in, out := b.Sub(a), c.Sub(b)
		if in.Cross(out) < -tol {
			return false
		}
		whole += math.Atan2(in.Cross(out), in.Dot(out))
	}
	return math.Abs(whole-2*math.Pi) < 1e-6
}

// slack is what slivers not kept may add up to, mm^2: each is thinner than
// Sliver and no longer than the shapes drawn.
func slack(cuts int) float64 { return tol + float64(cuts)*40*Sliver }

// TestCutAreas: what is cut out and what stays make the whole.
func TestCutAreas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ring := drawRing(t)
		r, err := Decompose(ring)
		if err != nil {
			t.Fatal(err)
		}
		whole := r.Area()
		if want := math.Abs(Area(ring)); math.Abs(whole-want) > 1e-6 {
			t.Fatalf("pieces have %.9f mm^2, the outline %.9f", whole, want)
		}
		for i, c := range r {
			if !convex(c.Pts) {
				t.Fatalf("piece %d is not convex: %v", i, c.Pts)
			}
		}
		k, l := drawConvex(t, "k"), drawConvex(t, "l")
		var buf Scratch
		removed := 0.0
		rest := append(Region(nil), r...).Subtract(k, &buf, func(c Convex) { removed += Area(c.Pts) })
		if math.Abs(rest.Area()+removed-whole) > slack(len(r)) {
			t.Fatalf("%.9f left and %.9f removed of %.9f", rest.Area(), removed, whole)
		}
		if in := r.Intersect(Region{k}).Area(); math.Abs(in-removed) > tol {
			t.Fatalf("%.9f removed, %.9f in common", removed, in)
		}
		if again := rest.Intersect(Region{k}).Area(); again > slack(len(r)) {
			t.Fatalf("%.9f of what was cut out is still there", again)
		}
		one, other := r.Minus(Region{k, l}).Area(), r.Minus(Region{l, k}).Area()
		if math.Abs(one-other) > slack(4*len(r)) {
			t.Fatalf("cut in one order %.9f stay, in the other %.9f", one, other)
		}
		turn := rapid.Float64Range(-3, 3).Draw(t, "all turned")
		if got := r.Turned(turn).Minus(Region{k, l}.Turned(turn)).Area(); math.Abs(got-one) > slack(4*len(r)) {
			t.Fatalf("turned as a whole %.9f stay, else %.9f", got, one)
		}
		joined := rest.Joined()
		if math.Abs(joined.Area()-rest.Area()) > tol+float64(len(rest))*40*Overlap || len(joined) > len(rest) {
			t.Fatalf("%d pieces of %.9f mm^2 are joined to %d of %.9f", len(rest), rest.Area(), len(joined), joined.Area())
		}
		for _, c := range joined {
			if !convex(c.Pts) {
				t.Fatalf("a joined piece is not convex: %v", c.Pts)
			}
		}
		// No pieces overlap.
		for i := range rest {
			if over := rest[i+1:].Intersect(rest[i : i+1]).Area(); over > slack(1) {
				t.Fatalf("pieces overlap by %.9f", over)
			}
		}
	})
}

// TestClipAgainstPoints: a point lies in the overlap just when it lies in
// both.
func TestClipAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawConvex(t, "a"), drawConvex(t, "b")
		var buf Scratch
		both := a.Clip(b, &buf)
		for range 30 {
			p := Vec{rapid.Float64Range(-9, 9).Draw(t, "y"), rapid.Float64Range(-9, 9).Draw(t, "z")}
			edge := math.Inf(1)
			for _, c := range []Convex{a, b} {
				edge = min(edge, Distance(p, append(append([]Vec(nil), c.Pts...), c.Pts[0])))
			}
			if edge < 1e-6 {
				continue // on an edge either answer is right
			}
			in := len(both.Pts) > 0 && both.Contains(p)
			if want := Inside(p, a.Pts) && Inside(p, b.Pts); in != want {
				t.Fatalf("%v in %v and %v: %t, want %t", p, a.Pts, b.Pts, in, want)
			}
		}
	})
}

// TestHighestAgainstSamples and distances: by walking the line in small steps.
func TestHighestAgainstSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "points")
		line := make([]Vec, n)
		for i := range line {
			line[i] = Vec{rapid.Float64Range(-5, 5).Draw(t, "y"), rapid.Float64Range(-5, 5).Draw(t, "z")}
		}
		y0 := rapid.Float64Range(-6, 6).Draw(t, "from")
		y1 := y0 + rapid.Float64Range(0, 4).Draw(t, "breadth")
		p := Vec{rapid.Float64Range(-6, 6).Draw(t, "py"), rapid.Float64Range(-6, 6).Draw(t, "pz")}
		const steps = 2000
		// At the band's ends rounding decides: samples there need not count,
		// and may.
		top, most, dist := math.Inf(-1), math.Inf(-1), math.Inf(1)
		for i := 1; i < n; i++ {
			for k := range steps + 1 {
				q := line[i-1].Lerp(line[i], float64(k)/steps)
				dist = min(dist, q.Sub(p).Norm())
				if q.Y >= y0+tol && q.Y <= y1-tol {
					top = max(top, q.Z)
				}
				if q.Y >= y0-tol && q.Y <= y1+tol {
					most = max(most, q.Z)
				}
			}
		}
		got := Highest(line, y0, y1)
		if got < top-tol {
			t.Fatalf("highest of %v in %g to %g is %g, a sample is at %g", line, y0, y1, got, top)
		}
		// A steep line rises at most its length between two samples, or enters
		// the band between them.
		if !math.IsInf(most, -1) && got > most+0.02 {
			inside := false
			for i := 1; i < n; i++ {
				for _, y := range []float64{y0, y1} {
					a, b := line[i-1], line[i]
					if (a.Y-y)*(b.Y-y) <= 0 && a.Y != b.Y {
						inside = inside || math.Abs(a.Lerp(b, (y-a.Y)/(b.Y-a.Y)).Z-got) < 1e-6
					}
				}
			}
			if !inside {
				t.Fatalf("highest of %v in %g to %g is %g, the samples reach %g", line, y0, y1, got, most)
			}
		}
		d := Distance(p, line)
		if d > dist+tol || d < dist-0.01 {
			t.Fatalf("distance of %v from %v is %g, the samples say %g", p, line, d, dist)
		}
		track := NewTrack(line)
		if h := track.Highest(y0, y1); h != got && !(math.Abs(h-got) <= tol) {
			t.Fatalf("the track of %v has its highest in %g to %g at %g, the line at %g", line, y0, y1, h, got)
		}
		if q, td := track.Nearest(p); math.Abs(td-d) > tol || math.Abs(q.Sub(p).Norm()-d) > tol {
			t.Fatalf("the track of %v is %g from %v, the line %g", line, td, p, d)
		}
		// Of a box about p the near segments tell as much as the whole line.
		size := Vec{Y: rapid.Float64Range(0, 3).Draw(t, "breadth"), Z: rapid.Float64Range(0, 3).Draw(t, "height")}
		box := Box{Lo: p.Sub(size.Scale(rapid.Float64Range(0, 1).Draw(t, "share")))}
		box.Hi = box.Lo.Add(size)
		if nd := NearestIn(line, box, nil).Distance(p); nd != d {
			t.Fatalf("the segments of %v near %v are %g from %v, the line %g", line, box, nd, p, d)
		}
		for _, most := range []float64{d / 2, 2 * d} {
			if td := track.Distance(p, most); td < min(d, most)-tol || most > d+tol && math.Abs(td-d) > tol {
				t.Fatalf("the track of %v is %g from %v, %g is asked for, the line is %g away", line, td, p, most, d)
			}
		}
	})
}
