package estimate

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// cycloidMesh is a wheel of an interchangeable set and its mate, true flanks.
func cycloidMesh(t testing.TB, set, teeth, mate int, thinning float64) Mesh {
	t.Helper()
	rack, _ := profiles.RackByName("old-full-depth")
	g := profiles.Gear{Teeth: teeth, Module: 4, Rack: rack, Thinning: thinning}
	q := profiles.SetCircle(4, set)
	var err error
	if g.Form, err = (profiles.Cycloid{PitchRadius: g.PitchRadius(), Addendum: q, Dedendum: q, HalfAngle: g.Pitch() / 4}).Form(); err != nil {
		t.Fatal(err)
	}
	m := Mesh{Tooth: g, Neighbours: g}
	if m.Mate, err = g.RunsWith(mate, 0, thinning); err != nil {
		t.Fatal(err)
	}
	m.Centre = g.PitchRadius() + m.Mate.PitchRadius()
	if m.Right, err = g.RightFlank(); err != nil {
		t.Fatal(err)
	}
	return m
}

// TestMeshCycloids: any two wheels of one set run together with a steady ratio
// (R. Willis's sets; F. Reuleaux, The Kinematics of Machinery, section 36), down to
// the least pinion with its radial flanks; the play on the pitch circles is what both
// were thinned by; and the tooth touches from where the mate's tip circle crosses
// the generating circle to where its own does.
func TestMeshCycloids(t *testing.T) {
	for _, tt := range []struct{ set, teeth, mate int }{{15, 48, 20}, {15, 60, 15}, {12, 24, 40}, {12, 12, 60}, {15, 48, 48}} {
		name := fmt.Sprintf("set of %d, %d with %d", tt.set, tt.teeth, tt.mate)
		m := cycloidMesh(t, tt.set, tt.teeth, tt.mate, 0.1)
		r, err := m.Roll()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if r.ErrorPeak > 2*meshNoise {
			t.Errorf("%s: true flanks have %.3f um peak to peak", name, r.ErrorPeak)
		}
		if math.Abs(r.IdealBacklash-0.2) > 1e-3 || math.Abs(r.Backlash-0.2) > 2e-3 {
			t.Errorf("%s: play %.4f, least %.4f, thinned by 0.2 in all", name, r.IdealBacklash, r.Backlash)
		}
		k := m.kinematics(r)
		mate, err := newMate(m.Mate)
		if err != nil {
			t.Fatal(err)
		}
		flank := geom.Spaced(m.Right, meshStep*4)
		first, last := math.Inf(1), math.Inf(-1)
		for i := range 2001 {
			theta := k.angle(r.Start) - 0.05 + (r.End-r.Start+0.1)*float64(i)/2000
			if ahead, _ := k.push(theta, flank, mate, k.nominal(theta)); ahead > -0.0008 {
				first, last = min(first, theta), max(last, theta)
			}
		}
		if math.Abs(first-k.angle(r.Start)) > 0.015 || math.Abs(last-k.angle(r.End)) > 0.015 {
			t.Errorf("%s: touches from %.4f to %.4f, by the circles %.4f to %.4f", name, first, last, k.angle(r.Start), k.angle(r.End))
		}
	}
}

// TestMeshCycloidsApart: cycloidal teeth keep their ratio at one centre distance only
// (Machinery's Handbook and every text on them); involutes at any.
func TestMeshCycloidsApart(t *testing.T) {
	m := cycloidMesh(t, 15, 48, 20, 0.1)
	m.Centre += 0.3
	r, err := m.Roll()
	if err != nil {
		t.Fatal(err)
	}
	if r.ErrorPeak < 5*meshNoise {
		t.Errorf("0.3 mm too far apart: %.3f um peak to peak", r.ErrorPeak)
	}
	thick := cycloidMesh(t, 15, 48, 20, 0.05)
	thick.Tooth.Thinning -= 0.3
	if thick.Right, err = thick.Tooth.RightFlank(); err != nil {
		t.Fatal(err)
	}
	if r, err = thick.Roll(); err != nil || !r.Interferes {
		t.Errorf("a tooth 0.2 too thick: interferes %v, %v", r.Interferes, err)
	}
}

func TestMeshCycloidRefusals(t *testing.T) {
	for _, tt := range []struct {
		spoil func(*Mesh)
		says  string
	}{
		{func(m *Mesh) { m.Mate.Form = nil }, "does not run with"},
		{func(m *Mesh) { m.Mate = cycloidMesh(t, 12, 48, 20, 0.1).Mate }, "not of one set"},
		{func(m *Mesh) { m.Centre += 20 }, "the teeth meet between"},
		{func(m *Mesh) { m.Right = m.Right[:1] }, "at least two points"},
	} {
		m := cycloidMesh(t, 15, 48, 20, 0.1)
		tt.spoil(&m)
		if _, err := m.Roll(); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%q: %v", tt.says, err)
		}
	}
	copied := cycloidMesh(t, 15, 48, 20, 0.1).Tooth
	copied.Form = &profiles.Form{Name: "copied", Right: copied.Form.Right, Left: copied.Form.Left}
	if _, err := copied.RunsWith(20, 0, 0); err == nil {
		t.Error("a copied tooth told its mate")
	}
}

func BenchmarkMeshCycloid(b *testing.B) {
	m := cycloidMesh(b, 15, 48, 20, 0.1)
	for b.Loop() {
		if _, err := m.Roll(); err != nil {
			b.Fatal(err)
		}
	}
}
