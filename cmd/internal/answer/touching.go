package answer

import (
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// Touches says which touches to take.
func Touches(w io.Writer, p *toolpath.TouchPlan, d *design.Design) {
	j, u := d.Job, d.Job.Units
	with := fmt.Sprintf("T%d %s, %s", p.With.Number, p.With.Name, u.Both(p.With.Diameter))
	if p.Pin {
		with = "a ground pin of " + u.Both(p.With.Diameter)
	}
	paper := "no paper between (copy.paper)"
	if j.Touching.Paper > 0 {
		paper = u.Length(j.Touching.Paper) + " of paper between"
	}
	fmt.Fprintf(w, "Touch %s on good teeth with the side of %s, spindle still and locked, %s.\n",
		job.Counted(len(p.Touches), "flank"), with, paper)
	fmt.Fprintf(w, "Gear level, the gap on top; Y0 the middle of the gap, touched on both neighbours; Z0 as in the job.\n")
	fmt.Fprintln(w, "Right flank of teeth toward +Y, left flank of those toward -Y: come from outside, from the next space, toward the gap.")
	if j.Index.Device == job.Head {
		fmt.Fprintln(w, "Come to each setting with the gear's top going toward -Y, and lock the head.")
	}
	fmt.Fprintln(w)
	TouchTable(w, p.Touches, d)
	fmt.Fprintln(w)
	met := "within"
	if !p.Met {
		met = "MORE than"
	}
	fmt.Fprintf(w, "Between such touches facets may leave %s at the most, whatever the flank is, %s the %s they are to keep (facets).\n%s\n",
		u.Length(p.Most), met, u.Length(p.Tolerance), readingErrors(p, j))
	if p.Why != "" {
		fmt.Fprintf(w, "%s%s.\n", strings.ToUpper(p.Why[:1]), p.Why[1:])
	}
	if p.Below > 0 {
		fmt.Fprintf(w, "Below a radius of %s it does not get down beside a flank, and the copy goes on there as it does above. ", u.Length(p.Below))
		if p.Better != "" {
			fmt.Fprintf(w, "cutter.%s would get lower (copy.cutter).\n", p.Better)
		} else {
			fmt.Fprintln(w, "A thinner ground pin in the spindle would get lower (copy.pin).")
		}
	}
	fmt.Fprintln(w, "Until it is touched the flank is a guess, a standard tooth of this outside diameter: the places are about right. A touch on the corner of the tip, or under the flank, is told afterwards and left out.")
	fmt.Fprintf(w, "\nThen: cogmend copy %s --read t01=... --read t02=...   writes the lines for the job.\n", j.Name())
}

// readingErrors says what the readings' own errors do to what is between touches. Where
// touches stand close the bound of errors that all go against each other is far over
// what any hand would read: it is not told then, but what to do.
func readingErrors(p *toolpath.TouchPlan, j *job.Job) string {
	within := j.Units.Length(j.Touching.Within)
	if p.Noise <= p.Tolerance {
		return fmt.Sprintf("Errors of the readings within their +- %s (copy.within) add %s to that at the worst, each against the next; the copy evens most of it out.", within, j.Units.Length(p.Noise))
	}
	return fmt.Sprintf("The touches stand so close that errors within the readings' +- %s (copy.within) matter more than what lies between them. The copy is drawn smooth through all and evens them out; touch each place three times and type the mean.", within)
}

// TouchTable lists touches, by how the gear is set for them.
func TouchTable(w io.Writer, list []toolpath.ToTouch, d *design.Design) {
	u := d.Job.Units
	const row = "%7s  %5s  %-5s  %15s  %15s  %s\n"
	fmt.Fprintf(w, row, "touch", "tooth", "flank", "end at Z, "+u.Name(), "about at Y, "+u.Name(), "read")
	last := ""
	for i := range list {
		a := &list[i]
		if a.Set.Words != last {
			fmt.Fprintf(w, "gear %s:\n", a.Set.Words)
			last = a.Set.Words
		}
		fmt.Fprintf(w, row, a.Name, fmt.Sprintf("%+d", a.Tooth), toolpath.SideName(a.Side), u.Number(a.End-d.Shift), u.Number(a.Y), "________")
	}
}

// TouchesData is a plan of touches, for scripts.
func TouchesData(p *toolpath.TouchPlan) map[string]any {
	list := []map[string]any{}
	for _, t := range p.Touches {
		list = append(list, map[string]any{"name": t.Name, "tooth": t.Tooth, "flank": toolpath.SideName(t.Side), "gear_deg": geom.Degrees(t.Turned), "set": t.Set.Words,
			"keys": append([]string{}, t.Set.Keys...), "leans_deg": geom.Degrees(t.Lean), "spindle_y_mm": t.Y, "end_over_axis_mm": t.End, "touch_over_axis_mm": t.Height})
	}
	return map[string]any{"touches": list, "settings": p.Settings, "with": p.With.Name, "diameter_mm": p.With.Diameter, "most_mm": p.Most, "readings_add_mm": p.Noise,
		"tolerance_mm": p.Tolerance, "met": p.Met, "not_below_radius_mm": p.Below, "cutter_that_gets_lower": p.Better, "why": p.Why}
}

// TouchLines writes readings, the spindle's Y by the names of the plan's touches, as
// lines of the job; left are those that no touch has.
func TouchLines(p *toolpath.TouchPlan, j *job.Job, readings map[string]float64) (lines []string, left map[string]float64) {
	left = maps.Clone(readings)
	for _, t := range p.Touches {
		y, ok := left[t.Name]
		if !ok {
			continue
		}
		if j.Given("copy") && !p.Pin && j.Touching.Cutter == "" {
			t.Set.Keys = append(slices.Clone(t.Set.Keys), fmt.Sprintf("cutter = %q", p.With.Name))
		}
		lines = append(lines, t.Line(y, j.Units))
		delete(left, t.Name)
	}
	lines = append([]string{"[touch]"}, lines...)
	if !p.Pin && !j.Given("copy") {
		lines = append([]string{"[copy]", fmt.Sprintf("cutter = %q", p.With.Name)}, lines...)
	}
	return lines, left
}

// Chords says which readings of a gear-tooth vernier to take.
func Chords(w io.Writer, list []toolpath.ToGauge, d *design.Design) {
	u := d.Job.Units
	fmt.Fprintln(w, "Gauge one good tooth with a gear-tooth vernier, its tongue on the tip: the mean of three places along the face each.")
	const row = "%7s  %15s  %15s  %s\n"
	fmt.Fprintf(w, row, "reading", "height, "+u.Name(), "about, "+u.Name(), "chord")
	for _, v := range list {
		fmt.Fprintf(w, row, v.Name, u.Number(v.Height), u.Number(v.Chord), "________")
	}
	fmt.Fprintln(w, "Touches with the side of a cutter tell a flank closer: half of a chord is half of its error too, but a vernier is read to less.")
	fmt.Fprintf(w, "\nThen: cogmend copy %s --vernier --read %s=... --read %s=...   writes the lines for the job.\n", d.Job.Name(), list[0].Name, list[1].Name)
}

// ChordsData is those readings for JSON.
func ChordsData(list []toolpath.ToGauge) map[string]any {
	rows := []map[string]any{}
	for _, v := range list {
		rows = append(rows, map[string]any{"name": v.Name, "height_mm": v.Height, "chord_mm": v.Chord})
	}
	return map[string]any{"vernier": rows}
}
