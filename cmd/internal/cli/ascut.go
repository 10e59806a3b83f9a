package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"cogmend/cmd/internal/repair"
	"cogmend/profiles/measure"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// asCutKey is the key of the job's [as_cut] for a reading, not ok when it has
// none.
func asCutKey(name string) (k job.Key, ok bool) {
	k = job.KeyAt("as_cut." + name)
	return k, k.Name != "" && (k.Kind == job.Length || k.Kind == job.SizeAt)
}

// asCutValue writes a reading as the value of its key, in the job's unit.
func asCutValue(k job.Key, r measure.SheetReading, item measure.GaugeItem, units job.Units) string {
	number := func(mm float64) string {
		digits := 3
		if units == job.Inch {
			mm, digits = mm/25.4, 4
		}
		p := math.Pow10(digits)
		return strconv.FormatFloat(math.Round(mm*p)/p, 'f', -1, 64)
	}
	switch {
	case k.Kind == job.Length:
		return number(r.Value)
	case k.At == job.Count:
		return fmt.Sprintf(`"%s @ %d"`, number(r.Value), item.Teeth)
	}
	return fmt.Sprintf(`"%s @ %s"`, number(r.Value), number(item.Pin))
}

// asCut is what readings say for the rest of a repair.
type asCut struct {
	lines   []string // of the job's [as_cut]
	ask     string   // what must be known first; "" for nothing
	changes []string // what is planned otherwise, in words
	refused []string // why it cannot be, with the ways out
}

// enter works out what readings would change if they stood in the job's
// [as_cut].
func (o *gaugeOptions) enter(rs []measure.SheetReading, sides []string, as []measure.Answer) (*asCut, error) {
	out := &asCut{}
	var settings []job.Setting
	for i, r := range rs {
		if t := as[i].Tooth; t != nil && math.Abs(t.Off) > job.FlankSeen {
			flanks := []string{"left", "right"} // a chord has half of it on each
			if sides[i] != "" {
				flanks = []string{sides[i]}
			} else if !strings.Contains(r.Name, ".chord") {
				out.ask = fmt.Sprintf("which flank was it? read it again as %s_left or %s_right, the side as seen from +X", r.Name, r.Name)
				continue
			}
			for _, side := range flanks {
				k := job.KeyAt("as_cut.tooth." + side + "_off")
				text := asCutValue(k, measure.SheetReading{Value: t.Off}, as[i].Item, o.Units)
				out.lines = append(out.lines, strings.TrimPrefix(k.Name, "as_cut.")+" = "+text)
				settings = append(settings, job.Setting{Key: k.Path(), Value: text, From: r.Name})
			}
			continue
		}
		k, ok := asCutKey(r.Name)
		if !ok || as[i].Within && as[i].Wear == nil && as[i].Item.Key != "" {
			continue
		}
		text := asCutValue(k, r, as[i].Item, o.Units)
		out.lines = append(out.lines, fmt.Sprintf("%s = %s", r.Name, text))
		settings = append(settings, job.Setting{Key: k.Path(), Value: strings.Trim(text, `"`), From: r.Name})
	}
	switch {
	case o.file == "" || len(settings) == 0 && out.ask == "":
		return nil, nil
	case len(settings) == 0:
		return out, nil
	}
	j, err := o.Job.Designed().With(settings)
	var bad job.Errors
	if errors.As(err, &bad) {
		for _, e := range bad {
			out.refused = append(out.refused, e.Key+": "+e.Msg)
		}
		return out, nil
	}
	if err != nil {
		return nil, err
	}
	made, err := repair.Make(j)
	var refusal *toolpath.Refusal
	switch {
	case errors.As(err, &refusal):
		for _, r := range refusal.Reasons {
			out.refused = append(out.refused, r.Key+": "+r.Text)
		}
		return out, nil
	case err != nil:
		return nil, err
	}
	before, err := design.Of(o.Job.Designed())
	if err != nil {
		return nil, err
	}
	out.changes = o.changes(before, made)
	return out, nil
}

// changes says what the rest of the repair is made otherwise than designed.
func (o *gaugeOptions) changes(was *design.Design, made *repair.Repair) []string {
	var out []string
	now, length := made.Plan.Design, func(mm float64) string { return o.Units.Both(mm) }
	say := func(what string, a, b float64, so string) {
		if math.Abs(a-b) > 5e-4 {
			out = append(out, fmt.Sprintf("%s %s, designed %s: %s", what, length(b), length(a), so))
		}
	}
	a, b := was.Job, now.Job
	var done, rest []string
	for _, p := range made.Plan.Programs {
		switch {
		case p.Done:
			done = append(done, p.File())
		case p.Skipped == "":
			rest = append(rest, p.File())
		}
	}
	if len(done) > 0 {
		out = append(out, strings.Join(done, ", ")+": done, left as it is")
	}
	say("slot's mouth", a.Slot.Mouth, b.Slot.Mouth, "the insert's dovetail is made to it, the trial cuts too")
	say("insert's dovetail deep", a.Slot.Depth, b.Slot.Depth, "so that the shoulders seat")
	say("room under the insert", a.Slot.Deeper, b.Slot.Deeper, "adhesive fills it; the shoulders seat all the same")
	say("seat under the root circle", a.Slot.SeatBelow, b.Slot.SeatBelow, "insert, tip and facets are planned from it")
	say("rim under the slot", was.Sizes.Floor-was.Sizes.RimInner, now.Sizes.Floor-now.Sizes.RimInner, "fit and load are estimated with it")
	say("insert over each face", a.Insert.Over, b.Insert.Over, "leads, holes and end faces are moved by it")
	for i, side := range []string{"left", "right"} {
		switch off := b.Facets.Off[i]; {
		case off > job.FlankSeen:
			out = append(out, fmt.Sprintf("the %s flank alone is cut again: find Y0 anew first, and measure the cutter", side))
		case off < -job.FlankSeen:
			out = append(out, fmt.Sprintf("the %s flank is left as it is, %s too deep: so much more play on that side", side, length(-off)))
		}
	}
	say("standing teeth thinned by", a.Gear.NeighbourThinning, b.Gear.NeighbourThinning, "gap, clearances and touch-off are reckoned with it; the new tooth stays as designed (gear.thinning)")
	if first, last := now.SlideWidth(1), now.SlideWidth(b.Fit.TrialCount); math.Abs(first-was.SlideWidth(1)) > 5e-4 && !b.Done(string(toolpath.TrialProgram)) {
		out = append(out, fmt.Sprintf("trial cuts from %s down to %s under the shoulders", length(first), length(last)))
	}
	if len(rest) == 0 {
		return append(out, "nothing is left to be cut")
	}
	verdict := "planned and checked anew: " + strings.Join(rest, ", ") + ": all clean"
	if !made.Clean() {
		verdict = "planned anew, but the check found something: run 'cogmend make'"
	}
	return append(out, verdict)
}

// print writes what to do with the readings.
func (a *asCut) print(w io.Writer) {
	switch {
	case a == nil:
		return
	case len(a.lines) == 0:
		fmt.Fprintf(w, "\nTo plan what is left to this metal: %s\n", a.ask)
		return
	}
	fmt.Fprintln(w, "\nTo plan what is left to this metal, put into the job:")
	fmt.Fprintln(w, "  [as_cut]")
	for _, l := range a.lines {
		fmt.Fprintf(w, "  %s\n", l)
	}
	if len(a.refused) > 0 {
		fmt.Fprintln(w, "It cannot go on like that:")
		for _, r := range a.refused {
			fmt.Fprintf(w, "  %s\n", r)
		}
		return
	}
	fmt.Fprintln(w, "What that changes:")
	for _, c := range a.changes {
		fmt.Fprintf(w, "  %s\n", c)
	}
}
