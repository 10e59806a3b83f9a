package job

import (
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/measure"
)

// AsMade is the job with what has been measured of the metal in place of what
// was designed: what is still to be done is planned and checked by it. Without
// measurements it is the job itself.
func (j *Job) AsMade() *Job {
	if j.made == nil {
		return j
	}
	return j.made
}

// Designed is the job before any measurement: what the work done was made by.
func (j *Job) Designed() *Job {
	if j.designed == nil {
		return j
	}
	return j.designed
}

// FlankSeen is how far off its plan a flank must be found to count as off, mm:
// what gauging sees at the best.
const FlankSeen = 0.01

// mostDeep is how far too deep a flank may be cut, in modules, before there is no
// tooth to keep. Own rule.
const mostDeep = 0.15

// Done says whether the program of a purpose has been run, by the job's [as_cut].
func (j *Job) Done(purpose string) bool { return slices.Contains(j.done, purpose) }

// leastAir is the least room under the insert's dovetail, mm: with less the
// insert may stand on the slot's floor before its shoulders seat.
const leastAir = 0.02

// checkAsCut works out the job as made and checks it: with the same rules as
// the design, and the ways out where metal that is gone breaks them.
func (d *draft) checkAsCut() {
	if d.job.BuiltUp() {
		d.builtUpHasNone()
	}
	d.doneWork()
	if !d.ok("as_cut.done", "fit.play", "fit.step") {
		return
	}
	if d.has("fit.play") {
		d.checkPlay()
	}
	if len(d.errs) > 0 || d.partial || len(d.job.done) == 0 && !d.has("as_cut") && !d.has("fit.play") {
		return
	}
	if low := d.job.Gear.TipLow; low[0] > 0 && low[1] > 0 && d.job.Gear.Zero == ZeroNeighbours {
		d.contradict("both tips beside the gap are low, so none is left to touch Z off on; allowed with gear.zero = \"axis\"", "as_cut.tips.left_low")
		return
	}
	made := *d.job
	made.designed, made.done = d.job, d.job.done
	d.job.made = &made
	d.madeGear(&made)
	if d.job.BuiltUp() {
		if d.madeFlanks(&made) {
			made.given = d.given
		}
		return
	}
	for _, step := range []func(*Job) bool{d.madeFlanks, d.madeSeat, d.madeDepth, d.madeMouth, d.madeLength, d.madeInsert, d.madeRim} {
		if !step(&made) {
			return
		}
	}
	made.given = d.given
}

// doneWork finds the programs that have been run: those named, and those that
// must have been for the readings to be there.
func (d *draft) doneWork() {
	c := &d.asCut
	works := d.job.works()
	for _, name := range c.done {
		if !slices.Contains(works, name) {
			d.contradict(fmt.Sprintf("%s is no program; allowed %s", quote(name), list(works)), "as_cut.done")
			return
		}
	}
	implied := map[string][]string{
		"as_cut.slot.mouth": {slotWork}, "as_cut.slot.floor": {slotWork}, "as_cut.slot.between_pins": {slotWork}, "as_cut.slot.depth": {slotWork}, "as_cut.slot.seat": {slotWork},
		"as_cut.shim": {slotWork}, "as_cut.insert.depth": {insertWork}, "as_cut.insert.mouth_rough": {insertWork}, "as_cut.insert.mouth_trial": {insertWork, trialWork},
		"as_cut.insert.mouth_sliding": {insertWork, trialWork, fitWork}, "as_cut.insert.mouth_tight": {insertWork, trialWork, fitWork},
	}
	done := map[string]bool{}
	for _, name := range c.done {
		switch name {
		case facetsWork:
			done[flushWork] = true
			fallthrough
		case flushWork:
			done[slotWork], done[insertWork], done[trialWork], done[fitWork] = true, true, true, true
		case fitWork:
			done[insertWork], done[trialWork] = true, true
		case trialWork:
			done[insertWork] = true
		}
		done[name] = true
	}
	for key, names := range implied {
		for _, name := range names {
			done[name] = done[name] || d.has(key)
		}
	}
	if d.has("as_cut.tooth.left_off") || d.has("as_cut.tooth.right_off") {
		for _, name := range works[:len(works)-1] {
			done[name] = true
		}
		f := &d.job.Facets
		thick := [2]bool{f.Off[0] > FlankSeen, f.Off[1] > FlankSeen}
		switch thick {
		case [2]bool{true, false}:
			f.Only = -1
		case [2]bool{false, true}:
			f.Only = 1
		}
		done[facetsWork] = thick == [2]bool{}
	}
	for _, name := range works {
		if done[name] {
			d.job.done = append(d.job.done, name)
		}
	}
}

// list writes words one after the other, quoted.
func list(words []string) string {
	s := ""
	for i, w := range words {
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%q", w)
	}
	return s
}

// measuredMouth says whether the slot's width has been measured.
func (d *draft) measuredMouth() bool {
	return d.has("as_cut.slot.mouth") || d.has("as_cut.slot.floor") || d.has("as_cut.slot.between_pins")
}

func (d *draft) checkPlay() {
	switch {
	case d.has("fit.step"):
		d.contradict("fit.play and fit.step are both given; one takes the place of the other", "fit.play", "fit.step")
	case !d.measuredMouth():
		d.contradict("the play is taken off the slot as measured; give as_cut.slot.mouth or as_cut.slot.between_pins too", "fit.play")
	}
}

// madeGear puts in the wear of the standing teeth as measured.
func (d *draft) madeGear(m *Job) {
	g, c := &m.Gear, &d.asCut
	var thin float64
	var err error
	key := "as_cut.old.span"
	if g.Form != nil {
		if d.has(key) || d.has("as_cut.old.over_pins") {
			d.contradict("spans and sizes over pins tell the wear of involute teeth only; give gear.neighbour_thinning", key, "as_cut.old.over_pins")
		}
		return
	}
	switch {
	case d.has(key):
		if k := int(c.span.At); k < 2 || k >= g.Teeth {
			err = fmt.Errorf("a span is over 2 teeth or more")
		} else if _, err = measure.Span(g.Gear, k); err == nil {
			thin = measure.ThinningFromSpan(g.Gear, k, c.span.Size)
		}
	case d.has("as_cut.old.over_pins"):
		key = "as_cut.old.over_pins"
		thin, err = measure.ThinningFromPins(g.Gear, c.overPins.At, c.overPins.Size)
	default:
		return
	}
	standard := g.PitchThickness() + g.Thinning
	if most := mostThinning * standard; err == nil && (thin > most || thin < -0.1*standard) {
		err = fmt.Errorf("that says teeth thinned by %s, where 0 to %s are likely: another count, pin or unit?", d.mm(thin), d.mm(most))
	}
	if err != nil {
		d.contradict(err.Error(), key)
		return
	}
	g.NeighbourThinning = max(0, thin)
}

// madeFlanks refuses a tooth cut too deep to be kept.
func (d *draft) madeFlanks(m *Job) bool {
	for i, key := range []string{"as_cut.tooth.left_off", "as_cut.tooth.right_off"} {
		if off, most := m.Facets.Off[i], mostDeep*m.Gear.Module; off < -most {
			d.contradict(fmt.Sprintf("the flank is cut %s too deep; up to %s of it can be kept, as play. Ways out: another insert (begin again without [as_cut] but for the slot's readings)", d.mm(-off), d.mm(most)), key)
			return false
		}
	}
	return true
}

// madeSeat puts in the seat as measured from the neighbours' tips.
func (d *draft) madeSeat(m *Job) bool {
	if !d.has("as_cut.slot.seat") {
		return true
	}
	const key = "as_cut.slot.seat"
	tips := m.Gear.tipHeight()
	below := m.Gear.RootRadius() - (tips - d.asCut.seat)
	want := tips - m.Gear.RootRadius() + m.Slot.SeatBelow
	switch {
	case below < 0:
		d.contradict(fmt.Sprintf("%s: the seat stands %s over the root circle, where the tooth's foot would stand on a step: mill it %s deeper (%s below the tips) and measure again",
			d.mm(d.asCut.seat), d.mm(-below), d.mm(want-d.asCut.seat), d.mm(want)), key)
		return false
	case below > m.Slot.SeatBelow+m.Gear.Module:
		d.contradict(fmt.Sprintf("%s is more than a module lower than designed (%s): measured from another place?", d.mm(d.asCut.seat), d.mm(want)), key)
		return false
	}
	m.Slot.SeatBelow = below
	return true
}

// madeDepth puts in the slot's depth: the insert's dovetail is made as deep as
// designed where the slot is deep enough, less where it is not and the insert is
// still to be cut.
func (d *draft) madeDepth(m *Job) bool {
	s, c := &m.Slot, &d.asCut
	insert := s.Depth
	if d.has("as_cut.insert.depth") {
		insert = c.insertDepth
	}
	cut := s.Depth + s.Deeper
	if d.has("as_cut.slot.depth") {
		cut = c.depth
	}
	if most := d.job.Slot.Depth + d.job.Slot.Deeper + m.Gear.Module; cut > most {
		d.contradict(fmt.Sprintf("%s is more than a module deeper than designed; %s", d.mm(cut), d.allowed(0, most)), "as_cut.slot.depth")
		return false
	}
	if cut < insert+leastAir {
		if m.Done(insertWork) {
			low := insert + s.Deeper - cut
			d.contradict(fmt.Sprintf("the slot is %s deep and the insert's dovetail %s: it would stand on the floor and its shoulders never seat. Ways out: cut the slot %s deeper; or face %s off the insert's wide flat and give as_cut.insert.depth",
				d.mm(cut), d.mm(insert), d.mm(low), d.mm(low)), "as_cut.slot.depth", "as_cut.insert.depth")
			return false
		}
		insert = cut - s.Deeper
		if least := leastDepth * s.Mouth; insert < least {
			d.contradict(fmt.Sprintf("%s leaves a dovetail of %s, too shallow for a mouth of %s: cut the slot %s deeper at least", d.mm(cut), d.mm(insert), d.mm(s.Mouth), d.mm(least-insert)), "as_cut.slot.depth")
			return false
		}
	}
	s.Depth, s.Deeper = insert, cut-insert
	return true
}

// madeMouth puts in the slot's width as measured.
func (d *draft) madeMouth(m *Job) bool {
	s, c := &m.Slot, &d.asCut
	key := "as_cut.slot.mouth"
	mouth, ok := d.readMouth(s, &key)
	if !ok {
		return false
	}
	mouth -= c.shim / math.Cos(s.HalfAngle)
	off := mouth - s.Mouth
	if most := m.Gear.Module / 2; math.Abs(off) > most {
		d.contradict(fmt.Sprintf("a mouth of %s is %s off the designed %s, which no cut explains: another reading, pin or unit? At most %s off is planned to", d.mm(mouth), d.mm(math.Abs(off)), d.mm(s.Mouth), d.mm(most)), key)
		return false
	}
	if shoulder, least := (m.Insert.Body-mouth)/2, profiles.LeastShoulder(m.Gear.Module); shoulder < least-1e-9 {
		text := fmt.Sprintf("a mouth of %s leaves shoulders of %s, thinner than a third of a module. Ways out: a shim of %s and more (as_cut.shim)", d.mm(mouth), d.mm(shoulder), d.mm(upTo(2*(least-shoulder)*math.Cos(s.HalfAngle), 0.01)))
		if body := mouth + 2*least; body <= d.room.mostBody(s.SeatPlay) && !m.Done(insertWork) {
			text += fmt.Sprintf("; or a wider insert, insert.body %s and more, with the seat milled again (without slot in as_cut.done, and no slot.* in it)", d.mm(upTo(body, 0.01)))
		}
		d.contradict(text, key)
		return false
	}
	s.Mouth = mouth
	return true
}

// sameMouth is how far two readings of one slot's mouth may lie apart, mm: a
// worn vernier and a burr (own rule).
const sameMouth = 0.1

// readMouth is the width of the slot at its seat as it was read, at the mouth,
// between pins or at the floor, the first of them that is given; at becomes its
// key. Readings that contradict one another are refused.
func (d *draft) readMouth(s *Slot, at *string) (mouth float64, ok bool) {
	c := &d.asCut
	full := profiles.DovetailSize{Mouth: s.Mouth, Depth: s.Depth + s.Deeper, HalfAngle: s.HalfAngle}
	mouth, first := s.Mouth, true
	for _, by := range []struct {
		key  string
		says func() (float64, error)
	}{
		{"as_cut.slot.mouth", func() (float64, error) { return c.mouth, nil }},
		{"as_cut.slot.between_pins", func() (float64, error) { return full.MouthBetween(c.betweenPins.Size, c.betweenPins.At) }},
		{"as_cut.slot.floor", func() (float64, error) { return s.Mouth - full.Floor() + c.floor, nil }},
	} {
		if !d.has(by.key) {
			continue
		}
		says, err := by.says()
		switch {
		case err != nil:
			d.contradict(err.Error(), by.key)
			return 0, false
		case first:
			mouth, *at, first = says, by.key, false
		case math.Abs(says-mouth) > sameMouth:
			d.contradict(fmt.Sprintf("that says a mouth of %s, and %s one of %s: of one slot they are within %s; measure both again", d.mm(says), *at, d.mm(mouth), d.mm(sameMouth)), by.key)
			return 0, false
		}
	}
	return mouth, true
}

// madeLength puts in the block's length.
func (d *draft) madeLength(m *Job) bool {
	if !d.has("as_cut.insert.length") {
		return true
	}
	in, face, length := &m.Insert, m.Gear.Face, d.asCut.length
	const key = "as_cut.insert.length"
	front := (length - face) / 2
	if m.Done(insertWork) {
		// The lock's holes and the leads are where they were designed, from the
		// front end.
		front = min(in.Over, length-face-in.Over)
	}
	if front < 0 {
		text := fmt.Sprintf("%s does not reach over gear.face %s", d.mm(length), d.mm(face))
		if length >= face {
			text = fmt.Sprintf("%s is finished with %s over the front face, and then ends %s inside the back one", d.mm(length), d.mm(in.Over), d.mm(-front))
		}
		d.contradict(text+fmt.Sprintf(". Ways out: another block, %s long; or leave that end %s short, fill beside it with adhesive, and leave insert.length out", d.mm(face+2*in.Over), d.mm(-front)), key)
		return false
	}
	if front > in.Over+m.Gear.Face/4 {
		d.contradict(fmt.Sprintf("%s is much longer than designed (%s): saw it off first", d.mm(length), d.mm(face+2*in.Over)), key)
		return false
	}
	if !m.Done(insertWork) {
		in.Over = front
		m.Fit.TrialLength = min(m.Fit.TrialLength, m.Fit.Lead+in.Over)
	}
	return true
}

// madeRim holds what is left under the floor, and the block's height, to the
// same rules as the design.
func (d *draft) madeRim(m *Job) bool {
	g, s, in := &m.Gear, &m.Slot, &m.Insert
	floor := g.RootRadius() - s.SeatBelow - s.Depth - s.Deeper
	if left, least := floor-g.RimInner/2, leastRim(g.Module); left < least-1e-9 {
		d.contradict(fmt.Sprintf("only %s of rim is left under the slot as cut, %s are wanted: no insert makes that good. Do not go on; the ways left are a new rim or another gear", d.mm(left), d.mm(least)), "as_cut.slot.depth", "as_cut.slot.seat", "as_cut")
		return false
	}
	if need := g.TipRadius() - (g.RootRadius() - s.SeatBelow) + s.Depth + in.TopCut; in.BlockHeight < need {
		d.contradict(fmt.Sprintf("the block, %s high, ends %s below the tip on a seat so low: insert.block_height %s and more", d.mm(in.BlockHeight), d.mm(need-in.BlockHeight), d.mm(need)), "as_cut.slot.seat", "insert.block_height")
		return false
	}
	return true
}
