package figure

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// hatchLines returns the 45 degree lines that fill the union of rings, which
// all run the same way round. The lines lie on one grid for the whole panel, so
// the pieces of a body are hatched as one.
func hatchLines(rings [][]xy, h hatching) [][]xy {
	var out [][]xy
	if h&hatchUp != 0 {
		out = hatchOne(out, rings, 1, 0)
	}
	if h&hatchDown != 0 {
		// Half a step aside, so that two parts never seem to share lines.
		out = hatchOne(out, rings, -1, 0.5)
	}
	return out
}

// crossing is where hatching line n enters or leaves a ring.
type crossing struct {
	n     int
	along float64
	turn  int
}

// crossings keeps memory for lists of them.
var crossings = sync.Pool{New: func() any { return new([]crossing) }}

// hatchOne adds the lines x + sense*y = (n + phase) * step.
func hatchOne(out, rings [][]xy, sense, phase float64) [][]xy {
	const step = hatchStep * math.Sqrt2
	across := func(p xy) float64 { return (p.x+sense*p.y)/step - phase }
	met := crossings.Get().(*[]crossing)
	defer crossings.Put(met)
	all := (*met)[:0]
	for _, ring := range rings {
		p := ring[len(ring)-1]
		for _, q := range ring {
			a, b, turn := p, q, 1
			ca, cb := across(a), across(b)
			if ca > cb {
				a, b, ca, cb, turn = b, a, cb, ca, -1
			}
			for n := int(math.Ceil(ca)); float64(n) < cb; n++ {
				m := lerp(a, b, (float64(n)-ca)/(cb-ca))
				all = append(all, crossing{n, m.x, turn})
			}
			p = q
		}
	}
	*met = all
	slices.SortFunc(all, func(a, b crossing) int {
		return cmp.Or(cmp.Compare(a.n, b.n), cmp.Compare(a.along, b.along))
	})
	ends := make([]xy, 0, len(all))
	for len(all) > 0 {
		n, k := all[0].n, 1
		for k < len(all) && all[k].n == n {
			k++
		}
		at := func(x float64) xy { return xy{x, sense * ((float64(n)+phase)*step - x)} }
		for _, s := range spans(all[:k]) {
			ends = append(ends, at(s[0]), at(s[1]))
			out = append(out, ends[len(ends)-2:len(ends):len(ends)])
		}
		all = all[k:]
	}
	return out
}

// spans turns the sorted crossings of one line into the stretches inside any
// ring. Stretches that touch within half a pixel are one: they belong to pieces
// of one body.
func spans(cs []crossing) [][2]float64 {
	var out [][2]float64
	winding, start := 0, 0.0
	for _, c := range cs {
		if winding == 0 {
			start = c.along
		}
		winding += c.turn
		if winding != 0 {
			continue
		}
		if n := len(out); n > 0 && start-out[n-1][1] < 0.5 {
			out[n-1][1] = c.along
		} else {
			out = append(out, [2]float64{start, c.along})
		}
	}
	return out
}
