package design

import (
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// beadOf is the section of a bead: at every height as wide as the finished tooth
// and what stands beside it, up to what stands over the tip, down to the root
// circle. It ends at the middle of the spaces, where the teeth beside it begin: what
// lies beyond is dressed off by hand before.
func beadOf(j *job.Job, tooth *Tooth) (geom.Region, error) {
	b, root := j.Bead, tooth.RootRadius()
	side := func(flank []geom.Vec, out float64) []geom.Vec {
		var line []geom.Vec
		for _, q := range flank {
			if q.Norm() < root+geom.Eps && len(line) > 0 {
				break // along the root circle there is none
			}
			line = append(line, geom.Vec{Y: out * (q.Y + b.Beside), Z: q.Z})
		}
		tip, foot := line[0], line[len(line)-1]
		tip.Z = tooth.TipRadius() + b.Top
		foot.Z = 0 // under the root circle it is the casting's
		return append(append([]geom.Vec{tip}, line...), foot)
	}
	ring := append(side(tooth.Flank, 1), geom.Reversed(side(tooth.Seen(-1).Flank, -1))...)
	whole, err := geom.Decompose(ring)
	if err != nil {
		return nil, err
	}
	far, half := 2*tooth.TipRadius(), tooth.Pitch()/2
	sector := geom.Region{geom.NewConvex(geom.Vec{}, geom.Polar(far, half), geom.Polar(far, 0), geom.Polar(far, -half))}
	return whole.Intersect(sector).Minus(belowRoot(tooth)), nil
}

// belowRoot is the casting under the root circle, in the sector of a tooth: the
// chord of its outline's steps.
func belowRoot(tooth *Tooth) geom.Region {
	const steps = 16
	half, r := tooth.Pitch()/2, tooth.RootRadius()
	pts := []geom.Vec{{}}
	for i := range steps + 1 {
		pts = append(pts, geom.Polar(r, half*(1-2*float64(i)/steps)))
	}
	return geom.Region{geom.NewConvex(pts...)}
}

// ofBead puts in what the sizes of an insert are to a built-up tooth: it stands on
// the root circle, as high and as wide as the bead.
func (s *Sizes) ofBead(j *job.Job, bead geom.Region) {
	half, low := 0.0, s.Seat
	for _, c := range bead {
		half = max(half, c.Box.Hi.Y, -c.Box.Lo.Y)
		low = min(low, c.Box.Lo.Z)
	}
	top := s.TipTop + j.Bead.Top
	s.Bottom, s.Floor = s.Seat, s.Seat
	s.PocketHalf, s.BodyHalf, s.BlockHalf, s.WideHalf, s.BearHalf = half, half, half, half, half
	s.Length, s.Height, s.InsertTop, s.SideDepth = j.Gear.Face+2*j.Bead.Ends, top-s.Seat, top, 0
	s.StubTop = s.Seat + j.Bead.Stub
}

// BondCase is a built-up tooth under its load.
func (d *Design) BondCase() estimate.BondCase {
	b := d.Job.Bead
	return estimate.BondCase{Duty: d.duty(d.Sizes.Seat), Stub: b.Stub, Bead: b.Material, Strength: b.Strength, Bond: b.Bond}
}

// Not says what must not be done with a tooth that the estimates speak against.
func (d *Design) Not() string {
	if d.Job.BuiltUp() {
		return "DO NOT RUN IT UNDER LOAD"
	}
	return "DO NOT ASSEMBLE"
}
