package toolpath

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// goodTeeth is a gear as it stands in the machine: all its teeth, by their outline.
type goodTeeth struct {
	name    string
	gear    profiles.Gear
	outline []geom.Vec // of a tooth, from the middle of one space to the next
}

func goodGears(t *testing.T) []goodTeeth {
	t.Helper()
	full, _ := profiles.RackByName("full-depth")
	old, _ := profiles.RackByName("old-full-depth")
	var out []goodTeeth
	add := func(name string, g profiles.Gear) {
		line, err := g.Tooth()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, goodTeeth{name: name, gear: g, outline: line})
	}
	add("30 teeth, 20 deg", profiles.Gear{Teeth: 30, Module: 4, Pressure: geom.Radians(20), Rack: full, Thinning: 0.1})
	add("54 teeth, 14.5 deg", profiles.Gear{Teeth: 54, Module: 3.175, Pressure: geom.Radians(14.5), Rack: old, Thinning: 0.08})
	q := profiles.SetCircle(5, 15)
	g := profiles.Gear{Teeth: 48, Module: 5, Pressure: geom.Radians(20), Rack: profiles.Rack{Addendum: 1, Dedendum: 1.157, Fillet: 0.2}}
	form, err := profiles.Cycloid{PitchRadius: g.PitchRadius(), Addendum: q, Dedendum: q, HalfAngle: g.Pitch() / 4}.Form()
	if err != nil {
		t.Fatal(err)
	}
	g.Form = form
	add("48 cycloidal teeth", g)
	return out
}

// touch is the distance from the axis at which the side of a cutter touches the
// right flank of a tooth that leans, its end at a height: the farthest point of its
// outline over that.
func (g *goodTeeth) touch(lean, end float64) float64 {
	far, turn := 0.0, geom.Turn(lean)
	for _, q := range g.outline {
		if q = turn.Apply(q); q.Z > end {
			far = max(far, q.Y)
		}
	}
	if roll := lean + g.gear.BaseHalfAngle(); g.gear.Form == nil && roll > 0 && roll < g.gear.Roll(g.gear.TipRadius()) {
		if foot, _ := g.gear.Root(); roll > foot.FormRoll {
			far = g.gear.Plane(roll) // exact, where the outline is of chords
		}
	}
	return far
}

// copyText is the job of such a gear whose teeth are still to be touched.
func (g *goodTeeth) copyText(index, copied string) string {
	return fmt.Sprintf("format = 1\nunits = \"mm\"\n[gear]\nform = \"copied\"\nteeth = %d\noutside_diameter = %.3f\ndepth = %.3f\nfillet_radius = %.3f\ntip_land = %.3f\nface = 30\nbore = 20\n%s\n[copy]\n%s\n[facets]\ntolerance = 0.05\n[cutter]\n"+
		"end6 = { number = 1, diameter = 6, flute_length = 20, stick_out = 32 }\nend3 = { number = 2, diameter = 3, flute_length = 14, stick_out = 26, shank = 4 }\nend2 = { number = 3, diameter = 2, flute_length = 12, stick_out = 26, shank = 4 }\n",
		g.gear.Teeth, 2*g.gear.TipRadius(), g.gear.WholeDepth(), g.gear.Module*g.gear.Rack.Fillet, 2*g.gear.TipRadius()*g.gear.HalfAngle(g.gear.TipRadius()), index, copied)
}

func toTouch(t *testing.T, text string) (*design.Design, error) {
	t.Helper()
	j, err := job.DecodeToTouch("copy.toml", []byte(text), nil)
	if err != nil {
		return nil, err
	}
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	return d, nil
}

// TestTouching: the touches that are planned for a gear nobody has measured are
// taken on it, read to a limit, written into the job, and give its flank; and none
// of them drives the cutter into a tooth.
func TestTouching(t *testing.T) {
	devices := map[string]string{
		"rotary": "[index]\ndevice = \"rotary\"", "head": "[index]\ndevice = \"head\"", "scale": "[index]\ndevice = \"head\"\ngraduation = \"0.1 deg\"",
		"stops": "[index]\ndevice = \"teeth\"", "stops, half": "[index]\ndevice = \"teeth\"\nhalf_tooth = true",
	}
	hows := []string{"within = 0.005", "within = 0.01\nflanks = \"apart\"\npaper = 0.05", "within = 0.02\npin = 2.5"}
	for n, g := range goodGears(t) {
		for k, device := range slices.Sorted(maps.Keys(devices)) {
			index := devices[device]
			for _, how := range []string{hows[(n+k)%3], hows[(n+k+1)%3]} {
				what := g.name + ", " + device + ", " + strings.ReplaceAll(how, "\n", ", ")
				text := g.copyText(index, how)
				d, err := toTouch(t, text)
				if err != nil {
					t.Errorf("%s: %v", what, err)
					continue
				}
				p, err := Touching(d)
				if err != nil {
					t.Errorf("%s: %v", what, err)
					continue
				}
				g.noneInMetal(t, what, d, p)
				d, err = toTouch(t, text+g.taken(p, d, 7))
				if err != nil {
					t.Errorf("%s: touched: %v", what, err)
					continue
				}
				g.holds(t, what, d)
			}
		}
	}
}

// taken are the lines of the job when the touches of a plan have been taken, each off
// by no more than they are good to.
func (g *goodTeeth) taken(p *TouchPlan, d *design.Design, seed uint64) string {
	rng := rand.New(rand.NewPCG(seed, 1))
	var b strings.Builder
	b.WriteString("[touch]\n")
	for i := range p.Touches {
		a := &p.Touches[i]
		limit := d.Job.Touching.Within - 0.0006 // written to a thousandth
		y := float64(a.Side) * (g.touch(a.Lean, a.End) + p.With.Radius() + d.Job.Touching.Paper + limit*(2*rng.Float64()-1))
		line := a.Line(y, job.MM)
		if !p.Pin {
			line = strings.Replace(line, " }", fmt.Sprintf(", cutter = %q }", p.With.Name), 1)
		}
		fmt.Fprintln(&b, line)
	}
	return b.String()
}

// holds checks the copy against the gear: no farther off than is said, where it was
// read; and an involute's base pitch found.
func (g *goodTeeth) holds(t *testing.T, what string, d *design.Design) {
	t.Helper()
	for _, c := range d.Copied() {
		lo, hi, used := math.Inf(1), math.Inf(-1), 0
		for _, r := range c.Readings {
			if r.Left == "" {
				lo, hi = min(lo, r.Angle), max(hi, r.Angle)
				used++
			}
		}
		if used < 4 {
			t.Errorf("%s: only %d touches are on the flank", what, used)
		}
		copied := d.Job.Gear.Gear
		if c.Sides == "left" {
			copied = copied.Mirrored()
		}
		for i := range 41 {
			a := lo + (hi-lo)*float64(i)/40
			// Just over what the gear's own flank has below where it is upright.
			end := g.gear.SupportAt(a+g.gear.BaseHalfAngle()).Slope - touchUnder
			off := copied.Plane(a+copied.BaseHalfAngle()) - g.touch(a, end)
			if math.Abs(off) > c.Bound+2e-3 {
				t.Errorf("%s: at %.3f rad the copy is %.4f mm off, %.4f said", what, a, off, c.Bound)
			}
		}
		if g.gear.Form != nil {
			continue
		}
		want := math.Pi * g.gear.Module * math.Cos(g.gear.Pressure)
		// The readings' limit over the arc they span, doubled at the worst.
		slack := 2 * d.Job.Gear.Copy.Within / (hi - lo) * g.gear.Pitch()
		if math.Abs(c.BasePitch-want) > slack {
			t.Errorf("%s: base pitch %.4f, want %.4f within %.4f", what, c.BasePitch, want, slack)
		}
		if near := c.Nearest(g.gear.Teeth)[0]; c.Straight && slack < 0.02 && math.Abs(near.Degrees-geom.Degrees(g.gear.Pressure)) > 1e-9 {
			t.Errorf("%s: taken for %s at %g deg", what, near.Standard, near.Degrees)
		}
	}
}

// noneInMetal looks at every touch with the whole gear as it really is: the cutter's
// side on the flank, its end above that of the flank's touch, nothing else in it.
func (g *goodTeeth) noneInMetal(t *testing.T, what string, d *design.Design, p *TouchPlan) {
	t.Helper()
	seen := map[string]bool{}
	for _, a := range p.Touches {
		if seen[a.Name] {
			t.Errorf("%s: two touches %s", what, a.Name)
		}
		seen[a.Name] = true
		at := d.Job.Gear.LevelReach() + math.Abs(float64(a.Tooth)) - 1
		if lean := at*g.gear.Pitch() + float64(a.Side)*a.Turned; math.Abs(lean-a.Lean) > 1e-9 {
			t.Errorf("%s: %s leans %.5f, said %.5f", what, a.Name, lean, a.Lean)
		}
		if a.End > a.Height-touchUnder/2 {
			t.Errorf("%s: %s touches at %.3f with its end at %.3f", what, a.Name, a.Height, a.End)
		}
		inner := g.touch(a.Lean, a.End)
		outer := inner + p.With.Diameter
		for k := -3; k <= 4; k++ {
			turn := geom.Turn(a.Lean + float64(k)*g.gear.Pitch())
			for _, q := range g.outline {
				if q = turn.Apply(q); q.Z > a.End+1e-3 && q.Y > inner+1e-3 && q.Y < outer-1e-3 {
					t.Errorf("%s: %s: at Z %.3f the cutter is in tooth %+d, %.3f mm deep", what, a.Name, a.End, k, q.Z-a.End)
					return
				}
			}
		}
	}
}

// TestGauging: the chords that are expected at the heights of a plan are those of the
// involute's half angle; the plan has as many as were asked for, none on the tip's
// edge or in the fillet.
func TestGauging(t *testing.T) {
	g := goodGears(t)[0]
	d, err := toTouch(t, g.copyText("[index]\ndevice = \"rotary\"", "within = 0.01"))
	if err != nil {
		t.Fatal(err)
	}
	list := Gauging(d, 9)
	if len(list) != 9 {
		t.Fatalf("%d readings", len(list))
	}
	guess := d.True.Gear
	foot, err := guess.Foot()
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range list {
		at := guess.TipRadius() - v.Height
		lo, hi := guess.BaseRadius(), guess.TipRadius()
		for range 60 { // the radius of the flank at that height
			if r := (lo + hi) / 2; r*math.Cos(guess.HalfAngle(r)) < at {
				lo = r
			} else {
				hi = r
			}
		}
		if want := 2 * lo * math.Sin(guess.HalfAngle(lo)); math.Abs(v.Chord-want) > 1e-3 {
			t.Errorf("%s at %.3f: chord %.4f, want %.4f", v.Name, v.Height, v.Chord, want)
		}
		if v.Height < 0.5 || at < foot.Z+0.5 || i > 0 && v.Height <= list[i-1].Height {
			t.Errorf("%s at %.3f, foot at %.3f", v.Name, v.Height, guess.TipRadius()-foot.Z)
		}
	}
}

// TestTouchingMore: where the touches taken leave more unknown than the facets may,
// those between are asked for, and when they are taken nothing is wanting.
func TestTouchingMore(t *testing.T) {
	g := goodGears(t)[0]
	text := g.copyText("[index]\ndevice = \"rotary\"", "within = 0.005\ncutter = \"end2\"")
	d, err := toTouch(t, text)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Touching(d)
	if err != nil || !p.Met {
		t.Fatalf("%+v, %v", p, err)
	}
	p.Touches = slices.DeleteFunc(p.Touches, func(a ToTouch) bool { return a.Name == "t03" || a.Name == "t05" })
	few := text + g.taken(p, d, 3)
	if d, err = toTouch(t, few); err != nil {
		t.Fatal(err)
	}
	more, with, err := TouchingMore(d)
	if err != nil || len(more) == 0 || with.Name != "end2" {
		t.Fatalf("%v, %v, %v", more, with, err)
	}
	for _, a := range more {
		if strings.Contains(few, a.Name+" ") {
			t.Errorf("%s is there already", a.Name)
		}
	}
	all := *p
	all.Touches = append(slices.Clone(p.Touches), more...)
	if d, err = toTouch(t, text+g.taken(&all, d, 3)); err != nil {
		t.Fatal(err)
	}
	lowest := leansOf(all.Touches)[0]
	left, _, err := TouchingMore(d)
	if err != nil || slices.ContainsFunc(left, func(a ToTouch) bool { return a.Lean > lowest }) {
		t.Errorf("%v, %v", left, err)
	}
	// Without its lowest touch the flank is not read down to its foot.
	p.Touches = slices.DeleteFunc(p.Touches, func(a ToTouch) bool { return a.Name == "t06" })
	all.Touches = slices.DeleteFunc(all.Touches, func(a ToTouch) bool { return a.Name == "t06" })
	if d, err = toTouch(t, text+g.taken(&all, d, 3)); err != nil {
		t.Fatal(err)
	}
	if left, _, err := TouchingMore(d); err != nil || len(left) == 0 || left[0].Lean > 0.17 {
		t.Errorf("%v, %v", left, err)
	}
}

// TestNothingToTouchWith: a rack that does not get down between the teeth is told so.
func TestNothingToTouchWith(t *testing.T) {
	g := goodGears(t)[0]
	stubby := "end6 = { number = 1, diameter = 6, flute_length = 2, max_depth = 2, stick_out = 3, holder = 80 }\n"
	for how, want := range map[string]string{"": "nothing in the rack gets down", "cutter = \"end6\"": ""} {
		text := g.copyText("[index]\ndevice = \"rotary\"", how)
		if how == "" {
			text, _, _ = strings.Cut(text, "end6 = ")
			text += stubby
		}
		d, err := toTouch(t, text)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Touching(d)
		switch {
		case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%s: %v", how, err)
		case want == "" && (err != nil || p.Below == 0 || p.Better == ""):
			t.Errorf("%s: %+v, %v", how, p, err)
		}
	}
}

// BenchmarkTouching plans the touches of a gear nobody has measured.
func BenchmarkTouching(b *testing.B) {
	j, err := job.DecodeToTouch("copy.toml", []byte("format = 1\nunits = \"mm\"\n[gear]\nform = \"copied\"\nteeth = 30\noutside_diameter = 128\ndepth = 9\nface = 30\nbore = 20\n[facets]\ntolerance = 0.05\n[cutter]\nend2 = { number = 3, diameter = 2, flute_length = 12, stick_out = 26, shank = 4 }\n"), nil)
	if err != nil {
		b.Fatal(err)
	}
	d, err := design.Of(j)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Touching(d); err != nil {
			b.Fatal(err)
		}
	}
}
