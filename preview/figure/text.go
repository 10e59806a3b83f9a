package figure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cogmend/profiles/geom"
)

// textPoints is the longest polyline whose points are all listed; longer ones
// are told by count, bounds and size, which is what a reader of a golden file
// can judge.
const textPoints = 8

// Text lists the figure, one item a line, with numbers to a thousandth of a
// millimetre. It is the same for the same figure on every machine.
func (f *Figure) Text() string {
	var b strings.Builder
	field := func(name, v string) {
		if v != "" {
			fmt.Fprintf(&b, "%s: %s\n", name, v)
		}
	}
	field("name", f.Name)
	field("job", f.Job)
	field("picture", f.Picture)
	field("program", f.Program)
	field("zero", f.Zero)
	field("scale", f.Scale)
	field("units", f.Units.name())
	field("fingerprint", f.Fingerprint)
	for _, n := range f.Notes {
		field("note", n)
	}
	for _, s := range f.Status {
		field("status", s)
	}
	for _, p := range f.Panels {
		p.text(&b)
	}
	return b.String()
}

func (p *Panel) text(b *strings.Builder) {
	aspect := "free"
	if p.Equal {
		aspect = "equal"
	}
	fmt.Fprintf(b, "panel: %s\n  box %s %s %s %s, window %s to %s, %s\n", p.Caption,
		num(p.Box.Left), num(p.Box.Top), num(p.Box.Right), num(p.Box.Bottom), point(p.Min), point(p.Max), aspect)
	fmt.Fprintf(b, "  across %s, up %s", p.Across.title(), p.Up.title())
	if p.Origin != (geom.Vec{}) {
		fmt.Fprintf(b, ", from %s", point(p.Origin))
	}
	b.WriteByte('\n')
	for _, s := range p.Lines {
		fmt.Fprintf(b, "  line %s\n", s)
	}
	for _, s := range p.legend() {
		fmt.Fprintf(b, "  legend %s: %s\n", lookOf(s).name, p.legendText(s))
	}
	for _, it := range p.Items {
		b.WriteString("  " + it.text() + "\n")
	}
}

func (it *Item) text() string {
	s := kindNames[it.Kind]
	switch it.Kind {
	case KindRegion:
		s += " " + lookOf(it.Style).name + " " + regionText(it.Pieces)
	case KindLine:
		s += " " + lookOf(it.Style).name + " " + lineText(it.Pieces[0])
	case KindArrow, KindCross, KindDot:
		s += " " + lookOf(it.Style).name + " " + points(it.Pieces[0])
	default:
		s += " " + points(it.Pieces[0])
	}
	if it.Kind == KindDim {
		if len(it.Pieces) > 1 {
			s += " over " + points(it.Pieces[1])
		}
		s += " offset " + num(it.Offset)
	}
	if it.Prefer != (geom.Vec{}) {
		s += " toward " + point(it.Prefer)
	}
	if it.Text != "" {
		s += " " + strconv.Quote(it.Text)
	}
	return s
}

func regionText(pieces [][]geom.Vec) string {
	n, area := 0, 0.0
	var all []geom.Vec
	for _, p := range pieces {
		n += len(p)
		area += math.Abs(geom.Area(p))
		all = append(all, p...)
	}
	if len(pieces) == 1 && n <= textPoints {
		return points(pieces[0])
	}
	if n == 0 {
		return "empty"
	}
	box := geom.Bounds(all)
	return fmt.Sprintf("%d pieces, %d points, area %s, %s to %s", len(pieces), n, num(area), point(box.Lo), point(box.Hi))
}

func lineText(pts []geom.Vec) string {
	if len(pts) <= textPoints {
		return points(pts)
	}
	length := 0.0
	for i := 1; i < len(pts); i++ {
		length += pts[i].Sub(pts[i-1]).Norm()
	}
	box := geom.Bounds(pts)
	return fmt.Sprintf("%d points, length %s, %s to %s", len(pts), num(length), point(box.Lo), point(box.Hi))
}

func points(pts []geom.Vec) string {
	if len(pts) == 0 {
		return "empty"
	}
	s := make([]string, len(pts))
	for i, v := range pts {
		s[i] = point(v)
	}
	return strings.Join(s, " ")
}

func point(v geom.Vec) string { return "(" + num(v.Y) + " " + num(v.Z) + ")" }

// num writes v to three decimals without trailing zeros or a minus zero.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// title is the name of an axis with its unit.
func (a Axis) title() string {
	switch {
	case a.Unit.name() == "":
		return a.Name
	case a.Name == "":
		return a.Unit.name()
	}
	return a.Name + ", " + a.Unit.name()
}

// legend returns the styles that need a key, in the order of their first use.
func (p *Panel) legend() []Style {
	if p.NoLegend {
		return nil
	}
	var keys []Style
	add := func(s Style) {
		if !slices.Contains(keys, s) && p.legendText(s) != "" {
			keys = append(keys, s)
		}
	}
	for _, it := range p.Items {
		switch it.Kind {
		case KindRegion, KindLine, KindArrow:
			add(it.Style)
		case KindCross, KindDot:
			// Marks need a key only where they were given a name.
			if _, named := p.Names[it.Style]; named && len(it.Pieces[0]) > 0 {
				add(it.Style)
			}
		}
	}
	for _, s := range p.ExtraKeys {
		add(s)
	}
	return keys
}

// legendText is what the legend says of a style. Plain drawing lines need no
// key unless they are given a name.
func (p *Panel) legendText(s Style) string {
	if t, ok := p.Names[s]; ok {
		return t
	}
	if p.page != nil {
		if t, ok := p.page.Names[s]; ok {
			return t
		}
	}
	switch s {
	case Edge, Thin, Hidden, Centre, Curve:
		return ""
	}
	return lookOf(s).name
}

// sign is a minus before a number or an axis.
var sign = regexp.MustCompile(`(^|[\s(])-(\w)`)

// PrintedSigns gives a text for the control the minus of print, which no line
// breaks after.
func PrintedSigns(text string) string { return sign.ReplaceAllString(text, "${1}−${2}") }

// Number writes v with the sign of print, and no minus on nothing.
func Number(v float64, decimals int) string {
	if math.Abs(v) < 0.5*math.Pow10(-decimals) {
		v = 0
	}
	return strings.Replace(strconv.FormatFloat(v, 'f', decimals, 64), "-", "−", 1)
}
