package copied

import "math"

// Fitted is a form of two numbers laid through the readings used (least squares).
// Lengths mm.
type Fitted struct {
	Module float64 // of the gear it would be; an involute's hangs on the pressure angle, and is 0
	Rms    float64 // root mean square of what the readings stand off it
	Most   float64 // greatest
}

// AsInvolute is how well an involute goes through the readings.
func (f *Flank) AsInvolute() Fitted {
	return f.off(0, func(angle float64) float64 { return f.involute(angle) })
}

// AsCycloid is how well the addendum of a cycloidal tooth does, of a gear of so many
// teeth of the interchangeable set whose least pinion has set of them. Over the pitch
// circle of radius R its support function is R c sin((angle + half angle)/c), c = 1 +
// set/teeth (see profiles.Cycloid).
func (f *Flank) AsCycloid(teeth, set int) Fitted {
	c := 1 + float64(set)/float64(teeth)
	var ss, sc, cc, sh, ch float64
	for _, r := range f.Readings {
		if r.Left != "" {
			continue
		}
		s, k := math.Sincos(r.Angle / c)
		ss, sc, cc, sh, ch = ss+s*s, sc+s*k, cc+k*k, sh+s*r.Plane, ch+k*r.Plane
	}
	det := ss*cc - sc*sc
	a, b := (sh*cc-ch*sc)/det, (ch*ss-sh*sc)/det
	return f.off(2*math.Hypot(a, b)/c/float64(teeth), func(angle float64) float64 {
		s, k := math.Sincos(angle / c)
		return a*s + b*k
	})
}

func (f *Flank) off(module float64, plane func(angle float64) float64) Fitted {
	out, n := Fitted{Module: module}, 0
	for _, r := range f.Readings {
		if r.Left != "" {
			continue
		}
		off := r.Plane - plane(r.Angle)
		out.Rms, out.Most, n = out.Rms+off*off, max(out.Most, math.Abs(off)), n+1
	}
	out.Rms = math.Sqrt(out.Rms / float64(n))
	return out
}
