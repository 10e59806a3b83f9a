package replay

import "cogmend/profiles/geom"

// pair finds the stations that begin alike: the same solids and zones, and
// the same waste. twin[j] is the first station j is like, or -1.
func (r *runner) pair() {
	r.twin = make([]int, len(r.stations))
	r.sections = make([][]geom.Vec, len(r.stations))
	for j := range r.stations {
		r.twin[j] = -1
		for i := j - 1; i >= 0; i-- {
			if r.twin[i] < 0 && alike(&r.stations[i], &r.stations[j]) {
				r.twin[j] = i
				break
			}
		}
		if r.twin[j] < 0 {
			// Its own waste, even where a setup shared it with one unlike.
			r.stations[j].Waste = append(geom.Region(nil), r.stations[j].Waste...)
		}
	}
}

// alike says that two stations hold the same metal. Solids and zones are
// compared by their memory: who builds a set-up shares what is the same.
func alike(a, b *Station) bool {
	return sameSlice(a.Keep, b.Keep) && sameSlice(a.Zones, b.Zones) && sameRegion(a.Waste, b.Waste)
}

func sameSlice[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

func sameRegion(a, b geom.Region) bool {
	if len(a) != len(b) {
		return false
	}
	if sameSlice(a, b) {
		return true
	}
	for i := range a {
		if !samePoints(a[i].Pts, b[i].Pts) {
			return false
		}
	}
	return true
}

// part makes station j stand for itself, with the waste its first twin has
// now. Stations that were alike with j stay so with the first.
func (r *runner) part(j int) {
	r.stations[j].Waste = append(geom.Region(nil), r.stations[r.twin[j]].Waste...)
	r.twin[j] = -1
}

// settle gives twins the waste of their first, before anyone looks.
func (r *runner) settle() {
	for j, first := range r.twin {
		if first >= 0 {
			r.stations[j].Waste = r.stations[first].Waste
		}
	}
}
