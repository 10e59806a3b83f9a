package estimate

import (
	"cmp"
	"math"
	"slices"

	"cogmend/profiles/estimate/elastic"
	"cogmend/profiles/geom"
)

// The bodies of a section.
const (
	castingBody = iota
	insertBody
)

// model is a section divided into elements.
type model struct {
	sec     Section
	sys     *elastic.System
	contact *elastic.Contact
	pairs   []elastic.Pair
	side    []int      // of each pair: -1 left flank, +1 right flank, 0 a shoulder
	sharp   []geom.Vec // re-entrant corners of the casting
	edges   []geom.Vec // where the contact ends: a stress there means nothing
	round   [][]int32  // elements round each of sharp
	smooth  []int32    // nodes of the casting far enough from both
	middle  int32      // node in the middle of the slot's floor
	floor   []int32    // nodes along the floor
	bottom  []int32    // nodes along the insert's bottom
	load    [2]int32   // nodes at the tip corners of the new tooth, +Y and -Y
	inner   []int32    // nodes round the inner circle
	near    float64    // distance of the point method
	metal   int        // nodes of the casting, which come first

	tooth [2]elastic.Carried // a newton on the tooth's tip, on its +Y and on its -Y side; nil before it is asked for
	screw elastic.Carried    // a newton of the screw's push
}

// spot asks for small elements at a place.
type spot struct {
	at   geom.Vec
	size float64
}

// growth is how fast the elements grow away from a spot.
const growth = 0.33

// sizes gives the size of the elements anywhere: at most a share of the radius,
// so that circles stay round.
func sizes(spots []spot, most float64) func(geom.Vec) float64 {
	return func(p geom.Vec) float64 {
		h := min(most, 0.35*p.Norm())
		for _, s := range spots {
			h = min(h, s.size+growth*p.Sub(s.at).Norm())
		}
		return h
	}
}

// spots of the casting; fine is 1, smaller for a finer mesh.
func (s Section) spots(near, fine float64) (casting, insert []spot) {
	deep, under := s.Seat-s.Floor, s.Floor-s.Inner
	m := s.Tooth.Module
	both := func(to []spot, y, z, h float64) []spot {
		return append(to, spot{geom.Vec{Y: y, Z: z}, h * fine}, spot{geom.Vec{Y: -y, Z: z}, h * fine})
	}
	contact := deep / 14
	for _, c := range []*[]spot{&casting, &insert} {
		*c = both(*c, s.halfAt(s.Bottom), s.Bottom, min(near/4, deep/20))
		*c = both(*c, s.MouthHalf, s.Seat, contact)
	}
	casting = both(casting, s.halfAt(s.Floor), s.Floor, near/5)
	casting = append(casting, spot{geom.Vec{Z: s.Floor}, fine * min(s.halfAt(s.Floor)/5, under/4)})
	casting = append(casting, spot{geom.Vec{Z: s.Inner}, fine * under / 4})
	casting = both(casting, s.PocketHalf, s.Seat, near/4)
	for _, o := range s.Open {
		casting = append(casting, spot{geom.Polar(s.Inner, o*s.Tooth.Pitch()), fine * under / 3})
		for _, y := range []float64{-1, 1} {
			p := geom.Turn(o * s.Tooth.Pitch()).Apply(geom.Vec{Y: y * s.halfAt(s.Floor), Z: s.Floor})
			casting = append(casting, spot{p, fine * near / 4})
		}
	}
	for _, k := range []float64{-1, 1} { // the teeth beside it, up to their far fillets
		for _, a := range []float64{0.75, 1, 1.25} {
			casting = append(casting, spot{geom.Polar(s.Neighbours.RootRadius(), k*a*s.Neighbours.Pitch()), fine * m / 3})
		}
	}
	insert = append(insert, spot{geom.Vec{Z: s.Tooth.PitchRadius()}, fine * m / 3})
	return casting, insert
}

// loop is an outline with its parts divided.
type loop struct {
	p     []geom.Vec
	named []named
}

type named struct {
	from, to int // points of the loop
	name     legName
	right    bool
}

// add puts a leg's divided points after those of the loop.
func (l *loop) add(p []geom.Vec, name legName, right bool) {
	if len(l.p) > 0 {
		p = p[1:]
	}
	from := max(0, len(l.p)-1)
	l.p = append(l.p, p...)
	l.named = append(l.named, named{from, len(l.p) - 1, name, right})
}

// outline makes a loop from right halves: right is walked from its end back
// to the middle, then the left one, which is mirrored. Where two bodies touch
// both must be divided alike, so there the size is joint's.
func (l *loop) outline(right, left []leg, size, joint func(geom.Vec) float64) {
	points := func(g leg) []geom.Vec {
		if g.name == plainLeg {
			return elastic.Divide(g.line, size)
		}
		return elastic.Divide(g.line, joint)
	}
	for _, g := range slices.Backward(right) {
		l.add(geom.Reversed(points(g)), g.name, true)
	}
	for _, g := range left {
		l.add(geom.Mirrored(points(g)), g.name, false)
	}
}

// windowAngle is how far to either side the casting is meshed freely.
func (s Section) windowAngle(places int) float64 {
	g := s.Neighbours
	a := (float64(places)+0.5)*g.Pitch() + 0.25*(g.RootRadius()-s.Inner)/g.RootRadius()
	a = max(a, (2.5*s.halfAt(s.Floor)+(s.Floor-s.Inner))/s.Floor)
	return min(a, mostWindow)
}

// mostWindow is the greatest angle to either side that is meshed freely.
const mostWindow = 0.75 * math.Pi

// mesh divides the section; fine is 1, or less for a finer mesh.
func (s Section) mesh(fine float64) (*model, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	m := &model{sec: s, near: s.nearDistance()}
	casting, insert := s.spots(m.near, fine)
	most := fine * max((s.Neighbours.RootRadius()-s.Inner)/2.5, s.Tooth.Module)
	b := meshing{model: m, casting: sizes(casting, most), insert: sizes(insert, most),
		joint: sizes(append(slices.Clone(casting), insert...), most)}
	if err := b.addCasting(); err != nil {
		return nil, err
	}
	if err := b.addInsert(); err != nil {
		return nil, err
	}
	b.addPairs()
	m.middle = nearest(b.mesh.Nodes[:b.first], geom.Vec{Z: s.Floor})
	m.floor, m.bottom = b.along(0, b.first, s.Floor), b.along(b.first, int32(len(b.mesh.Nodes)), s.Bottom)
	for i, g := range [2]Section{s, s.mirrored()} {
		flank, err := g.Tooth.RightFlank()
		if err != nil {
			return nil, err
		}
		tip := flank[0]
		tip.Y *= float64(1 - 2*i)
		m.load[i] = b.first + nearest(b.mesh.Nodes[b.first:], tip)
	}
	m.sys = elastic.NewSystem(b.mesh, s.materials(), false)
	m.hold()
	var err error
	if m.contact, err = m.sys.Touch(m.pairs); err != nil {
		return nil, err
	}
	m.readPlaces()
	return m, nil
}

// along returns the corner nodes, of those from one to another, at a height
// between the slot's flanks, in order.
func (b *meshing) along(from, to int32, z float64) (out []int32) {
	corner := map[int32]bool{}
	for _, e := range b.mesh.Element {
		corner[e[0]], corner[e[1]], corner[e[2]] = true, true, true
	}
	for n := from; n < to; n++ {
		if p := b.mesh.Nodes[n]; corner[n] && math.Abs(p.Z-z) < 1e-9 && math.Abs(p.Y) < b.sec.halfAt(z)+1e-9 {
			out = append(out, n)
		}
	}
	slices.SortFunc(out, func(i, j int32) int { return cmp.Compare(b.mesh.Nodes[i].Y, b.mesh.Nodes[j].Y) })
	return out
}

// meshing is a mesh that grows.
type meshing struct {
	*model
	mesh                   elastic.Mesh
	casting, insert, joint func(geom.Vec) float64
	cast, ins              loop
	ends                   [2]float64 // half widths at which the shoulders end, right and left
	first                  int32      // node of the insert
}

// addCasting meshes the casting: a window round the place freely, the rest of
// the ring in columns.
func (b *meshing) addCasting() error {
	s := b.sec
	var right, left []float64
	places := 1
	for _, o := range s.Open {
		k := int(math.Round(math.Abs(o)))
		if k > FarPlace || (float64(k)+1.5)*s.Neighbours.Pitch() > mostWindow-0.1 {
			continue // too far off to matter
		}
		places = max(places, k+1)
		if o > 0 {
			right = append(right, o)
		} else {
			left = append(left, -o)
		}
	}
	angle := s.windowAngle(places)
	rightLegs, err := s.castingHalf(right, places, angle)
	if err != nil {
		return err
	}
	leftLegs, err := s.mirrored().castingHalf(left, places, angle)
	if err != nil {
		return err
	}
	b.ends = [2]float64{shoulderEnd(rightLegs), shoulderEnd(leftLegs)}
	l := &b.cast
	l.outline(rightLegs, leftLegs, b.casting, b.joint)
	b.sharp = l.reentrant()
	top := len(l.p) - 1 // the left end of the upper outline
	cut := elastic.Divide([]geom.Vec{geom.Polar(s.Neighbours.RootRadius(), angle), geom.Polar(s.Inner, angle)}, b.casting)
	inner := elastic.Divide(arcLine(s.Inner, -angle, angle), b.casting)
	for i, p := range inner {
		inner[i] = p.Scale(s.Inner / p.Norm())
	}
	l.add(geom.Mirrored(cut), plainLeg, false)
	l.add(inner, plainLeg, true)
	l.add(geom.Reversed(cut), plainLeg, true)
	l.p = l.p[:len(l.p)-1]
	p, tris, err := elastic.Triangulate(l.p, b.casting)
	if err != nil {
		return err
	}
	b.mesh.Corners(p)
	b.mesh.Add(tris, castingBody, onCircles(s.Inner, s.Neighbours.RootRadius(), s.Neighbours.TipRadius()))
	r := ring{from: angle, right: make([]int32, len(cut)), left: make([]int32, len(cut))}
	for i, q := range cut {
		r.left[i] = int32(top + i)
		r.right[i] = int32((len(l.p) - i) % len(l.p))
		r.radius = append(r.radius, q.Norm())
	}
	for i := range inner {
		b.inner = append(b.inner, int32(top+len(cut)-1+i))
	}
	b.inner = append(b.inner, r.close(&b.mesh)...)
	b.first = int32(len(b.mesh.Nodes))
	b.metal = len(b.mesh.Nodes)
	return nil
}

// addInsert meshes the insert.
func (b *meshing) addInsert() error {
	var halves [2][]leg
	for i, s := range [2]Section{b.sec, b.sec.mirrored()} {
		var err error
		if halves[i], err = s.insertHalf(b.ends[i]); err != nil {
			return err
		}
	}
	l := &b.ins
	l.outline(halves[0], halves[1], b.insert, b.joint)
	// From the tip down the right side and up the left it runs clockwise.
	l.p = l.p[:len(l.p)-1]
	p, tris, err := elastic.Triangulate(geom.Reversed(l.p), b.insert)
	if err != nil {
		return err
	}
	b.mesh.Corners(p)
	for i := range tris {
		for j := range tris[i] {
			tris[i][j] += b.first
		}
	}
	b.mesh.Add(tris, insertBody, nil)
	return nil
}

// insertNode is the node of a point of the insert's loop.
func (b *meshing) insertNode(i int) int32 {
	n := len(b.ins.p)
	return b.first + int32((2*n-1-i)%n)
}

// addPairs finds the nodes that touch: the two bodies were divided alike where
// they do.
func (b *meshing) addPairs() {
	sin, cos := math.Sincos(b.sec.HalfAngle)
	for _, x := range b.cast.named {
		if x.name == plainLeg {
			continue
		}
		i := slices.IndexFunc(b.ins.named, func(y named) bool { return y.name == x.name && y.right == x.right })
		if i < 0 {
			continue
		}
		y := b.ins.named[i]
		normal, side := geom.Vec{Z: 1}, 0
		if x.name == flankLeg {
			normal, side = geom.Vec{Y: cos, Z: -sin}, -1
			if x.right {
				normal, side = geom.Vec{Y: -cos, Z: -sin}, 1
			}
		}
		for k := 0; k <= x.to-x.from; k++ {
			// The corner at the mouth belongs to the flank.
			mouth := k == x.to-x.from && x.right || k == 0 && !x.right
			if x.name == flankLeg || !mouth {
				b.pair(int32(x.from+k), b.insertNode(y.from+k), normal, side)
			}
			if k < x.to-x.from {
				p, _ := b.mesh.Middle(int32(x.from+k), int32(x.from+k+1))
				q, _ := b.mesh.Middle(b.insertNode(y.from+k), b.insertNode(y.from+k+1))
				b.pair(p, q, normal, side)
			}
		}
		b.edges = append(b.edges, b.cast.p[x.from], b.cast.p[x.to])
	}
}

func (b *meshing) pair(p, q int32, normal geom.Vec, side int) {
	b.pairs = append(b.pairs, elastic.Pair{A: p, B: q, Normal: normal})
	b.side = append(b.side, side)
}

// shoulderEnd is the half width at which a half's shoulder ends.
func shoulderEnd(half []leg) float64 {
	for _, g := range half {
		if g.name == shoulderLeg {
			return g.line[len(g.line)-1].Y
		}
	}
	return 0
}

// reentrant returns the corners of a loop where the metal turns by more than
// ten degrees over the half.
func (l *loop) reentrant() (out []geom.Vec) {
	for i := 1; i+1 < len(l.p); i++ {
		a, b := l.p[i].Sub(l.p[i-1]), l.p[i+1].Sub(l.p[i])
		if math.Atan2(a.Cross(b), a.Dot(b)) < -geom.Radians(35) {
			out = append(out, l.p[i])
		}
	}
	return out
}

func nearest(nodes []geom.Vec, to geom.Vec) int32 {
	best := 0
	for i, p := range nodes {
		if p.Sub(to).Norm() < nodes[best].Sub(to).Norm() {
			best = i
		}
	}
	return int32(best)
}
