package design

import (
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// Flanks is how well the job's index device can make the flanks.
type Flanks struct {
	Right, Left profiles.FacetSet // rolls from the root up
	Phase       float64           // teeth: gear angle of the stops' zero, rad
	Circle      int               // head: the hole circle used; 0 with a scale
	Ideal       profiles.FacetSet // with any angle free, the same count
	Tolerance   float64           // asked of the finished flank, mm; 0 when the count of facets is given
	ByDefault   bool              // the tolerance is not the job's: finer would not show, or the device allows no finer
	Limit       float64           // metal that may be left over the target, mm
	Allowance   float64           // how far the target lies inside the true flank, mm: 0 when proud
	Met         bool              // the tolerance is kept
}

// evenRounds is how often the allowance is worked out anew from the facets it
// gives; it changes them only at the tip, so each round gains several figures.
const evenRounds = 8

// flanksOf returns the best facets the job's index device allows. Where the job
// states neither tolerance nor count, they are as many as show; a device that
// cannot make as many is taken at its best.
func flanksOf(j *job.Job) (Flanks, error) {
	if j.Facets.Count > 0 || j.Facets.Tolerance > 0 {
		return flanksWithin(j, j.Facets.Tolerance)
	}
	f, err := flanksWithin(j, defaultTolerance(j))
	if best := max(f.Right.GreatestError, f.Left.GreatestError); err == nil && !f.Met && len(f.Right.Rolls) > 0 && len(f.Left.Rolls) > 0 && !math.IsInf(best, 1) {
		if j.Facets.Lean == job.Even {
			best /= 2
		}
		f, err = flanksWithin(j, math.Ceil(best*1000)/1000)
	}
	f.ByDefault = true
	return f, err
}

// flanksWithin is flanksOf for a tolerance in mm, which is not read when the
// job gives a count.
func flanksWithin(j *job.Job, tolerance float64) (Flanks, error) {
	device := map[job.Device]func(profiles.Gear, *job.Job, float64) (Flanks, error){
		job.Rotary: anyAngle, job.Head: headAngles, job.Teeth: stopAngles,
	}[j.Index.Device]
	if device == nil {
		return Flanks{}, fmt.Errorf("index device %d is not known", j.Index.Device)
	}
	// With the error laid evenly each side of the true flank may have the
	// tolerance, so the facets may stand twice that out of the thinner tooth.
	band, allowance := tolerance, 0.0
	even := j.Facets.Lean == job.Even
	if even {
		allowance, band = band, 2*band
	}
	g := j.Gear.MovedIn(allowance)
	f, err := device(g, j, band)
	// Half of the error that is reached is taken off, not half of what is allowed.
	for i := 0; even && f.Met && err == nil && i < evenRounds; i++ {
		allowance = max(f.Right.GreatestError, f.Left.GreatestError) / 2
		g = j.Gear.MovedIn(allowance)
		f, err = device(g, j, band)
	}
	f.Tolerance = tolerance
	if err != nil {
		return f, err
	}
	if f.Ideal, err = g.BestFacets(max(1, len(f.Right.Rolls), len(f.Left.Rolls))); err != nil {
		return f, err
	}
	f.Limit, f.Allowance = tolerance+allowance, allowance
	if j.Facets.Count > 0 {
		f.Limit = max(f.Right.GreatestError, f.Left.GreatestError)
	}
	return f, nil
}

func anyAngle(g profiles.Gear, j *job.Job, band float64) (f Flanks, err error) {
	f.Met = true
	if n := j.Facets.Count; n > 0 {
		f.Right, err = g.BestFacets(n)
	} else {
		f.Right, f.Met, err = g.FewestFacets(band)
	}
	f.Left = f.Right
	if other := g.Mirrored(); err == nil && other != g {
		met := true
		if n := j.Facets.Count; n > 0 {
			f.Left, err = other.BestFacets(n)
		} else {
			f.Left, met, err = other.FewestFacets(band)
		}
		f.Met = f.Met && met
	}
	return f, err
}

// among returns the best set of the rolls.
func among(g profiles.Gear, j *job.Job, rolls []float64, band float64) (profiles.FacetSet, bool, error) {
	if n := j.Facets.Count; n > 0 {
		return g.BestFacetsAmong(rolls, n)
	}
	return g.FewestFacetsAmong(rolls, band)
}

// HeadStep is the smallest turn of the work that one hole of the circle, or
// one line of the scale, gives, rad.
func HeadStep(x job.Index, circle int) float64 {
	if x.Graduation > 0 {
		return x.Graduation
	}
	return profiles.HoleStep(x.Ratio, circle)
}

// headAngles finds the hole circle the job's facets are best on; the plate is
// not changed in the middle of a tooth.
func headAngles(g profiles.Gear, j *job.Job, band float64) (Flanks, error) {
	circles := j.Index.Circles
	if j.Index.Graduation > 0 {
		circles = []int{0}
	}
	var best Flanks
	found := false
	for _, c := range circles {
		step := HeadStep(j.Index, c)
		if !onGrid(j.Gear.Places, g.Pitch(), step) {
			continue
		}
		set, met, err := among(g, j, lattice(g, g.BaseHalfAngle(), step), band)
		if err != nil {
			return best, err
		}
		other := set
		if m := g.Mirrored(); m != g {
			var also bool
			if other, also, err = among(m, j, lattice(m, m.BaseHalfAngle(), step), band); err != nil {
				return best, err
			}
			met = met && also
		}
		if len(set.Rolls) == 0 || len(other.Rolls) == 0 {
			continue
		}
		f := Flanks{Right: set, Left: other, Met: met, Circle: c}
		better := !found || met && !best.Met || met == best.Met && (f.facets() < best.facets() ||
			f.facets() == best.facets() && f.left() < best.left()-geom.Eps)
		if !met && !best.Met && found {
			better = f.left() < best.left()-geom.Eps
		}
		if better {
			best, found = f, true
		}
	}
	return best, nil
}

// facets is how many facets both flanks have, left what is left of the worse.
func (f *Flanks) facets() int   { return len(f.Right.Rolls) + len(f.Left.Rolls) }
func (f *Flanks) left() float64 { return max(f.Right.GreatestError, f.Left.GreatestError) }

// onGrid says that every place can be brought to top dead centre by whole
// steps.
func onGrid(places []float64, pitch, step float64) bool {
	for _, p := range places {
		if math.Abs(math.Remainder(p*pitch, step)) > 1e-9 {
			return false
		}
	}
	return true
}

// phaseSteps is how many phases of the stops are tried before the best is
// closed in on.
const phaseSteps = 240

// stopAngles finds the phase of the stops that makes the best facets: the
// gear then stands at phase + k pitches, or half pitches, only. The right
// flank sees the rolls psi_b + phase + k tau, the left psi_b - phase - k tau.
func stopAngles(g profiles.Gear, j *job.Job, band float64) (Flanks, error) {
	step := g.Pitch()
	if j.Index.HalfTooth {
		step /= 2
	}
	other := g.Mirrored()
	try := func(phase float64) (Flanks, error) {
		var f Flanks
		var okR, okL bool
		var err error
		if f.Right, okR, err = among(g, j, lattice(g, g.BaseHalfAngle()+phase, step), band); err != nil {
			return f, err
		}
		f.Left, okL, err = among(other, j, lattice(other, other.BaseHalfAngle()-phase, step), band)
		f.Phase, f.Met = phase, okR && okL
		return f, err
	}
	worst := func(f Flanks) float64 {
		if len(f.Right.Rolls) == 0 || len(f.Left.Rolls) == 0 {
			return math.Inf(1)
		}
		return max(f.Right.GreatestError, f.Left.GreatestError)
	}
	var best Flanks
	at := math.Inf(1)
	look := func(from, to float64, n int) error {
		for i := range n + 1 {
			f, err := try(from + (to-from)*float64(i)/float64(n))
			if err != nil {
				return err
			}
			if w := worst(f); w < at {
				best, at = f, w
			}
		}
		return nil
	}
	// The mirror image of a phase is the same, so half the step is enough; not so
	// where the flanks differ.
	if err := look(0, step/2, phaseSteps); err != nil {
		return best, err
	}
	if other != g {
		if err := look(-step/2, 0, phaseSteps); err != nil {
			return best, err
		}
	}
	for width := step / 2 / phaseSteps; width > 1e-7; width /= 4 {
		if err := look(best.Phase-width, best.Phase+width, 16); err != nil {
			return best, err
		}
	}
	return best, nil
}

// lattice returns the rolls from + k step that touch the flank, and one that
// reaches it from below the base circle.
func lattice(g profiles.Gear, from, step float64) []float64 {
	var rolls []float64
	top := g.Roll(g.TipRadius())
	for k := math.Ceil(-from/step) - 1; from+k*step <= top; k++ {
		rolls = append(rolls, from+k*step)
	}
	return rolls
}
