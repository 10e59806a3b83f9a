package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Mesh is the new tooth and the gear it runs with. Lengths mm.
type Mesh struct {
	Tooth      profiles.Gear // the new tooth as it should be
	Neighbours profiles.Gear // the standing teeth, with their own thinning
	Right      []geom.Vec    // finished +Y flank of the tooth centred on +Z, from the tip down into the root
	Left       []geom.Vec    // its -Y flank, from the tip down; nil: the mirror of Right
	Mate       profiles.Gear // the other gear
	Centre     float64       // centre distance
}

// MeshSample is one moment of the roll: the gear turned by Angle toward +Y,
// the mate above it driven by the +Y flanks.
type MeshSample struct {
	Angle    float64 // of the gear, rad; 0: the new tooth on the line of centres
	Error    float64 // transmission error along the line of action, micrometres; positive: the mate is ahead
	New      bool    // the new tooth carries, else a standing one
	Radius   float64 // on the gear, where the new tooth touches or comes nearest, mm
	Backlash float64 // along the line of action, mm; negative: the teeth jam
}

// MeshResult is what rolling the tooth against its mate shows. Angles rad,
// lengths mm unless said. Along the line of action means, of cycloidal gears, along
// the pitch circles.
type MeshResult struct {
	WorkingAngle  float64               // pressure angle in mesh
	ContactRatio  float64               // of two sound gears
	Path          float64               // length of the path of contact
	ArcOfContact  float64               // Path / cos of the pressure angle: on the pitch circle
	Start, End    float64               // roll angles of the gear's flank at both ends of the path; cycloidal: how far its foot on the pitch circle stands off the line of centres
	TipInterferes bool                  // a tip reaches under the other's base circle
	GearTipGap    float64               // between the gear's tip circle and the mate's root
	MateTipGap    float64               // between the mate's tip circle and the gear's root
	IdealBacklash float64               // of the standing teeth, along the line of action
	Samples       []MeshSample          // by rising angle
	Backlash      float64               // least of the roll, along the line of action
	Tightest      MeshSample            // the moment of Backlash
	Interferes    bool                  // the new tooth jams, or a tip strikes a root
	ErrorPeak     float64               // transmission error peak to peak, micrometres
	ErrorHigh     float64               // greatest, micrometres
	ErrorLow      float64               // least, micrometres
	Deviation     float64               // total profile deviation of the new flank on the path of contact, micrometres
	Grades        []profiles.Graded     // that Deviation corresponds to by ISO 1328-1:1995 and :2013
	Notes         []string              // what else to know, one sentence each
	Assumptions   []profiles.Assumption // what the result rests on
}

// meshSteps is how many moments of the roll are looked at. Facets are a few
// to a flank, so a hundred or more moments fall on each.
const meshSteps = 480

// meshStep is the greatest distance of two points of the flank, in modules:
// so close that the mate's sharp curve near its base circle does not show
// them as ripples.
const meshStep = 0.004

// Roll turns the gear through the whole engagement of the new tooth, and half
// a pitch more at each end. Every point of its flanks that lies inside the
// mate's tip circle pushes the mate's involute flank (or its fillet) ahead;
// the one that pushes most touches. The standing teeth hold the mate where
// they are in contact, and beyond the ends of the path of contact by the edges of
// their tips, or the mate's on their flanks. Both gears are stiff and run on true
// centres.
func (m Mesh) Roll() (MeshResult, error) {
	r, err := m.layout()
	if err != nil {
		return MeshResult{}, err
	}
	mate, err := newMate(m.Mate)
	if err != nil {
		return MeshResult{}, err
	}
	step := meshStep * m.Tooth.Module
	right := geom.Spaced(m.Right, step)
	left := geom.Spaced(geom.Mirrored(m.Left), step)
	if m.Left == nil {
		left = right
	}
	k := m.kinematics(r)
	if k.standing[0], err = m.Neighbours.RightFlank(); err != nil {
		return MeshResult{}, err
	}
	if k.standing[1], err = m.Neighbours.Mirrored().RightFlank(); err != nil {
		return MeshResult{}, err
	}
	for i := range k.standing {
		k.standing[i] = geom.Spaced(k.standing[i], step)
	}
	r.Samples = make([]MeshSample, meshSteps+1)
	margin := m.Tooth.Pitch() / 2
	from, to := k.angle(r.Start)-margin, k.angle(r.End)+margin
	for i := range r.Samples {
		r.Samples[i] = k.moment(from+(to-from)*float64(i)/meshSteps, right, left, mate)
	}
	r.summarize(m)
	return r, nil
}

// layout checks the mesh and fills in what the sound gears give.
func (m Mesh) layout() (MeshResult, error) {
	g, n := m.Tooth, m.Mate
	for _, x := range []profiles.Gear{g, m.Neighbours, n} {
		if err := x.Validate(); err != nil {
			return MeshResult{}, err
		}
	}
	if g.Form != nil || n.Form != nil {
		return m.layoutCycloid()
	}
	switch {
	case math.Abs(g.BasePitch()/n.BasePitch()-1) > 1e-6:
		return MeshResult{}, fmt.Errorf("base pitches %.4f and %.4f mm differ: these gears do not run together", g.BasePitch(), n.BasePitch())
	case len(m.Right) < 2 || m.Left != nil && len(m.Left) < 2:
		return MeshResult{}, fmt.Errorf("the flank needs at least two points")
	}
	rb1, rb2, a := g.BaseRadius(), n.BaseRadius(), m.Centre
	if !(a > rb1+rb2) || a > g.TipRadius()+n.TipRadius() {
		return MeshResult{}, fmt.Errorf("centre distance %.3f mm: the teeth meet between %.3f and %.3f mm", a, rb1+rb2, g.TipRadius()+n.TipRadius())
	}
	r := MeshResult{WorkingAngle: math.Acos((rb1 + rb2) / a)}
	line := a * math.Sin(r.WorkingAngle) // between the base tangent points
	end := math.Sqrt(g.TipRadius()*g.TipRadius() - rb1*rb1)
	start := line - math.Sqrt(n.TipRadius()*n.TipRadius()-rb2*rb2)
	r.TipInterferes = start < -geom.Eps || end > line+geom.Eps
	// Undercut teeth have less involute than their tips could reach: contact
	// ends where either involute does.
	form, mateForm, err := m.formRadii()
	if err != nil {
		return MeshResult{}, err
	}
	below := func(radius, base float64) float64 { return math.Sqrt(max(0, radius*radius-base*base)) }
	start = max(start, below(form, rb1))
	end = min(end, line-below(mateForm, rb2))
	r.Path = end - start
	r.ContactRatio = r.Path / g.BasePitch()
	r.ArcOfContact = r.Path / math.Cos(g.Pressure)
	r.Start, r.End = start/rb1, end/rb1
	r.GearTipGap = a - g.TipRadius() - n.RootRadius()
	r.MateTipGap = a - n.TipRadius() - g.RootRadius()
	r.IdealBacklash = m.backlash(m.Neighbours, r.WorkingAngle)
	if !(r.Start < r.End) {
		return MeshResult{}, fmt.Errorf("centre distance %.3f mm: the involutes do not meet", a)
	}
	return m.held(r)
}

// held refuses a pair whose sound teeth would not hold each other all round.
func (m Mesh) held(r MeshResult) (MeshResult, error) {
	if r.ContactRatio < 1 {
		return MeshResult{}, fmt.Errorf("contact ratio %.3f at a centre distance of %.3f mm: below 1 even sound teeth lose each other", r.ContactRatio, m.Centre)
	}
	return r, nil
}

// formRadii are the radii at which the flanks of gear and mate end at the root, mm.
func (m Mesh) formRadii() (gear, mate float64, err error) {
	root, err := m.Tooth.Root()
	if err != nil {
		return 0, 0, err
	}
	mateRoot, err := m.Mate.Root()
	return root.FormRadius, mateRoot.FormRadius, err
}

// Play returns the backlash along the line of action, mm, of a true tooth like
// the new one with its mate; negative: they jam.
func (m Mesh) Play() (float64, error) {
	r, err := m.layout()
	if err != nil {
		return 0, err
	}
	if m.Tooth.Form != nil {
		return m.play(m.Tooth), nil
	}
	return m.backlash(m.Tooth, r.WorkingAngle), nil
}

// backlash is the play of gear g with the mate along the line of action: the
// base pitch less both base thicknesses, opened by the working angle:
// 2 (r_b1 + r_b2) inv(aw) + p_b - s_b1 - s_b2.
func (m Mesh) backlash(g profiles.Gear, aw float64) float64 {
	rb1, rb2 := g.BaseRadius(), m.Mate.BaseRadius()
	return 2*(rb1+rb2)*profiles.Inv(aw) + g.BasePitch() - 2*rb1*g.BaseHalfAngle() - 2*rb2*m.Mate.BaseHalfAngle()
}

// mateFlank is the mate's tooth: half its angular thickness at a radius,
// fillet and all.
type mateFlank struct {
	gear  profiles.Gear
	form  float64
	rad   []float64 // of the fillet, falling
	angle []float64
}

func newMate(g profiles.Gear) (mateFlank, error) {
	root, err := g.Root()
	if err != nil {
		return mateFlank{}, err
	}
	flank, err := g.RightFlank()
	if err != nil {
		return mateFlank{}, err
	}
	f := mateFlank{gear: g, form: root.FormRadius}
	if g.Form != nil { // all of its outline, which is quicker than its curve
		f.form = math.Inf(1)
	}
	for _, p := range flank {
		if p.Norm() <= f.form+geom.Eps {
			f.rad = append(f.rad, p.Norm())
			f.angle = append(f.angle, p.Angle())
		}
	}
	return f, nil
}

// half returns the half angular thickness at radius r; inside the root circle
// all is metal.
func (f mateFlank) half(r float64) float64 {
	if r >= f.form {
		return f.gear.HalfAngle(r)
	}
	for i := 1; i < len(f.rad); i++ {
		if r >= f.rad[i] && f.rad[i-1] > f.rad[i] {
			t := (r - f.rad[i]) / (f.rad[i-1] - f.rad[i])
			return f.angle[i] + t*(f.angle[i-1]-f.angle[i])
		}
	}
	return f.gear.Pitch() / 2
}

// kinematics turns gear angles into places of the mate.
type kinematics struct {
	m          Mesh
	rb1, rb2   float64
	lead       float64 // what is added to the gear's angle to give the roll of the contact
	atPitch    float64 // half angle of the gear's tooth on its pitch circle in mesh
	matePitch  float64 // and of the mate's
	start, end float64 // rolls
	ideal      float64 // play of the nominal tooth
	step       float64 // how far the standing flanks lie behind the new one, along the line of action
	tip2       float64
	standing   [2][]geom.Vec // flanks of a standing tooth, its +Y one and its -Y one as if it were that
}

func (m Mesh) kinematics(r MeshResult) kinematics {
	g, aw := m.Tooth, r.WorkingAngle
	if g.Form != nil {
		return m.kinematicsCycloid(r)
	}
	return kinematics{
		m: m, rb1: g.BaseRadius(), rb2: m.Mate.BaseRadius(),
		lead: g.BaseHalfAngle() + aw, atPitch: g.BaseHalfAngle() - profiles.Inv(aw), matePitch: m.Mate.BaseHalfAngle() - profiles.Inv(aw),
		start: r.Start, end: r.End, ideal: m.backlash(g, r.WorkingAngle),
		step: g.BaseRadius() * (g.BaseHalfAngle() - m.Neighbours.BaseHalfAngle()),
		tip2: m.Mate.TipRadius(),
	}
}

// angle is the gear's angle when the +Y flank touches at roll phi: the line of
// action is the base tangent turned by the working angle.
func (k kinematics) angle(phi float64) float64 { return phi - k.lead }

// nominal is the angle of the mate's tooth that the new tooth drives, from the
// line of centres, positive toward +Y, for a perfect new tooth. Base circles
// roll without slip; on the pitch point both flanks touch.
func (k kinematics) nominal(theta float64) float64 {
	return k.matePitch + (theta+k.atPitch)*k.rb1/k.rb2
}

// moment looks at one angle of the gear.
func (k kinematics) moment(theta float64, right, left []geom.Vec, mate mateFlank) MeshSample {
	want := k.nominal(theta)
	s := MeshSample{Angle: theta}
	// Where the new tooth's driving flank pushes the mate, over nominal.
	ahead, at := k.push(theta, right, mate, want)
	// The tooth on the other side is driven by the other flank: the same,
	// seen in a mirror, with the mate's tooth before.
	behind, _ := k.push(-theta, left, mate, k.nominal(-theta))
	lead, hold := k.held(theta, 0, mate), k.ideal-k.held(-theta, 1, mate)
	s.Radius = at
	s.New = ahead >= lead
	s.Error = max(ahead, lead) * 1000
	s.Backlash = min(k.ideal-behind, hold) - max(ahead, lead)
	return s
}

// push returns how far the flank pushes the mate's tooth beyond its nominal
// angle, along the line of action, and the radius on the gear of the point
// that does so. It is -Inf when no point reaches the mate.
func (k kinematics) push(theta float64, flank []geom.Vec, mate mateFlank, want float64) (ahead, at float64) {
	turn := geom.Turn(theta)
	most := math.Inf(-1)
	for _, p := range flank {
		q := turn.Apply(p)
		q.Z = k.m.Centre - q.Z
		rad := q.Norm()
		if rad > k.tip2 {
			continue
		}
		if b := q.Angle() + mate.half(rad); b > most {
			most, at = b, p.Norm()
		}
	}
	return (most - want) * k.rb2, at
}

// holds says whether a standing tooth is in contact on the driving side when
// the new tooth stands at theta.
func (k kinematics) holds(theta float64) bool {
	phi := theta + k.lead
	pitch := k.m.Tooth.Pitch()
	for _, i := range []float64{-3, -2, -1, 1, 2, 3} {
		if p := phi + i*pitch; p >= k.start && p <= k.end {
			return true
		}
	}
	return false
}

// MateAngle is the angle of the mate's tooth that the new one drives at a moment of
// the roll, from the line of centres toward +Y, rad.
func (m Mesh) MateAngle(r MeshResult, at MeshSample) float64 {
	k := m.kinematics(r)
	return k.nominal(at.Angle) + at.Error/1000/k.rb2
}

// held is how far the standing teeth push the mate beyond its nominal angle, the new
// tooth at theta: in contact by their flanks, all alike; else by an edge of those
// next to it, on the flanks of a side, which falls behind the flanks.
func (k kinematics) held(theta float64, side int, mate mateFlank) float64 {
	if k.holds(theta) {
		return -k.step
	}
	most := math.Inf(-1)
	for _, i := range []float64{-1, 1} {
		at := theta + i*k.m.Tooth.Pitch()
		ahead, _ := k.push(at, k.standing[side], mate, k.nominal(at))
		most = max(most, min(ahead, -k.step))
	}
	return most
}

// summarize fills in the figures of the whole roll.
func (r *MeshResult) summarize(m Mesh) {
	r.Backlash = math.Inf(1)
	r.ErrorHigh, r.ErrorLow = math.Inf(-1), math.Inf(1)
	touched := false
	for _, s := range r.Samples {
		if s.Backlash < r.Backlash {
			r.Backlash, r.Tightest = s.Backlash, s
		}
		r.ErrorHigh, r.ErrorLow = max(r.ErrorHigh, s.Error), min(r.ErrorLow, s.Error)
		touched = touched || s.New
	}
	r.ErrorPeak = r.ErrorHigh - r.ErrorLow
	r.Interferes = r.Backlash < 0 || r.GearTipGap < 0 || r.MateTipGap < 0
	if m.Tooth.Form != nil { // the standard grades involutes
		r.Deviation = 1000 * m.deviationCycloid(r)
	} else {
		r.Deviation = 1000 * m.deviation(r.Start, r.End)
		for _, e := range []profiles.Edition{profiles.ISO1328of1995, profiles.ISO1328of2013} {
			r.Grades = append(r.Grades, e.ProfileGrade(r.Deviation, m.Tooth.Module, 2*m.Tooth.PitchRadius()))
		}
	}
	note := func(on bool, format string, args ...any) {
		if on {
			r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
		}
	}
	note(r.Backlash < 0, "the teeth jam by %.3f mm, the new tooth at %.2f degrees", -r.Backlash, geom.Degrees(r.Tightest.Angle))
	note(r.IdealBacklash < leastPlay, "the standing teeth themselves have no play at this centre distance: measure it, and the thickness of the teeth")
	note(r.GearTipGap < 0, "the gear's tips strike the mate's root by %.3f mm", -r.GearTipGap)
	note(r.MateTipGap < 0, "the mate's tips strike the gear's root by %.3f mm", -r.MateTipGap)
	note(r.TipInterferes, "a tip reaches under the other gear's base circle")
	note(!touched, "the new tooth never carries: the standing teeth hold the mate off it")
	for _, g := range r.Grades {
		note(!g.OK, "the profile is %v", g)
	}
	r.Assumptions = []profiles.Assumption{
		{Name: "mate's thinning", Value: m.Mate.Thinning, Unit: "mm", Source: "of the job, or standard: 0"},
		{Name: "mate's profile shift", Value: m.Mate.Shift, Unit: "modules", Source: "of the job, or standard: 0"},
		{Name: "points of the flank at most apart", Value: meshStep, Unit: "modules", Source: profiles.OwnRule},
		{Name: "load and shaft give", Value: 0, Unit: "mm", Source: "none: stiff gears on true centres"},
	}
	if m.Tooth.Hollow() > 0 {
		r.Assumptions = append(r.Assumptions, profiles.Assumption{Name: "metal left in the hollow of the flank", Value: 0, Unit: "mm",
			Source: "taken as true: the cutter's corner leaves steps up to the tolerance there"})
	}
}

// leastPlay is the play below which sound gears would not run, mm (own rule):
// what was given is then a gear as it is drawn, not as it was made.
const leastPlay = 0.005

// deviation returns the total profile deviation of the new +Y flank between
// two rolls: greatest less least distance from the involute along its normals.
func (m Mesh) deviation(start, end float64) float64 {
	g := m.Tooth
	rb := g.BaseRadius()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range geom.Spaced(m.Right, meshStep*g.Module) {
		rad := p.Norm()
		if rad <= rb {
			continue
		}
		over := rb * (p.Angle() - g.HalfAngle(rad))
		if foot := g.Roll(rad) - over/rb; foot >= start && foot <= end {
			lo, hi = min(lo, over), max(hi, over)
		}
	}
	return max(0, hi-lo)
}
