package figure

import (
	"math"
	"sync"
)

// lattice is the fineness to which ends of edges are compared, per page pixel.
const lattice = 64

// node is a lattice point, both numbers in one.
type node uint64

func nodeOf(p xy) node {
	return node(uint32(int32(math.Round(p.x*lattice))))<<32 | node(uint32(int32(math.Round(p.y*lattice))))
}

// outline joins the edges that only one ring has into long lines. Rings run all
// the same way round, so an edge between two of them is there once in each
// sense. Edges inside the union that do not match remain; they cost time but do
// not show, for the fill covers them.
func outline(rings [][]xy) [][]xy {
	o := outliners.Get().(*outliner)
	defer outliners.Put(o)
	o.reset()
	for _, r := range rings {
		a := nodeOf(r[0])
		for i := range r {
			b := nodeOf(r[(i+1)%len(r)])
			o.there[way{a, b}] = struct{}{}
			a = b
		}
	}
	for _, r := range rings {
		for i, p := range r {
			o.add(p, r[(i+1)%len(r)])
		}
	}
	return o.lines()
}

// way is an edge by its ends.
type way struct{ from, to node }

// outliner is what outline works with.
type outliner struct {
	there map[way]struct{}
	sides []border
	first map[node]int // border that begins there
}

// border is an edge that only one ring has. Those that begin at the same node are
// chained, the last first.
type border struct {
	p, q xy
	to   node
	next int
	used bool
}

var outliners = sync.Pool{New: func() any { return new(outliner) }}

func (o *outliner) reset() {
	if o.there == nil {
		o.there, o.first = map[way]struct{}{}, map[node]int{}
	}
	clear(o.there)
	clear(o.first)
	o.sides = o.sides[:0]
}

// add takes in the edge from p to q, unless it is there the other way too.
func (o *outliner) add(p, q xy) {
	a, b := nodeOf(p), nodeOf(q)
	if a == b {
		return
	}
	if _, both := o.there[way{b, a}]; both {
		return
	}
	next, ok := o.first[a]
	if !ok {
		next = -1
	}
	o.first[a] = len(o.sides)
	o.sides = append(o.sides, border{p: p, q: q, to: b, next: next})
}

// lines chains the sides.
func (o *outliner) lines() [][]xy {
	sides, first := o.sides, o.first
	var out [][]xy
	for i := range sides {
		if sides[i].used {
			continue
		}
		line := []xy{sides[i].p}
		for k := i; k >= 0; {
			sides[k].used = true
			line = append(line, sides[k].q)
			next, ok := first[sides[k].to]
			if !ok {
				break
			}
			for next >= 0 && sides[next].used {
				next = sides[next].next
			}
			k = next
		}
		out = append(out, line)
	}
	return out
}
