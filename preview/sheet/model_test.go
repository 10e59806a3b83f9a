package sheet

import (
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// planned is a sheet of a job's plan as if its check had found nothing.
func planned(t *testing.T, name string, change func(*job.Job)) (*sheet, *page) {
	t.Helper()
	j := job.Demo()
	if name != "" {
		var err error
		if j, err = job.Read(filepath.Join("..", "..", "testdata", "jobs", "good", name+".toml")); err != nil {
			t.Fatal(err)
		}
	}
	if change != nil {
		change(j)
	}
	d, err := design.Of(j)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		t.Fatal(err)
	}
	s := &sheet{Data: Data{Plan: plan, Measures: someMeasures()}, job: j}
	for range plan.Programs {
		s.Reports = append(s.Reports, &replay.Report{})
	}
	p, err := s.page()
	if err != nil {
		t.Fatal(err)
	}
	return s, p
}

// programOf is a program of the page by what its file is named after.
func (p *page) programOf(t *testing.T, id string) *program {
	t.Helper()
	for i := range p.Programs {
		if p.Programs[i].ID == id {
			return &p.Programs[i]
		}
	}
	t.Fatalf("no program %s", id)
	return nil
}

// words are all words of tasks in one.
func words(tasks []task) string {
	var b strings.Builder
	for _, t := range tasks {
		fmt.Fprintln(&b, t.Do, t.Blanks, t.Type, t.Code, t.Note)
	}
	return b.String()
}

// TestControl: every key that changes what hands do at the control is told.
func TestControl(t *testing.T) {
	_, plain := planned(t, "", nil)
	all := func(p *page) string {
		return strings.Join(p.Control, "\n") + words(p.programOf(t, "10-slot").Touches)
	}
	before := all(plain)
	for _, c := range []struct {
		key, want string
		set       func(*job.Machine)
	}{
		{"length_comp", "Z0 is set once in each set-up", func(m *job.Machine) { m.LengthComp = true }},
		{"length_comp", "do not set Z0 anew", func(m *job.Machine) { m.LengthComp = true }},
		{"length_comp, tool_words = false", "Do not set Z0 anew: the control would count the length twice.", func(m *job.Machine) { m.LengthComp, m.ToolWords = true, false }},
		{"tool_words = false", "It stops with the cutter up and says which to put in", func(m *job.Machine) { m.ToolWords = false }},
		{"stops = false", "Hold it yourself wherever the sheet says STOP", func(m *job.Machine) { m.Stops, m.LengthComp = false, true }},
		{"length_comp", "same corner, its length active (G43 H1)", func(m *job.Machine) { m.LengthComp = true }},
		{"messages", "also comes on the screen", func(m *job.Machine) { m.Messages = true }},
		{"hand_speed", "stop the spindle yourself before you reach in", func(m *job.Machine) { m.HandSpeed = true }},
		{"decimals", "Numbers: 3 decimals, as many as this control takes. Rounded so, a cut may lie 0.001 mm", func(m *job.Machine) { m.Decimals = 3 }},
		{"coolant", "M8, M9", func(m *job.Machine) { m.Coolant = true }},
	} {
		if strings.Contains(before, c.want) {
			t.Errorf("%s: %q stands there without it", c.key, c.want)
		}
		_, p := planned(t, "", func(j *job.Job) { c.set(&j.Machine) })
		if !strings.Contains(all(p), c.want) {
			t.Errorf("%s: no %q in\n%s", c.key, c.want, all(p))
		}
	}
}

// TestCommands: what is to be copied is a whole command, of this job.
func TestCommands(t *testing.T) {
	whole := regexp.MustCompile(`^cogmend (make|fit|gauge) (demo|\S+\.toml)( --[a-z]+ \S+)*$`)
	for _, name := range []string{"", "module4-inch"} {
		_, p := planned(t, name, nil)
		var all []string
		for _, v := range p.Programs {
			for _, list := range [][]task{v.Bench, v.AirRun, v.After} {
				for _, k := range list {
					if k.Code != "" {
						all = append(all, k.Code)
					}
				}
			}
			if v.Restart != "" {
				all = append(all, v.Restart)
			}
		}
		if len(all) < 9 {
			t.Errorf("%q: only %d commands", name, len(all))
		}
		for _, c := range all {
			if !whole.MatchString(c) {
				t.Errorf("%q is no whole command", c)
			}
		}
	}
}

// TestBlanks: each number that a later step asks for has a blank before it.
func TestBlanks(t *testing.T) {
	_, p := planned(t, "", nil)
	at := func(list []task, blank string) bool {
		for _, k := range list {
			for _, b := range k.Blanks {
				if b == blank {
					return true
				}
			}
		}
		return false
	}
	for _, c := range []struct {
		blank string
		list  []task
	}{
		{"stub below the tips", p.Before},
		{"block width", p.programOf(t, "20-insert").Bench},
		{"step that slid", p.programOf(t, "21-trial").After},
		{"step that slid, copied", p.programOf(t, "22-fit").Bench},
		{"cured, date and hour", p.Assembly.Tasks},
		{"Y left", p.programOf(t, "10-slot").Touches},
	} {
		if !at(c.list, c.blank) {
			t.Errorf("no blank for %q", c.blank)
		}
	}
	for id, name := range map[string]string{"10-slot": "slot.depth", "40-facets": "tooth.chord"} {
		found := false
		for _, m := range p.programOf(t, id).Measures {
			found = found || m.Name == name
		}
		if !found {
			t.Errorf("%s: %s is not measured", id, name)
		}
	}
}

// TestGates: where going on could crack the casting, or hurt, the sheet says
// when to stop.
func TestGates(t *testing.T) {
	_, p := planned(t, "", nil)
	for want, list := range map[string][]task{
		"crack: stop here": p.Before, "DO NOT ASSEMBLE": p.programOf(t, "22-fit").After, "drive it back out": p.Assembly.Tasks,
		"do not run this program": p.programOf(t, "22-fit").Bench, "Else do not cut": p.programOf(t, "30-flush").Bench, "no power": p.programOf(t, "40-facets").After,
	} {
		found := false
		for _, k := range list {
			found = found || k.Halt && strings.Contains(k.Do, want)
		}
		if !found {
			t.Errorf("nothing to stop at says %q", want)
		}
	}
	s, p := planned(t, "", func(j *job.Job) { j.Fit.TightMiddle = 0.05 })
	if why := s.Plan.Against(); len(why) == 0 || !strings.Contains(words(p.programOf(t, "22-fit").After), why[0]) {
		t.Errorf("what speaks against the fit is not at its program: %q", why)
	}
}

// TestNumbered: each of several inserts stays with its slot, and one alone needs no
// number.
func TestNumbered(t *testing.T) {
	for name, want := range map[string]string{"two-missing": "1 to 2", "three-missing": "1 to 3", "": ""} {
		_, p := planned(t, name, nil)
		got := words(p.programOf(t, "20-insert").After)
		if want == "" && strings.Contains(got, "Stamp") || !strings.Contains(got, want) {
			t.Errorf("%s: after the insert's program stands %q, want %q in it", name, got, want)
		}
	}
}

// TestZerosStand: zeros are said to stand only where the program before was run in
// the same set-up; the flush cut comes after the block in the vice.
func TestZerosStand(t *testing.T) {
	for name, want := range map[string][]string{"": {"21-trial", "22-fit", "40-facets"}, "head": {"21-trial", "22-fit", "40-facets"}, "brazed": {"40-facets"}} {
		_, p := planned(t, name, nil)
		var got []string
		for _, v := range p.Programs {
			if v.Moved != "" {
				got = append(got, v.ID)
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: zeros stand for %q, want %q", name, got, want)
		}
	}
}

// TestLocked: the gear is held again after every index by hand.
func TestLocked(t *testing.T) {
	for _, name := range []string{"head", "teeth", "head-scale"} {
		_, p := planned(t, name, nil)
		n := 0
		for _, v := range p.Programs {
			for _, o := range v.Ops {
				for _, st := range o.Steps {
					if st.Set != "" {
						n++
						if st.Lock == "" {
							t.Errorf("%s, %s: nothing holds the gear after %q", name, v.File, st.Set)
						}
					}
				}
			}
		}
		if n < 8 {
			t.Errorf("%s: %d settings only", name, n)
		}
		table := p.programOf(t, "40-facets").Settings
		if table == nil || len(table.Rows) < 8 {
			t.Fatalf("%s: no table of settings", name)
		}
		for _, row := range table.Rows {
			if len(row) != len(table.Head) {
				t.Errorf("%s: %q under %q", name, row, table.Head)
			}
		}
	}
}

// TestHeadTable: the turns and holes of the table, added up, give the angles
// beside them (plain indexing: Machinery's Handbook, read there).
func TestHeadTable(t *testing.T) {
	s, p := planned(t, "head", nil)
	circle, ratio, at := float64(s.Plan.Flanks.Circle), float64(s.job.Index.Ratio), 0.0
	for _, row := range p.programOf(t, "40-facets").Settings.Rows {
		var turns, holes, want float64
		fmt.Sscan(row[2], &turns)
		fmt.Sscan(row[3], &holes)
		fmt.Sscan(strings.TrimSuffix(strings.Replace(row[1], "−", "-", 1), "°"), &want)
		sign := 1.0
		if row[4] == "−Y" {
			sign = -1
		}
		at += sign * (turns + holes/circle) * 360 / ratio
		if math.Abs(at-want) > 0.0006 {
			t.Errorf("%q comes to %.4f", row, at)
		}
	}
}

// TestStops: a level plane as high as a stop's top touches the tooth it bears
// on and cuts into none, at every index of the job; the packing is half the
// base pitch, pi m cos a / 2 (ISO 21771, from memory).
func TestStops(t *testing.T) {
	for _, name := range []string{"teeth"} {
		s, p := planned(t, name, nil)
		st, ok := s.stops()
		if !ok {
			t.Fatal("no stops")
		}
		g := s.Plan.Worn()
		if want := math.Pi * g.Module * math.Cos(g.Pressure) / 2; math.Abs(st.Packing-want) > 1e-9 {
			t.Errorf("packing %.4f, want %.4f", st.Packing, want)
		}
		line, err := g.Tooth()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range p.programOf(t, "40-facets").Settings.Rows {
			var angle, right, left float64
			fmt.Sscan(strings.TrimSuffix(strings.Replace(row[1], "−", "-", 1), "°"), &angle)
			fmt.Sscan(row[3], &right)
			fmt.Sscan(row[4], &left)
			raise := 0.0
			if row[5] != "–" {
				raise = st.Packing
			}
			for _, c := range []struct {
				side, number float64
				at           stop
			}{{1, right, st.Right}, {-1, left, st.Left}} {
				turn := geom.Turn(geom.Radians(angle) + c.side*(c.number+st.last)*g.Pitch())
				low := math.Inf(1)
				for i := range line {
					v, w := turn.Apply(line[i]), turn.Apply(line[(i+1)%len(line)])
					for k := range 20 {
						if q := v.Lerp(w, float64(k)/20); q.Y*c.side >= c.at.End {
							low = min(low, q.Z)
						}
					}
				}
				if off := low - (raise - c.at.Below); math.Abs(off) > 0.004 {
					t.Errorf("%s, gear at %g, side %g: tooth %g lies %.4f over the stop", name, angle, c.side, c.number, off)
				}
			}
		}
	}
}

// TestNamesOnce: no two boxes or blanks of a page have the same name.
func TestNamesOnce(t *testing.T) {
	var b strings.Builder
	s, _ := planned(t, "", nil)
	if err := Write(&b, s.Data); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(`<input [^>]*aria-label="([^"]*)"`).FindAllStringSubmatch(b.String(), -1) {
		if seen[m[1]] {
			t.Errorf("two inputs are called %q", m[1])
		}
		seen[m[1]] = true
	}
	if n := strings.Count(b.String(), "<input"); n != len(seen) || n < 60 {
		t.Errorf("%d inputs, %d names", n, len(seen))
	}
	last := 0
	for _, m := range regexp.MustCompile(`<h([1-6])[ >]`).FindAllStringSubmatch(b.String(), -1) {
		level := int(m[1][0] - '0')
		if level > last+1 {
			t.Errorf("a heading of level %d follows one of level %d", level, last)
		}
		last = level
	}
}

// TestGauging: the pins of the drawings touch flat and flank: the middle of each
// lies as far from both as its radius.
func TestGauging(t *testing.T) {
	s, p := planned(t, "", nil)
	for _, id := range []string{"10-slot", "22-fit", "40-facets"} {
		if len(p.programOf(t, id).Gauging) == 0 {
			t.Errorf("%s: no drawing of how it is measured", id)
		}
	}
	const pin = 2.5
	x, lean := s.inCorner(pin), s.job.Slot.HalfAngle
	// The flank through the corner leans over the pin; its normal is that turned.
	if off := x*math.Cos(lean) - pin/2*math.Sin(lean) - pin/2; math.Abs(off) > 1e-9 {
		t.Errorf("the pin stands %g off the flank", off)
	}
}

// TestLettering: on paper no letters of a picture are smaller than 1.8 mm (ISO
// 3098-1 has the size 1.8 for the least, from memory), nor those of a drawing
// three of which stand side by side on A4.
func TestLettering(t *testing.T) {
	const least, narrowest = 1.8, 188.0 / 3 // mm; A4 less its margins
	heights := regexp.MustCompile(`\.pictures[^{]* img \{ width: [0-9]+mm; height: calc\(([0-9.]+)mm`).FindAllStringSubmatch(pageText, -1)
	if len(heights) != 1 {
		t.Fatalf("%d heights of pictures in print", len(heights))
	}
	for _, h := range heights {
		mm, err := strconv.ParseFloat(h[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := mm * figure.SmallestLetters; got < least {
			t.Errorf("pictures %g mm high have letters of %.2f mm", mm, got)
		}
	}
	letters := regexp.MustCompile(`\.three svg text \{ font-size: ([0-9.]+)px`).FindStringSubmatch(pageText)
	if letters == nil {
		t.Fatal("no letters of three drawings side by side")
	}
	px, err := strconv.ParseFloat(letters[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	if got := px * (narrowest - 3) / setupWide; got < least {
		t.Errorf("drawings have letters of %.2f mm", got)
	}
}
