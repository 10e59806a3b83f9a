package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles/estimate/elastic"
	"cogmend/profiles/geom"
)

// Figures of grey iron for the stress in the casting.
const (
	// Tensile strength, MPa, and toughness, MPa m^0.5, of No. 20 and No. 35 (ASTM
	// A48; toughness from an open table of material data).
	weakTensile, weakToughness     = 138.0, 10.0
	strongTensile, strongToughness = 241.0, 15.0
	// Poisson's ratios: grey iron 0.25, steel 0.3 (from memory).
	ironPoisson, steelPoisson = 0.25, 0.3
	// A piece of casting this many times the point method's distance thick is
	// the least the method is meant for; in thinner ones a nearer point is
	// taken, which is more severe.
	nearShare = 4.0
)

// toughnessAt is the toughness of grey iron of a tensile strength, between
// those of No. 20 and No. 35 and never beyond them.
func toughnessAt(tensile float64) float64 {
	share := (tensile - weakTensile) / (strongTensile - weakTensile)
	return weakToughness + (strongToughness-weakToughness)*min(max(share, 0), 1)
}

// pointDistance is half of L = (K/sigma)^2/pi, mm: how far from a sharp corner
// the stress is read (theory of critical distances, the point method: D.
// Taylor, The Theory of Critical Distances, 2007; from memory).
func pointDistance(toughness, tensile float64) float64 {
	return 1000 * toughness * toughness / (tensile * tensile) / math.Pi / 2
}

// tensile is the casting's tensile strength, MPa.
func (s Section) tensile() float64 {
	if s.Tensile > 0 {
		return s.Tensile
	}
	return s.Casting.Strength().Limit
}

func (s Section) nearDistance() float64 {
	return min(pointDistance(toughnessAt(s.tensile()), s.tensile()), (s.Floor-s.Inner)/nearShare, (s.Seat-s.Floor)/nearShare)
}

func (s Section) materials() []elastic.Material {
	e := s.Elastic
	if e == 0 {
		e = s.Casting.Strength().Elastic
	}
	return []elastic.Material{
		castingBody: {Elastic: e, Poisson: ironPoisson},
		insertBody:  {Elastic: s.Insert.Strength().Elastic, Poisson: steelPoisson},
	}
}

// hold keeps the ring from moving as a whole. All loads are in balance, so
// the supports carry nothing.
func (m *model) hold() {
	far := m.inner[0]
	nodes := m.sys.Nodes
	for _, n := range m.inner {
		if nodes[n].Z < nodes[far].Z {
			far = n
		}
	}
	other := m.inner[0]
	m.sys.Fix(far)
	d := nodes[other].Sub(nodes[far])
	m.sys.Hold(other, geom.Vec{Y: -d.Z, Z: d.Y})
}

// balance adds to a load what web or spokes answer it with: an even traction
// round the inner circle, along it against the torque and straight against the
// force.
func (m *model) balance(l elastic.Load, force geom.Vec, moment float64) error {
	fields := [3]func(p geom.Vec) geom.Vec{
		func(geom.Vec) geom.Vec { return geom.Vec{Y: 1} },
		func(geom.Vec) geom.Vec { return geom.Vec{Z: 1} },
		func(p geom.Vec) geom.Vec { return geom.Vec{Y: -p.Z, Z: p.Y}.Scale(1 / p.Norm()) },
	}
	var a [3][4]float64
	for k, f := range fields {
		unit := m.around(f)
		r, t := m.resultant(unit)
		a[0][k], a[1][k], a[2][k] = r.Y, r.Z, t
	}
	a[0][3], a[1][3], a[2][3] = -force.Y, -force.Z, -moment
	x, ok := solve3(a)
	if !ok {
		return fmt.Errorf("the inner circle cannot answer the load: %w", elastic.ErrLoose)
	}
	for i, v := range m.around(func(p geom.Vec) geom.Vec {
		return fields[0](p).Scale(x[0]).Add(fields[1](p).Scale(x[1])).Add(fields[2](p).Scale(x[2]))
	}) {
		l[i] += v
	}
	return nil
}

func (m *model) around(traction func(geom.Vec) geom.Vec) elastic.Load {
	l := m.sys.NewLoad()
	for i, n := range m.inner {
		m.sys.Press(l, n, m.inner[(i+1)%len(m.inner)], traction)
	}
	return l
}

func (m *model) resultant(l elastic.Load) (force geom.Vec, moment float64) {
	for n, f := range m.sys.Forces(l) {
		force = force.Add(f)
		moment += m.sys.Nodes[n].Cross(f)
	}
	return force, moment
}

// solve3 solves three equations by elimination.
func solve3(a [3][4]float64) (x [3]float64, ok bool) {
	for i := range 3 {
		best := i
		for j := i; j < 3; j++ {
			if math.Abs(a[j][i]) > math.Abs(a[best][i]) {
				best = j
			}
		}
		a[i], a[best] = a[best], a[i]
		if a[i][i] == 0 {
			return x, false
		}
		for j := range 3 {
			if j == i {
				continue
			}
			f := a[j][i] / a[i][i]
			for k := i; k < 4; k++ {
				a[j][k] -= f * a[i][k]
			}
		}
	}
	for i := range 3 {
		x[i] = a[i][3] / a[i][i]
	}
	return x, true
}

// gaps of the pairs for an interference, mm across the dovetail, on the right
// flank.
func (m *model) gaps(interference float64) []float64 {
	g := make([]float64, len(m.pairs))
	for i, s := range m.side {
		if s > 0 {
			g[i] = -interference * math.Cos(m.sec.HalfAngle)
		}
	}
	return g
}
