package gcode

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestPasses: the comment that begins a pass reads back the same, alone and
// where it stands in a program.
func TestPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var text strings.Builder
		var want []PassStart
		line := 1
		for i := range rapid.IntRange(0, 5).Draw(t, "passes") {
			number := rapid.IntRange(1, 9999).Draw(t, "number")
			name := rapid.StringMatching("[a-z0-9][a-z0-9 :,.]{0,20}").Draw(t, "name")
			title := PassTitle(number, name)
			if n, s, ok := ReadPass(title); !ok || n != number || s != name {
				t.Fatalf("%q reads back as %d, %q, %v", title, n, s, ok)
			}
			front := rapid.SampledFrom([]string{"", "N10 ", "G0 Z5\n", "(a remark)\n\n"}).Draw(t, "front")
			text.WriteString(front)
			line += strings.Count(front, "\n")
			want = append(want, PassStart{number, text.Len(), line, title})
			text.WriteString("(" + title + ")\n")
			if line++; i%2 == 0 {
				text.WriteString("(Pass over it)\r\n")
				line++
			}
		}
		if got := PassStarts([]byte(text.String())); !slices.Equal(got, want) {
			t.Fatalf("%q\nbegins %+v\nwant %+v", text.String(), got, want)
		}
	})
	if n, name, ok := ReadPass(CommentLines(PassTitle(7, strings.Repeat("x", 70)), DefaultWidth)[0]); n != 7 || name != "" || !ok {
		t.Errorf("a name that stands in the next comment: pass %d, %q, %v", n, name, ok)
	}
	for _, none := range []string{"", "Pass", "Pass over it", "pass 1: tip", "Pass 1 of 2: tip", "the Pass 1: tip", "Pass -1: tip", "Pass 99999999999999999999: tip"} {
		if n, name, ok := ReadPass(none); ok {
			t.Errorf("%q reads as pass %d, %q", none, n, name)
		}
	}
}

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
