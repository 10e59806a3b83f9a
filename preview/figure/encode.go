package figure

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"slices"
	"sync"
	"sync/atomic"
)

// A page has some forty flat colours and the blends along its edges. One fixed
// palette for all pages holds the flat colours exactly and their blends with
// paper and ink; it makes a PNG a quarter of the size, encodes several times
// faster than full colour, and serves the GIF too.

// clearIndex is the palette's see-through entry, used between GIF frames.
const clearIndex = 0

// palette holds the colours and, for every colour reduced to five bits a
// channel, the nearest of them once it has been asked for: pages use a few
// hundred of the 32768.
type palette struct {
	colors  color.Palette
	nearest [1 << 15]atomic.Uint32 // index + 1; 0: not yet looked for
}

// at returns the palette's index for a colour.
func (p *palette) at(r, g, b uint8) uint8 {
	c := &p.nearest[cell(r, g, b)]
	if i := c.Load(); i > 0 {
		return uint8(i - 1)
	}
	i := p.search(r&^7|4, g&^7|4, b&^7|4)
	c.Store(uint32(i) + 1)
	return i
}

var thePalette = sync.OnceValue(newPalette)

func newPalette() *palette {
	p := &palette{colors: color.Palette{color.RGBA{}}}
	at := map[color.RGBA]uint8{}
	add := func(c color.RGBA) {
		if _, ok := at[c]; !ok && len(p.colors) < 256 {
			at[c] = uint8(len(p.colors))
			p.colors = append(p.colors, c)
		}
	}
	flat := flatColors()
	for _, c := range flat {
		add(c)
	}
	exact := len(p.colors)
	white, ink := rgb(panelRGB), rgb(inkRGB)
	// Greys carry the lettering.
	for i := 1; i < 16; i++ {
		add(mix(ink, white, float64(i)/16))
	}
	for _, t := range []float64{0.5, 0.25, 0.75} {
		for _, c := range flat {
			add(mix(c, white, t))
			add(mix(c, ink, t))
		}
	}
	// The cell of a flat colour is that colour itself, not the one nearest
	// to the cell's middle.
	for i := exact - 1; i > 0; i-- {
		c := p.colors[i].(color.RGBA)
		p.nearest[cell(c.R, c.G, c.B)].Store(uint32(i) + 1)
	}
	return p
}

// flatColors lists every colour that areas and lines have, once.
func flatColors() []color.RGBA {
	var out []color.RGBA
	seen := map[color.RGBA]bool{}
	add := func(c color.RGBA) {
		if c.A != 0 && !seen[c] {
			seen[c] = true
			out = append(out, c)
		}
	}
	for _, v := range []uint32{panelRGB, paperRGB, inkRGB, mutedRGB, gridRGB} {
		add(rgb(v))
	}
	for s := range styleCount {
		k := lookOf(s)
		add(k.fill)
		add(k.line)
	}
	return out
}

func cell(r, g, b uint8) int { return int(r>>3)<<10 | int(g>>3)<<5 | int(b>>3) }

// search returns the nearest colour by the weights that luma gives the channels.
func (p *palette) search(r, g, b uint8) uint8 {
	best, bestAt := 1<<30, 0
	for i, c := range p.colors {
		if i == clearIndex {
			continue
		}
		q := c.(color.RGBA)
		dr, dg, db := int(q.R)-int(r), int(q.G)-int(g), int(q.B)-int(b)
		if d := 3*dr*dr + 6*dg*dg + db*db; d < best {
			best, bestAt = d, i
		}
	}
	return uint8(bestAt)
}

// reduce turns an opaque page into palette colours. Neighbouring pixels are
// mostly alike, so the last answer is tried first.
func reduce(im *image.RGBA) *image.Paletted {
	p := thePalette()
	return reduceTo(im, p, image.NewPaletted(im.Rect, p.colors))
}

func reduceTo(im *image.RGBA, p *palette, out *image.Paletted) *image.Paletted {
	w := im.Rect.Dx()
	for y := range im.Rect.Dy() {
		row := im.Pix[y*im.Stride:][:4*w]
		dst := out.Pix[y*out.Stride:][:w]
		last := binary.LittleEndian.Uint32(row)
		index := p.at(row[0], row[1], row[2])
		for len(dst) > 0 {
			// Most pixels are like their neighbours: eight at once.
			if two := uint64(last)<<32 | uint64(last); len(dst) >= 8 &&
				binary.LittleEndian.Uint64(row) == two && binary.LittleEndian.Uint64(row[8:]) == two &&
				binary.LittleEndian.Uint64(row[16:]) == two && binary.LittleEndian.Uint64(row[24:]) == two {
				binary.LittleEndian.PutUint64(dst, 0x0101_0101_0101_0101*uint64(index))
				row, dst = row[32:], dst[8:]
				continue
			}
			if v := binary.LittleEndian.Uint32(row); v != last {
				last = v
				index = p.at(row[0], row[1], row[2])
			}
			dst[0] = index
			row, dst = row[4:], dst[1:]
		}
	}
	return out
}

// encoders and files keep the encoder's working memory between pictures, pages
// that of pages, which are large.
var (
	encoders = sync.Pool{New: func() any { return new(png.EncoderBuffer) }}
	files    = sync.Pool{New: func() any { return new(bytes.Buffer) }}
	pages    = sync.Pool{New: func() any { return new(image.RGBA) }}
)

// encoderPool hands encoders to the png package.
type encoderPool struct{}

func (encoderPool) Get() *png.EncoderBuffer  { return encoders.Get().(*png.EncoderBuffer) }
func (encoderPool) Put(b *png.EncoderBuffer) { encoders.Put(b) }

// newPage returns an image of the size, its pixels not cleared.
func newPage(size image.Rectangle) *image.RGBA {
	im := pages.Get().(*image.RGBA)
	im.Rect, im.Stride = size, 4*size.Dx()
	im.Pix = slices.Grow(im.Pix[:0], im.Stride*size.Dy())[:im.Stride*size.Dy()]
	return im
}

// Release gives the page's memory to the next one; the drawing must not be
// used any more.
func (d *Drawing) Release() {
	pages.Put(d.Image)
	d.Image = nil
}

// PNG returns the page as the bytes of a PNG file. It uses the page up: its
// colours are turned into the palette's in the same memory.
func (d *Drawing) PNG() ([]byte, error) {
	p, im := thePalette(), d.Image
	size := im.Rect
	// A pixel's index stands before its colour, or in its place.
	out := &image.Paletted{Pix: im.Pix[:size.Dx()*size.Dy()], Stride: size.Dx(), Rect: size, Palette: p.colors}
	return PNG(reduceTo(im, p, out))
}

// PNG returns a frame as the bytes of a PNG file.
func PNG(im *image.Paletted) ([]byte, error) {
	b := files.Get().(*bytes.Buffer)
	defer files.Put(b)
	b.Reset()
	e := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: encoderPool{}}
	if err := e.Encode(b, im); err != nil {
		return nil, fmt.Errorf("encode picture: %w", err)
	}
	return bytes.Clone(b.Bytes()), nil
}
