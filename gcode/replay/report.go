package replay

import (
	"fmt"
	"slices"
	"sort"
)

// Kind says what a finding is about.
type Kind string

// The findings.
const (
	CutNeighbour Kind = "neighbour cut"
	CutTarget    Kind = "target cut"
	MetalLeft    Kind = "metal left"
	NotFlutes    Kind = "shank or neck in metal"
	RapidInMetal Kind = "rapid through metal"
	OutOfTravel  Kind = "out of travel"
	TurnedLow    Kind = "gear turned with the cutter low"
	NoFeed       Kind = "feed"
	NoSpeed      Kind = "spindle"
	TooDeep      Kind = "too deep a pass"
	InKeepOut    Kind = "keep-out"
	WrongTool    Kind = "tool"
	Unplaced     Kind = "place not known"
	NoStop       Kind = "stop missing"
	ChangedLow   Kind = "tool changed with the cutter low"
	WrongStep    Kind = "step"
	StopLow      Kind = "stopped with the cutter low"
	TooNear      Kind = "too near a sound tooth"
	OtherWords   Kind = "other words than the job's"
	WrongWay     Kind = "cut the wrong way"
	RapidNear    Kind = "rapid too near metal"
)

// Finding is one thing that must not be.
type Finding struct {
	Kind   Kind    // what kind of harm it is
	Line   int     // of the program; 0: of the whole
	Amount float64 // mm, where the kind has one; the worst of its line
	Where  string  // zone, solid, axis or what else tells it from others of its kind
	Text   string  // what would happen, one sentence
	Form   string  // that sentence before its sizes were put in: alike for findings of one cause
}

// Left is what stays on one zone of the target.
type Left struct {
	Zone   string  // its name
	Amount float64 // mm, greatest distance from the target, outside of what is to be filed
	Filed  float64 // mm, greatest within what is to be filed
	Limit  float64 // mm: what may be left there
	X      float64 // station of the greatest amount
	Radius float64 // its distance from the axis, mm
	High   bool    // Amount is a height over the tip circle
}

// Report is what the replay of one program found.
type Report struct {
	File     string    // name of the program
	Findings []Finding // by line, then kind
	Dropped  int       // further findings not kept

	Fingerprint string // of the job the program says it was written from; "" when it does not

	NeighbourCut float64 // mm, deepest
	TargetCut    float64 // mm, deepest
	Left         []Left  // by zone

	Motions, Stops int
	Minutes        float64  // all of it
	Least          Least    // what could not be done without
	NotChecked     []string // what the replay cannot judge, one sentence each

	// Differs lists what the program says differently from the job's own, where
	// that changes nothing a hand does.
	Differs []string
}

// Clean says that nothing was found.
func (r *Report) Clean() bool { return len(r.Findings) == 0 }

// Verdict is the report in a few words.
func (r *Report) Verdict() string {
	if r.Clean() {
		return "clean"
	}
	if n := len(r.Findings) + r.Dropped; n > 1 {
		return fmt.Sprintf("%d findings", n)
	}
	return "1 finding"
}

// maxFindings bounds the report: a wholly wrong program has thousands.
const maxFindings = 200

// add keeps a finding, the worst for its kind, line and place.
func (r *Report) add(f Finding) {
	for i := len(r.Findings) - 1; i >= 0 && r.Findings[i].Line == f.Line; i-- {
		g := &r.Findings[i]
		if g.Kind == f.Kind && g.Where == f.Where {
			if f.Amount > g.Amount {
				*g = f
			}
			return
		}
	}
	if len(r.Findings) >= maxFindings {
		r.Dropped++
		return
	}
	r.Findings = append(r.Findings, f)
}

func (r *Report) sort() {
	sort.SliceStable(r.Findings, func(i, j int) bool {
		a, b := r.Findings[i], r.Findings[j]
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Kind < b.Kind
	})
}

// notChecked is what no replay of sections can know.
var notChecked = []string{
	"that the work is clamped, and that clamps, vice and dividing head stand where the job says",
	"that zeros, tool lengths and the gear's angle were set as the head of the program says",
	"runout, wear and spring of cutter, work and machine",
	"cracks, blow holes and hard spots in the casting",
}

// notChecked is what cannot be known of this set-up.
func (s *Setup) notChecked() []string {
	list := slices.Clone(notChecked)
	for i, t := range s.Travel {
		if !(t[0] < t[1]) {
			list = append(list, fmt.Sprintf("whether the machine's travel along %c is enough: the job gives none", "XYZ"[i]))
		}
	}
	return list
}
