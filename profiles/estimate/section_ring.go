package estimate

import (
	"math"

	"cogmend/profiles/estimate/elastic"
	"cogmend/profiles/geom"
)

// ring is the rest of the rim, from one cut round to the other.
type ring struct {
	from        float64 // angle of the cuts
	radius      []float64
	right, left []int32 // nodes of the cuts, from the root circle down
}

// close adds the rest of the ring in columns that grow, and returns the nodes
// on its inner circle between the cuts.
func (r ring) close(mesh *elastic.Mesh) (inner []int32) {
	depth, mean := r.radius[0]-r.radius[len(r.radius)-1], (r.radius[0]+r.radius[len(r.radius)-1])/2
	// Columns grow from the rows' height to three rim depths, at most a ninth
	// of a turn.
	w, most := depth/float64(len(r.radius)-1)/mean, min(3*depth/mean, math.Pi*2/9)
	steps := []float64{0}
	for a := 0.0; a < math.Pi-r.from; {
		a += min(w, most)
		steps = append(steps, a)
		w *= 1.6
	}
	scale := (math.Pi - r.from) / steps[len(steps)-1]
	half := len(steps) - 1
	columns := 2 * half
	grid := make([][]int32, columns+1)
	for k := range grid {
		switch {
		case k == 0:
			grid[k] = r.right
			continue
		case k == columns:
			grid[k] = r.left
			continue
		}
		a := r.from + scale*steps[min(k, half)]
		if k > half {
			a = 2*math.Pi - r.from - scale*steps[columns-k]
		}
		var p []geom.Vec
		for _, q := range r.radius {
			p = append(p, geom.Polar(q, a))
		}
		first := mesh.Corners(p)
		for i := range p {
			grid[k] = append(grid[k], first+int32(i))
		}
		inner = append(inner, first+int32(len(p)-1))
	}
	var tris [][3]int32
	for k := range columns {
		for i := range len(r.radius) - 1 {
			a, b, c, d := grid[k][i], grid[k+1][i], grid[k+1][i+1], grid[k][i+1]
			tris = append(tris, [3]int32{a, d, c}, [3]int32{a, c, b})
		}
	}
	mesh.Add(tris, castingBody, onCircles(r.radius...))
	return inner
}

// onCircles gives the middles of sides both of whose ends lie on one of the
// circles.
func onCircles(radii ...float64) func(a, b geom.Vec) (geom.Vec, bool) {
	return func(a, b geom.Vec) (geom.Vec, bool) {
		for _, r := range radii {
			if math.Abs(a.Norm()-r) < 1e-6 && math.Abs(b.Norm()-r) < 1e-6 {
				m := a.Lerp(b, 0.5)
				return m.Scale(r / m.Norm()), true
			}
		}
		return geom.Vec{}, false
	}
}
