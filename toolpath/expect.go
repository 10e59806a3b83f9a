package toolpath

import (
	"cogmend/profiles"
	"cogmend/profiles/estimate"
)

// Expectation is what to expect of one new tooth: the facets as planned, the
// spring of the cutters that make them, and everything that hands set or
// measure. An estimate.
type Expectation struct {
	estimate.Budget
	// Shows is the facets' own error, mm, under which they do not show against all
	// the rest; Enough is the least number of facets, at any angles, that keeps to
	// it.
	Shows  float64
	Enough int // facets a flank
	// Play with the mate along the line of action, mm, with the tooth's spread; nil
	// without a mate.
	Play *estimate.Expected
	// Error is the transmission error with the mate, peak to peak; nil without one.
	Error *estimate.ErrorSpread
}

// Expect works out what to expect of the new tooth.
func (p *Plan) Expect() (Expectation, error) {
	list := p.Influences()
	if spring, ok := p.spring(); ok {
		list = append(list, spring)
	}
	f := &p.Flanks
	e := Expectation{Shows: estimate.Shows(list), Budget: estimate.Tooth{
		Right: len(f.Right.Rolls), Left: len(f.Left.Rolls),
		FacetError: max(f.Right.GreatestError, f.Left.GreatestError), Even: f.Allowance > 0,
	}.Budget(list)}
	if e.Shows > 0 {
		set, ok, err := p.True.FewestFacets(e.Shows)
		if err != nil {
			return e, err
		}
		if ok {
			e.Enough = len(set.Rolls)
		}
	}
	if p.Job.Mate == nil {
		return e, nil
	}
	mesh, err := p.Mesh()
	if err != nil {
		return e, err
	}
	play, err := mesh.Play()
	if err != nil {
		return e, err
	}
	// Along the line of action play is lost as the flanks stand out along their
	// normals.
	with := e.Thickness
	with.Middle = play - e.Thickness.Middle
	e.Play = &with
	spread, err := mesh.ErrorSpread(profiles.FacetsAt(f.Right.Rolls, -f.Allowance), list)
	if err != nil {
		return e, err
	}
	e.Error = &spread
	return e, nil
}

// spring is what the cutters' spring leaves on the flanks: metal between the
// least and the greatest of the facets' last cuts. ok is false without facets.
func (p *Plan) spring() (f estimate.Influence, ok bool) {
	var least, most float64
	for i := range p.Programs {
		if p.Programs[i].Purpose != FacetsProgram {
			continue
		}
		for _, op := range p.Programs[i].Ops {
			for _, pass := range op.Passes {
				if !pass.Spring.Finishes {
					continue
				}
				if left := pass.Spring.Left; !ok || left < least {
					least = left
				}
				most, ok = max(most, pass.Spring.Left), true
			}
		}
	}
	return estimate.Influence{
		Name: "spring of the cutter", Limit: (most - least) / 2, Anew: true, Right: 1, Left: 1,
		Offset: (most + least) / 2, Source: "estimate",
	}, ok
}

// WorstSpring returns the spring of the pass of a program that bends its cutter
// nearest to its strength, with the pass's number from 1 and the cutter; ok is
// false when none was estimated.
func (p *Program) WorstSpring() (worst Pass, number, tool int, ok bool) {
	n := 0
	for _, op := range p.Ops {
		for _, pass := range op.Passes {
			n++
			if pass.Spring.Force > 0 && (!ok || pass.Spring.Share > worst.Spring.Share) {
				worst, number, tool, ok = pass, n, op.Cutter.Number, true
			}
		}
	}
	return worst, number, tool, ok
}

// Gain is what would make most of the flanks better: what one does for it, and
// within what half width, mm, a flank would then lie. ok is false when nothing
// that hands do decides.
func (e *Expectation) Gain() (by string, half float64, ok bool) {
	best := e.Shares[0]
	if best.Part <= 0 || best.Name == "facets" {
		return "", 0, false
	}
	return better(best.Name), estimate.HalfOf(e.Without(best.Name)), true
}

// better is what one does to know an influence better.
func better(name string) string {
	switch name {
	case "Y zero":
		return "finding the middle of the gap better: touch both neighbours more than once and take the mean"
	case "wear of the neighbours":
		return "measuring how the two flanks beside the gap differ in wear"
	case "level":
		return "levelling the gear better: gauge the two tips again, turned over"
	case "index":
		return "setting each angle better, always coming from one side"
	case "cutter size":
		return "measuring the finishing cutter"
	case "runout":
		return "gauging the cutter's runout and truing it"
	case "spring of the cutter":
		return "a stiffer cutter, or one that sticks out less"
	}
	return "knowing the " + name + " better"
}
