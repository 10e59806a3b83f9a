package metal

import (
	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// Finished returns the stations without their waste: as a program leaves them
// that cuts all it should.
func Finished(stations []replay.Station) []replay.Station {
	return replaced(stations, func(float64, geom.Region) geom.Region { return nil })
}

// replaced returns the stations with other waste; those that share a section
// and its waste go on sharing one.
func replaced(stations []replay.Station, waste func(x float64, was geom.Region) geom.Region) []replay.Station {
	type key struct {
		was  *replay.Section
		none bool
	}
	out := make([]replay.Station, len(stations))
	made := map[key]*replay.Section{}
	for i, s := range stations {
		now := waste(s.X, s.Section.Waste)
		k := key{s.Section, len(now) == 0}
		if made[k] == nil {
			other := *s.Section
			other.Waste = now
			made[k] = &other
		}
		out[i] = s
		out[i].Section = made[k]
	}
	return out
}

// Flushed is the gear with its inserts as the flush program leaves it, when it
// cuts all it should: tips down to flats on the tip circle, ends down to what is
// left for the file, flanks whole.
func (f *Finish) Flushed(stations []replay.Station) []replay.Station {
	d, face, leave := f.asm.Design, f.asm.Job.Gear.Face, f.asm.Job.Flush.Leave
	n, half := d.TipCuts(), d.Target.HalfAngle(d.Sizes.TipTop)
	under := geom.Region{geom.Rect(-Sky, -Sky, Sky, Sky)}
	for _, p := range f.asm.places {
		for i := range n {
			lean := half * (2*float64(i) + 1 - float64(n)) / float64(n)
			flat := geom.Rect(-Sky, -Sky, Sky, d.Sizes.TipTop).Turned(geom.Turn(p.at*d.Target.Pitch() + lean))
			under = under.Intersect(geom.Region{flat})
		}
	}
	return replaced(stations, func(x float64, waste geom.Region) geom.Region {
		if x < -leave || x > face+leave {
			return nil
		}
		return waste.Intersect(under)
	})
}

// otherFlankCut takes away what stands on the side of the places that has been
// cut, where only one flank is still to be: what is left to do is not there.
func (f *Finish) otherFlankCut(stations []replay.Station) []replay.Station {
	only := f.asm.Job.Facets.Only
	if only == 0 {
		return stations
	}
	pitch, wide := f.asm.Job.Gear.Pitch(), 1.0 // pitches
	if f.asm.Job.Gear.Adjacent() {
		wide = 0.5
	}
	var sides geom.Region
	for _, p := range f.asm.places {
		a, b := p.at*pitch, (p.at+float64(only)*wide)*pitch
		sides = append(sides, geom.NewConvex(geom.Vec{}, geom.Polar(Sky, max(a, b)), geom.Polar(Sky, min(a, b))))
	}
	return replaced(stations, func(_ float64, waste geom.Region) geom.Region { return waste.Intersect(sides) })
}
