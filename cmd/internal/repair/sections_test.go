package repair

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"runtime"
	"testing"
	"time"

	"cogmend/gcode/machine"
	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// sections are the cuts of the demo's facets program at one station, for the
// comparison with a polygon library of others: testdata/bench/polygons.py.
type sections struct {
	Stock [][][2]float64 `json:"stock"` // convex pieces of the waste, gear frame, mm
	Cuts  [][][2]float64 `json:"cuts"`  // convex sections of the sweeps, in order
	Area  float64        `json:"area"`  // of what our replay leaves, mm^2
	Nanos int64          `json:"nanoseconds"`
}

// TestSections takes the cuts of the facets program from the stock piece by
// piece, holds the area to the replay's own, and writes both down when
// COGMEND_SECTIONS names a file.
func TestSections(t *testing.T) {
	m, err := Make(job.Demo())
	if err != nil {
		t.Fatal(err)
	}
	p := m.Programs[len(m.Programs)-1]
	setup := *p.Before
	setup.Stations = setup.Stations[2:3]
	var cuts []geom.Convex
	setup.Observe = func(mo *machine.Motion, angle float64, _ []replay.Station) {
		tool := setup.Tools[mo.State.Tool]
		if mo.Kind == machine.Rapid || mo.From.Y != mo.To.Y || mo.From.Z != mo.To.Z {
			return
		}
		f := tool.Parts[0]
		z := mo.To.Z + setup.ZShift
		cuts = append(cuts, geom.Rect(mo.To.Y-f.R0, z+f.Z0, mo.To.Y+f.R0, z+f.Z1).Turned(geom.Turn(-angle)))
	}
	res, err := replay.Check(bytes.NewReader(p.Text), "facets", &setup)
	if err != nil {
		t.Fatal(err)
	}
	var buf geom.Scratch
	var left geom.Region
	took := time.Hour
	runtime.GC()    // what was made before is not to be swept meanwhile
	for range 500 { // the best counts, there as here, over as long a time
		begin := time.Now()
		left = append(geom.Region(nil), setup.Stations[0].Waste...)
		for _, k := range cuts {
			left = left.Subtract(k, &buf, nil)
		}
		took = min(took, time.Since(begin))
	}
	if a, b := left.Area(), res.After[0].Waste.Area(); math.Abs(a-b) > 1e-6 {
		t.Errorf("%d cuts leave %.9f mm^2, the replay %.9f", len(cuts), a, b)
	}
	file := os.Getenv("COGMEND_SECTIONS")
	if file == "" {
		return
	}
	ring := func(c geom.Convex) (out [][2]float64) {
		for _, p := range c.Pts {
			out = append(out, [2]float64{p.Y, p.Z})
		}
		return out
	}
	s := sections{Area: left.Area(), Nanos: took.Nanoseconds()}
	for _, c := range setup.Stations[0].Waste {
		s.Stock = append(s.Stock, ring(c))
	}
	for _, c := range cuts {
		s.Cuts = append(s.Cuts, ring(c))
	}
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
}
