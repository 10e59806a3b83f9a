package job

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"cogmend/profiles"
)

// check fills in what follows from other values and checks the values against
// each other. Each part runs only when what it needs is sound, so that one
// mistake is told once.
func (d *draft) check() {
	d.checkMachine()
	d.checkGear()
	d.checkCutters()
	d.checkIndex()
	d.checkReferences()
	if d.toTouch {
		d.checkFacets()
		d.checkUncertainty()
		return
	}
	if d.job.BuiltUp() {
		d.checkBead()
	} else {
		d.checkJoint()
	}
	d.checkFacets()
	d.checkUncertainty()
	d.checkLoad()
	d.checkMate()
	d.checkAsCut()
}

// checkJoint checks slot, insert, fit and lock: how an insert is let in.
func (d *draft) checkJoint() {
	if !d.ok("repair.by") || !d.noBead() {
		return
	}
	d.checkSeat()
	d.checkSlot()
	d.checkInsert()
	d.checkFit()
	d.checkLock()
	d.checkNeck()
}

// ok says whether none of the keys was refused.
func (d *draft) ok(keys ...string) bool {
	return !slices.ContainsFunc(keys, func(k string) bool { return d.bad[k] })
}

// has says whether the file gives a key.
func (d *draft) has(key string) bool { _, ok := d.given[key]; return ok }

// contradict tells of a mistake between keys. It stands at the first of them
// that is given, else at the header of the first one's table.
func (d *draft) contradict(msg string, keys ...string) {
	if i := slices.IndexFunc(keys, d.has); i >= 0 {
		d.fail(keys[i], d.given[keys[i]], msg)
		return
	}
	table, _, _ := strings.Cut(keys[0], ".")
	at, ok := d.given[table]
	if !ok {
		at = d.top()
	}
	d.fail(keys[0], at, msg)
}

// mm and deg write a value in the file's unit.
func (d *draft) mm(v float64) string  { return show(Length, v, d.job.Units) }
func (d *draft) deg(v float64) string { return show(Angle, v, d.job.Units) }

// allowed writes a range of lengths.
func (d *draft) allowed(low, high float64) string {
	return fmt.Sprintf("allowed %s to %s", strings.TrimSuffix(d.mm(low), " "+unitOf(Length, d.job.Units).name), d.mm(high))
}

// downTo and upTo round a default to what one sets on a machine; in inch jobs
// too, so that the same part has the same metal.
func downTo(v, step float64) float64 { return math.Floor(v/step+1e-9) * step }
func upTo(v, step float64) float64   { return math.Ceil(v/step-1e-9) * step }

func (d *draft) checkMachine() {
	m := &d.job.Machine
	if d.ok("machine.rotary_sign") && m.RotarySign == 0 {
		d.contradict("0 is not a sense of turning; allowed -1, 1", "machine.rotary_sign")
	}
	if d.ok("machine.min_rpm", "machine.max_rpm") && !(m.MinRpm < m.MaxRpm) {
		d.contradict(fmt.Sprintf("machine.min_rpm %s must be less than machine.max_rpm %s", trim(m.MinRpm, 1), trim(m.MaxRpm, 1)), "machine.min_rpm", "machine.max_rpm")
	}
	if d.ok("machine.stops", "machine.tool_words") && !m.Stops && !m.ToolWords {
		d.contradict("without machine.stops a tool can only be changed by tool words; allowed true while machine.tool_words = false", "machine.stops", "machine.tool_words")
	}
	if d.ok("machine.stops", "machine.tool_words", "machine.length_comp") && !m.Stops && m.ToolWords && !m.LengthComp {
		d.contradict("without machine.stops no cutter's length can be touched off after its change; allowed true while machine.length_comp = false", "machine.stops", "machine.length_comp")
	}
	if d.ok("machine.stops", "machine.hand_speed") && !m.Stops && m.HandSpeed {
		d.contradict("a speed set by hand (machine.hand_speed) needs a stop; allowed true while machine.hand_speed = true", "machine.stops", "machine.hand_speed")
	}
	if d.ok("machine.decimals") && m.Decimals == 3 && d.job.Units == Inch {
		d.contradict("3 decimals of an inch round to 0.0005 in, too coarse for a fit; allowed 4 to 6 in an inch job", "machine.decimals")
	}
	if d.ok("machine.extension") {
		d.checkExtension()
	}
}

// extension is what the name of a program may end in on any file system.
var extension = regexp.MustCompile("^[A-Za-z0-9]{1,8}$")

// otherFiles end the names of what is written beside the programs.
var otherFiles = []string{"png", "gif", "html", "json"}

func (d *draft) checkExtension() {
	switch e := d.job.Machine.Extension; {
	case !extension.MatchString(e):
		d.contradict(quote(e)+" cannot end a program's name; allowed 1 to 8 letters or digits, without the dot", "machine.extension")
	case slices.Contains(otherFiles, strings.ToLower(e)):
		d.contradict(quote(e)+" ends the names of other files that are written; allowed any but "+strings.Join(otherFiles, ", "), "machine.extension")
	}
}

// DefaultRack returns the name of the basic rack of a gear whose proportions
// nobody has given: by its module in mm (0 when it has a diametral pitch), its
// diametral pitch per inch and its pressure angle in rad.
func DefaultRack(module, pitch, pressure float64) string {
	switch {
	case module > 0:
		return "iso-a"
	case pitch >= 20:
		return "fine-pitch"
	case pressure < 15*math.Pi/180:
		return "old-full-depth"
	}
	return "full-depth"
}

// proportions gives the basic rack by name, by number or by the gear's system.
func (d *draft) proportions() profiles.Rack {
	g := &d.job.Gear
	name := d.rack
	if name == "" {
		name = DefaultRack(d.module, d.pitch, g.Pressure)
	}
	rack, _ := profiles.RackFor(name, g.Module)
	number := func(key string, from float64, to *float64) {
		if d.has(key) {
			*to, rack.Name, rack.Source = from, "", "given by the job"
		}
	}
	number("gear.addendum", d.addendum, &rack.Addendum)
	number("gear.dedendum", d.dedendum, &rack.Dedendum)
	number("gear.root_fillet", d.fillet, &rack.Fillet)
	return rack
}

// mostThinning is how much of a standard tooth's thickness, a share, may have
// been worn off before it is no tooth to copy: our own rule.
const mostThinning = 0.3

// checkGear fills in the gear; d.gearDone says that its tooth can exist.
func (d *draft) checkGear() {
	g := &d.job.Gear
	switch {
	case d.has("gear.module") && d.has("gear.diametral_pitch"):
		d.contradict("gear.module and gear.diametral_pitch are both given; give one", "gear.module", "gear.diametral_pitch")
	case d.has("gear.module"):
		g.Module = d.module
	case d.has("gear.diametral_pitch"):
		g.Module = inch / d.pitch
	case d.partial:
		d.bad["gear.module"] = true
	case d.form == copiedForm: // from the outside diameter
	case d.has("gear") && d.ok("gear.module", "gear.diametral_pitch"):
		d.fail("gear.module", d.given["gear"], "gear.module or gear.diametral_pitch is missing")
	}
	d.checkFormKeys()
	d.checkMissing()
	sound := d.ok("gear", "gear.module", "gear.diametral_pitch", "gear.teeth", "gear.pressure_angle", "gear.proportions", "gear.addendum",
		"gear.dedendum", "gear.root_fillet", "gear.profile_shift", "gear.thinning", "gear.neighbour_thinning", "gear.fat_neighbour",
		"gear.form") && d.ok(cycloidKeys...) && d.ok(tipRootKeys...)
	if !sound || !d.has("gear") {
		return
	}
	if d.form != involute {
		if !d.makeForm() {
			return
		}
	} else if !d.checkReadings() {
		return
	} else {
		g.Rack = d.proportions()
	}
	standard := g.PitchThickness() + g.Thinning
	thin := func(key string, v float64) bool {
		if most := mostThinning * standard; v > most {
			d.contradict(fmt.Sprintf("%s of a tooth %s thick (gear.module) is too much; %s", d.mm(v), d.mm(standard), d.allowed(0, most)), key)
			return false
		}
		return true
	}
	if !d.has("gear.neighbour_thinning") {
		g.NeighbourThinning = g.Thinning
	}
	sound = thin("gear.thinning", g.Thinning)
	sound = (!d.has("gear.neighbour_thinning") || thin("gear.neighbour_thinning", g.NeighbourThinning)) && sound
	if low, high := (1-mostThinning)*standard, 1.1*standard; g.FatThickness != 0 && !(g.FatThickness >= low && g.FatThickness <= high) {
		d.contradict(fmt.Sprintf("%s is no thickness of a tooth of this gear.module; %s", d.mm(g.FatThickness), d.allowed(low, high)), "gear.fat_neighbour")
		sound = false
	}
	if !sound {
		return
	}
	if err := g.Validate(); err != nil {
		d.contradict(fmt.Sprintf("no such tooth with these proportions and pressure_angle: %v", err), "gear.profile_shift", "gear.dedendum", "gear.addendum", "gear.teeth")
		return
	}
	if most := g.RackTip(); g.Form == nil && d.has("gear.root_fillet") && g.Rack.Fillet > most+1e-9 {
		d.contradict(fmt.Sprintf("%g modules do not fit the rack's tip at this pressure_angle: a full round is all there is room for; allowed 0 to %g modules", g.Rack.Fillet, downTo(most, 0.001)), "gear.root_fillet")
		return
	}
	d.gearDone = true
	d.checkBore()
}

// leastRim is what must be left of metal under the dovetail's floor: our own
// rule. The strength estimate says how much more is wanted.
func leastRim(module float64) float64 { return math.Max(2, module/2) }

func (d *draft) checkBore() {
	g := &d.job.Gear
	if !d.ok("gear.bore", "gear.rim_inner") {
		return
	}
	root := 2 * g.RootRadius()
	if !d.has("gear.rim_inner") {
		g.RimInner = g.Bore
	}
	if g.RimInner < g.Bore {
		d.contradict(fmt.Sprintf("%s lies inside gear.bore; %s", d.mm(g.RimInner), d.allowed(g.Bore, root)), "gear.rim_inner")
	}
	if g.Bore >= root {
		d.contradict(fmt.Sprintf("%s is not inside the root circle of gear.teeth and module, %s; %s", d.mm(g.Bore), d.mm(root), d.allowed(0, root)), "gear.bore")
	} else if g.RimInner >= root {
		d.contradict(fmt.Sprintf("%s is not inside the root circle of gear.teeth and module, %s; %s", d.mm(g.RimInner), d.mm(root), d.allowed(g.Bore, root)), "gear.rim_inner")
	}
}

// checkMissing turns missing or missing_at into places.
func (d *draft) checkMissing() {
	g := &d.job.Gear
	if d.has("gear.missing") && d.has("gear.missing_at") {
		d.contradict("gear.missing and gear.missing_at are both given; give one", "gear.missing", "gear.missing_at")
	}
	if !d.ok("gear.missing", "gear.missing_at", "gear.teeth") {
		return
	}
	if !d.has("gear.missing_at") {
		n := max(1, d.missing)
		for i := range n {
			g.Places = append(g.Places, float64(i)-float64(n-1)/2)
		}
		return
	}
	at := slices.Clone(d.missingAt)
	slices.Sort(at)
	for i, n := range at {
		next := at[0] + g.Teeth
		if i+1 < len(at) {
			next = at[i+1]
		}
		switch {
		case n >= g.Teeth:
			d.contradict(fmt.Sprintf("%d is no tooth of gear.teeth; allowed 0 to %d", n, g.Teeth-1), "gear.missing_at")
		case next == n:
			d.contradict(fmt.Sprintf("tooth %d is there twice", n), "gear.missing_at")
		case next == n+1:
			d.contradict(fmt.Sprintf("teeth %d and %d stand side by side; a run of missing teeth is given by gear.missing", n, (n+1)%g.Teeth), "gear.missing_at")
		default:
			g.Places = append(g.Places, float64(n))
			continue
		}
		return
	}
	if len(at) > 0 && at[0] != 0 {
		d.contradict(fmt.Sprintf("the first is %d; tooth 0 must be among them", at[0]), "gear.missing_at")
	}
}

func (d *draft) checkIndex() {
	x := &d.job.Index
	if d.has("index.circles") && d.has("index.graduation") {
		d.contradict("index.circles and index.graduation are both given; a head is set by plates or by its scale", "index.circles", "index.graduation")
	}
	if !d.has("index.circles") && !d.has("index.graduation") {
		x.Circles = profiles.CommonCircles()
	}
	m := &d.job.Machine
	if !d.ok("index.device", "machine.a_word", "machine.stops") {
		return
	}
	if x.Device == Rotary && !m.AWord {
		d.contradict(`"rotary" needs an A axis, but machine.a_word = false; allowed "head", "teeth"`, "index.device", "machine.a_word")
	}
	if x.Device != Rotary && !m.Stops {
		d.contradict("the gear is turned by hand (index.device), which needs a stop; allowed true", "machine.stops")
	}
}
