package figure

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"sync"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/math/fixed"
)

// typeface is one font at one size in device pixels. Its glyphs are drawn once
// and kept, for a page uses a few dozen of them hundreds of times.
type typeface struct {
	mu     sync.Mutex
	face   font.Face
	halo   int // device pixels that a halo stands out
	glyphs map[rune]*glyph
}

// glyph is a letter's ink and the wider shape of its halo, both placed about
// the pen's position on the base line, and how far it moves the pen.
type glyph struct {
	ink, halo *image.Alpha
	advance   float64
}

type faceKey struct {
	bold bool
	size int // 64ths of a device pixel
}

// faces keeps what was parsed and drawn; it only ever grows by the few sizes
// of the style.
var faces = struct {
	sync.Mutex
	byKey map[faceKey]*typeface
}{byKey: map[faceKey]*typeface{}}

var parsed = sync.OnceValues(func() (regular, bold *truetype.Font) {
	return mustParse(goregular.TTF), mustParse(gobold.TTF)
})

// mustParse panics only when the font compiled into the program is broken.
func mustParse(ttf []byte) *truetype.Font {
	f, err := truetype.Parse(ttf)
	if err != nil {
		panic("preview: embedded font: " + err.Error())
	}
	return f
}

func faceOf(size float64, bold bool) *typeface {
	key := faceKey{bold, int(math.Round(size * 64))}
	faces.Lock()
	defer faces.Unlock()
	if t, ok := faces.byKey[key]; ok {
		return t
	}
	f, b := parsed()
	if bold {
		f = b
	}
	t := &typeface{
		face:   truetype.NewFace(f, &truetype.Options{Size: size, SubPixelsX: 1, GlyphCacheEntries: 1}),
		halo:   max(1, int(math.Round(size/8))),
		glyphs: map[rune]*glyph{},
	}
	faces.byKey[key] = t
	return t
}

func (t *typeface) glyph(r rune) *glyph {
	t.mu.Lock()
	defer t.mu.Unlock()
	if g, ok := t.glyphs[r]; ok {
		return g
	}
	g := &glyph{ink: image.NewAlpha(image.Rectangle{}), halo: image.NewAlpha(image.Rectangle{})}
	dr, mask, mp, advance, ok := t.face.Glyph(fixed.Point26_6{}, r)
	if ok {
		g.ink = image.NewAlpha(dr)
		draw.Draw(g.ink, dr, mask, mp, draw.Src)
		g.halo = grown(g.ink, t.halo)
	}
	g.advance = float64(advance) / 64
	t.glyphs[r] = g
	return g
}

// grown returns the mask with every pixel spread over a disc of radius n.
func grown(m *image.Alpha, n int) *image.Alpha {
	out := image.NewAlpha(m.Rect.Inset(-n))
	for y := m.Rect.Min.Y; y < m.Rect.Max.Y; y++ {
		for x := m.Rect.Min.X; x < m.Rect.Max.X; x++ {
			v := m.AlphaAt(x, y).A
			if v == 0 {
				continue
			}
			for dy := -n; dy <= n; dy++ {
				for dx := -n; dx <= n; dx++ {
					if dx*dx+dy*dy <= n*n && out.AlphaAt(x+dx, y+dy).A < v {
						out.SetAlpha(x+dx, y+dy, color.Alpha{A: v})
					}
				}
			}
		}
	}
	return out
}

// width is the length of s in device pixels.
func (t *typeface) width(s string) float64 {
	w := 0.0
	for _, r := range s {
		w += t.glyph(r).advance
	}
	return w
}

// draw writes s with the pen starting at (x, y) on the base line.
func (t *typeface) draw(im *image.RGBA, x, y float64, s string, ink, halo color.RGBA) {
	base := int(math.Round(y))
	pass := func(c color.RGBA, mask func(*glyph) *image.Alpha) {
		pen := x
		for _, r := range s {
			g := t.glyph(r)
			stamp(im, mask(g), image.Pt(int(math.Round(pen)), base), c)
			pen += g.advance
		}
	}
	if halo.A != 0 {
		pass(halo, func(g *glyph) *image.Alpha { return g.halo })
	}
	pass(ink, func(g *glyph) *image.Alpha { return g.ink })
}

// stamp lays a colour on the image where the mask, its origin moved to at, is.
func stamp(im *image.RGBA, m *image.Alpha, at image.Point, c color.RGBA) {
	box := m.Rect.Add(at).Intersect(im.Rect)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		pix := im.Pix[im.PixOffset(box.Min.X, y):]
		for i, a := range m.Pix[m.PixOffset(box.Min.X-at.X, y-at.Y):][:box.Dx()] {
			if a == 0 {
				continue
			}
			// Rounded as package draw does, by way of 16 bits.
			over := func(p, q uint8) uint8 {
				return uint8((uint32(p)*uint32(255-a) + uint32(q)*uint32(a)) * 257 / 255 >> 8)
			}
			px := pix[4*i:][:3]
			px[0], px[1], px[2] = over(px[0], c.R), over(px[1], c.G), over(px[2], c.B)
		}
	}
}
