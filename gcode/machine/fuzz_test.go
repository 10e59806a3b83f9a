package machine

import (
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cogmend/gcode"
)

// FuzzMachine: a control never panics; each motion begins where the last ended;
// places are unknown only until they are told, or after a change of tool or
// length; every error has the file.
func FuzzMachine(f *testing.F) {
	files, _ := filepath.Glob(programs + "*/*.nc")
	if len(files) == 0 {
		f.Fatal("no programs")
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, program string) {
		m := New("p")
		last := m.Position()
		events := 0
		tooMany := errors.New("enough")
		err := m.Run(strings.NewReader(program), func(e *Event) error {
			if events++; events > 20_000 {
				return tooMany
			}
			if e.Line < 1 || e.State == nil {
				t.Fatalf("event %+v", e)
			}
			if e.Kind != EventMotion {
				return nil
			}
			checkMotion(t, e, last)
			last = e.Motion.To
			return nil
		})
		if err != nil && err != tooMany && !strings.HasPrefix(err.Error(), "p") {
			t.Fatalf("%v", err)
		}
		if err == nil && !m.Ended() {
			t.Fatal("no error and no end")
		}
	})
}

func checkMotion(t *testing.T, e *Event, last Position) {
	from, to, was := coordinates(e.Motion.From), coordinates(e.Motion.To), coordinates(last)
	for i := range from {
		lost := math.IsNaN(from[i]) && i == axisZ
		if from[i] != was[i] && !lost && !(math.IsNaN(from[i]) && math.IsNaN(was[i])) {
			t.Fatalf("line %d goes from %v, the last ended at %v", e.Line, from, was)
		}
		if math.IsInf(to[i], 0) || math.IsNaN(to[i]) && !math.IsNaN(from[i]) {
			t.Fatalf("line %d goes to %v", e.Line, to)
		}
	}
	m := &e.Motion
	if !(m.Minutes >= 0) || !(m.Feed >= 0) || !(m.Length >= 0) || (m.Kind == Arc) != (m.Arc != nil) {
		t.Fatalf("motion %+v", m)
	}
	if m.Arc != nil && (!(m.Arc.Radius > 0) || !(math.Abs(m.Arc.Sweep) <= 2*math.Pi+1e-9) || m.Arc.Sweep == 0) {
		t.Fatalf("arc %+v", m.Arc)
	}
}

// blocks are read blocks of common kinds, all possible in a row.
func blocks(t testing.TB) []gcode.Block {
	const text = "G0 X12.3456 Y-7.25 Z40.0\nG1 Z-1.5 F120\nG1 X31.0 F240\nG0 X7 Y7\nG2 X10.0 Y16.0 I3.0 J4.0\n"
	in := gcode.NewReader(strings.NewReader(text), "p")
	var all []gcode.Block
	for {
		var b gcode.Block
		if err := in.Next(&b); err == io.EOF {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, b)
	}
}

// moving returns a machine ready to take them.
func moving(t testing.TB) *Control {
	m := New("p")
	words := []gcode.Word{{Letter: 'G', Value: gcode.Int(17)}, {Letter: 'G', Value: gcode.Int(21)}}
	if err := m.Step(&gcode.Block{Line: 1, Words: words}, nil); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestStepAllocations(t *testing.T) {
	m, all := moving(t), blocks(t)
	motions := 0
	emit := func(e *Event) error {
		motions++
		return nil
	}
	if n := testing.AllocsPerRun(1000, func() {
		for i := range all {
			if err := m.Step(&all[i], emit); err != nil {
				t.Fatal(err)
			}
		}
	}); n != 0 || motions < 5000 {
		t.Errorf("%v allocations for %d blocks, %d motions", n, len(all), motions)
	}
}

func BenchmarkStep(b *testing.B) {
	m, all := moving(b), blocks(b)
	emit := func(e *Event) error { return nil }
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if err := m.Step(&all[i%len(all)], emit); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
