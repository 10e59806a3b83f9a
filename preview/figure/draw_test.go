package figure

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"cogmend/profiles/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func TestFigureText(t *testing.T) {
	for name, f := range demoFigures() {
		checkGolden(t, "figure_"+name, f.Text())
	}
}

// checkGolden compares a text with testdata/golden/figures, or rewrites that.
func checkGolden(t *testing.T, name, got string) {
	t.Run(name, func(t *testing.T) {
		path := filepath.Join("..", "..", "testdata", "golden", "figures", name+".txt")
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		g, w := strings.Split(got, "\n"), strings.Split(strings.ReplaceAll(string(want), "\r\n", "\n"), "\n")
		for i := range max(len(g), len(w)) {
			if i >= len(g) || i >= len(w) || g[i] != w[i] {
				t.Fatalf("line %d differs\n got %q\nwant %q", i+1, at(g, i), at(w, i))
			}
		}
	})
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(end)"
}

func TestNum(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{0, "0"}, {-0.0001, "0"}, {1.5, "1.5"}, {100, "100"}, {-2.0006, "-2.001"}} {
		if got := num(c.v); got != c.want {
			t.Errorf("num(%g) = %q, want %q", c.v, got, c.want)
		}
	}
}

// near tells whether a pixel is the colour within what the palette changes.
func near(a color.Color, b color.RGBA) bool {
	r, g, bl, _ := a.RGBA()
	d := func(x uint32, y uint8) bool { return math.Abs(float64(x>>8)-float64(y)) <= 6 }
	return d(r, b.R) && d(g, b.G) && d(bl, b.B)
}

func decode(t *testing.T, b []byte) image.Image {
	t.Helper()
	im, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return im
}

func TestFigurePNG(t *testing.T) {
	for name, f := range demoFigures() {
		for _, scale := range []float64{0.5, 1, 1.25} {
			d, err := f.Draw(scale)
			if err != nil {
				t.Fatal(name, err)
			}
			if len(d.Omitted) > 0 {
				t.Errorf("%s at %g: no room for %q", name, scale, d.Omitted)
			}
			b, err := d.PNG()
			if err != nil {
				t.Fatal(name, err)
			}
			im := decode(t, b)
			if got, want := im.Bounds().Size(), image.Pt(int(1600*scale), int(1200*scale)); got != want {
				t.Errorf("%s: size %v, want %v", name, got, want)
			}
			if c := im.At(int(4*scale), int(4*scale)); !near(c, rgb(paperRGB)) {
				t.Errorf("%s at %g: the margin is %v, not paper", name, scale, c)
			}
		}
	}
}

// TestSampledPixels draws one shape on a bare panel, where a millimetre's place
// can be worked out by hand, and looks at the middle, the edge and outside.
func TestSampledPixels(t *testing.T) {
	f := NewFigure("job", "sample", Millimetre)
	p := f.Panel("", Whole()).Window(0, 0, 10, 10)
	p.Bare, p.NoScale, p.NoLegend, p.Equal = true, true, true, false
	// Two overlapping squares and one that runs the other way round.
	p.Region(Cutter, [][]geom.Vec{
		{v(2, 2), v(5, 2), v(5, 8), v(2, 8)},
		{v(4, 8), v(6, 8), v(6, 2), v(4, 2)},
		{v(6, 2), v(8, 2), v(8, 8), v(6, 8)},
	})
	d, layouts, err := f.draw(1)
	if err != nil {
		t.Fatal(err)
	}
	fr := layouts[0].frame
	pixel := func(q geom.Vec) color.Color {
		return d.Image.At(int(fr.x0+q.Y/10*fr.w()), int(fr.y0+(1-q.Z/10)*fr.h()))
	}
	fill := lookOf(Cutter).fill
	for _, q := range []geom.Vec{v(3, 5), v(4, 5), v(4.5, 5), v(5, 5), v(6, 5), v(7, 3), v(7.9, 7.9)} {
		if c := pixel(q); !near(c, fill) {
			t.Errorf("at %v inside the union: %v, want %v without a seam", q, c, fill)
		}
	}
	for _, q := range []geom.Vec{v(1, 5), v(9, 5), v(5, 1), v(5, 9)} {
		if c := pixel(q); !near(c, rgb(panelRGB)) {
			t.Errorf("at %v outside: %v, want the panel's ground", q, c)
		}
	}
	edge := 1.2 / fr.w() * 10
	if c := pixel(v(2-edge, 5)); !near(c, lookOf(Cutter).line) {
		t.Errorf("outline: %v, want %v", c, lookOf(Cutter).line)
	}
}

func TestDrawRefuses(t *testing.T) {
	nan := math.NaN()
	good := func() *Figure {
		f := NewFigure("j", "p", Millimetre)
		f.Panel("a", Whole()).Window(0, 0, 1, 1)
		return f
	}
	for _, c := range []struct {
		name, want string
		make       func() (*Figure, float64)
	}{
		{"no panel", "no panel", func() (*Figure, float64) { return NewFigure("j", "p", Millimetre), 1 }},
		{"zero value", "without NewFigure", func() (*Figure, float64) { return &Figure{}, 1 }},
		{"scale", "outside 0.1 to 4", func() (*Figure, float64) { return good(), nan }},
		{"window", "has no size", func() (*Figure, float64) { f := good(); f.Panels[0].Window(1, 0, 1, 2); return f, 1 }},
		{"infinite window", "has no size", func() (*Figure, float64) { f := good(); f.Panels[0].Window(0, 0, math.Inf(1), 2); return f, 1 }},
		{"box", "not inside the page", func() (*Figure, float64) { f := good(); f.Panels[0].Box.Right = 1.5; return f, 1 }},
		{"point", "not a number", func() (*Figure, float64) { f := good(); f.Panels[0].Line(Edge, v(0, 0), v(nan, 1)); return f, 1 }},
	} {
		f, scale := c.make()
		if _, err := f.Draw(scale); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q in it", c.name, err, c.want)
		}
	}
}

// TestOddShapes draws what a careless caller may hand over; it must not panic.
func TestOddShapes(t *testing.T) {
	f := NewFigure("", "", Inch)
	p := f.Panel("", Whole()).Window(-1, -1, 1, 1)
	p.Region(Stock, nil)
	p.Region(Stock, [][]geom.Vec{nil, {v(0, 0)}, {v(0, 0), v(1, 1)}, {v(0, 0), v(0, 0), v(0, 0)}})
	p.Rect(Holder, v(-1e9, -1e9), v(1e9, 0))
	p.Line(Rapid)
	p.Line(Rapid, v(0, 0))
	p.Line(Centre, v(-1e7, 0), v(1e7, 0.1))
	p.Arrow(Pass, v(0, 0), v(0, 0))
	p.Arrow(Pass, v(0, 0), v(1e8, 0))
	p.Dim(v(0, 0), v(0, 0), 20, "0")
	p.Dim(v(-1e8, 0), v(1e8, 0), 20, "far")
	p.Cross(Edge)
	p.Zero(v(1e9, 1e9), "off the page")
	p.Label(v(5e8, 0), "off the page")
	p.Label(v(0, 0), strings.Repeat("long ", 400))
	p.Balloon(v(0, 0), "12")
	p.Under(MetalLeft, 0)
	d, err := f.Draw(1)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Omitted) < 3 {
		t.Errorf("omitted %d labels, want those off the page and the endless one named", len(d.Omitted))
	}
	if f.Text() == "" {
		t.Error("no text")
	}
}

// TestLabelsKeepApart crowds a panel and checks that texts stay inside it and
// off each other.
func TestLabelsKeepApart(t *testing.T) {
	f := NewFigure("j", "p", Millimetre)
	p := f.Panel("crowd", Whole()).Window(0, 0, 10, 10)
	for i := range 24 {
		at := v(4.5+float64(i%5)*0.2, 4.5+float64(i/5)*0.2)
		p.Cross(Edge, at)
		p.Label(at, "point of some length")
		p.Balloon(at, "7")
	}
	p.Dim(v(4, 4), v(6, 4), -30, "2.00 mm")
	d, layouts, err := f.draw(1)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Omitted) != 0 {
		t.Errorf("omitted %q, though the panel has room", d.Omitted)
	}
	l := layouts[0]
	if len(l.taken) < 49 {
		t.Fatalf("%d texts placed, want 49 and the dimension line", len(l.taken))
	}
	page := rect{0, 0, l.frame.w(), l.frame.h()}
	for i, a := range l.taken {
		if !a.within(page) {
			t.Errorf("text %d at %v leaves the panel %v", i, a, page)
		}
		for j, b := range l.taken[:i] {
			// Each is kept 3 pixels larger than its letters.
			if a.inset(3).overlaps(b.inset(3)) {
				t.Errorf("texts %d and %d overlap: %v, %v", i, j, a, b)
			}
		}
	}
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		unit   Unit
		most   float64
		want   string
	}{
		{0, 10, Millimetre, 5, "0 2 4 6 8 10"},
		{-0.3, 0.3, Millimetre, 6, "−0.3 −0.2 −0.1 0 0.1 0.2 0.3"},
		{0, 0.02, Micrometre, 2, "0 10 20"},
		{0, 25.4, Inch, 5, "0 0.2 0.4 0.6 0.8 1.0"},
		{81.2, 89.9, Millimetre, 4, "85"},
	} {
		var got []string
		for _, tk := range ticks(c.lo, c.hi, c.unit, c.most) {
			got = append(got, tk.text)
			if tk.at < c.lo-1e-6 || tk.at > c.hi+1e-6 {
				t.Errorf("step %s at %g is outside %g to %g", tk.text, tk.at, c.lo, c.hi)
			}
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("ticks(%g, %g): %s, want %s", c.lo, c.hi, s, c.want)
		}
	}
}

func TestOutline(t *testing.T) {
	left, right := rect{0, 0, 10, 10}.ring(), rect{10, 0, 20, 10}.ring()
	lines := outline([][]xy{left, right})
	total := 0.0
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			total += l[i].minus(l[i-1]).length()
			if l[i].x == 10 && l[i-1].x == 10 {
				t.Error("the shared edge is drawn")
			}
		}
	}
	if total != 60 {
		t.Errorf("outline is %g long, want 60", total)
	}
	if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
		t.Errorf("%d lines, want one closed one", len(lines))
	}
}

// TestCutShort: a title that does not fit is shortened and said to be.
func TestCutShort(t *testing.T) {
	f := NewFigure(strings.Repeat("a long job ", 20), "p", Millimetre)
	f.Panel("c", Whole()).Window(0, 0, 1, 1)
	d, err := f.Draw(1)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Omitted) != 1 || d.Omitted[0] != f.Job {
		t.Errorf("omitted %q, want the job's title", d.Omitted)
	}
}

func TestHatchLines(t *testing.T) {
	// Two squares that touch hatch as the one they make.
	left, right := rect{0, 0, 100, 100}.ring(), rect{100, 0, 200, 100}.ring()
	one := hatchLines([][]xy{rect{0, 0, 200, 100}.ring()}, hatchUp)
	two := hatchLines([][]xy{left, right}, hatchUp)
	if len(one) == 0 || len(one) != len(two) {
		t.Fatalf("%d lines in one piece, %d in two", len(one), len(two))
	}
	for i := range one {
		if d := one[i][1].minus(two[i][1]).length(); d > 1e-9 {
			t.Errorf("line %d ends %g apart", i, d)
		}
		if dx, dy := one[i][1].x-one[i][0].x, one[i][1].y-one[i][0].y; math.Abs(dx+dy) > 1e-9 {
			t.Errorf("line %d does not rise at 45 degrees: %g, %g", i, dx, dy)
		}
	}
	// The total length is the area over the step.
	total := 0.0
	for _, l := range one {
		total += l[1].minus(l[0]).length()
	}
	if want := 200 * 100 / hatchStep; math.Abs(total-want) > 0.05*want {
		t.Errorf("hatching is %g long, want about %g", total, want)
	}
}

func TestBackdropAndReel(t *testing.T) {
	f := NewFrame(Millimetre, "line", "block")
	f.Panel("Section", Whole()).Window(-10, 70, 10, 90).Rect(Stock, v(-8, 70), v(8, 85))
	f.Panels[0].ExtraKeys = []Style{Cutter}
	s, err := NewBackdrop(f, 1)
	if err != nil {
		t.Fatal(err)
	}
	var reel Reel
	var frames []*image.Paletted
	for i := range 4 {
		g := s.Next()
		g.Status = []string{"line 7" + string(rune('0'+i)), "G1 Z80."}
		z := 84 - float64(i)
		g.Panels[0].Rect(Cutter, v(-3, z), v(3, 95))
		im, err := s.Frame(g)
		if err != nil {
			t.Fatal(err)
		}
		frames = append(frames, im)
		reel.Add(im, 100*time.Millisecond)
		reel.Add(im, 100*time.Millisecond) // a still frame only lengthens
	}
	if f.Panels[0].Items[0].Style != Stock || len(f.Panels[0].Items) != 1 {
		t.Error("drawing frames changed the backdrop's figure")
	}
	var b bytes.Buffer
	if err := reel.Encode(&b); err != nil {
		t.Fatal(err)
	}
	g, err := gif.DecodeAll(&b)
	if err != nil {
		t.Fatal(err)
	}
	if g.Config.Width != 960 || g.Config.Height != 720 || len(g.Image) != 4 || g.Delay[0] != 20 {
		t.Errorf("gif is %d by %d, %d frames, first for %d", g.Config.Width, g.Config.Height, len(g.Image), g.Delay[0])
	}
	// Laying the kept parts over each other gives the frames again.
	screen := image.NewPaletted(g.Image[0].Rect, g.Image[0].Palette)
	for i, part := range g.Image {
		for y := part.Rect.Min.Y; y < part.Rect.Max.Y; y++ {
			for x := part.Rect.Min.X; x < part.Rect.Max.X; x++ {
				if k := part.ColorIndexAt(x, y); k != clearIndex {
					screen.SetColorIndex(x, y, k)
				}
			}
		}
		if !bytes.Equal(screen.Pix, frames[i].Pix) {
			t.Errorf("frame %d of the gif is not the frame drawn", i)
		}
	}
	if err := new(Reel).Encode(&b); err == nil {
		t.Error("an empty reel must not encode")
	}
}

// TestSamePageTwice holds that a figure gives the same bytes every time.
func TestSamePageTwice(t *testing.T) {
	var first []byte
	for range 2 {
		d, err := demoSection().Draw(1)
		if err != nil {
			t.Fatal(err)
		}
		b, err := d.PNG()
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = b
		} else if !bytes.Equal(first, b) {
			t.Error("two drawings of one figure differ")
		}
	}
}
