package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"cogmend/profiles"
	"cogmend/profiles/copied"
)

// touchRead is one touch as the file gives it.
type touchRead struct {
	name                 string
	tooth, side          int
	y, angle             float64
	turns, holes, circle int
	moved, drop          float64
	cutter               string
	paper                float64
}

// path is the table of the touch; its keys follow with a dot.
func (t *touchRead) path() string { return touchTable + "." + t.name }

// Copy is what the flanks were copied from. Right and Left are one where they
// were copied alike.
type Copy struct {
	Right, Left *copied.Flank // seen from +X
	Within      float64       // +- of each reading, mm
	Chords      bool          // by tooth vernier
}

// Flanks are the flanks copied, each once.
func (c *Copy) Flanks() []*copied.Flank {
	if c.Right == c.Left {
		return []*copied.Flank{c.Right}
	}
	return []*copied.Flank{c.Right, c.Left}
}

// checkReadings tells of readings on good teeth where none are wanted, and of
// what is missing where they are. It says whether a copy can be tried.
func (d *draft) checkReadings() bool {
	if d.form != copiedForm {
		table := ""
		switch {
		case d.has("copy"):
			table = "copy"
		case len(d.touches) > 0:
			table = d.touches[0].path()
		case len(d.chords) > 0:
			table = vernierTable + "." + d.chords[0].Name
		default:
			return true
		}
		d.contradict(`readings on good teeth make a tooth of gear.form = "copied" only; leave them out, or give it`, table)
		return false
	}
	sound := true
	for _, key := range []string{"gear.outside_diameter", "gear.depth"} {
		if !d.has(key) {
			d.contradict("a copied tooth needs it, as measured; allowed "+KeyAt(key).Allowed(d.job.Units), key)
			sound = false
		}
	}
	for key := range d.bad {
		table, _, _ := strings.Cut(key, ".")
		sound = sound && !(d.bad[key] && (table == touchTable || table == vernierTable || table == "copy" || table == cutterTable))
	}
	switch {
	case len(d.touches) > 0 && len(d.chords) > 0:
		d.contradict("touches and readings of a vernier are both given; copy from one of them", "vernier."+d.chords[0].Name)
		sound = false
	case d.toTouch && len(d.touches) == 0 && len(d.chords) == 0:
	case len(d.touches) == 0 && len(d.chords) == 0 && !d.bad[touchTable] && !d.bad[vernierTable]:
		d.contradict(fmt.Sprintf("no readings to copy: give %d tables [touch.NAME] or [vernier.NAME] at least; 'cogmend copy' says which to take", copied.Least), "gear.form")
		sound = false
	case d.apart && len(d.chords) > 0:
		d.contradict(`a vernier reads both flanks at once; allowed "alike"`, "copy.flanks")
		sound = false
	}
	return sound
}

// copy makes the form of a tooth from the readings on good ones.
func (d *draft) copy() bool {
	g := &d.job.Gear
	tip := d.outside / 2
	tooth := copied.Tooth{TipRadius: tip, RootRadius: tip - d.depth, Limit: d.within}
	if !(tooth.RootRadius > 0) {
		d.contradict(fmt.Sprintf("%s reaches the axis of a gear of %s; measure again", d.mm(d.depth), d.mm(d.outside)), "gear.depth")
		return false
	}
	c := &Copy{Within: d.within, Chords: len(d.chords) > 0}
	var ok bool
	switch {
	case c.Chords:
		c.Right, ok = d.copyChords(tooth)
		c.Left = c.Right
	default:
		ok = d.copyTouches(c, tooth)
	}
	if !ok {
		return false
	}
	if g.Module == 0 {
		g.Module = d.likelyModule()
	}
	g.Form, g.Copy = copied.Form(c.Right, c.Left), c
	return true
}

func (d *draft) copyChords(tooth copied.Tooth) (*copied.Flank, bool) {
	// Tooth and space share the pitch circle: about a full depth tooth of 20 degrees.
	guess := tooth.TipRadius * float64(d.job.Gear.Teeth) / float64(d.job.Gear.Teeth+2) * math.Cos(math.Pi/9)
	f, err := copied.Chords(d.chords, tooth, guess)
	return f, err == nil || d.fault(err, vernierTable, ".chord")
}

// fault tells of readings that make no flank; it is false.
func (d *draft) fault(err error, table, key string) bool {
	var f *copied.Fault
	if !errors.As(err, &f) {
		d.contradict(err.Error(), "gear.form")
		return false
	}
	if f.Name == "" {
		d.contradict(f.Text, "gear.form")
		return false
	}
	path := table + "." + f.Name
	d.contradict(f.Text, path+key, path)
	return false
}

func (d *draft) copyTouches(c *Copy, tooth copied.Tooth) bool {
	sides := map[int][]copied.Touch{}
	for i := range d.touches {
		t := &d.touches[i]
		touch, ok := d.touchOf(t)
		if !ok {
			return false
		}
		sides[t.side] = append(sides[t.side], touch)
	}
	take := func(list []copied.Touch, which string) (*copied.Flank, bool) {
		f, err := copied.Touches(list, tooth)
		var fault *copied.Fault
		if which != "" && errors.As(err, &fault) && fault.Name == "" {
			fault.Text = "of " + which + " flanks: " + fault.Text
		}
		return f, err == nil || d.fault(err, touchTable, ".y")
	}
	var ok bool
	if d.apart {
		if c.Right, ok = take(sides[1], "right"); ok {
			c.Left, ok = take(sides[-1], "left")
		}
		return ok
	}
	if off, sure := copied.Middle(sides[1], sides[-1], d.within); sure && math.Abs(off) > middleOff*d.within {
		if _, err := copied.Touches(moved(sides, off), tooth); err == nil {
			d.contradict(fmt.Sprintf("right and left flanks agree only with %s added to every y, so Y0 was not in the middle of the gap: find it again by touching both neighbours, or give copy.flanks = \"apart\"", d.mm(-off)), "copy.flanks", d.touches[0].path()+".y")
			return false
		}
	}
	c.Right, ok = take(slices.Concat(sides[1], sides[-1]), "")
	c.Left = c.Right
	return ok
}

// moved returns the touches of both sides with Y0 where off says it is.
func moved(sides map[int][]copied.Touch, off float64) []copied.Touch {
	var out []copied.Touch
	for side, list := range sides {
		for _, t := range list {
			t.Plane -= float64(side) * off
			out = append(out, t)
		}
	}
	return out
}

// middleOff is how far off Y0 may seem, in the limits of one reading, before the
// readings of both flanks are not put together (own rule).
const middleOff = 2

// touchOf turns a touch as read into a sample of the flank: how far the tooth
// leans with that flank on the side it leans to, and where the flank stands.
func (d *draft) touchOf(t *touchRead) (copied.Touch, bool) {
	g, path := &d.job.Gear, t.path()
	bad := func(text string, keys ...string) (copied.Touch, bool) {
		for i := range keys {
			keys[i] = path + "." + keys[i]
		}
		d.contradict(text, append(keys, path)...)
		return copied.Touch{}, false
	}
	if t.tooth == 0 {
		return bad("0 is the gap; allowed 1, 2, 3 ... toward +Y and -1, -2, -3 ... toward -Y", "tooth")
	}
	at, standing := g.standingTooth(t.tooth)
	if !standing {
		return bad(fmt.Sprintf("tooth %d is missing itself (gear.missing_at), or there are not so many", t.tooth), "tooth")
	}
	if t.side == 0 {
		t.side = 1
		if t.tooth < 0 {
			t.side = -1
		}
	}
	turned, text, key := d.gearAngle(t)
	if text != "" {
		return bad(text, key)
	}
	radius, text := d.touchRadius(t)
	if text != "" {
		return bad(text, "cutter")
	}
	if !d.has(path + ".paper") {
		t.paper = d.paper
	}
	side := float64(t.side)
	sample := func(side, y, at, turned, off float64) (angle, plane float64) {
		return side * (at*g.Pitch() + turned), side*y - off
	}
	off := radius + t.paper
	out := copied.Touch{Name: t.name}
	out.Angle, out.Plane = sample(side, t.y, at, turned, off)
	doubt := func(text string, side, y, at, turned, off float64) {
		c := copied.Doubt{Text: text}
		c.Angle, c.Plane = sample(side, y, at, turned, off)
		out.Doubts = append(out.Doubts, c)
	}
	if d.job.Units == MM {
		doubt("y was read in inches", side, t.y*inch, at, turned, off)
	} else {
		doubt("y was read in mm", side, t.y/inch, at, turned, off)
	}
	doubt(fmt.Sprintf("it is of the %s flank", map[int]string{1: "left", -1: "right"}[t.side]), -side, t.y, at, turned, off)
	doubt("y has the other sign", side, -t.y, at, turned, off)
	if turned != 0 {
		doubt("the gear was turned the other way", side, t.y, at, -turned, off)
	}
	doubt("the tooth is one nearer the gap", side, t.y, at-math.Copysign(1, at), turned, off)
	doubt("the tooth is one farther from the gap", side, t.y, at+math.Copysign(1, at), turned, off)
	doubt("y is where the flank is, not the spindle", side, t.y, at, turned, t.paper)
	if t.paper > 0 {
		doubt("the paper was left out", side, t.y, at, turned, radius)
	}
	return out, true
}

// standingTooth returns where a tooth counted from the gap stands, in pitches from
// the middle of the gap on top; false when it is missing or there are not so many.
func (g *Gear) standingTooth(n int) (at float64, ok bool) {
	first := g.LevelReach()
	at = first + math.Abs(float64(n)) - 1
	if n < 0 {
		at = -at
	}
	for _, p := range g.Places {
		if d := math.Remainder(at-p, float64(g.Teeth)); math.Abs(d) < 0.25 {
			return at, false
		}
	}
	return at, math.Abs(float64(n)) <= float64(g.Teeth)/2
}

// gearAngle is how far the gear was turned from level, rad, its top toward +Y.
// text says what is wrong, with the key's name.
func (d *draft) gearAngle(t *touchRead) (angle float64, text, key string) {
	has := func(name string) bool { return d.has(t.path() + "." + name) }
	x, g := &d.job.Index, &d.job.Gear
	ways := 0
	for _, w := range []bool{has("angle"), has("turns") || has("holes"), has("drop")} {
		if w {
			ways++
		}
	}
	if ways > 1 {
		return 0, "angle, turns with holes, and drop say the same; give one of them", "angle"
	}
	switch {
	case (has("turns") || has("holes")) && x.Device != Head:
		return 0, `a crank has turns and holes with index.device = "head" only; give angle`, "turns"
	case has("holes") && !has("circle"):
		return 0, "on which circle were the holes counted? give circle too", "holes"
	case has("moved") && x.Device != Teeth:
		return 0, `teeth are moved on with index.device = "teeth" only; give angle`, "moved"
	case has("moved") && math.Abs(2*t.moved-math.Round(2*t.moved)) > 1e-9:
		return 0, fmt.Sprintf("%g teeth: stops hold on whole and half teeth only; give drop or angle for what is between", t.moved), "moved"
	case has("moved") && !x.HalfTooth && t.moved != math.Round(t.moved):
		return 0, fmt.Sprintf("%g teeth: the stops hold on whole teeth only without index.half_tooth", t.moved), "moved"
	case has("drop") && !d.has("gear.tip_land"):
		return 0, "an angle told by the drop of the tips needs gear.tip_land, as measured", "drop"
	}
	angle = t.angle + t.moved*g.Pitch()
	if t.turns != 0 || t.holes != 0 {
		turns := float64(t.turns)
		if t.circle > 0 {
			turns += float64(t.holes) / float64(t.circle)
		}
		angle += turns * 2 * math.Pi / float64(x.Ratio)
	}
	if has("drop") {
		// The corners toward the gap: r (cos(a - t) - cos(a + t)) = 2 r sin a sin t.
		r := d.outside / 2
		a := g.LevelReach()*g.Pitch() - d.tipLand/d.outside
		s := t.drop / (2 * r * math.Sin(a))
		if !(math.Abs(s) < math.Sin(a)) {
			return 0, fmt.Sprintf("%s between the tips beside the gap is more than a gear so little turned can show; allowed %s", d.mm(t.drop), d.mm(2*r*math.Sin(a)*math.Sin(a))), "drop"
		}
		angle += math.Asin(s)
	}
	return angle, "", ""
}

// touchRadius is the radius of what touched, mm; text says what is wrong.
func (d *draft) touchRadius(t *touchRead) (radius float64, text string) {
	name := t.cutter
	if name == "" {
		if d.has("copy.cutter") && d.has("copy.pin") {
			return 0, "copy.cutter and copy.pin are both given; give one"
		}
		if d.has("copy.pin") {
			return d.touchPin / 2, ""
		}
		name = d.touching
	}
	switch c := d.job.Cutter(name); {
	case name == "":
		return 0, "what touched? give copy.cutter, the name of an end mill, or copy.pin, the diameter of a pin in the spindle"
	case c == nil:
		return 0, fmt.Sprintf("there is no cutter %s; allowed the names of end mills", quote(name))
	case c.Kind != profiles.EndMill:
		return 0, fmt.Sprintf("cutter %s has no upright side to touch with; allowed the names of end mills", quote(name))
	default:
		return c.Radius(), ""
	}
}

// LevelReach is how many pitches the two standing teeth beside the gap, which the
// gear is levelled by, stand from its middle.
func (g *Gear) LevelReach() float64 {
	half := 0.0
	if len(g.Places) > 0 && math.Abs(g.Places[0]-math.Round(g.Places[0])) > 0.25 {
		half = 0.5
	}
	for reach := 1 - half; ; reach++ {
		missing := slices.ContainsFunc(g.Places, func(p float64) bool { return math.Abs(p-reach) < 0.25 })
		if !missing || reach > float64(g.Teeth) {
			return reach
		}
	}
}
