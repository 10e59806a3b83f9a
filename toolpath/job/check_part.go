package job

import (
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
)

// checkSeat fills in the insert's body and checks it against the neighbours;
// d.bodyDone says that it stands.
func (d *draft) checkSeat() {
	g, s, in := &d.job.Gear, &d.job.Slot, &d.job.Insert
	if d.unset("slot", "insert") || !d.gearDone || !d.ok("slot.seat_below", "slot.seat_play", "insert.body", "gear.bore", "gear.rim_inner", "gear.missing", "gear.missing_at") {
		return
	}
	if s.StubKnown = d.has("slot.stub"); !s.StubKnown {
		s.Stub = g.WholeDepth() // as tall as it can be
	}
	if most := g.WholeDepth(); s.Stub > most && d.ok("slot.stub") {
		d.contradict(fmt.Sprintf("%s is more than the whole tooth of gear.module; %s", d.mm(s.Stub), d.allowed(0, most)), "slot.stub")
	}
	r, err := roomAt(g, s.SeatBelow)
	if err != nil {
		d.contradict(err.Error(), "gear.teeth")
		return
	}
	d.room = r
	low, high := 2*r.tooth, r.mostBody(s.SeatPlay)
	if low > high {
		d.contradict(fmt.Sprintf("the gap leaves %s for the insert's body, but the tooth is %s wide at its foot (gear.teeth, slot.seat_play %s)", d.mm(high), d.mm(low), d.mm(s.SeatPlay)), "slot.seat_play", "gear.teeth")
		return
	}
	if !d.has("insert.body") {
		in.Body = math.Max(r.defaultBody(s.SeatPlay), low)
	}
	switch {
	case in.Body > high:
		d.contradict(fmt.Sprintf("%s is wider than the gap between the neighbours at the seat (slot.seat_below, slot.seat_play); %s", d.mm(in.Body), d.allowed(low, high)), "insert.body")
	case in.Body < low:
		d.contradict(fmt.Sprintf("%s is narrower than the tooth to be made (gear.module); %s", d.mm(in.Body), d.allowed(low, high)), "insert.body")
	default:
		d.bodyDone = true
	}
}

// sameAngle is how far the angles of slot and cutter may differ, rad: over
// 10 mm of depth it is a thousandth of a millimetre.
const sameAngle = 1e-4

// chooseDovetail settles the slot's angle and the dovetail cutter that has it.
func (d *draft) chooseDovetail() *profiles.Cutter {
	s := &d.job.Slot
	s.HalfAngle = d.included / 2
	if d.partial {
		// Without a rack of cutters any will do that has the angle.
		if s.HalfAngle == 0 {
			s.HalfAngle = starterAngle * math.Pi / 360
		}
		return &profiles.Cutter{Kind: profiles.Dovetail, FlankAngle: s.HalfAngle, FlankHeight: math.Inf(1)}
	}
	named := d.job.Cutter(s.Dovetail)
	angles := ""
	for i := range d.job.Cutters {
		c := &d.job.Cutters[i]
		if c.Kind != profiles.Dovetail || named != nil && c.Name != s.Dovetail {
			continue
		}
		if s.HalfAngle == 0 {
			s.HalfAngle = c.FlankAngle
		}
		if math.Abs(c.FlankAngle-s.HalfAngle) <= sameAngle {
			s.Dovetail = c.Name
			return c
		}
		if angles != "" {
			angles += ", "
		}
		angles += fmt.Sprintf("cutter.%s.angle %s", c.Name, d.deg(2*c.FlankAngle))
	}
	if angles == "" {
		d.contradict("there is no dovetail cutter; add a table [cutter.NAME] with kind = \"dovetail\", angle and flank_height", "slot.dovetail", cutterTable)
	} else {
		d.contradict(fmt.Sprintf("%s is not the angle of the dovetail cutter; allowed %s", d.deg(2*s.HalfAngle), angles), "slot.included_angle", "slot.dovetail")
	}
	return nil
}

// leastDepth is the least depth of the dovetail as a share of its mouth, below
// which it does not hold: our own rule. 1.25 is common practice.
const leastDepth = 0.5

// checkSlot fills in mouth and depth and checks what must pass through them.
func (d *draft) checkSlot() {
	g, s, in := &d.job.Gear, &d.job.Slot, &d.job.Insert
	if !d.cuttersDone && !d.partial || !d.ok("slot.included_angle", "slot.dovetail", "slot.roughing", "slot.deeper") {
		return
	}
	dove := d.chooseDovetail()
	if dove == nil || !d.bodyDone || !d.ok("slot.mouth", "slot.depth", "insert.oversize") {
		return
	}
	if !d.has("slot.mouth") {
		s.Mouth = defaultMouth(in.Body, g.Module)
	}
	if s.Mouth >= in.Body {
		d.contradict(fmt.Sprintf("%s is not narrower than insert.body %s; %s", d.mm(s.Mouth), d.mm(in.Body), d.allowed(0.5, in.Body-2*profiles.LeastShoulder(g.Module))), "slot.mouth", "insert.body")
		return
	}
	if shoulder, least := (in.Body-s.Mouth)/2, profiles.LeastShoulder(g.Module); shoulder < least-1e-9 {
		d.contradict(fmt.Sprintf("%s leaves shoulders of %s beside it (insert.body %s), thinner than a third of a module; %s",
			d.mm(s.Mouth), d.mm(shoulder), d.mm(in.Body), d.allowed(0.5, in.Body-2*least)), "slot.mouth", "insert.body")
		return
	}
	if !d.partial {
		d.checkRoughing()
	}
	if !d.has("slot.depth") {
		s.Depth = defaultDepth(s.Mouth, s.HalfAngle, in.Body, in.OverSize, d.room.rim-s.Deeper, dove.FlankHeight-s.Deeper)
	}
	most := d.room.rim - s.Deeper
	if s.Depth > most || s.Depth < leastDepth*s.Mouth && most < leastDepth*s.Mouth {
		d.contradict(fmt.Sprintf("a slot %s deep goes through the rim: under the seat at radius %s, gear.rim_inner %s with %s of rim left and slot.deeper %s allow %s",
			d.mm(math.Max(s.Depth, leastDepth*s.Mouth)), d.mm(d.room.seat), d.mm(g.RimInner), d.mm(leastRim(g.Module)), d.mm(s.Deeper), d.mm(math.Max(0, most))), "slot.depth", "gear.rim_inner")
		return
	}
	if least := leastDepth * s.Mouth; s.Depth < least {
		d.contradict(fmt.Sprintf("a depth of %s is too shallow for a mouth of %s (slot.depth, slot.mouth, insert.body, insert.oversize); allowed %s and more", d.mm(s.Depth), d.mm(s.Mouth), d.mm(least)), "slot.depth", "slot.mouth", "insert.body")
		return
	}
	if !d.partial {
		d.checkDovetail(dove)
	}
	d.checkWideEnd()
	d.slotDone = d.ok("slot.depth", "slot.mouth")
}

// checkRoughing looks for an end mill that goes into the mouth.
func (d *draft) checkRoughing() {
	s := &d.job.Slot
	if c := d.job.Cutter(s.Roughing); c != nil {
		if c.Diameter > s.Mouth {
			d.contradict(fmt.Sprintf("cutter.%s.diameter %s is wider than slot.mouth; allowed to %s", c.Name, d.mm(c.Diameter), d.mm(s.Mouth)), "slot.roughing")
		}
		return
	}
	var least *profiles.Cutter
	for i := range d.job.Cutters {
		c := &d.job.Cutters[i]
		if c.Kind == profiles.EndMill && (least == nil || c.Diameter < least.Diameter) {
			least = c
		}
	}
	switch {
	case least == nil:
		d.contradict("there is no end mill; add a table [cutter.NAME] with a diameter", "slot.roughing", cutterTable)
	case least.Diameter > s.Mouth:
		d.contradict(fmt.Sprintf("%s is narrower than every end mill; the thinnest has cutter.%s.diameter %s", d.mm(s.Mouth), least.Name, d.mm(least.Diameter)), "slot.mouth", "insert.body")
	}
}

// Margins of the dovetail cutter, mm.
const (
	neckPlay  = 0.02 // a neck as thick as the narrow end of the flanks may be so much thicker
	neckAbove = 0.5  // a neck that begins less than this over the seat counts as in the slot, for the swarf
)

// checkDovetail checks that the dovetail cutter goes through the slot. It
// enters along X at full depth: its tip needs the floor's width, and its neck
// must stay inside the mouth while the tip lies against either wall.
func (d *draft) checkDovetail(c *profiles.Cutter) {
	s := &d.job.Slot
	path := cutterTable + "." + c.Name
	full := s.Depth + s.Deeper
	size := profiles.DovetailSize{Mouth: s.Mouth, Depth: full, HalfAngle: s.HalfAngle}
	floor := size.Floor()
	if full > c.FlankHeight+1e-9 {
		d.contradict(fmt.Sprintf("%s and slot.deeper %s are more than %s.flank_height; allowed to %s", d.mm(s.Depth), d.mm(s.Deeper), path, d.mm(c.FlankHeight-s.Deeper)), "slot.depth", path+".flank_height", path)
	}
	if c.Diameter > floor {
		d.contradict(fmt.Sprintf("%s is wider than the slot's floor (slot.mouth, slot.depth); allowed to %s", d.mm(c.Diameter), d.mm(floor)), path+".diameter")
		return
	}
	// With the tip at one wall the axis stands (floor - D)/2 off the middle.
	most := s.Mouth - (floor - c.Diameter)
	if c.FlankHeight < full+neckAbove && c.NeckDiameter() > most+neckPlay {
		d.contradict(fmt.Sprintf("its neck of %s fouls slot.mouth %s when the cutter lies against a wall; allowed to %s", d.mm(c.NeckDiameter()), d.mm(s.Mouth), d.mm(most)), path+".neck", path+".diameter")
	}
}

// checkWideEnd holds the dovetail's wide end to the body: the block's sides are
// milled to the body's width, so a dovetail that is wider there loses its
// corners; enough of its flanks must be left.
func (d *draft) checkWideEnd() {
	s, in := &d.job.Slot, &d.job.Insert
	if most := in.Body - s.Mouth; d.ok("insert.oversize") && in.OverSize > most {
		d.contradict(fmt.Sprintf("%s with slot.mouth %s is wider than insert.body %s: nothing would be cut under the shoulders; %s", d.mm(in.OverSize), d.mm(s.Mouth), d.mm(in.Body), d.allowed(0.02, most)), "insert.oversize", "slot.mouth", "insert.body")
	}
	inner := profiles.DovetailSize{Mouth: s.Mouth, Depth: s.Depth, HalfAngle: s.HalfAngle}
	if lost := (inner.Floor() - in.Body) / 2 / math.Tan(s.HalfAngle); lost > mostLost*s.Depth {
		d.contradict(fmt.Sprintf("the dovetail's wide end is %s, too much wider than insert.body: %s of its %s deep flanks would be lost, allowed %s", d.mm(inner.Floor()), d.mm(lost), d.mm(s.Depth), d.mm(mostLost*s.Depth)), "slot.depth", "slot.mouth", "insert.body")
	}
}

// mostLost is the share of the dovetail's depth that the block's width may
// cost its flanks (our own rule).
const mostLost = 0.25

// TipAir is kept between the blank and the neighbours' tips, mm: our own rule.
const TipAir = 0.4

// clearAir is what the facets' cutters, which keep their clearance from the
// neighbours, may go beyond the blank's sides at least, mm.
const clearAir = 0.05

// LeastGrip is what the vice must hold of the blank under its milled sides, mm
// (common practice, no source).
const LeastGrip = 5.5

// checkInsert fills in the blank's sizes.
func (d *draft) checkInsert() {
	g, s, in := &d.job.Gear, &d.job.Slot, &d.job.Insert
	if !d.slotDone || !d.ok("insert.block_width", "insert.block_height", "insert.top_cut") {
		return
	}
	need := g.TipRadius() - d.room.seat + s.Depth + in.TopCut
	if !d.has("insert.block_width") {
		in.BlockWidth = upTo(in.Body+2, 1)
		// The facets' cutters keep off the neighbours and must take its sides.
		air := max(TipAir, d.job.Facets.Clearance+clearAir)
		if most := downTo(2*(d.room.tips-air), 0.1); in.BlockWidth > most {
			in.BlockWidth = max(in.Body, most)
		}
		if g.Adjacent() {
			// Side by side, a wider block would stand in the other's place.
			in.BlockWidth = in.Body
		}
	}
	if !d.has("insert.block_height") {
		milled, err := d.job.SidesOver(d.room.seat)
		if err != nil {
			milled = g.WholeDepth() // the gear has been found wanting already
		}
		in.BlockHeight = upTo(max(need+1, in.TopCut+s.Depth+milled+LeastGrip), 1)
	}
	if in.BlockWidth < in.Body {
		d.contradict(fmt.Sprintf("%s is narrower than insert.body; allowed %s and more", d.mm(in.BlockWidth), d.mm(in.Body)), "insert.block_width", "insert.body")
	}
	if in.BlockHeight < need {
		d.contradict(fmt.Sprintf("%s is too low for tooth, slot.depth and insert.top_cut; allowed %s and more", d.mm(in.BlockHeight), d.mm(need)), "insert.block_height")
	}
}

// mostLead is how much of the face one lead may take: a tenth of it at least
// must be tight.
const mostLead = 0.45

func (d *draft) checkFit() {
	g, f, in := &d.job.Gear, &d.job.Fit, &d.job.Insert
	tight := f.TightMiddle
	if !d.has("fit.tight_middle") {
		tight, f.TightMiddle = MostTight, TightBest
	}
	d.trials()
	if d.ok("fit.step", "fit.trial_count") && f.Step > f.TrialCount {
		d.contradict(fmt.Sprintf("%d is beyond fit.trial_count %d; allowed 1 to %d", f.Step, f.TrialCount, f.TrialCount), "fit.step", "fit.trial_count")
	}
	if d.ok("insert.oversize", "fit.trial_first", "fit.tight_middle") && in.OverSize < f.TrialFirst+tight {
		d.contradict(fmt.Sprintf("%s leaves nothing to cut for fit.trial_first %s and fit.tight_middle %s; %s", d.mm(in.OverSize), d.mm(f.TrialFirst), d.mm(tight), d.allowed(f.TrialFirst+tight, 2)), "insert.oversize", "fit.trial_first", "fit.tight_middle")
	}
	if !d.ok("gear", "gear.face", "fit.lead", "fit.trial_length", "insert.over") {
		return
	}
	if !d.has("fit.lead") {
		f.Lead = downTo(0.3*g.Face, 0.1)
	}
	if most := mostLead * g.Face; f.Lead > most {
		d.contradict(fmt.Sprintf("%s at each end leaves no tight middle on gear.face %s; %s", d.mm(f.Lead), d.mm(g.Face), d.allowed(0.5, most)), "fit.lead")
		return
	}
	if !d.has("fit.trial_length") {
		f.TrialLength = math.Max(0.5, downTo(0.6*(f.Lead+in.Over), 0.1))
	}
	if most := f.Lead + in.Over; f.TrialLength > most {
		d.contradict(fmt.Sprintf("%s would narrow the tight middle: it is more than fit.lead and insert.over; %s", d.mm(f.TrialLength), d.allowed(0.5, most)), "fit.trial_length", "fit.lead")
	}
}

func (d *draft) checkFacets() {
	f := &d.job.Facets
	if d.has("facets.tolerance") && d.has("facets.count") {
		d.contradict("facets.tolerance and facets.count are both given; one gives the other", "facets.tolerance", "facets.count")
	}
	if !d.has("facets.most_filed") {
		f.MostFiled = d.job.Gear.Module
	}
	if names := slices.Sorted(slices.Values(f.Cutters)); len(slices.Compact(names)) != len(f.Cutters) {
		d.contradict("a cutter is named twice", "facets.cutters")
	}
}

// How well an index device is set where the job does not say (common practice,
// no source): a rotary axis in good order, a worm within one arc minute, a scale
// read to half a line, teeth against stops.
const (
	rotarySetting = 0.01 * math.Pi / 180
	wormSetting   = math.Pi / 180 / 60
	stopSetting   = 0.02 // mm at the pitch circle
)

func (d *draft) checkUncertainty() {
	u, x, g := &d.job.Uncertainty, &d.job.Index, &d.job.Gear
	if d.has("uncertainty.index") {
		return
	}
	switch {
	case x.Device == Teeth && d.gearDone:
		u.Index = stopSetting / g.PitchRadius()
	case x.Device == Head && x.Graduation > 0:
		u.Index = x.Graduation / 2
	case x.Device == Head:
		u.Index = wormSetting
	default:
		u.Index = rotarySetting
	}
}

func (d *draft) checkLoad() {
	if !d.has("load") {
		return
	}
	l := &d.load
	switch {
	case d.has("load.torque") && d.has("load.power"):
		d.contradict("load.torque and load.power are both given; give one", "load.torque", "load.power")
	case d.has("load.power") && !d.has("load.speed"):
		d.contradict("load.power alone says nothing of the torque; give load.speed too", "load.power")
	case d.has("load.power") && d.ok("load.power", "load.speed"):
		l.Torque = d.power * 1000 / (l.Rpm * math.Pi / 30)
	case !d.has("load.torque"):
		d.contradict("load.torque, or load.power with load.speed, is missing", "load")
	}
	d.job.Load = l
}

// offCentre is how far, as a share, a measured centre distance may lie from
// that of standard teeth before one of the numbers must be wrong.
const offCentre = 0.06

func (d *draft) checkMate() {
	m, g := &d.mate, &d.job.Gear
	if !d.has("mate") || !d.gearDone || !d.ok("mate.teeth", "mate.centre_distance", "mate.profile_shift", "mate.thinning") {
		return
	}
	if g.Copy != nil {
		d.contradict("a copied tooth tells nothing of its mate's form; leave [mate] out", "mate.teeth")
		return
	}
	if g.Form != nil && d.has("mate.profile_shift") {
		d.contradict(fmt.Sprintf("only an involute has it; leave it out with gear.form = %q", g.FormName()), "mate.profile_shift")
		return
	}
	if _, err := g.RunsWith(m.Teeth, m.Shift, m.Thinning); err != nil {
		d.contradict(fmt.Sprintf("no such tooth with the proportions of gear: %v", err), "mate.profile_shift", "mate.thinning", "mate.teeth")
		return
	}
	// Working pressure angle and centre distance: ISO 21771, from memory.
	sum := float64(g.Teeth + m.Teeth)
	inv := profiles.Inv(g.Pressure) + 2*math.Tan(g.Pressure)*(g.Shift+m.Shift)/sum
	standard := g.Module * sum / 2
	if g.Form == nil {
		standard *= math.Cos(g.Pressure) / math.Cos(profiles.InvInverse(inv))
	}
	if !d.has("mate.centre_distance") {
		m.Centre = standard
	}
	if low, high := standard*(1-offCentre), standard*(1+offCentre); m.Centre < low || m.Centre > high {
		d.contradict(fmt.Sprintf("%s does not suit %d and %d teeth (gear.teeth, mate.teeth); %s", d.mm(m.Centre), g.Teeth, m.Teeth, d.allowed(low, high)), "mate.centre_distance", "mate.teeth")
	}
	d.job.Mate = m
}
