package answer

import (
	"fmt"
	"io"
	"text/tabwriter"

	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// nearEnough is how far a module may be from a standard one and be taken for it, as a
// share: half of what neighbouring sizes of the series differ by (own rule).
const nearEnough = 0.004

// Copy says what copied flanks are, one after the other.
func Copy(w io.Writer, flanks []design.CopiedFlank, g *job.Gear, tolerance float64, u job.Units) {
	for i := range flanks {
		copyOf(w, &flanks[i], g, tolerance, u)
	}
}

func copyOf(w io.Writer, c *design.CopiedFlank, g *job.Gear, tolerance float64, u job.Units) {
	fmt.Fprintf(w, "%s flanks: each reading good to +- %s\n", c.Sides, u.Length(g.Copy.Within))
	fmt.Fprintf(w, "nearest involute: base pitch %s\n", u.Both(c.BasePitch))
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "  at\tmodule mm\tDP\tnearest standard\toff it\ttooth there, %s\tthinned\t\n", u.Name())
	for _, n := range c.Nearest(g.Teeth) {
		fmt.Fprintf(t, "  %g deg\t%.4f\t%.3f\t%s\t%+.2f %%\t%s\t%s\t\n", n.Degrees, n.Module, 25.4/n.Module, n.Standard, 100*n.Apart, u.Number(n.Thickness), u.Number(n.Thinning))
	}
	t.Flush()
	if c.Straight {
		fmt.Fprintln(w, "  the readings lie on that involute: it is one")
	} else {
		fmt.Fprintf(w, "  the flank is up to %s off that involute: worn, or another form\n", u.Both(c.Off))
	}
	if line := c.CycloidLine(g.Teeth, u); line != "" {
		fmt.Fprintf(w, "  %s\n", line)
	}
	t = tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "  reading\tleans deg\tflank at, %s\ton radius, %s\toff the involute\toff the copy\t\n", u.Name(), u.Name())
	for _, r := range c.Readings {
		if r.Left != "" {
			fmt.Fprintf(t, "  %s\t%.3f\t%s\t-\t-\tleft out: %s\t\n", r.Name, geom.Degrees(r.Angle), u.Number(r.Plane), r.Left)
			continue
		}
		fmt.Fprintf(t, "  %s\t%.3f\t%s\t%s\t%s\t%s\t\n", r.Name, geom.Degrees(r.Angle), u.Number(r.Plane), u.Number(r.Radius), u.Signed(r.Off), u.Signed(r.Rest))
	}
	t.Flush()
	if r, ok := c.Disagrees(); ok {
		fmt.Fprintf(w, "  %s agrees least: %s off the copy\n", r.Name, u.Length(max(r.Rest, -r.Rest)))
	}
	if len(c.Gaps) == 0 {
		return
	}
	t = tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "  between\tfacets there leave, %s\tat the most\tthe flank may be off the copy by\t\n", u.Name())
	for _, gap := range c.Gaps {
		fmt.Fprintf(t, "  %s and %s\t%s\t%s\t%s\t\n", gap.From, gap.To, u.Number(gap.Left), u.Number(gap.Most), u.Number(gap.Off))
	}
	t.Flush()
	fmt.Fprintf(w, "  at the most, and off by: of any flank rounded outward, whatever stands between the readings; the facets may leave %s\n", u.Length(tolerance))
}

// InvoluteLines are the lines of a job for the involute that readings lie on, none
// when they lie on none, or on none of a standard size.
func InvoluteLines(c *design.CopiedFlank, g *job.Gear, u job.Units) []string {
	if !c.Straight {
		return nil
	}
	n := c.Nearest(g.Teeth)[0]
	if n.Apart > nearEnough || n.Apart < -nearEnough {
		return nil
	}
	size := fmt.Sprintf("module = %g", n.Standard.Module)
	if n.Standard.Diametral > 0 {
		size = fmt.Sprintf("diametral_pitch = %g", n.Standard.Diametral)
	}
	return []string{size, fmt.Sprintf("pressure_angle = %g", n.Degrees), fmt.Sprintf("thinning = %s", u.Number(max(0, n.Thinning)))}
}

// CopyData is what copied flanks are, for JSON.
func CopyData(flanks []design.CopiedFlank, g *job.Gear) []map[string]any {
	out := []map[string]any{}
	for i := range flanks {
		c := &flanks[i]
		near, readings, gaps := []map[string]any{}, []map[string]any{}, []map[string]any{}
		for _, n := range c.Nearest(g.Teeth) {
			near = append(near, map[string]any{"pressure_angle_deg": n.Degrees, "module_mm": n.Module, "standard": n.Standard.String(), "off_standard": n.Apart, "thickness_mm": n.Thickness, "thinning_mm": n.Thinning})
		}
		for _, r := range c.Readings {
			readings = append(readings, map[string]any{"name": r.Name, "leans_deg": geom.Degrees(r.Angle), "flank_mm": r.Plane, "radius_mm": Number(r.Radius), "off_involute_mm": r.Off, "off_copy_mm": r.Rest, "left_out": r.Left})
		}
		for _, gap := range c.Gaps {
			gaps = append(gaps, map[string]any{"from": gap.From, "to": gap.To, "left_mm": gap.Left, "most_mm": gap.Most, "off_copy_mm": gap.Off})
		}
		worst, _ := c.Disagrees()
		out = append(out, map[string]any{"sides": c.Sides, "base_pitch_mm": c.BasePitch, "involute": c.Straight, "off_involute_mm": c.Off, "nearest": near,
			"readings": readings, "between": gaps, "disagrees": worst.Name, "within_mm": g.Copy.Within})
		if set, fit, ok := c.Cycloid(g.Teeth); ok {
			out[i]["cycloidal"] = map[string]any{"set": set, "module_mm": fit.Module, "off_mm": fit.Most}
		}
	}
	return out
}
