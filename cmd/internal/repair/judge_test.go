package repair

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
)

// The judge is a second, deliberately simple replay, for tests only: it reads
// the words by itself, keeps metal as single spots and asks of every motion
// which spots lie in the tool. What it calls harmful, the check must find.

// spot is a point of metal in a plane across X.
type spot struct {
	at   geom.Vec // gear at 0
	now  geom.Vec // as the gear stands
	keep bool     // must stay
	must bool     // the good program takes it away, and the job counts on it
	gone bool
}

type plane struct {
	x     float64
	spots []spot
}

// judge holds the metal before one program.
type judge struct {
	setup  *replay.Setup
	planes []plane
	stops  int   // of the good program, before its last motion
	tried  []int // steps of the good program, as their stops come

	good  []string  // lines of the good program
	marks []*judged // how it stood before some of them, in order
	last  []plane   // of the last program judged, to be used again
	only  []bool    // planes that are looked at; nil: all
}

// Sizes of the judge's raster, mm.
const (
	judgeGrid  = 0.45  // between spots
	judgeEdge  = 0.4   // between spots along a surface
	judgeDeep  = 0.012 // spots this deep under surfaces that must stay
	judgeProud = 0.015 // over what may be left
	judgeShy   = 0.02  // a rapid this near to metal does not count
)

// newJudge lays spots over the set-up's metal and learns from the good
// program which of them must go. It fails when that program is not good.
func newJudge(setup *replay.Setup, good string) (*judge, error) {
	j := &judge{setup: setup}
	for i, s := range setup.Stations {
		spots := spotsOf(&s)
		j.planes = append(j.planes, plane{x: s.X, spots: spots})
		// Between two stations that hold the same metal, a plane of the same.
		if i > 0 && len(s.Keep) > 0 && len(setup.Stations[i-1].Keep) > 0 && &s.Keep[0] == &setup.Stations[i-1].Keep[0] {
			j.planes = append(j.planes, plane{x: (s.X + setup.Stations[i-1].X) / 2, spots: append([]spot(nil), spots...)})
		}
	}
	return j, j.learn(good)
}

// learn finds out from the good program which spots must go.
func (j *judge) learn(good string) error {
	j.good = strings.Split(good, "\n")
	run, harm := j.run(good)
	if harm != "" {
		return fmt.Errorf("the judge finds the good program harmful: %s", harm)
	}
	j.stops, j.tried = run.before, run.steps
	for i := range j.planes {
		for k := range j.planes[i].spots {
			s := &j.planes[i].spots[k]
			s.must = s.must && run.planes[i].spots[k].gone
			for _, m := range j.marks {
				m.planes[i].spots[k].must = s.must
			}
		}
	}
	return nil
}

// judged is one program being judged.
type judged struct {
	*judge
	from   int // the line it stands before, counted from 0
	planes []plane
	angle  float64
	stops  int              // so far
	before int              // before the last motion
	pos    map[byte]float64 // program mm, degrees
	tool   int
	speed  float64
	turns  string // "", "CW", "CCW"
	feed   float64
	motion int
	inch   bool
	units  bool
	plus   bool // G91
	zero   bool // G54 said
	ended  bool
	hand   string // what was told before a stop
	placed bool   // the hand-set gear

	told    [3]int // tool to put in, tool to touch off, step to try, by the comments before a stop
	steps   []int  // tried so far
	touched int    // tool touched off since the last change
	offset  int    // H in force, stated since the last change; 0: none
}

var (
	wordForm    = regexp.MustCompile(`([A-Z])([-+]?[0-9]*\.?[0-9]*)`)
	lineForm    = regexp.MustCompile(`^([A-Z][-+]?[0-9]*\.?[0-9]+)*$`)
	commentForm = regexp.MustCompile(`\(([^()]*)\)`)
	gearForm    = regexp.MustCompile(`GEAR AT (-?[0-9.]+) DEG`)
	toldForms   = [3]*regexp.Regexp{regexp.MustCompile(`Put in T([0-9]+)`), regexp.MustCompile(`Touch off the length of T([0-9]+)`), regexp.MustCompile(`Step ([0-9]+)\.`)}
)

// run judges a program's text: "" when it does no harm. What it returns holds
// until the next run.
func (j *judge) run(text string) (r *judged, harm string) {
	lines := strings.Split(strings.ReplaceAll(text, "\r", ""), "\n")
	learn := len(j.marks) == 0
	r = j.before(lines)
	for i := r.from; i < len(lines); i++ {
		line := lines[i]
		if learn && i%max(1, len(lines)/judgeMarks) == 0 {
			r.from = i
			j.marks = append(j.marks, r.clone(nil))
		}
		if r.ended {
			break
		}
		if h := r.line(strings.TrimSpace(line)); h != "" {
			return r, fmt.Sprintf("line %d: %s", i+1, h)
		}
	}
	switch {
	case !r.ended:
		return r, "the program has no end"
	case r.before < j.stops:
		return r, "a stop the operator needs is missing"
	case j.stops > 0 && !slices.Equal(r.steps, j.tried):
		return r, "the steps are not tried one after the other"
	}
	for _, p := range r.planes {
		for _, s := range p.spots {
			if s.must && !s.gone {
				return r, fmt.Sprintf("metal stays at X %.3f Y %.3f Z %.3f", p.x, s.at.Y, s.at.Z)
			}
		}
	}
	return r, ""
}

// judgeMarks is about how many places of the good program are kept: what is
// spoilt behind one of them is judged from there on.
const judgeMarks = 24

// before returns how the good program stood before the last kept line up to
// which the lines are its own.
func (j *judge) before(lines []string) *judged {
	if len(j.marks) == 0 {
		r := &judged{judge: j, pos: map[byte]float64{'A': 0}, motion: -1}
		for _, p := range j.planes {
			spots := slices.Clone(p.spots)
			for i := range spots {
				spots[i].now = spots[i].at
			}
			r.planes = append(r.planes, plane{p.x, spots})
		}
		return r
	}
	same := 0
	for same < len(lines) && same < len(j.good) && lines[same] == j.good[same] {
		same++
	}
	at := j.marks[0]
	for _, m := range j.marks {
		if m.from <= same {
			at = m
		}
	}
	r := at.clone(j.last)
	j.last = r.planes
	return r
}

// clone returns a judged program that goes its own way from here, its planes
// in the given ones' place where there are any.
func (r *judged) clone(over []plane) *judged {
	c := *r
	c.pos, c.steps = maps.Clone(r.pos), slices.Clone(r.steps)
	if over == nil {
		over = make([]plane, len(r.planes))
	}
	c.planes = over
	for i, p := range r.planes {
		over[i] = plane{p.x, over[i].spots[:0]}
		if c.only == nil || c.only[i] {
			over[i].spots = append(over[i].spots, p.spots...)
		}
	}
	return &c
}

// line does one line as a plain control would.
func (r *judged) line(line string) string {
	for _, c := range commentForm.FindAllStringSubmatch(line, -1) {
		if m := gearForm.FindStringSubmatch(c[1]); m != nil && r.setup.ByHand {
			r.hand = m[1]
			if !r.placed && mustNumber(m[1]) == 0 {
				r.hand, r.placed = "", true
			}
		}
		for i, form := range toldForms {
			if m := form.FindStringSubmatch(c[1]); m != nil {
				r.told[i] = int(mustNumber(m[1]))
			}
		}
	}
	line = strings.ReplaceAll(commentForm.ReplaceAllString(line, ""), " ", "")
	if line == "" || line == "%" {
		return ""
	}
	if !lineForm.MatchString(line) {
		return "no control reads this"
	}
	axes := map[byte]float64{}
	stop, end := false, false
	for _, w := range wordForm.FindAllStringSubmatch(line, -1) {
		letter, v := w[1][0], mustNumber(w[2])
		switch letter {
		case 'N':
		case 'X', 'Y', 'Z', 'A':
			if _, twice := axes[letter]; twice {
				return "an axis twice in a line"
			}
			axes[letter] = v
		case 'F':
			r.feed = v
			if r.inch {
				r.feed *= 25.4
			}
		case 'S':
			r.speed = v
		case 'T':
			r.tool = int(v)
		case 'H':
			r.offset = int(v)
		case 'G', 'M':
			var h string
			if stop, end, h = r.code(letter, v, stop, end); h != "" {
				return h
			}
		default:
			return "a word of no known meaning"
		}
	}
	if len(axes) > 0 {
		r.before = r.stops
		if h := r.move(axes); h != "" {
			return h
		}
	}
	if stop {
		if h := r.stopped(); h != "" {
			return h
		}
		if r.hand != "" {
			if r.low() {
				return "the gear is turned by hand with the cutter low"
			}
			r.turn(mustNumber(r.hand))
			r.hand, r.placed = "", true
		}
		r.stops++
	}
	r.ended = end
	return ""
}

func mustNumber(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func (r *judged) code(letter byte, v float64, stop, end bool) (bool, bool, string) {
	switch fmt.Sprintf("%c%g", letter, v) {
	case "G0", "G1":
		r.motion = int(v)
	case "G20", "G21":
		r.inch, r.units = v == 20, true
	case "G54":
		r.zero = true
	case "G90", "G91":
		r.plus = v == 91
	case "G17", "G18", "G40", "G80", "G94", "M8", "M9": // no arcs, no cycles: the plane does not matter
	case "M0":
		stop = true
	case "M1": // stops only where a switch says so
	case "M2", "M30":
		end = true
	case "M3":
		r.turns = "CW"
	case "M4":
		r.turns = "CCW"
	case "M5":
		r.turns = ""
	case "M6":
		r.turns = ""
		r.changed()
	case "G43":
		r.offset = -1 // until H
	case "G49":
		r.offset = 0
	default:
		return stop, end, fmt.Sprintf("%c%g does not belong in these programs", letter, v)
	}
	return stop, end, ""
}

// low says that the cutter stands below the highest metal, or nobody knows.
func (r *judged) low() bool {
	z, known := r.pos['Z']
	return !known || z+r.setup.ZShift < r.setup.Top-judgeShy
}

func (r *judged) turn(degrees float64) {
	r.angle = geom.Radians(degrees)
	t := geom.Turn(r.angle)
	for i := range r.planes {
		for k := range r.planes[i].spots {
			s := &r.planes[i].spots[k]
			s.now = t.Apply(s.at)
		}
	}
}

// move does one motion.
func (r *judged) move(axes map[byte]float64) string {
	// A is in degrees whatever the units.
	_, turns := axes['A']
	if turns && len(axes) == 1 && axes['A'] == r.pos['A'] && !r.plus {
		return "" // it stands there already
	}
	if (!turns || len(axes) > 1) && (!r.units || !r.zero) {
		return "units or zero not stated"
	}
	from := map[byte]float64{}
	for k, v := range r.pos {
		from[k] = v
	}
	moved := false
	for letter, v := range axes {
		if r.inch && letter != 'A' {
			v *= 25.4
		}
		if r.plus {
			at, known := r.pos[letter]
			if !known {
				return "a step from a place not known"
			}
			v += at
		}
		moved = moved || letter != 'A' && v != r.pos[letter]
		r.pos[letter] = v
	}
	if r.pos['A'] != from['A'] {
		switch {
		case r.setup.ByHand || !r.setup.Turns:
			return "A is turned where nothing turns"
		case moved || r.motion != 0:
			return "A moves with other axes or at feed"
		case r.low():
			return "A turns with the cutter low"
		}
		r.turn(r.setup.Sign * r.pos['A'])
		return ""
	}
	for i, letter := range []byte("XYZ") {
		v, known := r.pos[letter]
		if t := r.setup.Travel[i]; known && t[0] < t[1] && (v < t[0]-judgeShy || v > t[1]+judgeShy) {
			return "out of travel"
		}
	}
	if h := r.length(); h != "" {
		return h
	}
	if r.motion < 0 || r.motion == 1 && !(r.feed > 0) {
		return "no motion code or no feed"
	}
	for _, letter := range []byte("XYZ") {
		if _, known := from[letter]; !known {
			if _, sideways := axes['Z']; letter == 'Z' && (len(axes) > 1 || !sideways) || r.low() || r.motion == 1 {
				return "moves from a place not known"
			}
			return ""
		}
	}
	tool, ok := r.setup.Tools[r.tool]
	if !ok {
		return "a tool that is not in the job"
	}
	if r.hand != "" {
		return "the gear was to be turned by hand and nothing stops"
	}
	shift := geom.Vec{Z: r.setup.ZShift}
	return r.sweep(&tool, [3]float64{from['X'], from['Y'], from['Z'] + shift.Z}, [3]float64{r.pos['X'], r.pos['Y'], r.pos['Z'] + shift.Z})
}

// sweep takes the tool from a to b. A ramp is taken in short steps.
func (r *judged) sweep(tool *replay.Tool, a, b [3]float64) string {
	if a[2] != b[2] && (a[0] != b[0] || a[1] != b[1]) {
		const steps = 60
		at := func(k int) (p [3]float64) {
			for i := range p {
				p[i] = a[i] + (b[i]-a[i])*float64(k)/steps
			}
			return p
		}
		for k := range steps {
			flat := at(k + 1)
			flat[2] = at(k)[2]
			if h := r.sweep(tool, at(k), flat); h != "" {
				return h
			}
			if h := r.sweep(tool, flat, at(k+1)); h != "" {
				return h
			}
		}
		return ""
	}
	if h := r.boxes(tool, a, b); h != "" {
		return h
	}
	rapid := r.motion == 0
	low, high := min(a[2], b[2]), max(a[2], b[2])
	reach := 0.0
	for _, p := range tool.Parts {
		if low+p.Z0 < r.setup.Top {
			reach = max(reach, p.R0, p.R1)
		}
	}
	left, right := min(a[1], b[1])-reach, max(a[1], b[1])+reach
	cut := false
	for i := range r.planes {
		p := &r.planes[i]
		if p.x < min(a[0], b[0])-reach || p.x > max(a[0], b[0])+reach {
			continue
		}
		box := geom.EmptyBox()
		for k := range p.spots {
			s := &p.spots[k]
			if s.gone || s.now.Z < low || s.now.Y < left || s.now.Y > right {
				continue
			}
			d := planDistance(p.x, s.now.Y, a, b)
			for n := range tool.Parts {
				part := &tool.Parts[n]
				shy := 0.0
				if rapid || !part.Cuts {
					shy = judgeShy
				}
				if !inPart(part, d, s.now.Z, low, high, shy) {
					continue
				}
				switch {
				case !part.Cuts:
					return fmt.Sprintf("the %s of tool %d meets metal at X %.3f", part.Name, tool.Number, p.x)
				case rapid:
					return fmt.Sprintf("rapid through metal at X %.3f", p.x)
				case s.keep:
					return fmt.Sprintf("cut into what must stay at X %.3f", p.x)
				}
				s.gone, cut = true, true
				box = box.Grow(s.now)
				break
			}
		}
		sideways := a[0] != b[0] || a[1] != b[1]
		if along := math.Abs(b[0]-a[0]) > math.Abs(b[1]-a[1]); sideways && along && tool.MaxDepth > 0 &&
			box.Hi.Z-box.Lo.Z > tool.MaxDepth+judgeGrid && box.Hi.Y-box.Lo.Y > tool.Diameter/4+judgeGrid {
			return "a pass far too deep"
		}
	}
	if !cut {
		return ""
	}
	return r.cutting(tool, a, b)
}

// cutting looks at a motion that takes metal.
func (r *judged) cutting(tool *replay.Tool, a, b [3]float64) string {
	s := r.setup
	switch {
	case r.turns != "CW" || !(r.speed > 0):
		return "cuts without a turning spindle"
	case s.MaxRpm > 0 && r.speed > s.MaxRpm+1 || s.MinRpm > 0 && r.speed < s.MinRpm-1 || tool.MaxRpm > 0 && r.speed > tool.MaxRpm*1.001:
		return "spindle speed out of range"
	case s.MaxFeed > 0 && r.feed > s.MaxFeed*1.001 || tool.MaxFeed > 0 && r.feed > tool.MaxFeed*1.001:
		return "fed too fast"
	case tool.MaxChip > 0 && tool.Teeth > 0 && r.feed > 1.001*tool.MaxChip*r.speed*float64(tool.Teeth):
		return "too thick a chip"
	case tool.NoPlunge && b[2] < a[2]:
		return "plunges with a cutter that cannot"
	}
	return ""
}

// planDistance is the distance, seen from above, of (x, y) from the path.
func planDistance(x, y float64, a, b [3]float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = max(0, min(1, ((x-a[0])*dx+(y-a[1])*dy)/l))
	}
	return math.Hypot(x-a[0]-t*dx, y-a[1]-t*dy)
}

// inPart says that a point d from the axis, at height z, lies in the part
// while the tip goes from low to high.
func inPart(p *replay.Part, d, z, low, high, shy float64) bool {
	if z <= low+p.Z0+shy || z >= high+p.Z1-shy || d >= max(p.R0, p.R1)-shy {
		return false
	}
	// The widest the part is at this height, over the tip's heights.
	for _, h := range []float64{z - low, z - high, p.Z0, p.Z1} {
		if h < p.Z0 || h > p.Z1 || h < z-high || h > z-low {
			continue
		}
		if d < p.R0+(p.R1-p.R0)*(h-p.Z0)/(p.Z1-p.Z0)-shy {
			return true
		}
	}
	return false
}

// boxes looks for keep-outs, by steps along the path.
func (r *judged) boxes(tool *replay.Tool, a, b [3]float64) string {
	low := min(a[2], b[2]) - r.setup.ZShift
	high := max(a[2], b[2]) - r.setup.ZShift
	for _, k := range r.setup.KeepOuts {
		for _, p := range tool.Parts {
			if low+p.Z0 >= k.Z[1]-judgeShy || high+p.Z1 <= k.Z[0]+judgeShy {
				continue
			}
			const steps = 100
			for n := range steps + 1 {
				t := float64(n) / steps
				x, y := a[0]+(b[0]-a[0])*t, a[1]+(b[1]-a[1])*t
				dx := max(k.X[0]-x, x-k.X[1], 0)
				dy := max(k.Y[0]-y, y-k.Y[1], 0)
				if math.Hypot(dx, dy) < min(p.R0, p.R1)-judgeShy {
					return fmt.Sprintf("into the keep-out %s", k.Name)
				}
			}
		}
	}
	return ""
}
