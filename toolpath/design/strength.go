package design

import (
	"fmt"
	"math"
	"strings"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Worn returns the gear with the standing teeth's own thinning: as they are on
// the average, where Standing is the fattest that must not be touched.
func (d *Design) Worn() profiles.Gear {
	g := d.Job.Gear.Gear
	g.Thinning = d.Job.Gear.NeighbourThinning
	return g
}

// Slot is the dovetail in the gear as it is to be cut.
func (d *Design) Slot() profiles.DovetailSize {
	s := &d.Job.Slot
	return profiles.DovetailSize{Mouth: s.Mouth, Depth: s.Depth + s.Deeper, HalfAngle: s.HalfAngle}
}

// Joint is the slot's dovetail as far down as the insert bears on it; the slot
// is cut a little deeper.
func (d *Design) Joint() profiles.DovetailSize {
	s := d.Slot()
	s.Depth = d.Job.Slot.Depth
	return s
}

// WallBeside returns the metal beside the slot along Y, mm: at the floor's
// corner to the root circle, or to the next slot when another tooth is let in
// near by.
func (d *Design) WallBeside() float64 {
	s, places := &d.Sizes, d.Job.Gear.Places
	root := d.Job.Gear.RootRadius()
	wall := math.Sqrt(max(0, root*root-s.Floor*s.Floor)) - s.FloorHalf
	if s.Floor < s.RimInner {
		return 0
	}
	slot := []geom.Vec{{Y: -s.FloorHalf, Z: s.Floor}, {Y: s.FloorHalf, Z: s.Floor}, {Y: s.MouthHalf, Z: s.Seat}, {Y: -s.MouthHalf, Z: s.Seat}, {Y: -s.FloorHalf, Z: s.Floor}}
	for _, a := range places {
		for _, b := range places {
			if b <= a {
				continue
			}
			other := geom.Turn((b - a) * d.Job.Gear.Pitch()).ApplyAll(slot)
			// Two convex sections are nearest at a corner of one of them.
			for i := range slot {
				wall = min(wall, geom.Distance(slot[i], other), geom.Distance(other[i], slot))
			}
		}
	}
	return wall
}

// Section is the section round the place that has the most others cut nearest
// by.
func (d *Design) Section() estimate.Section {
	j, z := d.Job, &d.Sizes
	s := estimate.Section{
		Neighbours: d.Worn(), Tooth: j.Gear.Gear, Inner: z.RimInner, Seat: z.Seat, Floor: z.Floor, Bottom: z.Bottom,
		MouthHalf: z.MouthHalf, HalfAngle: j.Slot.HalfAngle, BodyHalf: z.BodyHalf, PocketHalf: z.PocketHalf,
		Casting: j.Gear.Material, Insert: j.Insert.Material,
	}
	most := 0.0
	for _, p := range j.Gear.Places {
		var open []float64
		near := 0.0
		for _, q := range j.Gear.Places {
			if o := math.Round(q - p); o != 0 && math.Abs(o) <= estimate.FarPlace {
				open = append(open, o)
				near += 1 / math.Abs(o)
			}
		}
		if near > most {
			s.Open, most = open, near
		}
	}
	if s.Inner == 0 { // one with its shaft: as if bored by a tenth
		s.Inner = 0.1 * s.Floor
	}
	return s
}

// lock is what the job's screws or pins do to the section.
func (d *Design) lock(s estimate.Section) estimate.Lock {
	j := d.Job
	if j.Lock.Kind == job.NoLock {
		return estimate.Lock{}
	}
	l := estimate.Lock{Hole: j.Lock.TapDrill}
	for _, x := range j.Lock.Positions {
		r := j.Lock.TapDrill / 2
		l.InTight = l.InTight || x+r > j.Fit.Lead && x-r < j.Gear.Face-j.Fit.Lead
	}
	if j.Lock.Kind == job.Screw {
		n, core := d.screws()
		l.Push = s.ScrewPush(n, core, j.Gear.Face)
	}
	return l
}

// screws is the number of screws or pins and their least diameter: the
// thread's core, or the ground point where that is thinner.
func (d *Design) screws() (int, float64) {
	l := &d.Job.Lock
	switch l.Kind {
	case job.Screw:
		core := l.Point
		if t, ok := profiles.ThreadByName(l.Thread); ok {
			core = min(core, t.Minor())
		}
		return len(l.Positions), core
	case job.Pin:
		return len(l.Positions), min(l.TapDrill, l.Point)
	}
	return 0, 0
}

// Stress is the casting round the slot, ready to be asked for its stress. It
// is worked out when it is first asked for.
func (d *Design) Stress() (*estimate.Casting, error) { return d.stress() }

// Tight is how proud the middle of the tight flank stands, mm: as the job
// asks, or as much as the casting bears. Where no stress can be worked out it
// is 0, and FitWarning says why.
func (d *Design) Tight() float64 {
	t, _ := d.tight()
	return t
}

func (d *Design) findTight() (float64, error) {
	if t := d.Job.Fit.TightMiddle; t != job.TightBest || d.Job.BuiltUp() {
		return t, nil
	}
	f, err := d.joint()
	if err != nil {
		return 0, err
	}
	return f.DefaultTight()
}

// cutThin is the new tooth with what was cut off its flanks beyond their plan.
func (d *Design) cutThin() profiles.Gear {
	off := 0.0
	for _, o := range d.Job.Facets.Off {
		off += min(0, o)
	}
	return d.Job.Gear.MovedIn(-off / 2)
}

// loadCase is the repair under its load, without its section.
func (d *Design) loadCase() estimate.LoadCase {
	j := d.Job
	c := estimate.LoadCase{
		Duty: d.duty(d.Sizes.Floor), Slot: d.Joint(), SeatBelow: j.Slot.SeatBelow, Body: 2 * d.Sizes.BearHalf, Wall: d.WallBeside(),
		Insert: j.Insert.Material,
	}
	c.Screws, c.Screw = d.screws()
	return c
}

// duty is what the gear carries, its rim measured under the radius, mm, that the
// new tooth stands on.
func (d *Design) duty(on float64) estimate.Duty {
	j := d.Job
	c := estimate.Duty{Tooth: d.cutThin(), Neighbours: d.Worn(), Face: j.Gear.Face, RimUnder: on - d.Sizes.RimInner, Casting: j.Gear.Material}
	if j.Load != nil {
		c.Torque, c.Rpm, c.Service = j.Load.Torque, j.Load.Rpm, j.Load.Service
	}
	return c
}

// LoadCase is the repair under its load, with the fit of the step that the job
// gives.
func (d *Design) LoadCase() (estimate.LoadCase, error) {
	c := d.loadCase()
	f, err := d.Fitted()
	if err != nil {
		return c, err
	}
	c.Stress = f.Stress
	c.Interference, c.Most = f.Interference()
	return c, nil
}

// Room is what is asked of the metal round the slot or under a built-up tooth,
// whatever the load is.
func (d *Design) Room() []estimate.LoadItem {
	if d.Job.BuiltUp() {
		return d.BondCase().Room()
	}
	return d.loadCase().Room()
}

// JoinIn puts into a joint of known sliding size what the job says of it; tip
// is the dovetail cutter's radius at its wide end, mm.
func (d *Design) JoinIn(f *estimate.JointFit, tip float64) (err error) {
	j := d.Job
	f.Slot.Depth = d.Joint().Depth
	f.Length, f.Lead = j.Gear.Face, j.Fit.Lead
	f.Casting, f.Insert = j.Gear.Material, j.Insert.Material
	f.CutterTip = tip
	f.CutterNeck = max(0, tip-j.Slot.Depth*d.Sizes.Slope)
	if j.Load != nil {
		f.Load = d.loadCase().DesignForce()
	}
	f.Stress, err = d.Stress()
	return err
}

// ladderFit is the joint of a step of the trial cuts, without its tight middle.
func (d *Design) ladderFit(step int) (estimate.JointFit, error) {
	l := &d.Job.Fit
	f, err := estimate.FitFromLadder(d.Slot(), l.TrialFirst, l.TrialStep, step)
	if err != nil {
		return f, err
	}
	return f, d.JoinIn(&f, d.DovetailRadius())
}

// joint is the joint as it was measured, or as the step of the trial cuts has
// it, without its tight middle. While no step is known it takes the one of the
// slot's own size.
func (d *Design) joint() (estimate.JointFit, error) {
	l := &d.Job.Fit
	if l.Width > 0 {
		f, err := estimate.FitFromPins(d.Slot(), max(0, d.Job.Slot.Mouth-l.Width))
		if err != nil {
			return f, err
		}
		f.Sliding = l.Width
		return f, d.JoinIn(&f, d.DovetailRadius())
	}
	step := l.Step
	if step == 0 {
		step = min(max(1, 1+int(math.Round(l.TrialFirst/l.TrialStep))), l.TrialCount)
	}
	return d.ladderFit(step)
}

// Fitted is the joint as the job has it.
func (d *Design) Fitted() (estimate.JointFit, error) {
	f, err := d.joint()
	if err != nil {
		return f, err
	}
	f.Tight, err = d.tight()
	return f, err
}

// Fitting is the joint as the job has it, and what its estimate says.
type Fitting struct {
	Joint  estimate.JointFit  // as the job has it
	Result estimate.FitResult // the estimate of it
}

// Fit is the estimate of the joint as the job has it.
func (d *Design) Fit() (Fitting, error) { return d.fit() }

func (d *Design) findFit() (f Fitting, err error) {
	if f.Joint, err = d.Fitted(); err != nil {
		return f, err
	}
	f.Result, err = f.Joint.Fit()
	return f, err
}

// Loaded is the estimate of the repair under the job's load, which it must
// have.
func (d *Design) Loaded() (estimate.LoadResult, error) { return d.loaded() }

func (d *Design) findLoaded() (estimate.LoadResult, error) {
	if d.Job.BuiltUp() {
		return d.BondCase().Load()
	}
	c, err := d.LoadCase()
	if err != nil {
		return estimate.LoadResult{}, err
	}
	return c.Load()
}

// Against lists why, by the estimates, the insert should not be let in as the
// job has it, or a built-up tooth not carry its load, a sentence each without capital or full stop; none when they
// allow it. What cannot be estimated is not allowed.
func (d *Design) Against() (why []string) {
	if d.Job.BuiltUp() {
		return d.loadAgainst(nil)
	}
	f, err := d.Fit()
	if err != nil {
		return []string{fmt.Sprintf("the stress of the fit could not be estimated: %v", err)}
	}
	u := d.Job.Units
	for _, c := range f.Result.Cases {
		if c.Decides && c.Use > 1 && c.Key == "fit.most" {
			why = append(why, fmt.Sprintf("the tight middle of %s may crack the casting: %.0f MPa %s, where our own limit is %.0f; fit.tight_middle may be %s at most",
				u.Length(f.Joint.Tight), c.Greatest.Stress, c.Greatest.What, c.Limit, u.Length(f.Result.LargestTight)))
		}
	}
	return d.loadAgainst(why)
}

// loadAgainst adds what the estimate of the load says against the repair to what
// the estimate of the fit does.
func (d *Design) loadAgainst(why []string) []string {
	tooTight := len(why) > 0
	if d.Job.Load == nil {
		return why
	}
	l, err := d.Loaded()
	if err != nil {
		return append(why, fmt.Sprintf("the strength under the load could not be estimated: %v", err))
	}
	for _, i := range l.Items {
		said := strings.HasPrefix(i.Key, "casting.fit") || i.Key == "casting.both" && tooTight
		if i.Decides && i.Use > 1 && !said {
			word := "is beyond"
			if i.AtLeast {
				word = "is less than"
			}
			why = append(why, strings.Join(strings.Fields(fmt.Sprintf("%s: %.3g %s %s %.3g", i.What, i.Value, i.Unit, word, i.Allowable)), " "))
		}
	}
	return why
}

// FitWarning speaks when the estimate finds the fit that the job asks for near
// its limit or beyond it, or that it may not grip, or when none can be made; else
// it is "".
func (d *Design) FitWarning() string {
	if d.Job.BuiltUp() {
		return ""
	}
	f, err := d.Fit()
	tight := d.Job.Units.Length(d.Tight())
	switch {
	case err != nil:
		return fmt.Sprintf("the stress of the fit could not be estimated: %v", err)
	case f.Result.Verdict != estimate.FitSafe:
		return fmt.Sprintf("a tight middle of %s: %s; see '%s'", tight, f.Result.Verdict, d.Job.Command("fit"))
	case d.Job.Fit.TightMiddle == job.TightBest && f.Result.Most == 0:
		return fmt.Sprintf("the casting bears no tight middle that grips: fit.tight_middle is %s, and adhesive and lock hold the insert alone", tight)
	case f.Result.Most > 0 && f.Result.Least == 0 && d.Job.Fit.Width == 0:
		return fmt.Sprintf("a tight middle of %s may not grip: trial cuts %s apart do not tell the play near enough, and the flanks' roughness takes %s; give fit.trial_step less than %s, or sizes by pins and fit.play", tight,
			d.Job.Units.Length(d.Job.Fit.TrialStep), d.Job.Units.Length(estimate.Flattening), d.Job.Units.Length(f.Joint.Tight-estimate.Flattening))
	}
	return ""
}
