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

// Every length of the bench has the limits of a key of the job file.
func TestBenchLengthsAreKeys(t *testing.T) {
	for _, l := range benchLengths {
		if k := job.KeyAt(l.key); k.Kind != job.Length || k.Name == "" || !(k.High > 0) {
			t.Errorf("--%s stands for %q, which is no limited length", l.name, l.key)
		}
	}
}
