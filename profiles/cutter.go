package profiles

// CutterKind is what a cutter is for.
type CutterKind int

// The kinds of cutter a job may hold.
const (
	EndMill  CutterKind = iota // flat end, cuts with side and end
	Dovetail                   // wider at its end than at its neck; never plunges
	Drill                      // point cutter, cuts only along Z
)

// String is the trade's word for the cutter.
func (k CutterKind) String() string {
	switch k {
	case Dovetail:
		return "dovetail cutter"
	case Drill:
		return "drill"
	}
	return "end mill"
}

// Cutter is a cutter as it stands in the spindle. Lengths mm, angles rad.
// From the tip up: the cutting part, for a dovetail cutter a frustum, then
// the neck, the shank up to the holder, and the holder.
type Cutter struct {
	Name        string // the table's name in the job file, e.g. "slotting"
	Number      int    // T word
	Kind        CutterKind
	Diameter    float64 // at the tip; for a dovetail cutter its greatest
	FlankAngle  float64 // dovetail: flank from the spindle axis (b of the slot's included angle 2b)
	FlankHeight float64 // dovetail: height of the cutting flank
	PointAngle  float64 // drill: included angle of the point
	Flutes      int     // how many cutting edges
	FluteLength float64 // cutting length up from the tip (dovetail: FlankHeight)
	Neck        float64 // diameter between the flutes and the shank, or 0: as the shank
	NeckLength  float64 // from the tip to the end of the neck (where the shank begins)
	Shank       float64 // diameter of the shank
	StickOut    float64 // tip to holder
	Holder      float64 // diameter of the holder
	Carbide     bool    // else high speed steel
	SinglePoint bool    // one ground tooth: runs at half the speed
	MaxDepth    float64 // greatest axial depth of a full width cut, one pass

	// What the job overrides; 0 means: from the table of speeds and feeds.
	Rpm    float64 // rev/min
	Feed   float64 // mm/min, sideways
	Plunge float64 // mm/min, along Z
}

// Radius returns half the diameter at the tip.
func (c *Cutter) Radius() float64 { return c.Diameter / 2 }

// NeckDiameter returns the diameter just above the cutting part.
func (c *Cutter) NeckDiameter() float64 {
	if c.Neck > 0 {
		return c.Neck
	}
	return c.Shank
}
