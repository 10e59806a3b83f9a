package sheet

import (
	"fmt"
	"math"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// operation is what is done with one cutter.
type operation struct {
	Name      string
	Tool      tool
	Rpm       string
	Feed      size
	HandSpeed bool // the spindle is set by hand
	Steps     []step
}

// step is one line to tick off: a number to set by hand, a pass, or what
// to do at a stop.
type step struct {
	Number int // of the pass; 0: of none
	Name   string
	Set    string
	Stop   string
	A      string // where the gear stands
	Y      *size  // of the cutter's middle in the last cut
	Z      *size  // lowest
	Cuts   string
}

// ops writes out the operations of a program.
func (s *sheet) ops(p *toolpath.Program) []operation {
	j, turns := s.job, false
	for _, o := range p.Ops {
		for _, pass := range o.Passes {
			turns = turns || pass.Angle != 0
		}
	}
	shift := 0.0
	if p.Setup == toolpath.GearSetup {
		shift = s.Plan.Shift
	}
	var out []operation
	number := 0
	for i := range p.Ops {
		o := &p.Ops[i]
		feed := o.Feed
		if o.Cutter.Kind == profiles.Drill {
			feed = o.Plunge
		}
		v := operation{Name: o.Name, Tool: s.tool(o.Cutter), Rpm: fmt.Sprintf("%.0f", o.Rpm), HandSpeed: j.Machine.HandSpeed,
			Feed: s.sizes(fmt.Sprintf("%.0f", feed), fmt.Sprintf("%.1f", feed/25.4))}
		v.Feed.Main, v.Feed.Other = v.Feed.Main+"/min", v.Feed.Other+"/min"
		if o.Level != "" {
			v.Steps = append(v.Steps, step{Set: figure.PrintedSigns(o.Level)})
		}
		for k := range o.Passes {
			pass := &o.Passes[k]
			number++
			if pass.Setting != "" {
				v.Steps = append(v.Steps, step{Set: figure.PrintedSigns(pass.Setting)})
			}
			v.Steps = append(v.Steps, s.step(pass, number, shift, turns))
			for _, m := range pass.Moves {
				if m.Kind == toolpath.Stop {
					v.Steps = append(v.Steps, step{Stop: figure.PrintedSigns(m.Text)})
				}
			}
		}
		out = append(out, v)
	}
	return out
}

// step writes out one pass. shift is taken off heights over the axis to get
// the program's Z.
func (s *sheet) step(pass *toolpath.Pass, number int, shift float64, turns bool) step {
	v := step{Number: number, Name: pass.Name}
	low, side := math.Inf(1), math.NaN()
	along, across, holes := 0, 0, 0
	at := toolpath.Pos{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
	for _, m := range pass.Moves {
		switch m.Kind {
		case toolpath.Feed:
			low = min(low, m.To.Z)
			if m.To.Z == at.Z && math.Abs(m.To.X-at.X) > geom.Eps {
				along++
				side = m.To.Y
			} else if m.To.Z == at.Z && math.Abs(m.To.Y-at.Y) > geom.Eps {
				across++
			}
		case toolpath.Hole:
			low = min(low, m.Bottom)
			holes++
		}
		if m.Kind != toolpath.Note && m.Kind != toolpath.Stop {
			at = m.To
		}
	}
	if !math.IsInf(low, 0) {
		z := s.size(low - shift)
		v.Z = &z
	}
	// A cut goes along X; one beside an end face goes across.
	switch cuts := max(along, across); {
	case holes > 0:
		v.Cuts = plural(holes, "hole")
	case cuts > 0:
		v.Cuts = plural(cuts, "cut")
	}
	if turns {
		a := pass.Angle
		if s.job.Index.Device == job.Rotary {
			a *= float64(s.job.Machine.RotarySign)
		}
		v.A = degrees(a)
		if !math.IsNaN(side) {
			y := s.size(side)
			v.Y = &y
		}
	}
	return v
}

// filing lists what no cutter of the job reaches.
func (s *sheet) filing() []filing {
	tip := s.Plan.Sizes.TipTop
	var out []filing
	for _, f := range s.Plan.FileThis {
		v := filing{
			Where: toolpath.SideName(f.Side) + " flank and root" + s.Plan.PlaceName(f.Place),
			Below: s.span(tip-f.To, tip-f.From), Thick: s.size(f.Thick),
		}
		if f.Reaches > 0 {
			d := s.coarse(f.Reaches)
			v.Reaches = &d
		}
		out = append(out, v)
	}
	return out
}

// bench is what is done at the bench before a program.
func (s *sheet) bench(p *toolpath.Program) []string {
	j := s.job
	switch p.Purpose {
	case "trial":
		return []string{"A stop in the vice against the block's end: after each trial it must come back to its place."}
	case "flush":
		until := "it stands " + s.both(j.Insert.Over) + " over each face."
		if j.Insert.Over == 0 {
			until = "its ends are flush with both faces."
		}
		out := []string{
			"Deburr slot and insert. Blow out and degrease both.",
			"Insert turned over about X: its marked front end at the gear's front face.",
			"Try it dry: it starts by hand from either end and grips at the middle.",
			"Adhesive on both. Drive it home with brass, gently, until " + until,
		}
		switch j.Lock.Kind {
		case job.Screw:
			out = append(out, fmt.Sprintf("%s up through the rim, point in the insert's hole. Snug, no more: the casting cracks.", j.Lock.Thread))
		case job.Pin:
			out = append(out, "Pin up through the rim into the insert.")
		}
		return append(out, "Let the adhesive cure as its maker says.")
	}
	return nil
}

// byHand is what is left to do by hand after a program.
func (s *sheet) byHand(p *toolpath.Program) []string {
	j := s.job
	switch p.Purpose {
	case "flush":
		if left := min(j.Flush.Leave, j.Insert.Over); left > 0 {
			return []string{"File both end faces flush: " + s.both(left) + " stands."}
		}
	case "facets":
		out := []string{"Break the sharp edges."}
		if left := max(s.Plan.Flanks.Right.Left, s.Plan.Flanks.Left.Left); j.Facets.Lean == job.Proud {
			out = append(out, "Joints of the facets stand up to "+s.size(left).Main+" ("+s.size(left).Other+"): file to marking blue.")
		}
		return append(out, "Turn the gear through its mesh by hand, two full turns, before any power.")
	}
	return nil
}
