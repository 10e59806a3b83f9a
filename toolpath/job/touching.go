package job

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Touching is how good teeth are touched to copy their flanks.
type Touching struct {
	Apart   bool    // right and left flank are each copied by itself
	Cutter  string  // end mill whose side touches; "": not named
	Pin     float64 // diameter of a pin in its place, mm; 0: none
	Paper   float64 // between cutter and flank, mm
	Within  float64 // +- of each reading, mm
	TipLand float64 // width of the flat tip of a good tooth, mm; 0: not measured
}

// ReadToTouch reads the job at path as far as the touching of good teeth needs it:
// its gear, cutters and index device; what is let in or built up is not looked at.
// Of a copied tooth without readings the flanks are a guess, and Gear.Copy is nil.
// extra is text put after the job's own. A failure is an Errors.
func ReadToTouch(path string, extra string) (*Job, error) {
	src, err := readFile(path)
	if err != nil {
		return nil, Errors{{File: path, Msg: err.Error()}}
	}
	return DecodeToTouch(path, append(src, extra...), func(shop string) ([]byte, error) {
		return readFile(beside(path, shop))
	})
}

// DecodeToTouch is ReadToTouch of a text, its shop file read by shop.
func DecodeToTouch(file string, src []byte, shop func(path string) ([]byte, error)) (*Job, error) {
	d := &draft{toTouch: true}
	j, err := d.decode(file, src, shop, nil)
	if err != nil {
		return nil, err
	}
	j.Touching = Touching{Apart: d.apart, Cutter: d.touching, Pin: d.touchPin, Paper: d.paper, Within: d.within, TipLand: d.tipLand}
	return j, nil
}

// Copies says that the job copies its flanks from good teeth.
func (j *Job) Copies() bool { return j.copies }

// likelyModule is the module of standard teeth of the measured outside diameter,
// mm.
func (d *draft) likelyModule() float64 { return d.outside / float64(d.job.Gear.Teeth+2) }

// likelyAngles are the pressure angles one expects first on an old gear, rad
// (common practice, no source).
var likelyAngles = []float64{geom.Radians(20), geom.Radians(14.5)}

// likely guesses flanks that have not been touched: a standard involute of the
// measured outside diameter and depth, of that common pressure angle whose tip is
// as wide as measured.
func (d *draft) likely(rack profiles.Rack) bool {
	g := &d.job.Gear
	if g.Module == 0 {
		g.Module = d.likelyModule()
	}
	g.Pressure = likelyAngles[0]
	if !d.measuredRack(&rack) {
		return false
	}
	g.Rack = rack
	best := math.Inf(1)
	for _, a := range likelyAngles {
		try := *g
		try.Pressure = a
		if try.Validate() != nil {
			continue
		}
		off := math.Abs(2*try.TipRadius()*try.HalfAngle(try.TipRadius()) - d.tipLand)
		if d.tipLand == 0 {
			off = 0
		}
		if off < best {
			best, g.Pressure = off, a
		}
	}
	if math.IsInf(best, 1) {
		d.contradict("no standard tooth has such a tip and depth: measure both again", "gear.depth", "gear.outside_diameter")
		return false
	}
	return true
}
