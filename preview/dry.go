package preview

import (
	"fmt"
	"image"
	"math"
	"runtime"
	"strings"

	"cogmend/gcode"
	"cogmend/gcode/machine"
	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Dry draws the frames of a dry run from the blocks as a replay reads them:
// its Observe is a replay.Setup's. Frames are drawn on all cores and handed
// over in order.
type Dry struct {
	scene  Scene
	lines  []string
	passes map[int]string // by the line that names a pass
	every  bool

	backdrops map[int]*figure.Backdrop // by station
	place     int                      // station shown
	pass      string
	next      int // first line whose pass is not known yet
	held      func()
	err       error // of drawing a backdrop

	queue chan chan frame
	done  chan error
}

// frame is a drawn frame or why it could not be drawn.
type frame struct {
	im  *image.Paletted
	err error
}

// passNames finds the names of passes in a program, by their lines.
func passNames(text []byte) map[int]string {
	out := map[int]string{}
	for _, s := range gcode.PassStarts(text) {
		out[s.Line] = s.Title
	}
	return out
}

// NewDry prepares the dry run of a program. text is the program as it is read;
// every asks for a frame after each motion instead of one at the end of each
// pass. emit gets the frames, numbered from 1, one at a time; its first error
// ends the run and is returned by Close. The scene's After and Report are not
// used.
func NewDry(s Scene, text []byte, every bool, emit func(n int, im *image.Paletted) error) *Dry {
	d := &Dry{
		scene: s, every: every, backdrops: map[int]*figure.Backdrop{}, next: 1,
		lines: strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n"),
		place: s.show(), queue: make(chan chan frame, runtime.GOMAXPROCS(0)), done: make(chan error, 1),
	}
	d.passes = passNames(text)
	go d.deliver(emit)
	return d
}

// deliver hands the frames over in the order in which they were asked for.
func (d *Dry) deliver(emit func(n int, im *image.Paletted) error) {
	var first error
	n := 0
	for c := range d.queue {
		f := <-c
		if first == nil {
			first = f.err
		}
		if first == nil {
			n++
			first = emit(n, f.im)
		}
	}
	d.done <- first
}

// Close draws what is still to be drawn, waits for it and returns the first
// error of drawing or of emit. It must be called once, after the replay.
func (d *Dry) Close() error {
	if d.held != nil {
		d.held()
	}
	close(d.queue)
	if err := <-d.done; err != nil {
		return err
	}
	return d.err
}

// Observe takes one motion of the replay and the stock after it.
func (d *Dry) Observe(m *machine.Motion, angle float64, stations []replay.Station) {
	if d.err != nil {
		return
	}
	before := d.pass
	for ; d.next <= m.Line; d.next++ {
		if name, ok := d.passes[d.next]; ok {
			d.pass = name
		}
	}
	if d.held != nil && d.ends(before, m) {
		d.held()
		d.held = nil
	}
	if !d.every && m.Kind == machine.Rapid {
		return
	}
	d.place = d.scene.seen(m, d.place)
	back := d.backdrop()
	if back == nil {
		return
	}
	f := back.Next()
	d.draw(f, m, angle, &stations[d.place])
	show := func() { d.send(back, f) }
	if d.every {
		show()
		return
	}
	d.held = show
}

// ends says that the pass of the frame held back ends before m: m belongs to
// another or, in a program without names of passes, lifts the cutter.
func (d *Dry) ends(before string, m *machine.Motion) bool {
	if len(d.passes) > 0 {
		return d.pass != before
	}
	return m.Kind == machine.Rapid && m.To.Z > m.From.Z
}

func (d *Dry) send(back *figure.Backdrop, f *figure.Figure) {
	c := make(chan frame, 1)
	d.queue <- c
	go func() {
		im, err := back.Frame(f)
		c <- frame{im, err}
	}()
}

// seen returns the station to look at: one that the motion cuts, when it does
// not pass the one that shows most of the work; the one shown so far when it
// cuts none.
func (s Scene) seen(m *machine.Motion, shown int) int {
	if m.Kind == machine.Rapid || math.IsNaN(m.From.X) {
		return shown
	}
	r := 0.0
	if c := s.cutterOf(m); c != nil {
		r = c.Radius()
	}
	lo, hi := min(m.From.X, m.To.X)-r, max(m.From.X, m.To.X)+r
	best, off := shown, math.Inf(1)
	home := s.show()
	for i, st := range s.Before.Stations {
		if st.X < lo || st.X > hi {
			continue
		}
		away := math.Abs(st.X - m.To.X)
		if i == home {
			away = -1
		}
		if away < off {
			best, off = i, away
		}
	}
	return best
}

// cutterOf is the cutter in the spindle during a motion, nil when the job has
// none of that number.
func (s Scene) cutterOf(m *machine.Motion) *profiles.Cutter {
	if m.State == nil {
		return nil
	}
	for i := range s.Plan.Job.Cutters {
		if c := &s.Plan.Job.Cutters[i]; c.Number == m.State.Tool {
			return c
		}
	}
	return nil
}

// backdrop returns what stands behind the frames of the station shown; nil when
// it cannot be drawn, which d.err then tells.
func (d *Dry) backdrop() *figure.Backdrop {
	if s := d.backdrops[d.place]; s != nil {
		return s
	}
	s := d.scene
	st := s.Before.Stations[d.place]
	size, _ := s.units()
	f := named(figure.NewFrame(size, "", "", ""))
	p := f.Panel("Section at X "+s.len(st.X)+", seen from +X", figure.Whole())
	p.Origin.Z = s.shift()
	at, _ := deepest(s.mainOp(), anywhere)
	s.frameWork(p, at)
	s.keepOuts(p, st.X)
	p.Region(figure.Removed, pieces(st.Waste))
	s.kept(p, st, 0)
	p.Name(figure.Removed, "has come off").Name(figure.MetalLeft, "to come off")
	p.ExtraKeys = []figure.Style{figure.MetalLeft, figure.Cutter, figure.Shank, figure.Holder}
	if d.backdrops[d.place], d.err = figure.NewBackdrop(f, 1); d.err != nil {
		return nil
	}
	return d.backdrops[d.place]
}

// draw puts a moment on a frame. What it keeps of the stock is a copy, for the
// replay goes on while the frame is drawn.
func (d *Dry) draw(f *figure.Figure, m *machine.Motion, angle float64, st *replay.Station) {
	s := d.scene
	p := f.Panels[0]
	waste := make([][]geom.Vec, len(st.Waste))
	for i, c := range st.Waste {
		waste[i] = append([]geom.Vec(nil), c.Pts...)
	}
	p.Region(figure.MetalLeft, waste)
	if c := s.cutterOf(m); c != nil && !math.IsNaN(m.To.Y+m.To.Z) {
		s.cutterAt(p, spot{c, geom.Vec{Y: m.To.Y, Z: m.To.Z + s.shift()}, m.To.X, angle, 0})
	}
	block := ""
	if m.Line >= 1 && m.Line <= len(d.lines) {
		block = strings.TrimSpace(d.lines[m.Line-1])
	}
	state := ""
	if s.gear() {
		state = "Gear at A " + degrees(float64(s.Plan.Job.Machine.RotarySign)*angle) + ".  "
	}
	state += "Metal left here: " + s.standing(st)
	f.Status = []string{fmt.Sprintf("%s  line %d  %s", s.Program.File(), m.Line, d.pass), block, state}
}

// standing is how far the metal of a station stands out of the target.
func (s Scene) standing(st *replay.Station) string {
	most := 0.0
	for _, c := range st.Waste {
		for _, v := range c.Pts {
			least := math.Inf(1)
			for _, z := range st.Zones {
				if len(z.Surface) > 0 {
					least = min(least, geom.Distance(v, z.Surface))
				}
			}
			if !math.IsInf(least, 1) {
				most = max(most, least)
			}
		}
	}
	if len(st.Waste) == 0 {
		return "none"
	}
	if most == 0 { // a piece that comes off whole
		return fmt.Sprintf("%.1f mm²", st.Waste.Area())
	}
	return "at most " + s.len(most)
}
