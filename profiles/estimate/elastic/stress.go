package elastic

import (
	"math"

	"cogmend/profiles/geom"
)

// Stress is the stress at a point, MPa, tension positive.
type Stress struct{ YY, ZZ, YZ float64 }

// First returns the first principal stress in the plane: the greatest pull.
func (s Stress) First() float64 {
	return (s.YY+s.ZZ)/2 + math.Hypot((s.YY-s.ZZ)/2, s.YZ)
}

// Along returns the normal stress in a direction.
func (s Stress) Along(d geom.Vec) float64 {
	n := d.Norm()
	y, z := d.Y/n, d.Z/n
	return s.YY*y*y + s.ZZ*z*z + 2*s.YZ*y*z
}

func (s Stress) add(t Stress, k float64) Stress {
	return Stress{s.YY + k*t.YY, s.ZZ + k*t.ZZ, s.YZ + k*t.YZ}
}

// Stresses returns the stress at every node: that of the elements' Gauss
// points, carried on linearly, as the mean of the elements at the node by
// their angle there. A node belongs to one body.
func (s *System) Stresses(u Displacement) []Stress {
	out := make([]Stress, len(s.Nodes))
	weight := make([]float64, len(s.Nodes))
	for e, v := range s.Element {
		a, b, g := s.Materials[s.Body[e]].law(s.PlaneStress)
		var at [3]Stress
		for i, q := range gauss {
			gy, gz, _ := s.gradients(e, q[0], q[1])
			var ey, ez, gm float64
			for j, n := range v {
				ey += gy[j] * u[n].Y
				ez += gz[j] * u[n].Z
				gm += gz[j]*u[n].Y + gy[j]*u[n].Z
			}
			at[i] = Stress{a*ey + b*ez, b*ey + a*ez, g * gm}
		}
		// The linear function through the three points: at corner i it is
		// 5/3 of point i less a third of the others.
		var c [3]Stress
		for i := range 3 {
			c[i] = Stress{}.add(at[i], 5./3).add(at[(i+1)%3], -1./3).add(at[(i+2)%3], -1./3)
		}
		p := [3]geom.Vec{s.Nodes[v[0]], s.Nodes[v[1]], s.Nodes[v[2]]}
		for i := range 3 {
			x, y := p[(i+1)%3].Sub(p[i]), p[(i+2)%3].Sub(p[i])
			w := math.Abs(math.Atan2(x.Cross(y), x.Dot(y)))
			out[v[i]] = out[v[i]].add(c[i], w)
			weight[v[i]] += w
			m := v[3+i]
			mid := Stress{}.add(c[i], 0.5).add(c[(i+1)%3], 0.5)
			out[m] = out[m].add(mid, math.Pi)
			weight[m] += math.Pi
		}
	}
	for n, w := range weight {
		if w > 0 {
			out[n] = Stress{out[n].YY / w, out[n].ZZ / w, out[n].YZ / w}
		}
	}
	return out
}

// Within returns the elements of a body that reach nearer than r to a point.
func (s *System) Within(body int, p geom.Vec, r float64) []int32 {
	var out []int32
	for e, v := range s.Element {
		if int(s.Body[e]) != body {
			continue
		}
		a, b, c := s.Nodes[v[0]], s.Nodes[v[1]], s.Nodes[v[2]]
		if max(a.Y, b.Y, c.Y) > p.Y-r && min(a.Y, b.Y, c.Y) < p.Y+r && max(a.Z, b.Z, c.Z) > p.Z-r && min(a.Z, b.Z, c.Z) < p.Z+r {
			out = append(out, int32(e))
		}
	}
	return out
}

// At returns the stress at a point, between the nodes' stresses; false where
// none of the elements, of those given, has the point.
func (s *System) At(stress []Stress, elements []int32, q geom.Vec) (Stress, bool) {
	for _, e := range elements {
		v := s.Element[e]
		a, b, c := s.Nodes[v[0]], s.Nodes[v[1]], s.Nodes[v[2]]
		d := turn(a, b, c)
		l1, l2 := turn(q, b, c)/d, turn(a, q, c)/d
		if min(l1, l2, 1-l1-l2) < -1e-9 {
			continue
		}
		n, _, _ := shape(l1, l2)
		var out Stress
		for i, k := range v {
			out = out.add(stress[k], n[i])
		}
		return out, true
	}
	return Stress{}, false
}

// Energy returns the strain energy, N mm per mm of depth, of a displacement:
// half of what the loads did, when nothing else did work.
func (s *System) Energy(u Displacement) float64 {
	sum := 0.0
	for e, v := range s.Element {
		k := s.stiffness(e)
		var x [12]float64
		for i, n := range v {
			a := s.axis[n]
			x[2*i], x[2*i+1] = a.Dot(u[n]), a.Cross(u[n])
		}
		for i := range 12 {
			for j := range 12 {
				sum += x[i] * k[i][j] * x[j] / 2
			}
		}
	}
	return sum
}
