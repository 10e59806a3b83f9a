package metal

import (
	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// facetZones are the surfaces of the finished teeth.
func (f *Finish) facetZones(filing []Filing) []replay.Zone {
	var zones []replay.Zone
	for _, p := range f.asm.places {
		for _, side := range []int{1, -1} {
			name := "right"
			if side < 0 {
				name = "left"
			}
			flank := replay.Zone{Name: f.asm.name(name+" flank", p.at), Surface: f.flankSurface(p.at, side), Limit: f.asm.Flanks.Limit, Upto: f.asm.Target.TipRadius()}
			root := replay.Zone{Name: f.asm.name(name+" root", p.at), Surface: f.rootSurface(p.at, side), Limit: f.asm.Job.Facets.RootStep, Upto: f.asm.Target.TipRadius()}
			for _, fi := range filing {
				if fi.Side == side && fi.Place == p.at {
					thick := min(fi.Thick, f.asm.Job.Facets.MostFiled)
					flank.Filed, flank.FiledTo = thick, fi.Upto
					// Beside what is filed the root's steps stay.
					root.Filed, root.FiledTo = max(thick, root.Limit), fi.Upto
				}
			}
			zones = append(zones, flank, root)
		}
		zones = append(zones, f.tipZone(p.at))
	}
	return zones
}

// tipZone is the tip land of the place at: what stands over the tip circle, the
// crests of the facets beside the land too.
func (f *Finish) tipZone(at float64) replay.Zone {
	return replay.Zone{Name: f.asm.name("tip", at), Surface: f.tip(at), Over: f.asm.Target.TipRadius(), Limit: f.asm.TipLimit()}
}

func (f *Finish) setup() *replay.Setup {
	return gearSetup(f.asm.Design, f.asm.Job.NewMetal())
}

// turned returns the points turned to the place.
func (f *Finish) turned(pts []geom.Vec, at float64) []geom.Vec {
	return geom.Turn(at * f.asm.Target.Pitch()).ApplyAll(pts)
}

func (f *Finish) tip(at float64) []geom.Vec { return f.turned(f.asm.Target.TipArc(), at) }

// side returns the flank's points from the tip down; those at or above the
// form radius, or those at or below it.
func (f *Finish) side(side int, above bool) []geom.Vec {
	seen := f.asm.Target.Seen(side)
	form := seen.Root.FormRadius
	var out []geom.Vec
	for _, p := range seen.Flank {
		r := p.Norm()
		if above && r >= form-geom.Sliver || !above && r <= form+geom.Sliver {
			out = append(out, geom.Vec{Y: p.Y * float64(side), Z: p.Z})
		}
	}
	return out
}

func (f *Finish) flankSurface(at float64, side int) []geom.Vec {
	return f.turned(f.side(side, true), at)
}

func (f *Finish) rootSurface(at float64, side int) []geom.Vec {
	return f.turned(f.side(side, false), at)
}

func (f *Finish) sides(at float64) []geom.Vec {
	var out []geom.Vec
	for _, side := range []int{1, -1} {
		out = append(out, f.flankSurface(at, side)...)
		out = append(out, f.rootSurface(at, side)...)
	}
	return out
}
