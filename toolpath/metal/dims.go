// Package metal says, from the job alone, what metal there is before each
// program and what metal must be left after it: the sections the replay of
// the written programs is given. It knows nothing of the plan but where
// it wants metal filed (Filing), so a mistake of the plan cannot hide in it.
//
// Gear sections are in the gear's frame (Z from the axis, gear at angle 0);
// insert sections in the insert's (Z0 at its top, the dovetail's wide face).
package metal

import (
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Dims are the sizes that follow from the job. Half widths are from the
// middle; heights of the gear from its axis with the place at top dead
// centre. All mm.
type Dims struct {
	Seat       float64 // height of the seat
	Floor      float64 // height of the slot's floor
	Bottom     float64 // height of the insert's dovetail when it stands on the seat
	PocketHalf float64 // seat
	BodyHalf   float64
	BlockHalf  float64
	MouthHalf  float64
	FloorHalf  float64 // of the slot, at Floor
	Slope      float64 // tan of the dovetail's flank from the vertical
	StubTop    float64 // height of the broken stub
	RimInner   float64 // radius under the rim

	Length    float64 // of the insert along X
	Height    float64 // of the insert, top faced
	SideDepth float64 // how deep the insert's sides are milled to the body's width
	InsertTop float64 // height of the insert's outer end in the gear
	TipTop    float64 // greatest height of the finished tooth: the tip radius
	GearTop   float64 // greatest distance of a standing tooth's metal from the axis
}

// DimsOf works the sizes out.
func DimsOf(j *job.Job) Dims {
	g := &j.Gear
	d := Dims{
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
	over, err := j.SidesOver(d.Seat)
	if err != nil {
		over = g.Module // the gear was validated with the job
	}
	d.SideDepth = j.Slot.Depth + over
	return d
}

// ZeroShift returns what is added to a program's Z in a gear set-up to get
// the height over the axis.
func ZeroShift(j *job.Job) float64 {
	g := j.Gear
	switch g.Zero {
	case job.ZeroAxis:
		return 0
	case job.ZeroTip:
		return g.TipRadius()
	}
	// The two neighbours of the run stand level; the highest point of a tip
	// land is its corner toward the gap.
	s := g.Standing()
	reach := 1.0
	for reach <= float64(g.Teeth) && IsPlace(g.Places, reach-frac(g.Places)) {
		reach++
	}
	return s.TipRadius() * math.Cos((reach-frac(g.Places))*g.Pitch()-s.HalfAngle(s.TipRadius()))
}

// frac is 0.5 when the places stand half a pitch beside A = 0, else 0.
func frac(places []float64) float64 {
	if len(places) > 0 && math.Abs(places[0]-math.Round(places[0])) > 0.25 {
		return 0.5
	}
	return 0
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

// ToGear turns a point of the insert's frame into the gear's: the insert is
// turned over about X, so Y changes sign and its top becomes the bottom.
func (d Dims) ToGear(p geom.Vec) geom.Vec { return geom.Vec{Y: -p.Y, Z: d.Bottom - p.Z} }

// SlideWidth is the width of the insert's neck at the step of the ladder.
func SlideWidth(j *job.Job, step int) float64 {
	return j.Slot.Mouth + j.Fit.TrialFirst - float64(step-1)*j.Fit.TrialStep
}

// RoundOff is the length over which a cutter of radius r rounds a step of
// height d: its side leaves the step only where r - sqrt(r^2-x^2) = d.
func RoundOff(r, d float64) float64 { return math.Sqrt(max(0, 2*r*d-d*d)) }
