package sheet

import (
	"math"
	"strings"

	"cogmend/profiles/geom"
	"cogmend/toolpath"
)

// gauging draws how the readings after a program are taken.
func (s *sheet) gauging(after toolpath.Purpose) []sketch {
	switch after {
	case toolpath.SlotProgram:
		if m, ok := s.measure("slot.between_pins"); ok && m.Pin > 0 {
			return []sketch{s.slotPins(m.Pin)}
		}
	case toolpath.FitProgram:
		if m, ok := s.measure("insert.over_pins_tight"); ok && m.Pin > 0 {
			return []sketch{s.insertPins(m.Pin)}
		}
	case toolpath.FacetsProgram:
		return s.toothGauging()
	}
	return nil
}

// measure finds a measure by its name.
func (s *sheet) measure(name string) (Measure, bool) {
	for _, m := range s.Measures {
		if m.Name == name {
			return m, true
		}
	}
	return Measure{}, false
}

// inCorner is how far from a dovetail's corner a pin's middle lies when it
// touches the flat and the flank, which enclose a right angle less the flank's
// lean: r / tan of half of it.
func (s *sheet) inCorner(pin float64) float64 {
	return pin / 2 / math.Tan((math.Pi/2-s.job.Slot.HalfAngle)/2)
}

// slotPins shows two pins on the floor of the slot.
func (s *sheet) slotPins(pin float64) sketch {
	d := s.Plan.Sizes
	deep := d.Seat - d.Floor
	v := sketchOf("Slot, between two pins on its floor", setupWide, 170, geom.Vec{Y: -1.7 * d.FloorHalf, Z: d.Floor - 0.35*deep}, geom.Vec{Y: 1.7 * d.FloorHalf, Z: d.Seat + 0.35*deep})
	v.Alt = "Two pins lie on the floor of the slot, each against a flank; the width between them is read."
	half := []geom.Vec{{Y: d.FloorHalf, Z: d.Floor}, {Y: d.MouthHalf, Z: d.Seat}, {Y: d.PocketHalf, Z: d.Seat}, {Y: v.right() + 1, Z: d.Seat}, {Y: v.right() + 1, Z: v.lo.Z - 1}}
	v.shape("metal", geom.BothSides(half)...)
	y := d.FloorHalf - s.inCorner(pin)
	for _, side := range []float64{1, -1} {
		v.circle("steel", geom.Vec{Y: side * y, Z: d.Floor + pin/2}, pin/2)
	}
	in := y - pin/2
	v.across(geom.Vec{Y: -in, Z: d.Floor + pin/2}, geom.Vec{Y: in, Z: d.Floor + pin/2}, d.Seat+0.1*deep, "read")
	v.note(geom.Vec{Y: y + 0.3*pin, Z: d.Floor + pin/2}, v.W-8, 60, "end", "pins "+s.size(pin).Main)
	return v.sketch
}

// insertPins shows two pins on the shoulders of the insert.
func (s *sheet) insertPins(pin float64) sketch {
	d, deep := s.Plan.Sizes, s.job.Slot.Depth
	neck := s.Plan.SlideWidth(max(1, s.job.Fit.Step)) / 2
	y := neck + s.inCorner(pin)
	v := sketchOf("Insert, over two pins on its shoulders", setupWide, 170, geom.Vec{Y: -1.5 * (y + pin), Z: -1.5 * deep}, geom.Vec{Y: 1.5 * (y + pin), Z: 0.55 * deep})
	v.Alt = "Two pins lie on the shoulders of the insert, each against a flank of the dovetail; the width over them is read."
	v.shape("insert", geom.BothSides([]geom.Vec{{Y: neck + deep*d.Slope}, {Y: neck, Z: -deep}, {Y: d.BodyHalf, Z: -deep}, {Y: d.BodyHalf, Z: v.lo.Z - 1}})...)
	for _, side := range []float64{1, -1} {
		v.circle("steel", geom.Vec{Y: side * y, Z: -deep + pin/2}, pin/2)
	}
	out := y + pin/2
	v.across(geom.Vec{Y: -out, Z: -deep + pin/2}, geom.Vec{Y: out, Z: -deep + pin/2}, 0.2*deep, "read: tight in the middle, sliding at the ends")
	v.note(geom.Vec{Y: y, Z: -deep + 0.3*pin}, v.W-8, v.H-12, "end", "pins "+s.size(pin).Main)
	return v.sketch
}

// toothGauging shows the tooth vernier and the span's anvil on the faceted
// tooth.
func (s *sheet) toothGauging() []sketch {
	outline := s.Plan.True.Outline
	m, ok := s.measure("tooth.chord_facet")
	if !ok {
		m, ok = s.measure("tooth.chord")
	}
	if len(outline) < 3 || !ok || len(s.Plan.Flanks.Right.Rolls) == 0 {
		return nil
	}
	d, g := s.Plan.Sizes, s.Plan.True.Gear
	high := d.TipTop - d.Seat
	window := func(title string) *view {
		v := sketchOf(title, setupWide, 190, geom.Vec{Y: -1.25 * high, Z: d.Seat - 0.02*high}, geom.Vec{Y: 1.25 * high, Z: d.TipTop + 0.42*high})
		v.shape("insert", outline...)
		return v
	}
	vernier := window("Tooth vernier: jaws where a facet touches")
	vernier.Alt = "The height slide rests on the tip; the jaws' edges touch both flanks at the set height."
	half := m.Nominal / 2
	z := d.TipTop
	for i := 1; i < len(outline); i++ {
		a, b := outline[i-1], outline[i]
		if (a.Y-half)*(b.Y-half) <= 0 && a.Y != b.Y && max(a.Y, b.Y) > 0 {
			z = a.Lerp(b, (half-a.Y)/(b.Y-a.Y)).Z
			break
		}
	}
	wide := 0.16 * high
	for _, side := range []float64{1, -1} {
		vernier.shape("steel", geom.Vec{Y: side * half, Z: z}, geom.Vec{Y: side * (half + wide), Z: z}, geom.Vec{Y: side * (half + wide), Z: d.TipTop + 0.25*high}, geom.Vec{Y: side * (half + 0.5*wide), Z: d.TipTop + 0.25*high}, geom.Vec{Y: side * (half + 0.5*wide), Z: z + 0.3*wide})
	}
	vernier.rect("steel", -0.35*half, d.TipTop, 0.35*half, d.TipTop+0.3*high)
	vernier.across(geom.Vec{Y: -half, Z: z}, geom.Vec{Y: half, Z: z}, z-0.28*high, s.size(m.Nominal).Main)
	vernier.upright(geom.Vec{Y: half + wide, Z: z}, geom.Vec{Z: d.TipTop}, half+3.2*wide, 1, "height")
	out := []sketch{vernier.sketch}
	if g.Form != nil { // its sheet has no span
		return out
	}
	rolls := s.Plan.Flanks.Right.Rolls
	roll := rolls[len(rolls)/2]
	sup, lean := g.SupportAt(roll), roll-g.BaseHalfAngle()
	back := geom.Turn(-lean)
	span := window("Span: the anvil flat on a facet")
	span.Alt = "The flat of the anvil lies along one facet of the new tooth, not over a joint."
	place := func(y, up float64) geom.Vec { return back.Apply(geom.Vec{Y: sup.H + y, Z: sup.Slope + up}) }
	span.shape("steel", place(0, -0.3*high), place(0.35*high, -0.3*high), place(0.35*high, 0.5*high), place(0, 0.5*high))
	touch := place(0, 0)
	span.note(touch, 8, 24, "start", "flat on it, not rocked")
	if n, ok := s.measure("tooth.span"); ok {
		teeth := strings.TrimPrefix(n.What, "span over ")
		span.corner(true, strings.SplitN(teeth, ",", 2)[0])
	}
	return append(out, span.sketch)
}
