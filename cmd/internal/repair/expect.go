package repair

import (
	"fmt"
	"math"

	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// ExpectLines is what to expect of each new tooth, in lines for a person: what
// it comes to, then what that is made of.
func ExpectLines(p *toolpath.Plan, e *toolpath.Expectation) (sums, parts []string) {
	u := p.Job.Units
	band := func(x estimate.Expected) string {
		s := "+- " + u.Length(x.Half)
		switch {
		case u.Length(math.Abs(x.Middle)) == u.Length(0):
			return s
		case x.Middle < 0:
			return u.Length(-x.Middle) + " too deep, " + s
		}
		return u.Length(x.Middle) + " proud, " + s
	}
	sums = []string{
		"each flank, at any one facet: " + band(e.Flank),
		fmt.Sprintf("form of a flank: the facets' own %s, and +- %s from facet to facet", u.Length(e.Form.Middle), u.Length(e.Form.Half)),
		"thickness of the tooth: " + band(e.Thickness),
		fmt.Sprintf("place of the tooth, and so its pitch to both neighbours: +- %s", u.Length(e.Place.Half)),
	}
	if e.Play != nil {
		sums = append(sums, fmt.Sprintf("play with the mate, along the line of action: %s +- %s", u.Length(e.Play.Middle), u.Length(e.Play.Half)))
	}
	if x := e.Error; x != nil {
		sums = append(sums, fmt.Sprintf("transmission error with the mate, peak to peak: %s, likely %s to %s; with every setting as meant %s",
			u.Length(x.Mean), u.Length(x.Low), u.Length(x.High), u.Length(x.Planned)))
	}
	for _, s := range e.Shares {
		parts = append(parts, fmt.Sprintf("%s: +- %s on a flank, %.0f %% of the whole (%s; %s)",
			s.Name, u.Length(s.Half()), 100*s.Part, limitText(s.Influence, u), s.Source))
	}
	if by, half, ok := e.Gain(); ok {
		parts = append(parts, fmt.Sprintf("most is gained by %s: with that done, a flank would lie within +- %s at the best, instead of +- %s",
			by, u.Length(half), u.Length(e.Flank.Half)))
	}
	if e.Enough > 0 {
		parts = append(parts, fmt.Sprintf("more than %s a flank would not show: an error of theirs under %s is lost in the rest", job.Counted(e.Enough, "facet"), u.Length(e.Shows)))
	}
	return sums, parts
}

// limitText is within what an influence is known, as a person would state it.
func limitText(f estimate.Influence, u job.Units) string {
	if f.Angle {
		return fmt.Sprintf("known within %.3f deg", geom.Degrees(f.Limit))
	}
	return "known within " + u.Length(f.Limit)
}

// expectData is the expectation for report.json.
func expectData(e *toolpath.Expectation) map[string]any {
	band := func(x estimate.Expected) map[string]float64 {
		return map[string]float64{"middle_mm": x.Middle, "standard_uncertainty_mm": x.Standard, "half_width_95_mm": x.Half}
	}
	var shares []map[string]any
	for _, s := range e.Shares {
		shares = append(shares, map[string]any{"name": s.Name, "flank_standard_mm": s.Standard, "share": s.Part, "source": s.Source})
	}
	data := map[string]any{
		"flank": band(e.Flank), "form": band(e.Form), "thickness": band(e.Thickness), "place": band(e.Place),
		"influences": shares, "facets_enough": e.Enough, "facets_show_from_mm": e.Shows,
	}
	if e.Play != nil {
		data["play_with_mate"] = band(*e.Play)
	}
	if x := e.Error; x != nil {
		data["transmission_error_with_mate"] = map[string]float64{"planned_mm": x.Planned, "middle_mm": x.Mean, "standard_uncertainty_mm": x.Standard, "low_95_mm": x.Low, "high_95_mm": x.High}
	}
	return data
}
