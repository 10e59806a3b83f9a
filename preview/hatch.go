package preview

import (
	"cmp"
	"maps"
	"math"
	"slices"
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

// crossing is where a hatching line enters or leaves a ring.
type crossing struct {
	along float64
	turn  int
}

// hatchOne adds the lines x + sense*y = (n + phase) * step.
func hatchOne(out, rings [][]xy, sense, phase float64) [][]xy {
	const step = hatchStep * math.Sqrt2
	across := func(p xy) float64 { return (p.x+sense*p.y)/step - phase }
	lines := map[int][]crossing{}
	for _, ring := range rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			cp, cq := across(p), across(q)
			turn := 1
			if cp > cq {
				p, q, cp, cq, turn = q, p, cq, cp, -1
			}
			for n := int(math.Ceil(cp)); float64(n) < cq; n++ {
				m := lerp(p, q, (float64(n)-cp)/(cq-cp))
				lines[n] = append(lines[n], crossing{m.x, turn})
			}
		}
	}
	for _, n := range slices.Sorted(maps.Keys(lines)) {
		at := func(x float64) xy { return xy{x, sense * ((float64(n)+phase)*step - x)} }
		for _, s := range spans(lines[n]) {
			out = append(out, []xy{at(s[0]), at(s[1])})
		}
	}
	return out
}

// spans turns crossings into the stretches inside any ring. Stretches that
// touch within half a pixel are one: they belong to pieces of one body.
func spans(cs []crossing) [][2]float64 {
	slices.SortFunc(cs, func(a, b crossing) int { return cmp.Compare(a.along, b.along) })
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
