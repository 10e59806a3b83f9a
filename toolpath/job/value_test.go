package job

import (
	"math"
	"strings"
	"testing"
)

func TestMeasure(t *testing.T) {
	for _, c := range []struct {
		kind  Kind
		in    any
		units Units
		want  float64
	}{
		// The inch is 25.4 mm, the pound force 4.4482216 N, one horsepower
		// 745.69987 W (NIST SP 811, appendix B.8).
		{Length, int64(5), MM, 5},
		{Length, int64(5), Inch, 127},
		{Length, "5 mm", Inch, 5},
		{Length, "5mm", MM, 5},
		{Length, "0.25 in", MM, 6.35},
		{Length, "3/16 in", MM, 4.7625},
		{Length, "1 1/4 in", MM, 31.75},
		{Length, "2.5 um", MM, 0.0025},
		{Length, "2.5 µm", MM, 0.0025}, // micro sign
		{Length, "2.5 μm", MM, 0.0025}, // Greek mu
		{Length, "2 thou", MM, 0.0508},
		{Length, "7 inch", MM, 177.8},
		{Length, `7 "`, MM, 177.8},
		{Length, "7″", MM, 177.8},
		{Length, "1-1/4 in", MM, 31.75},
		{Length, "-1 1/4 in", MM, -31.75},
		{Length, "3/16", Inch, 4.7625},
		{Length, "5", MM, 5},
		{Length, "5", Inch, 127},
		{Angle, "20 min", MM, math.Pi / 540}, // minutes of arc
		{Angle, "14 deg 30 min", MM, 14.5 * math.Pi / 180},
		{Angle, "14° 30′", MM, 14.5 * math.Pi / 180},
		{Angle, "-0 deg 30 min", MM, 0.5 * math.Pi / 180},
		{Length, " -1.5e1 mm ", MM, -15},
		{Length, "0.333333333333333333333333333333 mm", MM, 1. / 3},
		{Module, 2.5, Inch, 2.5},
		{Module, "0.1 in", Inch, 2.54},
		{Angle, int64(180), Inch, math.Pi},
		{Angle, "15 deg", MM, math.Pi / 12},
		{Angle, "0.5 rad", MM, 0.5},
		{Feed, "12 in/min", MM, 304.8},
		{Feed, int64(12), Inch, 304.8},
		{Spindle, "800 rpm", MM, 800},
		{Torque, "1 lbf ft", MM, 1.3558179483314},
		{Torque, "12 lbf in", MM, 1.3558179483314},
		{Power, "1 hp", MM, 0.74569987158},
		{Power, "250 W", MM, 0.25},
		{Rate, int64(90), MM, math.Pi / 2},
		{Duration, "2 min", MM, 120},
		{Acceleration, int64(10), Inch, 254},
	} {
		got, _, err := valueOf(c.kind, c.in, c.units)
		if err != nil || math.Abs(got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%v in %v: got %v, %v; want %v", c.in, c.units, got, err, c.want)
		}
	}
}

func TestMeasureRefuses(t *testing.T) {
	for _, in := range []any{
		"", " ", "mm", "3/16", "5 m", "5 min", "5 in/min", "5 MM", "five mm", "5,5 mm", "0x10 mm", "1_0 mm", "inf mm", "nan mm", "1e999 mm",
		"1e400 in", "--5 mm", "5 5 mm", "1/0 in", "1.5/2 in", "1 5/4 in", "1 1 1/4 in", "/ in", "5 mm mm", "5 deg", "٥ mm",
		math.NaN(), math.Inf(1), true, nil, []any{}, map[string]any{}, strings.Repeat("9", 500) + " mm", strings.Repeat("0 ", 50000) + "1/2 in",
	} {
		if got, _, err := valueOf(Length, in, MM); err == nil {
			t.Errorf("%.60v was read as %v", in, got)
		} else if len(err.Error()) > 300 {
			t.Errorf("%.60v: message of %d letters", in, len(err.Error()))
		}
	}
}

// Minutes of arc follow whole degrees, and there are fewer than 60 of them.
func TestDegreesAndMinutesRefuses(t *testing.T) {
	for _, text := range []string{"14.5 deg 30 min", "14 deg 60 min", "14 deg 30", "14 deg 30 deg", "14 deg -3 min", "14 deg min", "14 deg 30 min 5 min"} {
		if got, err := ParseQuantity(Angle, text, MM); err == nil {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

func TestShow(t *testing.T) {
	for _, c := range []struct {
		kind  Kind
		v     float64
		units Units
		want  string
	}{
		{Length, 0.8, MM, "0.8 mm"},
		{Length, 25.4, Inch, "1 in"},
		{Length, 100, MM, "100 mm"},
		{Length, 1e-7, MM, "1e-07 mm"},
		{Length, 1e300, MM, "1e+300 mm"},
		{Angle, math.Pi / 12, MM, "15 deg"},
		{Feed, 254, Inch, "10 in/min"},
		{Number, 1.25, MM, "1.25"},
	} {
		if got := show(c.kind, c.v, c.units); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
