package job

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// formKind is the form of the flanks.
type formKind int

const (
	involute formKind = iota
	cycloidal
	copiedForm
)

// formNames are in the order of the constants they stand for.
var formNames = []string{"involute", "cycloidal", "copied"}

// Keys that only some forms have, and what an odd one is told.
var (
	cycloidKeys = []string{"gear.set", "gear.addendum_circle", "gear.dedendum_circle"}
	tipRootKeys = []string{"gear.outside_diameter", "gear.depth", "gear.fillet_radius", "gear.tip_land"}
)

// checkFormKeys tells of keys that the gear's form does not have, and of those
// that say the same.
func (d *draft) checkFormKeys() {
	refuse := func(keys []string, why string) {
		for _, key := range keys {
			if d.has(key) {
				d.contradict(why, key)
			}
		}
	}
	if !d.ok("gear.form") {
		return
	}
	if d.form != cycloidal {
		refuse(cycloidKeys, `only a tooth of gear.form = "cycloidal" has a generating circle; leave this key out`)
	}
	if d.form == involute {
		refuse(tipRootKeys, `measured sizes of tip and root go with gear.form = "cycloidal" or "copied"; an involute has them from gear.addendum, dedendum and root_fillet, in modules`)
		if d.has("gear") && !d.has("gear.pressure_angle") && !d.partial && d.ok("gear.pressure_angle") {
			k := KeyAt("gear.pressure_angle")
			d.fail("gear.pressure_angle", d.given["gear"], "this key is missing; allowed "+k.Allowed(d.job.Units))
		}
		d.bad["gear.pressure_angle"] = d.bad["gear.pressure_angle"] || !d.has("gear.pressure_angle")
		return
	}
	refuse([]string{"gear.pressure_angle", "gear.profile_shift"}, fmt.Sprintf(`only an involute has it; leave it out with gear.form = %q`, formNames[d.form]))
	for _, twice := range [][2]string{{"gear.outside_diameter", "gear.addendum"}, {"gear.depth", "gear.dedendum"}, {"gear.fillet_radius", "gear.root_fillet"}} {
		if d.has(twice[0]) && d.has(twice[1]) {
			d.contradict(fmt.Sprintf("%s and %s are both given; give one", twice[0], twice[1]), twice[0], twice[1])
		}
	}
}

// Bounds of measured tips and roots, in modules: our own rule, a little beyond
// what proportions may be given.
const (
	leastTip, mostTip   = 0.3, 1.8
	leastRoot, mostRoot = 0.4, 2.2
)

// measuredRack puts measured sizes of tip and root into the proportions.
func (d *draft) measuredRack(rack *profiles.Rack) bool {
	g := &d.job.Gear
	given := func() { rack.Name, rack.Source = "", "given by the job" }
	if d.has("gear.outside_diameter") {
		given()
		rack.Addendum = (d.outside/2 - g.PitchRadius()) / g.Module
		if low, high := 2*(g.PitchRadius()+leastTip*g.Module), 2*(g.PitchRadius()+mostTip*g.Module); d.outside < low || d.outside > high {
			d.contradict(fmt.Sprintf("%s is no outside diameter of %d teeth of this gear.module; %s", d.mm(d.outside), g.Teeth, d.allowed(low, high)), "gear.outside_diameter")
			return false
		}
	}
	if d.has("gear.depth") {
		given()
		rack.Dedendum = d.depth/g.Module - rack.Addendum
		if low, high := (rack.Addendum+leastRoot)*g.Module, (rack.Addendum+mostRoot)*g.Module; d.depth < low || d.depth > high {
			d.contradict(fmt.Sprintf("%s is no depth of teeth of this gear.module; %s", d.mm(d.depth), d.allowed(low, high)), "gear.depth")
			return false
		}
	}
	if d.has("gear.fillet_radius") {
		given()
		rack.Fillet = d.filletRadius / g.Module
		if most := g.Module; d.filletRadius > most {
			d.contradict(fmt.Sprintf("%s does not go into the spaces of this gear.module; %s", d.mm(d.filletRadius), d.allowed(0, most)), "gear.fillet_radius")
			return false
		}
	}
	return true
}

// cycloid makes the form of cycloidal teeth: as thick as their spaces.
func (d *draft) cycloid() bool {
	g := &d.job.Gear
	both := d.has("gear.addendum_circle") && d.has("gear.dedendum_circle")
	switch {
	case d.has("gear.set") && (d.has("gear.addendum_circle") || d.has("gear.dedendum_circle")):
		d.contradict("gear.set and a generating circle are both given; give one", "gear.set")
		return false
	case d.has("gear.set"):
		circle := 2 * profiles.SetCircle(g.Module, d.setOf)
		d.rolling = [2]float64{circle, circle}
	case !both:
		d.contradict("gear.set is missing, or gear.addendum_circle and gear.dedendum_circle; a set of 15 or 12 teeth is common", "gear.form", "gear.addendum_circle", "gear.dedendum_circle")
		return false
	}
	if most := g.PitchRadius(); d.rolling[1] > most+1e-9 {
		text := fmt.Sprintf("%s for the circle under the pitch circle of %s is more than half of it: the tooth would be undercut; %s", d.mm(d.rolling[1]), d.mm(2*most), d.allowed(0, most))
		if d.has("gear.set") {
			text = fmt.Sprintf("a gear of %d teeth is less than the least pinion of a set of %d; allowed to %d", g.Teeth, d.setOf, g.Teeth)
		}
		d.contradict(text, "gear.set", "gear.dedendum_circle")
		return false
	}
	form, err := profiles.Cycloid{PitchRadius: g.PitchRadius(), Addendum: d.rolling[0] / 2, Dedendum: d.rolling[1] / 2, HalfAngle: g.Pitch() / 4}.Form()
	if err != nil {
		d.contradict(err.Error(), "gear.addendum_circle", "gear.set")
		return false
	}
	g.Form = form
	return true
}

// makeForm makes the flanks of teeth that are no involutes, with tip and root.
func (d *draft) makeForm() bool {
	g := &d.job.Gear
	d.job.copies = d.form == copiedForm
	if !d.checkReadings() {
		return false
	}
	if d.rack == "" {
		d.rack = "old-full-depth"
	}
	rack := d.proportions()
	if d.form == copiedForm && len(d.touches) == 0 && len(d.chords) == 0 {
		return d.likely(rack)
	}
	if d.form == copiedForm && !d.copy() {
		return false
	}
	if !d.measuredRack(&rack) {
		return false
	}
	g.Rack = rack
	if d.form == cycloidal && !d.cycloid() {
		return false
	}
	err := g.Validate()
	if err == nil {
		g.Pressure, err = g.NearestPressure()
	}
	if err != nil && d.form == copiedForm {
		key := vernierTable
		if len(d.touches) > 0 {
			key = d.touches[0].path() + ".tooth"
		} else {
			key += "." + d.chords[0].Name
		}
		d.contradict(fmt.Sprintf("the readings make no tooth of this outside diameter and depth: %v; are the teeth counted from the gap, the first that stands 1?", err), key)
		return false
	}
	if err != nil {
		d.contradict(fmt.Sprintf("no such %s tooth: %v", formNames[d.form], err), "gear.depth", "gear.dedendum", "gear.outside_diameter", "gear.addendum", "gear.form")
		return false
	}
	return d.checkTipLand()
}

// sameLand is how far a measured tip land may differ from the flanks', in
// modules: burrs and worn corners (own rule).
const sameLand = 0.12

// checkTipLand holds the flanks to the tip land as measured.
func (d *draft) checkTipLand() bool {
	g := &d.job.Gear
	if !d.has("gear.tip_land") {
		return true
	}
	land := g.TipRadius() * (g.HalfAngle(g.TipRadius()) + g.Mirrored().HalfAngle(g.TipRadius()))
	if math.Abs(land-d.tipLand) > sameLand*g.Module {
		d.contradict(fmt.Sprintf("%s, where these flanks leave %s at the tip: measure again, the outside diameter too; %s", d.mm(d.tipLand), d.mm(land), d.allowed(max(0, land-sameLand*g.Module), land+sameLand*g.Module)), "gear.tip_land")
		return false
	}
	g.TipLand = d.tipLand
	return true
}
