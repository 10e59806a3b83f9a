package job

import (
	"math"
	"strings"
	"testing"
)

// Every length a person can write is read alike from a file and from a reading.
func TestOneParser(t *testing.T) {
	for _, text := range []string{"3/16 in", "1 1/4 in", "1-1/4 inch", "7 inch", `7 "`, `7"`, "5 um", "5 µm", "12 thou", "2.5", "-3 mm", "1e-2 in"} {
		for _, units := range []Units{MM, Inch} {
			one, err := ParseQuantity(Length, text, units)
			r, errR := ParseReading(text, units)
			file, _, errF := valueOf(Length, text, units)
			if err != nil || errR != nil || errF != nil || one != r.Value || one != file {
				t.Errorf("%q: quantity %g %v, reading %g %v, file %g %v", text, one, err, r.Value, errR, file, errF)
			}
		}
	}
}

// A number without a unit takes the next unit of the text, the last number the
// last unit; without any, the file's.
func TestBareReadings(t *testing.T) {
	rs, err := ParseReadings("0.922 0.921 23.41 mm 0.92", Inch)
	// The first three take the next unit of the text, the fourth the last.
	if err != nil || len(rs) != 4 || rs[0].Value != 0.922 || rs[3].Value != 0.92 {
		t.Errorf("readings with one unit: %v, %v", rs, err)
	}
	if rs, err = ParseReadings("0.922 ± 0.001", Inch); err != nil || math.Abs(rs[0].Value-0.922*25.4) > 1e-12 || math.Abs(rs[0].Sigma-0.0254) > 1e-12 {
		t.Errorf("a bare reading in an inch job: %v, %v", rs, err)
	}
}

func TestParseReadings(t *testing.T) {
	for _, c := range []struct {
		text string
		want []Reading
	}{
		{"23.41", []Reading{{23.41, 0}}},
		{" 23.41 23.40 ", []Reading{{23.41, 0}, {23.40, 0}}},
		{"23.41, 23.40; 23.39", []Reading{{23.41, 0}, {23.40, 0}, {23.39, 0}}},
		{"7.0 in", []Reading{{177.8, 0}}},
		{"0.281\"", []Reading{{7.1374, 0}}},
		{"0.5inch", []Reading{{12.7, 0}}},
		{"12 thou", []Reading{{0.3048, 0}}},
		{"20 um", []Reading{{0.02, 0}}},
		{"20µm", []Reading{{0.02, 0}}},
		// A unit counts for the numbers before it, the last for those after.
		{"0.922 0.921 in", []Reading{{23.4188, 0}, {23.3934, 0}}},
		{"0.922 in 0.921", []Reading{{23.4188, 0}, {23.3934, 0}}},
		{"0.922 in 23.4 mm", []Reading{{23.4188, 0}, {23.4, 0}}},
		// Uncertainty: in the reading's unit unless it has its own.
		{"23.41 ±0.02", []Reading{{23.41, 0.02}}},
		{"23.41±0.02", []Reading{{23.41, 0.02}}},
		{"23.41 +/-0.02", []Reading{{23.41, 0.02}}},
		{"7.000 in ±0.001", []Reading{{177.8, 0.0254}}},
		{"7.000 ±0.001 in", []Reading{{177.8, 0.0254}}},
		{"7.000 in ±0.03 mm", []Reading{{177.8, 0.03}}},
		{"23.41 23.40 ±0.01", []Reading{{23.41, 0.01}, {23.40, 0.01}}},
		{"23.41 ±0.02 23.40 ±0.01", []Reading{{23.41, 0.02}, {23.40, 0.01}}},
		{"23.41 ±0.02 23.40", []Reading{{23.41, 0.02}, {23.40, 0}}},
		{"-3.42", []Reading{{-3.42, 0}}},
		{".5", []Reading{{0.5, 0}}},
		{"1e1", []Reading{{10, 0}}},
		{"7 1/2 in", []Reading{{190.5, 0}}},
		{"7 1/2 7 5/8 in", []Reading{{190.5, 0}, {193.675, 0}}},
		{"3/16 in", []Reading{{4.7625, 0}}},
		{"7\"", []Reading{{177.8, 0}}},
		{"7 inch ±5 thou", []Reading{{177.8, 0.127}}},
	} {
		got, err := ParseReadings(c.text, MM)
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%q: %v, %v", c.text, got, err)
			continue
		}
		for i, w := range c.want {
			if math.Abs(got[i].Value-w.Value) > 1e-9 || math.Abs(got[i].Sigma-w.Sigma) > 1e-9 {
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
		"23,41":        "decimals have a point", // a decimal comma would read as two sizes
		"23.41 ±":      "is wanted",
		"±0.02":        "between",
		"23.41 ±0":     "positive",
		"23.41 ±-1":    "positive",
		"23.41 ± ±0.1": "between",
		"5 in mm":      "no number before",
		"7 1/2":        "inches",
		"1/0 in":       "no fraction",
		"1e999":        "too large a number",
		"NaN":          "NaN",
	} {
		if got, err := ParseReadings(text, MM); err == nil || !strings.Contains(err.Error(), word) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, %v; want a line with %q", text, got, err, word)
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
		rs, err := ParseReadings(text, MM)
		if err == nil && len(rs) == 0 {
			t.Fatalf("%q: neither readings nor an error", text)
		}
		for _, r := range rs {
			if err == nil && (math.IsNaN(r.Value-r.Value) || !(r.Sigma >= 0)) {
				t.Fatalf("%q: %v", text, r)
			}
		}
	})
}
