package repair

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/post"
)

// randomJobs is how many jobs are tried with CI=true, and fewRandomJobs without;
// COGMEND_SOAK tries as many as it says, from number COGMEND_SOAK_FROM on.
const (
	randomJobs    = 300
	fewRandomJobs = 120
)

// mostFaults is how many faults are told of.
const mostFaults = 10

// slowJob is when a job counts as hung.
const slowJob = 2 * time.Minute

// jobTexts draws job files: small-shop gears with cutters that suit the tooth,
// and every switch of the machine. One in five is drawn wildly.
var jobTexts = rapid.Custom(func(t *rapid.T) string {
	w := &jobWriter{t: t}
	w.wild = w.chance("wild", 5)
	w.line("format = 1")
	w.line("units = %q", w.pick("units", "mm", "mm", "inch"))
	w.module = w.num("module", 1.5, 6, 0.25)
	w.gear()
	w.slot()
	w.insert()
	w.fit()
	w.lock()
	w.facets()
	w.index()
	w.machine()
	w.cutters()
	if w.chance("keepout", 8) {
		w.line("[keepout.jaws]\nsetup = \"insert\"\nx = [\"-40 mm\", \"60 mm\"]\ny = [\"-60 mm\", \"60 mm\"]\nz = [\"-80 mm\", \"-%g mm\"]", w.num("jaws", 3, 6, 0.25)*w.module)
	}
	return w.otherForm(w.b.String())
})

// jobWriter writes one job file.
type jobWriter struct {
	t      *rapid.T
	b      strings.Builder
	wild   bool
	module float64
	teeth  int
	first  float64 // where the first standing tooth beside the gap is, in pitches
	apart  int     // the other tooth that is missing; 0: none
	face   float64
	rim    float64 // metal under the root, mm
}

func (w *jobWriter) line(format string, args ...any) { fmt.Fprintf(&w.b, format+"\n", args...) }

// num draws a multiple of step.
func (w *jobWriter) num(name string, lo, hi, step float64) float64 {
	n := rapid.IntRange(0, int(math.Round((hi-lo)/step))).Draw(w.t, name)
	return tidy(lo + float64(n)*step)
}

func tidy(v float64) float64 { return math.Round(v*1e4) / 1e4 }

func (w *jobWriter) pick(name string, from ...string) string {
	return rapid.SampledFrom(from).Draw(w.t, name)
}

// chance is true once in n times.
func (w *jobWriter) chance(name string, n int) bool {
	return rapid.IntRange(1, n).Draw(w.t, name) == 1
}

// length writes a key in millimetres once in n times.
func (w *jobWriter) length(key string, n int, lo, hi, step float64) {
	if w.chance("give "+key, n) {
		w.line("%s = \"%g mm\"", key, w.num(key, lo, hi, step))
	}
}

// margin is length for a margin of the job's own, which now and then lies at an end
// of its range.
func (w *jobWriter) margin(table, key string, n int, lo, hi, step float64) {
	if !w.chance("end of "+key, 16) {
		w.length(key, n, lo, hi, step)
		return
	}
	k := job.KeyAt(table + "." + key)
	end := k.Low
	if w.chance("greatest "+key, 2) {
		end = k.High
	}
	w.line("%s = \"%g mm\"", key, end)
}

// wildLength is length for what seldom suits the rest of the job.
func (w *jobWriter) wildLength(key string, lo, hi, step float64) {
	if w.wild {
		w.length(key, 2, lo, hi, step)
	}
}

func (w *jobWriter) gear() {
	m := w.module
	teeth := rapid.IntRange(12, 110).Draw(w.t, "teeth")
	w.teeth = teeth
	w.line("[gear]\nteeth = %d\nmodule = %g", teeth, m)
	w.line("pressure_angle = %s", w.pick("pressure", "20", "20", "14.5", "25"))
	if teeth < 18 || w.chance("shifted", 4) {
		w.line("profile_shift = %g", w.num("shift", 0, 0.3, 0.05))
	}
	w.length("thinning", 3, 0, 0.05*m, 0.01)
	w.length("neighbour_thinning", 3, 0, 0.05*m, 0.01)
	w.face = w.num("face", 12, 70, 1)
	w.line("face = \"%g mm\"", w.face)
	rf := m * (float64(teeth)/2 - 1.25)
	inner := max(1, rf-m*w.num("rim", 4, 7, 0.5))
	bore := tidy(max(1, inner*w.num("bore share", 0.3, 1.8, 0.1)))
	if w.chance("spokes", 3) {
		w.line("rim_inner = \"%g mm\"", tidy(2*inner))
		bore = min(bore, tidy(inner))
	} else {
		inner = bore / 2
	}
	w.line("bore = \"%g mm\"", bore)
	w.rim = rf - inner
	w.first = 1
	switch w.pick("missing", "one", "one", "one", "two", "three", "apart") {
	case "two":
		w.line("missing = 2")
		w.first = 1.5
	case "three":
		w.line("missing = 3")
		w.first = 2
	case "apart":
		w.apart = rapid.IntRange(2, teeth-2).Draw(w.t, "apart")
		w.line("missing_at = [0, %d]", w.apart)
	}
	w.line("zero = %q", w.pick("zero", "neighbours", "axis", "tip"))
}

func (w *jobWriter) slot() {
	w.line("[slot]")
	w.margin("slot", "seat_below", 2, 0, 0.3, 0.05)
	w.margin("slot", "deeper", 3, 0, 0.2, 0.05)
	w.margin("slot", "seat_play", 3, 0.02, 0.3, 0.02)
	w.margin("slot", "stub", 3, 0, 1.5*w.module, 0.1)
	w.margin("slot", "radial_cut", 3, 0.05, 0.4, 0.05)
	w.margin("slot", "finish_cut", 3, 0, 0.2, 0.05)
	w.wildLength("depth", w.module, 2*w.module, 0.1)
}

func (w *jobWriter) insert() {
	w.line("[insert]")
	w.margin("insert", "over", 3, 0, 9, 0.25)
	w.margin("insert", "top_cut", 3, 0, 2, 0.1)
	w.margin("insert", "oversize", 4, 0.25, 0.8, 0.05)
	w.length("block_width", 10, 3*w.module, 6*w.module, 0.5)
	w.wildLength("body", 2*w.module, 3.2*w.module, 0.1)
	w.wildLength("over_jaws", 5, 25, 1)
}

func (w *jobWriter) fit() {
	w.line("[fit]")
	w.margin("fit", "tight_middle", 3, 0, 0.12, 0.01)
	w.margin("fit", "lead", 4, 1, 0.4*w.face, 0.5)
	w.wildLength("trial_length", 1, 8, 0.5)
	w.margin("fit", "trial_first", 5, -0.05, 0.12, 0.01)
	w.margin("fit", "trial_step", 5, 0.005, 0.05, 0.005)
	count := rapid.IntRange(1, 10).Draw(w.t, "trials")
	w.line("trial_count = %d", count)
	if !w.chance("no step", 4) {
		w.line("step = %d", rapid.IntRange(1, count).Draw(w.t, "step"))
	}
}

func (w *jobWriter) lock() {
	kind := w.pick("lock", "none", "pin", "screw")
	switch {
	case kind == "pin":
		w.line("[lock]\nkind = \"pin\"\ndiameter = \"%s mm\"", w.pick("pin", "2", "2.5", "3"))
	case kind == "screw" && w.module >= 2.5:
		w.line("[lock]\nkind = \"screw\"\nthread = %q", w.pick("thread", "M3", "M4"))
		w.line("draw = \"%g mm\"", w.num("draw", -0.2, 0.2, 0.1))
	default:
		return
	}
	w.wildLength("point_depth", 1, 8, 0.5)
	if w.chance("positions", 3) {
		w.line("positions = [\"%g mm\", \"%g mm\"]", tidy(w.face*w.num("first", 0.3, 0.4, 0.02)), tidy(w.face*w.num("second", 0.6, 0.7, 0.02)))
	}
}

func (w *jobWriter) facets() {
	w.line("[flush]")
	w.margin("flush", "leave", 3, 0, 1, 0.05)
	w.line("[facets]")
	if w.chance("count", 3) {
		w.line("count = %d", rapid.IntRange(1, 6).Draw(w.t, "facets"))
	} else {
		w.line("tolerance = \"%g mm\"", w.num("tolerance", 0.005, 0.1, 0.005))
	}
	w.line("lean = %q\ncut = %q", w.pick("lean", "proud", "even"), w.pick("cut", "conventional", "climb"))
	w.margin("facets", "clearance", 3, 0.05, 0.5, 0.05)
	w.margin("facets", "root_step", 3, 0.03, 0.3, 0.01)
}

func (w *jobWriter) index() {
	device := w.pick("device", "rotary", "rotary", "rotary", "head", "teeth")
	w.line("[index]\ndevice = %q", device)
	switch device {
	case "head":
		w.line("ratio = %s", w.pick("ratio", "40", "60", "90"))
		if w.chance("scale", 3) {
			w.line("graduation = \"%s deg\"", w.pick("graduation", "0.05", "0.1", "0.5"))
		}
	case "teeth":
		w.line("half_tooth = %t", w.chance("half", 2))
	}
}

func (w *jobWriter) machine() {
	w.line("[machine]")
	for _, flag := range []string{"cycles", "length_comp", "coolant", "line_numbers", "percent_lines", "messages", "end_m30", "crlf", "hand_speed"} {
		if w.chance(flag, 5) {
			w.line("%s = true", flag)
		}
	}
	if w.chance("no tool words", 6) {
		w.line("tool_words = false")
	}
	w.line("rotary_sign = %s", w.pick("sign", "1", "-1"))
	w.line("max_rpm = %s", w.pick("rpm", "1500", "3000", "6000", "24000"))
	w.line("max_feed = \"%s mm/min\"", w.pick("feed", "120", "500", "1500"))
	w.margin("machine", "safe_height", 3, 1, 20, 1)
	if w.chance("decimals", 6) {
		w.line("decimals = %s", w.pick("how many decimals", "4", "6")) // 4: fewer than usual in inches
	}
}

// cutters writes the tools; numbers run from 1.
func (w *jobWriter) cutters() { w.forInsert(w.mills()) }

// mills writes the end mills, and returns the last number.
func (w *jobWriter) mills() (number int) {
	m := w.module
	mill := func(d, reach float64) {
		number++
		w.line("[cutter.end%d]\nnumber = %d\ndiameter = \"%g mm\"\nmaterial = %q", number, number, tidy(d), w.pick("mill", "carbide", "high speed steel"))
		if w.chance("neck", 2) {
			w.line("flute_length = \"%g mm\"\nneck = \"%g mm\"\nneck_length = \"%g mm\"", tidy(d*w.num("flutes", 1.5, 3, 0.5)), tidy(0.95*d), tidy(max(reach, 3*d)))
		} else {
			w.line("flute_length = \"%g mm\"", tidy(max(reach, d)))
		}
		w.line("shank = \"%g mm\"", tidy(d*w.num("shank", 1, 2, 0.5)))
		w.line("stick_out = \"%g mm\"", tidy(max(reach, 3*d)+w.num("out", 1, 15, 1)))
		w.line("holder = \"%g mm\"", w.num("holder", 20, 40, 4))
	}
	mill(m*w.num("size", 0.8, 1.25, 0.05), m*w.num("reach", 4, 6, 0.5))
	if !w.chance("no thin mill", 4) {
		mill(m*w.num("thin", 0.3, 0.7, 0.05), m*w.num("thin reach", 4, 6, 0.5))
	}
	if !w.chance("no thick mill", 6) { // the insert's sides and ends
		number++
		d := tidy(m * w.num("thick", 1.5, 2.5, 0.1))
		reach := tidy(m * w.num("thick reach", 5.5, 8, 0.5))
		w.line("[cutter.end%d]\nnumber = %d\ndiameter = \"%g mm\"\nflute_length = \"%g mm\"\nstick_out = \"%g mm\"", number, number, d, reach, reach+w.num("thick out", 1, 15, 1))
	}
	return number
}

// forInsert writes the tools that only an insert needs.
func (w *jobWriter) forInsert(number int) {
	m := w.module
	number++
	tip, high := tidy(m*w.num("tip", 0.9, 1.25, 0.05)), tidy(m*w.num("flank", 1.7, 2.3, 0.1))
	if w.wild {
		tip, high = tidy(m*w.num("wild tip", 1, 2, 0.05)), tidy(m*w.num("wild flank", 1.2, 2.6, 0.1))
	}
	w.line("[cutter.dove]\nkind = \"dovetail\"\nnumber = %d\ndiameter = \"%g mm\"\nangle = %s\nflank_height = \"%g mm\"", number, tip, w.pick("angle", "15", "15", "12", "20"), high)
	w.line("neck_length = \"%g mm\"\nstick_out = \"%g mm\"\nsingle_point = %t", tidy(high+3*m), tidy(high+3*m+w.num("dove out", 2, 16, 1)), w.chance("single", 2))
	for _, d := range []float64{2, 2.5, 3, 3.3, 3.5, 4, 4.2} {
		number++
		flutes := math.Ceil(w.rim + m*w.num("drill", 8, 14, 1))
		w.line("[cutter.drill%d]\nkind = \"drill\"\nnumber = %d\ndiameter = \"%g mm\"\nflute_length = \"%g mm\"\nstick_out = \"%g mm\"", number, number, d, flutes, flutes+5)
	}
}

// tryJob makes one random job and says how it ended; fault is "" when well.
func tryJob(text string) (outcome, fault string) {
	defer func() {
		if p := recover(); p != nil {
			fault = fmt.Sprintf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	j, err := job.Decode("random.toml", []byte(text), nil)
	if err != nil {
		return "job refused", oddText(err.Error())
	}
	m, err := Make(j)
	var no *toolpath.Refusal
	switch {
	case errors.As(err, &no):
		if len(no.Reasons) == 0 {
			return "", "refused without a reason"
		}
		return "plan refused", oddText(err.Error())
	case err != nil:
		return "", err.Error()
	}
	for i, p := range m.Programs {
		if !p.Written() {
			continue
		}
		file := m.Plan.Programs[i].File()
		if p.Err != nil {
			return "", fmt.Sprintf("%s cannot be read: %v", file, p.Err)
		}
		r := p.Result.Report
		for n, f := range r.Findings {
			if n < 4 {
				fault += fmt.Sprintf("%s:%d: %s: %s\n", file, f.Line, f.Kind, f.Text)
			}
		}
		if most := replay.CutLimit + j.Rounding(); r.NeighbourCut > most || r.TargetCut > most {
			fault += fmt.Sprintf("%s: neighbour %.4f, target %.4f cut\n", file, r.NeighbourCut, r.TargetCut)
		}
		for _, l := range r.Left {
			if math.IsNaN(l.Amount+l.Filed+l.Limit) || math.IsInf(l.Amount+l.Filed, 0) {
				fault += fmt.Sprintf("%s: %+v\n", file, l)
			}
		}
		if bad := r.Minutes; math.IsNaN(bad) || math.IsInf(bad, 0) || bad <= 0 {
			fault += fmt.Sprintf("%s: %g minutes\n", file, bad)
		}
		fault += oddText(string(p.Text))
		var again bytes.Buffer
		if err := post.Write(&again, m.Plan, p.Program, post.Options{}); err != nil || !bytes.Equal(again.Bytes(), p.Text) {
			fault += fmt.Sprintf("%s: written again it differs, error %v\n", file, err)
		}
	}
	return "made", fault
}

// oddText finds numbers that are none.
func oddText(s string) string {
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" \n\r\t,;:()", r) }) {
		if word == "NaN" || strings.HasSuffix(word, "+Inf") || strings.HasSuffix(word, "-Inf") {
			return fmt.Sprintf("%q in text\n", word)
		}
	}
	return ""
}

// TestRandomJobs: a job is refused with reasons, or planned, written, read
// and replayed clean; never a panic, a hang or a number that is none.
func TestRandomJobs(t *testing.T) {
	n, first := fewRandomJobs, 0
	if os.Getenv("CI") == "true" {
		n = randomJobs
	}
	if s := os.Getenv("COGMEND_SOAK"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatalf("COGMEND_SOAK: %v", err)
		}
		first = randomJobs // other jobs than the short test's
		if s := os.Getenv("COGMEND_SOAK_FROM"); s != "" {
			if first, err = strconv.Atoi(s); err != nil {
				t.Fatalf("COGMEND_SOAK_FROM: %v", err)
			}
		}
	} else if testing.Short() {
		n = 20
	}
	count := map[string]int{}
	var slowest time.Duration
	faults := 0
	var mutex sync.Mutex
	sideBySide(n, func(i int) {
		text := randomText(first + i)
		watch := time.AfterFunc(slowJob, func() { panic(fmt.Sprintf("random job %d hangs:\n%s", first+i, text)) })
		start := time.Now()
		outcome, fault := tryJob(text)
		watch.Stop()
		mutex.Lock()
		defer mutex.Unlock()
		slowest = max(slowest, time.Since(start))
		count[outcome]++
		if fault == "" || faults == mostFaults {
			return
		}
		faults++
		t.Errorf("random job %d: %s\n%s", first+i, fault, text)
	})
	t.Logf("%d jobs: %v, slowest %v", n, count, slowest)
	if count["made"] < n/10 {
		t.Errorf("only %d of %d jobs were made: the draw is no test", count["made"], n)
	}
}

// TestOddJobs: jobs that once were planned and then failed the check are made
// clean, or refused for what cannot be. The jobs are our own.
func TestOddJobs(t *testing.T) {
	const (
		gear15   = "teeth = 15\nmodule = 3.5\nprofile_shift = 0.05\npressure_angle = 20\nface = 22\nbore = 1.8\nmissing = 2"
		gear16   = "teeth = 16\nmodule = 3.5\nprofile_shift = 0.3\npressure_angle = 20\nface = 16\nbore = 1\nmissing_at = [0, 2]"
		gear30   = "teeth = 30\nmodule = 3.5\npressure_angle = 20\nface = 16\nbore = 20"
		gear74   = "teeth = 74\nmodule = 3.75\npressure_angle = 20\nface = \"21 mm\"\nbore = \"45.375 mm\""
		gear107  = "teeth = 107\nmodule = 1.5\npressure_angle = 14.5\nface = 20\nbore = 54"
		gear110  = "teeth = 110\nmodule = 3.5\npressure_angle = 20\nface = 16\nbore = 180\nmissing = 2"
		gear12   = "teeth = 12\nmodule = 2.25\npressure_angle = 20\nface = 13\nbore = 1\nmissing_at = [0, 10]"
		gear12x2 = "teeth = 12\nmodule = 5.25\npressure_angle = 25\nprofile_shift = 0.3\nface = 12\nbore = 1\nmissing = 2"
		gear13   = "teeth = 13\nmodule = 4.75\npressure_angle = 20\nface = 19\nrim_inner = 7.125\nbore = 3.5625\nmissing_at = [0, 9]"
		gear13x3 = "teeth = 13\nmodule = 5.75\npressure_angle = 25\nprofile_shift = 0.15\nneighbour_thinning = 0.09\nface = 13\nbore = 1\nmissing = 3"
		gear16x2 = "teeth = 16\nmodule = 1.75\npressure_angle = 20\nthinning = 0.03\nface = 70\nrim_inner = 6.125\nbore = 2.1438"
		gear17   = "teeth = 17\nmodule = 5.5\npressure_angle = 20\nprofile_shift = 0.1\nthinning = 0.12\nface = 15\nbore = 11.1375"
		gear19   = "teeth = 19\nmodule = 4.5\npressure_angle = 20\nface = 35\nbore = 2.25"
		gear22   = "teeth = 22\nmodule = 2.75\npressure_angle = 14.5\nprofile_shift = 0.15\nface = 14\nbore = 28.4625"
		gear44   = "teeth = 44\nmodule = 1.5\npressure_angle = 25\nprofile_shift = 0.3\nface = 21\nbore = 11.4\nmissing = 3"
		gear103  = "teeth = 103\nmodule = 2\npressure_angle = 14.5\nface = 30\nbore = 105"
		gear55   = "teeth = 55\nmodule = 1.75\npressure_angle = 14.5\nface = 50\nbore = 38.9375"
		gear77   = "teeth = 77\nmodule = 1.5\npressure_angle = 20\nface = 64\nbore = 14.7375"
		gear100  = "teeth = 100\nmodule = 3.25\npressure_angle = 25\nface = \"18 mm\"\nrim_inner = \"277.875 mm\"\nbore = \"69.4688 mm\""
		gear106  = "teeth = 106\nmodule = 6\npressure_angle = 25\nface = \"24 mm\"\nbore = \"429.75 mm\"\nmissing_at = [0, 63]"
		gear21   = "teeth = 21\nmodule = 2\npressure_angle = 20\nface = \"70 mm\"\nrim_inner = \"21 mm\"\nbore = \"3.15 mm\"\nmissing = 2\nzero = \"tip\""
		jaws     = "[keepout.jaws]\nsetup = \"insert\"\nx = [-40, 60]\ny = [-60, 60]\nz = [-80, -7]"

		short = "end1 = { number = 1, diameter = 4.2, flute_length = 6.3, neck = 3.99, neck_length = 14, shank = 4.2, stick_out = 16, holder = 24 }"
		stub  = "end1 = { number = 1, diameter = 4.2, flute_length = 6.3, neck = 3.99, neck_length = 14, shank = 4.2, stick_out = 14.5, holder = 24 }"
		plain = "end1 = { number = 1, diameter = 3.5, flute_length = 18, stick_out = 24, holder = 24 }"
		thick = "\nend3 = { number = 3, diameter = 5.95, flute_length = 21, stick_out = 33 }"
		wide  = "\nend3 = { number = 3, diameter = 12, flute_length = 21, stick_out = 33 }"
		rest  = "\nend2 = { number = 2, diameter = 1.05, flute_length = 14, shank = 2.1, stick_out = 21, holder = 24 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 3.15, angle = 20, flank_height = 7, neck_length = 17.5, stick_out = 22.5 }\n"
		mild = "\nend2 = { number = 2, diameter = 1.575, flute_length = 14, shank = 3.15, stick_out = 21, holder = 32 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 4.375, angle = 12, flank_height = 5.95, neck_length = 16.45, stick_out = 30.45 }\n"
		small = "end1 = { number = 1, diameter = 0.675, flute_length = 7.5, shank = 0.675, stick_out = 18.5, holder = 20 }" +
			"\nend3 = { number = 3, diameter = 3.75, flute_length = 21, stick_out = 31 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 1.5, angle = 20, flank_height = 3.15, neck_length = 7.65, stick_out = 14.65 }\n"
		fine = "end1 = { number = 1, diameter = 0.9, neck = 0.855, neck_length = 6.75 }\nend2 = { number = 2, diameter = 4.2 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 1.425, angle = 20, flank_height = 3.45, neck_length = 12, stick_out = 24 }\n"
		seat = "end1 = { number = 1, diameter = 4.4, holder = 24, stick_out = 20 }\nend2 = { number = 2, diameter = 12.65 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 5.5, angle = 15, flank_height = 9.9, stick_out = 82 }\n"
		bulge = "end1 = { number = 1, diameter = 0.875, flute_length = 7.875 }\nend2 = { number = 2, diameter = 4.375 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 1.6625, angle = 15, flank_height = 2.975, neck_length = 8.225 }\n"
		end = "end1 = { number = 1, diameter = 5.625 }\nend2 = { number = 2, diameter = 3.15 }\nend3 = { number = 3, diameter = 4.2, flute_length = 68 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 5.625, angle = 15, flank_height = 9.9, stick_out = 100 }\n"
		thin = "end1 = { number = 1, diameter = 0.825, neck = 0.7837, neck_length = 16.5 }\nend2 = { number = 2, diameter = 6.325 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 3.4375, angle = 15, flank_height = 4.95, stick_out = 43 }\n"
		drill = "end1 = { number = 1, diameter = 4.275, flute_length = 26.125 }" +
			"\ndove = { number = 3, kind = \"dovetail\", diameter = 4.5125, angle = 12, flank_height = 8.075, stick_out = 35.325 }" +
			"\ndrill1 = { number = 5, kind = \"drill\", diameter = 2.5 }\ndrill2 = { number = 7, kind = \"drill\", diameter = 3.3 }\n"
		edge = "end1 = { number = 1, diameter = \"3.575 mm\", flute_length = \"19.5 mm\" }" +
			"\ndove = { number = 3, kind = \"dovetail\", diameter = \"3.25 mm\", angle = 15, flank_height = \"6.175 mm\", stick_out = \"19.925 mm\" }" +
			"\ndrill1 = { number = 5, kind = \"drill\", diameter = \"2.5 mm\" }\ndrill2 = { number = 7, kind = \"drill\", diameter = \"3.3 mm\" }\n"
		over = "end1 = { number = 1, diameter = 0.675, flute_length = 13.5, feed = 3 }\nend2 = { number = 2, diameter = 3.825 }\nend3 = { number = 3, diameter = 4.2 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 2.8125, angle = 15, flank_height = 4.275 }\n"
		steep = "end1 = { number = 1, diameter = 5.4625, stick_out = 40 }\nend2 = { number = 2, diameter = 4.2, flute_length = 82, feed = 15 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 5.75, angle = 20, flank_height = 9.775, stick_out = 60 }\n"
		pin = "end1 = { number = 1, diameter = 1.3, shank = 1.3, stick_out = 15 }\nend2 = { number = 2, diameter = 5 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 2.2, angle = 20, flank_height = 5.2 }" +
			"\ndrill1 = { number = 7, kind = \"drill\", diameter = 3, stick_out = 79 }\n"
		blocks = "end1 = { number = 1, diameter = 1.725, flute_length = 7.5, stick_out = 19.5 }\nend2 = { number = 2, diameter = 2.4, flute_length = 9, stick_out = 18 }" +
			"\nend3 = { number = 3, diameter = 1.05, neck = 0.9975, neck_length = 6, stick_out = 15 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 1.725, angle = 12, flank_height = 2.7, neck_length = 7.2, stick_out = 9.2 }\n"
		far = "end2 = { number = 2, diameter = \"3.3 mm\" }\ndrill6 = { number = 6, kind = \"drill\", diameter = \"2.5 mm\", stick_out = \"173 mm\" }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = \"5.7 mm\", angle = 15, flank_height = \"10.8 mm\", stick_out = \"35.8 mm\" }" +
			"\ndrill9 = { number = 11, diameter = \"4.2 mm\", flute_length = \"180 mm\", feed = \"8 mm/min\" }\n"
		inner = "end1 = { number = 1, diameter = \"4.5 mm\", flute_length = \"16 mm\" }\nend2 = { number = 2, diameter = \"2.6 mm\", flute_length = \"12 mm\" }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = \"3.375 mm\", angle = 15, flank_height = \"6.75 mm\", stick_out = \"40 mm\" }" +
			"\ndrill = { number = 7, kind = \"drill\", diameter = \"3 mm\", flute_length = \"157 mm\", stick_out = \"162 mm\" }\n"
		blunt = "end1 = { number = 1, diameter = 2.1875, neck = 2.0781, neck_length = 7 }\nend2 = { number = 2, diameter = 4.2, flute_length = 9.625, stick_out = 17.625 }" +
			"\ndove = { number = 3, kind = \"dovetail\", diameter = 1.6625, angle = 15, flank_height = 4.025, neck_length = 9.275, stick_out = 24.275 }" +
			"\ndrill = { number = 4, kind = \"drill\", diameter = 2, flute_length = 30 }\ndrill2 = { number = 5, kind = \"drill\", diameter = 2.5, flute_length = 27 }" +
			"\ndrill3 = { number = 6, kind = \"drill\", diameter = 3, flute_length = 23 }\ndrill4 = { number = 10, kind = \"drill\", diameter = 4.2, flute_length = 23 }\n"
		outer = "end1 = { number = 1, diameter = 1.575, flute_length = 31.5 }\nend2 = { number = 2, diameter = 13.125 }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = 5.25, angle = 15, flank_height = 9.975 }\n"
		burr = "end1 = { number = 1, diameter = \"1.9 mm\", material = \"carbide\", flute_length = \"4.75 mm\", neck = \"1.805 mm\", neck_length = \"10 mm\", shank = \"1.9 mm\", stick_out = \"13 mm\", holder = \"24 mm\" }" +
			"\nend2 = { number = 2, diameter = \"0.9 mm\", flute_length = \"2.7 mm\", neck = \"0.855 mm\", neck_length = \"9 mm\", shank = \"0.9 mm\", stick_out = \"22 mm\", holder = \"20 mm\" }" +
			"\nend3 = { number = 3, diameter = \"4.6 mm\", flute_length = \"15 mm\", stick_out = \"22 mm\" }" +
			"\ndove = { number = 4, kind = \"dovetail\", diameter = \"2.1 mm\", angle = 12, flank_height = \"3.4 mm\", neck_length = \"9.4 mm\", stick_out = \"12.4 mm\" }\n"
	)
	for _, tt := range []struct {
		name, units, gear, tables, cutters string
		refused                            string // what the refusal says; "": made
	}{
		{"end faces of leaning inserts, a holder that just clears", "mm", gear15, "", short + rest, ""},
		{"a holder that does not clear them", "mm", gear15, "", stub + rest, "too short for the end faces"},
		{"end faces with another insert close by", "mm", gear16, "[flush]\ncutter = \"end3\"\n[insert]\nover = 2", plain + wide + rest, ""},
		{"tip facets of blocks side by side", "mm", gear110, "[facets]\ntolerance = 0.015\nlean = \"even\"\n[insert]\nover = 0.25\ntop_cut = 0.7", plain + thick + mild, ""},
		{"slot walls wide for a tiny cutter", "mm", gear107, "[slot]\nfinish_cut = 0.2", small, ""},
		{"vice jaws too high", "mm", gear30, jaws, plain + thick + rest, "keepout.jaws: in 20-insert.nc, top and sides, the flutes of cutter.end3"},
		{"too little of the block out of the vice", "mm", gear30, "[insert]\nover_jaws = 8", plain + thick + rest, "insert.over_jaws: "},
		{"trial cuts without a stop", "mm", gear30, "[machine]\nstops = false\nlength_comp = true\n[fit]\nstep = 3", plain + thick + rest, ""},
		{"a block that nearly fills the gap", "mm", gear77, "[facets]\nclearance = 0.5\nmost_filed = 3", fine, ""},
		{"a block that nearly fills the gap, no slender cutter", "mm", gear77, "[facets]\nclearance = 0.5\ncutters = [\"end2\"]", fine, "beside the tip land"},
		{"crumbs of the seat beside the root", "mm", gear17, "[slot]\nseat_below = 0\n[facets]\ncount = 2\nlean = \"even\"\n[index]\ndevice = \"head\"\nratio = 60", seat, ""},
		{"a bulge in the midst of a long edge", "mm", gear55, "[insert]\noversize = 0.75\n[fit]\nstep = 2\n[facets]\ntolerance = 0.03\nroot_step = 0.03", bulge, ""},
		{"metal at the end of the flank", "mm", gear19, "[facets]\ntolerance = 0.01\n[index]\ndevice = \"head\"\ngraduation = \"0.1 deg\"", end, ""},
		{"root steps beside filing of the flank", "mm", gear22, "[facets]\ncount = 4", thin, ""},
		{"lock holes that meet in a small bore", "mm", gear13, "[lock]\nthread = \"M4\"", drill, ""},
		{"a station near the edge of a lock hole", "inch", gear100, "[lock]\nthread = \"M4\"\npositions = [\"6.12 mm\", \"11.16 mm\"]", edge, ""},
		{"end faces another insert hangs over", "mm", gear12, "[insert]\nover = 2.5", over, ""},
		{"a holder beside the outer tooth only", "mm", gear12x2, "", outer, "cutter.dove: stick_out 14.975 mm is too short"},
		{"one facet only, and little safe height", "mm", gear13x3, "[facets]\ncount = 1\n[machine]\nsafe_height = 1", steep, ""},
		{"a lock's drill wider than the mouth", "mm", gear103, "[lock]\nkind = \"pin\"\ndiameter = 3\npoint_depth = 1", pin, "a drill of 3.000 mm does not pass slot.mouth"},
		{"a station well within the edge of a lock hole", "inch", gear74, "[lock]\nkind = \"pin\"\ndiameter = \"3 mm\"\npositions = [\"6.72 mm\", \"14.28 mm\"]", inner, ""},
		{"a drill not quite the hole's size", "mm", gear30, "[lock]\nthread = \"M3\"\n", plain + thick + rest + "drill = { number = 7, kind = \"drill\", diameter = 2.46, flute_length = 40, stick_out = 60 }\npoint = { number = 8, kind = \"drill\", diameter = 2.04, flute_length = 20, stick_out = 40 }\n", ""},
		{"more left where the root's limit holds than where the flank's does", "mm", gear16x2, "[slot]\nseat_below = 0.15\nseat_play = 0.08\nfinish_cut = 0\n[insert]\nover = 0\noversize = 0.5\n[facets]\ntolerance = 0.01\nclearance = 0.4\nroot_step = 0.12\nmost_filed = 3", blunt, ""},
		{"lock holes through a rim far from the axis", "inch", gear106, "[lock]\ndiameter = \"2.5 mm\"\npositions = [\"8.16 mm\", \"15.84 mm\"]", far, ""},
		{"a burr at the block's side where few decimals are written", "inch", gear21, "[slot]\nseat_below = \"0.3 mm\"\ndeeper = 0\nstub = \"1.1 mm\"\nfinish_cut = \"0.05 mm\"\n[insert]\nover = \"0.5 mm\"\noversize = \"0.75 mm\"\n[facets]\ntolerance = \"0.08 mm\"\nlean = \"even\"\nclearance = \"0.3 mm\"\n[machine]\nlength_comp = true\nstops = false\nmax_feed = \"500 mm/min\"\ndecimals = 4", burr, ""},
		{"wide blocks side by side", "mm", gear44, "[insert]\nblock_width = 4.5", blocks, ""},
	} {
		text := "format = 1\nunits = \"" + tt.units + "\"\n[gear]\n" + tt.gear + "\n" + tt.tables + "\n[cutter]\n" + tt.cutters
		if _, fault := tryJob(text); fault != "" {
			t.Errorf("%s: %s", tt.name, fault)
			continue
		}
		j, err := job.Decode("odd.toml", []byte(text), nil)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		d, err := design.Of(j)
		if err != nil {
			t.Fatal(err)
		}
		_, err = toolpath.Make(d)
		switch {
		case tt.refused == "" && err != nil:
			t.Errorf("%s: %v", tt.name, err)
		case tt.refused != "" && (err == nil || !strings.Contains(err.Error(), tt.refused)):
			t.Errorf("%s: error %v, %q is wanted", tt.name, err, tt.refused)
		case err != nil && !strings.HasPrefix(err.Error(), "odd.toml:") && !strings.HasPrefix(err.Error(), "flush: "):
			t.Errorf("%s: %v has no place in the file", tt.name, err)
		case err != nil:
			t.Log(err)
		}
	}
}
