package repair

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// Replanned is what readings say for the rest of a repair.
type Replanned struct {
	Lines   []string // of the job's [as_cut]
	Ask     string   // what must be known first; "" for nothing
	Changes []string // what is planned otherwise, in words
	Refused []string // why it cannot be, with the ways out
}

// Replan works out what readings would change if they stood in the [as_cut] of
// the job; nil: nothing.
func Replan(j *job.Job, rs []design.Reading) (*Replanned, error) {
	out := &Replanned{}
	settings := out.enter(j, rs)
	switch {
	case len(settings) == 0 && out.Ask == "":
		return nil, nil
	case len(settings) == 0:
		return out, nil
	}
	with, err := j.Designed().With(settings)
	var bad job.Errors
	if errors.As(err, &bad) {
		for _, e := range bad {
			out.Refused = append(out.Refused, e.Key+": "+e.Msg)
		}
		return out, nil
	}
	if err != nil {
		return nil, err
	}
	made, err := Make(with)
	var refusal *toolpath.Refusal
	switch {
	case errors.As(err, &refusal):
		for _, r := range refusal.Reasons {
			out.Refused = append(out.Refused, r.Key+": "+r.Text)
		}
		return out, nil
	case err != nil:
		return nil, err
	}
	before, err := design.Of(j.Designed())
	if err != nil {
		return nil, err
	}
	out.compare(before, made)
	return out, nil
}

// insertMouth gives a size of the finished insert's dovetail as its width under the
// shoulders, and the name of that; ok is false for any other size.
func insertMouth(j *job.Job, r *design.Reading) (name string, ok bool) {
	switch r.Name {
	case "insert.mouth_sliding", "insert.mouth_tight":
		return r.Name, true
	case "insert.over_pins_sliding", "insert.over_pins_tight":
		r.Value = r.Answer.Dovetail.Mouth
		return "insert.mouth_" + strings.TrimPrefix(r.Name, "insert.over_pins_"), true
	case "insert.floor_tight":
		s := &j.AsMade().Slot
		r.Value -= 2 * s.Depth * math.Tan(s.HalfAngle)
		return "insert.mouth_tight", true
	}
	return "", false
}

// enter notes the lines of the job's [as_cut] and returns them as settings.
func (x *Replanned) enter(j *job.Job, rs []design.Reading) (settings []job.Setting) {
	u := j.Units
	off := slices.ContainsFunc(rs, func(r design.Reading) bool {
		_, ok := insertMouth(j, &r)
		return ok && !r.Answer.Within
	})
	for _, r := range rs {
		if t := r.Answer.Tooth; t != nil && math.Abs(t.Off) > job.FlankSeen {
			flanks := []string{"left", "right"} // a chord has half of it on each
			if r.Side != "" {
				flanks = []string{r.Side}
			} else if !strings.Contains(r.Name, ".chord") {
				x.Ask = fmt.Sprintf("which flank was it? read it again as %s_left or %s_right, the side as seen from +X", r.Name, r.Name)
				continue
			}
			for _, side := range flanks {
				k := job.KeyAt("as_cut.tooth." + side + "_off")
				text := k.Entry(t.Off, 0, u)
				x.Lines = append(x.Lines, strings.TrimPrefix(k.Name, "as_cut.")+" = "+text)
				settings = append(settings, job.Setting{Key: k.Path(), Value: text, From: r.Name})
			}
			continue
		}
		planned := r.Answer.Within && r.Answer.Wear == nil && !r.Free
		if mouth, ok := insertMouth(j, &r); ok {
			// Ends and middle belong together: where one is off, both are wanted.
			r.Name, r.Answer.Item.Pin, planned = mouth, 0, !off
		}
		k, ok := job.AsCutKey(r.Name)
		twice := slices.ContainsFunc(settings, func(s job.Setting) bool { return s.Key == k.Path() })
		if !ok || twice || planned {
			continue
		}
		with := r.Answer.Item.Pin
		if k.At == job.Count {
			with = float64(r.Answer.Item.Teeth)
		}
		text := k.Entry(r.Value, with, u)
		x.Lines = append(x.Lines, fmt.Sprintf("%s = %s", r.Name, text))
		settings = append(settings, job.Setting{Key: k.Path(), Value: strings.Trim(text, `"`), From: r.Name})
	}
	return settings
}

// compare notes what the rest of the repair is made otherwise than designed.
func (x *Replanned) compare(was *design.Design, made *Repair) {
	now := made.Plan.Design
	a, b, length := was.Job, now.Job, now.Job.Units.Both
	tell := func(format string, args ...any) { x.Changes = append(x.Changes, fmt.Sprintf(format, args...)) }
	say := func(what string, a, b float64, so string) {
		if math.Abs(a-b) > 5e-4 {
			tell("%s %s, designed %s: %s", what, length(b), length(a), so)
		}
	}
	done, rest := made.doneAndRest()
	if len(done) > 0 {
		tell("%s: done, left as it is", strings.Join(done, ", "))
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
			tell("the %s flank alone is cut again: find Y0 anew first, and measure the cutter", side)
		case off < -job.FlankSeen:
			tell("the %s flank is left as it is, %s too deep: so much more play on that side", side, length(-off))
		}
	}
	say("standing teeth thinned by", a.Gear.NeighbourThinning, b.Gear.NeighbourThinning, "gap, clearances and touch-off are reckoned with it; the new tooth stays as designed (gear.thinning)")
	if first, last := now.SlideWidth(1), now.SlideWidth(b.Fit.TrialCount); math.Abs(first-was.SlideWidth(1)) > 5e-4 && !b.Done(string(toolpath.TrialProgram)) {
		tell("trial cuts from %s down to %s under the shoulders", length(first), length(last))
	}
	for _, why := range made.Estimates.Against {
		tell("DO NOT ASSEMBLE: %s", why)
	}
	switch {
	case len(rest) == 0:
		tell("nothing is left to be cut")
	case made.Clean():
		tell("planned and checked anew: %s: all clean", strings.Join(rest, ", "))
	default:
		tell("planned anew, but the check found something: run '%s'", b.Command("make"))
	}
}

// doneAndRest lists the files of the programs that have been run, and of those
// that are written.
func (r *Repair) doneAndRest() (done, rest []string) {
	for i := range r.Programs {
		switch p := &r.Programs[i]; {
		case p.Done:
			done = append(done, p.File())
		case p.Skipped == "":
			rest = append(rest, p.File())
		}
	}
	return done, rest
}

// Print tells what to do with the readings.
func (x *Replanned) Print(w io.Writer) {
	if len(x.Lines) == 0 {
		fmt.Fprintf(w, "\nTo plan what is left to this metal: %s\n", x.Ask)
		return
	}
	fmt.Fprintln(w, "\nTo plan what is left to this metal, put into the job:")
	fmt.Fprintln(w, "  [as_cut]")
	for _, l := range x.Lines {
		fmt.Fprintf(w, "  %s\n", l)
	}
	heading, list := "What that changes:", x.Changes
	if len(x.Refused) > 0 {
		heading, list = "It cannot go on like that:", x.Refused
	}
	fmt.Fprintln(w, heading)
	for _, l := range list {
		fmt.Fprintf(w, "  %s\n", l)
	}
}
