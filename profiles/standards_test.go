package profiles

import (
	"math"
	"slices"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

func TestRacks(t *testing.T) {
	for _, r := range published.Table(t, "racks.csv") {
		rack, ok := RackByName(r.Fields["rack"])
		if !ok {
			t.Fatalf("no rack %q", r.Fields["rack"])
		}
		got := map[string]float64{
			"addendum": rack.Addendum, "dedendum": rack.Dedendum, "fillet": rack.Fillet,
			"whole": rack.Addendum + rack.Dedendum,
		}[r.Fields["quantity"]]
		r.Near(got, r.Num("value"), 1e-12)
	}
	if _, ok := RackByName("none"); ok {
		t.Error("a rack of an unknown name")
	}
	if !slices.Contains(RackNames(), "stub") {
		t.Error("RackNames lacks stub")
	}
}

// 20 P and finer: whole depth 2.2/P + 0.002 in (engineersedge.com
// gear_formula, US Navy Machinery Repairman 14345 App. IV; read).
func TestFinePitchWholeDepth(t *testing.T) {
	for _, p := range []float64{20, 24, 48} {
		rack, _ := RackFor("Fine-Pitch", 25.4/p)
		got := (rack.Addendum + rack.Dedendum) / p // inches
		if want := 2.2/p + 0.002; math.Abs(got-want) > 1e-12 {
			t.Errorf("%g P: whole depth %.6f in, want %.6f", p, got, want)
		}
	}
}

func TestSeries(t *testing.T) {
	count := 0
	for _, r := range published.Table(t, "series.csv") {
		series, v := r.Fields["series"], r.Num("value")
		ok := slices.ContainsFunc(StandardPitches(), func(p StandardPitch) bool {
			return p.Series == series && (p.Diametral == v || p.Diametral == 0 && p.Module == v)
		})
		if !ok {
			t.Errorf("series %s lacks %g", series, v)
		}
		count++
	}
	got := 0
	for _, p := range StandardPitches() {
		if p.Module >= 1 || p.Diametral > 0 { // the finer modules are of no series of ISO 54
			got++
		}
	}
	if got != count {
		t.Errorf("%d sizes in the series, %d in the table", got, count)
	}
}

func TestThreads(t *testing.T) {
	for _, r := range published.Table(t, "threads.csv") {
		th, ok := ThreadByName(r.Fields["thread"])
		if !ok {
			t.Errorf("no thread %q", r.Fields["thread"])
			continue
		}
		want := r.Num("value")
		if r.Fields["unit"] == "in" {
			want *= 25.4
		}
		if r.Fields["quantity"] == "tap" {
			r.Near(th.TapDrill, want, 1e-9)
			continue
		}
		if th.Point == nil {
			t.Errorf("%s: no point", th.Name)
			continue
		}
		got := map[string]float64{"point": th.Point.Diameter, "short": th.Point.Short, "long": th.Point.Long}
		r.Near(got[r.Fields["quantity"]], want, 1e-9)
	}
	for _, bad := range []string{"", "M", "Mx", "M5x", "x1", "M5x9", "M-5x1", "MNaNx1", "7 widgets"} {
		if th, ok := ThreadByName(bad); ok {
			t.Errorf("%q gives %+v", bad, th)
		}
	}
}

// A tap drill lies between the minor and the major diameter.
func TestTapDrillsAreSound(t *testing.T) {
	for _, name := range ThreadNames() {
		th, _ := ThreadByName(name)
		// Common practice: 65 to 100 % of the basic thread height (1.0825 P).
		engaged := (th.Major - th.TapDrill) / (th.Major - th.Minor())
		if engaged < 0.60 || engaged > 1.02 {
			t.Errorf("%s: tap drill %.3f leaves %.0f %% of the thread", name, th.TapDrill, 100*engaged)
		}
	}
}

func TestSurfaceSpeeds(t *testing.T) {
	work := map[string]Material{"grey iron": GreyIron, "mild steel": MildSteel}
	for _, r := range published.Table(t, "speeds.csv") {
		if r.Fields["quantity"] == "chip" {
			r.Near(ChipLoad(r.Num("diameter_in")*25.4), r.Num("low")*25.4, 1e-9)
			continue
		}
		s := SurfaceSpeedFor(r.Fields["tool"] == "carbide", work[r.Fields["work"]])
		r.Near(s.Low, r.Num("low")*0.3048, 1e-9)
		r.Near(s.High, r.Num("high")*0.3048, 1e-9)
		if s.Start < s.Low || s.Start > s.High {
			t.Errorf("start %.1f outside %.1f to %.1f", s.Start, s.Low, s.High)
		}
	}
}

// Sane window (cutter makers' notes; read): high speed steel in grey iron 15
// to 36 m/min, in mild steel 20 to 36; small cutters 0.01 to 0.06 mm a tooth,
// slotting 20 % less, deep slotting 50 % less.
func TestSpeedsFor(t *testing.T) {
	mill := Cutter{Name: "mill", Kind: EndMill, Diameter: 4, Flutes: 3}
	side, err := SpeedsFor(mill, GreyIron, SideCut)
	if err != nil {
		t.Fatal(err)
	}
	if side.Surface < 15 || side.Surface > 36 || side.Chip < 0.01 || side.Chip > 0.06 {
		t.Errorf("outside the sane window: %+v", side)
	}
	slot, _ := SpeedsFor(mill, GreyIron, SlotCut)
	deep, _ := SpeedsFor(mill, GreyIron, DeepSlot)
	if math.Abs(slot.Feed-0.8*side.Feed) > 1e-9 || math.Abs(deep.Feed-0.5*side.Feed) > 1e-9 {
		t.Errorf("feeds %g, %g, %g", side.Feed, slot.Feed, deep.Feed)
	}
	single, _ := SpeedsFor(Cutter{Kind: Dovetail, Diameter: 8, Flutes: 1, SinglePoint: true}, MildSteel, SideCut)
	solid, _ := SpeedsFor(Cutter{Kind: Dovetail, Diameter: 8, Flutes: 4}, MildSteel, SideCut)
	if math.Abs(single.Rpm-solid.Rpm/2) > 1e-9 || single.Plunge != 0 {
		t.Errorf("single point %+v, solid %+v", single, solid)
	}
	stated := mill
	stated.Rpm, stated.Feed, stated.Plunge = 1000, 60, 10
	s, _ := SpeedsFor(stated, GreyIron, SlotCut)
	if s.Rpm != 1000 || s.Feed != 60 || s.Plunge != 10 || math.Abs(s.Chip-0.02) > 1e-12 {
		t.Errorf("stated values do not stand: %+v", s)
	}
	drill, _ := SpeedsFor(Cutter{Kind: Drill, Diameter: 4.2}, GreyIron, SideCut)
	if drill.Feed != 0 || math.Abs(drill.Plunge-drill.Chip*drill.Rpm) > 1e-9 {
		t.Errorf("drill %+v", drill)
	}
	for _, bad := range []Cutter{{}, {Diameter: 4}, {Diameter: math.NaN(), Flutes: 2}} {
		if _, err := SpeedsFor(bad, GreyIron, SideCut); err == nil {
			t.Errorf("no error for %+v", bad)
		}
	}
}

func TestSpeedsWithin(t *testing.T) {
	s := Speeds{Surface: 30, Rpm: 3000, Chip: 0.02, Feed: 120, Plunge: 40}
	held, ok := s.Within(100, 1500, 0)
	if !ok || held.Rpm != 1500 || held.Feed != 60 || held.Plunge != 20 || held.Chip != 0.02 {
		t.Errorf("slow spindle: %+v %v", held, ok)
	}
	held, ok = s.Within(0, 0, 60)
	if !ok || held.Rpm != 3000 || held.Feed != 60 || held.Chip != 0.01 || held.Plunge != 40 {
		t.Errorf("slow table: %+v %v", held, ok)
	}
	if held, ok = s.Within(6000, 24000, 0); ok || held.Rpm != 6000 {
		t.Errorf("fast spindle: %+v %v", held, ok)
	}
}

func TestRpmFor(t *testing.T) {
	seen := 0
	for _, r := range published.Table(t, "cutting.csv") {
		if got, ok := map[string]float64{"turns inch": RpmFor(100*0.3048, 12.7), "turns mm": RpmFor(25, 10)}[r.Fields["quantity"]]; ok {
			seen++
			r.Near(got, r.Num("value"), r.Num("tolerance"))
		}
	}
	if seen != 2 {
		t.Errorf("%d speeds", seen)
	}
}

func TestCrank(t *testing.T) {
	for _, r := range published.Table(t, "dividing.csv") {
		divisions, circle := r.Int("divisions"), r.Int("circle")
		if !slices.Contains(CommonCircles(), circle) {
			t.Errorf("the plates lack the %d circle", circle)
		}
		part := 2 * math.Pi / float64(divisions)
		turns, holes := Crank(40, circle, part)
		if turns != r.Int("turns") || holes != r.Int("holes") {
			t.Errorf("%d divisions: %d turns and %d holes in the %d circle, want %d and %d",
				divisions, turns, holes, circle, r.Int("turns"), r.Int("holes"))
		}
		if turned := float64(turns*circle+holes) * HoleStep(40, circle); math.Abs(turned-part) > 1e-12 {
			t.Errorf("%d divisions: the spindle turns %.12f, want %.12f", divisions, turned, part)
		}
	}
}

// TestRackTip: a rack's tip is rounded as its proportions say, or by a full round
// where its tooth is too narrow: ISO 53:1998 gives that greatest radius as
// (pi m/4 - hf tan a) / tan((90 deg - a)/2) (from memory). The root so made is
// held to a circle laid between the rack's flanks and its tip, point by point.
func TestRackTip(t *testing.T) {
	for _, tt := range []struct {
		rack    string
		degrees float64
		full    bool
	}{{"iso-a", 20, false}, {"iso-d", 20, false}, {"iso-a", 25, true}, {"iso-a", 30, true}, {"full-depth", 30, true}, {"old-full-depth", 14.5, false}} {
		rack, _ := RackByName(tt.rack)
		a := geom.Radians(tt.degrees)
		g := Gear{Teeth: 40, Module: 3, Pressure: a, Rack: rack}
		most := (math.Pi/4 - rack.Dedendum*math.Tan(a)) / math.Tan((math.Pi/2-a)/2)
		if got, want := g.RackTip(), min(rack.Fillet, most); math.Abs(got-want) > 1e-12 || tt.full != (most < rack.Fillet) {
			t.Errorf("%s at %g degrees: %.4f modules, want %.4f, room for %.4f", tt.rack, tt.degrees, got, want, most)
		}
		flank, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		// The rack's tooth, its circle rolled along the pitch circle: no point of
		// the root is nearer to the circle's centre than its radius, and one
		// touches it wherever it stands.
		rho := g.RackTip() * g.Module
		rp, deep := g.PitchRadius(), g.Module*rack.Dedendum
		aside := (math.Pi/4*g.Module - deep*math.Tan(a)) - rho*math.Tan((math.Pi/2-a)/2)
		for i := range 12 {
			roll := -0.04 + 0.004*float64(i)
			centre := geom.Turn(roll).Apply(geom.Vec{Y: aside - rp*roll, Z: rp - deep + rho})
			// From the middle of the space to a tooth on +Z, this flank its +Y one.
			centre = geom.Turn(g.Pitch() / 2).Apply(geom.Vec{Y: -centre.Y, Z: centre.Z})
			if d := geom.Distance(centre, flank); math.Abs(d-rho) > 0.002 {
				t.Errorf("%s at %g degrees, rolled %.3f: the root stands %.4f mm from the rounding's middle, its radius is %.4f", tt.rack, tt.degrees, roll, d, rho)
			}
		}
	}
}
