package replay

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"

	"cogmend/gcode"
	"cogmend/gcode/machine"
)

// Saying is one thing a program says to the operator: a comment, or a stop.
type Saying struct {
	Line int    // of the program, from 1
	Text string // of the comment; "" for a stop
}

// Sayings returns what a program says, in its order.
func Sayings(text io.Reader, file string) ([]Saying, error) {
	var out []Saying
	err := machine.New(file).Run(text, func(e *machine.Event) error {
		out = said(out, e)
		return nil
	})
	return out, err
}

// said adds what an event says to the list.
func said(list []Saying, e *machine.Event) []Saying {
	switch e.Kind {
	case machine.EventComment, machine.EventMessage:
		for _, text := range e.Comments() {
			list = append(list, Saying{e.Line, text})
		}
	case machine.EventStop:
		if e.Code != 1 {
			return append(list, Saying{e.Line, ""})
		}
	}
	return list
}

// meaning is what a changed comment of a kind would make happen.
type meaning struct {
	begins *regexp.Regexp
	then   string
}

var meanings = []meaning{
	{regexp.MustCompile(`^Zero: `), "the work would be set to another zero"},
	{regexp.MustCompile(`^(Tool T[0-9]+|T[0-9]+ |Put in T)`), "another cutter would be put in"},
	{regexp.MustCompile(`^Touch off `), "a cutter's length would be found in another way"},
	{regexp.MustCompile(`^Set-up: `), "another piece would be set up"},
	{regexp.MustCompile(`^Units: `), "the control would be told of another unit"},
	{regexp.MustCompile(`^Stop the spindle`), "hands would go to a turning spindle"},
	{regexp.MustCompile(`^Set the spindle`), "the spindle would be set to another speed"},
	{regexp.MustCompile(`^(GEAR AT |From the gap|turn the crank|turn the gear's top|move its top|Unclamp|Set the stops|Level the gear|leave it there)`), "the gear would be set to another angle"},
	{regexp.MustCompile(`^(MEASURE|Step [0-9]+)`), "another step would be tried or measured"},
	{regexp.MustCompile(`^(DO NOT|CAUTION: |Look for cracks)`), "a warning that must be heeded would not be read"},
	{regexp.MustCompile(`^(Gear on its arbor|Support the rim|Block in the vice|Clamp)`), "the work would be held in another way"},
	{regexp.MustCompile("^" + regexp.QuoteMeta(gcode.OnceMore)), "what the cutter sprang away from would stay"},
	{regexp.MustCompile(`^Job file's fingerprint`), "nobody could tell of which state of the job the program is"},
}

// toHands are the words of things a hand does at a machine. A comment that has one
// and is none of the job's own tells a hand what the job does not.
var toHands = regexp.MustCompile(`(?i)\b(zero|datum|touch|tool|cutter|drill|turn|rotate|index|crank|holes?|circle|move|raise|lower|lift|shift|slide|set|reset|put|take|swap|change|replace|fit|mount|remove|clamp|unclamp|loosen|slacken|tighten|lock|unlock|jog|open|press|switch|start|restart|stop|skip|override|spindle|speed|feed|vice|table|knee|quill|stops?|packing|shim|tooth|teeth|face|side|over|round|mm|inch|degrees?|deg|rpm)\b|[XYZAT] ?-?[0-9]`)

// ofNobody begins the comments that tell a hand nothing, whatever words they have.
var ofNobody = regexp.MustCompile(`^(Job: |Minutes expected)`)

// others returns, for each of a program's comments, what it would make happen where
// the job's own does not say it.
func others(list []Saying) []string {
	out := meant(list)
	for i, s := range list {
		if out[i] == "" && toHands.MatchString(s.Text) && !ofNobody.MatchString(s.Text) {
			out[i] = "a hand would do what the job does not ask"
		}
	}
	return out
}

// meant returns, for each of the comments, what a change of it would make
// happen; "" where it is of no consequence. A comment too long for its line goes
// on in the next ones, which mean the same.
func meant(list []Saying) []string {
	out := make([]string, len(list))
	for i, s := range list {
		for _, m := range meanings {
			if m.begins.MatchString(s.Text) {
				out[i] = m.then
			}
		}
		if out[i] == "" && i > 0 && s.Text != "" && list[i-1].Text != "" && goesOn(list[i-1].Text, s.Text) {
			out[i] = out[i-1]
		}
	}
	return out
}

func goesOn(before, text string) bool {
	first := rune(text[0])
	return !strings.HasSuffix(before, ".") && (unicode.IsLower(first) || unicode.IsDigit(first) || first == '[')
}

// mostDiffered bounds the work of comparing: longer differing stretches are told
// line by line.
const mostDiffered = 2000

// compare lists where a program says something else than the job's program, and
// finds what changes what a hand does.
func (r *runner) compare(said []Saying) {
	want := r.setup.Said
	if len(want) == 0 {
		return
	}
	wantMeans, saidMeans := meant(want), others(said)
	for _, h := range differing(want, said) {
		halts := false // it stops where the job's program does not
		for _, s := range said[h.saidFrom:h.saidTo] {
			halts = halts || s.Text == ""
		}
		line := 1
		if h.saidFrom > 0 {
			line = said[h.saidFrom-1].Line
		}
		for k := range max(h.wantTo-h.wantFrom, h.saidTo-h.saidFrom) {
			i, j := h.wantFrom+k, h.saidFrom+k
			var should, does, then string
			if i < h.wantTo {
				should, then = want[i].Text, wantMeans[i]
			}
			if j < h.saidTo {
				does, line = said[j].Text, said[j].Line
				if then == "" {
					then = saidMeans[j]
				}
				if then == "" && halts && does != "" {
					then = "whoever stands at the stop after it may do what the job does not ask"
				}
			}
			r.differs(line, i < h.wantTo, j < h.saidTo, should, does, then)
		}
	}
}

// differs tells of one place.
func (r *runner) differs(line int, hasWant, hasSaid bool, should, does, then string) {
	if hasWant && hasSaid && isFingerprint(should) && isFingerprint(does) {
		return // of another state of the job, which the report has
	}
	var text string
	switch {
	case hasWant && hasSaid && should == "":
		text = fmt.Sprintf("says %q where the job's program stops", does)
		then = "what is to be done by hand at that stop would not be done"
	case hasWant && hasSaid && does == "":
		text = fmt.Sprintf("stops where the job's program says %q", should)
	case hasWant && hasSaid:
		text = fmt.Sprintf("says %q where the job's program says %q", does, should)
	case hasWant && should == "":
		text = "lacks a stop of the job's program"
		then = "what is to be done by hand at that stop would not be done"
	case hasWant:
		text = fmt.Sprintf("does not say %q", should)
	case does == "":
		text, then = "stops where the job's program does not", ""
	default:
		text = fmt.Sprintf("says %q, which the job's program does not", does)
	}
	if then == "" {
		r.report.Differs = append(r.report.Differs, fmt.Sprintf("line %d: %s", line, text))
		return
	}
	r.find(OtherWords, line, 0, text, "the program %s: %s", text, then)
}

func isFingerprint(text string) bool {
	o, err := gcode.ReadOrder(text)
	return err == nil && o.Kind == gcode.OfJob
}

// hunk is a stretch in which two lists differ, as ranges of both.
type hunk struct{ wantFrom, wantTo, saidFrom, saidTo int }

// differing returns where two lists of sayings differ, by the longest list that
// both have in them.
func differing(a, b []Saying) []hunk {
	lo := 0
	for lo < len(a) && lo < len(b) && a[lo].Text == b[lo].Text {
		lo++
	}
	ha, hb := len(a), len(b)
	for ha > lo && hb > lo && a[ha-1].Text == b[hb-1].Text {
		ha--
		hb--
	}
	n, m := ha-lo, hb-lo
	if n == 0 && m == 0 {
		return nil
	}
	if n > mostDiffered || m > mostDiffered {
		return []hunk{{lo, ha, lo, hb}}
	}
	// common[i][j] is the length of the longest common list of what follows.
	common := make([][]int32, n+1)
	for i := range common {
		common[i] = make([]int32, m+1)
	}
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			if a[lo+i].Text == b[lo+j].Text {
				common[i][j] = common[i+1][j+1] + 1
			} else {
				common[i][j] = max(common[i+1][j], common[i][j+1])
			}
		}
	}
	var out []hunk
	i, j := 0, 0
	for i < n || j < m {
		from := hunk{lo + i, lo + i, lo + j, lo + j}
		for (i < n || j < m) && !(i < n && j < m && a[lo+i].Text == b[lo+j].Text) {
			if j == m || i < n && common[i+1][j] >= common[i][j+1] {
				i++
			} else {
				j++
			}
		}
		from.wantTo, from.saidTo = lo+i, lo+j
		if from.wantTo > from.wantFrom || from.saidTo > from.saidFrom {
			out = append(out, from)
		}
		for i < n && j < m && a[lo+i].Text == b[lo+j].Text {
			i++
			j++
		}
	}
	return out
}
