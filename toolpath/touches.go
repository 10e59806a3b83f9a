package toolpath

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// TouchPlan says which touches of good teeth copy their flanks. Lengths mm.
type TouchPlan struct {
	With      profiles.Cutter // what touches
	Pin       bool            // it is a pin
	Touches   []ToTouch       // in the order of work
	Settings  int             // how often the gear is set
	Most      float64         // the most that facets may leave between the touches of any flank rounded outward, the readings exact
	Noise     float64         // what the readings' own +- add to that
	Tolerance float64         // what facets may leave
	Met       bool            // Most is within the tolerance
	Below     float64         // radius under which the flank is not reached; 0: it is reached to its foot
	Better    string          // a cutter of the job that would get lower than the one that is named; "": none
	Why       string          // why the tolerance is not met, and what would help
}

// Leans is how many different leans of the teeth the touches are at.
func (p *TouchPlan) Leans() int { return len(leansOf(p.Touches)) }

// ToTouch is one touch of a good tooth with the side of a still cutter.
type ToTouch struct {
	Name   string       // of its table in the job file, [touch.NAME]
	Tooth  int          // counted from the gap, toward +Y positive
	Side   int          // +1 its right flank, -1 its left
	Turned float64      // of the gear from level, rad
	Set    TouchSetting // how the gear is set for it
	Lean   float64      // of the tooth, to the side of the flank, rad
	Y      float64      // of the spindle, as expected
	End    float64      // height of the cutter's end over the axis
	Height float64      // at which the side touches, over the axis
}

// TouchSetting is how the gear is set for touches: in words, and as keys of the
// touch's table.
type TouchSetting struct {
	Words string   // how the gear stands for it
	Keys  []string // lines of the touch's table, as the file has them
	Drop  float64  // on stops: between the tips beside the gap, mm
}

// mostSplits is into how many parts a pitch may be divided for touching: more
// settings than that are not made by hand.
const mostSplits = 8

// Shares of a flank that are not touched: at the tip, whose edge is worn round, and at
// the foot, where it may be the fillet that is touched (own rule).
const (
	touchTip  = 0.03
	touchFoot = 0.12
)

// filletShare is how high over the root circle a fillet reaches, in modules, where
// nothing is known of it (own rule).
const filletShare = 0.4

// touchUnder is how far the end of the cutter goes below where its side touches, mm,
// so that not its corner does, where there is room by half a module; touchBeside is the
// room it must have beside the flank to come down, and touchOver over what is under
// it, a fillet rounder than it is taken for (own rules).
const (
	touchUnder  = 0.3
	touchBeside = 0.3
	touchOver   = 0.2
)

// toucher plans touches with one cutter.
type toucher struct {
	*planner
	tool   *profiles.Cutter
	scene  *flankScene
	lo, hi float64 // leans of the flank's foot and tip, less its ends
	pitch  float64
	reach  float64 // pitches from the gap's middle to the first standing tooth
}

// Touching plans the touches that copy the flanks of good teeth within the
// tolerance of the facets, with the job's device and its cutters. The flank is
// taken as the design has it: a guess before the first touch.
func Touching(d *design.Design) (*TouchPlan, error) {
	p := &planner{Plan: Plan{Design: d}, bad: refusals{job: d.Job}, weak: map[string]bool{}}
	tools, pin, err := touchingTools(d.Job)
	if err != nil {
		return nil, err
	}
	t, below := p.toucher(tools)
	better := ""
	if all := endMills(d.Job); below > 0 && !pin && len(all) > len(tools) {
		if o, radius := p.toucher(all); radius < below-leastGain {
			better = o.tool.Name
		}
	}
	out := &TouchPlan{With: *t.tool, Pin: pin, Tolerance: d.Flanks.Limit, Below: below, Better: better}
	for m := range mostSplits + 1 {
		if m > 0 && d.Job.Index.Device == job.Teeth && d.Job.Touching.TipLand == 0 {
			out.Why = "between its teeth a gear on stops is set by the drop of its tips: measure gear.tip_land"
			break
		}
		list, settings := t.split(m)
		leans := leansOf(list)
		if len(leans) < design.FewestTouches {
			continue
		}
		most, err := design.Between(d.Job.Gear.Gear, leans, 0)
		if err != nil {
			continue
		}
		out.Touches, out.Settings, out.Most = list, settings, most
		if out.Met = most <= out.Tolerance; out.Met {
			break
		}
	}
	if len(out.Touches) == 0 {
		if out.Why == "" {
			out.Why = "nothing in the rack gets down between two teeth: a thin ground pin in the spindle may (copy.pin)"
		}
		return nil, fmt.Errorf("no flank can be copied from touches: %s; or copy from a tooth vernier ([vernier.NAME])", out.Why)
	}
	noisy, err := design.Between(d.Job.Gear.Gear, leansOf(out.Touches), d.Job.Touching.Within)
	if err != nil {
		return nil, err
	}
	out.Noise = noisy - out.Most
	if !out.Met && out.Why == "" {
		out.Why = fmt.Sprintf("more than %d settings a pitch are not planned; or allow more in facets.tolerance", mostSplits)
	}
	for i := range out.Touches {
		out.Touches[i].Name = fmt.Sprintf("t%02d", i+1)
	}
	return out, nil
}

// TouchingMore plans the touches that are wanting for the tolerance of the facets
// beside those the job's flanks were copied from; none where they do. with is what
// touches.
func TouchingMore(d *design.Design) (list []ToTouch, with *profiles.Cutter, err error) {
	p := &planner{Plan: Plan{Design: d}, bad: refusals{job: d.Job}, weak: map[string]bool{}}
	tools, _, err := touchingTools(d.Job)
	if err != nil {
		return nil, nil, err
	}
	t, _ := p.toucher(tools)
	g := &d.Job.Gear
	names := map[string]bool{}
	flanks := d.Copied()
	for _, c := range flanks {
		for _, r := range c.Readings {
			names[r.Name] = true
		}
	}
	n := 0
	for _, c := range flanks {
		sides := map[string][]int{"right": {1}, "left": {-1}}[c.Sides]
		if sides == nil {
			sides = []int{1, -1}
		}
		leans := c.Open(g.RootRadius(), g.TipRadius(), d.Flanks.Limit)
		first, last, step := c.Span()
		for a := first - step; a >= t.lo; a -= step {
			leans = append(leans, a)
		}
		for a := last + step; a <= t.hi; a += step {
			leans = append(leans, a)
		}
		for _, lean := range leans {
			a, ok := t.near(lean, sides)
			if !ok {
				continue
			}
			for n++; names[fmt.Sprintf("t%02d", n)]; n++ {
			}
			a.Name = fmt.Sprintf("t%02d", n)
			list = append(list, a)
		}
	}
	return list, t.tool, nil
}

// near is the touch, on one of the given flanks, whose lean is nearest to one that
// is asked for with the gear turned least; not ok where the tool does not reach.
func (t *toucher) near(lean float64, sides []int) (best ToTouch, ok bool) {
	for _, side := range sides {
		for n := 1; n <= t.Job.Gear.Teeth/2; n++ {
			turned, set := t.set(float64(side) * (lean - (t.reach+float64(n-1))*t.pitch))
			if ok && math.Abs(turned) >= math.Abs(best.Turned) || math.Abs(turned) > (t.reach+0.5)*t.pitch {
				continue
			}
			for _, a := range t.at(turned, set) {
				if a.Side == side && a.Tooth == side*n {
					best, ok = a, true
				}
			}
		}
	}
	return best, ok
}

// leansOf are the different leans of touches, of one flank where both are copied
// apart.
func leansOf(list []ToTouch) []float64 {
	var out []float64
	for _, t := range list {
		out = append(out, t.Lean)
	}
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < sameLean })
}

// sameLean is how near two leans are one, rad.
const sameLean = 1e-4

// touchingTools are what may touch, the thickest first.
func touchingTools(j *job.Job) (tools []*profiles.Cutter, pin bool, err error) {
	switch w := j.Touching; {
	case w.Pin > 0 && w.Cutter != "":
		return nil, false, fmt.Errorf("copy.cutter and copy.pin are both given; give one")
	case w.Pin > 0:
		return []*profiles.Cutter{{Kind: profiles.EndMill, Name: "pin", Diameter: w.Pin, FluteLength: touchPinOut, Shank: w.Pin, StickOut: touchPinOut, Holder: w.Pin}}, true, nil
	case w.Cutter != "":
		if tools = endMills(j, w.Cutter); len(tools) == 0 {
			return nil, false, fmt.Errorf("copy.cutter: %q is no end mill of the job, whose side could touch", w.Cutter)
		}
	default:
		tools = endMills(j)
	}
	if len(tools) == 0 {
		return nil, false, fmt.Errorf("nothing to touch with: the job has no end mill; give one, or copy.pin, the diameter of a ground pin in the spindle")
	}
	return tools, false, nil
}

// touchPinOut is how far a pin is taken to stand out of its holder, mm.
const touchPinOut = 60

// toucher chooses the tool that reaches the flank lowest, the thickest of those;
// below is the radius under which it does not reach, 0 when it does all the way.
func (p *planner) toucher(tools []*profiles.Cutter) (best *toucher, below float64) {
	g := p.Target
	foot, _ := g.Foot() // worked out with the tooth
	zero := g.BaseHalfAngle()
	hi := g.Roll(g.TipRadius()) - zero
	least := max(foot.Norm(), g.FlankFrom()*(1+1e-9))
	if p.Job.Gear.Copy != nil { // a copy goes on below what was read
		least = max(least, g.RootRadius()+filletShare*g.Module)
	}
	lo := g.Roll(least) - zero
	lo, hi = lo+touchFoot*(hi-lo), hi-touchTip*(hi-lo)
	const looks = 60
	lowest := math.Inf(1)
	for _, tool := range tools {
		t := &toucher{planner: p, tool: tool, scene: p.flankScene(aside, 1), lo: lo, hi: hi, pitch: g.Pitch(), reach: p.Job.Gear.LevelReach()}
		from := hi
		for i := range looks + 1 {
			lean := hi - (hi-lo)*float64(i)/looks
			if _, _, ok := t.end(lean); !ok {
				break
			}
			from = lean
		}
		if from < lowest-1e-9 {
			best, lowest = t, from
		}
	}
	if best == nil {
		best = &toucher{planner: p, tool: tools[len(tools)-1], scene: p.flankScene(aside, 1), lo: hi, hi: lo, pitch: g.Pitch(), reach: p.Job.Gear.LevelReach()}
	}
	if lowest > lo+1e-9 {
		best.lo, below = lowest, 0
		if !math.IsInf(lowest, 1) {
			s := g.SupportAt(lowest + zero)
			below = math.Hypot(s.H, s.Slope)
		}
	}
	return best, below
}

// aside is a place with standing teeth on both sides: none that is to be made.
const aside = 1e6 + 0.3

// end is how low the end of the cutter stands for a touch at a lean, and where its
// side touches, over the axis; not ok where it does not get down beside the flank.
func (t *toucher) end(lean float64) (end, height float64, ok bool) {
	s := t.Target.SupportAt(lean + t.Target.BaseHalfAngle())
	v, parts := t.scene.at(lean), backParts(t.tool)
	low := touchOver + max(v.toolBottom(t.tool, parts, s.H), v.toolBottom(t.tool, parts, s.H+touchBeside))
	if low > s.Slope-touchUnder {
		return 0, 0, false
	}
	end = max(low, s.Slope-max(touchUnder, t.Target.Module/2))
	step := 0.1
	if t.Job.Units == job.Inch {
		step = 0.005 * 25.4
	}
	zero := t.Shift // one sets whole steps in the program's Z
	end = math.Ceil((end-zero)/step-1e-9)*step + zero
	return end, s.Slope, end <= s.Slope-touchUnder/2
}

// split plans the touches with the pitch divided into m settings on each side, 0:
// the gear level alone. Leans then lie a 2m-th of a pitch apart, right and left
// flanks by turns; those of flanks copied apart an m-th.
func (t *toucher) split(m int) (list []ToTouch, settings int) {
	apart := t.Job.Touching.Apart
	step, first := t.pitch, 0.0
	switch {
	case apart:
		step = t.pitch / float64(max(1, m))
	case m > 0:
		step, first = t.pitch/float64(2*m), t.pitch/float64(4*m)
	}
	var can []touchesAt
	most := (t.reach + 0.5) * t.pitch
	for i := -math.Ceil(most/step) - 1; first+i*step <= most; i++ {
		if a := first + i*step; a >= -most {
			turned, set := t.set(a)
			can = append(can, touchesAt{turned, set.Drop, t.at(turned, set)})
		}
	}
	slices.SortStableFunc(can, func(a, b touchesAt) int { return cmp.Compare(math.Abs(a.turned), math.Abs(b.turned)) })
	key := func(a ToTouch) [2]int {
		k := [2]int{int(math.Round(a.Lean / step * 2))}
		if apart {
			k[1] = a.Side
		}
		return k
	}
	have, dropped := map[[2]int]bool{}, map[float64]bool{}
	for len(can) > 0 {
		best, most := 0, 0
		for i, c := range can {
			n := 0
			for _, a := range c.touches {
				if !have[key(a)] {
					n += 2
				}
			}
			if n > 0 && dropped[c.drop] {
				n++ // the stops stand as they are
			}
			if n > most {
				best, most = i, n
			}
		}
		if most == 0 {
			break
		}
		settings++
		dropped[can[best].drop] = true
		for _, a := range can[best].touches {
			// Level, both flanks lean alike, and say whether Y0 is in the middle.
			if !have[key(a)] || m == 0 {
				list = append(list, a)
			}
		}
		for _, a := range can[best].touches {
			have[key(a)] = true
		}
		can = slices.Delete(can, best, best+1)
	}
	slices.SortStableFunc(list, func(a, b ToTouch) int {
		return cmp.Or(cmp.Compare(a.Set.Drop, b.Set.Drop), -cmp.Compare(a.Turned, b.Turned), cmp.Compare(a.Tooth, b.Tooth))
	})
	return list, settings
}

// touchesAt are the touches that one setting of the gear allows.
type touchesAt struct {
	turned  float64
	drop    float64
	touches []ToTouch
}

// at are the touches with the gear turned from level: right flanks of the teeth
// toward +Y, left flanks of those toward -Y.
func (t *toucher) at(turned float64, set TouchSetting) []ToTouch {
	var out []ToTouch
	for n := 1; n <= t.Job.Gear.Teeth/2; n++ {
		at := t.reach + float64(n-1)
		for _, side := range []int{1, -1} {
			if design.IsPlace(t.Job.Gear.Places, float64(side)*at) || design.IsPlace(t.Job.Gear.Places, float64(side)*at-float64(side*t.Job.Gear.Teeth)) {
				continue
			}
			lean := at*t.pitch + float64(side)*turned
			if lean < t.lo-geom.Eps || lean > t.hi+geom.Eps {
				continue
			}
			end, height, ok := t.end(lean)
			if !ok {
				continue
			}
			s := t.Target.SupportAt(lean + t.Target.BaseHalfAngle())
			y := float64(side) * (s.H + t.tool.Radius() + t.Job.Touching.Paper)
			out = append(out, ToTouch{Tooth: side * n, Side: side, Turned: turned, Set: set, Lean: lean, Y: y, End: end, Height: height})
		}
	}
	return out
}

// Line is the touch as a line of the job's [touch] table, with what was read.
func (t *ToTouch) Line(y float64, u job.Units) string {
	unit, digits := 1.0, 3
	if u == job.Inch {
		unit, digits = 25.4, 4
	}
	s := fmt.Sprintf("%s = { tooth = %d, y = %.*f", t.Name, t.Tooth, digits, y/unit)
	for _, k := range t.Set.Keys {
		s += ", " + k
	}
	return s + " }"
}
