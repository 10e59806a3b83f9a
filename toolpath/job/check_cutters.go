package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
)

// leastShank is the shank of an end mill when the job does not say: small end
// mills commonly have one of 6 mm, and a shank taken too thick only makes the
// check careful.
const leastShank = 6.0

// leastNeck is the share of its diameter that a dovetail cutter has left at its
// narrow end, at least (own rule; the usual ones of 60 degrees have over 0.4).
const leastNeck = 0.125

// finishCutter fills in what a cutter's table leaves out and checks it alone.
func (d *draft) finishCutter(path string) {
	c := d.cutter
	if !d.ok(path+".kind", path+".diameter", path+".number") {
		return
	}
	key := func(name string) string { return path + "." + name }
	unset := func(name string, to *float64, v float64) {
		if !d.has(key(name)) {
			*to = v
		}
	}
	d.cutterAngle(path)
	if !d.has(key("flutes")) {
		c.Flutes = flutes(c)
	}
	switch c.Kind {
	case profiles.Dovetail:
		unset("flute_length", &c.FluteLength, c.FlankHeight)
		unset("neck", &c.Neck, c.Diameter-2*c.FlankHeight*math.Tan(c.FlankAngle))
		unset("max_depth", &c.MaxDepth, c.FlankHeight)
		unset("shank", &c.Shank, math.Max(c.Neck, leastShank))
	case profiles.Drill:
		unset("flute_length", &c.FluteLength, 8*c.Diameter)
		unset("max_depth", &c.MaxDepth, c.Diameter)
		unset("shank", &c.Shank, c.Diameter)
	default:
		unset("flute_length", &c.FluteLength, 2.5*c.Diameter)
		unset("max_depth", &c.MaxDepth, c.Diameter/2)
		unset("shank", &c.Shank, math.Max(c.Diameter, leastShank))
	}
	unset("neck_length", &c.NeckLength, c.FluteLength)
	unset("stick_out", &c.StickOut, math.Max(c.FluteLength, c.NeckLength)+5)
	unset("holder", &c.Holder, math.Max(c.Holder, c.Shank))
	d.cutterSizes(path)
	d.cutterLimits(path)
}

// flutes is the common number of edges of a cutter.
func flutes(c *profiles.Cutter) int {
	switch {
	case c.SinglePoint:
		return 1
	case c.Kind == profiles.Dovetail:
		return 6
	case c.Kind == profiles.Drill || c.Diameter < 3:
		return 2
	}
	return 4
}

// cutterAngle turns the included angle into what the kind needs.
func (d *draft) cutterAngle(path string) {
	c := d.cutter
	angle, height := path+".angle", path+".flank_height"
	if c.Kind != profiles.Dovetail && d.has(height) {
		d.contradict(fmt.Sprintf("only a dovetail cutter has a flank height; %s.kind is %q", path, cutterKinds[c.Kind]), height)
	}
	if !d.ok(angle) {
		return
	}
	switch c.Kind {
	case profiles.EndMill:
		if d.has(angle) {
			d.contradict(fmt.Sprintf("only a dovetail cutter or a drill has an angle; %s.kind is \"end mill\"", path), angle)
		}
	case profiles.Drill:
		c.PointAngle = 118 * math.Pi / 180 // the common point
		if d.has(angle) {
			c.PointAngle = d.coneAngle
		}
		if c.PointAngle < 60*math.Pi/180 {
			d.contradict(fmt.Sprintf("%s is too small for a drill (%s.kind); allowed 60 to 180 deg", d.deg(c.PointAngle), path), angle)
		}
	case profiles.Dovetail:
		c.FlankAngle = d.coneAngle / 2
		for _, k := range []string{"angle", "flank_height"} {
			if !d.has(path + "." + k) {
				d.fail(path+"."+k, d.given[path], "this key is missing; a dovetail cutter needs it")
			}
		}
		if d.ok(angle) && c.FlankAngle > math.Pi/4*(1+1e-12) {
			d.contradict(fmt.Sprintf("%s is too large for a dovetail cutter (%s.kind); allowed 4 to 90 deg", d.deg(d.coneAngle), path), angle)
		}
	}
}

// cutterSizes checks that the parts of a cutter fit on each other.
func (d *draft) cutterSizes(path string) {
	c := d.cutter
	less := func(low string, a float64, high string, b float64) {
		k1, k2 := path+"."+low, path+"."+high
		if d.ok(k1, k2) && a > b*(1+1e-9) {
			d.contradict(fmt.Sprintf("%s %s is more than %s %s", low, d.mm(a), k2, d.mm(b)), k1, k2)
		}
	}
	if !d.ok(path+".angle", path+".flank_height") {
		return
	}
	if c.Kind == profiles.Dovetail {
		text := ""
		switch top := c.Diameter - 2*c.FlankHeight*math.Tan(c.FlankAngle); {
		case !(top > 0.1):
			text = "comes to a point below it"
		case top < leastNeck*c.Diameter:
			text = "leaves only " + d.mm(top) + " at its narrow end, which would break; allowed an eighth of the diameter at least"
		}
		if text != "" {
			d.contradict(fmt.Sprintf("%s at %s included %s (%s.diameter %s)", d.mm(c.FlankHeight), d.deg(2*c.FlankAngle), text, path, d.mm(c.Diameter)), path+".flank_height")
			return
		}
		less("flank_height", c.FlankHeight, "flute_length", c.FluteLength)
	}
	less("neck", c.Neck, "diameter", c.Diameter)
	less("flute_length", c.FluteLength, "neck_length", c.NeckLength)
	less("neck_length", c.NeckLength, "stick_out", c.StickOut)
	less("max_depth", c.MaxDepth, "flute_length", c.FluteLength)
	less("shank", c.Shank, "holder", c.Holder)
}

// cutterLimits checks a cutter's own speed and feeds against the machine.
func (d *draft) cutterLimits(path string) {
	c, m := d.cutter, &d.job.Machine
	if rpm := path + ".rpm"; d.has(rpm) && d.ok(rpm, "machine.min_rpm", "machine.max_rpm") && !(c.Rpm >= m.MinRpm && c.Rpm <= m.MaxRpm) {
		d.contradict(fmt.Sprintf("%s rev/min is outside machine.min_rpm to machine.max_rpm; allowed %s to %s rev/min", trim(c.Rpm, 1), trim(m.MinRpm, 1), trim(m.MaxRpm, 1)), rpm)
	}
	for name, v := range map[string]float64{"feed": c.Feed, "plunge": c.Plunge} {
		if key := path + "." + name; d.ok(key, "machine.max_feed") && v > m.MaxFeed*(1+1e-9) {
			d.contradict(fmt.Sprintf("%s is over machine.max_feed; allowed to %s", show(Feed, v, d.job.Units), show(Feed, m.MaxFeed, d.job.Units)), key)
		}
	}
}

// checkCutters checks the cutters against each other and puts them in order.
func (d *draft) checkCutters() {
	if len(d.job.Cutters) == 0 {
		if d.ok(cutterTable, "shop") && !d.partial && !d.toTouch {
			d.fail(cutterTable, d.top(), "no cutter is given; add tables [cutter.NAME] or name a shop file")
		}
		return
	}
	d.cuttersDone = d.ok(cutterTable)
	by := map[int]string{}
	for _, c := range d.job.Cutters {
		path := cutterTable + "." + c.Name
		for _, k := range keysOf(cutterTable + anyName) {
			if d.bad[path+"."+k.Name] {
				d.cuttersDone = false
			}
		}
		if !d.ok(path + ".number") {
			continue
		}
		if other, ok := by[c.Number]; ok {
			d.contradict(fmt.Sprintf("%d is also the number of cutter.%s.number", c.Number, other), path+".number")
		}
		by[c.Number] = c.Name
	}
	slices.SortFunc(d.job.Cutters, func(a, b profiles.Cutter) int {
		return cmp.Or(cmp.Compare(a.Number, b.Number), cmp.Compare(a.Name, b.Name))
	})
}

// Cutter returns the cutter of that name, nil when there is none.
func (j *Job) Cutter(name string) *profiles.Cutter {
	for i := range j.Cutters {
		if j.Cutters[i].Name == name {
			return &j.Cutters[i]
		}
	}
	return nil
}

// checkReferences checks that the cutters that other tables name are there and
// are of the right kind.
func (d *draft) checkReferences() {
	if !d.ok(cutterTable, "shop") {
		return
	}
	j := d.job
	refer := func(key, name string, kind profiles.CutterKind) {
		if name == "" || !d.ok(key) {
			return
		}
		c := j.Cutter(name)
		if c == nil {
			d.contradict(d.noCutter(name), key)
		} else if d.ok(cutterTable+"."+name+".kind") && c.Kind != kind {
			d.contradict(fmt.Sprintf("cutter.%s.kind is %q; %q is wanted", name, cutterKinds[c.Kind], cutterKinds[kind]), key)
		}
	}
	refer("slot.roughing", j.Slot.Roughing, profiles.EndMill)
	refer("slot.dovetail", j.Slot.Dovetail, profiles.Dovetail)
	refer("flush.cutter", j.Flush.Cutter, profiles.EndMill)
	refer("lock.rim_drill", j.Lock.RimDrill, profiles.Drill)
	refer("lock.point_drill", j.Lock.PointDrill, profiles.Drill)
	for _, name := range j.Facets.Cutters {
		refer("facets.cutters", name, profiles.EndMill)
	}
}

func (d *draft) noCutter(name string) string {
	var names []string
	for _, c := range d.job.Cutters {
		names = append(names, c.Name)
	}
	msg := fmt.Sprintf("there is no table [cutter.%s]", oneLine(name))
	if near := Nearest(name, names); near != "" {
		msg += fmt.Sprintf("; nearest: %q", near)
	}
	return msg
}
