package cli

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// A gear named by flags has the proportions that a job with the same pitch and
// angle has when it names none.
func TestProportionsOfFlags(t *testing.T) {
	for _, c := range []struct {
		module, pitch, degrees float64
		want                   string
	}{
		{3, 0, 20, "iso-a"}, {3, 0, 14.5, "iso-a"}, {0, 8, 20, "full-depth"}, {0, 8, 14.5, "old-full-depth"},
		{0, 20, 20, "fine-pitch"}, {0, 24, 14.5, "fine-pitch"},
	} {
		number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
		args := []string{"gauge", "--json", "--teeth", "40", "--angle", number(c.degrees), "--module", number(c.module)}
		if c.pitch > 0 {
			args = append(args[:len(args)-2], "--pitch", number(c.pitch))
		}
		code, stdout, stderr := command(args...)
		var got struct {
			Gear struct {
				Proportions string
				Addendum    float64 `json:"addendum_modules"`
				Dedendum    float64 `json:"dedendum_modules"`
			}
		}
		if err := json.Unmarshal([]byte(stdout), &got); code != exitOK || err != nil {
			t.Fatalf("%v: code %d, %v: %s", args, code, err, stderr)
		}
		start := job.Start{Teeth: 40, Module: c.module, DiametralPitch: c.pitch, Pressure: geom.Radians(c.degrees), Face: 20}
		text, err := job.Starter(start)
		if err != nil {
			t.Fatalf("%+v: %v", start, err)
		}
		j, err := job.Decode("same", text, nil)
		if err != nil {
			t.Fatal(err)
		}
		if g := got.Gear; g.Proportions != c.want || g.Proportions != j.Gear.Rack.Name || g.Addendum != j.Gear.Rack.Addendum || g.Dedendum != j.Gear.Rack.Dedendum {
			t.Errorf("%s: %+v, a job has %+v; want %s", strings.Join(args, " "), g, j.Gear.Rack, c.want)
		}
	}
}

// Every flag of the gear stands for a key, and no two for one.
func TestGearFlagsAreKeys(t *testing.T) {
	seen := map[string]string{}
	for _, f := range keyFlags {
		if k := job.KeyAt(f.key); k.Name == "" || seen[f.key] != "" {
			t.Errorf("--%s stands for %q, which is no key or --%s's", f.name, f.key, seen[f.key])
		}
		seen[f.key] = f.name
	}
}

// A value that a job file may not have is refused as a flag too, with the same
// words, over a file and without one; the flag is named.
func TestFlagsAreCheckedAsKeys(t *testing.T) {
	gear := []string{"--teeth", "54", "--pitch", "8", "--angle", "14.5"}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"gauge", "demo", "--mouth", "20"}, "cogmend: --mouth: slot.mouth: 20 mm is not narrower than insert.body 8.4 mm"},
		{append([]string{"gauge", "--mouth", "20", "--slot-depth", "6", "--body", "8.4"}, gear...), "cogmend: --mouth: slot.mouth: "},
		{[]string{"gauge", "demo", "--mouth", "-1"}, "cogmend: --mouth: slot.mouth: "},
		{[]string{"gauge", "demo", "--body", "20 mm"}, "cogmend: --body: insert.body: 20 mm is wider than the gap"},
		{[]string{"gauge", "demo", "--slot-depth", "9"}, "cogmend: --slot-depth: slot.depth: "},
		{[]string{"fit", "demo", "--lead", "20"}, "cogmend: --lead: fit.lead: 20 mm at each end leaves no tight middle"},
		{[]string{"fit", "demo", "--tight", "7 inch"}, "cogmend: --tight: fit.tight_middle: \"7 inch\" is too large; allowed 0 to 0.3 mm"},
		{[]string{"mesh", "demo", "--centre", "200"}, "cogmend: --centre: mate.centre_distance: 200 mm does not suit"},
		{[]string{"mesh", "demo", "--thinning", "2"}, "cogmend: --thinning: gear.thinning: 2 mm of a tooth"},
		{append([]string{"touch", "--thinning", "2"}, gear...), "cogmend: --thinning: gear.thinning: 2 mm of a tooth"},
		{[]string{"load", "demo", "--power", "3 horses"}, "cogmend: --power: load.power: \"3 horses\" has no unit that is known"},
		{[]string{"touch", "--teeth", "many", "--module", "3"}, "cogmend: --teeth: gear.teeth: \"many\" is text; a whole number is wanted"},
		{[]string{"touch", "--teeth", "20", "--module", "3", "--angle", "40 deg"}, "cogmend: --angle: gear.pressure_angle: \"40 deg\" is too large"},
		{[]string{"gauge", "demo", "--facets", "2", "--tolerance", "0.02"}, "facets.tolerance and facets.count are both given"},
	} {
		code, stdout, stderr := command(c.args...)
		first, _, _ := strings.Cut(stderr, "\n")
		if code != exitUsage || stdout != "" || !strings.Contains(first, c.want) {
			t.Errorf("%v: code %d, printed %d bytes, %s want %s", c.args, code, len(stdout), stderr, c.want)
		}
	}
	// The same value is taken alike from the file and from the flag.
	for _, args := range [][]string{
		{"gauge", "demo", "--mouth", "3/16 in"}, {"gauge", "demo", "--mouth", "4.7625"}, {"gauge", "demo", "--mouth", "0.1875 inch"}, {"gauge", "demo", "--mouth", `0.1875"`},
	} {
		code, stdout, stderr := command(args...)
		if code != exitOK || !strings.Contains(stdout, "0.1867 to 0.1875") {
			t.Errorf("%v: code %d: %s%s", args, code, stdout, stderr)
		}
	}
}
