package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/repair"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// bench is what the commands used at the bench have in common: the repair they
// speak of, from a job file, from flags, or from a job file changed by flags.
type bench struct {
	*job.Job
	file    string
	json    bool
	teeth   int
	module  float64
	pitch   float64
	degrees float64
	rack    string
	missing int
	// included is the dovetail's included angle in degrees, of commands with --mouth.
	included float64
	texts    map[string]*string
	given    func(name string) bool
}

// benchLength is a length a flag may give, the job's key that it stands for,
// and where it goes.
type benchLength struct {
	name, key, usage string
	at               func(*job.Job) *float64
}

var benchLengths = []benchLength{
	{"thinning", "gear.thinning", "how much thinner than standard the new tooth is, at the pitch circle", func(j *job.Job) *float64 { return &j.Gear.Thinning }},
	{"neighbour-thinning", "gear.neighbour_thinning", "the same of the standing teeth (default: as --thinning)", func(j *job.Job) *float64 { return &j.Gear.NeighbourThinning }},
	{"face", "gear.face", "face width", func(j *job.Job) *float64 { return &j.Gear.Face }},
	{"rim-inner", "gear.rim_inner", "diameter under the rim; 0: solid", func(j *job.Job) *float64 { return &j.Gear.RimInner }},
	{"mouth", "slot.mouth", "slot: width at the seat", func(j *job.Job) *float64 { return &j.Slot.Mouth }},
	{"slot-depth", "slot.depth", "slot: depth from the seat", func(j *job.Job) *float64 { return &j.Slot.Depth }},
	{"body", "insert.body", "insert: width over the shoulders", func(j *job.Job) *float64 { return &j.Insert.Body }},
	{"tight", "fit.tight_middle", "how proud the tight middle stands", func(j *job.Job) *float64 { return &j.Fit.TightMiddle }},
	{"lead", "fit.lead", "length at each end at the sliding size", func(j *job.Job) *float64 { return &j.Fit.Lead }},
	{"centre", "mate.centre_distance", "centre distance to the mate (default: standard)", func(j *job.Job) *float64 { return &mateOf(j).Centre }},
	{"mate-thinning", "mate.thinning", "how much thinner than standard the mate's teeth are", func(j *job.Job) *float64 { return &mateOf(j).Thinning }},
}

// mateOf returns the job's mate, a new one when there is none.
func mateOf(j *job.Job) *job.Mate {
	if j.Mate == nil {
		j.Mate = &job.Mate{}
	}
	return j.Mate
}

// addBench gives the command the flags that name the gear and the lengths.
func addBench(c *cobra.Command, b *bench, lengths ...string) {
	f := c.Flags()
	f.StringVar(&b.file, "job", "", "job file, or the word demo for the built-in one; lengths without a unit are in its unit, else in mm")
	f.IntVar(&b.teeth, "teeth", 0, "number of teeth, the missing ones counted")
	f.Float64Var(&b.module, "module", 0, "module in mm")
	f.Float64Var(&b.pitch, "pitch", 0, "diametral pitch, per inch")
	f.Float64Var(&b.degrees, "angle", 20, "pressure angle in degrees")
	f.StringVar(&b.rack, "proportions", "", "one of "+strings.Join(profiles.RackNames(), ", ")+" (default: the job's; "+job.KeyAt("gear.proportions").Auto+")")
	if slices.Contains(lengths, "mouth") {
		f.Float64Var(&b.included, "included", 15, "dovetail's included angle in degrees, without a job file")
	}
	addJSON(c, &b.json)
	b.texts = map[string]*string{}
	b.given = f.Changed
	for _, l := range benchLengths {
		if slices.Contains(lengths, l.name) {
			b.texts[l.name] = f.String(l.name, "", l.usage)
		}
	}
}

func addJSON(c *cobra.Command, on *bool) {
	c.Flags().BoolVar(on, "json", false, "print JSON, for scripts")
}

// load reads the job and lays the flags over it.
func (b *bench) load() error {
	if b.file == "" {
		if !b.given("teeth") || b.given("module") == b.given("pitch") {
			return fmt.Errorf("say which gear: --job FILE, or --teeth with --module or --pitch")
		}
		b.Job = &job.Job{}
		b.Gear.Places = []float64{0}
		b.Insert.Material = profiles.MildSteel
		b.Facets.Tolerance = 0.02
		b.Gear.Pressure = geom.Radians(b.degrees)
	} else {
		j, err := readJob(orDemo(b.file))
		if err != nil {
			return err
		}
		b.Job = j
	}
	if err := b.gearFlags(); err != nil {
		return err
	}
	if b.given("included") {
		if err := within("included", "slot.included_angle", b.included); err != nil {
			return err
		}
	}
	if b.file == "" {
		b.Slot.HalfAngle = geom.Radians(b.included / 2)
	}
	for _, l := range benchLengths {
		if b.texts[l.name] == nil || !b.given(l.name) {
			continue
		}
		v, err := lengthFlag(l.name, *b.texts[l.name], b.Units)
		if err != nil {
			return err
		}
		if err := within(l.name, l.key, v); err != nil {
			return err
		}
		*l.at(b.Job) = v
		if l.name == "thinning" && !b.given("neighbour-thinning") {
			b.Gear.NeighbourThinning = v
		}
	}
	return b.Gear.Validate()
}

// within refuses a flag's value that the same key of a job file could not have:
// a gear of a thousand million teeth would be worked out one by one. The value
// is in mm, degrees or the key's own unit.
func within(flag, key string, v float64) error {
	k := job.KeyAt(key)
	if k.Holds(v) {
		return nil
	}
	text := strconv.FormatFloat(v, 'g', 6, 64)
	if k.Kind == job.Count {
		text = strconv.FormatFloat(v, 'f', 0, 64)
	}
	if unit := k.UnitName(job.MM); unit != "" {
		text += " " + unit
	}
	return fmt.Errorf("--%s %s: it must be %s", flag, text, k.Allowed(job.MM))
}

// gearFlags lays the flags that name the gear over the job's.
func (b *bench) gearFlags() error {
	for _, f := range []struct {
		flag, key string
		value     float64
	}{
		{"teeth", "gear.teeth", float64(b.teeth)}, {"module", "gear.module", b.module}, {"pitch", "gear.diametral_pitch", b.pitch},
		{"angle", "gear.pressure_angle", b.degrees}, {"missing", "gear.missing", float64(b.missing)},
	} {
		if b.given(f.flag) {
			if err := within(f.flag, f.key, f.value); err != nil {
				return err
			}
		}
	}
	g := &b.Gear
	if b.given("teeth") {
		g.Teeth = b.teeth
	}
	if b.given("angle") {
		g.Pressure = geom.Radians(b.degrees)
	}
	if b.given("module") {
		g.Module = b.module
	}
	if b.given("pitch") {
		g.Module = 25.4 / b.pitch
	}
	name := b.rack
	if name == "" && b.file == "" {
		name = job.DefaultRack(b.module, b.pitch, g.Pressure)
	}
	if name != "" {
		rack, ok := profiles.RackFor(name, g.Module)
		if !ok {
			return fmt.Errorf("--proportions %q: it must be one of %s", name, strings.Join(profiles.RackNames(), ", "))
		}
		g.Rack = rack
	}
	if b.missing > 0 {
		g.Places = g.Places[:0]
		for i := range b.missing {
			g.Places = append(g.Places, float64(i)-float64(b.missing-1)/2)
		}
	}
	return nil
}

// need says which length is missing when neither a flag nor the job gives it.
func (b *bench) need(names ...string) error {
	for _, l := range benchLengths {
		if slices.Contains(names, l.name) && !(*l.at(b.Job) > 0) {
			return fmt.Errorf("%s is not known: give --%s, or a job file with --job", l.usage, l.name)
		}
	}
	return nil
}

// jobArg lets a job file be named without --job too.
func (b *bench) jobArg(c *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
	case len(args) > 1 || b.file != "":
		return fmt.Errorf("%s takes one job file, not %q too", c.Name(), args[len(args)-1])
	default:
		b.file = args[0]
	}
	return nil
}

// both writes a length in mm and inch.
func both(mm float64) string {
	return job.MM.Length(plain(mm)) + " (" + job.Inch.Length(plain(mm)) + ")"
}

// plain drops the sign of a length too small to be shown.
func plain(mm float64) float64 {
	if math.Abs(mm) < 0.0005 {
		return 0
	}
	return mm
}

// signed writes a difference in mm and inch with its sign.
func signed(mm float64) string {
	mm = plain(mm)
	return fmt.Sprintf("%+.3f mm (%+.4f in)", mm, mm/25.4)
}

// printJSON writes what a script reads. What JSON cannot hold becomes null.
func printJSON(w io.Writer, data map[string]any) error {
	text, err := json.MarshalIndent(repair.Finite(data), "", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", text)
	return err
}

// number is v for JSON, which has no infinity, and without a minus zero.
func number(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v + 0
}

// gearData is the gear in JSON.
func gearData(g profiles.Gear) map[string]any {
	return map[string]any{
		"teeth": g.Teeth, "module_mm": g.Module, "diametral_pitch_per_inch": 25.4 / g.Module, "pressure_angle_deg": geom.Degrees(g.Pressure),
		"proportions": g.Rack.Name, "addendum_modules": g.Rack.Addendum, "dedendum_modules": g.Rack.Dedendum,
		"profile_shift": g.Shift, "thinning_mm": g.Thinning,
	}
}

// gearLine says in words which gear is meant.
func gearLine(g profiles.Gear) string {
	return fmt.Sprintf("%d teeth, module %.4g mm (%.4g DP), %.4g degrees", g.Teeth, g.Module, 25.4/g.Module, geom.Degrees(g.Pressure))
}

func assumptionData(list []profiles.Assumption) []map[string]any {
	out := []map[string]any{}
	for _, a := range list {
		out = append(out, map[string]any{"name": a.Name, "value": a.Value, "unit": a.Unit, "source": a.Source})
	}
	return out
}

// assumptionLines writes assumptions, one a line.
func assumptionLines(list []profiles.Assumption) []string {
	var out []string
	for _, a := range list {
		unit := a.Unit
		if unit != "" {
			unit = " " + unit
		}
		value := fmt.Sprintf("%.4g", a.Value)
		if math.Abs(a.Value) >= 1000 {
			value = fmt.Sprintf("%.0f", a.Value)
		}
		out = append(out, fmt.Sprintf("%s: %s%s (%s)", a.Name, value, unit, a.Source))
	}
	return out
}

// list prints a heading and lines under it; nothing when there are none.
func list(w io.Writer, heading string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(w, "%s\n", heading)
	for _, l := range lines {
		fmt.Fprintf(w, "  %s\n", l)
	}
}

// count writes a number of things.
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %s", n, what)
}
