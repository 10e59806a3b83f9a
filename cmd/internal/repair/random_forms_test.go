package repair

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"pgregory.net/rapid"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// involuteLines are the lines of a random gear that only an involute has.
var involuteLines = regexp.MustCompile(`(?m)^(pressure_angle|profile_shift) = .*\n`)

// otherForm gives one job in four teeth of another form. It is drawn last: the
// other jobs stay what they were.
func (w *jobWriter) otherForm(text string) string {
	if !w.chance("other form", 4) {
		return text
	}
	gear, readings := "", ""
	if w.chance("copied", 2) {
		gear, readings = w.copied()
	} else {
		gear = w.cycloidal()
	}
	text = involuteLines.ReplaceAllString(text, "")
	return strings.Replace(text, "[gear]\n", "[gear]\n"+gear, 1) + readings
}

// copied draws a worn tooth, and readings of it that are a little off.
func (w *jobWriter) copied() (gear, readings string) {
	rack, _ := profiles.RackByName("full-depth")
	g := profiles.Gear{Teeth: w.teeth, Module: w.module, Pressure: geom.Radians(20), Rack: rack, Thinning: w.num("worn", 0, 0.05, 0.01) * w.module}
	if w.teeth < 20 {
		g.Shift = 0.3
	}
	root, err := g.Root()
	if err != nil {
		return w.cycloidal(), ""
	}
	hollow := w.num("worn beside the pitch", 0, 0.04, 0.01) * w.module
	rb, zero := g.BaseRadius(), g.BaseHalfAngle()
	from, to := root.FormRoll-zero, g.Roll(g.TipRadius())-zero
	r := realTooth{teeth: w.teeth, tip: g.TipRadius(), from: from, to: to,
		plane: func(a float64) float64 { return rb*(a+zero) - hollow*math.Sin(math.Pi*(a-from)/(to-from)) },
		slope: func(a float64) float64 { return rb - hollow*math.Pi/(to-from)*math.Cos(math.Pi*(a-from)/(to-from)) }}
	r.toTip()
	var b strings.Builder
	gear = fmt.Sprintf("form = \"copied\"\noutside_diameter = \"%.4f mm\"\ndepth = \"%.4f mm\"\nfillet_radius = \"%.3f mm\"\n", 2*g.TipRadius(), g.WholeDepth(), 0.3*w.module)
	n := rapid.IntRange(4, 16).Draw(w.t, "readings")
	off := func() float64 { return 0.01 * w.num("off", -1, 1, 0.1) }
	fmt.Fprintf(&b, "[copy]\n")
	vernier := w.chance("vernier", 3)
	if !vernier {
		fmt.Fprintf(&b, "pin = \"6 mm\"\n")
		if w.chance("apart", 4) {
			fmt.Fprintf(&b, "flanks = \"apart\"\n")
			n *= 2
		}
	}
	for i := range n {
		lean := r.from + (r.to-r.from)*(0.02+0.95*float64(i)/float64(n-1))
		if vernier {
			p := r.point(lean)
			fmt.Fprintf(&b, "[vernier.v%d]\nheight = \"%.4f mm\"\nchord = \"%.4f mm\"\n", i, g.TipRadius()-p.Z, 2*p.Y+off())
			continue
		}
		side, tooth := float64(1-2*(i%2)), 1+max(0, math.Round(lean/g.Pitch()-w.first))
		if at := int(side * tooth); w.apart > 0 && (at == w.apart || at == w.apart-w.teeth) {
			tooth++
		}
		fmt.Fprintf(&b, "[touch.t%d]\ntooth = %g\nangle = %.6f\ny = \"%.4f mm\"\n", i, side*tooth, geom.Degrees(side*(lean-(tooth-1+w.first)*g.Pitch())), side*(r.plane(lean)+3+off()))
	}
	return gear, b.String()
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
