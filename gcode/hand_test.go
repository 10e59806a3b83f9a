package gcode

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestOrders: what is written reads back the same, with more words after it
// where a comment goes on.
func TestOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Order{Kind: OrderKind(rapid.IntRange(int(GearAt), int(OfJob)).Draw(t, "kind"))}
		tail := rapid.SampledFrom([]string{"", " and more words", ", clockwise"}).Draw(t, "tail")
		switch o.Kind {
		case GearAt:
			o.Angle, tail = float64(rapid.IntRange(-3600000, 3600000).Draw(t, "angle"))/1e4, ""
		case OfJob:
			o.Job, tail = rapid.StringMatching("[0-9a-f]{12}").Draw(t, "job"), ""
		default:
			o.Number = rapid.IntRange(0, 99999).Draw(t, "number")
		}
		got, err := ReadOrder(o.String() + tail)
		if err != nil || got.Kind != o.Kind || got.Number != o.Number || got.Job != o.Job || math.Abs(got.Angle-o.Angle) > 1e-9 {
			t.Fatalf("%q reads back as %+v: %v", o.String()+tail, got, err)
		}
	})
	for _, none := range []string{"", "a remark", "gear at 1.0000 DEG", "GEAR AT x DEG", "Touch off"} {
		if o, err := ReadOrder(none); err != nil || o.Kind != NoOrder {
			t.Errorf("%q reads as %+v: %v", none, o, err)
		}
	}
	if _, err := ReadOrder("Put in T99999999999999999999"); err == nil {
		t.Error("a number beyond any tool is read")
	}
}
