package measure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Misfit is how far one reading lies from what a candidate predicts.
type Misfit struct {
	Reading   Reading // as it was given
	Predicted float64 // mm
	Off       float64 // reading less prediction, mm
	Sigmas    float64 // Off over the reading's and the model's uncertainty
}

// Candidate is a standard gear that may be the one measured.
type Candidate struct {
	Gear       profiles.Gear          // with the shift and thinning that fit best
	Pitch      profiles.StandardPitch // the size of the series it is of
	AlsoRacks  []string               // racks of the same heights: no reading of the list tells them apart
	ChiSquare  float64                // of the readings and of the spread of shift and thinning
	Chance     float64                // of a ChiSquare this large or larger if the candidate is right
	Weight     float64                // how common the system is, before any reading
	Confidence float64                // the chance that it is this one, 0 to 1: those of all candidates and of Free add up to 1
	TipCut     float64                // by how much its tips are shortened, as those of shifted pairs are, on the radius, mm
	Misfits    []Misfit               // of each reading, in their order
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
	Candidates  []Candidate           // most likely first; none when no gear of the list can give the readings
	SamePitch   float64               // the chance that it has the first one's pitch and pressure angle
	Tie         bool                  // the first two are about equally likely
	Free        FreeGear              // the gear as it is if it is none of the list, and the chance of that
	NoFit       bool                  // it is more likely none of the list than all of them together, or even the first does not fit
	Odd         bool                  // no gear at all fits the readings: they do not go together
	Slip        *UnitSlip             // readings that would fit in the other unit; nil when there are none, or a gear fits
	Apart       float64               // the farthest that the flanks of the first two stand from each other, of teeth as fitted, mm; 0 when there is but one
	Best        *Further              // the measurement that would separate the first two; nil when none on the list would
	Further     []Further             // all that were considered, best first
	Notes       []string              // what else to know, one sentence each
	Assumptions []profiles.Assumption // what the answer rests on
}

// How many candidates are told at least, and the share from which all are.
const (
	leastKept  = 8
	leastShare = 1e-6
)

// Identify ranks the standard gears that a gear of the given count may be:
// every size of StandardPitches in every tooth system, against each other and
// against a gear that is none of them. Profile shift, thinning, blank and depth
// of cut are unknown; each gear is weighed by the density it gives to the
// readings, whatever they are, and by how common it is (Bayes's rule). A gear of
// no standard is weighed alike, with its base pitch, thickness and diameters
// unknown too, so that a chance fit of one gear of a long list is not taken for
// certain. The difference of two spans is the base pitch, which neither shift
// nor wear changes, so wear cannot fake it.
//
// It is an error when the count or a reading is impossible, or no gear at all
// could give the readings.
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
	fits, free, total := rank(teeth, readings, true)
	if math.IsInf(total, -1) {
		err := fmt.Errorf("no gear of %d teeth can give these readings: check the count and the unit", teeth)
		if slip := unitSlip(teeth, readings, math.Inf(-1)); slip != nil {
			err = fmt.Errorf("no gear of %d teeth can give these readings: %w", teeth, slip)
		}
		return Identity{}, err
	}
	id := Identity{Assumptions: identifyAssumptions(), Free: free}
	for i := range fits {
		if share := math.Exp(fits[i].score - total); i < leastKept || share > leastShare {
			id.Candidates = append(id.Candidates, fits[i].candidate(readings, share))
		}
	}
	id.NoFit, id.Odd = true, id.Free.Chance < chanceLimit
	if len(fits) > 0 {
		first := id.Candidates[0]
		id.NoFit = first.Chance < chanceLimit || id.Free.Share > 0.5
		id.Odd = id.Odd && first.Chance < chanceLimit
	}
	for _, c := range id.Candidates {
		if first := id.Candidates[0]; c.Gear.Module == first.Gear.Module && c.Gear.Pressure == first.Gear.Pressure {
			id.SamePitch += c.Confidence
		}
	}
	if id.NoFit {
		id.Slip = unitSlip(teeth, readings, total)
	}
	if len(fits) > 1 {
		id.Tie = fits[0].score-fits[1].score < math.Log(tieLimit)
		id.Further = furtherReadings(fits[0], fits[1])
		id.Apart = flanksApart(fits[0], fits[1])
		if len(id.Further) > 0 && id.Further[0].Apart >= 1 {
			id.Best = &id.Further[0]
		}
	}
	id.Notes = identityNotes(id, teeth, readings)
	return id, nil
}

func identityNotes(id Identity, teeth int, readings []Reading) []string {
	var notes []string
	switch {
	case id.Odd:
		notes = append(notes, fmt.Sprintf("the readings do not go together on any gear of %d teeth; look for a wrong count, unit or reading", teeth))
	case id.NoFit:
		notes = append(notes, "no standard gear fits well: look for a wrong count or reading, or a gear of no standard")
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
	if !id.Odd && id.Free.Share > 0.05 && !tellsStep(readings) {
		notes = append(notes, "the base pitch is not known: spans over k and over k + 1 teeth by micrometer, or touches on successive teeth, tell it, whatever the wear, and so a standard gear from another")
	}
	if teeth%2 == 1 && slices.ContainsFunc(readings, func(r Reading) bool { return r.Kind == OutsideDiameter }) {
		notes = append(notes, "odd count: the outside diameter is taken as a caliper reads it, one jaw over two tips")
	}
	return notes
}

// tellsStep says whether the base pitch follows from the readings: touches, or
// spans over different counts.
func tellsStep(readings []Reading) bool {
	first := 0
	for _, r := range readings {
		switch {
		case r.Kind == TouchStep, r.Kind == SpanSize && first > 0 && r.Teeth != first:
			return true
		case r.Kind == SpanSize:
			first = r.Teeth
		}
	}
	return false
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

// rank weighs all gears: those of the list that can give the readings, the
// likeliest first, the gear of no standard, and the log of all evidence. With
// nearest those far off are told where there are no others.
func rank(teeth int, readings []Reading, nearest bool) (fits []*hypothesis, none FreeGear, total float64) {
	list, weights := standards(teeth)
	others := free(teeth, readings, weights)
	total = others.score
	for _, all := range []bool{false, true} {
		fits = nearby(list, readings, all)
		// Where none is near the nearest is told all the same.
		if len(fits) > 0 || !nearest {
			break
		}
	}
	for i := range fits {
		total = logSum(total, fits[i].score)
	}
	slices.SortStableFunc(fits, func(a, b *hypothesis) int { return cmp.Compare(b.score, a.score) })
	none = others.gear(len(readings))
	none.Share = math.Exp(others.score - total)
	return fits, none, total
}

// tiny is the log of a share that no answer shows.
const tiny = -25

// nearby weighs the gears of the list that can give the readings; without all,
// only those worth it.
func nearby(list []hypothesis, readings []Reading, all bool) []*hypothesis {
	var fits []*hypothesis
	best := math.Inf(-1)
	for i := range list {
		h := &list[i]
		if h.score, h.most = math.Inf(-1), math.Inf(-1); !all && !h.base.near(readings) {
			continue
		}
		h.weigh(readings, &listManners[0])
		best = max(best, h.score)
		fits = append(fits, h)
	}
	// What the widest manner finds hopeless the others would not save.
	out := fits[:0]
	for _, h := range fits {
		if h.score > best+tiny {
			for m := 1; m < len(listManners); m++ {
				h.weigh(readings, &listManners[m])
			}
		}
		if !math.IsInf(h.score, -1) {
			out = append(out, h)
		}
	}
	return out
}
