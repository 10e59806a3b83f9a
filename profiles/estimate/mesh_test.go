package estimate

import (
	"math"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

func TestMeshTable(t *testing.T) {
	for _, r := range published.Table(t, "mesh.csv") {
		m := r.Num("module")
		rack := profiles.Rack{Addendum: r.Num("addendum") / m, Dedendum: 1.25, Fillet: 0.3}
		g := profiles.Gear{Teeth: r.Int("teeth"), Module: m, Pressure: geom.Radians(r.Num("degrees")), Rack: rack, Shift: 0, Thinning: 0}
		n := g
		n.Teeth = r.Int("mate")
		flank, err := g.RightFlank()
		if err != nil {
			t.Fatal(err)
		}
		mesh := Mesh{Tooth: g, Neighbours: g, Right: flank, Mate: n, Centre: g.PitchRadius() + n.PitchRadius()}
		res, err := mesh.layout()
		if err != nil {
			t.Errorf("%v: %v", r.Fields, err)
			continue
		}
		got := map[string]float64{"path": res.Path, "arc": res.ArcOfContact, "ratio": res.ContactRatio}[r.Fields["case"]]
		if r.Fields["case"] == "free" && !res.TipInterferes {
			got = 1
		}
		r.Near(got, r.Num("value"), r.Num("tolerance"))
	}
}

// pressFacets returns the proof press's gear, its teeth thinned by 0.08, and a
// flank of so many facets with the metal they leave.
func pressFacets(t testing.TB, facets int) (g profiles.Gear, set profiles.FacetSet, flank []geom.Vec) {
	t.Helper()
	rack, _ := profiles.RackByName("old-full-depth")
	g = profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack, Thinning: 0.08}
	set, err := g.BestFacets(facets)
	if err != nil {
		t.Fatal(err)
	}
	if flank, err = g.FacetedFlank(profiles.FacetsAt(set.Rolls, 0)); err != nil {
		t.Fatal(err)
	}
	return g, set, flank
}

// pressMesh is the proof press's gear with a pinion, new tooth of the given
// flank or a true one.
func pressMesh(t testing.TB, flank []geom.Vec) Mesh {
	t.Helper()
	g, _, _ := pressFacets(t, 1)
	n := g
	n.Teeth = 36
	if flank == nil {
		var err error
		if flank, err = g.RightFlank(); err != nil {
			t.Fatal(err)
		}
	}
	return Mesh{Tooth: g, Neighbours: g, Right: flank, Mate: n, Centre: g.PitchRadius() + n.PitchRadius() + 0.05}
}

// meshNoise is what the chords of the outlines may show, micrometres.
const meshNoise = 0.5

func TestMeshTrueFlank(t *testing.T) {
	m := pressMesh(t, nil)
	r, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	if r.ErrorPeak > meshNoise || math.Abs(r.ErrorHigh) > meshNoise {
		t.Errorf("a true flank has %.3f um peak to peak, %.3f at most", r.ErrorPeak, r.ErrorHigh)
	}
	if math.Abs(r.Backlash-r.IdealBacklash) > meshNoise/500 || r.Interferes {
		t.Errorf("backlash %.5f, of sound teeth %.5f", r.Backlash, r.IdealBacklash)
	}
	if !r.Grades[0].OK || r.Grades[0].Grade > 2 || !r.Grades[1].OK || r.Grades[1].Grade > 1 || r.Deviation > 1 {
		t.Errorf("deviation %.3f um, %v", r.Deviation, r.Grades)
	}
	// By the handbook: thinning of both gears and the opened centres, 2 sin a
	// a millimetre (to first order), along the line of action.
	g := m.Tooth
	want := 2*g.Thinning*math.Cos(g.Pressure) + 2*0.05*math.Sin(g.Pressure)
	if math.Abs(r.IdealBacklash-want) > 0.001 {
		t.Errorf("backlash %.5f, by hand %.5f", r.IdealBacklash, want)
	}
}

// A tooth left thick by e on both flanks pushes the mate ahead by e while it
// touches, and takes 2 e of the backlash.
func TestMeshThickTooth(t *testing.T) {
	const e = 0.02
	thicker := func(e float64) ([]geom.Vec, error) {
		g, _, _ := pressFacets(t, 1)
		g.Thinning -= 2 * e / math.Cos(g.Pressure)
		return g.RightFlank()
	}
	flank, err := thicker(e)
	if err != nil {
		t.Fatal(err)
	}
	r, err := pressMesh(t, flank).Roll()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.ErrorHigh-1000*e) > meshNoise || math.Abs(r.ErrorLow) > meshNoise {
		t.Errorf("error %.3f to %.3f um, want 0 to %.1f", r.ErrorLow, r.ErrorHigh, 1000*e)
	}
	if math.Abs(r.Backlash-(r.IdealBacklash-2*e)) > meshNoise/500 {
		t.Errorf("backlash %.5f, want %.5f", r.Backlash, r.IdealBacklash-2*e)
	}
	// Thicker than all the play: it must jam.
	if flank, err = thicker(0.2); err != nil {
		t.Fatal(err)
	}
	if r, err = pressMesh(t, flank).Roll(); err != nil || !r.Interferes || r.Backlash >= 0 || len(r.Notes) == 0 {
		t.Errorf("a fat tooth does not jam: %.4f, %q, %v", r.Backlash, r.Notes, err)
	}
}

// A new tooth thinner than its neighbours never carries, and worn neighbours
// make a full tooth stand ahead by half the difference along the normal.
func TestMeshWornNeighbours(t *testing.T) {
	m := pressMesh(t, nil)
	m.Neighbours.Thinning += 0.1
	r, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	want := 1000 * 0.05 * math.Cos(m.Tooth.Pressure)
	if math.Abs(r.ErrorPeak-want) > meshNoise {
		t.Errorf("step over worn neighbours %.3f um, want %.3f", r.ErrorPeak, want)
	}
	m = pressMesh(t, nil)
	m.Neighbours.Thinning -= 0.05
	if r, err = m.Roll(); err != nil {
		t.Fatal(err)
	}
	carried := false
	for _, s := range r.Samples {
		carried = carried || s.New
	}
	if carried || len(r.Notes) == 0 {
		t.Error("a thin tooth carries")
	}
}

// With the new tooth out of the way the two beside it hand the mate over by the edges
// of their tips, where neither is on the path of contact: the mate falls back as far
// as its outline, turned against theirs until they touch, says.
func TestMeshTipEdges(t *testing.T) {
	rack, _ := profiles.RackByName("iso-a")
	gear := func(teeth int) profiles.Gear {
		return profiles.Gear{Teeth: teeth, Module: 3, Pressure: geom.Radians(20), Rack: rack, Thinning: 0.1}
	}
	m := Mesh{Tooth: gear(24), Neighbours: gear(24), Mate: gear(20), Centre: 66}
	thin := m.Tooth
	thin.Thinning += 1
	flank, err := thin.RightFlank()
	if err != nil {
		t.Fatal(err)
	}
	m.Right = flank
	r, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	k := m.kinematics(r)
	standing, err := m.Neighbours.Tooth()
	if err != nil {
		t.Fatal(err)
	}
	tooth, err := m.Mate.Tooth()
	if err != nil {
		t.Fatal(err)
	}
	// strikes says that the mate's driven teeth, turned by angle from the line of
	// centres, are in one of the two standing teeth.
	strikes := func(theta, angle float64) bool {
		for _, i := range []float64{-1, 1} {
			gear := geom.Turn(theta + i*m.Tooth.Pitch()).ApplyAll(standing)
			for _, l := range []float64{-1, 0, 1, 2} {
				// The mate hangs over the gear, its tooth downward.
				other := geom.Turn(angle + l*m.Mate.Pitch()).ApplyAll(tooth)
				for n, p := range other {
					other[n] = geom.Vec{Y: p.Y, Z: m.Centre - p.Z}
				}
				if overlap(gear, other) {
					return true
				}
			}
		}
		return false
	}
	edges, least := 0, 0.0
	for n, s := range r.Samples {
		if n%8 != 0 {
			continue
		}
		// Down from where nothing is struck, toward the gear's +Y flanks.
		want := k.nominal(s.Angle)
		lo, hi := -0.2/k.rb2, 0.03/k.rb2
		if strikes(s.Angle, want+hi) || !strikes(s.Angle, want+lo) {
			t.Fatalf("at %.4f the mate cannot be turned between %.4f and %.4f", s.Angle, lo, hi)
		}
		for range 30 {
			if mid := (lo + hi) / 2; strikes(s.Angle, want+mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		if by := 1000 * hi * k.rb2; math.Abs(by-s.Error) > 2 {
			t.Errorf("at %.4f the mate is %.2f um ahead, by its outline %.2f", s.Angle, s.Error, by)
		}
		if s.Error < -1 {
			edges++
		}
		least = min(least, s.Error)
	}
	if edges < 3 {
		t.Errorf("at %d moments only do edges carry, %.2f um behind at most", edges, least)
	}
	t.Logf("edges carry at %d moments, %.2f um behind at most", edges, least)
}

// overlap says whether two outlines cross.
func overlap(a, b []geom.Vec) bool {
	for i := 1; i < len(a); i++ {
		d := a[i].Sub(a[i-1])
		for j := 1; j < len(b); j++ {
			e := b[j].Sub(b[j-1])
			if p, q := d.Cross(b[j-1].Sub(a[i-1])), d.Cross(b[j].Sub(a[i-1])); p*q > 0 {
				continue
			}
			if p, q := e.Cross(a[i-1].Sub(b[j-1])), e.Cross(a[i].Sub(b[j-1])); p*q <= 0 {
				return true
			}
		}
	}
	return false
}

// Against a rack the mate's flank is straight, so the error is the reach of
// the facets along the normal: another way to the same number.
func TestMeshFacetsAgainstRack(t *testing.T) {
	g, set, flank := pressFacets(t, 3)
	m := pressMesh(t, flank)
	m.Mate.Teeth = 20000
	m.Centre = g.PitchRadius() + m.Mate.PitchRadius() + 0.2
	r, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	root, err := g.Root()
	if err != nil {
		t.Fatal(err)
	}
	k := m.kinematics(r)
	compared := 0
	for _, s := range r.Samples {
		phi := s.Angle + k.lead
		// Away from the ends, where a tip corner touches instead.
		if phi < r.Start+0.05 || phi > r.End-0.05 {
			continue
		}
		want := 1000 * (g.Support(flank, root.FormRadius, phi) - g.BaseRadius()*phi)
		if math.Abs(s.Error-want) > 1 {
			t.Fatalf("roll %.4f: error %.3f um, by reach %.3f", phi, s.Error, want)
		}
		compared++
	}
	if compared < 50 {
		t.Errorf("only %d moments compared", compared)
	}
	if r.ErrorHigh > 1000*set.GreatestError+1 || r.ErrorHigh < 0.3*1000*set.GreatestError {
		t.Errorf("greatest error %.2f um, facets leave %.2f", r.ErrorHigh, 1000*set.GreatestError)
	}
	if math.Abs(r.Deviation-1000*set.GreatestError) > 0.15*1000*set.GreatestError {
		t.Errorf("deviation %.2f um, facets leave %.2f", r.Deviation, 1000*set.GreatestError)
	}
}

// More facets, less error.
func TestMeshMoreFacets(t *testing.T) {
	last := math.Inf(1)
	for _, n := range []int{2, 4, 8, 16} {
		_, set, flank := pressFacets(t, n)
		r, err := pressMesh(t, flank).Roll()
		if err != nil {
			t.Fatal(err)
		}
		if r.ErrorPeak >= last || r.ErrorPeak > 1000*set.GreatestError+meshNoise {
			t.Errorf("%d facets: %.3f um, before %.3f, metal left %.3f", n, r.ErrorPeak, last, 1000*set.GreatestError)
		}
		last = r.ErrorPeak
	}
}

func TestMeshBothFlanksGiven(t *testing.T) {
	m := pressMesh(t, nil)
	a, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	m.Left = geom.Mirrored(m.Right)
	b, err := m.Roll()
	if err != nil || a.Backlash != b.Backlash || a.ErrorPeak != b.ErrorPeak {
		t.Errorf("mirror given: %.6f and %.6f, %v", a.Backlash, b.Backlash, err)
	}
}

func TestMeshRefusals(t *testing.T) {
	for name, change := range map[string]func(*Mesh){
		"far":   func(m *Mesh) { m.Centre += 10 },
		"ratio": func(m *Mesh) { m.Centre += 5.0 },
		"near":  func(m *Mesh) { m.Centre = 1 },
		"nan":   func(m *Mesh) { m.Centre = math.NaN() },
		"pitch": func(m *Mesh) { m.Mate.Module = 3 },
		"flank": func(m *Mesh) { m.Right = nil },
		"mate":  func(m *Mesh) { m.Mate.Teeth = 0 },
	} {
		m := pressMesh(t, nil)
		change(&m)
		if r, err := m.Roll(); err == nil {
			t.Errorf("%s: %+v", name, r.Notes)
		}
	}
}

func BenchmarkMesh(b *testing.B) {
	_, _, flank := pressFacets(b, 6)
	m := pressMesh(b, flank)
	for b.Loop() {
		if _, err := m.Roll(); err != nil {
			b.Fatal(err)
		}
	}
}

// A pinion of 18 teeth at 14.5 degrees is undercut (limit 31.90 teeth, from
// memory), so contact with a gear of 54 ends where its involute does, short of
// what the gear's tips could reach: the ratio is less than that of the tips.
func TestMeshUndercutMate(t *testing.T) {
	m := pressMesh(t, nil)
	m.Mate.Teeth = 18
	m.Centre = m.Tooth.PitchRadius() + m.Mate.PitchRadius()
	r, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	g, n := m.Tooth, m.Mate
	root, err := n.Root()
	if err != nil {
		t.Fatal(err)
	}
	if !root.Undercut || !r.TipInterferes {
		t.Fatalf("undercut %v, tip interferes %v", root.Undercut, r.TipInterferes)
	}
	// By the tips alone (Khurmi & Gupta, length of the path of contact).
	reach := func(g profiles.Gear) float64 {
		return math.Sqrt(g.TipRadius()*g.TipRadius()-g.BaseRadius()*g.BaseRadius()) - g.PitchRadius()*math.Sin(g.Pressure)
	}
	tips := reach(g) + reach(n)
	// The mate's involute begins at its form circle.
	form := n.PitchRadius()*math.Sin(n.Pressure) - math.Sqrt(max(0, root.FormRadius*root.FormRadius-n.BaseRadius()*n.BaseRadius()))
	if want := reach(n) + form; math.Abs(r.Path-want) > 1e-9 || r.Path >= tips {
		t.Errorf("path %.4f, want %.4f, by the tips %.4f", r.Path, want, tips)
	}
	// A true tooth still drives it without error.
	if r.ErrorPeak > meshNoise {
		t.Errorf("a true flank has %.3f um", r.ErrorPeak)
	}
}
