package measure

import (
	"fmt"
	"math"
)

// UnitSlip is a suspicion: readings that fit far better in the other unit.
type UnitSlip struct {
	Readings []Reading // as they were given, mm
	Factor   float64   // 25.4: mm were written for inches; 1/25.4: inches for mm
	Gear     string    // the likeliest gear once they are taken in the other unit
	Share    float64   // and its chance
}

// Error says what is suspected.
func (s *UnitSlip) Error() string {
	r := s.Readings[0]
	text := fmt.Sprintf("%s: was %.4g read in inches? Then it is %.3f mm", r.Name(), r.Value, r.Value*s.Factor)
	if s.Factor < 1 {
		text = fmt.Sprintf("%s: was %.4g in read in mm? Then it is %.4f in", r.Name(), r.Value/inch, r.Value*s.Factor/inch)
	}
	if len(s.Readings) > 1 {
		text += ", and the others too"
	}
	return fmt.Sprintf("%s, and the gear likeliest %s", text, s.Gear)
}

const inch = 25.4

// slipOdds is how much more likely readings must be in the other unit before
// it is said: slips of the unit are rarer than right readings. Own rule.
const slipOdds = 100

// unitSlip looks whether all readings, or one of them, fit better in the other
// unit than the evidence that they have as given.
func unitSlip(teeth int, readings []Reading, evidence float64) *UnitSlip {
	var best *UnitSlip
	most := evidence + math.Log(slipOdds)
	for only := -1; only < len(readings); only++ {
		if only == 0 && len(readings) == 1 {
			break
		}
		for _, factor := range []float64{inch, 1 / inch} {
			other := make([]Reading, len(readings))
			var changed []Reading
			jacobian := 0.0
			for i, r := range readings {
				if only < 0 || i == only {
					changed = append(changed, r)
					r.Value *= factor
					r.Pin *= factor
					r.Height *= factor
					r.Sigma = max(r.Sigma, VernierSigma)
					jacobian += math.Log(factor)
				}
				if r.validate(teeth) != nil {
					changed = nil
					break
				}
				other[i] = r
			}
			if changed == nil {
				continue
			}
			fits, none, total := rank(teeth, other, false)
			if total += jacobian; total > most && len(fits) > 0 && none.Share < 0.5 {
				most = total
				c := fits[0].candidate(other, 0)
				best = &UnitSlip{changed, factor, c.String(), math.Exp(fits[0].score - total + jacobian)}
			}
		}
	}
	return best
}
