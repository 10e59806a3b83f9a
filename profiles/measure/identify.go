package measure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// ReadingKind is what was measured on a gear.
type ReadingKind int

// The readings Identify understands.
const (
	// OutsideDiameter is read by a caliper over the tips. With an odd count
	// one jaw bridges two teeth and it reads less than the tip circle.
	OutsideDiameter ReadingKind = iota
	RootDiameter                // twice the root radius
	WholeDepth                  // tip to root
	SpanSize                    // base tangent length over Teeth teeth
	PinSize                     // over two pins of diameter Pin
	CentreDistance              // to a mate of Teeth teeth
)

var readingNames = [...]string{"outside diameter", "root diameter", "whole depth", "span", "over pins", "centre distance"}

// String names the kind.
func (k ReadingKind) String() string {
	if k < 0 || int(k) >= len(readingNames) {
		return "unknown reading"
	}
	return readingNames[k]
}

// Standard uncertainties of a reading by its instrument, mm; common practice.
const (
	VernierSigma    = 0.03
	MicrometerSigma = 0.01
)

// Reading is one measurement. Lengths mm.
type Reading struct {
	Kind  ReadingKind
	Value float64
	Sigma float64 // standard uncertainty of the instrument and the hand
	Teeth int     // SpanSize: teeth spanned; CentreDistance: teeth of the mate
	Pin   float64 // PinSize: pin diameter
}

// Name says which reading it is: "span over 5 teeth".
func (r Reading) Name() string {
	switch r.Kind {
	case SpanSize:
		return fmt.Sprintf("span over %d teeth", r.Teeth)
	case PinSize:
		return fmt.Sprintf("over pins of %.3f mm", r.Pin)
	case CentreDistance:
		return fmt.Sprintf("centre distance to %d teeth", r.Teeth)
	}
	return r.Kind.String()
}

func (r Reading) validate(teeth int) error {
	switch {
	case r.Kind < 0 || int(r.Kind) >= len(readingNames):
		return fmt.Errorf("reading of unknown kind %d", r.Kind)
	case !(r.Value > 0) || r.Value > 1e5:
		return fmt.Errorf("%s: %.6g mm is not a size", r.Name(), r.Value)
	case !(r.Sigma > 0) || r.Sigma > r.Value:
		return fmt.Errorf("%s: uncertainty %.6g mm must be positive and less than the size", r.Name(), r.Sigma)
	case r.Kind == SpanSize && (r.Teeth < 1 || r.Teeth >= teeth):
		return fmt.Errorf("%s: a gear of %d teeth has no such span", r.Name(), teeth)
	case r.Kind == CentreDistance && r.Teeth < 5:
		return fmt.Errorf("%s: the mate's count must be 5 or more", r.Name())
	case r.Kind == PinSize && !(r.Pin > 0 && r.Pin < r.Value):
		return fmt.Errorf("%s: pin diameter must be positive and less than the size", r.Name())
	}
	return nil
}

// How Identify weighs what was not measured. All are own rules.
const (
	shiftSigma   = 0.15  // of the profile shift, modules
	shiftLimit   = 0.8   // its greatest amount, modules
	wearSigma    = 0.05  // of the thinning, which is not negative, modules
	wearLimit    = 0.4   // its greatest amount, modules
	blankSigma   = 0.015 // of the blank's outside diameter, modules
	depthSigma   = 0.03  // cutters are fed deeper for backlash, modules
	mateSigma    = 0.15  // the mate's unknown shift, modules
	pitchSigma   = 0.008 // pitch error in a span, mm, and
	pitchSigmaM  = 0.001 // in modules beside it
	chanceLimit  = 0.01  // below this chance the readings do not fit
	tieLimit     = 2.0   // likelihood ratio under which two candidates are a tie
	separateGood = 2.0   // sigma by which a further reading separates well
)

// identifyAssumptions says so in words.
func identifyAssumptions() []profiles.Assumption {
	return []profiles.Assumption{
		{Name: "spread of the profile shift", Value: shiftSigma, Unit: "modules", Source: profiles.OwnRule},
		{Name: "spread of the thinning by wear and backlash, never negative", Value: wearSigma, Unit: "modules", Source: profiles.OwnRule},
		{Name: "spread of the blank's outside diameter", Value: blankSigma, Unit: "modules", Source: profiles.OwnRule},
		{Name: "spread of the depth of cut", Value: depthSigma, Unit: "modules", Source: profiles.OwnRule},
		{Name: "spread of the mate's profile shift", Value: mateSigma, Unit: "modules", Source: profiles.OwnRule},
		{Name: "pitch error of the teeth in a span", Value: pitchSigma, Unit: "mm, and 0.001 modules", Source: "own rule, about half the single pitch deviation of ISO 1328-1:1995 grade 9; from memory"},
	}
}

// system is a tooth system and how common it is among old machines.
type system struct {
	rack     string
	also     []string // racks of the same heights, which no reading tells apart
	pressure float64
	weight   float64
	fineOnly bool
}

var systems = []system{
	{"old-full-depth", nil, 14.5, 1, false},
	{"full-depth", []string{"iso-a", "iso-b", "iso-c"}, 14.5, 0.3, false},
	{"full-depth", []string{"iso-a", "iso-b", "iso-c"}, 20, 1, false},
	{"old-full-depth", nil, 20, 0.5, false},
	{"iso-d", nil, 20, 0.3, false},
	{"fine-pitch", nil, 20, 1, true},
	{"stub", nil, 20, 0.3, false},
	{"full-depth", []string{"iso-a", "iso-b", "iso-c"}, 25, 0.3, false},
}

var seriesWeight = map[string]float64{"I": 1, "DP": 1, "II": 0.5, "old DP": 0.5}

// Misfit is how far one reading lies from what a candidate predicts.
type Misfit struct {
	Reading   Reading
	Predicted float64 // mm
	Off       float64 // reading less prediction, mm
	Sigmas    float64 // Off over the reading's and the model's uncertainty
}

// Candidate is a standard gear that may be the one measured.
type Candidate struct {
	Gear       profiles.Gear // with the shift and thinning that fit best
	Pitch      profiles.StandardPitch
	AlsoRacks  []string // racks of the same heights: no reading of the list tells them apart
	ChiSquare  float64  // of the readings and of the spread of shift and thinning
	Chance     float64  // of a ChiSquare this large or larger if the candidate is right
	Weight     float64  // how common the system is, before any reading
	Confidence float64  // share of the likelihood of all candidates, 0 to 1
	Misfits    []Misfit
}

// String reads "8 DP, 14.5 degrees, old-full-depth".
func (c Candidate) String() string {
	return fmt.Sprintf("%s, %g degrees, %s", c.Pitch, math.Round(geom.Degrees(c.Gear.Pressure)*1e6)/1e6, c.Gear.Rack.Name)
}

// Further is one more measurement and how well it would separate the first
// two candidates.
type Further struct {
	Reading Reading // Value is what the first candidate predicts
	Second  float64 // what the second predicts, mm
	Apart   float64 // sigma by which they would separate after shift and wear have taken up what they can
}

// Identity is the answer of Identify.
type Identity struct {
	Candidates  []Candidate // most likely first
	SamePitch   float64     // share of the likelihood of all candidates with the first one's pitch and pressure angle, 0 to 1
	Tie         bool        // the first two are about equally likely
	NoFit       bool        // even the first does not fit the readings
	Best        *Further    // the measurement that would separate the first two; nil when none on the list would
	Further     []Further   // all that were considered, best first
	Notes       []string
	Assumptions []profiles.Assumption
}

// Identify ranks the standard gears that a gear of the given count may be:
// every size of StandardPitches in every tooth system. Profile shift and
// thinning are unknown; each candidate is fitted to the readings by least
// squares with both of them bounded and weighed by their usual spread, and
// ranked by likelihood. The difference of two spans is the base pitch, which
// neither of them changes, so wear cannot fake it.
func Identify(teeth int, readings []Reading) (Identity, error) {
	if teeth < 5 || teeth > 2000 {
		return Identity{}, fmt.Errorf("tooth count %d: it must be 5 to 2000; count the teeth, with those missing", teeth)
	}
	if len(readings) == 0 {
		return Identity{}, fmt.Errorf("no reading: give at least the outside diameter or a span")
	}
	for _, r := range readings {
		if err := r.validate(teeth); err != nil {
			return Identity{}, err
		}
	}
	var fits []hypothesis
	for _, p := range profiles.StandardPitches() {
		for _, s := range systems {
			if s.fineOnly && p.Diametral < 20 {
				continue
			}
			f := newHypothesis(teeth, p, s)
			if f.solve(readings) {
				fits = append(fits, f)
			}
		}
	}
	if len(fits) == 0 {
		return Identity{}, fmt.Errorf("no standard gear of %d teeth can give these readings: check the count and the unit", teeth)
	}
	slices.SortStableFunc(fits, func(a, b hypothesis) int { return cmp.Compare(a.score, b.score) })
	total := 0.0
	for _, f := range fits {
		total += math.Exp((fits[0].score - f.score) / 2)
	}
	id := Identity{Assumptions: identifyAssumptions()}
	// Candidates less likely than one in a million of the first are noise.
	const noise = 1e-6
	for _, f := range fits {
		like := math.Exp((fits[0].score - f.score) / 2)
		if like < noise && len(id.Candidates) >= 2 {
			break
		}
		id.Candidates = append(id.Candidates, f.candidate(readings, like/total))
	}
	first := id.Candidates[0]
	for _, c := range id.Candidates {
		if c.Gear.Module == first.Gear.Module && c.Gear.Pressure == first.Gear.Pressure {
			id.SamePitch += c.Confidence
		}
	}
	id.NoFit = first.Chance < chanceLimit
	if len(fits) > 1 {
		id.Tie = fits[1].score-fits[0].score < 2*math.Log(tieLimit)
		id.Further = furtherReadings(&fits[0], &fits[1], readings)
		if len(id.Further) > 0 && id.Further[0].Apart >= 1 {
			id.Best = &id.Further[0]
		}
	}
	id.Notes = identityNotes(id, teeth, readings)
	return id, nil
}

func identityNotes(id Identity, teeth int, readings []Reading) []string {
	var notes []string
	if id.NoFit {
		notes = append(notes, fmt.Sprintf("no standard gear fits well: chance %.1g of such misfits; look for a wrong count, unit or reading, or a gear of no standard", id.Candidates[0].Chance))
	}
	if id.Tie {
		notes = append(notes, "the first two are about equally likely")
	}
	if id.Best != nil && id.Best.Apart < separateGood {
		notes = append(notes, "no single further reading separates the first two well")
	}
	if id.Best == nil && len(id.Candidates) > 1 {
		notes = append(notes, "no further reading on the list separates the first two")
	}
	if teeth%2 == 1 && slices.ContainsFunc(readings, func(r Reading) bool { return r.Kind == OutsideDiameter }) {
		notes = append(notes, "odd count: the outside diameter is taken as a caliper reads it, one jaw over two tips")
	}
	return notes
}

// chiSquareTail returns the chance that a chi-square of n degrees of freedom
// is x or more (Abramowitz & Stegun, 26.4.4 and 26.4.5).
func chiSquareTail(x float64, n int) float64 {
	if x <= 0 {
		return 1
	}
	term, sum, from := math.Exp(-x/2), 0.0, 2
	if n%2 == 1 {
		sum = math.Erfc(math.Sqrt(x / 2))
		term *= math.Sqrt(2 * x / math.Pi)
		from = 3
	}
	for k := from; k <= n; k += 2 {
		sum += term
		term *= x / float64(k)
	}
	return sum
}
