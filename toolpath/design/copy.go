package design

import (
	"fmt"
	"math"

	"cogmend/profiles/copied"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// CopiedFlank is what one copied flank was made of and how sure it is. Lengths
// mm, angles rad.
type CopiedFlank struct {
	Sides     string           // "right and left", "right" or "left"
	Readings  []copied.Reading // as the copy takes them
	BasePitch float64          // of the nearest involute
	Off       float64          // greatest distance of the copy from it
	Straight  bool             // the readings lie on it
	Gaps      []copied.Gap     // between neighbouring readings
	Bound     float64          // how far the true flank can be from the copy, nothing but convexity known
	flank     *copied.Flank
}

// commonAngles are the pressure angles old gears mostly have, degrees (common
// practice, no source).
var commonAngles = []float64{14.5, 20, 15, 25}

// Modules are those of the nearest involute's gear at each common pressure angle,
// mm, by angle in degrees.
func (c *CopiedFlank) Modules(teeth int) (degrees, modules []float64) {
	for _, a := range commonAngles {
		degrees, modules = append(degrees, a), append(modules, c.flank.Module(teeth, geom.Radians(a)))
	}
	return degrees, modules
}

// sets are the least pinions of the cycloidal sets that are common.
var sets = []int{12, 15}

// Cycloid tells the cycloidal set whose addendum lies nearest to the readings where
// it lies far nearer than any involute: by half at least (own rule).
func (c *CopiedFlank) Cycloid(teeth int) (set int, fit copied.Fitted, ok bool) {
	fit.Rms = c.flank.AsInvolute().Rms / 2
	if c.Straight {
		return 0, fit, false
	}
	for _, s := range sets {
		if f := c.flank.AsCycloid(teeth, s); f.Rms < fit.Rms {
			set, fit, ok = s, f, true
		}
	}
	return set, fit, ok
}

// CycloidLine says which cycloidal tooth the readings lie nearer than any involute;
// "" when they do not.
func (c *CopiedFlank) CycloidLine(teeth int, u job.Units) string {
	set, fit, ok := c.Cycloid(teeth)
	if !ok {
		return ""
	}
	return fmt.Sprintf("the readings lie nearer a cycloidal tooth, module %.3f mm of the set of %d: off it by up to %s, off the involute by up to %s; gear.form = \"cycloidal\" makes its hollow too, where a copy goes straight on under the lowest touch",
		fit.Module, set, u.Length(fit.Most), u.Length(c.flank.AsInvolute().Most))
}

// Copied is what the job's flanks were copied from; none when they were not.
func (d *Design) Copied() []CopiedFlank { return CopiedOf(&d.Job.Gear) }

// CopiedOf is what a gear's flanks were copied from.
func CopiedOf(g *job.Gear) []CopiedFlank {
	if g.Copy == nil {
		return nil
	}
	var out []CopiedFlank
	list := g.Copy.Flanks()
	for i, f := range list {
		sides := "right and left"
		if len(list) > 1 {
			sides = []string{"right", "left"}[i]
		}
		c := CopiedFlank{Sides: sides, Readings: f.Readings, BasePitch: f.BaseRadius * g.Pitch(), Off: f.Off(), Straight: f.Straight, flank: f}
		if !g.Copy.Chords {
			c.Gaps = f.Gaps(g.RootRadius(), g.TipRadius())
			for _, gap := range c.Gaps {
				c.Bound = max(c.Bound, gap.Off)
			}
		}
		out = append(out, c)
	}
	return out
}

// CopyWarnings name the readings that were not used.
func (d *Design) CopyWarnings() []string {
	var out []string
	for _, c := range d.Copied() {
		for _, r := range c.Readings {
			if r.Left != "" {
				out = append(out, fmt.Sprintf("touch %s is left out: %s", r.Name, r.Left))
			}
		}
	}
	return out
}

// offLand is how far a measured tip land may differ from what outside diameter and
// flanks give before that is said, in modules (own rule: the burrs and corners of a
// tooth that is otherwise sound).
const offLand = 0.05

// GearWarnings say what of the gear as the job has it should be looked at again.
func (d *Design) GearWarnings() []string {
	var out []string
	j, g := d.Job, d.Job.Gear.Gear
	if read := j.Gear.TipLand; read > 0 {
		land := g.TipRadius() * (g.HalfAngle(g.TipRadius()) + g.Mirrored().HalfAngle(g.TipRadius()))
		if math.Abs(read-land) > offLand*g.Module {
			out = append(out, fmt.Sprintf("gear.tip_land is %s as measured, where the outside diameter and the flanks leave %s: a burr, a worn corner, or a size read wrong; measure both again", j.Units.Length(read), j.Units.Length(land)))
		}
	}
	if j.Gear.Bore == 0 {
		out = append(out, "gear.bore = 0: taken as in one with its shaft, iron down to the axis; if it has a bore, measure it: rim and strength hang on it")
	}
	return out
}

// CopyLines say what the flanks were copied from, a line each.
func (d *Design) CopyLines() []string {
	var out []string
	u, g := d.Job.Units, &d.Job.Gear
	for _, c := range d.Copied() {
		used := 0
		for _, r := range c.Readings {
			if r.Left == "" {
				used++
			}
		}
		what := "touches"
		if g.Copy.Chords {
			what = "readings of a tooth vernier"
		}
		out = append(out, fmt.Sprintf("%s flank from %d %s, each good to +- %s", c.Sides, used, what, u.Length(g.Copy.Within)))
		line := fmt.Sprintf("  the nearest involute: base pitch %s", u.Length(c.BasePitch))
		degrees, modules := c.Modules(g.Teeth)
		for i := range degrees {
			line += fmt.Sprintf("; module %.3f mm at %g deg", modules[i], degrees[i])
		}
		out = append(out, line)
		if c.Straight {
			out = append(out, "  the readings lie on it: an involute")
		} else {
			out = append(out, fmt.Sprintf("  the copy is off it by up to %s: worn, or another form", u.Length(c.Off)))
		}
		if line := c.CycloidLine(g.Teeth, u); line != "" {
			out = append(out, "  "+line)
		}
		if c.Bound > 0 {
			worst := c.Gaps[0]
			for _, gap := range c.Gaps {
				if gap.Off > worst.Off {
					worst = gap
				}
			}
			out = append(out, fmt.Sprintf("  knowing nothing but that the flank is round outward it may be off the copy by up to %s, between %s and %s", u.Length(c.Bound), worst.From, worst.To))
		}
	}
	return out
}
