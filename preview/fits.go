package preview

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// stretch draws small differences of a width large: what lies beside a half
// width is moved away from it a round number of times as far.
type stretch struct {
	base  float64 // half width that stays in place
	times float64
}

// newStretch chooses the factor that makes a difference as large as room.
func newStretch(base, most, room float64) stretch {
	k := 1.0
	for _, t := range []float64{2, 5, 10, 20, 50, 100, 200} {
		if most*t <= room {
			k = t
		}
	}
	return stretch{base, k}
}

// at maps a half width, on one side of the middle.
func (e stretch) at(x, half, side float64) geom.Vec {
	return geom.Vec{Y: x, Z: side * (e.base + (half-e.base)*e.times)}
}

// rounded is the flank that a cutter of radius r leaves when it stops at x
// beside a half width low, with high beyond it: first the step's run.
func rounded(x, low, high, r float64) (xs, halves []float64) {
	const corners = 24
	run := profiles.RoundOff(r, high-low)
	for i := range corners + 1 {
		t := run * float64(i) / corners
		xs = append(xs, x+t)
		halves = append(halves, low+r-math.Sqrt(r*r-t*t))
	}
	return xs, halves
}

// stepsFigure shows the trial cuts, their widths much exaggerated.
func (s Scene) stepsFigure() *figure.Figure {
	j, d := s.Plan.Job, s.Plan.Sizes
	f := s.page("steps", "The trial cuts, step by step")
	left, right := figure.Whole().Beside(0.58)
	rough := d.MouthHalf + j.Insert.OverSize/2
	last := s.Plan.SlideWidth(j.Fit.TrialCount) / 2
	e := newStretch(d.MouthHalf, rough-last, d.MouthHalf*1.2)
	p := f.Panel(fmt.Sprintf("Dovetail under the shoulders, from above, differences ×%.0f", e.times), left).Axes("X", "")
	p.Up = figure.Axis{Unit: figure.Plain}
	end := j.Fit.TrialLength
	reach := max(2.4*end, end+6)
	top := e.at(0, rough, 1).Z
	p.Window(-1.5, -top-1, reach, 1.3*top+1)
	r := s.Plan.DovetailRadius()
	flank := func(step int, side float64) []geom.Vec {
		low := s.Plan.SlideWidth(step) / 2
		pts := []geom.Vec{e.at(0, low, side)}
		xs, hs := rounded(end, low, rough, r)
		for i := range xs {
			pts = append(pts, e.at(xs[i], hs[i], side))
		}
		return append(pts, e.at(reach, rough, side))
	}
	boxAt(p, figure.Removed, 0, -e.at(0, rough, 1).Z, reach, e.at(0, rough, 1).Z)
	ring := flank(j.Fit.TrialCount, 1)
	for i, low := len(ring)-1, flank(j.Fit.TrialCount, -1); i >= 0; i-- {
		ring = append(ring, low[i])
	}
	p.Polygon(figure.Insert, ring...)
	for step := 1; step <= j.Fit.TrialCount; step++ {
		style := figure.Thin
		if step == j.Fit.Step {
			style = figure.Curve
		}
		for _, side := range []float64{1, -1} {
			p.Line(style, flank(step, side)...)
		}
	}
	onBothSides(p, figure.ToleranceLine, -1.5, reach, d.MouthHalf)
	p.Name(figure.ToleranceLine, "mouth of the slot").Name(figure.Curve, "the step that slid").Name(figure.Thin, "each step")
	p.Line(figure.Centre, geom.Vec{Y: -1.5}, geom.Vec{Y: reach})
	p.Zero(geom.Vec{}, "X0 Y0")
	p.DimClear(e.at(0, last, 1), e.at(end, last, 1), top, 24, s.len(end))

	_, small := s.units()
	g := f.Graph("Under the shoulders, over the slot's mouth", right, figure.Axis{Name: "step", Unit: figure.Plain}, figure.Axis{Name: "wider than the mouth", Unit: small})
	n := float64(j.Fit.TrialCount)
	over := func(step int) float64 { return s.Plan.SlideWidth(step) - j.Slot.Mouth }
	lo, hi := min(over(j.Fit.TrialCount), 0), max(over(1), 0)
	pad := 0.14*(hi-lo) + 0.004
	g.Window(0.3, lo-pad, n+1.2, hi+pad)
	for step := 1; step <= j.Fit.TrialCount; step++ {
		at := geom.Vec{Y: float64(step), Z: over(step)}
		style := figure.Insert
		if step == j.Fit.Step {
			style = figure.Pass
		}
		g.Dot(style, at)
		g.Label(at, strconv.Itoa(step)+": "+j.Units.Length(s.Plan.SlideWidth(step))).Toward(geom.Vec{Y: 1, Z: 1e-9})
	}
	g.Line(figure.ToleranceLine, geom.Vec{Y: 0.3}, geom.Vec{Y: n + 1.2})
	g.Label(geom.Vec{Y: 0.6}, "mouth "+s.len(j.Slot.Mouth)).Toward(geom.Vec{Y: 0, Z: -1})
	f.Notes = []string{"Try each step by hand in the slot. Never drive it: a casting cracks.",
		"The first that starts and slides is the one: write its number into fit.step."}
	if j.Fit.Step > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("The job says that step %d slid.", j.Fit.Step))
	}
	f.Notes = append(f.Notes, s.verdict()...)
	return f
}

// fitFigure shows both flanks as they were cut, and the step of the tight one
// much exaggerated.
func (s Scene) fitFigure() *figure.Figure {
	j, d := s.Plan.Job, s.Plan.Sizes
	f := s.page("plan", "The tight middle, as replayed")
	upper, lower := figure.Whole().Stacked(0.56)
	width, _ := s.Plan.FitWidth()
	slide, tight := width/2, s.Plan.Tight()
	flare := j.Slot.Depth / 2 * d.Slope
	e := newStretch(slide, tight, d.MouthHalf*1.1)
	p := f.Panel(fmt.Sprintf("Dovetail under the shoulders, from above, differences ×%.0f", e.times), upper).Axes("X", "")
	p.Up = figure.Axis{Unit: figure.Plain}
	top := e.at(0, slide+tight, 1).Z
	p.Window(-3, -slide-1.6, d.Length+3, top+1.6)
	var proud, straight, step []geom.Vec
	stations := s.stations()
	for i, st := range stations {
		lo, hi := metal.MetalAt(stations[i:i+1], st.X).Edges(-j.Slot.Depth / 2)
		proud = append(proud, e.at(st.X, hi-flare, 1))
		straight = append(straight, e.at(st.X, -lo-flare, -1))
		step = append(step, geom.Vec{Y: st.X, Z: hi - flare - slide})
	}
	p.Polygon(figure.Insert, append(slices.Clone(proud), geom.Reversed(straight)...)...)
	onBothSides(p, figure.ToleranceLine, -3, d.Length+3, slide)
	p.Name(figure.ToleranceLine, "sliding size "+s.len(2*slide)).Name(figure.Insert, "insert as cut")
	p.Line(figure.Centre, geom.Vec{Y: -3}, geom.Vec{Y: d.Length + 3})
	p.Zero(geom.Vec{}, "X0 Y0")
	lead := j.Insert.Over + j.Fit.Lead
	mid := geom.Vec{Y: d.Length / 2}
	p.Label(geom.Vec{Y: mid.Y, Z: -slide}, "straight flank").Toward(geom.Vec{Z: 1})
	p.Label(geom.Vec{Y: mid.Y, Z: top}, "tight flank, "+s.len(tight)+" proud in the middle").Toward(geom.Vec{Z: -1})
	p.Dim(e.at(0, slide, 1), e.at(lead, slide, 1), -40, s.len(lead))
	p.Dim(e.at(d.Length-lead, slide, 1), e.at(d.Length, slide, 1), -40, s.len(lead))

	_, small := s.units()
	length, height := metal.TightLength(s.Plan.Design, stations, metal.TightShare)
	g := f.Graph("How far the tight flank stands out of the sliding size", lower, figure.Axis{Name: "X", Unit: p.Across.Unit}, figure.Axis{Name: "stands out", Unit: small})
	g.Window(-1, 0, d.Length+1, 1.6*tight)
	g.Under(figure.Insert, 0, step...)
	g.Line(figure.Curve, step...)
	g.Level(figure.ToleranceLine, tight, s.small(tight)+" asked")
	a, b := (d.Length-length)/2, (d.Length+length)/2
	g.Dim(geom.Vec{Y: a, Z: height}, geom.Vec{Y: b, Z: height}, 40, s.len(length)+" really tight")
	f.Notes = append([]string{
		fmt.Sprintf("%s: sliding size %s. The middle stands %s proud over %s.", fitFrom(j), s.len(2*slide), s.len(height), s.len(length)),
		"Start it from either end by hand; it must grip only in the middle.",
	}, s.verdict()...)
	return f
}

// fitFrom says how the sliding size was found.
func fitFrom(j *job.Job) string {
	if j.Fit.Width > 0 {
		return "The ends are made to the slot as measured"
	}
	return fmt.Sprintf("Step %d slid", j.Fit.Step)
}
