package design

import (
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Sizes are the sizes that follow from the job, mm. Half widths are from the
// middle; heights of the gear from its axis with the place at top dead
// centre.
type Sizes struct {
	Seat       float64 // height of the seat
	Floor      float64 // height of the slot's floor
	Bottom     float64 // height of the insert's dovetail when it stands on the seat
	PocketHalf float64 // half width of the seat
	BodyHalf   float64 // half width of the insert's body at its shoulders
	BlockHalf  float64 // half width of the insert's blank
	MouthHalf  float64 // half width of the slot at the seat
	FloorHalf  float64 // half width of the slot at Floor
	Slope      float64 // tan of the dovetail's flank from the vertical; no unit
	StubTop    float64 // height of the broken stub
	RimInner   float64 // radius under the rim

	Length    float64 // of the insert along X
	Height    float64 // of the insert, top faced
	SideDepth float64 // how deep the insert's sides are milled to the body's width
	WideHalf  float64 // half width of the insert's dovetail, with its oversize, at its wide end: the block is milled upright to it, and the dovetail cutter goes in under it
	BearHalf  float64 // the shoulders bear on the casting out to this half width: beyond it the root falls away under the seat
	FootGap   float64 // greatest height that stays open between body and casting beyond that
	InsertTop float64 // height of the insert's outer end in the gear
	TipTop    float64 // greatest height of the finished tooth: the tip radius
	GearTop   float64 // greatest distance of a standing tooth's metal from the axis
}

func sizesOf(j *job.Job) (Sizes, error) {
	g := &j.Gear
	d := Sizes{
		PocketHalf: (j.Insert.Body + j.Slot.SeatPlay) / 2,
		BodyHalf:   j.Insert.Body / 2,
		BlockHalf:  j.Insert.BlockWidth / 2,
		MouthHalf:  j.Slot.Mouth / 2,
		Slope:      math.Tan(j.Slot.HalfAngle),
		RimInner:   g.RimInner / 2,
		Length:     g.Face + 2*j.Insert.Over,
		Height:     j.Insert.BlockHeight - j.Insert.TopCut,
		TipTop:     g.TipRadius(),
		GearTop:    g.TipRadius(),
	}
	d.Seat = g.RootRadius() - j.Slot.SeatBelow
	d.Floor = d.Seat - j.Slot.Depth - j.Slot.Deeper
	d.Bottom = d.Seat - j.Slot.Depth
	d.FloorHalf = d.MouthHalf + (d.Seat-d.Floor)*d.Slope
	d.StubTop = min(g.RootRadius()+j.Slot.Stub, g.TipRadius())
	d.InsertTop = d.Bottom + d.Height
	if j.BuiltUp() {
		return d, nil // the rest follows from the bead
	}
	d.WideHalf = min(d.BodyHalf, d.MouthHalf+j.Insert.OverSize/2+j.Slot.Depth*d.Slope)
	over, err := j.SidesOver(d.Seat)
	d.SideDepth = j.Slot.Depth + over
	return d, err
}

// bearing works out how far out the casting reaches up to the seat; flank is the
// tooth's, from the tip down to the middle of the space.
func (s *Sizes) bearing(flank []geom.Vec) {
	s.BearHalf = s.BodyHalf
	for i := 1; i < len(flank); i++ {
		a, b := flank[i-1], flank[i]
		if a.Z >= s.Seat && b.Z < s.Seat {
			s.BearHalf = min(s.BodyHalf, a.Lerp(b, (a.Z-s.Seat)/(a.Z-b.Z)).Y)
		}
		if a.Y < s.BodyHalf && b.Y >= s.BodyHalf && b.Z < s.Seat {
			s.FootGap = s.Seat - a.Lerp(b, (s.BodyHalf-a.Y)/(b.Y-a.Y)).Z
		}
	}
}

// ToGear turns a point of the insert's frame into the gear's: the insert is
// turned over about X, so Y changes sign and its top becomes the bottom.
func (s *Sizes) ToGear(p geom.Vec) geom.Vec { return geom.Vec{Y: -p.Y, Z: s.Bottom - p.Z} }

// SlideWidth is the width of the insert's neck at a step of the trial cuts,
// counted from 1, mm.
func (d *Design) SlideWidth(step int) float64 {
	f := &d.Job.Fit
	return d.Job.Slot.Mouth + f.TrialFirst - float64(step-1)*f.TrialStep
}

// FitWidth is the width of the insert's neck at its sliding ends, mm: that of
// the trial cut that slid, or what measured sizes give. While neither is known it
// is that of the first trial cut.
func (d *Design) FitWidth() (width float64, known bool) {
	switch f := &d.Job.Fit; {
	case f.Width > 0:
		return f.Width, true
	case f.Step > 0:
		return d.SlideWidth(f.Step), true
	}
	return d.SlideWidth(1), false
}

// HolesInInsert returns the X of the lock's holes in the insert's frame, mm.
// The insert keeps its sense of X when it is turned over; its front end stands
// Over before the gear's face; Draw shifts the hole toward +X.
func (d *Design) HolesInInsert() []float64 {
	l := &d.Job.Lock
	if l.Kind == job.NoLock {
		return nil
	}
	out := make([]float64, len(l.Positions))
	for i, x := range l.Positions {
		out[i] = x + d.Job.Insert.Over + l.Draw
	}
	return out
}

// PointSlope is the height of the point of the drill for the insert's holes,
// over its radius; no unit.
func (d *Design) PointSlope() float64 {
	if c := d.Drill(d.Job.Lock.PointDrill); c != nil {
		return 1 / math.Tan(c.PointAngle/2)
	}
	return 0
}

// Drill returns the drill of the job of that name, nil when there is none.
func (d *Design) Drill(name string) *profiles.Cutter {
	if c := d.Job.Cutter(name); c != nil && c.Kind == profiles.Drill {
		return c
	}
	return nil
}

// ZeroHeight returns how high over the axis a choice of Z0 lies: what is added
// to a program's Z in a gear set-up to get the height over the axis, mm.
func ZeroHeight(g *job.Gear, zero job.ZeroHeight) float64 {
	switch zero {
	case job.ZeroAxis:
		return 0
	case job.ZeroTip:
		return g.TipRadius()
	}
	// The two neighbours of the run stand level; the highest point of a tip
	// land is its corner toward the gap.
	s := g.Standing()
	return s.TipRadius() * math.Cos(g.LevelReach()*g.Pitch()-s.HalfAngle(s.TipRadius()))
}

// IsPlace says whether a tooth is to be made at a position, in pitches.
func IsPlace(places []float64, at float64) bool {
	for _, p := range places {
		if math.Abs(p-at) < 0.25 {
			return true
		}
	}
	return false
}
