package cli

import (
	"math"
	"strings"
	"testing"

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
	rs, err := parseReadings("0.922 0.921 23.41 mm 0.92", job.Inch)
	// The first three take the next unit of the text, the fourth the last.
	if err != nil || len(rs) != 4 || rs[0].value != 0.922 || rs[3].value != 0.92 {
		t.Errorf("readings with one unit: %v, %v", rs, err)
	}
	if rs, err = parseReadings("0.922 ± 0.001", job.Inch); err != nil || math.Abs(rs[0].value-0.922*25.4) > 1e-12 || math.Abs(rs[0].sigma-0.0254) > 1e-12 {
		t.Errorf("a bare reading in an inch job: %v, %v", rs, err)
	}
}

func TestParseReadings(t *testing.T) {
	for _, c := range []struct {
		text string
		want []reading
	}{
		{"23.41", []reading{{23.41, 0}}},
		{" 23.41 23.40 ", []reading{{23.41, 0}, {23.40, 0}}},
		{"23.41, 23.40; 23.39", []reading{{23.41, 0}, {23.40, 0}, {23.39, 0}}},
		{"7.0 in", []reading{{177.8, 0}}},
		{"0.281\"", []reading{{7.1374, 0}}},
		{"0.5inch", []reading{{12.7, 0}}},
		{"12 thou", []reading{{0.3048, 0}}},
		{"20 um", []reading{{0.02, 0}}},
		{"20µm", []reading{{0.02, 0}}},
		// A unit counts for the numbers before it, the last for those after.
		{"0.922 0.921 in", []reading{{23.4188, 0}, {23.3934, 0}}},
		{"0.922 in 0.921", []reading{{23.4188, 0}, {23.3934, 0}}},
		{"0.922 in 23.4 mm", []reading{{23.4188, 0}, {23.4, 0}}},
		// Uncertainty: in the reading's unit unless it has its own.
		{"23.41 ±0.02", []reading{{23.41, 0.02}}},
		{"23.41±0.02", []reading{{23.41, 0.02}}},
		{"23.41 +/-0.02", []reading{{23.41, 0.02}}},
		{"7.000 in ±0.001", []reading{{177.8, 0.0254}}},
		{"7.000 ±0.001 in", []reading{{177.8, 0.0254}}},
		{"7.000 in ±0.03 mm", []reading{{177.8, 0.03}}},
		{"23.41 23.40 ±0.01", []reading{{23.41, 0.01}, {23.40, 0.01}}},
		{"23.41 ±0.02 23.40 ±0.01", []reading{{23.41, 0.02}, {23.40, 0.01}}},
		{"23.41 ±0.02 23.40", []reading{{23.41, 0.02}, {23.40, 0}}},
		{"-3.42", []reading{{-3.42, 0}}},
		{".5", []reading{{0.5, 0}}},
		{"1e1", []reading{{10, 0}}},
	} {
		got, err := parseReadings(c.text, job.MM)
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%q: %v, %v", c.text, got, err)
			continue
		}
		for i, w := range c.want {
			if math.Abs(got[i].value-w.value) > 1e-9 || math.Abs(got[i].sigma-w.sigma) > 1e-9 {
				t.Errorf("%q: reading %d is %v, want %v", c.text, i, got[i], w)
			}
		}
	}
}

func TestParseReadingsRefuses(t *testing.T) {
	for text, word := range map[string]string{
		"":             "is wanted",
		"in":           "no number before",
		"abc":          "abc",
		"23,41":        ",41", // a decimal comma would read as two sizes
		"23.41 ±":      "is wanted",
		"±0.02":        "between",
		"23.41 ±0":     "positive",
		"23.41 ±-1":    "positive",
		"23.41 ± ±0.1": "between",
		"5 in mm":      "no number before",
		"7 1/2 in":     "/2",
		"1e999":        "not a number",
		"NaN":          "NaN",
	} {
		if got, err := parseReadings(text, job.MM); err == nil || !strings.Contains(err.Error(), word) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, %v; want a line with %q", text, got, err, word)
		}
	}
}

func TestHeadedReadings(t *testing.T) {
	k, rs, err := countedReadings("3: 23.41 23.40", "a number of teeth", job.MM)
	if err != nil || k != 3 || len(rs) != 2 {
		t.Errorf("%d, %v, %v", k, rs, err)
	}
	pin, rs, err := pinnedReadings("0.432 in: 8.6032 in ±0.0005", job.MM)
	if err != nil || math.Abs(pin-10.9728) > 1e-9 || len(rs) != 1 || math.Abs(rs[0].sigma-0.0127) > 1e-9 {
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
	r, err := parseGaugeReading(`tooth.span = 2.1243 in @ 6`, job.MM)
	if err != nil || r.name != "tooth.span" || math.Abs(r.value-53.95722) > 1e-9 || r.with != "6" {
		t.Errorf("%+v, %v", r, err)
	}
	for _, text := range []string{"slot.depth", "slot.depth=", "slot.depth=6 7", "slot.depth=6@"} {
		if _, err := parseGaugeReading(text, job.MM); err == nil {
			t.Errorf("%q is taken for a reading", text)
		}
	}
}

// Conversions: NIST SP 811, appendix B.8 (1 lbf ft = 1.355818 N m, 1 hp =
// 745.6999 W).
func TestQuantityFlag(t *testing.T) {
	for _, c := range []struct {
		text  string
		units []quantityUnit
		want  float64
	}{
		{"60", torqueUnits, 60},
		{"60 N m", torqueUnits, 60},
		{"60Nm", torqueUnits, 60},
		{"10 lbf ft", torqueUnits, 13.55818},
		{"10 lbf in", torqueUnits, 1.129848},
		{"0.25", powerUnits, 250},
		{"250 W", powerUnits, 250},
		{"0.25 kW", powerUnits, 250},
		{"2 hp", powerUnits, 1491.3998},
	} {
		if got, err := quantityFlag("load", c.text, c.units); err != nil || math.Abs(got/c.want-1) > 1e-6 {
			t.Errorf("%q: %g, %v; want %g", c.text, got, err, c.want)
		}
	}
	for _, text := range []string{"", "x", "3 horses", "NaN", "Inf W", "3 in"} {
		if _, err := quantityFlag("power", text, powerUnits); err == nil {
			t.Errorf("%q is taken for a power", text)
		}
	}
}

// FuzzParseReadings: any text is either refused in one line or gives finite
// readings with uncertainties that are not negative.
func FuzzParseReadings(f *testing.F) {
	for _, text := range []string{"23.41 23.40", "7.000 in ±0.03", "0.5\"", "1e308 in", "+/-", "3:", "−3", "5 µm, 6"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		rs, err := parseReadings(text, job.MM)
		if err == nil && len(rs) == 0 {
			t.Fatalf("%q: neither readings nor an error", text)
		}
		for _, r := range rs {
			if err == nil && (math.IsNaN(r.value-r.value) || !(r.sigma >= 0)) {
				t.Fatalf("%q: %v", text, r)
			}
		}
	})
}
