package preview

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // for the page's template and script
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
	"sync"

	"cogmend/gcode/machine"
	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// DryPage is the dry run of a job's programs as one page, to be stepped
// through by pass and by block. It is drawn from what the replay of the text
// sees; the lengths in it are hundredths of a millimetre, Z down as screens have
// it.
type DryPage struct {
	Title, Fingerprint string        // of the job
	NewMetal           string        // what the tooth is cut from, in a word
	Programs           []*DryProgram // in the order of work
}

// DryProgram is one program of the page.
type DryProgram struct {
	ID        int            `json:"-"`
	File      string         `json:"file"` // name of the program's file
	Title     string         `json:"title"`
	Inch      bool           `json:"inch"`     // its numbers are inches; else millimetres
	Decimals  int            `json:"decimals"` // of its lengths, as shown
	Turns     bool           `json:"turns"`    // the work turns with A
	Sign      int            `json:"sign"`     // of A against the gear's angle; 0: set by hand
	Shift     float64        `json:"shift"`    // what is added to a program's Z, mm
	Window    [4]int         `json:"window"`   // of the section: left, top, width, height
	Radius    int            `json:"radius"`   // at which the tooth worked on goes round with the gear
	Teeth     []float64      `json:"teeth"`    // to be made, from the top, degrees; none where the work stands still
	Side      dryView        `json:"side"`
	Lines     []string       `json:"lines"`  // of its text
	Tools     map[int]dryCut `json:"tools"`  // by T number
	Places    []dryPlace     `json:"places"` // stations looked at, along X
	Shapes    []string       `json:"shapes"` // of metal still to come off, each once
	Passes    []dryPass      `json:"passes"` // stretches of Blocks
	Blocks    []dryBlock     `json:"blocks"` // motions, in order
	KeepOuts  []string       `json:"keepouts"`
	scene     Scene
	shapeAt   map[string]int
	placeAt   map[int]int // by station
	panel     *figure.Panel
	passNames map[int]string
	next      int
	shown     int // station
}

// dryView is a flat view that stands still: outlines by class.
type dryView struct {
	Window [4]int     `json:"window"`
	Parts  []dryShape `json:"parts"`
}

// dryShape is an outline and what it is.
type dryShape struct {
	Class string `json:"c"`
	D     string `json:"d"`
}

// dryCut is a tool, from the tip up.
type dryCut struct {
	Name  string     `json:"name"`
	Parts []dryShape `json:"parts"`
}

// dryPlace is a section of the work across X.
type dryPlace struct {
	X     string     `json:"x"`
	Parts []dryShape `json:"parts"` // what stays, gear at angle 0
	First int        `json:"first"` // shape of what is to come off before the program
}

// dryPass is a stretch of blocks with a name.
type dryPass struct {
	Name  string `json:"name"`
	Block int    `json:"block"` // the first
}

// dryBlock is one motion: kind 0 rapid, 1 feed, 2 arc.
type dryBlock struct {
	Line  int     `json:"l"`
	Kind  int     `json:"k"`
	To    [3]int  `json:"p"`
	Angle float64 `json:"a"` // of the gear, degrees
	Tool  int     `json:"t"`
	Place int     `json:"s"`
	Shape int     `json:"w"` // of what is left to come off there
	Left  string  `json:"m"` // how much that is
}

// Add begins the page of a program; text is the program as it is read. Its
// Observe is a replay.Setup's.
func (d *DryPage) Add(s Scene, text []byte) *DryProgram {
	j := s.Plan.Job
	p := &DryProgram{
		ID: len(d.Programs), File: s.Program.File(), Title: s.Program.Title, Inch: j.Units == job.Inch, Decimals: 3, Turns: s.gear(),
		Shift: s.shift(), Tools: map[int]dryCut{}, Lines: strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n"),
		KeepOuts: []string{}, Passes: []dryPass{}, Blocks: []dryBlock{}, Teeth: []float64{},
		scene: s, shapeAt: map[string]int{}, placeAt: map[int]int{}, passNames: passNames(text), next: 1, shown: s.show(),
	}
	if p.Inch {
		p.Decimals = 4
	}
	if p.Turns && j.Index.Device == job.Rotary {
		p.Sign = j.Machine.RotarySign
	}
	p.panel = figure.NewFrame(figure.Millimetre).Panel("", figure.Whole())
	at, _ := deepest(s.mainOp(), anywhere)
	s.frameWork(p.panel, at)
	p.Window = hundredths(p.panel.Min, p.panel.Max)
	if p.Turns {
		p.Radius = hundredth(s.Plan.Sizes.TipTop)
		for _, q := range j.Gear.Places {
			p.Teeth = append(p.Teeth, geom.Degrees(q*j.Gear.Pitch()))
		}
	}
	p.Side = p.beside()
	for i := range s.Program.Ops {
		c := s.Program.Ops[i].Cutter
		cut := dryCut{Name: s.cutterName(c)}
		for _, q := range metal.Parts(c) {
			class := "flutes"
			switch {
			case q.Name == "holder":
				class = "holder"
			case !q.Cuts:
				class = "shank"
			}
			cut.Parts = append(cut.Parts, dryShape{class, ringPath([]geom.Vec{{Y: -q.R0, Z: q.Z0}, {Y: q.R0, Z: q.Z0}, {Y: q.R1, Z: q.Z1}, {Y: -q.R1, Z: q.Z1}})})
		}
		p.Tools[c.Number] = cut
	}
	for _, k := range s.Before.KeepOuts {
		p.KeepOuts = append(p.KeepOuts, ringPath(boxRing(k.Y[0], k.Z[0]+s.shift(), k.Y[1], k.Z[1]+s.shift())))
	}
	d.Programs = append(d.Programs, p)
	return p
}

// beside is the view along Y that stands still.
func (p *DryProgram) beside() dryView {
	s := p.scene
	side := figure.NewFrame(figure.Millimetre).Panel("", figure.Whole())
	x0, x1 := s.reachX()
	switch {
	case !s.gear():
		s.blockBeside(side, x0, x1)
	case s.Program.Purpose == toolpath.SlotProgram:
		s.slotBeside(side, x0, x1)
	default:
		s.insertBeside(side, x0, x1)
	}
	s.boxesBeside(side)
	side.Min.Z, side.Max.Z = p.panel.Min.Z, p.panel.Max.Z
	return dryView{hundredths(side.Min, side.Max), partsOf(side)}
}

// classes names what is drawn in the page's style.
var classes = map[figure.Style]string{
	figure.Neighbour: "casting", figure.Stock: "casting", figure.Insert: "insert", figure.Target: "target", figure.KeepOut: "keep",
	figure.Removed: "off", figure.Hidden: "hidden", figure.Alternative: "other", figure.Edge: "edge",
}

// partsOf turns what stands on a panel into outlines.
func partsOf(p *figure.Panel) []dryShape {
	var out []dryShape
	for _, it := range p.Items {
		class, ok := classes[it.Style]
		switch {
		case !ok:
		case it.Kind == figure.KindRegion:
			out = append(out, dryShape{class, regionPath(it.Pieces)})
		case it.Kind == figure.KindLine:
			out = append(out, dryShape{class + " line", linePath(it.Pieces[0], false)})
		}
	}
	return out
}

// place is the section of a station, made when it is first seen.
func (p *DryProgram) place(station int) int {
	if n, ok := p.placeAt[station]; ok {
		return n
	}
	s, st := p.scene, p.scene.Before.Stations[station]
	panel := *p.panel
	panel.Items = nil
	s.kept(&panel, st, 0)
	n := len(p.Places)
	p.placeAt[station] = n
	p.Places = append(p.Places, dryPlace{s.len(st.X), partsOf(&panel), p.shape(st.Waste)})
	return n
}

// shape is the number of an outline; alike ones have one.
func (p *DryProgram) shape(r geom.Region) int {
	d := regionPath(pieces(r))
	n, ok := p.shapeAt[d]
	if !ok {
		n = len(p.Shapes)
		p.shapeAt[d] = n
		p.Shapes = append(p.Shapes, d)
	}
	return n
}

// Observe takes one motion of the replay and the stock after it.
func (p *DryProgram) Observe(m *machine.Motion, angle float64, stations []replay.Station) {
	if math.IsNaN(m.To.X + m.To.Y + m.To.Z) {
		return
	}
	name, named := "", false
	for ; p.next <= m.Line; p.next++ {
		if text, ok := p.passNames[p.next]; ok {
			name, named = text, true
		}
	}
	if named || len(p.Passes) == 0 {
		p.Passes = append(p.Passes, dryPass{name, len(p.Blocks)})
	}
	b := dryBlock{Line: m.Line, Kind: 1, Angle: math.Round(geom.Degrees(angle)*1e4) / 1e4,
		To: [3]int{hundredth(m.To.X), hundredth(m.To.Y), -hundredth(m.To.Z + p.Shift)}}
	switch {
	case m.Kind == machine.Rapid:
		b.Kind = 0
	case m.Arc != nil:
		b.Kind = 2
	}
	if m.State != nil {
		b.Tool = m.State.Tool
	}
	p.shown = p.scene.seen(m, p.shown)
	st := &stations[p.shown]
	b.Place = p.place(p.shown)
	b.Shape = p.shape(st.Waste)
	if n := len(p.Blocks); n > 0 && p.Blocks[n-1].Shape == b.Shape && p.Blocks[n-1].Place == b.Place {
		b.Left = p.Blocks[n-1].Left
	} else {
		b.Left = p.scene.standing(st)
	}
	p.Blocks = append(p.Blocks, b)
}

//go:embed drypage.html.tmpl
var dryPageText string

//go:embed drypage.js
var dryPageScript string

var dryPageTemplate = sync.OnceValue(func() *template.Template {
	sum := sha256.Sum256([]byte(dryPageScript))
	policy := "default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	return template.Must(template.New("dry run").Funcs(template.FuncMap{
		"script": func() template.JS { return template.JS(dryPageScript) },
		"data":   func(p *DryProgram) (template.JS, error) { b, err := json.Marshal(p); return template.JS(b), err },
		"policy": func() string { return policy },
	}).Parse(dryPageText))
})

// Write writes the page.
func (d *DryPage) Write(w io.Writer) error {
	var b bytes.Buffer
	if err := dryPageTemplate().Execute(&b, d); err != nil {
		return fmt.Errorf("dry run page: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

// DryStep is the end of a pass as the page shows it without its script.
type DryStep struct {
	Name, Line, Setting, Left string
	Place                     int
	Shape                     string
	Tool                      int
	Turn                      string // of the gear in the picture
	Window                    [4]int
	Y, Z, X                   int
}

// Steps are the ends of the passes.
func (p *DryProgram) Steps() []DryStep {
	var out []DryStep
	for i, pass := range p.Passes {
		last := len(p.Blocks) - 1
		if i+1 < len(p.Passes) {
			last = p.Passes[i+1].Block - 1
		}
		// The last cut of the pass tells more than the way up after it.
		for last > pass.Block && p.Blocks[last].Kind == 0 {
			last--
		}
		b := p.Blocks[last]
		step := DryStep{Name: pass.Name, Left: b.Left, Place: b.Place, Shape: p.Shapes[b.Shape],
			Tool: b.Tool, Turn: fmt.Sprintf("%.4f", b.Angle), Window: p.follow(b.Angle), X: b.To[0], Y: b.To[1], Z: b.To[2]}
		if b.Line >= 1 && b.Line <= len(p.Lines) {
			step.Line = fmt.Sprintf("line %d: %s", b.Line, strings.TrimSpace(p.Lines[b.Line-1]))
		}
		if p.Turns {
			step.Setting = "gear at " + degrees(geom.Radians(b.Angle))
			if p.Sign != 0 {
				step.Setting = "A " + degrees(geom.Radians(b.Angle*float64(p.Sign)))
			}
		}
		out = append(out, step)
	}
	return out
}

// follow is the section's window with the gear turned by an angle in degrees: it
// goes along with the tooth nearest the top.
func (p *DryProgram) follow(angle float64) [4]int {
	w := p.Window
	if len(p.Teeth) == 0 {
		return w
	}
	at := p.Teeth[0] + angle
	for _, t := range p.Teeth {
		if math.Abs(t+angle) < math.Abs(at) {
			at = t + angle
		}
	}
	sin, cos := math.Sincos(geom.Radians(at))
	w[0] += int(float64(p.Radius) * sin)
	w[1] += int(float64(p.Radius) * (1 - cos))
	return w
}

// hundredth is a length in hundredths of a millimetre.
func hundredth(mm float64) int { return int(math.Round(mm * 100)) }

// hundredths is a window as a view box.
func hundredths(lo, hi geom.Vec) [4]int {
	return [4]int{hundredth(lo.Y), -hundredth(hi.Z), hundredth(hi.Y - lo.Y), hundredth(hi.Z - lo.Z)}
}

func boxRing(y0, z0, y1, z1 float64) []geom.Vec {
	return []geom.Vec{{Y: y0, Z: z0}, {Y: y1, Z: z0}, {Y: y1, Z: z1}, {Y: y0, Z: z1}}
}

// ringPath is a polygon as a path.
func ringPath(ring []geom.Vec) string { return linePath(ring, true) }

// regionPath is polygons as one path.
func regionPath(pieces [][]geom.Vec) string {
	var b strings.Builder
	for _, piece := range pieces {
		if len(piece) > 2 {
			b.WriteString(linePath(piece, true))
		}
	}
	return b.String()
}

// linePath is a line of points as a path: the first in full, the others from the
// one before.
func linePath(pts []geom.Vec, closed bool) string {
	var b strings.Builder
	var lastY, lastZ int
	for i, v := range pts {
		y, z := hundredth(v.Y), -hundredth(v.Z)
		switch {
		case i == 0:
			fmt.Fprintf(&b, "M%d %dl", y, z)
		case y == lastY && z == lastZ:
			continue
		default:
			fmt.Fprintf(&b, "%d %d ", y-lastY, z-lastZ)
		}
		lastY, lastZ = y, z
	}
	text := strings.TrimSuffix(strings.TrimSuffix(b.String(), " "), "l")
	if closed {
		text += "z"
	}
	return text
}
