package measure

import (
	"math"

	"cogmend/profiles"
)

// What is not known of a gear, in the order of a guess: the last is the one
// that is never negative.
const (
	uSize     = iota // log of the module over the one the fit began with
	uPressure        // pressure angle less the one the fit began with, rad
	uShift           // profile shift, modules
	uTip             // tip circle over the standard one, on the radius, modules
	uRoot            // root circle under the standard one, on the radius, modules
	uThin            // thinning by wear and backlash, modules
	unknowns         // how many
)

// guess is a value of each unknown.
type guess [unknowns]float64

// belief is what is held of the unknowns before any reading: each is normal,
// uThin half of a normal distribution about nought.
type belief struct {
	first    int // the unknowns before it are known to be nought
	mean, sd guess
}

// base is the gear a fit begins with: a standard one, or about the one sought.
type base struct {
	teeth    int
	module   float64
	pressure angle
	rack     profiles.Rack
}

// at are the sizes of the gear that a guess makes of it.
func (b *base) at(u *guess) sizes {
	module, pressure := b.module, b.pressure
	if u[uSize] != 0 {
		module *= math.Exp(u[uSize])
	}
	if u[uPressure] != 0 {
		pressure = angleOf(pressure.rad + u[uPressure])
	}
	return sizesOf(b.teeth, module, pressure, &b.rack, u)
}

// fitted is the fit of one gear to the readings under one belief.
type fitted struct {
	base     *base
	belief   *belief
	at       guess           // the likeliest, uThin not negative
	chi      float64         // of the readings and of the belief, there
	evidence float64         // log of the chance density of the readings, whatever the unknowns are
	root     [unknowns]guess // Cholesky's factor of the normal equations
}

// fit finds the likeliest values of the unknowns by Gauss and Newton's method,
// and the evidence: the readings' density integrated over the unknowns by
// Laplace's method, which is exact where the predictions are linear in them, as
// all but pins, chords and odd counts over the tips are on a gear of stated
// module and pressure angle. The half of the normal distribution that thinning
// cannot have is left out of the integral. It is false when the gear cannot give
// the readings.
func (f *fitted) fit(b *base, held *belief, readings []Reading) bool {
	const rounds = 12
	f.base, f.belief, f.at = b, held, held.mean
	f.at[uSize], f.at[uThin] = 0, held.sd[uThin]/2
	straight := held.first > uPressure
	for i := range readings {
		straight = straight && readings[i].straight(b.teeth)
	}
	var free guess // the solution with thinning of any sign
	var spreads float64
	for round := 0; ; round++ {
		var pull guess
		var ok bool
		if pull, spreads, ok = f.normal(readings); !ok || !f.factor() {
			return false
		}
		step := f.backward(f.forward(pull), unknowns)
		largest := 0.0
		for i := held.first; i < unknowns; i++ {
			s := min(max(step[i], -farthest[i]), farthest[i])
			free[i] = f.at[i] + s
			largest = max(largest, math.Abs(s*f.root[i][i]))
			f.chi -= step[i] * pull[i]
		}
		if straight || largest < 1e-2 || round == rounds {
			break
		}
		f.at = free
		// A tooth much thicker than its pitch allows is no gear.
		f.at[uThin] = max(f.at[uThin], -0.2)
	}
	f.at = free
	// Thinning is the last unknown: its own spread is the factor's last corner.
	sure := f.root[uThin][uThin]
	f.evidence = -f.chi/2 - spreads + math.Ln2 + logBelow(free[uThin]*sure)
	scale := 1.0
	for i := held.first; i < unknowns; i++ {
		scale *= held.sd[i] * f.root[i][i]
	}
	f.evidence -= math.Log(scale)
	if free[uThin] < 0 {
		f.chi += sq(free[uThin] * sure)
		f.at = f.without(free)
	}
	return !math.IsNaN(f.evidence) && f.possible(readings)
}

// straight says whether a reading of a gear of a stated module and pressure
// angle is linear in all that is unknown.
func (r *Reading) straight(teeth int) bool {
	switch r.Kind {
	case PinSize, ChordSize:
		return false
	case OutsideDiameter:
		return teeth%2 == 0
	}
	return true
}

// farthest is how far one step of the fit may go.
var farthest = guess{uSize: 0.5, uPressure: 0.1, uShift: 1, uTip: 1, uRoot: 1, uThin: 0.5}

// normal returns the right side of the normal equations at f.at and the sum of
// the logs of the readings' uncertainties; the left side goes into f.root, the
// chi-square into f.chi.
func (f *fitted) normal(readings []Reading) (pull guess, spreads float64, ok bool) {
	b := f.belief
	f.root, f.chi = [unknowns]guess{}, 0
	for i := b.first; i < unknowns; i++ {
		d := (b.mean[i] - f.at[i]) / b.sd[i]
		f.root[i][i] = 1 / (b.sd[i] * b.sd[i])
		pull[i] = d / b.sd[i]
		f.chi += d * d
	}
	s := f.base.at(&f.at)
	product := 1.0
	for n := range readings {
		r := &readings[n]
		p, slope := s.read(r)
		spread := r.spread(s.module)
		d := (r.Value - p) / spread
		f.chi += d * d
		if product *= spread; product < 1e-100 || product > 1e100 {
			spreads, product = spreads+math.Log(product), 1
		}
		for i := b.first; i < unknowns; i++ {
			if slope[i] == 0 {
				continue
			}
			slope[i] /= spread
			pull[i] += slope[i] * d
			for j := b.first; j <= i; j++ {
				f.root[i][j] += slope[i] * slope[j]
			}
		}
	}
	spreads += math.Log(product) + float64(len(readings))*math.Log(2*math.Pi)/2
	return pull, spreads, !math.IsNaN(f.chi) && !math.IsInf(spreads, 0)
}

// factor puts Cholesky's factor in place of the matrix in f.root.
func (f *fitted) factor() bool {
	for i := f.belief.first; i < unknowns; i++ {
		for j := f.belief.first; j <= i; j++ {
			sum := f.root[i][j]
			for k := f.belief.first; k < j; k++ {
				sum -= f.root[i][k] * f.root[j][k]
			}
			switch {
			case i > j:
				f.root[i][j] = sum / f.root[j][j]
			case !(sum > 0) || math.IsInf(sum, 0):
				return false
			default:
				f.root[i][i] = math.Sqrt(sum)
			}
		}
	}
	return true
}

// forward solves with the factor.
func (f *fitted) forward(x guess) guess {
	for i := f.belief.first; i < unknowns; i++ {
		for k := f.belief.first; k < i; k++ {
			x[i] -= f.root[i][k] * x[k]
		}
		x[i] /= f.root[i][i]
	}
	return x
}

// backward solves with the factor's transpose for the unknowns before end; the
// others stand as given.
func (f *fitted) backward(x guess, end int) guess {
	for i := end - 1; i >= f.belief.first; i-- {
		for k := i + 1; k < unknowns; k++ {
			x[i] -= f.root[k][i] * x[k]
		}
		x[i] /= f.root[i][i]
	}
	return x
}

// without is the likeliest guess where there is no thinning at all: what the
// others are when the last one moves from u to nought.
func (f *fitted) without(u guess) guess {
	var moved guess
	moved[uThin] = -u[uThin]
	moved = f.backward(moved, uThin)
	for i := f.belief.first; i < unknowns; i++ {
		u[i] += moved[i]
	}
	u[uThin] = 0
	return u
}

// logBelow is the log of the normal distribution's share below z standard
// deviations.
func logBelow(z float64) float64 {
	if z > -8 {
		return math.Log(math.Erfc(-z/math.Sqrt2) / 2)
	}
	return -z*z/2 - math.Log(-z*math.Sqrt(2*math.Pi)) // Abramowitz & Stegun, 26.2.12
}

// logSum is log(exp a + exp b).
func logSum(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(b, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

func sq(v float64) float64 { return v * v }

// possible says whether the fitted tooth is not pointed nor past all wear, and
// whether the spans touch flanks: anvils that pass over the tips read no span.
// The slack lets a gear with a turned-down blank through.
func (f *fitted) possible(readings []Reading) bool {
	s := f.base.at(&f.at)
	if f.at[uThin] > wearLimit || math.Abs(f.at[uShift]) > shiftLimit || !(s.root > 0) {
		return false
	}
	for i := range readings {
		r := &readings[i]
		if r.Kind != SpanSize {
			continue
		}
		if w, _ := s.read(r); math.Hypot(s.base, w/2) > s.tip+0.2*s.module {
			return false
		}
	}
	land, _ := s.flank(s.tip)
	return land > 0
}

// foreseen returns what reading r will be on the fitted gear, and the standard
// uncertainty of that, the reading's own spread in it.
func (f *fitted) foreseen(r Reading) (value, sd float64) {
	s := f.base.at(&f.at)
	value, slope := s.read(&r)
	return value, math.Hypot(r.spread(s.module), f.sure(slope))
}

// sure is the standard uncertainty of what changes so with the unknowns.
func (f *fitted) sure(slope guess) float64 {
	sum := 0.0
	x := f.forward(slope)
	for _, v := range x[f.belief.first:] {
		sum += v * v
	}
	return math.Sqrt(sum)
}

// gear is the fitted gear with its shift and thinning, of the base's heights.
func (f *fitted) gear() profiles.Gear {
	s := f.base.at(&f.at)
	return profiles.Gear{Teeth: f.base.teeth, Module: s.module, Pressure: f.base.pressure.rad + f.at[uPressure], Rack: f.base.rack,
		Shift: f.at[uShift], Thinning: f.at[uThin] * s.module}
}
