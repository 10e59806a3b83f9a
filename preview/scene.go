package preview

import (
	"fmt"
	"math"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// Scene is what the pictures of one program are drawn from.
type Scene struct {
	Plan    *toolpath.Plan    // of the whole repair
	Program *toolpath.Program // the one drawn
	Before  *replay.Setup     // stock and target before the program
	After   []replay.Station  // what the replay left; nil when it did not run
	Report  *replay.Report    // nil when it did not run
}

// ProgramFigures returns the pictures of one program, the most telling one
// first. A program that is not written has none.
func ProgramFigures(s Scene) []*figure.Figure {
	if s.Program.Skipped != "" || len(s.Before.Stations) == 0 {
		return nil
	}
	var out []*figure.Figure
	switch s.Program.Purpose {
	case "facets":
		out = append(FacetFigures(s), s.sectionFigure())
	case "trial":
		out = append(out, s.sectionFigure(), s.stepsFigure())
	case "fit":
		out = append(out, s.sectionFigure(), s.fitFigure())
	default:
		out = append(out, s.sectionFigure(), s.planFigure())
	}
	if s.Program.Purpose == "slot" {
		if stress, ok := StressOf(s.Plan.Design); ok {
			stress.Name = s.Program.Stem() + "-stress"
			f := StressFigure(stress)
			f.Program = s.Program.File()
			out = append(out, f)
		}
	}
	if f := s.cutterFigure(); f != nil {
		out = append(out, f)
	}
	return out
}

// gear says that the program cuts the gear, not the insert in the vice.
func (s Scene) gear() bool { return s.Program.Setup == toolpath.GearSetup }

// shift is what is added to a program's Z to get the height in the frame.
func (s Scene) shift() float64 {
	if s.gear() {
		return s.Plan.Shift
	}
	return 0
}

// len writes a length in the job's unit, without zeros that say nothing.
func (s Scene) len(mm float64) string {
	number, unit, _ := strings.Cut(s.Plan.Job.Units.Length(mm), " ")
	number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	return strings.Replace(number, "-", "−", 1) + " " + unit
}

// units returns the job's unit for sizes and for errors.
func (s Scene) units() (size, small figure.Unit) {
	if s.Plan.Job.Units == job.Inch {
		return figure.Inch, figure.Thou
	}
	return figure.Millimetre, figure.Micrometre
}

// small writes an error in the unit of the graphs.
func (s Scene) small(mm float64) string {
	_, u := s.units()
	if u == figure.Thou {
		return fmt.Sprintf("%.1f thou", mm*u.PerMM())
	}
	return fmt.Sprintf("%.0f µm", mm*u.PerMM())
}

// page returns an empty page for a picture of the program, named after its
// file and the part of the work it shows.
func (s Scene) page(part, picture string) *figure.Figure {
	size, _ := s.units()
	f := named(figure.NewFigure(s.Plan.Job.Heading(), picture, size))
	f.Name = s.Program.Stem()
	if part != "" {
		f.Name += "-" + part
	}
	f.Program, f.Fingerprint, f.Zero = s.Program.File(), s.Plan.Job.Fingerprint, s.zero()
	return f
}

// zero says in one line where the program's zero is.
func (s Scene) zero() string {
	if !s.gear() {
		return "X0 front end, Y0 middle of the block, Z0 top as faced"
	}
	z := "tips beside the gap"
	switch s.Plan.Job.Gear.Zero {
	case job.ZeroAxis:
		z = "gear axis"
	case job.ZeroTip:
		z = "finished tip"
	}
	return "X0 front face, Y0 middle of the gap, Z0 " + z + ", A0 gap on top"
}

// verdict is what the check found, in a note or two.
func (s Scene) verdict() []string {
	r := s.Report
	if r == nil {
		return []string{"Not checked: the program could not be replayed."}
	}
	if most, ok := s.Plan.MostToFile(); ok && r.Clean() && s.Program.Purpose == toolpath.FacetsProgram {
		return []string{fmt.Sprintf("Checked: clean, then file: up to %s, %s root%s. %.1f minutes.",
			s.len(most.Thick), toolpath.SideName(most.Side), s.Plan.PlaceName(most.Place), r.Minutes)}
	}
	if r.Clean() {
		return []string{fmt.Sprintf("Checked: clean. %.1f minutes.", r.Minutes)}
	}
	first := r.Findings[0]
	where := ""
	if first.Line > 0 {
		where = fmt.Sprintf("line %d, ", first.Line)
	}
	return []string{fmt.Sprintf("DO NOT RUN. The check found %s; first: %s%s.", r.Verdict(), where, first.Kind)}
}

// stations returns what the replay left or, when it did not run, what there
// was.
func (s Scene) stations() []replay.Station {
	if len(s.After) == len(s.Before.Stations) {
		return s.After
	}
	return s.Before.Stations
}

// show returns the index of the station that shows most of the work: where
// there is most to be removed, near the middle when that is the same.
func (s Scene) show() int {
	all := s.Before.Stations
	mid := (all[0].X + all[len(all)-1].X) / 2
	best, most, off := 0, -1.0, 0.0
	for i, st := range all {
		if s.gear() && (st.X < 0 || st.X > s.Plan.Job.Gear.Face) {
			continue
		}
		a := st.Waste.Area()
		if s.Program.Purpose == "fit" {
			a = 0 // the middle is what the fit is about
		}
		if len(st.Zones) == 0 {
			a = 0 // a cutter rounds a step here
		}
		d := math.Abs(st.X - mid)
		if a > most*(1+1e-6)+1e-6 || a > most*(1-1e-6)-1e-6 && d < off {
			best, most, off = i, max(a, most), d
		}
	}
	return best
}

// spot is the cutter standing at one place.
type spot struct {
	cutter *profiles.Cutter
	at     geom.Vec // of its tip, as the machine stands
	x      float64
	angle  float64 // of the gear
	place  float64 // of the tooth worked on, in pitches
}

// inGear returns the spot's tip in the gear's own frame.
func (p spot) inGear() geom.Vec { return geom.Turn(-p.angle).Apply(p.at) }

// anywhere is an X for deepest and each that leaves no cut out.
var anywhere = math.NaN()

// deepest returns the lowest place of an operation's cuts that pass x, the one
// farthest from the middle of those alike.
func deepest(op *toolpath.Op, x float64) (spot, bool) {
	best := spot{cutter: op.Cutter}
	found := false
	each(op, x, func(p spot) {
		low := p.at.Z < best.at.Z-geom.Eps
		same := math.Abs(p.at.Z-best.at.Z) <= geom.Eps && math.Abs(p.at.Y) > math.Abs(best.at.Y)+geom.Eps
		if !found || low || same {
			best, found = p, true
		}
	})
	return best, found
}

// each visits the ends of an operation's cutting moves that pass x.
func each(op *toolpath.Op, x float64, visit func(spot)) {
	r := op.Cutter.Radius()
	for _, pass := range op.Passes {
		from := math.NaN()
		for _, m := range pass.Moves {
			if m.Kind != toolpath.Rapid && m.Kind != toolpath.Feed && m.Kind != toolpath.Hole {
				continue
			}
			a, b := min(from, m.To.X), max(from, m.To.X)
			from = m.To.X
			if x < a-r || x > b+r {
				continue
			}
			switch m.Kind {
			case toolpath.Feed:
				visit(spot{op.Cutter, geom.Vec{Y: m.To.Y, Z: m.To.Z}, m.To.X, pass.Angle, pass.Place})
			case toolpath.Hole:
				visit(spot{op.Cutter, geom.Vec{Y: m.To.Y, Z: m.Bottom}, m.To.X, pass.Angle, pass.Place})
			}
		}
	}
}

// stroke is a straight piece of path.
type stroke struct {
	from, to toolpath.Pos
	feed     bool
}

// strokes visits the moves of an operation below the safe height, one pass at
// a time, with those that repeat another in the given view left out.
func (s Scene) strokes(op *toolpath.Op, flat func(toolpath.Pos) geom.Vec, visit func(pass int, a stroke)) {
	type key [5]int
	seen := map[key]bool{}
	grid := func(v float64) int { return int(math.Round(v * 1000)) }
	for i, pass := range op.Passes {
		at := toolpath.Pos{X: math.NaN()}
		for _, m := range pass.Moves {
			if m.Kind != toolpath.Rapid && m.Kind != toolpath.Feed {
				continue
			}
			from := at
			at = m.To
			if math.IsNaN(from.X + from.Y + from.Z + at.X + at.Y + at.Z) {
				continue
			}
			if from.Z >= s.Program.Safe && at.Z >= s.Program.Safe {
				continue
			}
			a, b := flat(from), flat(at)
			if a.Sub(b).Norm() < geom.Eps {
				continue
			}
			k := key{grid(a.Y), grid(a.Z), grid(b.Y), grid(b.Z), int(m.Kind)}
			if a.Y > b.Y || a.Y == b.Y && a.Z > b.Z {
				k = key{k[2], k[3], k[0], k[1], k[4]}
			}
			if !seen[k] {
				seen[k] = true
				visit(i, stroke{from, at, m.Kind == toolpath.Feed})
			}
		}
	}
}

// degrees writes an angle as it is read off a picture.
func degrees(rad float64) string {
	return figure.Number(geom.Degrees(rad), 3) + "°"
}

// toothWords are what the styles of figures are called on a repair's pictures.
var toothWords = map[figure.Style]string{figure.Target: "finished tooth", figure.Neighbour: "standing tooth", figure.Mate: "mating gear"}

// named gives a figure those words.
func named(f *figure.Figure) *figure.Figure {
	f.Names = toothWords
	return f
}
