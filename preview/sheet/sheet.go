// Package sheet writes the sheet to work from at the machine: one HTML page that
// needs nothing but itself, and prints on A4 and Letter.
package sheet

import (
	"bytes"
	_ "embed" // for the sheet's template
	"encoding/base64"
	"fmt"
	"html/template"
	"image/png"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// Data is what the sheet to work from is made of.
type Data struct {
	Plan     *toolpath.Plan
	Reports  []*replay.Report  // one a program of the plan; nil: not written, or its text cannot be read
	Pictures map[string][]byte // PNG files by the figure's name; may be empty
	Measures []Measure
	Costs    []SettingCost
	Mind     []string // what to know before beginning, one sentence each
}

// Measure is a size to measure, with a blank for the reading. Lengths mm.
type Measure struct {
	After     toolpath.Purpose // of the program after which it is measured; "": before any
	Name      string           // what the reading is called by, e.g. "slot.depth"
	What      string           // in words
	With      string           // pins, or the height to set; may be empty
	Nominal   float64
	Low, High float64 // limits; alike: none
	Note      string
}

// SettingCost is what a small error in a number set by hand does to the flank.
type SettingCost struct {
	Error string  // "Y zero off by 0.01 mm"
	Flank float64 // mm
}

//go:embed sheet.html.tmpl
var pageText string

// pageTemplate is parsed when a sheet is asked for: many commands make none.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Parse(pageText))
})

// Sheet writes the sheet to work from at the machine: one HTML page that needs
// nothing but itself, and prints on A4 and Letter. Nothing is written when the
// error is not nil, unless it is the writer's.
func Write(w io.Writer, d Data) error {
	if d.Plan == nil || d.Plan.Job == nil {
		return fmt.Errorf("sheet: there is no plan")
	}
	if len(d.Reports) != len(d.Plan.Programs) {
		return fmt.Errorf("sheet: %d reports for %d programs", len(d.Reports), len(d.Plan.Programs))
	}
	s := sheet{Data: d, job: d.Plan.Job}
	page, err := s.page()
	if err != nil {
		return fmt.Errorf("sheet: %w", err)
	}
	var b bytes.Buffer
	if err := pageTemplate().Execute(&b, page); err != nil {
		return fmt.Errorf("sheet: %w", err)
	}
	return s.fill(w, b.Bytes())
}

// pictureMark stands for a picture in what the template writes: the bytes are
// put in afterwards, so that megabytes of them need not be looked at for
// characters to escape. A user's words cannot pass for one: their quotes are
// escaped, so src=" never is theirs.
const pictureMark = "data:image/png;base64,"

// fill writes the page with its pictures in their places.
func (s *sheet) fill(w io.Writer, page []byte) error {
	for {
		at := bytes.Index(page, []byte(`src="`+pictureMark))
		if at < 0 {
			break
		}
		at += len(`src="` + pictureMark)
		end := bytes.IndexByte(page[at:], '"')
		if end < 0 {
			break
		}
		if _, err := w.Write(page[:at]); err != nil {
			return err
		}
		e := base64.NewEncoder(base64.StdEncoding, w)
		if n, err := strconv.Atoi(string(page[at : at+end])); err == nil && n < len(s.shown) {
			if _, err := e.Write(s.shown[n]); err != nil {
				return err
			}
		}
		if err := e.Close(); err != nil {
			return err
		}
		page = page[at+end:]
	}
	_, err := w.Write(page)
	return err
}

// sheet is a sheet being made.
type sheet struct {
	Data
	job   *job.Job
	shown [][]byte // pictures in the order of the page
}

// page is all that the template writes.
type page struct {
	Title, Job, Fingerprint string
	Gear                    []fact
	Clean                   bool
	Minutes                 int // all written programs
	Programs                []program
	Tools                   []tool
	Blanks                  []string // what to lay ready beside the tools
	Before                  []reading
	Mind                    []string
	NotChecked              []string
	AirRun                  size // least height of a run in air
	Facets                  string
	Files                   []file
}

// file is a file the person wrote, as it was read.
type file struct{ Name, Text string }

// fact is a named value.
type fact struct {
	Name string
	Size size
}

// program is the page of one program.
type program struct {
	ID, File, Title, Purpose string
	Gear                     bool
	Skipped                  string
	Clean                    bool
	Verdict                  string
	Findings                 []string
	Minutes                  int
	Bench                    []string // what is done at the bench before it
	Clamp                    []string
	KeepOuts                 []keepOut
	Sketches                 []sketch
	Main                     *picture
	Telling                  []picture // that show what to do
	More                     []picture
	Moved                    string // when the zeros of the program before still stand
	Touches                  []touch
	SignTest                 *signTest
	Ops                      []operation
	HoldYourself             bool // stops that the control does not keep
	Restart                  bool // it may be begun again at a pass
	Measures                 []reading
	Filing                   []filing
	After                    []string // what is left to do by hand
	Costs                    []fact
}

// picture is a picture inside the page.
type picture struct {
	Name          string
	Data          template.URL // the bytes, base64: nothing of the user's
	Width, Height int
}

// keepOut is where the job says something stands.
type keepOut struct{ Name, X, Y, Z string }

// reading is a Measure written out.
type reading struct {
	Name, What, With, Note string
	Nominal                *size
	Low, High              *size
}

// filing is metal no cutter reaches.
type filing struct {
	Where   string
	Below   string // the tip
	Thick   size
	Reaches *size // the largest cutter that would; nil: none
}

// page gathers all there is to write.
func (s *sheet) page() (*page, error) {
	j := s.job
	p := &page{Title: j.Heading(), Job: j.Name(), Fingerprint: j.Fingerprint, Clean: true, Gear: s.gearFacts(), Mind: s.Mind}
	seen := map[int]bool{}
	tested := false
	for i := range s.Plan.Programs {
		prog := &s.Plan.Programs[i]
		v, err := s.program(prog, s.Reports[i])
		if err != nil {
			return nil, err
		}
		if v.SignTest != nil && tested {
			v.SignTest.Again = true
		}
		tested = tested || v.SignTest != nil
		p.Minutes += v.Minutes
		p.Clean = p.Clean && (v.Clean || v.Skipped != "")
		p.Programs = append(p.Programs, v)
		for k := range prog.Ops {
			if c := prog.Ops[k].Cutter; !seen[c.Number] {
				seen[c.Number] = true
				p.Tools = append(p.Tools, s.tool(c))
			}
		}
		if r := s.Reports[i]; r != nil {
			p.NotChecked = r.NotChecked
		}
	}
	sort.Slice(p.Tools, func(a, b int) bool { return p.Tools[a].Number < p.Tools[b].Number })
	p.Blanks = s.blanks()
	p.Before = s.measures("")
	p.AirRun = s.coarse(s.Plan.LeastLift())
	p.Facets = s.facetLine()
	p.Files = []file{{p.Job, visible(string(j.Source))}}
	if len(j.Shop) > 0 {
		p.Files = append(p.Files, file{j.ShopFile, visible(string(j.Shop))})
	}
	return p, nil
}

// program writes out one program.
func (s *sheet) program(p *toolpath.Program, r *replay.Report) (program, error) {
	v := program{ID: fmt.Sprintf("%02d-%s", p.Number, p.Purpose), File: p.File(), Title: p.Title, Purpose: string(p.Purpose),
		Gear: p.Setup == toolpath.GearSetup, Skipped: p.Skipped}
	if p.Skipped != "" {
		return v, nil
	}
	minutes := p.Minutes(s.job)
	switch {
	case r == nil:
		v.Verdict = "The written program cannot be read back."
	case r.Clean():
		v.Clean, v.Verdict = true, "Checked: clean"
	default:
		v.Verdict = fmt.Sprintf("The check found %d.", len(r.Findings)+r.Dropped)
		for i, f := range r.Findings {
			const most = 6
			if i == most {
				v.Findings = append(v.Findings, "More in the report.")
				break
			}
			where := ""
			if f.Line > 0 {
				where = fmt.Sprintf("line %d: ", f.Line)
			}
			v.Findings = append(v.Findings, where+string(f.Kind)+": "+f.Text)
		}
	}
	if r != nil {
		minutes = r.Minutes
	}
	v.Minutes = int(math.Ceil(minutes))
	v.Bench, v.Clamp, v.After = s.bench(p), p.Clamp, s.byHand(p)
	v.KeepOuts = s.keepOuts(v.Gear)
	v.Sketches = s.sketches(p)
	v.Moved, v.Touches = s.touches(p)
	v.SignTest = s.signTest(p)
	v.Ops = s.ops(p)
	v.Restart = p.Passes() > 1
	for _, o := range v.Ops {
		for _, st := range o.Steps {
			v.HoldYourself = v.HoldYourself || st.Stop != "" && !s.job.Machine.Stops
		}
	}
	v.Measures = s.measures(p.Purpose)
	if p.Purpose == "facets" {
		v.Filing = s.filing()
		for _, c := range s.Costs {
			v.Costs = append(v.Costs, fact{c.Error, s.size(c.Flank)})
		}
	}
	return v, s.pictures(&v)
}

// telling are the parts of a program's pictures that show what to do at the
// machine; the others are folded away on the screen and not printed.
var telling = []string{"index", "root", "ladder"}

// pictures finds the pictures of a program by name: that of the program
// itself, and those named after it and a part.
func (s *sheet) pictures(v *program) error {
	var names []string
	for name := range s.Pictures {
		bare := strings.TrimSuffix(name, ".png")
		if bare == v.ID || strings.HasPrefix(bare, v.ID+"-") {
			names = append(names, name)
		}
	}
	sort.Strings(names)
	for _, name := range names {
		data := s.Pictures[name]
		c, err := png.DecodeConfig(bytes.NewReader(data))
		if err != nil {
			return fmt.Errorf("picture %s: %w", name, err)
		}
		bare := strings.TrimSuffix(name, ".png")
		p := picture{bare, template.URL(pictureMark + strconv.Itoa(len(s.shown))), c.Width, c.Height}
		s.shown = append(s.shown, data)
		part := strings.TrimPrefix(bare, v.ID)
		if part == "" {
			v.Main = &p
			continue
		}
		list := &v.More
		for _, t := range telling {
			if strings.HasPrefix(part, "-"+t) {
				list = &v.Telling
			}
		}
		*list = append(*list, p)
	}
	return nil
}

// measures returns what is to be measured after a program.
func (s *sheet) measures(after toolpath.Purpose) []reading {
	var out []reading
	for _, m := range s.Measures {
		if m.After != after {
			continue
		}
		v := reading{Name: m.Name, What: m.What, With: m.With, Note: m.Note}
		if m.Nominal != 0 {
			n := s.size(m.Nominal)
			v.Nominal = &n
			if m.High > m.Low {
				lo, hi := s.size(m.Low), s.size(m.High)
				v.Low, v.High = &lo, &hi
			}
		}
		out = append(out, v)
	}
	return out
}

// visible shows characters that print nothing, or that turn the direction of
// what follows, by their number: what one reads is then what is there.
func visible(text string) string {
	var b strings.Builder
	for _, r := range strings.ReplaceAll(strings.TrimPrefix(text, "\ufeff"), "\r\n", "\n") {
		if r != '\n' && r != '\t' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r)) {
			fmt.Fprintf(&b, "⟨%U⟩", r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}
