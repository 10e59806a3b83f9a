package repair

import (
	"fmt"
	"regexp"
	"strings"

	"pgregory.net/rapid"
)

// involuteLines are the lines of a random gear that only an involute has.
var involuteLines = regexp.MustCompile(`(?m)^(pressure_angle|profile_shift) = .*\n`)

// otherForm gives one job in four teeth of another form. It is drawn last: the
// other jobs stay what they were.
func (w *jobWriter) otherForm(text string) string {
	if !w.chance("other form", 4) {
		return text
	}
	text = involuteLines.ReplaceAllString(text, "")
	return strings.Replace(text, "[gear]\n", "[gear]\n"+w.cycloidal(), 1)
}

// cycloidal draws the lines of a cycloidal gear.
func (w *jobWriter) cycloidal() string {
	m := w.module
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("form = \"cycloidal\"")
	if w.chance("circles", 3) {
		line("addendum_circle = \"%g mm\"\ndedendum_circle = \"%g mm\"", tidy(m*w.num("circle over", 4, 9, 0.5)), tidy(m*w.num("circle under", 4, 9, 0.5)))
	} else {
		line("set = %d", rapid.SampledFrom([]int{12, 15, 12, 15, 10}).Draw(w.t, "set"))
	}
	if w.chance("measured depth", 2) {
		line("depth = \"%g mm\"\nfillet_radius = \"%g mm\"", tidy(m*w.num("depth", 1.9, 2.4, 0.05)), tidy(m*w.num("fillet", 0, 0.4, 0.05)))
	}
	return b.String()
}
