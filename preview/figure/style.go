package figure

import "image/color"

// Style is what a thing is; its colour, line and hatching follow from that.
type Style uint8

// Styles of regions come first, then those meant for lines. Any style draws
// either; a line style used for a region leaves it unfilled.
const (
	Stock     Style = iota // metal as it stands, cut section
	Removed                // metal before the cut that the cut takes away
	Insert                 // the new piece, cut section
	Target                 // the part as it shall be
	Neighbour              // what stands beside the work and must not be touched
	Mate                   // what it runs with
	Cutter                 // fluted part of a cutter
	Shank                  // shank or neck
	Holder                 // holder
	MetalLeft              // metal between the target and what was cut
	MustFile               // metal left that only a file reaches
	Gouge                  // metal cut that should have stayed
	KeepOut                // vice jaws, clamps, chuck: never to be touched
	Band0                  // bands of a quantity that grows, the least first
	Band1
	Band2
	Band3
	Band4
	BandOver      // beyond what is allowed
	Pass          // path at feed
	Rapid         // path at rapid
	ToleranceLine // allowed error
	Curve         // a measured or computed curve
	Edge          // visible outline, ISO 128 wide continuous
	Thin          // auxiliary line, ISO 128 narrow continuous
	Hidden        // hidden outline, ISO 128 dashed
	Centre        // centre line, ISO 128 long-dash dot
	Alternative   // other position of a moving part, ISO 128 long-dash double-dot
	styleCount
)

// lineType is an ISO 128-20 line type.
type lineType uint8

const (
	continuous    lineType = iota // 01
	dashed                        // 02
	longDashDot                   // 04
	longDashTwice                 // 05
)

// Line widths in page pixels. A page 1600 wide prints 277 mm wide on A4 with
// 10 mm margins, so these come out near 0.35 and 0.7 mm (ISO 128-20, line
// group 0.7).
const (
	narrow = 2.0
	wide   = 4.0
)

// hatching is the set of 45 degree directions in which thin lines are drawn.
// Adjacent parts of a section differ in direction (ISO 128-50).
type hatching uint8

const (
	hatchUp   hatching = 1 << iota // rising to the right
	hatchDown                      // falling to the right
)

// hatchStep is the distance between hatching lines in page pixels.
const hatchStep = 16.0

// look is how a style is drawn. A fill with zero alpha means no fill.
type look struct {
	name  string
	fill  color.RGBA
	line  color.RGBA
	kind  lineType
	width float64
	hatch hatching
}

func rgb(v uint32) color.RGBA {
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// The paper and the inks of the page, with their CIE lightness.
const (
	paperRGB = 0xfcfbf6 // L* 99
	inkRGB   = 0x1c1e22 // L* 11
	mutedRGB = 0x555a61 // L* 38: small captions, axis numbers
	gridRGB  = 0xe6e5de // L* 91
	panelRGB = 0xffffff // L* 100: ground of a panel
)

// lookOf gives the look of each style. Fills that may lie side by side differ
// by lightness (given as L*) or by hatching, so that they stay apart in grey
// print and to colour-blind eyes; style_test.go holds that.
func lookOf(s Style) look {
	const none = 0
	fill := func(name string, f, l uint32, h hatching) look {
		return look{name, rgb(f), rgb(l), continuous, narrow, h}
	}
	line := func(name string, l uint32, k lineType, w float64) look {
		return look{name, color.RGBA{}, rgb(l), k, w, none}
	}
	switch s {
	case Stock:
		return fill("stock", 0xd9cfba, 0x4a4030, hatchUp) // L* 83
	case Removed:
		// ISO 128-20 has line 05 for outlines before forming.
		return look{"comes off", rgb(0xdcdcd6), rgb(0x4a4030), longDashTwice, narrow, none} // L* 88
	case Insert:
		return fill("insert", 0xf2dc9a, 0x5c4508, hatchDown) // L* 88
	case Target:
		return fill("finished", 0xdff0fb, 0x0a4a80, none) // L* 94
	case Neighbour:
		return fill("stays", 0xb0bab6, 0x2c3a36, hatchUp) // L* 75
	case Mate:
		return fill("mate", 0xcabbd6, 0x4a3560, hatchDown) // L* 78
	case Cutter:
		return fill("cutter", 0x84a1ba, 0x1d3346, none) // L* 65
	case Shank:
		return fill("shank", 0x6d8496, 0x1d3346, none) // L* 54
	case Holder:
		return fill("holder", 0x47525e, 0x14191e, none) // L* 34
	case MetalLeft:
		return fill("metal left", 0xf0a232, 0x7a4300, none) // L* 73
	case MustFile:
		return fill("file this", 0xc0451c, 0x5a1600, none) // L* 46
	case Gouge:
		return fill("cut too deep", 0x5e0030, 0x2a0014, none) // L* 18
	case KeepOut:
		return fill("keep out", 0x9a7fb4, 0x35204c, hatchUp|hatchDown) // L* 57
	case Band0:
		return fill("band 0", 0xf7f7f1, 0x6d6d66, none) // L* 97
	case Band1:
		return fill("band 1", 0xe2dfb4, 0x6d6a3c, none) // L* 88
	case Band2:
		return fill("band 2", 0x8fc29b, 0x2c5a38, none) // L* 74
	case Band3:
		return fill("band 3", 0x1699ab, 0x00434c, none) // L* 58
	case Band4:
		return fill("band 4", 0x00639c, 0x002c48, none) // L* 40
	case BandOver:
		return fill("beyond", 0x70161a, 0x2a0406, hatchUp) // L* 24
	case Pass:
		return line("cut", 0x0058a8, continuous, narrow+1) // L* 37
	case Rapid:
		return line("rapid", 0x00806a, dashed, narrow) // L* 48
	case ToleranceLine:
		return line("tolerance", 0x96206e, longDashDot, narrow+1) // L* 35
	case Curve:
		return line("curve", 0x0a4a80, continuous, wide) // L* 31
	case Edge:
		return line("outline", inkRGB, continuous, wide)
	case Hidden:
		return line("hidden", inkRGB, dashed, narrow)
	case Centre:
		return line("centre line", inkRGB, longDashDot, narrow)
	case Alternative:
		return line("other position", inkRGB, longDashTwice, narrow)
	default:
		return line("thin line", inkRGB, continuous, narrow)
	}
}

// dashes returns the pattern of a line type for a line of the given width:
// dashes 12 and long dashes 24 widths, gaps 3, dots drawn as one width because
// the half width of ISO 128-20 table 5 does not show on a screen.
func (k lineType) dashes(width float64) []float64 {
	w := width
	switch k {
	case dashed:
		return []float64{12 * w, 3 * w}
	case longDashDot:
		return []float64{24 * w, 3 * w, w, 3 * w}
	case longDashTwice:
		return []float64{24 * w, 3 * w, w, 3 * w, w, 3 * w}
	}
	return nil
}

// Type sizes in page pixels. 22 pixels of 1600 are 3.8 mm on A4: the least
// that a person standing at a machine reads without stooping.
const (
	sizeSmall   = 22.0 // axis numbers, legend, field names
	sizeText    = 24.0 // labels, notes, field values
	sizeCaption = 28.0 // panel captions
	sizeTitle   = 32.0 // job title
)

// SmallestLetters is the size of the smallest letters on a page, as a share of
// its height: what they measure where it is printed at a given height.
const SmallestLetters = sizeSmall / pageHeight

// Spaces in page pixels.
const (
	pageMargin = 14.0 // paper edge to border
	panelGap   = 16.0 // around each panel
	textPad    = 5.0  // around a label
	tickLength = 8.0
	arrowSize  = 17.0
)
