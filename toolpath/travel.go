package toolpath

// travel refuses programs that leave the machine's travel.
func (p *planner) travel() {
	m := p.Job.Machine
	limits := [3][2]float64{m.TravelX, m.TravelY, m.TravelZ}
	for i := range p.Programs {
		prog := &p.Programs[i]
		shift := 0.0
		if prog.Setup == GearSetup {
			shift = p.Shift
		}
		for _, op := range prog.Ops {
			for _, pass := range op.Passes {
				for _, mv := range pass.Moves {
					if mv.Kind == Note || mv.Kind == Stop {
						continue
					}
					at := [3]float64{mv.To.X, mv.To.Y, mv.To.Z - shift}
					for k, v := range at {
						l := limits[k]
						if l[0] < l[1] && (v < l[0] || v > l[1]) {
							p.bad.add("machine.travel_%s: %s reaches %s, the travel is %s to %s", [3]string{"x", "y", "z"}[k],
								prog.File(), p.len(v), p.len(l[0]), p.len(l[1]))
						}
					}
				}
			}
		}
	}
}
