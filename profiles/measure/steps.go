package measure

import (
	"fmt"
	"math"
	"strings"
)

// Touched is what touches on successive teeth say. The side of a still cutter
// that is brought against like flanks of successive teeth of a level gear, one
// after the other, stands farther out by the base pitch each time: the flank's
// support function r_b (angle + half angle) is a line over the teeth's angles
// j tau, whatever the wear (r_b tau = pi m cos alpha).
type Touched struct {
	Reading   Reading // TouchStep: the base pitch and the steps it rests on
	Used      int     // touches used, one after the other
	First     int     // number of the first used, from 1
	Straight  bool    // three or more agree: the flank is an involute as far as they tell
	Off       float64 // the most by which one used lies off the line, mm
	Left      string  // which were left out, and why; "" when none
	Described string  // the steps, for a message
}

// apart is how many standard uncertainties of a step two steps may differ by
// before one is said to be off the flank. Own rule.
const apart = 3.5

// Steps turns the places of the cutter, as read at the control, at touches on
// like flanks of successive teeth into a base pitch; sigma is the uncertainty of
// one touch. Touches at an end that do not step as the others do, for they lie on
// a tip's corner or below the flank, are left out and named. It is an error when
// no two steps agree, or the places do not follow one another.
func Steps(places []float64, sigma float64) (Touched, error) {
	if len(places) < 2 {
		return Touched{}, fmt.Errorf("touches: two are needed at least, on successive teeth, three to prove an involute")
	}
	if !(sigma > 0) {
		return Touched{}, fmt.Errorf("touches: uncertainty %.6g mm must be positive", sigma)
	}
	steps := make([]float64, len(places)-1)
	for i := range steps {
		steps[i] = places[i+1] - places[i]
		if !(math.Abs(steps[i]) > 4*sigma) || steps[i]*steps[0] < 0 {
			return Touched{}, fmt.Errorf("touch %d: it does not follow the one before, from %.3f to %.3f mm: give them tooth by tooth, all toward one side", i+2, places[i], places[i+1])
		}
	}
	// The longest run of steps that agree.
	limit := apart * sigma * math.Sqrt(6) // of the difference of two steps that share a touch
	from, n := 0, 0
	for i := range steps {
		lo, hi := math.Abs(steps[i]), math.Abs(steps[i])
		k := i
		for ; k < len(steps); k++ {
			s := math.Abs(steps[k])
			if lo, hi = min(lo, s), max(hi, s); hi-lo > limit {
				break
			}
		}
		if k-i > n {
			from, n = i, k-i
		}
	}
	var words []string
	for _, s := range steps {
		words = append(words, fmt.Sprintf("%.3f", math.Abs(s)))
	}
	t := Touched{Used: n + 1, First: from + 1, Straight: n > 1, Described: strings.Join(words, ", ")}
	if len(steps) > 1 && n < 2 {
		return Touched{}, fmt.Errorf("touches step by %s mm, no two of them alike: those on a tip's corner or below the flank do not count; give the others", t.Described)
	}
	var left []string
	for i := range places {
		if i < from || i > from+n {
			left = append(left, fmt.Sprintf("touch %d lies on a tip's corner or below the flank", i+1))
		}
	}
	t.Left = strings.Join(left, "; ")
	slope, most := line(places[from : from+n+1])
	t.Off = most
	t.Reading = Reading{Kind: TouchStep, Value: math.Abs(slope), Sigma: sigma, Teeth: n}
	return t, nil
}

// line returns the least squares slope of values one apart, and the most that
// one lies off the line.
func line(values []float64) (slope, most float64) {
	n := float64(len(values))
	middle, mean, sum := (n-1)/2, 0.0, 0.0
	for _, v := range values {
		mean += v / n
	}
	for i, v := range values {
		slope += (float64(i) - middle) * (v - mean)
		sum += sq(float64(i) - middle)
	}
	slope /= sum
	for i, v := range values {
		most = max(most, math.Abs(v-mean-slope*(float64(i)-middle)))
	}
	return slope, most
}
