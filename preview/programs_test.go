package preview

import (
	"bytes"
	"errors"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cogmend/gcode/machine"
	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// TestProgramFigures draws every picture of whole repairs: all are of page
// size, have names of their own, and nothing found no room.
func TestProgramFigures(t *testing.T) {
	for _, name := range []string{"demo", "module4-inch", "news63-one-cutter", "two-missing", "three-missing", "pinion17", "head", "teeth", "apart", "minimal"} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("..", "testdata", "jobs", "good", name+".toml")
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			j, err := job.Decode(file, text, nil)
			if err != nil {
				t.Fatal(err)
			}
			seen := map[string]bool{}
			for _, w := range repair(t, j, nil) {
				figures := ProgramFigures(w.Scene)
				if len(figures) == 0 {
					t.Errorf("%s has no picture", w.Program.File())
				}
				for _, f := range figures {
					if seen[f.Name] || !strings.HasPrefix(f.Name, strings.TrimSuffix(w.Program.File(), ".nc")) {
						t.Errorf("name %q is there twice or is not that of %s", f.Name, w.Program.File())
					}
					seen[f.Name] = true
					d, err := f.Draw(1)
					if err != nil {
						t.Error(f.Name, err)
						continue
					}
					if len(d.Omitted) > 0 {
						t.Errorf("%s: no room for %q", f.Name, d.Omitted)
					}
					if got := d.Image.Rect.Size(); got != image.Pt(1600, 1200) {
						t.Errorf("%s: size %v", f.Name, got)
					}
				}
			}
		})
	}
}

// smallJob is a gear of 20 teeth, module 2, written out by hand.
func smallJob(t *testing.T) *job.Job {
	rack, ok := profiles.RackByName("iso-a")
	if !ok {
		t.Fatal("no rack")
	}
	j := &job.Job{Title: "Small gear", Fingerprint: "0123456789ab"}
	j.Gear = job.Gear{Gear: profiles.Gear{Teeth: 20, Module: 2, Pressure: geom.Radians(20), Rack: rack}, Face: 20, RimInner: 20, Places: []float64{0}}
	j.Slot = job.Slot{Mouth: 3, Depth: 3, HalfAngle: geom.Radians(10), SeatBelow: 0.2}
	j.Insert = job.Insert{Body: 5, BlockWidth: 6, BlockHeight: 12, TopCut: 0.5, Over: 1, OverSize: 0.3}
	j.Fit = job.Fit{TightMiddle: 0.04, Lead: 5, TrialFirst: 0.04, TrialStep: 0.02, TrialCount: 4, TrialLength: 5, Step: 2}
	j.Facets = job.Facets{Count: 2, RootStep: 0.05}
	j.Machine.RotarySign = 1
	j.Cutters = []profiles.Cutter{
		{Name: "mill", Number: 1, Kind: profiles.EndMill, Diameter: 2, FluteLength: 8, Shank: 4, StickOut: 20, Holder: 16},
		{Name: "dove", Number: 2, Kind: profiles.Dovetail, Diameter: 3, FlankAngle: geom.Radians(10), FlankHeight: 4, FluteLength: 4, Neck: 1.4, NeckLength: 8, Shank: 4, StickOut: 20, Holder: 16},
	}
	return j
}

// cut is a pass along X at y, z.
func cut(name string, angle, y, z float64) toolpath.Pass {
	at := func(x, z float64) toolpath.Pos { return toolpath.Pos{X: x, Y: y, Z: z} }
	return toolpath.Pass{Name: name, Angle: angle, Moves: []toolpath.Move{
		{Kind: toolpath.Rapid, To: at(-3, 30)}, {Kind: toolpath.Rapid, To: at(-3, z)},
		{Kind: toolpath.Feed, To: at(23, z), Feed: 100}, {Kind: toolpath.Rapid, To: at(23, 30)},
	}}
}

// smallScene is a plan made by hand around that gear, with metal left of known
// thickness on both flanks.
func smallScene(t *testing.T, purpose toolpath.Purpose, thick float64) Scene {
	j := smallJob(t)
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	d.Shift = 20
	fl := d.Flanks
	plan := &toolpath.Plan{Design: d}
	prog := &toolpath.Program{Number: 40, Purpose: purpose, Ext: "nc", Title: "made by hand", Safe: 30}
	op := toolpath.Op{Name: "by hand", Cutter: &j.Cutters[0], Rpm: 2000, Feed: 100}
	rb, zero := j.Gear.BaseRadius(), j.Gear.BaseHalfAngle()
	for i, roll := range fl.Right.Rolls {
		for _, side := range []int{1, -1} {
			c := toolpath.Facet{Number: len(fl.Right.Rolls) - i, Side: side, Roll: roll, Angle: float64(side) * (roll - zero), Y: rb * roll, Cutters: []int{1}}
			plan.Facets = append(plan.Facets, c)
			op.Passes = append(op.Passes, cut("facet", c.Angle, float64(side)*(c.Y+1), 18))
		}
	}
	prog.Ops = []toolpath.Op{op}
	line, err := j.Gear.RightFlank()
	if err != nil {
		t.Fatal(err)
	}
	var waste geom.Region
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		n := geom.Vec{Y: -(b.Z - a.Z), Z: b.Y - a.Y}
		n = n.Scale(thick / n.Norm())
		for _, side := range []float64{1, -1} {
			ring := []geom.Vec{a, b, b.Add(n), a.Add(n)}
			for k := range ring {
				ring[k].Y *= side
			}
			if geom.Area(ring) < 0 {
				ring[1], ring[3] = ring[3], ring[1]
			}
			waste = append(waste, geom.NewConvex(ring...))
		}
	}
	tooth := geom.Region{geom.Rect(-1, 17, 1, 22)}
	good := []geom.Vec{{Y: 4, Z: 18}, {Y: 5, Z: 21}, {Y: 6, Z: 21}, {Y: 7, Z: 18}}
	station := func(x float64) replay.Station {
		return replay.Station{X: x, Section: &replay.Section{Waste: waste, Keep: []replay.Solid{
			{Name: "new tooth", Role: replay.Target, Metal: tooth},
			{Name: "tooth", Role: replay.Neighbour, Metal: geom.Region{geom.Rect(4, 15, 7, 21)}, Outline: good},
		}, Zones: []replay.Zone{{Name: "flank", Surface: line, Limit: 0.05}}}}
	}
	before := &replay.Setup{Turns: true, ZShift: 20, Stations: []replay.Station{station(1), station(10), station(19)}}
	return Scene{Plan: plan, Program: prog, Before: before, After: before.Stations,
		Report: &replay.Report{Minutes: 3.2, Findings: []replay.Finding{{Kind: replay.MetalLeft, Line: 12, Text: "made by hand"}}}}
}

// TestFlankMeasured: metal of one thickness laid on the outline is measured as
// that thickness wherever the outline does not turn under it.
func TestFlankMeasured(t *testing.T) {
	const thick = 0.04
	s := smallScene(t, "facets", thick)
	for _, side := range []int{1, -1} {
		f, err := s.flankOf(0, side)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.samples) < flankSteps {
			t.Fatalf("%d places looked at", len(f.samples))
		}
		for _, q := range f.samples {
			if math.Abs(q.left-thick) > 0.002 {
				t.Errorf("side %d at %v: %.4f mm left, %.4f was laid on", side, q.at, q.left, thick)
			}
		}
		// What the facets should leave is at most what the set was chosen for,
		// and nothing where one touches.
		most := 0.0
		for _, at := range f.over(f.facets) {
			most = max(most, at.Z)
			if at.Z < -1e-4 {
				t.Errorf("side %d at radius %g: a planned facet cuts %.4f into the tooth", side, at.Y, -at.Z)
			}
		}
		if want := s.Plan.Flanks.Right.GreatestError; math.Abs(most-want) > 0.1*want {
			t.Errorf("side %d: the facets leave %.4f, the set %.4f", side, most, want)
		}
		for _, c := range f.facets {
			// The outline's chords lie inside it.
			q := f.touch(c)
			if left := f.facetsOver(f.facets, &q); left > 0.02*most+profiles.OutlineTolerance {
				t.Errorf("side %d facet %d: %.4f stays where it touches", side, c.Number, left)
			}
		}
	}
}

func TestThickness(t *testing.T) {
	metal := geom.Region{geom.Rect(0, 0, 1, 1), geom.Rect(1, 0, 3, 1), geom.Rect(5, 0, 6, 1)}
	for _, c := range []struct {
		from, dir geom.Vec
		gap       float64
		want      float64
	}{
		{v(0, 0.5), v(1, 0), touching, 3},                                     // two pieces that touch, a third beyond a gap
		{v(-0.5, 0.5), v(1, 0), touching, 0},                                  // a gap at once
		{v(3, 0.5), v(-1, 0), touching, 3},                                    // the other way
		{v(0, 0), v(math.Sqrt2, math.Sqrt2).Scale(0.5), touching, math.Sqrt2}, // along the diagonal
		{v(0, 2), v(1, 0), touching, 0},                                       // beside it
		{v(0, 0.5), v(1, 0), 2.1, 6},                                          // the gap allowed
	} {
		if got := thickness(metal, c.from, c.dir, c.gap); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("from %v along %v over gaps of %g: %g, want %g", c.from, c.dir, c.gap, got, c.want)
		}
	}
}

// TestSceneText holds what the pictures of the plan made by hand show.
func TestSceneText(t *testing.T) {
	facets := smallScene(t, "facets", 0.04)
	slot := smallScene(t, "slot", 0.04)
	slot.Program.Number = 10
	for name, f := range map[string]*figure.Figure{
		"tooth":   FacetFigures(facets)[0],
		"index":   FacetFigures(facets)[2],
		"across":  slot.sectionFigure(),
		"along":   slot.planFigure(),
		"steps":   slot.stepsFigure(),
		"cutters": facets.sectionFigure(),
	} {
		checkGolden(t, "scene_"+name, f.Text())
	}
}

// TestVerdict: a program with findings says so on every picture.
func TestVerdict(t *testing.T) {
	for _, f := range ProgramFigures(smallScene(t, "facets", 0.04)) {
		if !strings.Contains(strings.Join(f.Notes, " "), "DO NOT RUN") {
			t.Errorf("%s does not warn: %q", f.Name, f.Notes)
		}
	}
	s := smallScene(t, "slot", 0.04)
	s.Report = nil
	if got := strings.Join(s.verdict(), " "); !strings.Contains(got, "Not checked") {
		t.Errorf("without a report: %q", got)
	}
	s.Program.Skipped = "no step yet"
	if n := len(ProgramFigures(s)); n != 0 {
		t.Errorf("%d pictures of a program that is not written", n)
	}
}

// TestDry counts the frames of the demo's slot and trial.
func TestDry(t *testing.T) {
	type run struct {
		d      *Dry
		w      *written
		frames int
		moves  int
	}
	for _, every := range []bool{false, true} {
		var runs []*run
		repair(t, job.Demo(), func(w *written) {
			r := &run{w: w}
			r.d = NewDry(w.Scene, w.text, every, func(n int, im *image.Paletted) error {
				if r.frames++; n != r.frames {
					t.Errorf("frame %d came as number %d", r.frames, n)
				}
				if im.Rect.Size() != image.Pt(960, 720) {
					t.Errorf("frame of %v", im.Rect)
				}
				return nil
			})
			w.Before.Observe = func(m *machine.Motion, angle float64, st []replay.Station) {
				r.moves++
				r.d.Observe(m, angle, st)
			}
			runs = append(runs, r)
		})
		for _, r := range runs {
			if err := r.d.Close(); err != nil {
				t.Error(err)
			}
			want := r.w.Program.Passes()
			if every {
				want = r.moves
			}
			if r.frames != want || want == 0 {
				t.Errorf("%s, every %v: %d frames, want %d", r.w.Program.File(), every, r.frames, want)
			}
		}
	}
}

// TestDryStops: the error of whoever takes the frames comes back.
func TestDryStops(t *testing.T) {
	full := errors.New("disk full")
	s := smallScene(t, "facets", 0.04)
	taken := 0
	d := NewDry(s, []byte("(Pass 1: right facet 1)\nG1 X23\n"), true, func(int, *image.Paletted) error {
		taken++
		return full
	})
	m := &machine.Motion{Line: 2, Kind: machine.Feed, From: machine.Position{X: -3, Y: 1, Z: 0}, To: machine.Position{X: 23, Y: 1, Z: 0}, State: &machine.State{Tool: 1}}
	for range 5 {
		d.Observe(m, 0.1, s.Before.Stations)
	}
	if err := d.Close(); !errors.Is(err, full) || taken != 1 {
		t.Errorf("error %v after %d frames, want %v after 1", err, taken, full)
	}
}

// TestDryFrame holds what a frame says.
func TestDryFrame(t *testing.T) {
	s := smallScene(t, "facets", 0.04)
	d := NewDry(s, []byte("(Pass 1: right facet 1)\r\nG1 X23 F100\r\n"), false, func(int, *image.Paletted) error { return nil })
	m := &machine.Motion{Line: 2, Kind: machine.Feed, From: machine.Position{X: -3, Y: 1, Z: 0}, To: machine.Position{X: 23, Y: 1, Z: 0}, State: &machine.State{Tool: 1}}
	d.Observe(m, geom.Radians(5), s.Before.Stations)
	f := d.backdrop().Next()
	d.draw(f, m, geom.Radians(5), &s.Before.Stations[1])
	for _, want := range []string{"40-facets.nc  line 2  Pass 1: right facet 1", "G1 X23 F100", "Gear at A 5.000°", "Metal left here: at most "} {
		if !bytes.Contains([]byte(strings.Join(f.Status, "\n")), []byte(want)) {
			t.Errorf("status %q lacks %q", f.Status, want)
		}
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}
