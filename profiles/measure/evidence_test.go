package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

// The evidence, by another method: the mean of the readings' density over gears
// drawn from the belief itself, for all manners, with pins and chords and odd
// counts too.
func TestEvidenceByDrawing(t *testing.T) {
	const draws = 50000
	rng := rand.New(rand.NewPCG(3, 3))
	rack, _ := profiles.RackByName("full-depth")
	for _, teeth := range []int{30, 41} {
		b := base{teeth, 3, angleOf(geom.Radians(20)), rack}
		truth := guess{uShift: 0.05, uThin: 0.06}
		s := b.at(&truth)
		// Coarse readings, so that many of the drawn gears are near them.
		rs := []Reading{
			{Kind: OutsideDiameter, Sigma: 0.3}, {Kind: SpanSize, Teeth: 4, Sigma: 0.15}, {Kind: RootDiameter, Sigma: 0.3},
			{Kind: PinSize, Pin: 5, Sigma: 0.3}, {Kind: ChordSize, Height: 3.2, Sigma: 0.2},
		}
		for i := range rs {
			v, _ := s.read(&rs[i])
			rs[i].Value = v + rng.NormFloat64()*rs[i].Sigma/2
		}
		angled := manners(uPressure)
		for i := range angled {
			angled[i].sd[uPressure] = geom.Radians(1.8)
		}
		for _, m := range append(manners(uShift), angled...) {
			var f fitted
			if !f.fit(&b, &m.belief, rs) {
				t.Fatal("no fit")
			}
			sum := 0.0
			for range draws {
				u := m.mean
				for i := m.first; i < unknowns; i++ {
					u[i] += rng.NormFloat64() * m.sd[i]
				}
				u[uThin] = math.Abs(u[uThin])
				g := b.at(&u)
				log := 0.0
				for i := range rs {
					v, _ := g.read(&rs[i])
					sd := rs[i].spread(g.module)
					if math.IsNaN(v) {
						v = math.Inf(1)
					}
					log -= sq((rs[i].Value-v)/sd)/2 + math.Log(sd*math.Sqrt(2*math.Pi))
				}
				sum += math.Exp(log)
			}
			// A few % of scatter from the drawing, a tenth for what is not linear.
			if want := math.Log(sum / draws); math.Abs(f.evidence-want) > 0.2 {
				t.Errorf("%d teeth, %+v: log evidence %.4f, by drawing %.4f", teeth, m, f.evidence, want)
			}
		}
	}
}

func gearOf(t testing.TB, teeth int, module, degrees float64, name string) profiles.Gear {
	t.Helper()
	rack, ok := profiles.RackFor(name, module)
	if !ok {
		t.Fatalf("no rack %q", name)
	}
	return profiles.Gear{Teeth: teeth, Module: module, Pressure: geom.Radians(degrees), Rack: rack}
}

// exact are readings of a gear without noise.
func exact(g profiles.Gear, sigma float64, depth bool) []Reading {
	k, _ := SpanTeeth(g)
	rs := []Reading{{Kind: OutsideDiameter, Sigma: VernierSigma}, {Kind: SpanSize, Teeth: k, Sigma: sigma}, {Kind: SpanSize, Teeth: k + 1, Sigma: sigma}}
	if depth {
		rs = append(rs, Reading{Kind: RootDiameter, Sigma: VernierSigma})
	}
	for i := range rs {
		rs[i].Value = predict(&g, &rs[i])
	}
	return rs
}

// Odd pitches and angles of old machines are on the list; gears off it are not
// called one of the list for certain.
func TestIdentifyOddSizes(t *testing.T) {
	sure, named := 0, 0
	for _, teeth := range []int{17, 22, 31, 36, 45, 54, 60, 72, 88, 96, 120} {
		for _, g := range []profiles.Gear{
			gearOf(t, teeth, 3.25, 20, "iso-a"), gearOf(t, teeth, 3.75, 20, "iso-a"), gearOf(t, teeth, 6.5, 20, "iso-a"), gearOf(t, teeth, 25.4/22, 20, "fine-pitch"),
			gearOf(t, teeth, 3, 22.5, "full-depth"), gearOf(t, teeth, 25.4/8, 15, "old-full-depth"),
		} {
			id, err := Identify(teeth, exact(g, MicrometerSigma, true))
			if err != nil {
				t.Fatal(err)
			}
			c := id.Candidates[0]
			if math.Abs(c.Gear.Module-g.Module) < 1e-9 && math.Abs(c.Gear.Pressure-g.Pressure) < 1e-9 {
				named++
			} else if c.Confidence > 0.95 {
				t.Errorf("%d teeth, module %.4f, %g degrees is called %v, %.3f sure", teeth, g.Module, geom.Degrees(g.Pressure), c, c.Confidence)
			}
		}
		for _, g := range []profiles.Gear{
			gearOf(t, teeth, 25.4*0.75/math.Pi, 14.5, "old-full-depth"), // circular pitch 3/4 in
			gearOf(t, teeth, 3.4, 20, "full-depth"), gearOf(t, teeth, 2.6, 20, "full-depth"), gearOf(t, teeth, 4, 17.5, "full-depth"),
		} {
			id, err := Identify(teeth, exact(g, MicrometerSigma, true))
			if err != nil {
				t.Fatal(err)
			}
			if len(id.Candidates) > 0 && id.SamePitch > 0.95 {
				sure++
			}
			if id.NoFit && math.Abs(id.Free.Step-g.BasePitch()) > 4*id.Free.StepSigma {
				t.Errorf("%d teeth, module %.4f: base pitch %.3f ±%.3f, is %.3f", teeth, g.Module, id.Free.Step, id.Free.StepSigma, g.BasePitch())
			}
		}
	}
	// 15 degrees with 8 DP reads all but as the far commoner 14.5.
	if named < 53 {
		t.Errorf("only %d of 66 odd sizes come first", named)
	}
	if sure > 1 {
		t.Errorf("%d of 44 gears of no standard are called one of the list", sure)
	}
}

// How far the flanks of the first two stand apart, by the gears' own half angles.
func TestFlanksApart(t *testing.T) {
	g := gearOf(t, 54, 25.4/8, 14.5, "old-full-depth")
	g.Thinning = 0.08
	id, err := Identify(54, exact(g, VernierSigma, true))
	if err != nil {
		t.Fatal(err)
	}
	a, b := id.Candidates[0].Gear, id.Candidates[1].Gear
	if a.Pressure == b.Pressure {
		t.Fatalf("the first two are %v and %v", id.Candidates[0], id.Candidates[1])
	}
	most := 0.0
	for r := max(a.BaseRadius(), b.BaseRadius(), a.RootRadius()); r < a.TipRadius(); r += 0.001 {
		most = max(most, r*math.Abs(a.HalfAngle(r)-b.HalfAngle(r)))
	}
	if most < 0.01 || math.Abs(id.Apart-most) > 0.002 {
		t.Errorf("%.4f mm apart, by the half angles %.4f", id.Apart, most)
	}
}

// A worn gear ranks, however worn it is, to half a module.
func TestIdentifyWorn(t *testing.T) {
	for _, worn := range []float64{0.1, 0.15, 0.2, 0.3, 0.4} {
		g := gearOf(t, 54, 25.4/8, 14.5, "old-full-depth")
		g.Thinning = worn * g.Module
		id, err := Identify(54, exact(g, MicrometerSigma, true))
		if err != nil {
			t.Fatal(err)
		}
		c := id.Candidates[0]
		if id.NoFit || c.Pitch.Diametral != 8 || math.Abs(c.Gear.Thinning-g.Thinning) > 0.05*g.Module {
			t.Errorf("worn by %.2f modules: no fit %v, %v, thinning %.3f for %.3f mm", worn, id.NoFit, c, c.Gear.Thinning, g.Thinning)
		}
	}
}

// Gears of shifted pairs with the tips shortened by the formula of ISO 21771
// (from memory) are known, and the shortening is told.
func TestIdentifyShortenedTips(t *testing.T) {
	for _, c := range []struct {
		teeth, mate int
		shift, sum  float64
	}{{24, 36, 0.4, 0.8}, {31, 31, 0.3, 0.6}, {45, 18, 0.3, 0.9}, {54, 30, 0.5, 0.7}} {
		g := gearOf(t, c.teeth, 3, 20, "full-depth")
		g.Shift = c.shift
		cut := shortened(c.teeth+c.mate, g.Pressure, c.sum)
		if cut < 0.01 || cut > 0.15 {
			t.Errorf("%+v: tips shortened by %.3f modules", c, cut)
		}
		g.Rack.Addendum -= cut
		g.Thinning = 0.03 * g.Module
		id, err := Identify(c.teeth, exact(g, MicrometerSigma, true))
		if err != nil {
			t.Fatal(err)
		}
		first := id.Candidates[0]
		if id.NoFit || first.Pitch.Module != 3 || first.Gear.Rack.Dedendum != 1.25 || math.Abs(first.Gear.Shift-c.shift) > 0.08 || math.Abs(first.TipCut-cut*g.Module) > 0.12 {
			t.Errorf("%+v, cut %.3f mm: %v, shift %.3f, cut %.3f, none %.3f", c, cut*g.Module, first, first.Gear.Shift, first.TipCut, id.Free.Share)
		}
	}
}

// Inches taken for millimetres, all of them or one, and the other way round.
func TestUnitSlip(t *testing.T) {
	g := gearOf(t, 54, 25.4/8, 14.5, "old-full-depth")
	g.Thinning = 0.08
	for _, c := range []struct {
		name    string
		factor  float64
		changed func(i int) bool
		said    string
	}{
		{"all in inches", 1 / 25.4, func(int) bool { return true }, "was 7 read in inches? Then it is 177.800 mm, and the others too"},
		{"one in inches", 1 / 25.4, func(i int) bool { return i == 1 }, "span over 5 teeth: was 1.7"},
		{"all in mm", 25.4, func(int) bool { return true }, "was 177.8 in read in mm? Then it is 7.0000 in"},
		{"one in mm", 25.4, func(i int) bool { return i == 0 }, "outside diameter: was 177.8 in read in mm? Then it is 7.0000 in, and the gear likeliest 8 DP"},
	} {
		rs := exact(g, MicrometerSigma, true)
		for i := range rs {
			if c.changed(i) {
				rs[i].Value *= c.factor
			}
		}
		id, err := Identify(54, rs)
		said := ""
		switch {
		case err != nil:
			said = err.Error()
		case !id.NoFit:
			t.Errorf("%s: fits %v", c.name, id.Candidates[0])
		case id.Slip != nil:
			said = id.Slip.Error()
		}
		if !strings.Contains(said, c.said) {
			t.Errorf("%s: said %q, want %q in it", c.name, said, c.said)
		}
	}
	// A gear of no standard in the right unit is not suspected.
	for _, m := range []float64{3.4, 2.6, 6.06} {
		id, err := Identify(54, exact(gearOf(t, 54, m, 17.5, "full-depth"), MicrometerSigma, true))
		if err != nil || id.Slip != nil || !id.NoFit {
			t.Errorf("module %g: %v, slip %v", m, err, id.Slip)
		}
	}
}

// Readings of two gears go together on none.
func TestIdentifyContradiction(t *testing.T) {
	rs := exact(gearOf(t, 54, 3, 20, "full-depth"), MicrometerSigma, true)
	rs = append(rs, rs[1])
	rs[4].Value += 0.9
	id, err := Identify(54, rs)
	if err != nil {
		t.Fatal(err)
	}
	if !id.NoFit || !id.Odd || !strings.Contains(strings.Join(id.Notes, "\n"), "do not go together") {
		t.Errorf("no fit %v, odd %v, %q", id.NoFit, id.Odd, id.Notes)
	}
}

// Many fine readings are no trouble: they make surer.
func TestIdentifyManyReadings(t *testing.T) {
	g := gearOf(t, 40, 2.5, 20, "full-depth")
	g.Thinning = 0.05
	one := exact(g, MicrometerSigma, true)
	var many []Reading
	for range 120 {
		many = append(many, one...)
	}
	for i := range many {
		many[i].Sigma = 1e-3
	}
	id, err := Identify(40, many)
	if err != nil {
		t.Fatal(err)
	}
	if c := id.Candidates[0]; c.Pitch.Module != 2.5 || c.Gear.Pressure != g.Pressure || c.Confidence < 0.9 {
		t.Errorf("%v, %.3f", c, c.Confidence)
	}
}

// touchedOn are the places of a cutter that touches like flanks of level teeth,
// by the teeth's own outline, tip's corner and all.
func touchedOn(t testing.TB, g profiles.Gear, from, to int) []float64 {
	t.Helper()
	line, err := g.RightFlank()
	if err != nil {
		t.Fatal(err)
	}
	root, err := g.Root()
	if err != nil {
		t.Fatal(err)
	}
	var out []float64
	for j := from; j <= to; j++ {
		y := math.Inf(-1)
		for _, p := range line {
			if p.Norm() >= root.FormRadius {
				y = max(y, geom.Turn(float64(j)*g.Pitch()).Apply(p).Y)
			}
		}
		out = append(out, y)
	}
	return out
}

// Touches step by the base pitch, whatever the wear; one on the tip's corner is
// named and left out.
func TestSteps(t *testing.T) {
	for _, r := range published.Table(t, "basepitch.csv") {
		g := gearOf(t, 54, r.Num("module"), r.Num("degrees"), "full-depth")
		g.Thinning = 0.2
		// Teeth 1 to 3 or 4 are touched on their flanks, the next on its tip.
		last := 1
		for float64(last+1)*g.Pitch()+g.BaseHalfAngle() < g.Roll(g.TipRadius()) {
			last++
		}
		root, err := g.Root()
		if err != nil {
			t.Fatal(err)
		}
		first := 0
		for float64(first)*g.Pitch()+g.BaseHalfAngle() < root.FormRoll {
			first++
		}
		got, err := Steps(touchedOn(t, g, first, last), 0.01)
		if err != nil {
			t.Fatal(err)
		}
		r.Near(got.Reading.Value, r.Num("value"), 5e-4+2*profiles.OutlineTolerance)
		if got.Left != "" || got.Used != last-first+1 || got.Reading.Teeth != last-first {
			t.Errorf("%+v", got)
		}
		if last-first < 2 {
			continue
		}
		corner, err := Steps(touchedOn(t, g, first, last+2), 0.01)
		if err != nil {
			t.Fatal(err)
		}
		r.Near(corner.Reading.Value, r.Num("value"), 5e-4+2*profiles.OutlineTolerance)
		if corner.Used != got.Used || !strings.Contains(corner.Left, "tip's corner") {
			t.Errorf("%+v", corner)
		}
	}
	for name, places := range map[string][]float64{
		"one":         {3},
		"exchanged":   {10, 30, 20},
		"no two":      {0, 9, 17, 24},
		"twice":       {10, 10, 20},
		"not a place": {10, math.NaN(), 20},
	} {
		if got, err := Steps(places, 0.02); err == nil {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// Touches alone tell the base pitch, so they part pressure angles that one span,
// with wear, leaves open; a chord tells wear.
func TestTouchesAndChordsIdentify(t *testing.T) {
	g := gearOf(t, 54, 3, 20, "full-depth")
	g.Thinning = 0.1
	rs := exact(g, VernierSigma, false)[:2]
	before, err := Identify(54, rs)
	if err != nil {
		t.Fatal(err)
	}
	rs = append(rs, Reading{Kind: TouchStep, Value: g.BasePitch(), Teeth: 3, Sigma: 0.01})
	after, err := Identify(54, rs)
	if err != nil {
		t.Fatal(err)
	}
	if c := after.Candidates[0]; c.Gear.Pressure != g.Pressure || !(after.SamePitch > 0.8) || !(after.SamePitch > before.SamePitch) {
		t.Errorf("%v %.3f after touches, %v %.3f before", c, after.SamePitch, before.Candidates[0], before.SamePitch)
	}
	chord, err := ChordAt(g, g.PitchRadius())
	if err != nil {
		t.Fatal(err)
	}
	worn, err := Identify(54, []Reading{rs[0], rs[2], {Kind: ChordSize, Height: chord.Height, Value: chord.Thickness, Sigma: 0.02}})
	if err != nil {
		t.Fatal(err)
	}
	if c := worn.Candidates[0]; c.Gear.Pressure != g.Pressure || math.Abs(c.Gear.Thinning-0.1) > 0.03 {
		t.Errorf("%v, thinning %.3f", c, c.Gear.Thinning)
	}
}

// Published chords at their heights are what a reading foresees.
func TestChordReadings(t *testing.T) {
	for _, r := range published.Table(t, "chordal.csv") {
		g := gearOf(t, r.Int("teeth"), r.Num("module"), 20, "full-depth")
		v := predict(&g, &Reading{Kind: ChordSize, Height: r.Num("height")})
		r.Near(v, r.Num("thickness"), 2*r.Num("tolerance"))
	}
}
