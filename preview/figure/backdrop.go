package figure

import (
	"image"
	"image/color"
	"image/gif"
	"io"
	"time"
)

// Backdrop draws the frames of a dry run. What stays the same is drawn once; a
// frame then costs a copy and what moves. Frames may be drawn at the same time.
type Backdrop struct {
	figure  *Figure
	scale   float64
	ground  *image.RGBA
	layouts []*layout
}

// NewBackdrop draws the figure that lies behind every frame. Styles that only
// frames draw get their legend entries from Panel.ExtraKeys.
func NewBackdrop(f *Figure, scale float64) (*Backdrop, error) {
	d, layouts, err := f.draw(scale)
	if err != nil {
		return nil, err
	}
	return &Backdrop{f, scale, d.Image, layouts}, nil
}

// Next returns a figure with the same page and the same panels, empty, to draw
// a frame's items on. Windows and boxes are the backdrop's and are not read again.
func (s *Backdrop) Next() *Figure {
	f := *s.figure
	f.Status = append([]string(nil), s.figure.Status...)
	f.Panels = nil
	for _, p := range s.figure.Panels {
		q := *p
		q.Items = nil
		f.Panels = append(f.Panels, &q)
	}
	return &f
}

// Frame draws a figure made by Next over the backdrop. Status lines beyond the
// number that the backdrop has are not shown.
func (s *Backdrop) Frame(f *Figure) (*image.Paletted, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	im := image.NewRGBA(s.ground.Rect)
	copy(im.Pix, s.ground.Pix)
	c := newCanvas(im, s.scale)
	if n := len(s.figure.Status); n > 0 {
		f.Status = append(f.Status, make([]string, n)...)[:n]
		border := rect{0, 0, f.width, f.height}.inset(pageMargin)
		f.status(c, border)
		c.frame(border, narrow, rgb(inkRGB))
	}
	for i, p := range f.Panels {
		if len(p.Items) == 0 {
			continue
		}
		l := s.layouts[i]
		l.items(c.part(l.frame), p.Items, l.taken)
		c.frame(l.frame, narrow, rgb(inkRGB))
	}
	return reduce(im), nil
}

// Reel collects frames into an animated GIF. Each frame after the first keeps
// only the pixels that changed.
type Reel struct {
	out  gif.GIF
	last *image.Paletted
}

// Add appends a frame, to be shown for the given time. All frames have the
// size of the first. A frame equal to the one before it lengthens that one.
func (r *Reel) Add(im *image.Paletted, hold time.Duration) {
	delay := max(2, int(hold/(10*time.Millisecond))) // hundredths; viewers slow down below 2
	frame := im
	if r.last != nil {
		frame = changed(r.last, im)
		if frame == nil {
			r.out.Delay[len(r.out.Delay)-1] += delay
			return
		}
	}
	r.out.Image = append(r.out.Image, frame)
	r.out.Delay = append(r.out.Delay, delay)
	r.out.Disposal = append(r.out.Disposal, gif.DisposalNone)
	r.last = im
}

// Encode writes the GIF, which repeats without end.
func (r *Reel) Encode(w io.Writer) error {
	if r.last != nil {
		r.out.Config = image.Config{ColorModel: color.Palette(r.last.Palette), Width: r.last.Rect.Dx(), Height: r.last.Rect.Dy()}
	}
	return gif.EncodeAll(w, &r.out)
}

// changed returns the smallest part of b that differs from a, with what is
// equal made see-through; nil when nothing differs.
func changed(a, b *image.Paletted) *image.Paletted {
	box := image.Rectangle{}
	for y := b.Rect.Min.Y; y < b.Rect.Max.Y; y++ {
		ra, rb := a.Pix[a.PixOffset(0, y):][:a.Rect.Dx()], b.Pix[b.PixOffset(0, y):][:b.Rect.Dx()]
		if string(ra) == string(rb) {
			continue
		}
		x0, x1 := 0, len(rb)
		for ra[x0] == rb[x0] {
			x0++
		}
		for ra[x1-1] == rb[x1-1] {
			x1--
		}
		box = box.Union(image.Rect(x0, y, x1, y+1))
	}
	if box.Empty() {
		return nil
	}
	out := image.NewPaletted(box, b.Palette)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		ra, rb := a.Pix[a.PixOffset(box.Min.X, y):], b.Pix[b.PixOffset(box.Min.X, y):]
		dst := out.Pix[out.PixOffset(box.Min.X, y):][:box.Dx()]
		for x := range dst {
			if dst[x] = rb[x]; ra[x] == rb[x] {
				dst[x] = clearIndex
			}
		}
	}
	return out
}
