package measure

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// FreeGear is what the readings say of a gear that is none of the list. Its
// module, pressure angle, heights, shift and wear are all unknown.
type FreeGear struct {
	Share         float64 // the chance that the gear is none of the list, 0 to 1
	Module        float64 // mm
	ModuleSigma   float64 // its standard uncertainty, mm
	Pressure      float64 // rad
	PressureSigma float64 // its standard uncertainty, rad
	Step          float64 // base pitch, mm
	StepSigma     float64 // its standard uncertainty, mm
	Chance        float64 // of misfits as large as the readings' if it is such a gear
}

// freeSteps are how many starts over the pressure angle a free gear is fitted
// from; each is held to lie near its own, and together they fill the range.
const (
	freeSteps = 7
	freeFrom  = 11.0 // degrees
	freeTo    = 29.0
	freeGap   = (freeTo - freeFrom) / (freeSteps - 1)
)

// freeWeight is how many gears of no standard have a pressure angle about that
// of a start: hills of their spread so far apart add up to a smooth one.
var freeWeight = func() (w [freeSteps]float64) {
	sum := 0.0
	for i := range w {
		w[i] = math.Exp(-sq((freeFrom+freeGap*float64(i)-freeAngle)/freeAngleDev) / 2)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}()

// parts are the fits of gears of no standard.
type parts struct {
	list  []part
	score float64 // log of the share and the evidence of all
}

type part struct {
	score float64
	fit   fitted
}

// add fits a gear in one manner; share is how many of all gears are so. It is
// false when that adds nothing to speak of.
func (p *parts) add(b *base, m *manner, share float64, readings []Reading) bool {
	var f fitted
	if !f.fit(b, &m.belief, readings) {
		return false
	}
	s := math.Log(share*m.share) + f.evidence
	if s < p.score+tiny {
		return false
	}
	p.list, p.score = append(p.list, part{s, f}), logSum(p.score, s)
	return true
}

// free weighs the gears of no standard against a list of the total weight
// given: those of any module and pressure angle, and those of a standard module
// with a pressure angle of their own.
func free(teeth int, readings []Reading, total float64) *parts {
	p := &parts{score: math.Inf(-1)}
	total /= 1 - freeShare - oddAngleShare
	pitches := profiles.StandardPitches()
	of := 0.0
	for _, s := range pitches {
		of += seriesWeight[s.Series]
	}
	for i, w := range freeWeight {
		a := angleOf(geom.Radians(freeFrom + freeGap*float64(i)))
		b := base{teeth: teeth, pressure: a, rack: freeRacks[0].Rack}
		b.module = b.start(readings)
		for _, m := range freeManners {
			b := &base{teeth, b.module, a, m.rack}
			m.mean[uSize] = math.Log(freeSize / b.module)
			p.add(b, &m.manner, total*freeShare*w, readings)
		}
		for _, s := range pitches {
			if b := (base{teeth, s.Module, a, freeRacks[0].Rack}); b.near(readings) {
				wide := false
				for k := range oddAngleManners {
					m := &oddAngleManners[k]
					b := &base{teeth, s.Module, a, m.rack}
					// The widest manner of a rack tells whether the next can matter.
					if k%2 == 1 && !wide {
						continue
					}
					wide = p.add(b, &m.manner, total*oddAngleShare*w*seriesWeight[s.Series]/of, readings)
				}
			}
		}
	}
	return p
}

// freeRacks are the heights about which those of gears of no standard lie: full
// depth, stub, and full depth with a deep root.
var freeRacks = []struct {
	profiles.Rack
	share float64
}{
	{profiles.Rack{Addendum: 1, Dedendum: 1.2}, 0.7},
	{profiles.Rack{Addendum: 0.8, Dedendum: 1}, 0.2},
	{profiles.Rack{Addendum: 1, Dedendum: 1.4}, 0.1},
}

// freeManner is a manner of gears of no standard, of about the heights of rack.
type freeManner struct {
	manner
	rack profiles.Rack
}

// freeManners are those of gears of any module; oddAngleManners those of gears of
// a standard module, all made plain, for shifted ones the list stands: two for
// each rack, the more worn first.
var freeManners, oddAngleManners = func() (all, plain []freeManner) {
	for _, r := range freeRacks {
		for _, first := range []int{uSize, uPressure} {
			for _, m := range manners(first) {
				m.sd[uSize], m.sd[uPressure] = freeSizeLog, geom.Radians(0.6*freeGap)
				shifted := m.mean[uTip] != 0
				if shifted { // and of any heights
					m.mean[uTip], m.sd[uTip], m.sd[uRoot] = -0.05, freeHeight, freeHeight
				} else {
					m.sd[uRoot], m.share = 0.05, m.share*r.share // dedendum 1.157 to 1.25
				}
				switch {
				case first == uPressure && !shifted:
					m.share /= plainShare
					plain = append(plain, freeManner{m, r.Rack})
				case first == uSize && (!shifted || r == freeRacks[0]):
					all = append(all, freeManner{m, r.Rack})
				}
			}
		}
	}
	return all, plain
}()

// gear is the mean and spread of the parts together.
func (all *parts) gear(readings int) FreeGear {
	var g FreeGear
	best := math.Inf(-1)
	var mean, square [3]float64
	for i := range all.list {
		p := &all.list[i]
		if p.score > best {
			best, g.Chance = p.score, chiSquareTail(p.fit.chi, readings)
		}
		s := p.fit.base.at(&p.fit.at)
		w := math.Exp(p.score - all.score)
		for k, v := range []struct {
			value float64
			slope guess
		}{
			{s.module, guess{uSize: s.module}},
			{p.fit.base.pressure.rad + p.fit.at[uPressure], guess{uPressure: 1}},
			{s.step(), guess{uSize: s.step(), uPressure: -s.step() * s.sin / s.cos}},
		} {
			mean[k] += w * v.value
			square[k] += w * (sq(v.value) + sq(p.fit.sure(v.slope)))
		}
	}
	sigma := func(k int) float64 { return math.Sqrt(max(0, square[k]-sq(mean[k]))) }
	g.Module, g.ModuleSigma = mean[0], sigma(0)
	g.Pressure, g.PressureSigma = mean[1], sigma(1)
	g.Step, g.StepSigma = mean[2], sigma(2)
	return g
}

// start is a module near that of the readings: where the first that all but
// tells it puts it.
func (b *base) start(readings []Reading) float64 {
	one := *b
	one.module = 1
	s := one.at(&guess{})
	for _, kind := range []ReadingKind{OutsideDiameter, SpanSize, TouchStep, CentreDistance, RootDiameter, PinSize, WholeDepth, ChordSize} {
		for i := range readings {
			r := &readings[i]
			if r.Kind != kind {
				continue
			}
			switch p, _ := s.read(r); {
			case kind == PinSize:
				return r.Value / float64(b.teeth+2)
			case kind == ChordSize:
				return r.Value / (math.Pi / 2)
			case p > 0:
				return r.Value / p
			}
		}
	}
	return freeSize
}
