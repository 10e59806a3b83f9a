package repair

import (
	"bytes"
	"fmt"
	"io"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// How cost grows. Nothing may grow faster than n log n; the record of a run is
// in testdata/bench/README.md.

// BenchmarkFacets finds the best sets of 2 to 200 facets.
func BenchmarkFacets(b *testing.B) {
	g := job.Demo().Gear.Gear
	for _, n := range []int{2, 20, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := g.BestFacets(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkTeeth plans gears of 12 to 300 teeth, module 3.
func BenchmarkTeeth(b *testing.B) {
	for _, n := range []int{12, 60, 300} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			text, err := job.Starter(job.Start{Teeth: n, Module: 3, Pressure: geom.Radians(20), Face: 25, Bore: 10})
			if err != nil {
				b.Fatal(err)
			}
			j, err := job.Decode("bench", text, nil)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				d, err := design.Of(j)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := toolpath.Make(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkStations replays the demo's facets at 3 to 200 stations that are
// all looked at apart.
func BenchmarkStations(b *testing.B) {
	m, err := Make(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	p := m.Programs[len(m.Programs)-1]
	for _, n := range []int{3, 20, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			setup := *p.Before
			setup.Stations = nil
			first := p.Before.Stations[0]
			for i := range n {
				s := first
				s.X = 1 + 30*float64(i)/float64(n)
				s.Split()
				setup.Stations = append(setup.Stations, s)
			}
			for b.Loop() {
				if _, err := replay.Check(bytes.NewReader(p.Text), "facets", &setup); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkBlocks checks programs of 1000 to 1000000 blocks that mill a block
// down in thin layers, at five stations; the text is never held as a whole.
func BenchmarkBlocks(b *testing.B) {
	cutter := profiles.Cutter{Name: "mill", Number: 1, Diameter: 6, Flutes: 4, FluteLength: 20, Shank: 6, StickOut: 40, Holder: 20}
	for _, n := range []int{1000, 10000, 100000, 1000000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			setup := &replay.Setup{Top: 10, Tools: map[int]replay.Tool{1: {Number: 1, Diameter: cutter.Diameter,
				Parts: []replay.Part{{Name: "flutes", Z1: 40, R0: 3, R1: 3, Cuts: true}}}}}
			for i := range 5 {
				setup.Stations = append(setup.Stations, replay.Station{X: float64(5 * i), Section: &replay.Section{Waste: geom.Region{geom.Rect(-20, 0, 20, 10)}}})
			}
			for b.Loop() {
				if _, err := replay.Check(layers(n), "layers", setup); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Minutes(), "blocks/min")
		})
	}
}

// layers is a program of n blocks, written as it is read.
func layers(n int) io.Reader {
	r, w := io.Pipe()
	go func() {
		_, err := io.WriteString(w, "G17 G40 G49 G54 G80 G90 G94\nG21\nT1 M6\nS1000 M3\nG0 Z20.0\nG0 X-30.0 Y0.0\n")
		// Rows to and fro, a layer of eight at each height.
		for i := 0; i < n && err == nil; i += 2 {
			x := -30.0
			if i/2%2 == 0 {
				x = 50
			}
			row, layer := i/2%8, i/16
			y, z := -17+float64(row)*4.9, 10-9.9*16*float64(layer)/float64(n)
			_, err = fmt.Fprintf(w, "G0 Y%.4f Z%.4f\nG1 X%.4f F500.0\n", y, z, x)
		}
		if err == nil {
			_, err = io.WriteString(w, "G0 Z20.0\nM5\nM2\n")
		}
		w.CloseWithError(err)
	}()
	return r
}
