package preview

import "math"

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
	type edge struct{ from, to node }
	n := 0
	for _, r := range rings {
		n += len(r)
	}
	there := make(map[edge]struct{}, n)
	for _, r := range rings {
		for i, p := range r {
			there[edge{nodeOf(p), nodeOf(r[(i+1)%len(r)])}] = struct{}{}
		}
	}
	// Sides that begin at the same node are chained, the last first.
	type side struct {
		p, q xy
		to   node
		next int
		used bool
	}
	var sides []side
	first := map[node]int{}
	for _, r := range rings {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			a, b := nodeOf(p), nodeOf(q)
			if a == b {
				continue
			}
			if _, both := there[edge{b, a}]; both {
				continue
			}
			next, ok := first[a]
			if !ok {
				next = -1
			}
			first[a] = len(sides)
			sides = append(sides, side{p: p, q: q, to: b, next: next})
		}
	}
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
