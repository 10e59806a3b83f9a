package profiles

import (
	"fmt"
	"math"
)

// Cut is how a cutter is engaged.
type Cut int

// The kinds of cut.
const (
	SideCut  Cut = iota // side milling, less than half the diameter wide
	SlotCut             // full width, shallower than half the diameter
	DeepSlot            // full width, deeper
)

// SurfaceSpeed is a range of surface speed in m/min and where to start in it.
type SurfaceSpeed struct {
	Low, High, Start float64 // m/min
	Source           string  // where the range comes from
}

const ftPerMin = 0.3048 // m/min

// SurfaceSpeedFor returns the surface speed for a tool material and a work
// material. A casting of unknown hardness is begun where the makers' ranges
// for soft and hard iron meet; carbide is begun a quarter up its range,
// because small machines and small cutters are not stiff. Bronze brazed to iron
// is cut as mild steel: makers allow more in bronze, but the iron at the joint is
// hard in places (our own rule).
func SurfaceSpeedFor(carbide bool, work Material) SurfaceSpeed {
	const maker = "cutter makers' open tables: "
	if work == Bronze {
		s := SurfaceSpeedFor(carbide, MildSteel)
		s.Source = "bronze on iron as mild steel, our own rule: " + s.Source
		return s
	}
	switch {
	case carbide && work == MildSteel:
		return SurfaceSpeed{150 * ftPerMin, 400 * ftPerMin, 212.5 * ftPerMin, maker + "carbide in mild steel 150 to 400 ft/min"}
	case carbide:
		return SurfaceSpeed{100 * ftPerMin, 500 * ftPerMin, 200 * ftPerMin, maker + "carbide in grey iron 100 to 500 ft/min"}
	case work == MildSteel:
		return SurfaceSpeed{70 * ftPerMin, 120 * ftPerMin, 80 * ftPerMin, maker + "high speed steel in mild steel 70 to 120 ft/min"}
	}
	return SurfaceSpeed{50 * ftPerMin, 120 * ftPerMin, 80 * ftPerMin, maker + "high speed steel in grey iron, soft 80 to 120, hard 50 to 100 ft/min"}
}

// chipTable: diameter and chip a tooth in mm. The makers' figures for carbide
// in grey iron and in mild steel are the same.
var chipTable = [...][2]float64{
	{0.125 * inch, 0.0005 * inch},
	{0.25 * inch, 0.001 * inch},
	{0.5 * inch, 0.003 * inch},
}

const chipSource = "cutter makers' open tables: 0.0005 in at 1/8 in, 0.001 at 1/4, 0.003 at 1/2"

// ChipLoad returns the thickness of the chip of one tooth in mm for an end
// mill of the given diameter in mm: interpolated in the makers' table, below
// it in proportion to the diameter, above it held.
func ChipLoad(diameter float64) float64 {
	if !(diameter > 0) {
		return 0
	}
	first, last := chipTable[0], chipTable[len(chipTable)-1]
	if diameter <= first[0] {
		return first[1] * diameter / first[0]
	}
	for i := 1; i < len(chipTable); i++ {
		a, b := chipTable[i-1], chipTable[i]
		if diameter <= b[0] {
			return a[1] + (b[1]-a[1])*(diameter-a[0])/(b[0]-a[0])
		}
	}
	return last[1]
}

// drillFeed returns the feed of a drill in mm/rev: 0.015 of its diameter,
// within 0.001 to 0.007 in for 1/16 to 1/2 in (Machinery's Handbook, feeds
// for drills; from memory).
func drillFeed(diameter float64) float64 {
	return min(max(0.015*diameter, 0.001*inch), 0.007*inch)
}

// Rules of the shop that have no source in a standard.
const (
	slotShare        = 0.8 // of the chip, full width (cutter makers' notes: 20 % less)
	deepSlotShare    = 0.5 // of the chip, full width and deep (cutter makers' notes: 50 % less)
	singlePointShare = 0.5 // of the end mill's speed (common practice)
	plungeShare      = 1. / 3
)

// LeastChip is the thickness, mm, below which a chip of high speed steel is not
// cut but rubbed off (common practice, no source).
const LeastChip = 0.01

// MostOver is how much over the makers' chip a feed may go for LeastChip's sake:
// our own rule.
const MostOver = 1.4

// LeastFeed returns the feed, mm/min, at which the chip of a side cut of the given
// width in mm is LeastChip thick where it is thickest, as far as MostOver times
// the makers' chip allows: a chip fed f a tooth is f 2 sqrt(a/D (1 - a/D)) thick
// on leaving a cut of width a by a cutter of diameter D (geometry of milling).
// It is 0 for carbide, whose edge is not that blunt, and where the cutter states
// its feed. s are the cutter's speeds, held to the machine.
func (s Speeds) LeastFeed(c Cutter, width float64) float64 {
	share := width / c.Diameter
	if c.Carbide || c.Feed > 0 || !(share > 0) {
		return 0
	}
	thin := 1.0
	if share < 0.5 {
		thin = 2 * math.Sqrt(share*(1-share))
	}
	return s.Feed * min(MostOver, max(1, LeastChip/(s.Chip*thin)))
}

// Speeds is how fast a cutter turns and moves.
type Speeds struct {
	Surface float64  // surface speed at the greatest diameter, m/min
	Rpm     float64  // rev/min
	Chip    float64  // mm a tooth (drill: mm a revolution)
	Feed    float64  // mm/min sideways; 0 for a drill
	Plunge  float64  // mm/min along Z; 0 for a dovetail cutter, which never plunges
	Sources []string // where the figures come from
}

// RpmFor returns the rev/min that give a surface speed in m/min at a diameter
// in mm.
func RpmFor(surface, diameter float64) float64 {
	return surface * 1000 / (math.Pi * diameter)
}

// SpeedsFor returns speed and feeds for a cutter in a work material. What the
// cutter itself states (Rpm, Feed, Plunge) stands; a feed that is not stated
// follows the speed that is.
func SpeedsFor(c Cutter, work Material, cut Cut) (Speeds, error) {
	if !(c.Diameter > 0) {
		return Speeds{}, fmt.Errorf("cutter %q: diameter %g mm must be positive", c.Name, c.Diameter)
	}
	if c.Kind != Drill && c.Flutes < 1 {
		return Speeds{}, fmt.Errorf("cutter %q: %d flutes: it needs at least 1", c.Name, c.Flutes)
	}
	surface := SurfaceSpeedFor(c.Carbide, work)
	s := Speeds{Rpm: RpmFor(surface.Start, c.Diameter), Sources: []string{surface.Source}}
	if c.SinglePoint {
		s.Rpm *= singlePointShare
		s.Sources = append(s.Sources, "single point: half the speed (common practice)")
	}
	if c.Rpm > 0 {
		s.Rpm = c.Rpm
		s.Sources[0] = "speed stated for the cutter"
	}
	s.Surface = s.Rpm * math.Pi * c.Diameter / 1000
	if c.Kind == Drill {
		s.Chip = drillFeed(c.Diameter)
		s.Plunge = s.Chip * s.Rpm
		s.Sources = append(s.Sources, "drill feed: Machinery's Handbook, from memory")
		if c.Plunge > 0 {
			s.Plunge = c.Plunge
		}
		return s, nil
	}
	s.Chip = ChipLoad(c.Diameter)
	s.Sources = append(s.Sources, chipSource)
	switch cut {
	case SlotCut:
		s.Chip *= slotShare
	case DeepSlot:
		s.Chip *= deepSlotShare
	}
	teeth := c.Flutes
	if c.SinglePoint {
		teeth = 1
	}
	s.Feed = s.Chip * float64(teeth) * s.Rpm
	if c.Feed > 0 {
		s.Feed = c.Feed
		s.Chip = c.Feed / (float64(teeth) * s.Rpm)
	}
	if c.Kind == EndMill {
		s.Plunge = s.Feed * plungeShare
		if c.Plunge > 0 {
			s.Plunge = c.Plunge
		}
	}
	return s, nil
}

// Within returns s held to a machine's limits: a spindle that cannot turn
// fast enough keeps the chip and slows the feed. A limit of 0 is none. ok is
// false when the machine's slowest speed is above the cutter's greatest, which
// is 1.5 times the speed asked for (our own rule).
func (s Speeds) Within(minRpm, maxRpm, maxFeed float64) (held Speeds, ok bool) {
	held, ok = s, true
	if s.Rpm <= 0 {
		return s, false
	}
	rpm := s.Rpm
	if maxRpm > 0 {
		rpm = min(rpm, maxRpm)
	}
	if minRpm > rpm {
		ok = minRpm <= 1.5*s.Rpm
		rpm = minRpm
	}
	share := rpm / s.Rpm
	held.Rpm, held.Surface = rpm, s.Surface*share
	held.Feed, held.Plunge = s.Feed*share, s.Plunge*share
	if maxFeed > 0 {
		// A feed that is held back thins the chip.
		if held.Feed > maxFeed {
			held.Chip *= maxFeed / held.Feed
			held.Feed = maxFeed
		}
		held.Plunge = min(held.Plunge, maxFeed)
	}
	return held, ok
}
