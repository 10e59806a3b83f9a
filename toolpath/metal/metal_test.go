package metal

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

const goodJobs = "../../testdata/jobs/good/"

func read(t testing.TB, name string) *job.Job {
	t.Helper()
	j, err := job.Read(goodJobs + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// of works a job out.
func of(t testing.TB, j *job.Job) *design.Design {
	t.Helper()
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6f, want %.6f", what, got, want)
	}
}

// half cuts a region at a height.
func half(r geom.Region, lo, hi float64) float64 {
	return r.Intersect(geom.Region{geom.Rect(-Sky, lo, Sky, hi)}).Area()
}

// TestSlotSections: what the slot program must take out, against areas by
// hand.
func TestSlotSections(t *testing.T) {
	j := job.Demo()
	d := of(t, j).Sizes
	s, err := SlotSetup(of(t, j))
	if err != nil {
		t.Fatal(err)
	}
	plain := nearest(s.Stations, 8)
	trapeze := (5 + 2*d.FloorHalf) / 2 * 6.3
	near(t, "under the seat, beside the hole: the dovetail", half(plain.Waste, 0, d.Seat), trapeze, 1e-6)
	hole := nearest(s.Stations, 16)
	// The rim's inner circle sags less than 4.2^2/8/69 under its chord.
	near(t, "under the seat, on the hole's axis: the hole more", half(hole.Waste, 0, d.Seat), trapeze+4.2*(d.Floor-69), 4.2*4.2*4.2/8/69)
	if got := half(plain.Waste, d.StubTop, Sky); got > 1e-9 {
		t.Errorf("%.6f mm^2 of waste above the stub", got)
	}
	// Over the seat: the stub, as wide there as the tooth or the pocket.
	g := j.Gear.Gear
	line, err := g.Tooth()
	if err != nil {
		t.Fatal(err)
	}
	var stub float64
	const steps = 4000
	for i := range steps {
		z := d.Seat + (d.StubTop-d.Seat)*(float64(i)+0.5)/steps
		w := d.PocketHalf
		for k := 1; k < len(line); k++ {
			if a, b := line[k-1], line[k]; (a.Z-z)*(b.Z-z) < 0 {
				if y := math.Abs(a.Lerp(b, (z-a.Z)/(b.Z-a.Z)).Y); y < w {
					w = y
				}
			}
		}
		stub += 2 * w * (d.StubTop - d.Seat) / steps
	}
	near(t, "over the seat: the stub", half(plain.Waste, d.Seat, Sky), stub, 0.02)
	for _, st := range s.Stations {
		for _, k := range st.Keep {
			if over := k.Metal.Intersect(st.Waste).Area(); over > 1e-6 {
				t.Errorf("X %.3f: %s and the waste share %.6f mm^2", st.X, k.Name, over)
			}
		}
	}
}

// TestInsertSections: the block, and the insert in it, by hand.
func TestInsertSections(t *testing.T) {
	j := job.Demo()
	d := of(t, j).Sizes
	s, err := InsertSetup(of(t, j), Rough, nil)
	if err != nil {
		t.Fatal(err)
	}
	slope := math.Tan(geom.Radians(7.5))
	// Neck 5 + 0.3 over; on its wide face 2 x 6.25 tan 7.5 more.
	neck := 5.3
	dovetail := (neck + neck + 2*6.25*slope) / 2 * 6.25
	body := 12*(15.5-d.SideDepth) + 8.4*(d.SideDepth-6.25)
	for _, tt := range []struct {
		x    float64
		hole float64
	}{
		{8.5, 0},
		// Drilled 4 wide and 5 deep, and the point's cone: 118 degrees.
		{17, 4*5 + 2*(2/math.Tan(geom.Radians(59)))},
	} {
		st := nearest(s.Stations, tt.x)
		near(t, fmt.Sprintf("block at %g", st.X), st.Waste.Area()+st.Keep[0].Metal.Area(), 12*16, 1e-6)
		near(t, fmt.Sprintf("insert at %g", st.X), st.Keep[0].Metal.Area(), dovetail+body-tt.hole, 1e-3)
	}
}

// TestHolesMatch: turned over about X, the insert's holes stand over the
// gear's, moved by what draws it.
func TestHolesMatch(t *testing.T) {
	j := job.Demo()
	j.Lock.Positions, j.Lock.Draw = []float64{9, 20}, 0.15
	for i, x := range of(t, j).HolesInInsert() {
		// The insert's front end stands Over before the gear's face.
		near(t, "hole in the gear's X", x-j.Insert.Over, j.Lock.Positions[i]+0.15, 1e-12)
	}
	slot, err := SlotSetup(of(t, j))
	if err != nil {
		t.Fatal(err)
	}
	insert, err := InsertSetup(of(t, j), Rough, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range j.Lock.Positions {
		if got := nearest(slot.Stations, x).X; got != x {
			t.Errorf("no station on the axis of the gear's hole at %g: %g", x, got)
		}
		want := of(t, j).HolesInInsert()[i]
		st := nearest(insert.Stations, want)
		if st.X != want {
			t.Errorf("no station on the axis of the insert's hole at %g: %g", want, st.X)
		}
		// Full width on the axis, at the top of the hole.
		if hole := half(st.Waste, -0.01, 0); hole < 0.01*(j.Lock.Point) {
			t.Errorf("at %g only %.5f mm^2 of hole in the top 0.01 mm", want, hole)
		}
	}
	j.Lock.Kind = job.NoLock
	if h := of(t, j).HolesInInsert(); h != nil {
		t.Errorf("holes without a lock: %v", h)
	}
}

// nearest returns the station nearest to x.
func nearest(stations []replay.Station, x float64) *replay.Station {
	at := &stations[0]
	for i := range stations {
		if math.Abs(stations[i].X-x) < math.Abs(at.X-x) {
			at = &stations[i]
		}
	}
	return at
}

// fitted returns the stations of the demo's insert after a fit program
// written by hand: both flanks whole, then a lead from each end.
func fitted(t *testing.T, j *job.Job) []replay.Station {
	t.Helper()
	before, err := InsertSetup(of(t, j), Rough, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range before.Stations {
		before.Stations[i].Waste = nil
	}
	s, err := InsertSetup(of(t, j), Fit, before.Stations)
	if err != nil {
		t.Fatal(err)
	}
	s.KeepOuts = nil
	dove := of(t, j).Dovetail
	d := of(t, j).Sizes
	r := dove.Radius()
	slide := of(t, j).SlideWidth(j.Fit.Step) / 2
	lead := j.Insert.Over + j.Fit.Lead
	var b strings.Builder
	fmt.Fprintf(&b, "G17 G21 G40 G49 G54 G80 G90 G94\nT%d M6\nS700 M3\nG0 Z20\nG0 X-5 Y%.4f\nG0 Z%.4f\n", dove.Number, slide+0.2+r, -j.Slot.Depth)
	for _, y := range []float64{-(slide + r), slide + of(t, j).Tight() + r} {
		fmt.Fprintf(&b, "G0 Z20\nG0 X-5 Y%.4f\nG0 Z%.4f\nG1 X%.4f F10\n", y, -j.Slot.Depth, d.Length+5)
	}
	for _, x := range [][2]float64{{-5, lead}, {d.Length + 5, d.Length - lead}} {
		fmt.Fprintf(&b, "G0 Z20\nG0 X%.4f Y%.4f\nG0 Z%.4f\nG1 X%.4f F10\nG1 Y15\n", x[0], slide+r, -j.Slot.Depth, x[1])
	}
	b.WriteString("M5\nM2\n")
	res, err := replay.Check(strings.NewReader(b.String()), "fit.nc", s)
	if err != nil {
		t.Fatal(err)
	}
	if res.Report.TargetCut > replay.CutLimit {
		t.Fatalf("the fit by hand cuts %.4f mm too deep: %+v", res.Report.TargetCut, res.Report.Findings[0])
	}
	return res.After
}

// TestTightLength: a cutter of radius R rounds a step of height d over
// sqrt(2 R d - d^2) at each lead, so L - 2 lead - 2 of that is tight. At the
// flank's middle the dovetail cutter's own radius is less than at its tip.
func TestTightLength(t *testing.T) {
	for _, tight := range []float64{0.03, 0.05, 0.12} {
		j := job.Demo()
		j.Lock.Kind = job.NoLock
		j.Fit.TightMiddle = tight
		after := fitted(t, j)
		d := of(t, j).Sizes
		r := of(t, j).Dovetail.Radius() - j.Slot.Depth/2*d.Slope
		want := d.Length - 2*(j.Insert.Over+j.Fit.Lead) - 2*math.Sqrt(2*r*tight-tight*tight)
		got, height := TightLength(of(t, j), after, 0.999)
		near(t, fmt.Sprintf("tight length, %g proud", tight), got, want, 0.15)
		near(t, fmt.Sprintf("height, %g proud", tight), height, tight, 0.0015)
		near(t, "round-off of the tip", profiles.RoundOff(2.5, tight), math.Sqrt(2.5*2.5-(2.5-tight)*(2.5-tight)), 1e-12)
	}
}

// TestTurnedOver: in the gear the insert's tight +Y flank bears on the -Y
// wall of the slot, and only between the leads.
func TestTurnedOver(t *testing.T) {
	j := job.Demo()
	d := of(t, j).Sizes
	if p := d.ToGear(geom.Vec{Y: 2, Z: 0}); p.Y != -2 || math.Abs(p.Z-d.Bottom) > 1e-12 {
		t.Errorf("the insert's top at Y 2 comes to %v", p)
	}
	if p := d.ToGear(geom.Vec{Y: 2, Z: -j.Slot.Depth}); math.Abs(p.Z-d.Seat) > 1e-12 {
		t.Errorf("the insert's shoulder comes to %v, the seat is at %.4f", p, d.Seat)
	}
	f := finishOf(t, j)
	edges := func(x float64) (left, right float64) {
		under, _ := f.asm.parted(replay.SectionAt(f.asm.insert, x+j.Insert.Over), 0)
		z := (d.Seat + d.Bottom) / 2
		left, right = math.Inf(1), math.Inf(-1)
		for _, c := range under {
			for i, a := range c.Pts {
				if b := c.Pts[(i+1)%len(c.Pts)]; (a.Z-z)*(b.Z-z) < 0 {
					y := a.Lerp(b, (z-a.Z)/(b.Z-a.Z)).Y
					left, right = min(left, y), max(right, y)
				}
			}
		}
		return left, right
	}
	endL, endR := edges(2)
	midL, midR := edges(20)
	near(t, "left edge, tight in the middle", endL-midL, of(t, j).Tight(), 1e-9)
	near(t, "right edge, straight", midR-endR, 0, 1e-9)
	// At the slot's own size the step's width is what it says.
	slide := of(t, j).SlideWidth(j.Fit.Step)
	near(t, "width at the ends, half way up", endR-endL, slide+j.Slot.Depth*d.Slope, 1e-9)
	near(t, "ladder: first, fourth", of(t, j).SlideWidth(1)-of(t, j).SlideWidth(4), 3*j.Fit.TrialStep, 1e-12)
	near(t, "ladder: first", of(t, j).SlideWidth(1), j.Slot.Mouth+j.Fit.TrialFirst, 1e-12)
}

// TestStanding: the fattest of the standing teeth counts.
func TestStanding(t *testing.T) {
	j := job.Demo()
	near(t, "worn alike", j.Gear.Standing().Thinning, 0.08, 1e-12)
	standard := j.Gear.Gear
	standard.Thinning = 0
	j.Gear.FatThickness = standard.PitchThickness() - 0.03
	near(t, "one is fatter", j.Gear.Standing().Thinning, 0.03, 1e-12)
	j.Gear.FatThickness = standard.PitchThickness() - 0.5
	near(t, "one is thinner", j.Gear.Standing().Thinning, 0.08, 1e-12)
	flank, err := j.Gear.NeighbourFlank()
	if err != nil {
		t.Fatal(err)
	}
	// At the pitch circle it stands half a space from the gap's middle and a
	// whole tooth away: angle tau - s/(2 r).
	r := j.Gear.PitchRadius()
	want := geom.Polar(r, j.Gear.Pitch()-j.Gear.Standing().PitchThickness()/2/r)
	near(t, "its flank at the pitch circle", geom.Distance(want, flank), 0, 1e-3)
}

// TestWasteNeverOverlapsKeep in the first stock of slot, insert and flush.
func TestWasteNeverOverlapsKeep(t *testing.T) {
	for _, name := range []string{"demo", "module4-inch", "two-missing", "apart", "pinion12"} {
		j := read(t, name)
		slot, err := SlotSetup(of(t, j))
		if err != nil {
			t.Fatal(err)
		}
		insert, err := InsertSetup(of(t, j), Rough, nil)
		if err != nil {
			t.Fatal(err)
		}
		nominal, err := NominalInsert(of(t, j))
		if err != nil {
			t.Fatal(err)
		}
		cut := append([]replay.Station(nil), slot.Stations...)
		for i := range cut {
			cut[i].Waste = nil
		}
		f, err := NewFinish(of(t, j), cut, nominal)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []*replay.Setup{slot, insert, f.FlushSetup()} {
			last := math.Inf(-1)
			for _, st := range s.Stations {
				if st.X <= last {
					t.Errorf("%s: stations do not rise at X %g", name, st.X)
				}
				last = st.X
				for i, k := range st.Keep {
					if over := k.Metal.Intersect(st.Waste).Area(); over > 1e-5 {
						t.Errorf("%s, X %.3f: %s and the waste share %.6f mm^2", name, st.X, k.Name, over)
					}
					for _, l := range st.Keep[i+1:] {
						// The dovetail is pressed into the gear, and what lies under
						// the rim stands for whatever that is.
						if k.Name == "dovetail" || k.Name == l.Name && k.Name == UnderRim {
							continue
						}
						if over := k.Metal.Intersect(l.Metal).Area(); over > 1e-5 {
							t.Errorf("%s, X %.3f: %s and %s share %.6f mm^2", name, st.X, k.Name, l.Name, over)
						}
					}
				}
			}
		}
	}
}

// finishOf is the gear with its insert let in, slot and insert as they should be.
func finishOf(t *testing.T, j *job.Job) *Finish {
	t.Helper()
	insert, err := NominalInsert(of(t, j))
	if err != nil {
		t.Fatal(err)
	}
	slot, err := SlotSetup(of(t, j))
	if err != nil {
		t.Fatal(err)
	}
	for i := range slot.Stations {
		slot.Stations[i].Waste = nil
	}
	f, err := NewFinish(of(t, j), slot.Stations, insert)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestFilingIsBound: whatever a plan says is to be filed, the check allows no
// more than the job does, and only where the plan says.
func TestFilingIsBound(t *testing.T) {
	j := job.Demo()
	j.Facets.MostFiled = 0.4
	f := finishOf(t, j)
	for _, tt := range []struct{ said, want float64 }{{0.25, 0.25}, {3.7, 0.4}} {
		seen := 0
		for _, z := range f.facetZones([]Filing{{Side: -1, Upto: 80, Thick: tt.said}}) {
			left := z.Name == "left flank" || z.Name == "left root"
			if left {
				seen++
				near(t, z.Name+" to be filed", z.Filed, tt.want, 0)
			} else if z.Filed != 0 {
				t.Errorf("%s: %g mm to be filed, which no one said", z.Name, z.Filed)
			}
		}
		if seen != 2 {
			t.Errorf("%d surfaces of the left side", seen)
		}
	}
}
