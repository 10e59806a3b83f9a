package profiles

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"cogmend/profiles/geom"
	"cogmend/profiles/internal/published"
)

func TestDovetailTable(t *testing.T) {
	for _, r := range published.Table(t, "dovetail.csv") {
		b := geom.Radians(90 - r.Num("alpha"))
		switch r.Fields["quantity"] {
		case "factor":
			d := DovetailSize{10, 10, b}
			over, err := d.OverPins(1)
			if err != nil {
				t.Fatal(err)
			}
			r.Near(over-10, r.Num("value"), 5e-7)
		case "floor":
			d := DovetailSize{r.Num("neck"), r.Num("depth"), b}
			r.Near(d.Floor(), r.Num("value"), 5e-5)
		default:
			t.Errorf("unknown quantity in %v", r.Fields)
		}
	}
}

// pinAtCorner finds by bisection how far from the corner the middle of a pin
// lies that rests on the floor and touches the flank: no formula of the
// handbook in it.
func pinAtCorner(pin, alpha float64) float64 {
	// Corner at the origin, floor along +Y, flank rising at alpha from it.
	flank := geom.Vec{Y: math.Cos(alpha), Z: math.Sin(alpha)}
	lo, hi := 0.0, 100*pin
	for range 200 {
		mid := (lo + hi) / 2
		if math.Abs(flank.Cross(geom.Vec{Y: mid, Z: pin / 2})) < pin/2 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func anyDovetail(t *rapid.T) (DovetailSize, float64) {
	d := DovetailSize{
		Mouth:     rapid.Float64Range(2, 40).Draw(t, "mouth"),
		Depth:     rapid.Float64Range(1, 15).Draw(t, "depth"),
		HalfAngle: geom.Radians(rapid.Float64Range(3, 45).Draw(t, "half")),
	}
	pin := rapid.Float64Range(0.2, 1).Draw(t, "pin") * 2 * d.Depth / (1 + math.Sin(d.HalfAngle))
	return d, pin * (1 - 1e-12)
}

func TestDovetailPinsByGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, pin := anyDovetail(t)
		at := pinAtCorner(pin, math.Pi/2-d.HalfAngle)
		over, err := d.OverPins(pin)
		if err != nil {
			t.Fatal(err)
		}
		// Male: the corners are the narrow width apart, pins outside.
		if want := d.Mouth + 2*at + pin; math.Abs(over-want) > 1e-9 {
			t.Fatalf("over pins %.9f, by geometry %.9f", over, want)
		}
		want := d.Floor() - 2*at - pin
		between, err := d.BetweenPins(pin)
		if want < 0 {
			if err == nil {
				t.Fatalf("no room for the pins (%.3f), no error", want)
			}
			return
		}
		if err != nil || math.Abs(between-want) > 1e-9 {
			t.Fatalf("between pins %.9f, by geometry %.9f, %v", between, want, err)
		}
		back, err1 := d.MouthOver(over, pin)
		back2, err2 := d.MouthBetween(between, pin)
		if err1 != nil || err2 != nil || math.Abs(back-d.Mouth) > 1e-9 || math.Abs(back2-d.Mouth) > 1e-9 {
			t.Fatalf("mouth %.9f comes back as %.9f and %.9f", d.Mouth, back, back2)
		}
	})
}

// Two traps of the trade: pins laid at the wide flat of the male part, and the
// cosecant form, which is for a V groove.
func TestDovetailTraps(t *testing.T) {
	d := DovetailSize{20, 4, geom.Radians(30)}
	over, err := d.OverPins(3)
	if err != nil {
		t.Fatal(err)
	}
	if wrong := d.Floor() + 3*d.pinFactor(); math.Abs(over-wrong) < 1 {
		t.Error("pins taken from the wide flat")
	}
	if wrong := d.Mouth + 3*(1+1/math.Sin(geom.Radians(30))); math.Abs(over-wrong) < 0.5 {
		t.Error("the cosecant form of a V groove")
	}
	// D (1 + cos 60) / 2 <= 4: up to 5.333.
	if _, err := d.OverPins(5.34); err == nil {
		t.Error("a pin beyond the flank was accepted")
	}
	if _, err := d.BetweenPins(5.33); err != nil {
		t.Errorf("a pin just on the flank was refused: %v", err)
	}
	if _, err := d.OverPins(math.NaN()); err == nil {
		t.Error("a pin of no size was accepted")
	}
}

func TestBestPin(t *testing.T) {
	d := DovetailSize{5.5, 6, geom.Radians(10)}
	for _, inchSizes := range []bool{false, true} {
		pin, ok := d.BestPin(StockPins(inchSizes))
		if !ok {
			t.Fatal("no pin")
		}
		if c := d.PinContact(pin) / d.Depth; c < 0.25 || c > 0.8 {
			t.Errorf("pin %.3f touches at %.2f of the flank", pin, c)
		}
		if _, err := d.BetweenPins(pin); err != nil {
			t.Error(err)
		}
	}
	if pin, ok := (DovetailSize{1, 0.5, 0.1}).BestPin([]float64{3, 6}); ok {
		t.Errorf("pin %g for a slot too small for any", pin)
	}
}

func TestDovetailValidate(t *testing.T) {
	if err := (DovetailSize{5, 5, 0.13}).Validate(); err != nil {
		t.Error(err)
	}
	for _, bad := range []DovetailSize{{}, {5, 0, 0.1}, {5, 5, 0}, {5, 5, 1}, {math.NaN(), 5, 0.1}} {
		if bad.Validate() == nil {
			t.Errorf("no error for %+v", bad)
		}
	}
}
