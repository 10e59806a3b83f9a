package answer

import (
	"cogmend/profiles/measure"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"fmt"
	"io"
	"math"
	"strings"
)

// Reading tells what a reading means; standing is the thinning of the standing
// teeth that the job has, mm.
func Reading(w io.Writer, r design.Reading, standing float64, units job.Units) {
	a, length := r.Answer, units.Both
	if r.Free {
		fmt.Fprintf(w, "%s %s: as read\n", r.Name, length(r.Value))
		return
	}
	word := "within limits"
	switch {
	case a.Wear != nil:
		word = "standing teeth, to compare"
	case !a.Within:
		word = "NOT within limits"
	}
	fmt.Fprintf(w, "%s %s: %s\n", r.Name, length(r.Value), word)
	line := func(format string, args ...any) { fmt.Fprintf(w, "  "+format+"\n", args...) }
	if a.Wear != nil {
		x := a.Wear
		line("thinned by %s (gear.neighbour_thinning); the job has %s", length(x.Thinning), length(standing))
		line("wear and backlash together: %.1f %% of the tooth's thickness, %.1f times the backlash of a new pair (0.04 modules, Machinery's Handbook, from memory)", 100*x.OfTooth, x.OfBacklash)
		return
	}
	with := ""
	if a.Item.Pin > 0 || a.Item.Height > 0 || a.Item.Teeth > 0 {
		with = a.Item.With(units.Both) + ": "
	}
	line("%slimits %s to %s; off by %s", with, length(a.Item.Low), length(a.Item.High), units.Difference(a.Over))
	if r.Worn && a.Item.Height == 0 {
		line("with the standing teeth as read")
	}
	switch {
	case a.Tooth != nil:
		toothReading(line, a, units)
	case a.Dovetail != nil:
		line("mouth %s, off by %s", length(a.Dovetail.Mouth), units.Difference(a.Dovetail.Over))
		if r.Name == "slot.between_pins" && r.Depth == 0 {
			line("taken at the depth it should have; with --read slot.depth=... too it is surer")
		}
	}
	if !a.Within && a.Tooth == nil {
		line("%s", widthAdvice(r, units))
	}
	if a.Slip != "" {
		line("or a slip: %s", a.Slip)
	}
}

// toothReading tells what a reading says of the new tooth.
func toothReading(line func(string, ...any), a measure.Answer, units job.Units) {
	t := a.Tooth
	length := units.Both
	line("flank %s off its plan, up to %s of metal left with the facets' own, %s allowed; tooth %s thick on the pitch circle",
		units.Difference(t.Off), length(max(0, t.Metal)), length(t.Limit), length(t.Thickness))
	switch {
	case a.Within:
	case t.Off > 0:
		line("bring the cutter %s nearer to the tooth at every facet (Y zero or cutter diameter), or file it off", length(t.Off))
	default:
		line("cut %s too deep: there is nothing to take off; the tooth has so much more backlash on that flank", length(-t.Off))
	}
	if t.Spread > 0 {
		line("on facets sure to %s only: over a joint more is read than on a flat", length(t.Spread))
	}
}

// widthAdvice says what to do about a width or depth outside its limits.
func widthAdvice(r design.Reading, units job.Units) string {
	a := r.Answer
	over, perFlank := a.Over, math.Abs(a.Over)/2
	if a.Dovetail != nil {
		over, perFlank = a.Dovetail.Over, math.Abs(a.Dovetail.PerFlank)
	}
	slot := strings.HasPrefix(r.Name, "slot.")
	switch {
	case r.Name == "slot.depth" && over < 0:
		return "cut deeper by " + units.Both(-over)
	case r.Name == "slot.depth":
		return "too deep: the insert still stands on its shoulders; the room under it is filled with adhesive"
	case r.Name == "slot.seat" && over < 0:
		return "mill the seat deeper by " + units.Both(-over) + ", or plan to it, see below"
	case r.Name == "slot.seat":
		return "the seat is low: the insert stands so much lower, see below"
	case slot == (over < 0):
		return "take " + units.Both(perFlank) + " off each flank"
	case slot:
		return "wider than meant: the insert is made that much wider too, see below"
	}
	return "narrower than meant: it will be loose; make another insert"
}

// ReadingData is a reading and what it says, for JSON.
func ReadingData(r design.Reading) map[string]any {
	a := r.Answer
	if r.Free {
		return map[string]any{"name": r.Name, "read_mm": r.Value, "within": true}
	}
	data := map[string]any{"name": r.Name, "read_mm": r.Value, "within": a.Within, "expect_mm": a.Item.Nominal, "over_nominal_mm": a.Over,
		"low_mm": a.Item.Low, "high_mm": a.Item.High, "slip": a.Slip}
	if a.Item.Pin > 0 {
		data["pin_mm"] = a.Item.Pin
	}
	if x := a.Dovetail; x != nil {
		data["mouth_mm"], data["over_nominal_mm"], data["per_flank_mm"] = x.Mouth, x.Over, x.PerFlank
	}
	if x := a.Tooth; x != nil {
		data["thickness_mm"], data["metal_left_mm"], data["metal_allowed_mm"], data["change_y_mm"], data["uncertain_by_joints_mm"] = x.Thickness, x.Metal, x.Limit, x.Off, x.Spread
	}
	if x := a.Wear; x != nil {
		data["neighbour_thinning_mm"], data["share_of_tooth"], data["times_usual_backlash"] = x.Thinning, x.OfTooth, x.OfBacklash
	}
	return data
}
