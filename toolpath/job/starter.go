package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"cogmend/profiles/geom"
)

// Start says what is known of a gear when a new job file is begun. The zero
// value of a field means that it is not known.
type Start struct {
	Title          string     // of the repair, one line
	Units          Units      // the file's
	Teeth          int        // of the gear
	Module         float64    // mm; 0 with DiametralPitch given
	DiametralPitch float64    // teeth per inch
	Pressure       float64    // rad
	Rack           string     // a name of profiles.RackNames
	Addendum       float64    // modules; 0: the rack's
	Shift          float64    // modules
	Thinning       float64    // mm
	Face           float64    // mm
	Bore           float64    // mm
	Stub           float64    // height of the broken stub over the root circle, mm
	Missing        int        // how many teeth are missing, side by side
	By             Way        // how the tooth comes back
	Form           *StartForm // of flanks that are no involutes; nil when they are
}

// StartOf returns what settings say of a gear, as far as each of them can stand
// in a job in the given units. A failure is an Errors that names the settings.
func StartOf(units Units, settings []Setting) (Start, error) {
	d := &draft{job: &Job{Units: units}, given: map[string]spot{}, bad: map[string]bool{}, partial: true}
	items := map[string]item{}
	d.lay(settings, units, items)
	form := formOf(settings)
	d.toTouch = form == formNames[copiedForm]
	j, err := d.finish(items, nil)
	if err != nil {
		return Start{}, err
	}
	g := &j.Gear
	s := Start{Title: j.Title, Units: units, Teeth: g.Teeth, Module: d.module, DiametralPitch: d.pitch, Pressure: g.Pressure, Rack: d.rack,
		Shift: g.Shift, Thinning: g.Thinning, Face: g.Face, Bore: g.Bore, Missing: d.missing, By: j.By}
	if d.has("slot.stub") {
		s.Stub = j.Slot.Stub
	}
	if form != "" {
		s.Form = &StartForm{Name: form, Set: d.setOf, Outside: d.outside, Depth: d.depth, Land: d.tipLand}
		if err := s.Form.missing(settings); err != nil {
			return Start{}, err
		}
	}
	return s, nil
}

// Starter returns a commented job file to begin with. It decodes; when what is
// known of the gear cannot make a job, the error is what Decode would say.
func Starter(s Start) ([]byte, error) {
	s.fill()
	text := []byte(s.text())
	decode := Decode
	if s.Form.copies() {
		decode = DecodeToTouch
	}
	if _, err := decode("new job", text, nil); err != nil {
		return nil, err
	}
	return text, nil
}

// fill takes the commonest for what is not known.
func (s *Start) fill() {
	if s.Title == "" {
		s.Title = "Name of the machine and gear"
	}
	if s.Teeth == 0 {
		s.Teeth = 40
	}
	if s.Form.copies() {
		s.Module = s.Form.Outside / float64(s.Teeth+2) // about, for the cutters
	}
	if s.Module == 0 && s.DiametralPitch == 0 {
		s.Module = 3
	}
	if s.Pressure == 0 {
		s.Pressure = 20 * math.Pi / 180
	}
	if s.Face == 0 {
		s.Face = 30
	}
	if s.Missing == 0 {
		s.Missing = 1
	}
}

// module returns the gear's module, mm.
func (s *Start) module() float64 {
	if s.Module != 0 {
		return s.Module
	}
	return inch / s.DiametralPitch
}

// stockMM and stockInch are end mills one can buy, mm and inches.
var (
	stockMM   = []float64{0.5, 0.8, 1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 16}
	stockInch = []float64{1.0 / 64, 1.0 / 32, 3.0 / 64, 1.0 / 16, 3.0 / 32, 1.0 / 8, 5.0 / 32, 3.0 / 16, 1.0 / 4, 5.0 / 16, 3.0 / 8, 1.0 / 2, 5.0 / 8}
)

// stock returns the end mills one can buy in the job's unit, mm.
func (s *Start) stock() []float64 {
	if s.Units != Inch {
		return stockMM
	}
	out := make([]float64, len(stockInch))
	for i, d := range stockInch {
		out[i] = d * inch
	}
	return out
}

// shank returns the shank of a suggested cutter: the thinnest that is common in
// the job's unit, or the cutter's own diameter.
func (s *Start) shank(diameter float64) float64 {
	least := leastShank
	if s.Units == Inch {
		least = inch / 4
	}
	return math.Max(least, diameter)
}

// even returns the step in the job's unit that is nearest to one in mm: a
// sixteenth of an inch for a millimetre, thousandths for parts of it.
func (s *Start) even(step float64) float64 {
	if s.Units != Inch {
		return step
	}
	if step >= 1 {
		return step * inch / 16
	}
	return math.Max(1, math.Round(step*1000/inch)) * inch / 1000
}

// starterAngle is the dovetail's included angle in a new job, degrees: common
// practice.
const starterAngle = 15

// sound says whether the schema allows the numbers that decide the cutters.
func (s *Start) sound() bool {
	for path, v := range map[string]float64{
		"gear.teeth": float64(s.Teeth), "gear.pressure_angle": geom.Degrees(s.Pressure), "gear.profile_shift": s.Shift,
		"gear.thinning": s.Thinning, "gear.bore": s.Bore, "gear.missing": float64(s.Missing),
	} {
		if !KeyAt(path).Holds(v) {
			return false
		}
	}
	if s.Module != 0 {
		return KeyAt("gear.module").Holds(s.Module)
	}
	return KeyAt("gear.diametral_pitch").Holds(s.DiametralPitch)
}

// mills chooses an end mill for the slot, a thinner one for the root, and the
// sizes of a dovetail cutter that suits; ok is false when no such gear can be.
func (s *Start) mills() (slot, root float64, d dovetailRoom, ok bool) {
	if !s.sound() {
		return 0, 0, d, false
	}
	t := &draft{job: &Job{}, given: map[string]spot{}, module: s.Module, pitch: s.DiametralPitch, rack: s.Rack}
	t.table("slot", nil) // with nothing given: the defaults
	t.table("insert", nil)
	g := &t.job.Gear
	g.Teeth, g.Module, g.Pressure, g.Shift, g.Thinning = s.Teeth, s.module(), s.Pressure, s.Shift, s.Thinning
	g.NeighbourThinning, g.RimInner = g.Thinning, s.Bore
	if g.Rack = t.proportions(); s.Addendum != 0 {
		g.Rack.Addendum = s.Addendum
	}
	for i := range s.Missing {
		g.Places = append(g.Places, float64(i))
	}
	if g.Validate() != nil {
		return 0, 0, d, false
	}
	r, err := roomAt(g, t.job.Slot.SeatBelow)
	if err != nil {
		return 0, 0, d, false
	}
	body := r.defaultBody(t.job.Slot.SeatPlay)
	d.mouth = defaultMouth(body, g.Module)
	d.depth = defaultDepth(d.mouth, starterAngle*math.Pi/360, body, t.job.Insert.OverSize, r.rim-t.job.Slot.Deeper, math.Inf(1))
	// Where there is no room, Decode says so; the cutters must not be nonsense.
	d.mouth, d.depth = math.Max(d.mouth, 0.6), math.Max(d.depth, 0.5)
	d.deeper, d.radial, d.floor = t.job.Slot.Deeper, t.job.Slot.RadialCut, r.seat-d.depth-t.job.Slot.Deeper
	if s.Form == nil {
		d.beside, _ = g.NeighbourFlank()
	}
	slot, root = s.stock()[0], s.stock()[0]
	for _, m := range s.stock() {
		if m <= 0.9*d.mouth {
			slot = m
		}
		if m <= 0.5*d.mouth {
			root = m
		}
	}
	if root == slot {
		root = 0
	}
	return slot, root, d, true
}

// writer builds the text: keys with their meaning from the schema as comment.
type writer struct {
	strings.Builder
	units Units
}

func (w *writer) table(name, meaning string) { fmt.Fprintf(w, "\n[%s]  # %s\n", name, meaning) }

// key writes one line; path is the key's in the schema.
func (w *writer) key(path, value string) {
	k := KeyAt(path)
	fmt.Fprintf(w, "%-28s # %s\n", k.Name+" = "+value, k.Meaning)
}

// byDefault writes a key with the value it would have without the line.
func (w *writer) byDefault(path string) { w.key(path, KeyAt(path).Default) }

// off writes a key that is commented out.
func (w *writer) off(path, value string) {
	k := KeyAt(path)
	fmt.Fprintf(w, "%-28s # %s\n", "# "+k.Name+" = "+value, k.Meaning)
}

// mm writes a length as a bare number of the file.
func (w *writer) mm(v float64) string { return trim(v/unitOf(Length, w.units).factor, 5) }

// number writes a number so that reading gives it back.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// text writes the file.
func (s *Start) text() string {
	w := &writer{units: s.Units}
	fmt.Fprintln(w, "# Every key is explained by: cogmend help job")
	w.key("format", "1")
	w.key("units", strconv.Quote([]string{"mm", "inch"}[s.Units]))
	w.key("title", quoteTOML(s.Title))
	s.gear(w)
	slot, root, room, ok := s.mills()
	cutters := *s
	if !ok { // Decode says why; any cutters will do
		slot, room = 4, dovetailRoom{mouth: 4, depth: 5}
		cutters = Start{Units: s.Units}
		cutters.fill()
	}
	if s.By == ByBuildUp {
		s.bead(w)
	} else {
		s.joint(w, room.mouth, room.depth)
	}
	s.touches(w)
	w.table("facets", tableMeanings["facets"])
	w.key("facets.tolerance", `"0.02 mm"`)
	w.table("index", tableMeanings["index"])
	w.byDefault("index.device")
	w.table("machine", tableMeanings["machine"])
	w.byDefault("machine.max_rpm")
	w.off("machine.travel_x", "["+w.mm(-150)+", "+w.mm(150)+"]")
	fmt.Fprintln(w, "\n# The cutters are suggestions: put in what you have, measured.")
	name, depth := "slotting", room.depth
	if s.By == ByBuildUp {
		name, depth = "flanks", 0
	}
	cutters.mill(w, name, 1, slot, depth)
	if root > 0 {
		cutters.mill(w, "root", 2, root, depth)
	}
	if s.By == ByInsert {
		cutters.dovetail(w, room)
	}
	cutters.stout(w, depth)
	return w.String()
}

// joint writes the tables of an insert.
func (s *Start) joint(w *writer, mouth, depth float64) {
	w.table("slot", tableMeanings["slot"])
	if s.Stub > 0 {
		w.key("slot.stub", w.mm(s.Stub))
	} else {
		w.WriteString("# Measure the stub: without this line it is cleared from the tip circle down.\n")
		w.off("slot.stub", w.mm(math.Round(s.module()/2*10)/10))
	}
	w.off("slot.mouth", w.mm(mouth))
	w.off("slot.depth", w.mm(depth))
	w.table("fit", tableMeanings["fit"])
	w.off("fit.tight_middle", `"0.03 mm"`)
	w.off("fit.step", "4")
	w.table("lock", tableMeanings["lock"]+"; needs its two drills below")
	w.off("lock.thread", map[Units]string{MM: `"M5"`, Inch: `"10-32"`}[s.Units])
}

// bead writes the tables of a tooth that is built up.
func (s *Start) bead(w *writer) {
	w.table("repair", tableMeanings["repair"])
	w.key("repair.by", `"build-up"`)
	w.table("bead", "a tooth built up by brazing or welding, as it stands")
	w.WriteString("# Measure the bead, the gear cold, at its highest places: these three are examples.\n")
	w.key("bead.beside", w.mm(upTo(s.module()/3, s.even(0.1))))
	w.key("bead.top", w.mm(upTo(s.module()/2, s.even(0.1))))
	w.key("bead.ends", w.mm(s.even(1)))
	w.off("bead.stub", w.mm(0))
	w.byDefault("bead.material")
	w.off("bead.strength", "350")
	w.off("bead.bond", "40")
}

func (s *Start) gear(w *writer) {
	w.table("gear", tableMeanings["gear"])
	w.key("gear.teeth", strconv.Itoa(s.Teeth))
	switch {
	case s.Form.copies():
	case s.Module != 0:
		w.key("gear.module", number(s.Module))
	default:
		w.key("gear.diametral_pitch", number(s.DiametralPitch))
	}
	if s.Form == nil {
		w.key("gear.pressure_angle", trim(s.Pressure*180/math.Pi, 6))
	} else {
		s.form(w)
	}
	if s.Rack != "" {
		w.key("gear.proportions", quoteTOML(s.Rack))
	}
	if s.Addendum != 0 {
		w.key("gear.addendum", number(s.Addendum))
	}
	if s.Shift != 0 {
		w.key("gear.profile_shift", number(s.Shift))
	}
	w.key("gear.thinning", w.mm(s.Thinning))
	w.key("gear.face", w.mm(s.Face))
	if s.Bore == 0 {
		w.WriteString("# Measure the bore: 0 stands for a gear in one with its shaft.\n")
	}
	w.key("gear.bore", w.mm(s.Bore))
	w.off("gear.rim_inner", w.mm(s.Bore))
	w.key("gear.missing", strconv.Itoa(s.Missing))
}

// mill writes an end mill long enough for slot and tooth.
func (s *Start) mill(w *writer, name string, n int, diameter, depth float64) {
	flute := 2.5 * diameter
	w.table("cutter."+name, "end mill")
	w.key("cutter.NAME.number", strconv.Itoa(n))
	w.key("cutter.NAME.diameter", w.mm(diameter))
	w.key("cutter.NAME.flute_length", w.mm(flute))
	w.key("cutter.NAME.neck", w.mm(0.95*diameter))
	w.key("cutter.NAME.neck_length", w.mm(upTo(s.reach(depth, flute), s.even(1))))
	w.key("cutter.NAME.shank", w.mm(s.shank(diameter)))
	w.key("cutter.NAME.stick_out", w.mm(upTo(s.reach(depth, flute)+5, s.even(1))))
}

// stout writes an end mill for the insert's block and ends, whose flutes reach
// from the tooth's tip to under the dovetail.
func (s *Start) stout(w *writer, depth float64) {
	reach := upTo(2.7*s.module()+depth+4, s.even(1)) // whole depth, tall insert and all
	stock := s.stock()
	diameter := stock[len(stock)-1]
	for i := len(stock) - 1; i >= 0 && stock[i] >= math.Max(leastShank, reach/4); i-- {
		diameter = stock[i]
	}
	w.table("cutter.stout", map[Way]string{ByInsert: "long end mill, for the insert's block and ends", ByBuildUp: "long end mill, for the ends and tip"}[s.By])
	w.key("cutter.NAME.number", "4")
	w.key("cutter.NAME.diameter", w.mm(diameter))
	w.key("cutter.NAME.flute_length", w.mm(reach))
	w.key("cutter.NAME.shank", w.mm(diameter))
	w.key("cutter.NAME.stick_out", w.mm(upTo(reach+6, s.even(1))))
}

// reach is how far a cutter on the slot's floor stands under the tips: depth,
// the tooth and a little, never less than its flutes.
func (s *Start) reach(depth, flute float64) float64 {
	return math.Max(flute, depth+2.5*s.module()+2)
}

// quoteTOML writes a basic string of TOML. Decode refuses control characters
// afterwards, so only quotes and backslashes need care.
func quoteTOML(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\r", `\r`).Replace(s) + `"`
}
