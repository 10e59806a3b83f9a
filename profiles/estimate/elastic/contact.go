package elastic

import (
	"errors"
	"slices"

	"cogmend/profiles/geom"
)

// ErrContact: no set of touching pairs was found that neither pulls nor lets
// the bodies enter one another.
var ErrContact = errors.New("the contact does not settle")

// Pair is two nodes at one place, on two bodies that may press on one another
// there, but not pull, and slide without friction.
type Pair struct {
	A, B   int32    // nodes of the two bodies
	Normal geom.Vec // unit length, from A's body into B's
}

// Contact is a factored system with its pairs. It serves one at a time.
type Contact struct {
	s     *System
	pairs []Pair
	dof   [][2]int32 // of each pair, places of its two displacements in the root
	n     int        // displacements in the root
	soft  float64    // stiffness that holds a body which no pair holds: far too little to matter

	// Room for solve.
	a, b, shift []float64
	to, name    []int32
}

// Touch leaves the pairs' normal displacements to a contact and factors the
// rest. What is held must be held before.
func (s *System) Touch(pairs []Pair) (*Contact, error) {
	c := &Contact{s: s, pairs: pairs}
	for _, p := range pairs {
		s.keep(p.A, p.Normal)
		s.keep(p.B, p.Normal)
	}
	if err := s.factor(); err != nil {
		return nil, err
	}
	place := map[int32]int32{}
	for i, d := range s.root.dof {
		place[d] = int32(i)
	}
	c.n = len(s.root.dof)
	c.a, c.b, c.shift = make([]float64, c.n*c.n), make([]float64, c.n), make([]float64, c.n)
	c.to, c.name = make([]int32, c.n), make([]int32, c.n)
	for _, p := range pairs {
		c.dof = append(c.dof, [2]int32{place[2*p.A], place[2*p.B]})
	}
	for i := range c.n {
		c.soft = max(c.soft, 1e-11*c.stiffness(i, i))
	}
	return c, nil
}

// State is what a load and gaps come to.
type State struct {
	Displacement Displacement // of the nodes, mm
	Force        []float64    // of each pair, N per mm of depth, 0 or more
	Touching     int          // how many pairs touch
	Rounds       int          // how often the contact was gone through
}

// Carried is a load carried on to what is left to the contact. The parts of a
// load may be carried apart and added: a fifth of the work when the same load
// comes again.
type Carried []float64

// Carry carries a load on to what is left to the contact.
func (c *Contact) Carry(l Load) Carried {
	u := slices.Clone(l)
	c.s.forward(u)
	return Carried(u)
}

// Solve finds the displacements under a load when the pairs stand apart by
// gap before it: less than 0 where the bodies were made to overlap.
func (c *Contact) Solve(l Load, gap []float64) (State, error) {
	return c.SolveCarried(c.Carry(l), gap)
}

// SolveCarried is Solve for a load that was carried on; it uses the load up.
func (c *Contact) SolveCarried(u Carried, gap []float64) (State, error) {
	f := make([]float64, c.n)
	for i, d := range c.s.root.dof {
		f[i] = u[d]
	}
	on := make([]bool, len(c.pairs))
	for i := range on {
		on[i] = true
	}
	x := make([]float64, c.n)
	const most = 60
	for round := 1; round <= most; round++ {
		if !c.solve(on, f, gap, x) {
			return State{}, ErrLoose
		}
		force := c.forces(on, f, x)
		if changed := c.change(on, force, x, gap, round); changed {
			continue
		}
		st := State{Force: force, Rounds: round}
		for i, d := range c.s.root.dof {
			u[d] = x[i]
		}
		for _, t := range on {
			if t {
				st.Touching++
			}
		}
		c.s.backward(u)
		st.Displacement = c.s.plain(u)
		return st, nil
	}
	return State{}, ErrContact
}

// change takes the pairs that pull out of the set and those that overlap into
// it. After some rounds only the worst one changes, which cannot go in a
// circle for long.
func (c *Contact) change(on []bool, force, x, gap []float64, round int) bool {
	scale := 0.0
	for _, f := range force {
		scale = max(scale, f, -f)
	}
	width := 0.0
	for i := range gap {
		width = max(width, gap[i], -gap[i])
	}
	for _, v := range x {
		width = max(width, v, -v)
	}
	worst, at := 0.0, -1
	changed := false
	for i := range on {
		var bad float64
		if on[i] {
			bad = -force[i]/(scale+1e-300) - 1e-9
		} else {
			bad = -(gap[i]+x[c.dof[i][1]]-x[c.dof[i][0]])/(width+1e-300) - 1e-9
		}
		if bad <= 0 {
			continue
		}
		changed = true
		if round <= 25 {
			on[i] = !on[i]
		} else if bad > worst {
			worst, at = bad, i
		}
	}
	if at >= 0 {
		on[at] = !on[at]
	}
	return changed
}

// solve finds the kept displacements with the pairs of the set touching.
func (c *Contact) solve(on []bool, f, gap, x []float64) bool {
	// A touching pair has one unknown, its A's displacement; B's is that less
	// the gap.
	to, shift := c.to, c.shift
	clear(shift)
	for i := range to {
		to[i] = int32(i)
	}
	for i, t := range on {
		if t {
			to[c.dof[i][1]] = c.dof[i][0]
			shift[c.dof[i][1]] = -gap[i]
		}
	}
	name := c.name
	m := int32(0)
	for i, k := range to {
		if int(k) == i {
			name[i] = m
			m++
		}
	}
	n := int(m)
	a, b := c.a[:n*n], c.b[:n]
	clear(a)
	clear(b)
	for i := range c.n {
		r := int(name[to[i]])
		b[r] += f[i]
		for j := range c.n {
			k := c.stiffness(i, j)
			b[r] -= k * shift[j]
			if q := int(name[to[j]]); q <= r {
				a[r*n+q] += k
			}
		}
		a[r*n+r] += c.soft
	}
	if !cholesky(a, n, n) {
		return false
	}
	for i := range n {
		b[i] = (b[i] - dot(a[i*n:i*n+i], b[:i])) / a[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		b[i] /= a[i*n+i]
		for j := range i {
			b[j] -= a[i*n+j] * b[i]
		}
	}
	for i := range x {
		x[i] = b[name[to[i]]] + shift[i]
	}
	return true
}

func (c *Contact) stiffness(i, j int) float64 {
	if j > i {
		i, j = j, i
	}
	return c.s.root.row(i)[j]
}

// forces returns what each touching pair presses with, from B's balance.
func (c *Contact) forces(on []bool, f, x []float64) []float64 {
	out := make([]float64, len(on))
	for i, t := range on {
		if !t {
			continue
		}
		d := int(c.dof[i][1])
		v := -f[d]
		for j := range c.n {
			v += c.stiffness(d, j) * x[j]
		}
		out[i] = v
	}
	return out
}
