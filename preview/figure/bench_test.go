package figure

import (
	"image"
	"io"
	"testing"
)

func BenchmarkDrawSection(b *testing.B) {
	f := demoSection()
	for b.Loop() {
		if _, err := f.Draw(1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEncode(b *testing.B) {
	d, err := demoSection().Draw(1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := d.PNG(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDrawManyPieces draws stock in as many pieces as a long replay leaves.
func BenchmarkDrawManyPieces(b *testing.B) {
	f := NewFigure("job", "pieces", Millimetre)
	p := f.Panel("pieces", Whole()).Window(-13, 72, 13, 90)
	p.Region(Stock, demoRim(70, 82, -0.2, 0.2, 2000))
	for b.Loop() {
		if _, err := f.Draw(1); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFrame draws one frame of a dry run and encodes it.
func BenchmarkFrame(b *testing.B) {
	s, err := NewBackdrop(demoFrame(), 1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		f := s.Next()
		demoCut(f, 40)
		im, err := s.Frame(f)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PNG(im); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReel adds two different frames and encodes the GIF.
func BenchmarkReel(b *testing.B) {
	s, err := NewBackdrop(demoFrame(), 1)
	if err != nil {
		b.Fatal(err)
	}
	var frames []*image.Paletted
	for i := range 2 {
		f := s.Next()
		demoCut(f, i)
		im, err := s.Frame(f)
		if err != nil {
			b.Fatal(err)
		}
		frames = append(frames, im)
	}
	for b.Loop() {
		var r Reel
		for i := range 50 {
			r.Add(frames[i%2], 0)
		}
		if err := r.Encode(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
