package figure

import (
	"image/color"
	"math"
	"testing"
)

// linear undoes the transfer curve of sRGB (IEC 61966-2-1).
func linear(v uint8) float64 {
	c := float64(v) / 255
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(c color.RGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// lightness is CIE L* (ISO/CIE 11664-4) for a white of luminance 1.
func lightness(c color.RGBA) float64 { return 116*labCurve(luminance(c)) - 16 }

func labCurve(t float64) float64 {
	const d = 6.0 / 29
	if t > d*d*d {
		return math.Cbrt(t)
	}
	return t/(3*d*d) + 4.0/29
}

// contrast is the contrast ratio of WCAG 2.2.
func contrast(a, b color.RGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// band says that a style is one of the bands, which lie beside one another and
// beside hatched parts only.
func band(s Style) bool { return s >= Band0 && s <= BandOver }

func fills() []Style {
	var out []Style
	for s := range styleCount {
		if lookOf(s).fill.A != 0 {
			out = append(out, s)
		}
	}
	return out
}

// TestTextContrast: letters on paper, panel and title block reach the 4.5 to 1
// of WCAG 2.2, 1.4.3 (level AA).
func TestTextContrast(t *testing.T) {
	for _, ground := range []uint32{paperRGB, panelRGB, gridRGB} {
		for _, ink := range []uint32{inkRGB, mutedRGB} {
			if c := contrast(rgb(ground), rgb(ink)); c < 4.5 {
				t.Errorf("%06x on %06x: contrast %.2f", ink, ground, c)
			}
		}
	}
}

// TestLineContrast: lines reach the 3 to 1 of WCAG 2.2, 1.4.11 on the panel,
// and the outline of every fill on the panel.
func TestLineContrast(t *testing.T) {
	for s := range styleCount {
		if c := contrast(lookOf(s).line, rgb(panelRGB)); c < 3 {
			t.Errorf("%s: line contrast %.2f", lookOf(s).name, c)
		}
	}
}

// greyApart is the least difference of L* that two areas need to be told apart
// in grey print. No standard gives it; a step of 4 shows on a laser print.
const greyApart = 4

func TestFillsApartInGrey(t *testing.T) {
	all := fills()
	for i, a := range all {
		for _, b := range all[:i] {
			ka, kb := lookOf(a), lookOf(b)
			if d := math.Abs(lightness(ka.fill) - lightness(kb.fill)); d < greyApart && ka.hatch == kb.hatch && band(a) == band(b) {
				t.Errorf("%s (L* %.0f) and %s (L* %.0f) are alike in grey", ka.name, lightness(ka.fill), kb.name, lightness(kb.fill))
			}
		}
	}
}

// TestBandsGrowDarker: each band is darker than the one before by a step that
// shows in grey print, so that the scale reads without colour.
func TestBandsGrowDarker(t *testing.T) {
	for s := Band1; s <= BandOver; s++ {
		if d := lightness(lookOf(s-1).fill) - lightness(lookOf(s).fill); d < 2*greyApart {
			t.Errorf("%s is only %.1f darker than %s", lookOf(s).name, d, lookOf(s-1).name)
		}
	}
}

// The two matrices turn linear sRGB into what a person without the long or
// middle wave cones sees: Machado, Oliveira and Fernandes, IEEE TVCG 15(6),
// 2009, severity 1.0; the numbers are given from memory.
var deficiencies = map[string][3][3]float64{
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
}

// lab is CIE L*a*b* of linear sRGB for the white D65.
func lab(r, g, b float64) [3]float64 {
	x := labCurve((0.4124*r + 0.3576*g + 0.1805*b) / 0.9505)
	y := labCurve(0.2126*r + 0.7152*g + 0.0722*b)
	z := labCurve((0.0193*r + 0.1192*g + 0.9505*b) / 1.0891)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

func TestColoursApartForColourBlind(t *testing.T) {
	// The rows of each matrix sum to one: white stays white. It guards the
	// numbers, which are not copied from the paper.
	for name, m := range deficiencies {
		for _, row := range m {
			if s := row[0] + row[1] + row[2]; math.Abs(s-1) > 2e-6 {
				t.Errorf("%s: a row sums to %g", name, s)
			}
		}
		see := func(c color.RGBA) [3]float64 {
			in := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
			var out [3]float64
			for i, row := range m {
				out[i] = min(1, max(0, row[0]*in[0]+row[1]*in[1]+row[2]*in[2]))
			}
			return lab(out[0], out[1], out[2])
		}
		apart := func(a, b Style, ca, cb color.RGBA) {
			p, q := see(ca), see(cb)
			d := math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
			// Ten is several times the just visible difference.
			if d < 10 {
				t.Errorf("%s: %s and %s are %.1f apart", name, lookOf(a).name, lookOf(b).name, d)
			}
		}
		all := fills()
		for i, a := range all {
			for _, b := range all[:i] {
				if lookOf(a).hatch == lookOf(b).hatch && band(a) == band(b) {
					apart(a, b, lookOf(a).fill, lookOf(b).fill)
				}
			}
		}
		// Lines of one type must differ by colour.
		for _, pair := range [][2]Style{{Pass, Edge}, {Rapid, Hidden}, {ToleranceLine, Centre}, {Pass, Rapid}, {Pass, ToleranceLine}} {
			apart(pair[0], pair[1], lookOf(pair[0]).line, lookOf(pair[1]).line)
		}
	}
}

// TestPaletteKeepsFlatColours: the 256 colours hold every flat colour exactly.
func TestPaletteKeepsFlatColours(t *testing.T) {
	p := thePalette()
	if len(p.colors) > 256 {
		t.Fatalf("%d colours", len(p.colors))
	}
	for _, c := range flatColors() {
		got := p.colors[p.at(c.R, c.G, c.B)].(color.RGBA)
		if got != c {
			// Two flat colours within one cell of the table would do this.
			t.Errorf("%v comes out as %v", c, got)
		}
	}
}
