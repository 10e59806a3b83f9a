package cli

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/profiles"
	"cogmend/toolpath/job"
)

// gearFlags name the repair that a command speaks of: a job file, a gear known
// by flags alone, or a job file with flags laid over it. Each flag stands for a
// key of the job and is read and checked as that key.
type gearFlags struct {
	*job.Job // set by read
	file     string
	json     bool
	command  *cobra.Command
}

// keyFlag is a flag that stands for a key of the job. Its value is taken as
// text: a number, with a unit where the key has one.
type keyFlag struct{ name, key, usage string }

var keyFlags = []keyFlag{
	{"teeth", "gear.teeth", "number of teeth, the missing ones counted"},
	{"module", "gear.module", "module in mm"},
	{"pitch", "gear.diametral_pitch", "diametral pitch, per inch"},
	{"angle", "gear.pressure_angle", "pressure angle in degrees, or with a unit, as \"14 deg 30 min\" (default: the job's, or 20)"},
	{"proportions", "gear.proportions", "one of " + strings.Join(profiles.RackNames(), ", ") + " (default: the job's, or " + job.KeyAt("gear.proportions").Auto + ")"},
	{"missing", "gear.missing", "teeth missing side by side (default: the job's, or 1)"},
	{"thinning", "gear.thinning", "how much thinner than standard the new tooth is, at the pitch circle"},
	{"neighbour-thinning", "gear.neighbour_thinning", "how much thinner than standard the standing teeth are, at the pitch circle (default: the job's, or as --thinning)"},
	{"face", "gear.face", "face width"},
	{"rim-inner", "gear.rim_inner", "diameter under the rim (default: the job's, or solid)"},
	{"mouth", "slot.mouth", "slot: width of its mouth, at the seat"},
	{"slot-depth", "slot.depth", "slot: depth from the seat"},
	{"included", "slot.included_angle", "dovetail's included angle in degrees (default: the job's, or 15)"},
	{"body", "insert.body", "insert: width over the shoulders"},
	{"tight", "fit.tight_middle", "how proud the tight middle stands (default: the job's, or " + job.KeyAt("fit.tight_middle").Auto + ")"},
	{"lead", "fit.lead", "length at each end at the sliding size (default: the job's, or " + job.KeyAt("fit.lead").Auto + ")"},
	{"facets", "facets.count", "facets a flank, in place of the tolerance"},
	{"tolerance", "facets.tolerance", "metal the facets may leave (default: the job's, or 0.02 mm)"},
	{"torque", "load.torque", "torque on this gear, N m or with a unit: lbf ft, lbf in"},
	{"power", "load.power", "power, kW or with a unit: W, hp"},
	{"speed", "load.speed", "speed of this gear, rev/min"},
	{"service", "load.service", "service factor (default: the job's, or 1.5)"},
	{"mate", "mate.teeth", "number of the mate's teeth"},
	{"mate-shift", "mate.profile_shift", "the mate's profile shift in modules"},
	{"centre", "mate.centre_distance", "centre distance to the mate (default: the job's, or standard)"},
	{"mate-thinning", "mate.thinning", "how much thinner than standard the mate's teeth are"},
}

// addGearFlags gives the command the flags that name the gear, and those of the
// keys it needs besides.
func addGearFlags(c *cobra.Command, g *gearFlags, names ...string) {
	g.command = c
	c.Flags().StringVar(&g.file, "job", "", "job file, or the word demo for the built-in one; lengths without a unit are in its unit, else in mm")
	for _, f := range keyFlags {
		if slices.Contains([]string{"teeth", "module", "pitch", "angle", "proportions"}, f.name) || slices.Contains(names, f.name) {
			c.Flags().String(f.name, "", f.usage)
		}
	}
	addJSON(c, &g.json)
}

func addJSON(c *cobra.Command, on *bool) {
	c.Flags().BoolVar(on, "json", false, "print JSON, for scripts")
}

// given says whether the command line has a flag.
func (g *gearFlags) given(name string) bool {
	return g.command != nil && g.command.Flags().Changed(name)
}

// read reads the job with the flags laid over it, or the job of flags alone.
func (g *gearFlags) read() error {
	settings := settingsOf(g.command, keyFlags)
	if g.file != "" {
		j, err := readJob(orDemo(g.file))
		if err == nil {
			j, err = j.With(settings)
		}
		if err == nil {
			g.Job = j.AsMade()
		}
		return err
	}
	if !g.given("teeth") || g.given("module") == g.given("pitch") {
		return fmt.Errorf("say which gear: --job FILE, or --teeth with --module or --pitch")
	}
	if !g.given("angle") {
		settings = append(settings, job.Setting{Key: "gear.pressure_angle", Value: int64(20), From: "--angle"})
	}
	j, err := job.OfSettings(job.MM, settings)
	g.Job = j
	return err
}

// settingsOf turns the flags given on the command line into keys of the job.
func settingsOf(c *cobra.Command, flags []keyFlag) []job.Setting {
	var out []job.Setting
	for _, f := range flags {
		if flag := c.Flags().Lookup(f.name); flag != nil && flag.Changed {
			out = append(out, job.Setting{Key: f.key, Value: settingValue(job.KeyAt(f.key), flag.Value.String()), From: "--" + f.name})
		}
	}
	return out
}

// settingValue is a flag's text as a job file would have it: keys without units
// take bare numbers.
func settingValue(k job.Key, text string) any {
	s := strings.TrimSpace(text)
	if k.Kind == job.Count {
		if n, err := strconv.ParseInt(s, 10, 64); err == nil {
			return n
		}
	}
	if k.Kind == job.Count || k.Kind == job.Number {
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			return v
		}
	}
	return text
}

// need says which value is missing when neither a flag nor the job gives it.
func (g *gearFlags) need(names ...string) error {
	for _, f := range keyFlags {
		if slices.Contains(names, f.name) && g.file == "" && !g.given(f.name) {
			return fmt.Errorf("%s is not known: give --%s, or a job file with --job", f.usage, f.name)
		}
	}
	return nil
}

// noRead refuses a reading that stands where a job file is named.
func noRead(c *cobra.Command, reading string) error {
	return fmt.Errorf("%s: %q is a reading: --read must stand before the first, as --read %s", c.Name(), reading, reading)
}

// readingArgs parts the arguments beside flags into job files and the readings
// that follow those of --read.
func readingArgs(args, readings []string) (files, more []string, err error) {
	for _, text := range readings {
		if !strings.Contains(text, "=") {
			return nil, nil, fmt.Errorf("--read %q: it must be NAME=READING in one, such as slot.depth=6.29 or t01=18.485", text)
		}
	}
	for _, a := range args {
		if strings.Contains(a, "=") && len(readings) > 0 {
			more = append(more, a)
		} else {
			files = append(files, a)
		}
	}
	return files, more, nil
}

// jobArg lets a job file be named without --job too.
func (g *gearFlags) jobArg(c *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
	case strings.Contains(args[len(args)-1], "=") && c.Flags().Lookup("read") != nil:
		return noRead(c, args[len(args)-1])
	case len(args) > 1 || g.file != "":
		return fmt.Errorf("%s takes one job file, not %q too", c.Name(), args[len(args)-1])
	default:
		g.file = args[0]
	}
	return nil
}

// printJSON writes what a script reads.
func printJSON(w io.Writer, data map[string]any) error {
	text, err := answer.JSON(data)
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return err
}
