package elastic

import (
	"math"
	"slices"
)

// The stiffness is factored by substructures (B. M. Irons, A frontal solution
// program for finite element analysis, Int. J. Num. Meth. Eng. 2, 1970; nested
// dissection, A. George, SIAM J. Num. Anal. 10, 1973; both from memory): the
// elements are halved again and again; a half's inner displacements are
// eliminated, and what is left of it is a small full matrix on its border. The
// displacements left to the contact are never eliminated, so that any contact
// is solved on a small matrix, whatever the mesh.

// front is one substructure: its first pivots displacements are eliminated.
type front struct {
	dof    []int32
	pivots int
	l      []float64 // a row of pivots numbers for each displacement: the factor, then how the border hangs on it
}

// border is what is left of a substructure when its inner displacements are
// eliminated.
type border struct {
	dof   []int32
	count []int32   // elements that have each displacement, in this substructure
	a     []float64 // its stiffness, lower rows one after another
}

// row is the lower part of row i.
func (b *border) row(i int) []float64 { return b.a[i*(i+1)/2 : (i+1)*(i+2)/2] }

const leafElements = 6

// factor eliminates all that is not held and not left to the contact.
func (s *System) factor() error {
	if s.fronts != nil {
		return nil
	}
	f := factorer{s: s, need: make([]int32, 2*len(s.Nodes)), place: make([]int32, 2*len(s.Nodes))}
	order := make([]int32, len(s.Element))
	f.centre = make([][2]float64, len(s.Element))
	for e, v := range s.Element {
		order[e] = int32(e)
		for _, n := range v {
			f.need[2*n]++
			f.need[2*n+1]++
		}
		p := s.Nodes[v[0]].Add(s.Nodes[v[1]]).Add(s.Nodes[v[2]])
		f.centre[e] = [2]float64{p.Y, p.Z}
	}
	for i := range f.place {
		f.place[i] = -1
	}
	// Bodies first: they share no node.
	slices.SortStableFunc(order, func(a, b int32) int { return int(s.Body[a] - s.Body[b]) })
	var whole border
	for from := 0; from < len(order); {
		to := from
		for to < len(order) && s.Body[order[to]] == s.Body[order[from]] {
			to++
		}
		part, err := f.eliminate(order[from:to])
		if err != nil {
			return err
		}
		if from == 0 {
			whole = part
		} else if whole, err = f.reduce(f.merge(whole, part)); err != nil {
			return err
		}
		from = to
	}
	s.root = whole
	s.root.a = slices.Clone(whole.a)
	return nil
}

type factorer struct {
	s      *System
	need   []int32 // elements that have each displacement
	place  []int32 // of each displacement in the front that is being built
	centre [][2]float64
	work   []float64   // the front that is being built
	spare  [][]float64 // room of borders that have been merged
	room   []float64   // for factors
}

// building is a front in the work room, its rows as long as it has
// displacements.
type building struct {
	dof, count []int32
	pivots     int
}

// eliminate returns what is left of some elements on their border.
func (f *factorer) eliminate(e []int32) (border, error) {
	if len(e) <= leafElements {
		return f.reduce(f.leaf(e))
	}
	lo, hi := f.centre[e[0]], f.centre[e[0]]
	for _, k := range e {
		for i := range 2 {
			lo[i], hi[i] = min(lo[i], f.centre[k][i]), max(hi[i], f.centre[k][i])
		}
	}
	axis := 0
	if hi[1]-lo[1] > hi[0]-lo[0] {
		axis = 1
	}
	half := len(e) / 2
	f.part(e, half, axis)
	a, err := f.eliminate(e[:half])
	if err != nil {
		return border{}, err
	}
	b, err := f.eliminate(e[half:])
	if err != nil {
		return border{}, err
	}
	return f.reduce(f.merge(a, b))
}

// part puts the half elements that lie lowest along an axis first.
func (f *factorer) part(e []int32, half, axis int) {
	slices.SortFunc(e, func(a, b int32) int {
		switch x, y := f.centre[a][axis], f.centre[b][axis]; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return int(a - b)
	})
}

// order lists the displacements, those that are complete first, notes their
// places and empties the work room for them.
func (f *factorer) order(dof []int32, count []int32) building {
	out := building{dof: make([]int32, 0, len(dof)), count: make([]int32, 0, len(dof))}
	for pass := range 2 {
		for i, d := range dof {
			if done := count[i] == f.need[d] && !f.s.kept[d]; done == (pass == 0) {
				f.place[d] = int32(len(out.dof))
				out.dof = append(out.dof, d)
				out.count = append(out.count, count[i])
			}
		}
		if pass == 0 {
			out.pivots = len(out.dof)
		}
	}
	n := len(dof)
	if n*n > len(f.work) {
		f.work = make([]float64, max(n*n, 2*len(f.work), 1<<14))
	}
	for i := range n {
		clear(f.work[i*n : i*n+i+1])
	}
	return out
}

func (f *factorer) leaf(e []int32) building {
	var dof, count []int32
	for _, k := range e {
		for _, n := range f.s.Element[k] {
			for d := 2 * n; d <= 2*n+1; d++ {
				if f.s.held[d] {
					continue
				}
				if f.place[d] < 0 {
					f.place[d] = int32(len(dof))
					dof, count = append(dof, d), append(count, 0)
				}
				count[f.place[d]]++
			}
		}
	}
	out := f.order(dof, count)
	n := len(dof)
	for _, k := range e {
		m := f.s.stiffness(int(k))
		var at [12]int32
		for i, nd := range f.s.Element[k] {
			for r := range int32(2) {
				at[2*i+int(r)] = -1
				if d := 2*nd + r; !f.s.held[d] {
					at[2*i+int(r)] = f.place[d]
				}
			}
		}
		for i, r := range at {
			for j, c := range at {
				if r >= c && c >= 0 {
					f.work[int(r)*n+int(c)] += m[i][j]
				}
			}
		}
	}
	f.clear(dof)
	return out
}

func (f *factorer) clear(dof []int32) {
	for _, d := range dof {
		f.place[d] = -1
	}
}

// merge adds two substructures' borders, which are used up.
func (f *factorer) merge(a, b border) building {
	dof := append(make([]int32, 0, len(a.dof)+len(b.dof)), a.dof...)
	count := append(make([]int32, 0, len(a.dof)+len(b.dof)), a.count...)
	for i, d := range a.dof {
		f.place[d] = int32(i)
	}
	for i, d := range b.dof {
		if p := f.place[d]; p >= 0 {
			count[p] += b.count[i]
			continue
		}
		dof, count = append(dof, d), append(count, b.count[i])
	}
	out := f.order(dof, count)
	n := len(dof)
	for _, x := range [2]*border{&a, &b} {
		at := x.dof // taken over by their places
		for i, d := range at {
			at[i] = f.place[d]
		}
		for i, r := range at {
			to := f.work[int(r)*n : int(r)*n+n]
			for j, v := range x.row(i) {
				if c := at[j]; c <= r {
					to[c] += v
				} else {
					f.work[int(c)*n+int(r)] += v
				}
			}
		}
		f.spare = append(f.spare, x.a)
	}
	f.clear(dof)
	return out
}

// reduce eliminates the pivots of the front in the work room, keeps its factor
// and returns its border.
func (f *factorer) reduce(x building) (border, error) {
	n, p := len(x.dof), x.pivots
	if p > 0 {
		if !cholesky(f.work, n, p) {
			return border{}, ErrLoose
		}
		l := f.take(n * p)
		for i := range n {
			copy(l[i*p:i*p+p], f.work[i*n:i*n+min(i+1, p)])
		}
		f.s.fronts = append(f.s.fronts, front{dof: x.dof, pivots: p, l: l})
	}
	m := n - p
	out := border{dof: slices.Clone(x.dof[p:]), count: x.count[p:], a: f.lend(m * (m + 1) / 2)}
	for i := range m {
		copy(out.row(i), f.work[(i+p)*n+p:])
	}
	return out, nil
}

// lend is room for a border, of one that is used up where there is one that is
// long enough.
func (f *factorer) lend(n int) []float64 {
	for i := len(f.spare) - 1; i >= 0; i-- {
		if s := f.spare[i]; cap(s) >= n {
			f.spare = slices.Delete(f.spare, i, i+1)
			return s[:n]
		}
	}
	return make([]float64, n)
}

// take is room for a factor.
func (f *factorer) take(n int) []float64 {
	if n > len(f.room) {
		f.room = make([]float64, max(n, 1<<15))
	}
	out := f.room[:n:n]
	f.room = f.room[n:]
	return out
}

// cholesky factors the first p columns of the lower rows of a symmetric
// matrix of n and takes their part out of the rest; false when it is not
// positive definite.
func cholesky(a []float64, n, p int) bool {
	for i := range p {
		ri := a[i*n : i*n+n]
		for j := range i {
			ri[j] = (ri[j] - dot(ri[:j], a[j*n:j*n+j])) / a[j*n+j]
		}
		d := ri[i] - dot(ri[:i], ri[:i])
		if !(d > 1e-13*math.Abs(ri[i])) {
			return false
		}
		ri[i] = math.Sqrt(d)
	}
	i := p
	for ; i+1 < n; i += 2 {
		r0, r1 := a[i*n:i*n+n], a[(i+1)*n:(i+1)*n+n]
		for j := range p {
			s0, s1 := dot2(r0[:j], r1[:j], a[j*n:j*n+j])
			d := a[j*n+j]
			r0[j], r1[j] = (r0[j]-s0)/d, (r1[j]-s1)/d
		}
	}
	if i < n {
		r := a[i*n : i*n+n]
		for j := range p {
			r[j] = (r[j] - dot(r[:j], a[j*n:j*n+j])) / a[j*n+j]
		}
	}
	for i = p; i < n; i += 2 {
		r0 := a[i*n : i*n+p]
		r1 := r0
		if i+1 < n {
			r1 = a[(i+1)*n : (i+1)*n+p]
		}
		for j := p; j <= i+1 && j < n; j += 2 {
			c0 := a[j*n : j*n+p]
			c1 := c0
			if j+1 < n {
				c1 = a[(j+1)*n : (j+1)*n+p]
			}
			s00, s01, s10, s11 := dot4(r0, r1, c0, c1)
			a[i*n+j] -= s00
			if i+1 < n {
				a[(i+1)*n+j] -= s10
			}
			if j+1 < n {
				a[i*n+j+1] -= s01
				if i+1 < n {
					a[(i+1)*n+j+1] -= s11
				}
			}
		}
	}
	return true
}

func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s, t float64
	i := 0
	for ; i+1 < len(a); i += 2 {
		s += a[i] * b[i]
		t += a[i+1] * b[i+1]
	}
	if i < len(a) {
		s += a[i] * b[i]
	}
	return s + t
}

// dot2 is two rows by one.
func dot2(a, b, c []float64) (s, t float64) {
	b, c = b[:len(a)], c[:len(a)]
	for i, x := range c {
		s += a[i] * x
		t += b[i] * x
	}
	return s, t
}

// dot4 is two rows by two.
func dot4(a, b, c, d []float64) (ac, ad, bc, bd float64) {
	b, c, d = b[:len(a)], c[:len(a)], d[:len(a)]
	for i, x := range a {
		y, u, v := b[i], c[i], d[i]
		ac += x * u
		ad += x * v
		bc += y * u
		bd += y * v
	}
	return ac, ad, bc, bd
}

// forward eliminates a load down to the kept displacements.
func (s *System) forward(u []float64) {
	v := make([]float64, s.mostPivots())
	for k := range s.fronts {
		x := &s.fronts[k]
		p := x.pivots
		v := v[:p]
		for i, d := range x.dof[:p] {
			row := x.l[i*p : i*p+i+1]
			v[i] = (u[d] - dot(row[:i], v)) / row[i]
			u[d] = v[i]
		}
		for i, d := range x.dof[p:] {
			u[d] -= dot(v, x.l[(i+p)*p:(i+p)*p+p])
		}
	}
}

// backward works the eliminated displacements out from the kept ones.
func (s *System) backward(u []float64) {
	v := make([]float64, s.mostPivots())
	for k := len(s.fronts) - 1; k >= 0; k-- {
		x := &s.fronts[k]
		p := x.pivots
		v := v[:p]
		for i, d := range x.dof[:p] {
			v[i] = u[d]
		}
		for i, d := range x.dof[p:] {
			less(v, x.l[(i+p)*p:(i+p)*p+p], u[d])
		}
		for i := p - 1; i >= 0; i-- {
			row := x.l[i*p : i*p+i+1]
			v[i] /= row[i]
			less(v[:i], row[:i], v[i])
			u[x.dof[i]] = v[i]
		}
	}
	for d, h := range s.held {
		if h {
			u[d] = 0
		}
	}
}

func (s *System) mostPivots() (n int) {
	for k := range s.fronts {
		n = max(n, s.fronts[k].pivots)
	}
	return n
}

// less takes k times b from a.
func less(a, b []float64, k float64) {
	b = b[:len(a)]
	for i, x := range b {
		a[i] -= k * x
	}
}
