// Package sheet writes the sheet to work from at the machine: one HTML page that
// needs nothing but itself, and prints on A4 and Letter.
package sheet

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // for the sheet's template
	"encoding/base64"
	"fmt"
	"html/template"
	"image/png"
	"io"
	"slices"
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
	Plan     *toolpath.Plan        // of the whole repair
	Reports  []*replay.Report      // one a program of the plan; nil: not written, or its text cannot be read
	Pictures map[string]Picture    // by the figure's name; may be empty
	Measures []Measure             // in the order of work
	Expect   *toolpath.Expectation // of each new tooth; nil: not worked out
	// Tight is the length of the middle that is really tight in the program as
	// replayed, mm; 0: not known.
	Tight    float64
	Warnings []string // what to know before beginning, one sentence each
}

// Picture is a picture of a program.
type Picture struct {
	PNG   []byte   // the picture as a PNG file
	Notes []string // what its title block says of it
	// Body is how much of its height lies above the title block, a share of 1; 0:
	// all. On paper the rest is left out: the sheet says it.
	Body float64
}

// Measure is a size to measure, with a blank for the reading. Lengths mm.
type Measure struct {
	After     toolpath.Purpose // of the program after which it is measured; "": before any
	Name      string           // what the reading is called by, e.g. "slot.depth"
	What      string           // in words
	With      string           // pins, or the height to set; may be empty
	Pin       float64          // diameter of the pins; 0: none
	Nominal   float64          // the design's own size
	Low, High float64          // limits; alike: none
	Note      string           // what else to know of it; may be empty
}

//go:embed sheet.html.tmpl
var pageText string

// keepText is the script that keeps ticks and readings in the browser. The
// page works without it.
//
//go:embed keep.js
var keepText string

// pageTemplate is parsed when a sheet is asked for: many commands make none.
var pageTemplate = sync.OnceValue(func() *template.Template {
	sum := sha256.Sum256([]byte(keepText))
	policy := "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	return template.Must(template.New("sheet").Funcs(template.FuncMap{
		"n":      func() int { return 0 },
		"script": func() template.JS { return template.JS(keepText) },
		"policy": func() string { return policy },
	}).Parse(pageText))
})

// fresh is the template with its boxes counted from 1, so that no two have the
// same name.
func fresh() *template.Template {
	count := 0
	return template.Must(pageTemplate().Clone()).Funcs(template.FuncMap{"n": func() int { count++; return count }})
}

// Write writes the sheet to work from at the machine: one HTML page that needs
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
	if err := fresh().Execute(&b, page); err != nil {
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
	flown bool     // the programs for the runs in air have been told of
	shown [][]byte // pictures in the order of the page
}

// telling are the parts of a program's pictures that show what to do at the
// machine; the others are folded away on the screen and not printed. Where
// there is one, it takes the place of the program's main picture, if that is
// but the one of the program before.
var telling = []string{"index", "root", "stress"}

// pictures finds the pictures of a program by name: that of the program
// itself, and those named after it and a part.
func (s *sheet) pictures(v *program) error {
	var names []string
	for name := range s.Pictures {
		bare := strings.TrimSuffix(name, ".png")
		mine := bare == v.ID || strings.HasPrefix(bare, v.ID+"-")
		if strings.HasSuffix(bare, "-stress") && s.fits() {
			mine = v.fit // the tight middle makes the stress: shown where it is cut
		}
		if mine {
			names = append(names, name)
		}
	}
	sort.Slice(names, func(a, b int) bool { // stress after what makes it
		if sa, sb := strings.Contains(names[a], "-stress"), strings.Contains(names[b], "-stress"); sa != sb {
			return sb
		}
		return names[a] < names[b]
	})
	for _, name := range names {
		bare := strings.TrimSuffix(name, ".png")
		p, err := s.show(bare, s.Pictures[name])
		if err != nil {
			return err
		}
		part := strings.TrimPrefix(bare, v.ID)
		if v.fit && strings.HasSuffix(bare, "-stress") {
			part = "-stress"
		}
		again := v.trial || v.fit
		if part == "" && !again {
			v.Main = &p
			continue
		}
		list := &v.More
		for _, t := range telling {
			if strings.HasPrefix(part, "-"+t) || v.fit && part == "-plan" {
				list = &v.Telling
			}
		}
		*list = append(*list, p)
	}
	return nil
}

// fits says whether the insert's finishing program is written.
func (s *sheet) fits() bool {
	return slices.ContainsFunc(s.Plan.Programs, func(p toolpath.Program) bool {
		return p.Purpose == toolpath.FitProgram && p.Skipped == ""
	})
}

// show takes a picture into the page.
func (s *sheet) show(name string, given Picture) (picture, error) {
	c, err := png.DecodeConfig(bytes.NewReader(given.PNG))
	if err != nil {
		return picture{}, fmt.Errorf("picture %s: %w", name, err)
	}
	p := picture{Name: name, Alt: pictureAlt(name), Data: template.URL(pictureMark + strconv.Itoa(len(s.shown))), Width: c.Width, Height: c.Height, Body: 1, Notes: captionOf(given.Notes)}
	if given.Body > 0 {
		p.Body = given.Body
	}
	s.shown = append(s.shown, given.PNG)
	return p, nil
}

// captionOf is what a picture says of itself, without what stands at the head of
// its program.
func captionOf(notes []string) string {
	var out []string
	for _, n := range notes {
		if !strings.HasPrefix(n, "Checked: ") {
			out = append(out, n)
		}
	}
	return strings.Join(out, " ")
}

// measures returns what is to be measured after a program.
func (s *sheet) measures(after toolpath.Purpose) []reading {
	var out []reading
	for _, m := range s.Measures {
		if m.After != after {
			continue
		}
		v := reading{Name: m.Name, What: m.What, With: m.With, Note: s.bothIn(m.Note)}
		if m.Nominal != 0 {
			n := s.size(m.Nominal)
			v.Nominal = &n
			if m.High > m.Low {
				lo, hi := s.size(m.Low), s.size(m.High)
				v.Limits = &size{between(lo.Main, hi.Main), between(lo.Other, hi.Other)}
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

// pictureAlt says what a picture shows, by its name.
func pictureAlt(name string) string {
	_, part, _ := strings.Cut(strings.TrimLeft(name, "0123456789-"), "-")
	what, ok := map[string]string{
		"": "section across the axis and view from the side: stock, what stays, the cutter at its deepest", "plan": "paths from above",
		"cutters": "the cutters with their reach", "section": "section across the axis with every pass", "index": "the gear at each index with the cutters' places",
		"expect": "bars of what each number does to a flank, and the band in which the flank is likely to lie",
		"root":   "the root of the tooth, magnified, with the metal left", "steps": "the trial cuts, each narrower than the last", "stress": "stress in the casting, an estimate",
	}[part]
	if !ok {
		what = "picture of the program"
	}
	return name + ": " + what
}
