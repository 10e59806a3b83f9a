package sheet

import (
	"fmt"
	"html/template"
	"slices"
	"sort"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/toolpath"
)

// page is all that the template writes.
type page struct {
	Title, Job, Fingerprint string
	Gear                    []fact
	Against                 []string // why the insert must not be let in as planned; none: it may
	Not                     string   // what must not be done then
	Answers                 string   // who answers for it all the same
	NotToRun                []string // files of the programs that must not be run
	Minutes                 string   // all written programs
	Programs                []program
	Control                 []string // what this machine's control changes in the work
	Tools                   []tool
	Material                []string // what to lay ready beside the tools
	Tooling                 []sketch // what is ground or turned for this job
	Before                  []task
	BeforeMeasures          []reading
	Warnings                []string
	NotChecked              []string
	Facets                  string
	Expect                  *expectation
	Assembly                *assembly
	Files                   []file
}

// file is a file the person wrote, as it was read.
type file struct{ Name, Text string }

// fact is a named value.
type fact struct {
	Name string
	Size size
}

// program is what is done with one program.
type program struct {
	ID, File, Title string
	Setup           string   // "Gear" or "Insert"
	trial, fit      bool     // cut on the block as it stands
	held            []string // all that is clamped and looked at before its start
	Skipped         string
	Done            bool
	Clean           bool
	Verdict         string
	Findings        []string
	Minutes         string
	Bench           []task // what is done before it
	Clamp           []task
	KeepOuts        []keepOut
	Sketches        []sketch
	Legend          []legend
	Settings        *settings
	Stops           []task   // how the stops are set
	StopSketches    []sketch // the stops, drawn
	Main            *picture
	Telling         []picture // that show what to do
	More            []picture
	Moved           string // when the zeros of the program before still stand
	Touches         []task
	Touched         bool // all as for the program before
	SignTest        *signTest
	AirRun          []task
	Ops             []operation
	Springs         string // what was added because the cutter springs
	HoldYourself    bool   // stops that the control does not keep
	Restart         string // the command that begins again at a pass; "": it has one only
	Measures        []reading
	Gauging         []sketch // how they are taken
	Filing          []filing
	Maps            []sketch // of what is to be filed
	After           []task
}

// assembly is the work at the bench between the insert's programs and those
// that finish it in the gear.
type assembly struct {
	Sketches []sketch
	Tasks    []task
}

// picture is a picture inside the page.
type picture struct {
	Name, Alt     string
	Data          template.URL // the bytes, base64: nothing of the user's
	Width, Height int
	Body          float64 // share of the height above the title block
	Notes         string
}

// keepOut is where the job says something stands.
type keepOut struct{ Name, X, Y, Z string }

// reading is a Measure written out.
type reading struct {
	Name, What, With, Note string
	Nominal                *size
	Limits                 *size
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
	p := &page{Not: s.Plan.Not(), Title: j.Heading(), Job: j.Name(), Fingerprint: j.Fingerprint, Gear: s.gearFacts(), Warnings: s.Warnings, Control: s.control(), Facets: s.facetLine()}
	var err error
	if p.Expect, err = s.expect(); err != nil {
		return nil, err
	}
	tools := map[int]*profiles.Cutter{}
	tested, total := false, 0.0
	var touched []task // for the program before
	for i := range s.Plan.Programs {
		prog := &s.Plan.Programs[i]
		v, took, err := s.program(prog, s.Reports[i])
		if err != nil {
			return nil, err
		}
		if v.SignTest != nil && tested {
			v.SignTest.Again = true
		}
		tested = tested || v.SignTest != nil
		total += took
		if full := v.Touches; full != nil {
			v.Touches, touched = asBefore(full, touched, p.Programs), full
			v.Touched = len(v.Touches) < len(full)
		}
		heldBefore(&v, p.Programs)
		if !v.Clean && v.Skipped == "" {
			p.NotToRun = append(p.NotToRun, v.File)
		}
		p.Programs = append(p.Programs, v)
		for k := range prog.Ops {
			tools[prog.Ops[k].Cutter.Number] = prog.Ops[k].Cutter
		}
		if r := s.Reports[i]; r != nil {
			p.NotChecked = r.NotChecked
		}
		if prog.Purpose == toolpath.FlushProgram {
			if p.Against = s.Plan.Against(); len(p.Against) > 0 {
				p.Answers = j.OwnerAnswers
			}
			if s.letsIn() {
				p.Assembly = &assembly{s.assemblySketches(), s.assembly()}
			}
		}
	}
	for _, c := range tools {
		p.Tools = append(p.Tools, s.tool(c))
	}
	sort.Slice(p.Tools, func(a, b int) bool { return p.Tools[a].Number < p.Tools[b].Number })
	p.Tooling = s.tooling(tools)
	p.Minutes = minutes(total)
	p.Material = s.material()
	p.Before, p.BeforeMeasures = s.beforeAll(), s.measures("")
	p.Files = []file{{p.Job, visible(string(j.Source))}}
	if len(j.Shop) > 0 {
		p.Files = append(p.Files, file{j.ShopFile, visible(string(j.Shop))})
	}
	return p, nil
}

// program writes out one program, and says how many minutes it takes.
func (s *sheet) program(p *toolpath.Program, r *replay.Report) (program, float64, error) {
	v := program{ID: fmt.Sprintf("%02d-%s", p.Number, p.Purpose), File: p.File(), Title: p.Title, Setup: "Insert", Skipped: p.Skipped, Done: p.Done}
	if p.Setup == toolpath.GearSetup {
		v.Setup = "Gear"
	}
	v.trial, v.fit = p.Purpose == toolpath.TrialProgram, p.Purpose == toolpath.FitProgram
	if p.Skipped != "" {
		return v, 0, nil
	}
	took := p.Minutes(s.job)
	if r != nil {
		took = r.Minutes
	}
	v.Minutes = minutes(took)
	v.Clean, v.Verdict = s.verdict(p, r)
	v.Findings = findings(r)
	v.Bench, v.Clamp, v.After = s.beforeRun(p), s.clamp(p), s.afterRun(p)
	for _, t := range v.Clamp {
		v.held = append(v.held, t.Do)
	}
	if text := s.stopsAhead(p); text != "" {
		v.Clamp = append(v.Clamp, do(text)...)
	}
	v.KeepOuts = s.keepOuts(p.Setup == toolpath.GearSetup)
	v.Sketches = s.sketches(p)
	v.Legend = s.beadLegend(legendOf(v.Sketches))
	v.Moved, v.Touches = s.touches(p)
	v.SignTest = s.signTest(p)
	v.AirRun = s.airRun(p, !s.flown)
	s.flown = true
	v.Ops, v.Springs = s.ops(p), s.springs(p)
	if v.Settings = s.settings(p); v.Settings != nil {
		if t, ok := s.stops(); ok {
			v.Stops, v.StopSketches = s.settingStops(t), s.stopSketches(t)
		}
	}
	if p.Passes() > 1 {
		v.Restart = s.command("make", "--from", string(p.Purpose)+":2")
	}
	v.HoldYourself = !s.job.Machine.Stops && v.stops()
	v.Measures, v.Gauging = s.measures(p.Purpose), s.gauging(p.Purpose)
	if p.Purpose == toolpath.FacetsProgram {
		v.Filing = s.filing()
		if drawn := s.fileMap(); drawn != nil {
			v.Maps = []sketch{*drawn}
		}
	}
	return v, took, s.pictures(&v)
}

// heldBefore leaves out how the work is held where it is held as for the program
// just before, in the same set-up.
func heldBefore(v *program, before []program) {
	if len(before) == 0 || v.Skipped != "" {
		return
	}
	b := &before[len(before)-1]
	if b.Skipped != "" || b.Setup != v.Setup {
		return
	}
	for _, sentence := range v.held {
		if !slices.Contains(b.held, sentence) {
			return
		}
	}
	v.Clamp, v.KeepOuts = do("Held as for "+b.File+": nothing moved since."), nil
}

// stops says whether the program stops for the operator.
func (v *program) stops() bool {
	for _, o := range v.Ops {
		for _, st := range o.Steps {
			if st.Stop != "" {
				return true
			}
		}
	}
	return false
}

// findings writes out what the check found, the first ones.
func findings(r *replay.Report) []string {
	const most = 6
	if r == nil {
		return nil
	}
	var out []string
	for i, f := range r.Findings {
		if i == most {
			return append(out, "More in the report.")
		}
		where := ""
		if f.Line > 0 {
			where = fmt.Sprintf("line %d: ", f.Line)
		}
		out = append(out, where+string(f.Kind)+": "+f.Text)
	}
	return out
}
