package figure

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles/geom"
)

// Page sizes in pixels: A4's near neighbour 4:3 for pictures, smaller for the
// frames of a dry run, whose letters are then larger on the page.
const (
	pageWidth, pageHeight   = 1600, 1200
	frameWidth, frameHeight = 960, 720
)

// Figure is one page: a title block and the panels above it.
type Figure struct {
	Name        string   // of the picture's file, without its ending
	Job         string   // title of the job
	Picture     string   // what the picture shows
	Program     string   // file name of the program
	Zero        string   // where X0 Y0 Z0 is
	Scale       string   // empty: "see scale bars"
	Fingerprint string   // of the job
	Units       Unit     // of the axes
	Notes       []string // short sentences, wrapped into the title block
	// Status replaces the title block with plain lines, for frames.
	Status []string
	Panels []*Panel         // in the order they are drawn
	Names  map[Style]string // what styles are called on the page's panels, where they do not say otherwise

	width, height float64 // page in pixels
}

// NewFigure returns an empty page of 1600 by 1200 pixels.
func NewFigure(job, picture string, units Unit) *Figure {
	return &Figure{Job: job, Picture: picture, Units: units, width: pageWidth, height: pageHeight}
}

// NewFrame returns an empty page of 960 by 720 pixels with status lines in
// place of the title block.
func NewFrame(units Unit, status ...string) *Figure {
	return &Figure{Units: units, Status: status, width: frameWidth, height: frameHeight}
}

// Unit is what an axis is labelled in.
type Unit uint8

// The units of axes. Plain is for axes that carry no length.
const (
	Millimetre Unit = iota
	Inch
	Micrometre
	Thou // thousandth of an inch
	Plain
)

// name is the unit as written beside an axis, perMM how many of it are one
// millimetre of world.
func (u Unit) name() string   { return [...]string{"mm", "in", "µm", "0.001 in", ""}[u] }
func (u Unit) PerMM() float64 { return [...]float64{1, 1 / 25.4, 1000, 1000 / 25.4, 1}[u] }

// Box is a share of the drawing area of a page: 0 to 1 from its top left.
type Box struct{ Left, Top, Right, Bottom float64 }

// Whole is the whole drawing area.
func Whole() Box { return Box{0, 0, 1, 1} }

// Beside cuts b by a vertical line; the left part gets the given share.
func (b Box) Beside(share float64) (left, right Box) {
	left, right = b, b
	x := b.Left + (b.Right-b.Left)*share
	left.Right, right.Left = x, x
	return left, right
}

// Stacked cuts b by a horizontal line; the upper part gets the given share.
func (b Box) Stacked(share float64) (top, bottom Box) {
	top, bottom = b, b
	y := b.Top + (b.Bottom-b.Top)*share
	top.Bottom, bottom.Top = y, y
	return top, bottom
}

// Axis is the name and unit along one side of a panel.
type Axis struct {
	Name string // what is counted along it, e.g. radius
	Unit Unit   // of its numbers
}

// Panel is a part of the page with a window on the world.
type Panel struct {
	Caption   string           // over the panel, one line
	Lines     []string         // under the caption, each short enough for one line
	Box       Box              // the panel's share of the drawing area
	Min, Max  geom.Vec         // the window, mm
	Equal     bool             // one scale both ways: the window grows to fill the panel
	Across    Axis             // along the bottom
	Up        Axis             // along the left side; without a name and a unit it has no numbers
	Origin    geom.Vec         // from which the axes count, mm
	Bare      bool             // no axes and no grid
	Items     []*Item          // in the order they are drawn
	Names     map[Style]string // legend texts that replace the page's; "" leaves the style out
	page      *Figure
	NoScale   bool    // no scale bar
	NoLegend  bool    // no legend
	ExtraKeys []Style // legend entries for things drawn later, on frames
}

// Panel adds a panel of equal scale with axes Y and Z.
func (f *Figure) Panel(caption string, box Box) *Panel {
	p := &Panel{Caption: caption, Box: box, Equal: true,
		Across: Axis{"Y", f.Units}, Up: Axis{"Z", f.Units}, Names: map[Style]string{}, page: f}
	f.Panels = append(f.Panels, p)
	return p
}

// Graph adds a panel whose two scales are independent. The window is still in
// millimetres on both axes when the unit is one of length.
func (f *Figure) Graph(caption string, box Box, across, up Axis) *Panel {
	p := f.Panel(caption, box)
	p.Equal, p.NoScale, p.NoLegend = false, true, true
	p.Across, p.Up = across, up
	return p
}

// Axes names the two directions, in the figure's unit.
func (p *Panel) Axes(across, up string) *Panel {
	p.Across.Name, p.Up.Name = across, up
	return p
}

// Window sets the part of the world that must be seen, mm.
func (p *Panel) Window(y0, z0, y1, z1 float64) *Panel {
	p.Min, p.Max = geom.Vec{Y: y0, Z: z0}, geom.Vec{Y: y1, Z: z1}
	return p
}

// Name sets the legend's text for a style; empty leaves the style out.
func (p *Panel) Name(s Style, text string) *Panel {
	p.Names[s] = text
	return p
}

// Kind is what an Item is.
type Kind uint8

// The kinds of items. See the Panel methods of the same names.
const (
	KindRegion Kind = iota
	KindLine
	KindArrow
	KindDim
	KindCross
	KindDot
	KindZero
	KindLabel
	KindBalloon
	KindText
)

var kindNames = [...]string{"region", "line", "arrow", "dim", "cross", "dot", "zero", "label", "balloon", "text"}

// Item is one thing drawn. Which fields count depends on Kind.
type Item struct {
	Kind   Kind         // what is drawn
	Style  Style        // of its line or hatching
	Pieces [][]geom.Vec // region: polygons; line: one polyline; else one piece of points
	Text   string       // on a dimension, label, balloon, text
	Offset float64      // dim: page pixels from the points to the line
	Prefer geom.Vec     // label, balloon: world direction in which to look for room first
}

func (p *Panel) add(it *Item) *Item {
	p.Items = append(p.Items, it)
	return it
}

// Region draws polygons as one body: the outline runs round their union only,
// wherever they touch or overlap. Order and sense of the points do not matter.
func (p *Panel) Region(s Style, pieces [][]geom.Vec) *Item {
	return p.add(&Item{Kind: KindRegion, Style: s, Pieces: pieces})
}

// Polygon draws one polygon.
func (p *Panel) Polygon(s Style, pts ...geom.Vec) *Item {
	return p.Region(s, [][]geom.Vec{pts})
}

// Rect draws the rectangle on two opposite corners.
func (p *Panel) Rect(s Style, a, b geom.Vec) *Item {
	return p.Polygon(s, a, geom.Vec{Y: b.Y, Z: a.Z}, b, geom.Vec{Y: a.Y, Z: b.Z})
}

// Line draws a polyline in the style's ISO 128 line type.
func (p *Panel) Line(s Style, pts ...geom.Vec) *Item {
	return p.add(&Item{Kind: KindLine, Style: s, Pieces: [][]geom.Vec{pts}})
}

// Under fills between a curve and the level z, for graphs.
func (p *Panel) Under(s Style, z float64, pts ...geom.Vec) *Item {
	if len(pts) < 2 {
		return p.Polygon(s)
	}
	ring := append([]geom.Vec{{Y: pts[0].Y, Z: z}}, pts...)
	return p.Polygon(s, append(ring, geom.Vec{Y: pts[len(pts)-1].Y, Z: z})...)
}

// Level draws a line across the whole panel at height z, with a text.
func (p *Panel) Level(s Style, z float64, text string) {
	p.Line(s, geom.Vec{Y: p.Min.Y, Z: z}, geom.Vec{Y: p.Max.Y, Z: z})
	p.Label(geom.Vec{Y: p.Max.Y - (p.Max.Y-p.Min.Y)/8, Z: z}, text).Prefer = geom.Vec{Z: 1}
}

// Arrow draws a line from a to b with a head at b.
func (p *Panel) Arrow(s Style, a, b geom.Vec) *Item {
	return p.add(&Item{Kind: KindArrow, Style: s, Pieces: [][]geom.Vec{{a, b}}})
}

// Dim draws a dimension between a and b. The dimension line lies offset page
// pixels to the left of the way from a to b (right when negative). The text is
// the caller's, for only the caller knows the unit and what the number means.
func (p *Panel) Dim(a, b geom.Vec, offset float64, text string) *Item {
	return p.add(&Item{Kind: KindDim, Style: Thin, Pieces: [][]geom.Vec{{a, b}}, Offset: offset, Text: text})
}

// DimClear draws a dimension of the way along X between two points at the
// height z, over whatever lies between; its extension lines begin at the points.
func (p *Panel) DimClear(a, b geom.Vec, z, offset float64, text string) *Item {
	it := p.Dim(geom.Vec{Y: a.Y, Z: z}, geom.Vec{Y: b.Y, Z: z}, offset, text)
	it.Pieces = append(it.Pieces, []geom.Vec{a, b})
	return it
}

// Cross marks points with small crosses.
func (p *Panel) Cross(s Style, at ...geom.Vec) *Item {
	return p.add(&Item{Kind: KindCross, Style: s, Pieces: [][]geom.Vec{at}})
}

// Dot marks points with small discs.
func (p *Panel) Dot(s Style, at ...geom.Vec) *Item {
	return p.add(&Item{Kind: KindDot, Style: s, Pieces: [][]geom.Vec{at}})
}

// Zero marks the program's zero; where it lies below the panel, an arrow
// points down to it.
func (p *Panel) Zero(at geom.Vec, text string) *Item {
	return p.add(&Item{Kind: KindZero, Style: Edge, Pieces: [][]geom.Vec{{at}}, Text: text})
}

// Label writes text near a point, with a leader when there is no room beside
// it. Labels never cover each other and never leave the panel; one for which
// there is no room at all is left out and named in Drawing.Omitted.
func (p *Panel) Label(at geom.Vec, text string) *Item {
	return p.add(&Item{Kind: KindLabel, Style: Thin, Pieces: [][]geom.Vec{{at}}, Text: text})
}

// Balloon puts a short text in a circle with a leader to the point.
func (p *Panel) Balloon(at geom.Vec, text string) *Item {
	return p.add(&Item{Kind: KindBalloon, Style: Thin, Pieces: [][]geom.Vec{{at}}, Text: text})
}

// Write puts text at a fixed place, its left end on the base line there: for
// tables, where nothing else is drawn.
func (p *Panel) Write(at geom.Vec, text string) *Item {
	return p.add(&Item{Kind: KindText, Style: Thin, Pieces: [][]geom.Vec{{at}}, Text: text})
}

// Toward sets the direction in which a label or balloon first looks for room.
func (it *Item) Toward(d geom.Vec) *Item {
	it.Prefer = d
	return it
}

// Circle draws a circle about a point, r in mm.
func (p *Panel) Circle(s Style, at geom.Vec, r float64) *Item {
	const corners = 72
	ring := make([]geom.Vec, corners)
	for i := range ring {
		ring[i] = at.Add(geom.Polar(r, 2*math.Pi*float64(i)/corners))
	}
	return p.Polygon(s, ring...)
}

// Visible returns the pieces of a region, turned by an angle, that may show in
// the panel: a gear has many more than a window holds.
func (p *Panel) Visible(r geom.Region, angle float64) [][]geom.Vec {
	turn, window := geom.Turn(angle), p.Around()
	var out [][]geom.Vec
	var ring []geom.Vec
	for _, c := range r {
		ring = ring[:0]
		for _, v := range c.Pts {
			ring = append(ring, turn.Apply(v))
		}
		if geom.Bounds(ring).Meets(window) {
			out = append(out, slices.Clone(ring))
		}
	}
	return out
}

// Around is a square about the panel's window, large enough for what it is
// widened to when it is drawn in a box of another shape.
func (p *Panel) Around() geom.Box {
	const widest = 2 // half sides, in longer sides of the window
	size := p.Max.Sub(p.Min)
	mid, far := p.Min.Lerp(p.Max, 0.5), widest*max(size.Y, size.Z)
	return geom.Box{Lo: mid.Sub(geom.Vec{Y: far, Z: far}), Hi: mid.Add(geom.Vec{Y: far, Z: far})}
}

// check finds what could not be drawn, so that drawing itself cannot fail.
func (f *Figure) check() error {
	if f.width == 0 || f.height == 0 {
		return errors.New("figure: made without NewFigure or NewFrame")
	}
	if len(f.Panels) == 0 {
		return fmt.Errorf("figure %q: no panel", f.Picture)
	}
	for _, p := range f.Panels {
		b := p.Box
		if !(b.Left >= 0 && b.Left < b.Right && b.Right <= 1 && b.Top >= 0 && b.Top < b.Bottom && b.Bottom <= 1) {
			return fmt.Errorf("panel %q: box %v is not inside the page", p.Caption, b)
		}
		if !finite(p.Min) || !finite(p.Max) || !(p.Max.Y-p.Min.Y > geom.Eps) || !(p.Max.Z-p.Min.Z > geom.Eps) {
			return fmt.Errorf("panel %q: window from %v to %v has no size", p.Caption, p.Min, p.Max)
		}
		for i, it := range p.Items {
			for _, piece := range it.Pieces {
				for _, v := range piece {
					if !finite(v) {
						return fmt.Errorf("panel %q: item %d (%s) has a point that is not a number", p.Caption, i, kindNames[it.Kind])
					}
				}
			}
		}
	}
	return nil
}

func finite(v geom.Vec) bool {
	return !math.IsNaN(v.Y-v.Y) && !math.IsNaN(v.Z-v.Z)
}
