package toolpath

import (
	"math"

	"cogmend/toolpath/job"
)

// Minutes estimates how long a program runs on the job's machine, stops not
// counted.
func (p *Program) Minutes(j *job.Job) float64 {
	m := &j.Machine
	var t float64 // minutes
	leg := func(a, b Pos, rate float64) {
		l := math.Sqrt((a.X-b.X)*(a.X-b.X) + (a.Y-b.Y)*(a.Y-b.Y) + (a.Z-b.Z)*(a.Z-b.Z))
		if math.IsNaN(l) || !(rate > 0) {
			return
		}
		if a := m.Acceleration; a > 0 {
			v := rate / 60
			if l*a >= v*v {
				t += (l/v + v/a) / 60
			} else {
				t += 2 * math.Sqrt(l/a) / 60
			}
			return
		}
		t += l / rate
	}
	running := false
	start := func() {
		running = true
		if !m.HandSpeed {
			t += m.SpinUp / 60
		}
	}
	nan := math.NaN()
	at, angle := Pos{nan, nan, p.Safe}, 0.0
	for _, op := range p.Ops {
		t += m.ToolChange / 60
		start()
		for _, pass := range op.Passes {
			// At a stop the spindle stands still.
			running = running && pass.Setting == ""
			if m.IndexRate > 0 && j.Index.Device == job.Rotary {
				t += math.Abs(pass.Angle-angle) / m.IndexRate / 60
			}
			angle = pass.Angle
			for _, mv := range pass.Moves {
				if !running && mv.Kind != Note && mv.Kind != Stop {
					start()
				}
				switch mv.Kind {
				case Stop:
					running = false
				case Rapid:
					leg(at, mv.To, m.RapidFeed)
					at = mv.To
				case Feed:
					leg(at, mv.To, mv.Feed)
					at = mv.To
				case Hole:
					down := mv.To
					down.Z = mv.Bottom
					leg(mv.To, down, mv.Feed)
					leg(mv.To, down, m.RapidFeed)
					if mv.Peck > 0 {
						// Each peck comes up and goes down again, half the depth on the average.
						for z := mv.To.Z - mv.Peck; z > mv.Bottom; z -= mv.Peck {
							leg(mv.To, Pos{mv.To.X, mv.To.Y, z}, m.RapidFeed/2)
						}
					}
				}
			}
		}
	}
	return t
}
