package preview

import "math"

// lattice is the fineness to which ends of edges are compared, per page pixel.
const lattice = 64

type node struct{ x, y int }

func nodeOf(p xy) node {
	return node{int(math.Round(p.x * lattice)), int(math.Round(p.y * lattice))}
}

// outline joins the edges that only one ring has into long lines. Rings run all
// the same way round, so an edge between two of them is there once in each
// sense. Edges inside the union that do not match remain; they cost time but do
// not show, for the fill covers them.
func outline(rings [][]xy) [][]xy {
	type edge struct{ from, to node }
	count := map[edge]int{}
	for _, r := range rings {
		for i, p := range r {
			count[edge{nodeOf(p), nodeOf(r[(i+1)%len(r)])}]++
		}
	}
	type side struct {
		p, q xy
		used bool
	}
	var sides []side
	starts := map[node][]int{}
	for _, r := range rings {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			a, b := nodeOf(p), nodeOf(q)
			if a == b || count[edge{b, a}] > 0 {
				continue
			}
			starts[a] = append(starts[a], len(sides))
			sides = append(sides, side{p: p, q: q})
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
			next := -1
			for _, n := range starts[nodeOf(sides[k].q)] {
				if !sides[n].used {
					next = n
					break
				}
			}
			k = next
		}
		out = append(out, line)
	}
	return out
}
