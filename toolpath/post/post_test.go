package post

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

var update = flag.Bool("update", false, "rewrite testdata/golden/programs")

const (
	goodJobs = "../../testdata/jobs/good/"
	golden   = "../../testdata/golden/programs/"
)

// goldenJobs are the jobs whose programs are kept.
var goldenJobs = []string{"demo", "head", "module4-inch", "brazed"}

func plan(t testing.TB, name string, change func(*job.Machine)) *toolpath.Plan {
	t.Helper()
	j, err := job.Read(goodJobs + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&j.Machine)
	}
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	p, err := toolpath.Make(d)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func written(t testing.TB, p *toolpath.Plan, prog *toolpath.Program, o Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p, prog, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestGolden: the programs of three jobs, byte for byte.
func TestGolden(t *testing.T) {
	for _, name := range goldenJobs {
		p := plan(t, name, nil)
		dir := filepath.Join(golden, name)
		if *update {
			if err := os.RemoveAll(dir); err != nil {
				t.Fatal(err)
			}
			if err := os.MkdirAll(dir, 0o755); err != nil {
				t.Fatal(err)
			}
		}
		for i := range p.Programs {
			prog := &p.Programs[i]
			if prog.Skipped != "" {
				continue
			}
			got := written(t, p, prog, Options{})
			file := filepath.Join(dir, prog.File())
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				continue
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatalf("%v (rewrite with -update)", err)
			}
			if line, a, b := firstDifference(got, string(want)); line > 0 {
				t.Errorf("%s line %d:\n got %q\nwant %q\n(rewrite with -update)", file, line, a, b)
			}
		}
	}
}

func firstDifference(a, b string) (line int, got, want string) {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range max(len(x), len(y)) {
		var p, q string
		if i < len(x) {
			p = x[i]
		}
		if i < len(y) {
			q = y[i]
		}
		if p != q || i >= len(x) || i >= len(y) {
			return i + 1, p, q
		}
	}
	return 0, "", ""
}

var (
	minusZero = regexp.MustCompile(`-0+(\.0*)?([^0-9.]|$)`)
	comment   = regexp.MustCompile(`\([^()]*\)`)
	wordOf    = regexp.MustCompile(`([A-Z])(-?[0-9]*\.?[0-9]+)`)
)

// form checks one program's lines against what every control takes.
func form(t *testing.T, name, text string, eol string) {
	t.Helper()
	if !strings.HasSuffix(text, eol) {
		t.Errorf("%s: the last line has no end", name)
	}
	fed, started, placed, upper, ended := false, false, false, false, ""
	for i, line := range strings.Split(strings.TrimSuffix(text, eol), eol) {
		bad := func(what string) { t.Errorf("%s line %d %q: %s", name, i+1, line, what) }
		if len(line) > 70 {
			bad("longer than 70 characters")
		}
		for _, c := range []byte(line) {
			if c < 32 || c > 126 {
				bad("a byte that is no printing ASCII")
			}
		}
		code := strings.ReplaceAll(comment.ReplaceAllString(line, ""), " ", "")
		if code == "" || code == "%" {
			continue
		}
		if strings.ContainsAny(code, "()") {
			bad("a comment that does not close")
		}
		if minusZero.MatchString(code) {
			bad("minus zero")
		}
		motions, axes := 0, ""
		words := wordOf.FindAllStringSubmatch(code, -1)
		if got := len(strings.Join(flat(words), "")); got != len(code) {
			bad("something that is no word")
		}
		for _, w := range words {
			letter, v := w[1], w[2]
			switch {
			case letter == "G" && (v == "0" || v == "1" || v == "81" || v == "83"):
				motions++
			case strings.Contains("XYZA", letter):
				axes += letter
			case letter == "F":
				fed = true
			case letter == "M" && v == "3":
				started = true
			case letter == "M" && (v == "2" || v == "30"):
				ended = line
			}
			if n := len(v) - strings.IndexByte(v, '.') - 1; strings.Contains(v, ".") && n > 5 {
				bad("more than five decimals")
			}
		}
		has := func(word string) bool {
			for _, w := range words {
				if w[0] == word {
					return true
				}
			}
			return false
		}
		switch {
		case motions > 1:
			bad("two motion words")
		case axes != "" && motions == 0:
			bad("axis words and no motion word")
		case strings.Contains(axes, "A") && (axes != "A" || !has("G0")):
			bad("A does not move alone and at rapid")
		case axes != "" && !placed && (axes != "Z" || !has("G0")):
			bad("the first move is not to the safe height")
		case has("G1") && (!fed || !started):
			bad("feed without F or without the spindle")
		}
		if axes != "" {
			if !upper {
				bad("a move before the safe start")
			}
			placed = true
		}
		upper = upper || has("G17") && has("G40") && has("G49") && has("G54") && has("G80") && has("G90") && has("G94")
	}
	if ended == "" {
		t.Errorf("%s does not end", name)
	}
}

func flat(words [][]string) (out []string) {
	for _, w := range words {
		out = append(out, w[0])
	}
	return out
}

// TestForm: lines that every control takes, and the same bytes again.
func TestForm(t *testing.T) {
	paths, err := filepath.Glob(goodJobs + "*.toml")
	if err != nil || len(paths) < 10 {
		t.Fatalf("%d jobs, %v", len(paths), err)
	}
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".toml")
		if testing.Short() && name != "demo" {
			continue
		}
		p, again := plan(t, name, nil), plan(t, name, nil)
		for i := range p.Programs {
			prog := &p.Programs[i]
			if prog.Skipped != "" {
				continue
			}
			text := written(t, p, prog, Options{})
			form(t, name+" "+prog.File(), text, eol(p.Job))
			if text != written(t, again, &again.Programs[i], Options{}) {
				t.Errorf("%s %s: planned again it has other bytes", name, prog.File())
			}
		}
	}
}

func eol(j *job.Job) string {
	if j.Machine.CRLF {
		return "\r\n"
	}
	return "\n"
}

// checkAll replays the programs that need nothing before them.
func checkAll(t *testing.T, what string, p *toolpath.Plan) {
	t.Helper()
	for i := range p.Programs {
		prog := &p.Programs[i]
		var setup *replay.Setup
		var err error
		switch prog.Purpose {
		case "slot":
			setup, err = metal.SlotSetup(p.Design)
		case "insert":
			setup, err = metal.InsertSetup(p.Design, metal.Rough, nil)
		default:
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		text := written(t, p, prog, Options{})
		res, err := replay.Check(strings.NewReader(text), prog.File(), setup)
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		if !res.Report.Clean() {
			t.Errorf("%s: %s: %+v", what, prog.File(), res.Report.Findings[0])
		}
	}
}

// TestSwitches: with every switch of the machine the programs have what it
// asks for, are read by the strict reader and replayed clean.
func TestSwitches(t *testing.T) {
	for _, tt := range []struct {
		name      string
		job       string
		change    func(*job.Machine)
		want, not []string // in 10-slot.nc
	}{
		{"cycles", "demo", func(m *job.Machine) { m.Cycles = true }, []string{"G99 G83 X16.0", "G80\n"}, nil},
		{"cycles, inch", "module4-inch", func(m *job.Machine) { m.Cycles = true }, []string{"G99 G83", " Q", "G20"}, []string{"G21"}},
		{"line numbers", "demo", func(m *job.Machine) { m.LineNos = true }, []string{"N1 ", "N2 "}, nil},
		{"percent", "demo", func(m *job.Machine) { m.Percents = true }, []string{"%\n"}, nil},
		{"messages", "demo", func(m *job.Machine) { m.Messages = true }, []string{"(MSG, "}, nil},
		{"no tool words", "demo", func(m *job.Machine) { m.ToolWords = false }, []string{"(Put in T1 end6", "M0\n"}, []string{"M6"}},
		{"no tool words, messages", "demo", func(m *job.Machine) { m.ToolWords, m.Messages = false, true }, []string{"(MSG, Put in T1 end6"}, []string{"M6"}},
		{"CRLF", "demo", func(m *job.Machine) { m.CRLF = true }, []string{"\r\n"}, nil},
		{"M30", "demo", func(m *job.Machine) { m.EndM30 = true }, []string{"M30\n"}, []string{"M2\n"}},
		{"coolant, not in grey iron", "demo", func(m *job.Machine) { m.Coolant = true }, nil, []string{"M8", "M9"}},
		{"wait for the spindle", "demo", func(m *job.Machine) { m.SpinUp = 1.5 }, []string{"M3\nG4 P1.5\n"}, nil},
		{"wait in milliseconds", "demo", func(m *job.Machine) { m.SpinUp, m.MilliDwell = 1.5, true }, []string{"M3\nG4 P1500\n"}, nil},
		{"hand speed", "demo", func(m *job.Machine) { m.HandSpeed = true }, []string{"Set the spindle to ", "M0\n"}, nil},
		{"length compensation", "demo", func(m *job.Machine) { m.LengthComp = true }, []string{"G43 H1", "G43 H2"}, nil},
		{"inch", "module4-inch", nil, []string{"G20"}, []string{"G21"}},
		{"wired the other way", "two-missing", func(m *job.Machine) { m.RotarySign = -1 }, nil, nil},
		{"all at once", "demo", func(m *job.Machine) {
			m.Cycles, m.LineNos, m.Percents, m.Messages, m.ToolWords, m.CRLF, m.EndM30, m.Coolant, m.HandSpeed, m.LengthComp = true, true, true, true, false, true, true, true, true, true
		}, nil, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := plan(t, tt.job, tt.change)
			text := written(t, p, &p.Programs[0], Options{})
			for _, w := range tt.want {
				if !strings.Contains(text, w) {
					t.Errorf("10-slot.nc has no %q", w)
				}
			}
			for _, w := range tt.not {
				if strings.Contains(comment.ReplaceAllString(text, ""), w) {
					t.Errorf("10-slot.nc has %q", w)
				}
			}
			for i := range p.Programs {
				if prog := &p.Programs[i]; prog.Skipped == "" {
					form(t, prog.File(), written(t, p, prog, Options{}), eol(p.Job))
				}
			}
			checkAll(t, tt.name, p)
		})
	}
}

// TestMinutesWithWaits: the plan's minutes count the waits for the spindle that
// are written, at stops too.
func TestMinutesWithWaits(t *testing.T) {
	for _, name := range []string{"demo", "head"} {
		for _, byHand := range []bool{false, true} {
			p := plan(t, name, func(m *job.Machine) { m.SpinUp, m.HandSpeed = 60, byHand })
			for i := range p.Programs {
				prog := &p.Programs[i]
				if prog.Skipped != "" {
					continue
				}
				waits := float64(strings.Count(written(t, p, prog, Options{}), "G4 P60"))
				q := *p.Job
				q.Machine.SpinUp = 0
				if got := prog.Minutes(p.Job) - prog.Minutes(&q); math.Abs(got-waits) > 1e-9 || !byHand && waits == 0 {
					t.Errorf("%s %s, speed by hand %t: %.0f waits of a minute are written, %.3f counted", name, prog.File(), byHand, waits, got)
				}
			}
		}
	}
}

// TestHandIndex: on a head every turn is told, with its angle, before a stop
// with the spindle still.
func TestHandIndex(t *testing.T) {
	for _, name := range []string{"head", "head-scale", "teeth"} {
		p := plan(t, name, nil)
		for i := range p.Programs {
			prog := &p.Programs[i]
			if prog.Skipped != "" || prog.Setup != toolpath.GearSetup {
				continue
			}
			text := written(t, p, prog, Options{})
			if strings.Contains(comment.ReplaceAllString(text, ""), "A") {
				t.Errorf("%s %s has A words", name, prog.File())
			}
			lines := strings.Split(text, "\n")
			for k, l := range lines {
				if !strings.HasPrefix(l, "(GEAR AT ") || l == "(GEAR AT 0.0000 DEG)" {
					continue
				}
				if lines[k+1] != "M0" {
					t.Errorf("%s %s line %d: %q and no stop after it", name, prog.File(), k+1, l)
				}
				at := k
				for at > 0 && strings.HasPrefix(lines[at], "(") {
					at--
				}
				if lines[at] != "M5" {
					t.Errorf("%s %s line %d: the spindle turns while the gear is set", name, prog.File(), k+1)
				}
			}
		}
	}
}

// TestLift: an air run is the same program, every Z higher by the lift.
func TestLift(t *testing.T) {
	p := plan(t, "demo", nil)
	for i := range p.Programs {
		prog := &p.Programs[i]
		low, high := heights(written(t, p, prog, Options{})), heights(written(t, p, prog, Options{Lift: 25}))
		if len(low) == 0 || len(low) != len(high) {
			t.Fatalf("%s: %d heights, lifted %d", prog.File(), len(low), len(high))
		}
		for k := range low {
			// Each is rounded for itself to 1e-4.
			if d := high[k] - low[k] - 25; d > 1.01e-4 || d < -1.01e-4 {
				t.Errorf("%s: height %d is %g, lifted %g", prog.File(), k, low[k], high[k])
			}
		}
	}
}

func heights(text string) (out []float64) {
	for _, m := range wordOf.FindAllStringSubmatch(comment.ReplaceAllString(text, ""), -1) {
		if m[1] == "Z" || m[1] == "R" {
			v, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				panic(err) // the form says it is a number
			}
			out = append(out, v)
		}
	}
	return out
}

// TestFrom: a program that starts again has the passes from there on, and
// starts as safely.
func TestFrom(t *testing.T) {
	for _, name := range []string{"demo", "head"} {
		p := plan(t, name, nil)
		for i := range p.Programs {
			prog := &p.Programs[i]
			whole := written(t, p, prog, Options{})
			for from := 1; from <= prog.Passes(); from++ {
				text := written(t, p, prog, Options{From: from})
				form(t, fmt.Sprintf("%s %s from %d", name, prog.File(), from), text, "\n")
				for k := 1; k <= prog.Passes(); k++ {
					mark := fmt.Sprintf("(Pass %d: ", k)
					if strings.Contains(text, mark) != (k >= from) || !strings.Contains(whole, mark) {
						t.Errorf("%s %s from pass %d: pass %d", name, prog.File(), from, k)
					}
				}
			}
		}
	}
}

// failing takes so many bytes and then fails.
type failing struct{ left int }

func (f *failing) Write(p []byte) (int, error) {
	if len(p) > f.left {
		n := f.left
		f.left = 0
		return n, fmt.Errorf("disk full")
	}
	f.left -= len(p)
	return len(p), nil
}

// TestFailingWriter: an error of the disk is not lost.
func TestFailingWriter(t *testing.T) {
	p := plan(t, "demo", nil)
	whole := len(written(t, p, &p.Programs[0], Options{}))
	for _, n := range []int{0, 1, 1000, whole - 1} {
		if err := Write(&failing{n}, p, &p.Programs[0], Options{}); err == nil || !strings.Contains(err.Error(), "disk full") {
			t.Errorf("disk full after %d bytes: error %v", n, err)
		}
	}
	if err := Write(&failing{whole}, p, &p.Programs[0], Options{}); err != nil {
		t.Errorf("just enough room: %v", err)
	}
}

// TestCoolant: the insert's steel is cut wet when the machine can, the slot in
// grey iron never, in a gear of steel it is.
func TestCoolant(t *testing.T) {
	for _, tt := range []struct {
		gear    profiles.Material
		program int
		want    bool
	}{{profiles.GreyIron, 0, false}, {profiles.GreyIron, 1, true}, {profiles.MildSteel, 0, true}} {
		p := plan(t, "demo", func(m *job.Machine) { m.Coolant = true })
		p.Job.Gear.Material = tt.gear
		text := written(t, p, &p.Programs[tt.program], Options{})
		if on, off := strings.Contains(text, "M8\n"), strings.Contains(text, "M9\n"); on != tt.want || off != tt.want {
			t.Errorf("%s in a gear of %s: M8 %v, M9 %v, want %v", p.Programs[tt.program].File(), tt.gear, on, off, tt.want)
		}
	}
}
