package estimate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// errNoShoulders: the insert has nothing to stand on beside its dovetail.
var errNoShoulders = errors.New("no shoulders")

// Section is the plane section of the gear round one repaired tooth, that
// tooth at top dead centre. Heights are from the gear's axis. Lengths mm.
type Section struct {
	Neighbours profiles.Gear     // the standing teeth
	Tooth      profiles.Gear     // the new one
	Inner      float64           // radius of the circle the rim, or the solid wheel, begins at
	Seat       float64           // height of the seat
	Floor      float64           // height of the slot's floor
	Bottom     float64           // height of the insert's dovetail, at or over Floor
	MouthHalf  float64           // half width of the slot at the seat
	HalfAngle  float64           // of the dovetail: flank from the vertical, rad
	BodyHalf   float64           // of the insert at its shoulders
	PocketHalf float64           // of the seat
	Open       []float64         // other places cut in the same way, in pitches from this one: taken as empty
	Casting    profiles.Material // of the gear
	Insert     profiles.Material // of the insert
	Tensile    float64           // strength of the casting, MPa; 0: of its material
	Elastic    float64           // modulus of the casting, MPa; 0: of its material
}

// FarPlace is how many pitches off another cut place still matters.
const FarPlace = 4

// validate says whether there is metal in all the places the section needs.
func (s Section) validate() error {
	for _, g := range []profiles.Gear{s.Tooth, s.Neighbours} {
		if err := g.Validate(); err != nil {
			return err
		}
	}
	root := s.Neighbours.RootRadius()
	switch {
	case !(s.Inner > 0) || !(s.Inner < root):
		return fmt.Errorf("inner circle of radius %.3f mm: it must lie under the root circle of %.3f mm", s.Inner, root)
	case !(s.Floor > s.Inner):
		return fmt.Errorf("slot floor %.3f mm over the axis: it must lie over the inner circle of radius %.3f mm", s.Floor, s.Inner)
	case !(s.Bottom >= s.Floor) || !(s.Seat > s.Bottom) || !(s.Seat <= root):
		return fmt.Errorf("heights of floor %.3f, dovetail %.3f and seat %.3f mm: they must rise, to %.3f at most", s.Floor, s.Bottom, s.Seat, root)
	case !(s.MouthHalf > 0) || !(s.HalfAngle > 0) || !(s.HalfAngle < math.Pi/4+1e-9):
		return fmt.Errorf("dovetail mouth %.3f mm, flanks leaning %.2f degrees: both must be positive, the lean at most 45", 2*s.MouthHalf, geom.Degrees(s.HalfAngle))
	case !(s.BodyHalf > s.MouthHalf) || !(s.PocketHalf >= s.BodyHalf):
		return fmt.Errorf("insert body %.3f mm on a seat of %.3f mm: it needs shoulders beside the mouth of %.3f mm, and the seat as much", 2*s.BodyHalf, 2*s.PocketHalf, 2*s.MouthHalf)
	}
	for _, o := range s.Open {
		if math.Abs(o) < 1.5 && s.halfAt(s.Floor) >= s.Floor*math.Tan(s.Neighbours.Pitch()/2) {
			return fmt.Errorf("two slots %.3f mm wide at their floors, side by side, leave no metal between them", 2*s.halfAt(s.Floor))
		}
	}
	return nil
}

// mirrored is the section seen from the other side, but for its open places.
func (s Section) mirrored() Section {
	s.Tooth, s.Neighbours = s.Tooth.Mirrored(), s.Neighbours.Mirrored()
	return s
}

// even says whether both sides of the section are alike.
func (s Section) even() bool {
	return len(s.Open) == 0 && (s.Tooth.Form == nil || s.Tooth.Form.Alike)
}

// halfAt is half the slot's width at a height.
func (s Section) halfAt(z float64) float64 {
	return s.MouthHalf + (s.Seat-z)*math.Tan(s.HalfAngle)
}

// leg is a stretch of an outline between two of its corners.
type leg struct {
	line []geom.Vec
	name legName
}

type legName int

const (
	plainLeg    legName = iota
	flankLeg            // where the dovetails' flanks meet
	shoulderLeg         // where the insert stands on the seat
)

// foot follows the new tooth's right flank down to the body's side or to the
// seat, and returns where the insert's shoulder ends and the flank so far.
func (s Section) foot() (end geom.Vec, flank []geom.Vec, err error) {
	line, err := s.Tooth.RightFlank()
	if err != nil {
		return geom.Vec{}, nil, err
	}
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		switch {
		case b.Z <= s.Seat:
			p := a.Lerp(b, (a.Z-s.Seat)/(a.Z-b.Z))
			p.Z = s.Seat
			return p, append(slices.Clone(line[:i]), p), nil
		case b.Y >= s.BodyHalf && a.Y < s.BodyHalf:
			p := a.Lerp(b, (s.BodyHalf-a.Y)/(b.Y-a.Y))
			return geom.Vec{Y: s.BodyHalf, Z: s.Seat}, append(slices.Clone(line[:i]), p), nil
		}
	}
	last := line[len(line)-1]
	return geom.Vec{Y: last.Y, Z: s.Seat}, line, nil
}

// insertHalf returns the right half of the insert's outline, from the middle
// of its bottom up to its tip; its shoulder bears as far as bears.
func (s Section) insertHalf(bears float64) ([]leg, error) {
	end, flank, err := s.foot()
	if err != nil {
		return nil, err
	}
	if end.Y <= s.MouthHalf {
		return nil, fmt.Errorf("the insert's body ends %.3f mm from the middle, inside the slot's mouth of half %.3f mm: %w", end.Y, s.MouthHalf, errNoShoulders)
	}
	bottom := geom.Vec{Y: s.halfAt(s.Bottom), Z: s.Bottom}
	mouth := geom.Vec{Y: s.MouthHalf, Z: s.Seat}
	legs := []leg{
		{line: []geom.Vec{{Z: s.Bottom}, bottom}},
		{line: []geom.Vec{bottom, mouth}, name: flankLeg},
		{line: []geom.Vec{mouth, {Y: min(bears, end.Y), Z: s.Seat}}, name: shoulderLeg},
	}
	if end.Y-bears > 1e-6 {
		legs = append(legs, leg{line: []geom.Vec{{Y: bears, Z: s.Seat}, end}})
	}
	foot := flank[len(flank)-1]
	if foot.Z-end.Z > 1e-6 {
		legs = append(legs, leg{line: []geom.Vec{end, foot}})
	}
	legs = append(legs, leg{line: geom.Reversed(flank)})
	tip := s.Tooth.TipRadius()
	return append(legs, leg{line: arcLine(tip, flank[0].Angle(), 0)}), nil
}

// slotHalf returns the right half of the cut into the casting, from the
// middle of the floor to where the seat's pocket opens into what stood there.
func (s Section) slotHalf(base []geom.Vec) (legs []leg, rest []geom.Vec, err error) {
	end, _, err := s.foot()
	if err != nil {
		return nil, nil, err
	}
	exit, at := s.leavePocket(base)
	if at < 0 {
		return nil, nil, fmt.Errorf("the seat of %.3f mm does not end before the next tooth", 2*s.PocketHalf)
	}
	corner := geom.Vec{Y: s.halfAt(s.Floor), Z: s.Floor}
	bottom := geom.Vec{Y: s.halfAt(s.Bottom), Z: s.Bottom}
	mouth := geom.Vec{Y: s.MouthHalf, Z: s.Seat}
	seatEnd := geom.Vec{Y: exit.Y, Z: s.Seat}
	legs = []leg{{line: []geom.Vec{{Z: s.Floor}, corner}}}
	if s.Bottom-s.Floor > 1e-6 {
		legs = append(legs, leg{line: []geom.Vec{corner, bottom}})
	}
	legs = append(legs, leg{line: []geom.Vec{bottom, mouth}, name: flankLeg})
	if end.Y > seatEnd.Y {
		end = seatEnd
	}
	if end.Y <= s.MouthHalf {
		return nil, nil, fmt.Errorf("the seat ends %.3f mm from the middle, inside the slot's mouth of half %.3f mm: %w", end.Y, s.MouthHalf, errNoShoulders)
	}
	legs = append(legs, leg{line: []geom.Vec{mouth, end}, name: shoulderLeg})
	if seatEnd.Y-end.Y > 1e-6 {
		legs = append(legs, leg{line: []geom.Vec{end, seatEnd}})
	}
	if exit.Z-s.Seat > 1e-6 {
		legs = append(legs, leg{line: []geom.Vec{seatEnd, exit}})
	}
	return legs, append([]geom.Vec{exit}, base[at:]...), nil
}

// leavePocket follows the outline that stood there, from the middle to the
// right, to where it leaves the seat's pocket.
func (s Section) leavePocket(base []geom.Vec) (geom.Vec, int) {
	for i := 1; i < len(base); i++ {
		a, b := base[i-1], base[i]
		share := 2.0
		if b.Z < s.Seat {
			share = (a.Z - s.Seat) / (a.Z - b.Z)
		}
		if b.Y > s.PocketHalf {
			share = min(share, (s.PocketHalf-a.Y)/(b.Y-a.Y))
		}
		if share <= 1 {
			p := a.Lerp(b, max(0, share))
			if b.Sub(p).Norm() < 1e-6 {
				i++
			}
			return p, i
		}
	}
	return geom.Vec{}, -1
}

// castingHalf returns the right half of the casting's upper outline, from the
// middle of the slot's floor to the ray at the angle to. open are the pitches
// to the right at which the gear is cut as here; beyond the given number of
// places the root circle stands for the teeth.
func (s Section) castingHalf(open []float64, places int, to float64) (legs []leg, err error) {
	g := s.Neighbours
	pitch := g.Pitch()
	right, err := g.RightFlank()
	if err != nil {
		return nil, err
	}
	other, err := g.Mirrored().RightFlank()
	if err != nil {
		return nil, err
	}
	left := geom.Reversed(geom.Mirrored(other))
	// What stood there was a tooth; its foot, fillets too, is still there under
	// the seat.
	own := right
	// Two places side by side meet half-way.
	half := s
	half.PocketHalf = min(s.PocketHalf, 0.97*s.Seat*math.Tan(pitch/2))
	half.BodyHalf = min(s.BodyHalf, half.PocketHalf)
	emptyLegs := func() ([]leg, error) {
		l, rest, err := half.slotHalf(own)
		for i := range l {
			l[i].name = plainLeg
		}
		return append(l, leg{line: rest}), err
	}
	empty := func(k int) bool {
		return slices.ContainsFunc(open, func(o float64) bool { return int(math.Round(o)) == k })
	}
	base := append(slices.Clone(own), geom.Turn(pitch).ApplyAll(left)[1:]...)
	slot, rest, err := s.slotHalf(base)
	if empty(1) {
		slot, rest, err = half.slotHalf(own)
	}
	if err != nil {
		return nil, err
	}
	legs = append(slot, leg{line: rest})
	for k := 1; k <= places; k++ {
		a := float64(k) * pitch
		if !empty(k) {
			if k > 1 {
				legs = append(legs, leg{line: geom.Turn(a).ApplyAll(left)})
			}
			legs = append(legs, leg{line: arcLine(g.TipRadius(), a-other[0].Angle(), a+right[0].Angle())}, leg{line: geom.Turn(a).ApplyAll(right)})
			continue
		}
		e, err := emptyLegs()
		if err != nil {
			return nil, err
		}
		for _, l := range slices.Backward(e) {
			legs = append(legs, leg{line: geom.Turn(a).ApplyAll(geom.Reversed(geom.Mirrored(l.line)))})
		}
		for _, l := range e {
			legs = append(legs, leg{line: geom.Turn(a).ApplyAll(l.line)})
		}
	}
	return append(legs, leg{line: arcLine(g.RootRadius(), (float64(places)+0.5)*pitch, to)}), nil
}

// arcLine is an arc about the axis from one angle to another.
func arcLine(r, from, to float64) []geom.Vec {
	const n = 24
	out := make([]geom.Vec, n+1)
	for i := range out {
		out[i] = geom.Polar(r, from+(to-from)*float64(i)/n)
	}
	return out
}
