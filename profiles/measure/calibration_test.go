package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// drawn is a gear out of a hat, as it would come to the bench.
type drawn struct {
	gear   profiles.Gear // heights, shift and thinning as it is
	listed bool
	rack   profiles.Rack // of the list, before blank and depth
}

// drawGear draws a gear of the list or, in the manner named, one that is not on
// it. Its shift, wear, blank and depth are drawn by rules of this test's own,
// not by those that Identify holds.
func drawGear(rng *rand.Rand, manner string) drawn {
	list := profiles.StandardPitches()
	for {
		p, s := list[rng.IntN(len(list))], systems[rng.IntN(len(systems))]
		if manner == "common" && rng.Float64() > s.weight*seriesWeight[p.Series] {
			continue
		}
		m, degrees := p.Module, s.pressure
		if manner == "odd pitch" || manner == "both odd" {
			m = 0.8 * math.Exp(rng.Float64()*math.Log(12.7/0.8))
		}
		if manner == "odd angle" || manner == "both odd" {
			degrees = 12 + 16*rng.Float64()
		}
		if m < 0.8 || m > 12.7 || s.fineOnly && p.Diametral < 20 {
			continue
		}
		if manner != "common" && manner != "even" && onList(m, degrees) {
			continue
		}
		rack, _ := profiles.RackFor(s.rack, m)
		g := profiles.Gear{Teeth: 14 + rng.IntN(107), Module: m, Pressure: geom.Radians(degrees), Rack: rack}
		cut := 0.0
		if rng.IntN(4) == 0 {
			g.Shift = max(-0.6, min(0.8, 0.25*rng.NormFloat64()))
			mate := 14 + rng.IntN(107)
			cut = shortened(g.Teeth+mate, g.Pressure, g.Shift+max(0, 0.5*rng.Float64()))
		}
		g.Rack.Addendum += 0.02*(2*rng.Float64()-1) - cut
		g.Rack.Dedendum += 0.06*rng.Float64() - 0.01
		g.Thinning = 0.04 * math.Abs(rng.NormFloat64()) * m
		if rng.IntN(10) == 0 {
			g.Thinning = (0.1 + 0.2*rng.Float64()) * m
		}
		if _, err := SpanTeeth(g); err == nil && g.Validate() == nil {
			return drawn{g, manner == "common" || manner == "even", rack}
		}
	}
}

// onList says whether a gear lies so near to one of the list that nobody would
// tell them apart: within 0.3 % of its module and half a degree.
func onList(m, degrees float64) bool {
	for _, p := range profiles.StandardPitches() {
		for _, s := range systems {
			if math.Abs(m/p.Module-1) < 0.003 && math.Abs(degrees-s.pressure) < 0.5 {
				return true
			}
		}
	}
	return false
}

// shortened is by how much the tips of a pair of so many teeth together are cut
// back for a sum of profile shifts, in modules, so that the clearance stays:
// that sum less the centre distance's modification, inv alpha_w = inv alpha +
// 2 sum tan alpha / (z1 + z2) (ISO 21771, tip alteration; from memory).
func shortened(teeth int, pressure, sum float64) float64 {
	if sum <= 0 {
		return 0
	}
	z := float64(teeth)
	working := profiles.InvInverse(profiles.Inv(pressure) + 2*sum*math.Tan(pressure)/z)
	return sum - z/2*(math.Cos(pressure)/math.Cos(working)-1)
}

// bench reads a gear as a person would: over the tips, and some of the rest.
func (d *drawn) bench(rng *rand.Rand) []Reading {
	g := d.gear
	k, _ := SpanTeeth(g)
	sigma := []float64{VernierSigma, MicrometerSigma}[rng.IntN(2)]
	rs := []Reading{{Kind: OutsideDiameter, Sigma: VernierSigma}}
	for i := range 1 + rng.IntN(3) {
		n := k + []int{0, 1, -1}[i]
		if _, err := Span(g, n); err == nil {
			rs = append(rs, Reading{Kind: SpanSize, Teeth: n, Sigma: sigma})
		}
	}
	if rng.IntN(2) == 0 {
		rs = append(rs, Reading{Kind: []ReadingKind{WholeDepth, RootDiameter}[rng.IntN(2)], Sigma: VernierSigma})
	}
	if p, ok := BestGearPin(g, profiles.StockPins(false)); ok && rng.IntN(4) == 0 {
		rs = append(rs, Reading{Kind: PinSize, Pin: p.Pin, Sigma: MicrometerSigma})
	}
	if rng.IntN(4) == 0 {
		rs = append(rs, Reading{Kind: ChordSize, Height: math.Round(110*g.Module) / 100, Sigma: VernierSigma})
	}
	if rng.IntN(4) == 0 {
		rs = append(rs, Reading{Kind: TouchStep, Teeth: 1 + rng.IntN(2), Sigma: TouchSigma})
	}
	out := rs[:0]
	for _, r := range rs {
		if v := predict(&g, &r); !math.IsNaN(v) {
			r.Value = v + rng.NormFloat64()*r.spread(g.Module)
			out = append(out, r)
		}
	}
	return out
}

// right says whether a candidate is the gear, by module and pressure angle, and
// by the heights of its rack.
func (d *drawn) right(c Candidate) (pitch, all bool) {
	pitch = d.listed && math.Abs(c.Gear.Module-d.gear.Module) < 1e-9 && math.Abs(c.Gear.Pressure-d.gear.Pressure) < 1e-9
	return pitch, pitch && c.Gear.Rack.Addendum == d.rack.Addendum && c.Gear.Rack.Dedendum == d.rack.Dedendum
}

// reliability counts statements by the chance stated, in tenths; the last are
// those from 95 % on.
type reliability struct {
	said, right [11]int
	stated      [11]float64
}

func (r *reliability) add(chance float64, right bool) {
	i := min(int(10*chance), 9)
	if chance >= 0.95 {
		i = 10
	}
	r.said[i]++
	r.stated[i] += chance
	if right {
		r.right[i]++
	}
}

// String is the table of what was stated and what was so.
func (r *reliability) String() string {
	var b strings.Builder
	edges := [...]int{0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 100}
	for i, n := range r.said {
		if i == 10 {
			edges[10] = 95
		}
		if n > 0 {
			fmt.Fprintf(&b, "  %3d to %3d %%: stated %5d times, %5.1f %% on average; so in %5.1f %%\n",
				edges[i], edges[i+1], n, 100*r.stated[i]/float64(n), 100*float64(r.right[i])/float64(n))
		}
	}
	return b.String()
}

// tooSure says in words where a statement is so less often than it says: what
// is called 95 % must be so 95 times of 100, and with tenths each other tenth as
// often as stated, less three times what chance alone makes of so many.
func (r *reliability) tooSure(tenths bool) string {
	var b strings.Builder
	for i, n := range r.said {
		if n == 0 || i < 10 && !tenths {
			continue
		}
		stated, right := r.stated[i]/float64(n), float64(r.right[i])/float64(n)
		least := stated - 0.03 - 3*math.Sqrt(stated*(1-stated)/float64(n))
		if i == 10 {
			least = 0.95
		}
		if right < least {
			fmt.Fprintf(&b, "stated %.0f %% on average, %d times, so in %.1f %%; ", 100*stated, n, 100*right)
		}
	}
	return b.String()
}

// statements are what Identify says of many gears.
type statements struct {
	all   reliability // every gear named, and none of the list
	first reliability // the first gear named
	pitch reliability // its pitch and pressure angle
	bare  reliability // that, were a gear of no standard left out of the sum
}

// identified draws gears in the manners given in turn and reads them.
func identified(t *testing.T, rng *rand.Rand, gears int, manners []string) *statements {
	t.Helper()
	s := &statements{}
	for i := range gears {
		d := drawGear(rng, manners[i%len(manners)])
		id, err := Identify(d.gear.Teeth, d.bench(rng))
		if err != nil {
			t.Fatalf("%+v: %v", d.gear, err)
		}
		sum := id.Free.Share
		s.all.add(id.Free.Share, !d.listed)
		for n, c := range id.Candidates {
			sum += c.Confidence
			byPitch, right := d.right(c)
			s.all.add(c.Confidence, right)
			if n == 0 {
				s.first.add(c.Confidence, right)
				s.pitch.add(id.SamePitch, byPitch)
				s.bare.add(id.SamePitch/(1-id.Free.Share+1e-12), byPitch)
			}
		}
		if math.Abs(sum-1) > 1e-3 {
			t.Fatalf("the chances of all add up to %.6f", sum)
		}
	}
	return s
}

// What Identify states as a chance is one: 1 000 gears, half of them off the
// list, worn, shifted, read with noise. What is called 95 % is so 95 times of 100,
// though Identify holds fewer to be off the list. The test can fail: the same
// statements with the gear of no standard left out are found too sure.
func TestIdentifyCalibrated(t *testing.T) {
	s := identified(t, rand.New(rand.NewPCG(95, 100)), 1000,
		[]string{"common", "odd pitch", "even", "both odd", "common", "odd pitch", "even", "odd angle"})
	for _, c := range []struct {
		what  string
		r     *reliability
		least int // of statements from 95 % on, lest it says nothing any more
	}{
		{"every answer, none of the list among them", &s.all, 300},
		{"the first gear", &s.first, 70},
		{"its pitch and pressure angle", &s.pitch, 130},
	} {
		t.Logf("%s:\n%v", c.what, c.r)
		if wrong := c.r.tooSure(false); wrong != "" {
			t.Errorf("%s: %s", c.what, wrong)
		}
		if c.r.said[10] < c.least {
			t.Errorf("%s: stated at 95 %% and over only %d times", c.what, c.r.said[10])
		}
	}
	if s.bare.tooSure(false) == "" {
		t.Errorf("without the gear of no standard nothing is too sure:\n%v", &s.bare)
	}
}

// Of gears as common as Identify holds them, a chance stated is met in each
// tenth.
func TestIdentifyReliability(t *testing.T) {
	s := identified(t, rand.New(rand.NewPCG(5, 50)), 500,
		[]string{"common", "common", "odd pitch", "common", "common", "both odd", "common"})
	t.Logf("every answer:\n%v", &s.all)
	if wrong := s.all.tooSure(true); wrong != "" {
		t.Error(wrong)
	}
}
