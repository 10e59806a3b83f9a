package machine

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestExtent: arcs of all planes and turns reach as far as their chords do, which
// lie inside them by a known height at most.
func TestExtent(t *testing.T) {
	const chord = 1e-5
	r := rand.New(rand.NewPCG(1, 2))
	for n := range 2000 {
		plane := 17 + n%3
		p, q, normal, _ := planeAxes(plane)
		radius := 0.1 + 50*r.Float64()
		from, sweep := 2*math.Pi*r.Float64(), (4*r.Float64()-2)*math.Pi
		var centre, start, end [axes]float64
		centre[p], centre[q] = 100*r.Float64()-50, 100*r.Float64()-50
		start[p], start[q] = centre[p]+radius*math.Cos(from), centre[q]+radius*math.Sin(from)
		end[p], end[q] = centre[p]+radius*math.Cos(from+sweep), centre[q]+radius*math.Sin(from+sweep)
		end[normal] = 10*r.Float64() - 5
		m := Motion{Kind: Arc, From: position(start), To: position(end), Arc: &ArcData{Plane: plane, Centre: position(centre), Radius: radius, Sweep: sweep}}
		lo, hi := Extent(&m)
		least, most := coordinates(m.From), coordinates(m.From)
		Flatten(m, chord, func(_, to Position) {
			for i, v := range coordinates(to) {
				least[i], most[i] = min(least[i], v), max(most[i], v)
			}
		})
		for i := range axes {
			under, over := least[i]-coordinates(lo)[i], coordinates(hi)[i]-most[i]
			if under < -1e-9 || under > chord+1e-9 || over < -1e-9 || over > chord+1e-9 {
				t.Fatalf("plane %d, radius %g, sweep %g: axis %d from %g to %g, by chords %g to %g", plane, radius, sweep, i, coordinates(lo)[i], coordinates(hi)[i], least[i], most[i])
			}
		}
	}
}

// TestExtentUnknown: an axis that is not known stays so.
func TestExtentUnknown(t *testing.T) {
	nan := math.NaN()
	lo, hi := Extent(&Motion{From: Position{nan, 1, nan, 0}, To: Position{nan, 3, 2, 90}})
	if !math.IsNaN(lo.X) || !math.IsNaN(hi.X) || lo.Y != 1 || hi.Y != 3 || lo.Z != 2 || hi.Z != 2 || hi.A != 90 {
		t.Errorf("%+v to %+v", lo, hi)
	}
}
