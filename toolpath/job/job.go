// Package job turns a job file into a checked Job: keys, units, defaults,
// ranges and the position of every mistake. It is the only importer of the
// TOML package.
//
// A Job holds millimetres, radians, mm/min and rev/min, whatever the file's
// units; each value has been checked alone and against the others, so an
// unchecked value has no type to travel in.
package job

import (
	"fmt"
	"strings"

	"cogmend/profiles"
)

// Job is one repair.
type Job struct {
	File  string // as named by the user; "" for the embedded demo
	Title string // of the repair, one line
	// OwnerAnswers names who answers for a repair that the estimates speak
	// against; "": nobody.
	OwnerAnswers string
	Source       []byte // the bytes of the job file, for the sheet's last page
	ShopFile     string // the shop file's path; "" when the job names none
	Shop         []byte // the bytes of the shop file
	Fingerprint  string // 12 hex digits of the SHA-256 of job and shop file
	Units        Units  // of bare lengths in the file and of lengths as written

	Gear     Gear
	By       Way  // how the tooth comes back
	Bead     Bead // of a built-up tooth
	Slot     Slot
	Insert   Insert
	Fit      Fit
	Lock     Lock
	Flush    Flush
	Facets   Facets
	Index    Index
	Machine  Machine
	Cutters  []profiles.Cutter // by number
	KeepOuts []KeepOut         // boxes no cutter may enter

	Touching    Touching // how good teeth are touched, to copy them
	Uncertainty Uncertainty
	Load        *Load // nil when the job gives none
	Mate        *Mate // nil when the job gives none

	given    map[string]spot
	copies   bool     // its flanks are copied from good teeth
	done     []string // purposes of the programs that have been run
	made     *Job     // as measured; nil without measurements
	designed *Job     // of a job as made: what it was made by
}

// Heading is the job's title; a job without one has a plain one.
func (j *Job) Heading() string {
	if j.Title == "" {
		return "Repair of a gear tooth"
	}
	return j.Title
}

// Name is how the job's file is called, the built-in demo's too.
func (j *Job) Name() string {
	if j.File == "" {
		return "demo (built in)"
	}
	return j.File
}

// Where says where a file gives a key or a table, as file:line:column; for a
// key that is not given, where its table begins. "" when there is neither, or
// the file has no name.
func (j *Job) Where(key string) string {
	at, ok := j.given[key]
	for i := strings.LastIndex(key, "."); !ok && i > 0; i = strings.LastIndex(key[:i], ".") {
		at, ok = j.given[key[:i]]
	}
	switch {
	case at.file == "":
		return ""
	case at.line == 0: // a flag
		return oneLine(at.file)
	}
	return oneLine(fmt.Sprintf("%s:%d:%d", at.file, at.line, at.col))
}

// Gear is the gear on the table.
type Gear struct {
	profiles.Gear                // the tooth to be made: sizes and Thinning of the finished tooth
	NeighbourThinning float64    // what the standing teeth have lost, at the pitch circle (default: Thinning)
	FatThickness      float64    // measured arc thickness of the fattest neighbour at the pitch circle; 0: not given
	Face              float64    // width along X; the front face is X0
	Bore              float64    // diameter
	TipLand           float64    // measured width of a good tooth's flat tip, of teeth that are no involutes; 0: not measured
	RimInner          float64    // diameter under the rim
	Material          Material   // of the casting
	Places            []float64  // teeth to be made, in pitches from A = 0: {0}; two adjacent {-0.5, 0.5}; apart {0, 7}
	Zero              ZeroHeight // what Z0 of the gear set-ups is
	Copy              *Copy      // what the flanks were copied from; nil when they are not
	TipLow            [2]float64 // how much lower than sound the left and the right neighbour's tips stand
}

// ZeroHeight says where Z0 of the gear set-ups lies.
type ZeroHeight int

// The Z zeros of the gear set-ups.
const (
	ZeroNeighbours ZeroHeight = iota // tips of the two level neighbours (of the run): highest point of the tip land
	ZeroAxis                         // the gear axis
	ZeroTip                          // the finished tip circle over the repair
)

// Material is what a part is made of.
type Material = profiles.Material

// The materials.
const (
	GreyIron  = profiles.GreyIron
	MildSteel = profiles.MildSteel
	Bronze    = profiles.Bronze
)

// Way is how a missing tooth comes back.
type Way int

// The ways.
const (
	ByInsert  Way = iota // a steel block let into a dovetail slot
	ByBuildUp            // metal brazed or welded on, from which the tooth is cut
)

// BuiltUp says that the teeth are cut from metal brazed or welded on: there is
// no slot, no insert and no lock, and nothing to fit.
func (j *Job) BuiltUp() bool { return j.By == ByBuildUp }

// NewMetal is what the new teeth are made of.
func (j *Job) NewMetal() Material {
	if j.BuiltUp() {
		return j.Bead.Material
	}
	return j.Insert.Material
}

// Over is how far, mm, the metal of the new teeth stands over each face of the
// gear before its ends are brought down.
func (j *Job) Over() float64 {
	if j.BuiltUp() {
		return j.Bead.Ends
	}
	return j.Insert.Over
}

// Bead is what has been built up for a tooth: the most that stands anywhere of
// it over the finished tooth, and what it bears.
type Bead struct {
	Beside   float64  // over each finished flank, square to the tooth's middle, at any height
	Top      float64  // over the tip circle
	Ends     float64  // over each face of the gear
	Stub     float64  // of the old tooth under it: the least height of sound iron over the root circle
	Material Material // what was laid
	Strength float64  // of what was laid, MPa (bronze: tensile; steel: yield); 0: the weakest
	Bond     float64  // what the joint with the iron may bear, MPa; 0: not stated
}

// Slot is the pocket cut in the gear, in the frame of one place with its gap
// at top dead centre.
type Slot struct {
	Mouth     float64 // width at the seat
	Depth     float64 // from the seat to the insert's dovetail bottom (nominal)
	HalfAngle float64 // b: flank from vertical, half the included angle
	Deeper    float64 // the slot is cut this much deeper than Depth
	SeatBelow float64 // seat below the root circle
	SeatPlay  float64 // seat wider than the insert's body, in all
	Stub      float64 // height of the broken stub over the root circle, as it may be at most
	StubKnown bool    // the job gives it; else it is taken as tall as a whole tooth
	RadialCut float64 // dovetail: radial cut of one pass
	FinishCut float64 // left on the walls for the finishing pass
	Roughing  string  // name of an end mill; "" = chosen by the plan
	Dovetail  string  // name of the dovetail cutter; always set, its FlankAngle is HalfAngle
}

// Insert is the steel block.
type Insert struct {
	Body        float64  // width of the finished body at the shoulders, in Y
	BlockWidth  float64  // width of the blank, Y
	BlockHeight float64  // height of the blank, Z, before the top is faced
	TopCut      float64  // faced off the top
	Over        float64  // left over the gear's faces at each end, X
	OverSize    float64  // left on the dovetail's width by the insert program (both flanks together)
	Material    Material // of the block
	Zero        float64  // height of Z0 over the vice jaws; 0: not given
}

// TightBest stands in for a tight middle that the job does not state: the
// greatest of MostTight and less that the estimate of the stress in the casting
// allows. What comes of it is the design's to say.
const TightBest = -1

// MostTight is the greatest tight middle, mm, that is taken where none is
// stated: about two thousandths of an inch is common practice (no source).
const MostTight = 0.05

// Fit is how the dovetails meet.
type Fit struct {
	TightMiddle float64 // how proud the middle of the tight flank is asked to stand; TightBest: as much as the casting bears
	Lead        float64 // length at each end at the sliding size (of the insert between the gear's faces)
	TrialFirst  float64 // width of the first trial cut over the slot's width; may be negative
	TrialStep   float64 // each trial cut is narrower by this
	TrialCount  int     // how many trial cuts
	TrialLength float64 // length of the trial cuts from the insert's front end
	Step        int     // number of the step that slid; 0: not known yet
	Width       float64 // of the insert's neck at its sliding ends, where measured sizes give it and no step does; 0: not
}

// LockKind is how the insert is locked.
type LockKind int

// The kinds of lock.
const (
	NoLock LockKind = iota
	Screw
	Pin
)

// Lock is the screws or pins up through the rim into the insert.
type Lock struct {
	Kind       LockKind  // screws, pins or none
	Thread     string    // e.g. "M5"
	Major      float64   // thread's major diameter (pin: its diameter)
	TapDrill   float64   // drilled through the rim (pin: its diameter)
	Point      float64   // diameter of the hole in the insert
	PointDepth float64   // depth of the hole in the insert, from the dovetail's bottom
	Positions  []float64 // X of each
	Draw       float64   // the insert's hole is shifted this much toward +X against the rim's
	RimDrill   string    // cutter names, as given or chosen by diameter
	PointDrill string    // cutter of the hole in the insert
}

// Flush is how the insert's ends and tip are brought down.
type Flush struct {
	Leave  float64 // left on the end faces for the file, so that the cutter never rubs the gear's faces
	Cutter string  // name of the end mill
}

// Lean says where the facets' error lies.
type Lean int

// The leans.
const (
	Proud Lean = iota // all of it left on
	Even              // half of it on, half of it off
)

// Facets is how the flanks are made.
type Facets struct {
	Tolerance float64    // greatest distance of the finished flank from the involute; 0 when Count is given, or neither: then as fine as shows
	Count     int        // facets a flank; 0 when it follows from the tolerance
	Lean      Lean       // where the facets' error lies
	Clearance float64    // kept from the neighbours
	RootStep  float64    // steps left by corner passes in the root, at most
	MostFiled float64    // metal that may be left to the file, at most
	Climb     bool       // climb cut, else conventional
	Off       [2]float64 // how far the left and the right flank were found over their plan; below 0: too deep; 0: not measured, or as planned
	Only      int        // the one flank that is still to be cut: +1 right, -1 left; 0: both
	Cutters   []string   // names; empty = every end mill in the rack
}

// Device is what turns the gear.
type Device int

// The index devices.
const (
	Rotary Device = iota
	Head
	Teeth
)

// Index is the index device.
type Index struct {
	Device     Device  // what turns the gear
	Ratio      int     // head: turns of the crank for one of the spindle
	Circles    []int   // head: hole circles of the plates
	Graduation float64 // head without plates: smallest angle of its scale, rad; 0 when plates are used
	HalfTooth  bool    // teeth: the stops also hold in a space
}

// Machine is the mill and its control.
type Machine struct {
	TravelX, TravelY, TravelZ [2]float64 // from the work zero; both 0: not given
	MinRpm, MaxRpm            float64    // of the spindle, rev/min
	MaxFeed                   float64    // mm/min
	RapidFeed                 float64    // mm/min, for the minutes
	IndexRate                 float64    // rad/s of the rotary axis, for the minutes
	Acceleration              float64    // mm/s^2, for the minutes; 0: not given
	ToolChange                float64    // seconds, for the minutes
	SpinUp                    float64    // seconds to wait after the spindle starts; 0: none
	RotarySign                int        // +1, or -1 for a table wired the other way
	SafeHeight                float64    // over the highest metal

	ToolWords  bool // T1 M6 on one line; off: a comment and M0
	Stops      bool // M0
	AWord      bool // the control has an A axis
	Cycles     bool // G81 G83
	LengthComp bool // G43 H
	Coolant    bool // M8 M9
	LineNos    bool // N words
	Percents   bool // % lines
	Messages   bool // (MSG, ...)
	EndM30     bool // M30 in place of M2
	CRLF       bool // lines end with CR LF, else LF
	MilliDwell bool // G4 P in milliseconds
	// Extension ends the names of programs, without the dot.
	Extension string
	// Decimals of lengths in programs; those of degrees follow.
	Decimals  int
	HandSpeed bool // spindle set by hand: M0 with the speed in a comment
}

// TouchesOff says that the length of a cutter is found after it has been put in:
// the control keeps none, or does not know what hands have put in. The job
// reader sees to it that there is a stop for it.
func (m *Machine) TouchesOff() bool { return !m.ToolWords || !m.LengthComp }

// KeepOut is a box never to be touched, in the frame of a set-up's programs.
type KeepOut struct {
	Name    string     // of its table
	Setup   string     // "gear" or "insert"
	X, Y, Z [2]float64 // low, high
}

// Uncertainty is within what each number that hands set or measure is known:
// limits of a rectangular distribution to both sides, unless said otherwise.
type Uncertainty struct {
	YZero      float64 // mm, of the middle of the gap
	Level      float64 // mm, difference in height of the tips the gear is levelled by
	Index      float64 // rad, of each angle the gear is set to
	Backlash   float64 // rad, play of the index device not taken up, in all
	CutterSize float64 // mm, of the diameter
	Runout     float64 // mm, greatest total indicator reading
	Neighbours float64 // mm, difference in wear of the two flanks the gap is found by
}

// Given says whether a file gives a key or a table.
func (j *Job) Given(key string) bool {
	_, ok := j.given[key]
	return ok
}

// Load is what the gear carries, for the strength estimate.
type Load struct {
	Torque  float64 // N m on this gear
	Rpm     float64 // of this gear; 0: not given
	Service float64 // service factor
}

// Mate is the gear it runs with.
type Mate struct {
	Teeth    int     // how many
	Shift    float64 // profile shift, modules
	Thinning float64 // at its pitch circle, mm
	Centre   float64 // centre distance
}
