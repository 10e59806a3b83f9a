package measure

import (
	"math"

	"cogmend/profiles"
)

// sizes are what readings of an involute gear depend on, each with the slopes of
// the unknowns. Lengths mm, angles rad.
type sizes struct {
	teeth  int
	module float64
	pitch  float64 // radius of the pitch circle
	base   float64 // radius of the base circle
	half   float64 // half angle of the tooth at the base circle
	tip    float64 // radius of the tip circle
	root   float64 // radius of the root circle
	shift  float64 // profile shift, modules
	sin    float64 // of the pressure angle, and
	cos    float64
}

// angle is a pressure angle with what the fits want of it again and again.
type angle struct{ rad, sin, cos, inv float64 }

func angleOf(rad float64) angle {
	sin, cos := math.Sincos(rad)
	return angle{rad, sin, cos, sin/cos - rad}
}

// sizesOf are the sizes of a gear of a module and pressure angle at a guess of
// the rest (ISO 21771; thinning, tip and root as the guess has them).
func sizesOf(teeth int, module float64, a angle, rack *profiles.Rack, u *guess) sizes {
	z := float64(teeth)
	s := sizes{teeth: teeth, module: module, pitch: z * module / 2, shift: u[uShift], sin: a.sin, cos: a.cos}
	s.base = s.pitch * a.cos
	s.half = (math.Pi/2+2*u[uShift]*a.sin/a.cos-u[uThin])/z + a.inv
	s.tip = s.pitch + module*(rack.Addendum+u[uShift]+u[uTip])
	s.root = s.pitch - module*(rack.Dedendum-u[uShift]+u[uRoot])
	return s
}

// slope is how a reading changes with the sizes.
type slope struct {
	base, half, tip, root float64
	centre                float64 // with the pitch radius and the shift, for a centre distance
}

// by returns the slopes with the unknowns.
func (s *sizes) by(d slope) guess {
	z := float64(s.teeth)
	tan := s.sin / s.cos
	return guess{
		uSize:     d.base*s.base + d.tip*s.tip + d.root*s.root + d.centre,
		uPressure: -d.base*s.pitch*s.sin + d.half*(2*s.shift/(z*s.cos*s.cos)+tan*tan),
		uShift:    d.half*2*tan/z + (d.tip+d.root)*s.module,
		uTip:      d.tip * s.module,
		uRoot:     -d.root * s.module,
		uThin:     -d.half / z,
	}
}

// read returns what a reading is on the gear, NaN when the gear cannot give it,
// and how it changes with the unknowns.
func (s *sizes) read(r *Reading) (float64, guess) {
	switch r.Kind {
	case OutsideDiameter:
		return s.overTips()
	case RootDiameter:
		return 2 * s.root, s.by(slope{root: 2})
	case WholeDepth:
		return s.tip - s.root, s.by(slope{tip: 1, root: -1})
	case SpanSize:
		// (k - 1) base pitches and the tooth's arc on the base circle.
		n := 2*math.Pi*float64(r.Teeth-1)/float64(s.teeth) + 2*s.half
		return n * s.base, s.by(slope{base: n, half: 2 * s.base})
	case PinSize:
		return s.overPins(r.Pin)
	case CentreDistance:
		v := s.pitch + s.module*(float64(r.Teeth)/2+s.shift)
		g := s.by(slope{centre: v})
		g[uShift] = s.module
		return v, g
	case ChordSize:
		return s.chord(r.Height)
	case TouchStep:
		n := 2 * math.Pi / float64(s.teeth)
		return n * s.base, s.by(slope{base: n})
	}
	return math.NaN(), guess{}
}

// flank returns the half angle of the tooth at a radius, and the tangent of the
// pressure angle there.
func (s *sizes) flank(r float64) (half, tan float64) {
	if r <= s.base {
		return s.half, 0
	}
	tan = math.Sqrt(r*r-s.base*s.base) / s.base
	return s.half - (tan - math.Atan(tan)), tan
}

// overTips is the outside diameter as a caliper reads it: with an odd count one
// jaw lies on a tip land, the other on the inner corners of the two tips
// opposite.
func (s *sizes) overTips() (float64, guess) {
	if s.teeth%2 == 0 {
		return 2 * s.tip, s.by(slope{tip: 2})
	}
	land, tan := s.flank(s.tip)
	if land <= 0 {
		land, tan = 0, 0
	}
	sin, cos := math.Sincos(math.Pi/float64(s.teeth) - land)
	// The land's half angle moves with the flank's, and with both radii.
	d := slope{tip: 1 + cos}
	if land > 0 {
		d.half, d.base = s.tip*sin, s.tip*sin*tan/s.base
		d.tip -= sin * tan
	}
	return s.tip * (1 + cos), s.by(d)
}

// overPins is the size over two pins in opposite spaces, as OverPins has it.
func (s *sizes) overPins(pin float64) (float64, guess) {
	inv := pin/(2*s.base) + s.half - math.Pi/float64(s.teeth)
	if !(inv > 0) {
		return math.NaN(), guess{}
	}
	phi := profiles.InvInverse(inv)
	sin, cos := math.Sincos(phi)
	across := 2.0
	if s.teeth%2 == 1 {
		across = 2 * math.Cos(math.Pi/2/float64(s.teeth))
	}
	d := slope{half: across * s.base / sin, base: across/cos - across/sin*pin/(2*s.base)}
	return across*s.base/cos + pin, s.by(d)
}

// chord is the chord of the tooth at a height under the middle of its tip land:
// a tooth vernier rests on the tip and touches with the ends of its jaws.
func (s *sizes) chord(height float64) (float64, guess) {
	z := s.tip - height
	r := max(s.base, z)
	if !(r < s.tip) {
		return math.NaN(), guess{}
	}
	for round := 0; ; round++ {
		half, tan := s.flank(r)
		sin, cos := math.Sincos(half)
		rise := cos + sin*tan // of the point's height with its radius
		step := (z - r*cos) / rise
		if math.Abs(step) < 1e-9*z || round == 20 {
			if r < s.base-1e-6 || r > s.tip+1e-6 || round == 20 {
				return math.NaN(), guess{}
			}
			// At a height that stands still, dr = r sin d(half) / rise.
			half := 2 * r * (cos + (sin-cos*tan)*sin/rise)
			return 2 * r * sin, s.by(slope{half: half, base: half * tan / s.base, tip: 2 * (sin - cos*tan) / rise})
		}
		r = max(r+step, s.base/2)
	}
}

// step is the base pitch.
func (s *sizes) step() float64 { return 2 * math.Pi * s.base / float64(s.teeth) }
