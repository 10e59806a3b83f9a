package repair

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// realTooth is a tooth as it really is: its flank by its support function over
// how far the tooth leans, from its foot or its pitch point to its tip.
type realTooth struct {
	name         string
	teeth        int
	tip, root    float64 // radii, mm
	fillet       float64
	from, to     float64
	plane, slope func(a float64) float64
}

func (r *realTooth) point(a float64) geom.Vec {
	return upright(a).Scale(r.plane(a)).Add(upright(a + math.Pi/2).Scale(r.slope(a)))
}

// upright is the direction that points to +Y when the tooth leans by a.
func upright(a float64) geom.Vec {
	s, c := math.Sincos(a)
	return geom.Vec{Y: c, Z: s}
}

// wear is what an involute has lost, mm, and its change, over u from 0 at the foot
// to 1 at the tip.
type wear func(u float64) (loss, change float64)

// wornInvolute is an involute that has lost metal.
func wornInvolute(t testing.TB, name string, g profiles.Gear, lost wear) realTooth {
	t.Helper()
	root, err := g.Root()
	if err != nil {
		t.Fatal(err)
	}
	rb, zero := g.BaseRadius(), g.BaseHalfAngle()
	r := realTooth{name: fmt.Sprintf("%s, %d teeth", name, g.Teeth), teeth: g.Teeth, tip: g.TipRadius(), root: g.RootRadius(), fillet: 0.3 * g.Module,
		from: root.FormRoll - zero, to: g.Roll(g.TipRadius()) - zero}
	span, from := r.to-r.from, r.from
	r.plane = func(a float64) float64 {
		loss, _ := lost((a - from) / span)
		return rb*(a+zero) - loss
	}
	r.slope = func(a float64) float64 {
		_, change := lost((a - from) / span)
		return rb - change/span
	}
	r.toTip()
	return r
}

// toTip ends the flank on the tip circle.
func (r *realTooth) toTip() {
	for r.point(r.to).Norm() > r.tip {
		r.to -= 1e-4
	}
}

// realCycloid is a tooth of an interchangeable set over its pitch circle: support
// function of the epicycloid, (R + 2 q) sin(b/2) with b/2 the roll times
// R/(R + 2 q) (computed from the curve; Rankine's account of Willis has its
// radius of curvature).
func realCycloid(teeth, set int, module float64) realTooth {
	r, q, zero := float64(teeth)*module/2, module*float64(set)/4, math.Pi/2/float64(teeth)
	k := r / (r + 2*q)
	t := realTooth{name: fmt.Sprintf("%d teeth of the set of %d", teeth, set), teeth: teeth, tip: r + module, root: r - 1.157*module, fillet: 0.2 * module,
		from: -zero + 0.02, to: 1,
		plane: func(a float64) float64 { return (r + 2*q) * math.Sin((a+zero)*k) },
		slope: func(a float64) float64 { return r * math.Cos((a+zero)*k) }}
	t.toTip()
	return t
}

func realTeeth(t testing.TB) []realTooth {
	rack, _ := profiles.RackByName("full-depth")
	old, _ := profiles.RackByName("old-full-depth")
	feed := profiles.Gear{Teeth: 30, Module: 4, Pressure: geom.Radians(20), Rack: rack, Thinning: 0.1}
	press := profiles.Gear{Teeth: 54, Module: 3.175, Pressure: geom.Radians(14.5), Rack: old, Thinning: 0.08}
	var out []realTooth
	for _, g := range []profiles.Gear{feed, press} {
		out = append(out,
			wornInvolute(t, "an involute", g, func(float64) (float64, float64) { return 0, 0 }),
			wornInvolute(t, "worn by 0.3 beside the pitch", g, func(u float64) (float64, float64) {
				s, c := math.Sincos(math.Pi * u)
				return 0.3 * s, 0.3 * math.Pi * c
			}),
			wornInvolute(t, "worn by 0.3 all over, less at the tip", g, func(u float64) (float64, float64) { return 0.3 - 0.05*u, -0.05 }),
			wornInvolute(t, "worn by 0.1 toward its tip", g, func(u float64) (float64, float64) { return 0.1 * u * u * u, 0.3 * u * u }))
	}
	return append(out, realCycloid(48, 12, 4), realCycloid(60, 15, 4))
}

// touches writes n touches of right and left flanks, each off by up to limit,
// with a 6 mm pin.
func (r *realTooth) touches(n int, limit float64, rng *rand.Rand) string {
	var b strings.Builder
	tau := 2 * math.Pi / float64(r.teeth)
	fmt.Fprintf(&b, "[copy]\npin = 6\npaper = 0.05\nwithin = %g\n[touch]\n", limit)
	for i := range n {
		lean := r.from + (r.to-r.from)*(0.02+0.95*float64(i)/float64(n-1))
		side := float64(1 - 2*(i%2))
		tooth := max(1, math.Round(lean/tau))
		turned := side * (lean - tooth*tau)
		y := side * (r.plane(lean) + 3 + 0.05 + limit*(2*rng.Float64()-1))
		fmt.Fprintf(&b, "t%d = { tooth = %g, angle = %.6f, y = %.4f }\n", i+1, side*tooth, geom.Degrees(turned), y)
	}
	return b.String()
}

// job writes a job that copies the tooth.
func (r *realTooth) job(readings string) string {
	return fmt.Sprintf(`format = 1
units = "mm"
[gear]
form = "copied"
teeth = %d
outside_diameter = %.4f
depth = %.4f
fillet_radius = %.3f
face = 20
bore = 25
%s
[fit]
tight_middle = 0.02
step = 4
[as_cut]
done = ["flush"]
[facets]
tolerance = 0.012
[cutter]
end4 = { number = 1, diameter = 4, flute_length = 14, shank = 4, stick_out = 24 }
end2 = { number = 2, diameter = 2, flute_length = 5, neck = 1.9, neck_length = 14, shank = 4, stick_out = 24, material = "carbide" }
dove = { number = 3, kind = "dovetail", diameter = 3.9, angle = 15, flank_height = 6.5, neck_length = 16, stick_out = 26 }
`, r.teeth, 2*r.tip, r.tip-r.root, r.fillet, readings)
}

// facetsOnly makes a job's last program alone.
func facetsOnly(t *testing.T, text string) *Repair {
	t.Helper()
	j, err := job.Decode("copied.toml", []byte(text), nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	programs, err := chain.All(plan)
	if err != nil {
		t.Fatal(err)
	}
	return &Repair{Job: d.Job, Plan: plan, Programs: programs}
}

// Raster of the flank, mm: how closely it is looked at square to it, how far in
// and out.
const (
	rasterStep = 0.002
	rasterIn   = 0.09
	rasterOut  = 0.14
)

// square is a place of a true flank and the way out of the metal there, +Y side.
type square struct{ at, out geom.Vec }

// measured lays rows of spots square to the true flanks and says, by those that
// the judge's cutter takes, how far the finished flank stands out of them: least
// and greatest.
func measured(t *testing.T, m *Repair, flank []square) (least, most float64) {
	t.Helper()
	p := &m.Programs[len(m.Programs)-1]
	setup := *p.Before
	setup.Observe = nil
	at := plane{x: m.Job.Gear.Face / 2}
	for _, side := range []float64{1, -1} {
		for _, q := range flank {
			for off := -rasterIn; off < rasterOut; off += rasterStep {
				s := q.at.Add(q.out.Scale(off))
				at.spots = append(at.spots, spot{at: geom.Vec{Y: side * s.Y, Z: s.Z}})
			}
		}
	}
	jd := &judge{setup: &setup, planes: []plane{at}}
	run, harm := jd.run(string(p.Text))
	if harm != "" {
		t.Fatalf("the judge finds the program harmful: %s", harm)
	}
	least, most = math.Inf(1), math.Inf(-1)
	per := len(at.spots) / (2 * len(flank))
	for row := range 2 * len(flank) {
		out := -rasterIn
		for k := range per {
			if !run.planes[0].spots[row*per+k].gone {
				out = -rasterIn + float64(k)*rasterStep
			}
		}
		least, most = min(least, out), max(most, out)
	}
	return least, most
}

// rasterRows is how many places of a flank are looked at.
const rasterRows = 60

// squares are places of the flank from its lowest reading, or where the fillet
// begins, up to the tip.
func (r *realTooth) squares(m *Repair) []square {
	first := m.Plan.Copied()[0].Readings[0].Angle
	for r.point(first).Norm() < m.Plan.Target.Root.FormRadius { // there the fillet has begun
		first += 1e-3
	}
	var out []square
	for i := range rasterRows {
		a := first + (r.to-first)*float64(i)/(rasterRows-1)
		out = append(out, square{r.point(a), upright(a)})
	}
	return out
}

// TestCopiedTeeth: teeth as they are, exact, worn and cycloidal, are touched with
// readings off by up to 0.005 to 0.02 mm, copied, planned and written; the judge's
// raster measures the finished flank against the true one: within the stated bound
// every time, and within the readings' limit and what is allowed to be left in 95
// of 100.
func TestCopiedTeeth(t *testing.T) {
	limits, tries := []float64{0.005, 0.01, 0.02}, 4
	if testing.Short() {
		limits, tries = []float64{0.005}, 1
	}
	rng := rand.New(rand.NewPCG(18, 80))
	good, all := 0, 0
	for _, r := range realTeeth(t) {
		for _, limit := range limits {
			for range tries {
				m := facetsOnly(t, r.job(r.touches(18, limit, rng)))
				least, most := measured(t, m, r.squares(m))
				bound, allowed := m.Plan.Copied()[0].Bound, m.Plan.Flanks.Limit
				if least < -bound-rasterStep || most > bound+allowed+rasterStep {
					t.Errorf("%s, readings to %.3f mm: off by %.3f to %.3f, bound %.3f and %.3f left", r.name, limit, least, most, bound, allowed)
				}
				all++
				if _, set, found := strings.Cut(r.name, "of the set of "); found && limit < 0.01 && !strings.Contains(strings.Join(m.Plan.CopyLines(), "\n"), "of the set of "+set) {
					t.Errorf("%s is not told to be one:\n%s", r.name, strings.Join(m.Plan.CopyLines(), "\n"))
				}
				if least >= -limit-rasterStep && most <= limit+allowed+rasterStep {
					good++
				} else {
					t.Logf("%s, readings to %.3f mm: off by %.3f to %.3f, %.3f allowed to be left", r.name, limit, least, most, allowed)
				}
			}
		}
	}
	t.Logf("%d of %d within the readings' limit and the tolerance", good, all)
	if good < all*95/100 {
		t.Errorf("only %d of %d within the readings' limit and the tolerance", good, all)
	}
}

// TestCycloidalTeeth: the raster measures finished cycloidal teeth against the
// curves themselves, x = (R + q) cos t - q cos((R + q) t/q) and its like with -q under
// the pitch circle (the roulettes' equations, any text on curves), from the fillet up
// over the hollow to the tip: nothing cut off, and no more left than is allowed.
func TestCycloidalTeeth(t *testing.T) {
	for _, tt := range []struct {
		set, teeth int
		module     float64
	}{{15, 48, 4}, {12, 40, 4}, {15, 24, 5}, {12, 12, 6}} {
		name := fmt.Sprintf("%d teeth of the set of %d", tt.teeth, tt.set)
		m := facetsOnly(t, fmt.Sprintf(`format = 1
units = "mm"
[gear]
form = "cycloidal"
teeth = %d
module = %g
set = %d
face = 20
bore = 5
[fit]
tight_middle = 0.02
step = 4
[as_cut]
done = ["flush"]
[facets]
tolerance = 0.03
[cutter]
end4 = { number = 1, diameter = 4, flute_length = 16, shank = 4, stick_out = 30 }
end2 = { number = 2, diameter = 2, flute_length = 5, neck = 1.9, neck_length = 16, shank = 4, stick_out = 24, material = "carbide" }
end1 = { number = 4, diameter = 1.2, flute_length = 3, neck = 1.1, neck_length = 16, shank = 4, stick_out = 24, material = "carbide" }
dove = { number = 3, kind = "dovetail", diameter = 3.9, angle = 15, flank_height = 6.5, neck_length = 20, stick_out = 30 }
`, tt.teeth, tt.module, tt.set))
		r, q := float64(tt.teeth)*tt.module/2, tt.module*float64(tt.set)/4
		curve := func(q, way, by float64) geom.Vec { // q under 0 rolls inside
			y := (r+q)*math.Sin(by) - q*math.Sin((r+q)/q*by)
			x := (r+q)*math.Cos(by) - q*math.Cos((r+q)/q*by)
			return geom.Polar(math.Hypot(x, y), math.Pi/2/float64(tt.teeth)+way*math.Atan2(y, x))
		}
		var flank []square
		along := func(q, way float64, within func(p geom.Vec) bool) {
			const d = 1e-6
			for by := 2e-3; by < 2; by += 5e-4 {
				a, b := curve(q, way, by), curve(q, way, by+d)
				if !within(a) {
					break
				}
				up := b.Sub(a).Scale(-way / b.Sub(a).Norm())
				flank = append(flank, square{a, geom.Vec{Y: up.Z, Z: -up.Y}})
			}
		}
		along(q, -1, func(p geom.Vec) bool { return p.Norm() < m.Plan.Target.TipRadius()-0.02 })
		over := len(flank)
		along(-q, 1, func(p geom.Vec) bool { return p.Norm() > m.Plan.Target.Root.FormRadius+0.01 })
		if over < 20 || len(flank)-over < 20 {
			t.Fatalf("%s: %d places over the pitch circle, %d under it", name, over, len(flank)-over)
		}
		limit := m.Plan.Flanks.Limit
		if to, ok := m.Plan.MostToFile(); ok {
			limit = max(limit, to.Thick)
		}
		least, most := measured(t, m, flank)
		t.Logf("%s: off by %.3f to %.3f, %.3f allowed", name, least, most, limit)
		if least < -1.5*rasterStep || most > limit+1.5*rasterStep {
			t.Errorf("%s: off by %.3f to %.3f, %.3f allowed", name, least, most, limit)
		}
	}
}

// TestFineHollow: where the facets over the pitch circle are far finer than any
// corner pass, the hollow under it is not cut in hundreds of passes: the last 0.02 mm
// (own rule) are listed for the file.
func TestFineHollow(t *testing.T) {
	src := strings.Replace((&realTooth{teeth: 48, tip: 100, root: 91, fillet: 0.8}).job(""), `form = "copied"`, "form = \"cycloidal\"\nmodule = 4\nset = 15", 1)
	m := facetsOnly(t, strings.Replace(src, "tolerance = 0.012", "count = 6", 1))
	if limit := m.Plan.Flanks.Limit; limit > 0.01 {
		t.Fatalf("the facets leave %.4f: no test", limit)
	}
	p := &m.Programs[len(m.Programs)-1]
	if !p.Clean() {
		t.Errorf("%+v", p.Result.Report.Findings)
	}
	passes := 0
	for _, op := range p.Ops {
		passes += len(op.Passes)
	}
	if passes > 100 {
		t.Errorf("%d passes", passes)
	}
	if to, ok := m.Plan.MostToFile(); !ok || to.Thick > 0.021 {
		t.Errorf("to be filed %v: %.4f", ok, to.Thick)
	}
}
