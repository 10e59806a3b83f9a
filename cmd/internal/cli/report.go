package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
	"cogmend/toolpath/metal"
)

// worstLeft tells the greatest leftover on the surfaces that have a limit of
// their own in this program, and which of them has it.
func worstLeft(r *replay.Report, u job.Units) string {
	var worst float64
	zone := ""
	for _, l := range r.Left {
		if most := max(l.Amount, l.Filed); l.Limit < someLimit && most > worst {
			worst, zone = most, l.Zone
		}
	}
	text := u.Length(worst)
	if u.Length(0) != text {
		text += " (" + zone + ")"
	}
	return text
}

// someLimit is above every true limit: surfaces left to a later program have
// one beyond it, mm.
const someLimit = 100

func fileThis(j *job.Job, f toolpath.FileThis) string {
	u := j.Units
	s := fmt.Sprintf("%s flank and root, from radius %s to %s, up to %s thick", toolpath.SideName(f.Side), u.Length(f.From), u.Length(f.To), u.Length(f.Thick))
	if f.Reaches > 0 {
		s += fmt.Sprintf("; a cutter of %s at most would get to the worst of it", u.Length(f.Reaches))
	}
	return s
}

// printReport prints one program's findings. Those that differ in their lengths
// only are told once, with the lines of the others and the worst of them.
func printReport(w io.Writer, file string, r *replay.Report) {
	alike := map[string][]replay.Finding{}
	for _, f := range r.Findings {
		alike[sameTrouble(f)] = append(alike[sameTrouble(f)], f)
	}
	for _, f := range r.Findings {
		group := alike[sameTrouble(f)]
		if f != group[0] {
			continue
		}
		where := file
		if f.Line > 0 {
			where = fmt.Sprintf("%s:%d", file, f.Line)
		}
		fmt.Fprintf(w, "%s: %s: %s%s\n", where, f.Kind, f.Text, alsoLines(group))
	}
	if r.Dropped > 0 {
		fmt.Fprintf(w, "%s: %d further findings\n", file, r.Dropped)
	}
}

var lengths = regexp.MustCompile(`-?\d+\.\d+`)

// sameTrouble is what findings that are told together have in common.
func sameTrouble(f replay.Finding) string {
	if f.Line == 0 {
		return f.Text
	}
	return fmt.Sprint(f.Kind, " ", f.Where, " ", lengths.ReplaceAllString(f.Text, "#"))
}

// alsoLines names the lines of all findings alike but the first, and the worst
// of them when it is worse.
func alsoLines(group []replay.Finding) string {
	worst, also := group[0], ""
	sep := "; also on lines "
	if len(group) == 2 {
		sep = "; also on line "
	}
	for _, f := range group[1:] {
		also += fmt.Sprint(sep, f.Line)
		sep = ", "
		if f.Amount > worst.Amount {
			worst = f
		}
	}
	if worst.Line != group[0].Line {
		also += fmt.Sprintf(", the worst of them %d with %.3f mm", worst.Line, worst.Amount)
	}
	return also
}

// textReport is report.txt.
func textReport(m *made) []byte {
	var b strings.Builder
	j, u := m.job, m.job.Units
	fmt.Fprintf(&b, "%s\n", j.Heading())
	fmt.Fprintf(&b, "job %s, fingerprint %s\n\n", j.Name(), j.Fingerprint)
	table(&b, m)
	g := &j.Gear
	fmt.Fprintf(&b, "\nGear: %d teeth, module %.4f mm (%.4g DP), %.4g deg; pitch circle %s, base %s, tip %s, root %s (diameters)\n",
		g.Teeth, g.Module, 25.4/g.Module, geom.Degrees(g.Pressure), u.Length(2*g.PitchRadius()), u.Length(2*g.BaseRadius()), u.Length(2*g.TipRadius()), u.Length(2*g.RootRadius()))
	fmt.Fprintf(&b, "Z0 of the gear's programs lies %s over the axis\n", u.Length(m.plan.Shift))
	fmt.Fprintf(&b, "Facets: %s\n", facetLine(m))
	for i := range m.plan.Facets {
		f := &m.plan.Facets[i]
		fmt.Fprintf(&b, "  %-5s facet %d: gear at %9.4f deg, cutter's side at %s, bottom %s over the axis, leaves %s\n",
			toolpath.SideName(f.Side), f.Number, geom.Degrees(f.Angle), u.Length(f.Y), u.Length(f.Bottom), u.Length(f.Left))
	}
	fmt.Fprintf(&b, "\nWhat a setting error costs the flank:\n")
	for _, e := range settingErrors(m) {
		fmt.Fprintf(&b, "  %s: %s\n", e.Setting, u.Length(e.FlankMM))
	}
	fmt.Fprintf(&b, "\nThe check replayed the written programs, as text, against the stock:\n")
	for i := range m.plan.Programs {
		c := m.programs[i].checked
		if c == nil || c.err != nil {
			continue
		}
		r := c.result.Report
		fmt.Fprintf(&b, "%s: %.1f minutes, %.1f at the least with these cutters and passes\n", m.plan.Programs[i].File(), r.Minutes, r.LeastMinutes)
		fmt.Fprintf(&b, "%s: %s; standing teeth cut %s, finished part cut %s; %d blocks of motion, %d stops\n",
			m.plan.Programs[i].File(), r.Verdict(), u.Length(r.NeighbourCut), u.Length(r.TargetCut), r.Motions, r.Stops)
		for _, l := range r.Left {
			if l.Limit < someLimit {
				fmt.Fprintf(&b, "  left on %s: %s, allowed %s\n", l.Zone, u.Length(l.Amount), u.Length(l.Limit))
				if l.Filed > 0 {
					fmt.Fprintf(&b, "  to be filed on %s: %s\n", l.Zone, u.Length(l.Filed))
				}
			}
		}
		printReport(&b, m.plan.Programs[i].File(), r)
	}
	if t := tightOf(m); t != nil {
		fmt.Fprintf(&b, "Tight middle, measured on the replayed insert: %s long, %s proud\n", u.Length(t.LengthMM), u.Length(t.HeightMM))
	}
	fmt.Fprintf(&b, "\nNot checked:\n")
	for _, i := range m.programs {
		if i.checked != nil && i.result != nil {
			for _, n := range i.result.Report.NotChecked {
				fmt.Fprintf(&b, "  %s\n", n)
			}
			break
		}
	}
	for _, w := range m.plan.Warnings {
		fmt.Fprintf(&b, "Mind: %s\n", w)
	}
	if lines, _, _ := loadReport(j); len(lines) > 0 {
		fmt.Fprintf(&b, "\nStrength, an estimate and no rating:\n")
		for _, l := range lines {
			fmt.Fprintf(&b, "  %s\n", l)
		}
	}
	return []byte(b.String())
}

func facetLine(m *made) string {
	f, u := m.plan.Flanks, m.job.Units
	lean := "all of the error left on"
	if m.job.Facets.Lean == job.Even {
		lean = "half of the error left on, half taken off"
	}
	return fmt.Sprintf("%d on the right flank, %d on the left, leave %s and %s (ideal for as many: %s); %s",
		len(f.Right.Rolls), len(f.Left.Rolls), u.Length(f.Right.Left), u.Length(f.Left.Left), u.Length(f.Ideal.Left), lean)
}

// settingError is what one hundredth of a setting does to the flank.
type settingError struct {
	Setting string  `json:"setting"`
	FlankMM float64 `json:"flank_mm"`
}

// settingErrors works out what 0.01 mm (0.0005 in) or 0.01 degree of each number set by
// hand moves a facet. A facet stands upright when it is cut, so Y and half the
// diameter move it whole, Z not at all; turning the gear moves it by the base
// radius times the angle.
func settingErrors(m *made) []settingError {
	const degree = 0.01
	step := 0.01
	if m.job.Units == job.Inch {
		step = 0.0005 * 25.4
	}
	by := m.job.Units.Length(step)
	return []settingError{
		{"Y zero off by " + by, step},
		{"cutter diameter greater by " + by, step / 2},
		{"gear angle off by 0.01 degree", m.job.Gear.BaseRadius() * geom.Radians(degree)},
		{"Z zero off by " + by + " (height of the joints and depth of the root only)", 0},
	}
}

type tight struct {
	LengthMM float64 `json:"length_mm"`
	HeightMM float64 `json:"height_mm"`
}

// tightOf measures the tight middle after the fit program, nil when there is
// none.
func tightOf(m *made) *tight {
	for i := range m.plan.Programs {
		c := m.programs[i].checked
		if m.plan.Programs[i].Purpose == "fit" && c != nil && c.err == nil {
			l, h := metal.TightLength(m.job, c.result.After, metal.TightShare)
			return &tight{l, h}
		}
	}
	return nil
}

// jsonReport is report.json; keys are stable and carry their unit.
func jsonReport(m *made, files []outFile) []byte {
	j := m.job
	g := &j.Gear
	type toolJSON struct {
		Name       string  `json:"name"`
		Kind       string  `json:"kind"`
		DiameterMM float64 `json:"diameter_mm"`
		FluteMM    float64 `json:"flute_length_mm"`
		StickOutMM float64 `json:"stick_out_mm"`
		HolderMM   float64 `json:"holder_diameter_mm"`
		ShankMM    float64 `json:"shank_diameter_mm"`
		NeckMM     float64 `json:"neck_diameter_mm,omitempty"`
		NeckLenMM  float64 `json:"neck_length_mm,omitempty"`
		FlankDeg   float64 `json:"flank_angle_deg,omitempty"`
		FlankMM    float64 `json:"flank_height_mm,omitempty"`
		PointDeg   float64 `json:"point_angle_deg,omitempty"`
		MaxDepthMM float64 `json:"max_depth_mm,omitempty"`
	}
	tools := map[string]toolJSON{}
	for i := range j.Cutters {
		c := &j.Cutters[i]
		kind := map[profiles.CutterKind]string{profiles.EndMill: "end mill", profiles.Dovetail: "dovetail", profiles.Drill: "drill"}[c.Kind]
		t := toolJSON{Name: c.Name, Kind: kind, DiameterMM: c.Diameter, FluteMM: c.FluteLength, StickOutMM: c.StickOut,
			HolderMM: c.Holder, ShankMM: c.Shank, NeckMM: c.Neck, MaxDepthMM: c.MaxDepth}
		if c.Neck > 0 {
			t.NeckLenMM = c.NeckLength
		}
		if c.Kind == profiles.Dovetail {
			t.FlankDeg, t.FlankMM = geom.Degrees(c.FlankAngle), c.FlankHeight
		}
		if c.Kind == profiles.Drill {
			t.PointDeg = geom.Degrees(c.PointAngle)
		}
		tools[fmt.Sprint(c.Number)] = t
	}
	type facetJSON struct {
		Side      string  `json:"side"`
		Number    int     `json:"number"`
		Place     float64 `json:"place_pitches"`
		RollDeg   float64 `json:"roll_deg"`
		AngleDeg  float64 `json:"gear_angle_deg"`
		YMM       float64 `json:"y_mm"`
		BottomMM  float64 `json:"z_bottom_over_axis_mm"`
		BottomPrg float64 `json:"z_bottom_program_mm"`
		NeedMM    float64 `json:"z_needed_over_axis_mm"`
		LeftMM    float64 `json:"expected_error_mm"`
		Tools     []int   `json:"tools"`
	}
	var facets []facetJSON
	for _, f := range m.plan.Facets {
		facets = append(facets, facetJSON{toolpath.SideName(f.Side), f.Number, f.Place, geom.Degrees(f.Roll), geom.Degrees(f.Angle),
			float64(f.Side) * f.Y, f.Bottom, f.Bottom - m.plan.Shift, f.Need, f.Left, f.Cutters})
	}
	type findingJSON struct {
		Kind     string  `json:"kind"`
		Line     int     `json:"line"`
		AmountMM float64 `json:"amount_mm"`
		Where    string  `json:"where,omitempty"`
		Text     string  `json:"text"`
	}
	type leftJSON struct {
		Zone     string  `json:"zone"`
		AmountMM float64 `json:"amount_mm"`
		FiledMM  float64 `json:"to_file_mm"`
		LimitMM  float64 `json:"limit_mm"`
		XMM      float64 `json:"x_mm"`
		RadiusMM float64 `json:"radius_mm"`
	}
	type programJSON struct {
		File         string        `json:"file"`
		Purpose      string        `json:"purpose"`
		Setup        string        `json:"setup"`
		Skipped      string        `json:"not_written_because,omitempty"`
		Clean        bool          `json:"clean"`
		Unreadable   string        `json:"unreadable,omitempty"`
		Tools        []int         `json:"tools"`
		Passes       int           `json:"passes"`
		Minutes      float64       `json:"minutes"`
		LeastMinutes float64       `json:"least_minutes"`
		ZeroMM       float64       `json:"z_zero_over_frame_mm"`
		NeighbourMM  float64       `json:"neighbour_cut_mm"`
		TargetMM     float64       `json:"target_cut_mm"`
		Left         []leftJSON    `json:"left"`
		Findings     []findingJSON `json:"findings"`
		FurtherFound int           `json:"further_findings"`
	}
	var programs []programJSON
	notChecked := []string{}
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		out := programJSON{File: p.File(), Purpose: p.Purpose, Setup: "gear", Skipped: p.Skipped, Passes: p.Passes(),
			ZeroMM: m.plan.Shift, Left: []leftJSON{}, Findings: []findingJSON{}, Tools: []int{}}
		if p.Setup == toolpath.InsertSetup {
			out.Setup, out.ZeroMM = "insert", 0
		}
		for _, o := range p.Ops {
			out.Tools = append(out.Tools, o.Cutter.Number)
		}
		if c := m.programs[i].checked; c != nil {
			out.Clean = c.ok()
			if c.err != nil {
				out.Unreadable = c.err.Error()
			} else {
				r := c.result.Report
				notChecked = r.NotChecked
				out.LeastMinutes = r.LeastMinutes
				out.Minutes, out.NeighbourMM, out.TargetMM, out.FurtherFound = r.Minutes, r.NeighbourCut, r.TargetCut, r.Dropped
				for _, l := range r.Left {
					if l.Limit < someLimit {
						out.Left = append(out.Left, leftJSON{l.Zone, l.Amount, l.Filed, l.Limit, l.X, l.Radius})
					}
				}
				for _, f := range r.Findings {
					out.Findings = append(out.Findings, findingJSON{string(f.Kind), f.Line, f.Amount, f.Where, f.Text})
				}
			}
		}
		programs = append(programs, out)
	}
	type filedJSON struct {
		Side      string  `json:"side"`
		FromMM    float64 `json:"from_radius_mm"`
		ToMM      float64 `json:"to_radius_mm"`
		ThickMM   float64 `json:"thick_mm"`
		ReachesMM float64 `json:"largest_cutter_that_reaches_mm"`
	}
	filed := []filedJSON{}
	for _, f := range m.plan.FileThis {
		filed = append(filed, filedJSON{toolpath.SideName(f.Side), f.From, f.To, f.Thick, f.Reaches})
	}
	hashes := map[string]string{}
	for _, f := range files {
		hashes[f.name] = digest(f.data)
	}
	d := m.plan.Dims
	fl := m.plan.Flanks
	places := []float64{}
	for _, p := range g.Places {
		places = append(places, p*geom.Degrees(g.Pitch()))
	}
	report := map[string]any{
		"format":       1,
		"title":        j.Title,
		"job":          j.Name(),
		"fingerprint":  j.Fingerprint,
		"units":        map[job.Units]string{job.MM: "mm", job.Inch: "inch"}[j.Units],
		"all_clean":    m.ok(),
		"files_sha256": hashes,
		"gear": map[string]any{
			"teeth": g.Teeth, "module_mm": g.Module, "diametral_pitch_per_inch": 25.4 / g.Module, "pressure_angle_deg": geom.Degrees(g.Pressure),
			"profile_shift": g.Shift, "addendum_modules": g.Rack.Addendum, "dedendum_modules": g.Rack.Dedendum, "rack_tip_radius_modules": g.Rack.Fillet,
			"thinning_mm": g.Thinning, "neighbour_thinning_mm": g.Standing().Thinning, "face_mm": g.Face,
			"pitch_radius_mm": g.PitchRadius(), "base_radius_mm": g.BaseRadius(), "tip_radius_mm": g.TipRadius(), "root_radius_mm": g.RootRadius(),
			"rim_inner_radius_mm": d.RimInner, "places_deg": places,
		},
		"slot": map[string]any{
			"seat_over_axis_mm": d.Seat, "floor_over_axis_mm": d.Floor, "mouth_mm": 2 * d.MouthHalf, "floor_mm": 2 * d.FloorHalf,
			"seat_width_mm": 2 * d.PocketHalf, "half_angle_deg": geom.Degrees(j.Slot.HalfAngle), "stub_top_over_axis_mm": d.StubTop,
		},
		"insert": map[string]any{
			"length_mm": d.Length, "height_mm": d.Height, "body_mm": 2 * d.BodyHalf, "block_width_mm": 2 * d.BlockHalf,
			"dovetail_depth_mm": j.Slot.Depth, "over_each_end_mm": j.Insert.Over, "top_cut_mm": j.Insert.TopCut, "outer_end_over_axis_mm": d.InsertTop,
			"sides_milled_mm": d.SideDepth, "over_size_mm": j.Insert.OverSize,
		},
		"fit": map[string]any{
			"step": j.Fit.Step, "tight_middle_mm": j.Fit.TightMiddle, "lead_mm": j.Fit.Lead, "trial_length_mm": j.Fit.TrialLength, "measured_tight_middle": tightOf(m),
		},
		"lock": map[string]any{
			"thread": j.Lock.Thread, "rim_drill_mm": j.Lock.TapDrill, "insert_hole_mm": j.Lock.Point, "insert_hole_depth_mm": j.Lock.PointDepth,
			"positions_mm": append([]float64{}, j.Lock.Positions...), "insert_positions_mm": append([]float64{}, metal.HolesInInsert(j)...),
		},
		"zeros": map[string]any{
			"gear_z0_over_axis_mm": m.plan.Shift, "gear_x0": "front face", "gear_y0": "middle of the gap", "gear_a0": "gap at top dead centre",
			"insert_z0": "top of the insert, faced", "insert_x0": "front end of the insert", "insert_y0": "middle of the block", "rotary_sign": j.Machine.RotarySign,
		},
		"tools": tools,
		"facets": map[string]any{
			"list": facets, "lean": map[job.Lean]string{job.Proud: "proud", job.Even: "even"}[j.Facets.Lean],
			"tolerance_mm": fl.Limit - fl.Allowance, "left_right_flank_mm": fl.Right.Left, "left_left_flank_mm": fl.Left.Left,
			"ideal_left_mm": fl.Ideal.Left, "inside_true_flank_mm": fl.Allowance, "root_step_mm": j.Facets.RootStep, "stops_phase_deg": geom.Degrees(fl.Phase),
			"hole_circle": fl.Circle,
		},
		"file_this":      filed,
		"setting_errors": settingErrors(m),
		"programs":       programs,
		"not_checked":    notChecked,
	}
	report["warnings"] = append([]string{}, m.plan.Warnings...)
	if _, load, _ := loadReport(j); load != nil {
		report["load_estimate"] = load
	}
	data, err := json.MarshalIndent(finite(report), "", "  ")
	if err != nil {
		// Only a number that is not finite could fail, and there is none left.
		return []byte(fmt.Sprintf("{\"error\": %q}\n", err))
	}
	return append(data, '\n')
}

// finite replaces numbers JSON cannot hold; maps only, the structs are
// checked by the tests.
func finite(v map[string]any) map[string]any {
	for k, x := range v {
		switch x := x.(type) {
		case float64:
			if math.IsNaN(x) || math.IsInf(x, 0) {
				v[k] = nil
			}
		case map[string]any:
			finite(x)
		}
	}
	return v
}
