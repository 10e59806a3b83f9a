package sheet

import (
	"fmt"
	"math"
	"sort"

	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// tooling draws what is ground or turned for this job: dovetail cutters and
// the lock's screw.
func (s *sheet) tooling(tools map[int]*profiles.Cutter) []sketch {
	var numbers []int
	for n, c := range tools {
		if c.Kind == profiles.Dovetail {
			numbers = append(numbers, n)
		}
	}
	sort.Ints(numbers)
	var out []sketch
	for _, n := range numbers {
		out = append(out, s.dovetailDrawing(tools[n]))
	}
	if s.job.Lock.Kind == job.Screw && len(s.job.Lock.Positions) > 0 && s.screwLength() > 0 {
		out = append(out, s.screwDrawing())
	}
	return out
}

// dovetailDrawing is how the dovetail cutter is ground: its outline as it
// turns.
func (s *sheet) dovetailDrawing(c *profiles.Cutter) sketch {
	r, b := c.Radius(), c.FlankAngle
	top := r - c.FlankHeight*math.Tan(b)
	shank, neckEnd := c.Shank/2, c.NeckLength
	neck := min(c.Neck/2, top)
	if c.Neck == 0 {
		neck = top
	}
	if neckEnd <= c.FlankHeight {
		neckEnd = c.FlankHeight * 1.6
	}
	title := fmt.Sprintf("T%d %s: outline as it turns", c.Number, c.Name)
	high := neckEnd + 0.35*c.FlankHeight
	v := sketchOf(title, setupWide, 205, geom.Vec{Y: -0.9 * high, Z: -0.2 * high}, geom.Vec{Y: 0.9 * high, Z: 1.05 * high})
	v.Alt = "Dovetail cutter: wide end below, flanks, neck and shank, with the sizes to grind it to."
	v.shape("steel", geom.BothSides([]geom.Vec{{Y: r}, {Y: top, Z: c.FlankHeight}, {Y: neck, Z: c.FlankHeight}, {Y: neck, Z: neckEnd}, {Y: shank, Z: neckEnd}, {Y: shank, Z: high}})...)
	v.line("centre", geom.Vec{Z: -0.1 * high}, geom.Vec{Z: 1.03 * high})
	v.across(geom.Vec{Y: -r}, geom.Vec{Y: r}, -0.1*high, "")
	v.label(geom.Vec{Y: r, Z: -0.1 * high}, 8, 4, "start", "⌀ "+s.size(c.Diameter).Main)
	v.upright(geom.Vec{Y: -r}, geom.Vec{Y: -top, Z: c.FlankHeight}, -r-0.12*high, -1, s.coarse(c.FlankHeight).Main)
	v.label(geom.Vec{Y: -r - 0.12*high, Z: c.FlankHeight / 2}, -5, 18, "end", "least")
	v.upright(geom.Vec{Y: r}, geom.Vec{Y: neck, Z: neckEnd}, r+0.12*high, 1, s.coarse(neckEnd).Main+" least")
	v.note(geom.Vec{Y: -(r + top) / 2, Z: c.FlankHeight * 0.75}, 8, v.H*0.42, "start", trim(figure.Number(geom.Degrees(b), 3))+"° from axis")
	v.note(geom.Vec{Y: -neck, Z: neckEnd * 0.9}, 8, v.H*0.25, "start", "neck ⌀ "+s.coarse(2*neck).Main+" most")
	v.note(geom.Vec{Y: -shank, Z: (high + neckEnd) / 2}, 8, v.H*0.1, "start", "shank ⌀ "+s.coarse(c.Shank).Main)
	return v.sketch
}

// grinding is how a dovetail cutter is ground, in words.
func (s *sheet) grinding(c *profiles.Cutter) string {
	text := fmt.Sprintf("T%d, dovetail cutter: included angle %s, wide end sharp (corner broken by %s at most), %s out of the holder at least; relief behind each edge 6° to 8° (common practice), its end hollow by 2° so that only the corner cuts.",
		c.Number, trim(figure.Number(2*geom.Degrees(c.FlankAngle), 3))+"°", s.both(0.05), s.both(c.StickOut))
	if c.SinglePoint {
		text += " One tooth: grind it from a bar or a boring tool of the shank's size; the edge on the middle line, all behind it inside the outline as it turns. Its diameter is twice the reach of the edge: measure it in the spindle."
	}
	return text
}

// screwLength is the most a screw may measure: through the rim, the air under
// the dovetail and into the insert's hole, less half a millimetre at the bottom.
func (s *sheet) screwLength() float64 {
	d := s.Plan.Sizes
	return d.Bottom + s.job.Lock.PointDepth - d.RimInner - screwAir
}

// screwAir is left under the screw's point and between its thread and the slot's
// floor, mm.
const screwAir = 0.5

// screwDrawing is the lock's screw with its ground point.
func (s *sheet) screwDrawing() sketch {
	l, d := s.job.Lock, s.Plan.Sizes
	long := s.screwLength()
	point := l.PointDepth - screwAir + (d.Bottom - d.Floor) + screwAir
	v := sketchOf("Screw of the lock", setupWide, 150, geom.Vec{Y: -0.25 * long, Z: -1.6 * l.Major}, geom.Vec{Y: 1.5 * long, Z: 1.6 * l.Major})
	v.Alt = "Headless screw with its point turned down, and its lengths."
	v.rect("steel", 0, -l.Major/2, long-point, l.Major/2)
	v.rect("steel", long-point, -l.Point/2, long, l.Point/2)
	v.line("centre", geom.Vec{Y: -0.1 * long}, geom.Vec{Y: 1.1 * long})
	v.across(geom.Vec{Y: 0, Z: l.Major / 2}, geom.Vec{Y: long, Z: l.Point / 2}, 1.05*l.Major, s.coarseUp(long)+" at most")
	v.across(geom.Vec{Y: long - point, Z: -l.Major / 2}, geom.Vec{Y: long, Z: -l.Point / 2}, -1.0*l.Major, "")
	v.label(geom.Vec{Y: long, Z: -1.0 * l.Major}, 12, 4, "start", "point "+s.coarse(point).Main)
	v.label(geom.Vec{Y: long}, 12, 4, "start", "⌀ "+s.coarse(l.Point).Main)
	v.label(geom.Vec{}, -6, 4, "end", l.Thread)
	return v.sketch
}

// material is what to lay ready beside the cutters.
func (s *sheet) material() []string {
	if !s.letsIn() {
		return append(s.pinsReady("the teeth"), s.beadMaterial()...)
	}
	j, d := s.job, s.Plan.Sizes
	out := []string{fmt.Sprintf("%s of %s, %s long (X), %s wide (Y), %s high (Z) at least; ends square",
		job.Counted(len(j.Gear.Places), "block"), j.Insert.Material, s.both(d.Length), s.both(j.Insert.BlockWidth), s.both(j.Insert.BlockHeight))}
	if n := len(j.Gear.Places); n > 1 {
		out[0] += fmt.Sprintf("; the insert's programs (20, 21, 22) run once for each of the %d, and all are cut to one fit.step: cut the slots alike", n)
	}
	for i := range j.Cutters {
		if c := &j.Cutters[i]; c == s.Plan.Dovetail || c.Kind == profiles.Dovetail && s.used(c) {
			out = append(out, s.grinding(c))
		}
	}
	n := len(j.Lock.Positions) * len(j.Gear.Places)
	switch {
	case n == 0 || j.Lock.Kind == job.NoLock:
	case j.Lock.Kind == job.Screw:
		text := fmt.Sprintf("%s without head, point turned to %s", job.Counted(n, j.Lock.Thread+" screw"), s.both(j.Lock.Point))
		if long := s.screwLength(); long > 0 {
			text += ", " + s.coarseUp(long) + " long at most"
		}
		out = append(out, text+"; the tap, for a hole of "+s.both(j.Lock.TapDrill))
	default:
		text := fmt.Sprintf("%s for the lock, of %s", job.Counted(n, "pin"), s.both(j.Lock.Major))
		if long := s.screwLength(); long > 0 {
			text += ", " + s.coarseUp(long) + " long at most"
		}
		out = append(out, text)
	}
	out = append(out, s.pinsReady("the slot, the insert or the teeth")...)
	for i := range s.Plan.Programs {
		if p := &s.Plan.Programs[i]; p.Purpose == toolpath.TrialProgram && p.Skipped == "" {
			out = append(out, fmt.Sprintf("a gauge piece for the trial cuts, if the gear cannot come to the vice: a steel bar with the same slot, cut like the gear's (mouth %s, depth %s), or the gear itself", s.both(j.Slot.Mouth), s.both(j.Slot.Depth+j.Slot.Deeper)))
		}
	}
	return append(out, "adhesive that its maker names for steel in cast iron, degreaser, marking blue, fine files, a small brass hammer, paper for touching off")
}

// pinsReady lists the measuring pins, for what is measured with them.
func (s *sheet) pinsReady(of string) []string {
	var out []string
	seen := map[string]bool{}
	for _, m := range s.Measures {
		if len(m.With) > 4 && m.With[:4] == "pins" && !seen[m.With] {
			seen[m.With] = true
			out = append(out, "2 measuring "+m.With+" for "+of+": see Measure")
		}
	}
	return out
}

// used says whether a program calls the cutter.
func (s *sheet) used(c *profiles.Cutter) bool {
	for i := range s.Plan.Programs {
		for k := range s.Plan.Programs[i].Ops {
			if s.Plan.Programs[i].Ops[k].Cutter.Number == c.Number {
				return true
			}
		}
	}
	return false
}
