package toolpath

import "cogmend/profiles/estimate"

// Budget is what to expect of the new tooth: the facets as planned, the spring
// of the cutters that make them, and everything that hands set or measure.
func (p *Plan) Budget() estimate.Budget {
	list := p.Influences()
	if spring, ok := p.spring(); ok {
		list = append(list, spring)
	}
	f := &p.Flanks
	return estimate.Tooth{
		Right: len(f.Right.Rolls), Left: len(f.Left.Rolls),
		FacetError: max(f.Right.Left, f.Left.Left), Even: f.Allowance > 0,
	}.Budget(list)
}

// spring is what the cutters' spring leaves on the flanks: metal between the
// least and the greatest of the facets' last cuts. ok is false without facets.
func (p *Plan) spring() (f estimate.Influence, ok bool) {
	var least, most float64
	for i := range p.Programs {
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
