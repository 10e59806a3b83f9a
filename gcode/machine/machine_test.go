package machine

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"cogmend/gcode"
)

var updateEvents = flag.Bool("update-events", false, "rewrite testdata/gcode/good/*.events")

const programs = "../../testdata/gcode/"

// say writes an event as one line, for comparison.
func say(e *Event) string {
	head := fmt.Sprintf("%d ", e.Line)
	switch e.Kind {
	case EventMotion:
		m := e.Motion
		s := head + m.Kind.String() + " " + sayPosition(m.To)
		if m.Arc != nil {
			s += fmt.Sprintf(" about %s radius %s sweep %s deg", sayPosition(m.Arc.Centre), short(m.Arc.Radius), short(m.Arc.Sweep*180/math.Pi))
		}
		if m.Kind != Rapid {
			s += fmt.Sprintf(" feed %s minutes %s", short(m.Feed), short(m.Minutes))
		}
		return s
	case EventStop:
		return head + "stop M" + strconv.Itoa(e.Code)
	case EventToolChange:
		return head + "tool " + strconv.Itoa(e.State.Tool)
	case EventSpindle:
		return head + "spindle " + [...]string{"off", "cw", "ccw"}[e.State.Spindle] + " " + short(e.State.Speed)
	case EventDwell:
		return head + "dwell " + short(e.Seconds)
	case EventComment:
		return head + "comment " + e.Text
	case EventMessage:
		return head + "message " + e.Text
	}
	if e.Code == 0 {
		return head + "end %"
	}
	return head + "end M" + strconv.Itoa(e.Code)
}

func sayPosition(p Position) string {
	var s []string
	for _, v := range coordinates(p) {
		s = append(s, short(v))
	}
	return strings.Join(s, " ")
}

// short writes v with at most 6 decimals, "?" for unknown.
func short(v float64) string {
	if math.IsNaN(v) {
		return "?"
	}
	return strconv.FormatFloat(math.Round(v*1e6)/1e6+0, 'f', -1, 64)
}

// run replays a program and returns what happened, a line an event.
func run(program string) ([]string, error) {
	var got []string
	err := Run(strings.NewReader(program), "p", func(e *Event) error {
		got = append(got, say(e))
		return nil
	})
	return got, err
}

func TestGoodPrograms(t *testing.T) {
	files, _ := filepath.Glob(programs + "good/*.nc")
	if len(files) == 0 {
		t.Fatal("no programs")
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			lines, err := run(string(text))
			if err != nil {
				t.Fatal(err)
			}
			got := strings.Join(lines, "\n") + "\n"
			golden := strings.TrimSuffix(f, ".nc") + ".events"
			if *updateEvents {
				if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got\n%swant\n%s", got, want)
			}
		})
	}
}

// bad is one line of testdata/gcode/bad/expect.txt.
type bad struct{ file, at, kind, message string }

func badPrograms(t testing.TB) []bad {
	text, err := os.ReadFile(programs + "bad/expect.txt")
	if err != nil {
		t.Fatal(err)
	}
	var all []bad
	for l := range strings.Lines(string(text)) {
		if strings.HasPrefix(l, "#") {
			continue
		}
		f := strings.Split(strings.TrimRight(l, "\n"), "\t")
		if len(f) != 4 {
			t.Fatalf("expect.txt: %q", l)
		}
		all = append(all, bad{f[0], f[1], f[2], f[3]})
	}
	return all
}

// Every rule of NISTIR 6556 that is held, one file each, with the place it is
// broken at.
func TestBadPrograms(t *testing.T) {
	known := map[string]bool{}
	for _, b := range badPrograms(t) {
		known[b.file] = true
		t.Run(b.file, func(t *testing.T) {
			text, err := os.ReadFile(programs + "bad/" + b.file)
			if err != nil {
				t.Fatal(err)
			}
			err = Run(bytes.NewReader(text), b.file, func(*Event) error { return nil })
			kind, pos := "", gcode.Pos{}
			var syn *gcode.SyntaxError
			var uns *gcode.UnsupportedError
			if errors.As(err, &syn) {
				kind, pos = "syntax", syn.Pos
			} else if errors.As(err, &uns) {
				kind, pos = "unsupported", uns.Pos
			}
			at := fmt.Sprintf("%d:%d", pos.Line, pos.Col)
			if kind != b.kind || at != b.at || !strings.Contains(fmt.Sprint(err), b.message) {
				t.Errorf("got %s %s: %v\nwant %s %s: %s", kind, at, err, b.kind, b.at, b.message)
			}
			if kind != "" && (pos.File != b.file || !strings.HasPrefix(err.Error(), b.file)) {
				t.Errorf("%q does not begin with the file", err)
			}
		})
	}
	files, _ := filepath.Glob(programs + "bad/*.nc")
	for _, f := range files {
		if !known[filepath.Base(f)] {
			t.Errorf("%s is not in expect.txt", f)
		}
	}
}

// The worked examples of NISTIR 6556; the table names the clauses.
func TestWorkedExamples(t *testing.T) {
	f, err := os.Open("../../testdata/tables/nistir6556.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	name, program := "", ""
	var want []string
	cases := 0
	check := func() {
		if name == "" {
			return
		}
		cases++
		t.Run(name, func(t *testing.T) { checkExample(t, program, want) })
		name, program, want = "", "", nil
	}
	in := bufio.NewScanner(f)
	for in.Scan() {
		l := in.Text()
		switch {
		case strings.HasPrefix(l, "case "):
			check()
			name = l[5:]
		case strings.HasPrefix(l, "> "):
			program += l[2:] + "\n"
		case strings.HasPrefix(l, "= "):
			want = append(want, l[2:])
		}
	}
	check()
	if err := in.Err(); err != nil || cases != 4 {
		t.Fatalf("%d examples read, %v", cases, err)
	}
}

// exampleTolerance is half of the last decimal the report prints.
const exampleTolerance = 0.00005

func checkExample(t *testing.T, program string, want []string) {
	var got []Motion
	err := Run(strings.NewReader(program), "p", func(e *Event) error {
		if e.Kind == EventMotion {
			m := e.Motion
			if m.Arc != nil {
				a := *m.Arc
				m.Arc = &a
			}
			got = append(got, m)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(want) {
		t.Fatalf("%d motions, want %d", len(got), len(want))
	}
	for i, m := range got {
		var x, y, z, cx, cy, r float64
		var kind, sense string
		n, _ := fmt.Sscanf(want[i], "%s %f %f %f about %f %f radius %f %s", &kind, &x, &y, &z, &cx, &cy, &r, &sense)
		if n != 4 && n != 8 {
			t.Fatalf("bad row %q", want[i])
		}
		ok := m.Kind.String() == kind && within(m.To.X, x) && within(m.To.Y, y) && within(m.To.Z, z)
		if n == 8 {
			ok = ok && m.Arc != nil && within(m.Arc.Centre.X, cx) && within(m.Arc.Centre.Y, cy) &&
				within(m.Arc.Radius, r) && (m.Arc.Sweep < 0) == (sense == "cw")
		}
		if !ok {
			t.Errorf("motion %d is %+v (%+v), want %s", i, m, m.Arc, want[i])
		}
	}
}

func within(a, b float64) bool { return math.Abs(a-b) <= exampleTolerance }
