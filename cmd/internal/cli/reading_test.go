package cli

import (
	"math"
	"testing"

	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// TestBareLengths: a number without a unit is in the job's.
func TestBareLengths(t *testing.T) {
	for _, c := range []struct {
		text     string
		mm, inch float64
	}{
		{"0.5", 0.5, 12.7}, {"0.5 mm", 0.5, 0.5}, {"0.5in", 12.7, 12.7}, {"-2", -2, -50.8}, {"3 thou", 0.0762, 0.0762}, {"50 um", 0.05, 0.05}, {`0.25"`, 6.35, 6.35},
	} {
		for units, want := range map[job.Units]float64{job.MM: c.mm, job.Inch: c.inch} {
			if got, err := lengthFlag("depth", c.text, units); err != nil || math.Abs(got-want) > 1e-12 {
				t.Errorf("--depth %q in unit %d: %g mm, %v; want %g", c.text, units, got, err, want)
			}
		}
	}
}

func TestHeadedReadings(t *testing.T) {
	k, rs, err := countedReadings("3: 23.41 23.40", "a number of teeth", job.MM)
	if err != nil || k != 3 || len(rs) != 2 {
		t.Errorf("%d, %v, %v", k, rs, err)
	}
	pin, rs, err := pinnedReadings("0.432 in: 8.6032 in ±0.0005", job.MM)
	if err != nil || math.Abs(pin-10.9728) > 1e-9 || len(rs) != 1 || math.Abs(rs[0].Sigma-0.0127) > 1e-9 {
		t.Errorf("%g, %v, %v", pin, rs, err)
	}
	for _, text := range []string{"23.41", ": 23.41", "three: 23.41", "3:", "3.5: 23.41"} {
		if _, _, err := countedReadings(text, "a number of teeth", job.MM); err == nil {
			t.Errorf("%q is taken for a span", text)
		}
	}
	for _, text := range []string{"178.2", ": 178.2", "big: 178.2", "5:", "5 6: 178.2"} {
		if _, _, err := pinnedReadings(text, job.MM); err == nil {
			t.Errorf("%q is taken for a size over pins", text)
		}
	}
}

func TestGaugeReading(t *testing.T) {
	s := &measure.Sheet{Joint: []measure.GaugeItem{{Key: "slot.depth"}, {Key: "slot.between_pins"}}}
	r, err := parseSheetReading(`tooth.span = 2.1243 in @ 6`, s, job.MM)
	if err != nil || r.Name != "tooth.span" || math.Abs(r.Value-53.95722) > 1e-9 || r.Teeth != 6 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err = parseSheetReading(`slot.between_pins=0.238@3/16 in`, s, job.MM); err != nil || math.Abs(r.Pin-4.7625) > 1e-9 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err = parseSheetReading(`tooth.chord=4.92@3.21`, s, job.MM); err != nil || r.Height != 3.21 {
		t.Errorf("%+v, %v", r, err)
	}
	for _, text := range []string{"slot.depth", "slot.depth=", "slot.depth=6 7", "slot.depth=6@", "slot.depth=6@3", "old.span=44@0", "old.span=44@x", "tooth.chord=5@-1", "tooth.over_pins=5@0"} {
		if r, err := parseSheetReading(text, s, job.MM); err == nil {
			t.Errorf("%q is taken for a reading: %+v", text, r)
		}
	}
}
