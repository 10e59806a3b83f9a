package cli

import (
	"encoding/json"
	"fmt"
	"math"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// What report.json lists. Its keys are stable and carry their unit.
type (
	toolData struct {
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
	facetData struct {
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
	findingData struct {
		Kind     string  `json:"kind"`
		Line     int     `json:"line"`
		AmountMM float64 `json:"amount_mm"`
		Where    string  `json:"where,omitempty"`
		Text     string  `json:"text"`
	}
	leftData struct {
		Zone     string  `json:"zone"`
		AmountMM float64 `json:"amount_mm"`
		FiledMM  float64 `json:"to_file_mm"`
		LimitMM  float64 `json:"limit_mm"`
		XMM      float64 `json:"x_mm"`
		RadiusMM float64 `json:"radius_mm"`
	}
	programData struct {
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
		Left         []leftData    `json:"left"`
		Findings     []findingData `json:"findings"`
		FurtherFound int           `json:"further_findings"`
	}
	filedData struct {
		Side      string  `json:"side"`
		FromMM    float64 `json:"from_radius_mm"`
		ToMM      float64 `json:"to_radius_mm"`
		ThickMM   float64 `json:"thick_mm"`
		ReachesMM float64 `json:"largest_cutter_that_reaches_mm"`
	}
)

// jsonReport is report.json.
func jsonReport(m *made, files []outFile) ([]byte, error) {
	j, p := m.job, m.plan
	hashes := map[string]string{}
	for _, f := range files {
		hashes[f.name] = digest(f.data)
	}
	programs, notChecked := programList(m)
	report := map[string]any{
		"format":       1,
		"title":        j.Title,
		"job":          j.Name(),
		"fingerprint":  j.Fingerprint,
		"units":        map[job.Units]string{job.MM: "mm", job.Inch: "inch"}[j.Units],
		"all_clean":    m.ok(),
		"files_sha256": hashes,
		"gear":         reportedGear(m),
		"slot": map[string]any{
			"seat_over_axis_mm": p.Sizes.Seat, "floor_over_axis_mm": p.Sizes.Floor, "mouth_mm": 2 * p.Sizes.MouthHalf, "floor_mm": 2 * p.Sizes.FloorHalf,
			"seat_width_mm": 2 * p.Sizes.PocketHalf, "half_angle_deg": geom.Degrees(j.Slot.HalfAngle), "stub_top_over_axis_mm": p.Sizes.StubTop,
		},
		"insert": map[string]any{
			"length_mm": p.Sizes.Length, "height_mm": p.Sizes.Height, "body_mm": 2 * p.Sizes.BodyHalf, "block_width_mm": 2 * p.Sizes.BlockHalf,
			"dovetail_depth_mm": j.Slot.Depth, "over_each_end_mm": j.Insert.Over, "top_cut_mm": j.Insert.TopCut, "outer_end_over_axis_mm": p.Sizes.InsertTop,
			"sides_milled_mm": p.Sizes.SideDepth, "over_size_mm": j.Insert.OverSize,
		},
		"fit": map[string]any{
			"step": j.Fit.Step, "tight_middle_mm": j.Fit.TightMiddle, "lead_mm": j.Fit.Lead, "trial_length_mm": j.Fit.TrialLength, "measured_tight_middle": tightOf(m),
		},
		"lock": map[string]any{
			"thread": j.Lock.Thread, "rim_drill_mm": j.Lock.TapDrill, "insert_hole_mm": j.Lock.Point, "insert_hole_depth_mm": j.Lock.PointDepth,
			"positions_mm": append([]float64{}, j.Lock.Positions...), "insert_positions_mm": append([]float64{}, p.HolesInInsert()...),
		},
		"zeros": map[string]any{
			"gear_z0_over_axis_mm": p.Shift, "gear_x0": "front face", "gear_y0": "middle of the gap", "gear_a0": "gap at top dead centre",
			"insert_z0": "top of the insert, faced", "insert_x0": "front end of the insert", "insert_y0": "middle of the block", "rotary_sign": j.Machine.RotarySign,
		},
		"tools":          toolTable(j),
		"facets":         reportedFacets(m),
		"file_this":      filedList(p),
		"setting_errors": m.plan.SettingErrors(),
		"programs":       programs,
		"not_checked":    notChecked,
		"warnings":       m.minds(),
	}
	if _, load, _ := loadReport(m.plan.Design); load != nil {
		report["load_estimate"] = load
	}
	data, err := json.MarshalIndent(finite(report), "", "  ")
	if err != nil {
		return nil, fmt.Errorf("%s: %w", reportJSON, err)
	}
	return append(data, '\n'), nil
}

func reportedGear(m *made) map[string]any {
	g := &m.job.Gear
	places := []float64{}
	for _, p := range g.Places {
		places = append(places, p*geom.Degrees(g.Pitch()))
	}
	return map[string]any{
		"teeth": g.Teeth, "module_mm": g.Module, "diametral_pitch_per_inch": 25.4 / g.Module, "pressure_angle_deg": geom.Degrees(g.Pressure),
		"profile_shift": g.Shift, "addendum_modules": g.Rack.Addendum, "dedendum_modules": g.Rack.Dedendum, "rack_tip_radius_modules": g.Rack.Fillet,
		"thinning_mm": g.Thinning, "neighbour_thinning_mm": m.job.Gear.Standing().Thinning, "face_mm": g.Face,
		"pitch_radius_mm": g.PitchRadius(), "base_radius_mm": g.BaseRadius(), "tip_radius_mm": g.TipRadius(), "root_radius_mm": g.RootRadius(),
		"rim_inner_radius_mm": m.plan.Sizes.RimInner, "places_deg": places,
	}
}

// toolTable is the job's cutters by their numbers.
func toolTable(j *job.Job) map[string]toolData {
	tools := map[string]toolData{}
	for i := range j.Cutters {
		c := &j.Cutters[i]
		kind := map[profiles.CutterKind]string{profiles.EndMill: "end mill", profiles.Dovetail: "dovetail", profiles.Drill: "drill"}[c.Kind]
		t := toolData{Name: c.Name, Kind: kind, DiameterMM: c.Diameter, FluteMM: c.FluteLength, StickOutMM: c.StickOut,
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
	return tools
}

func reportedFacets(m *made) map[string]any {
	var list []facetData
	for _, f := range m.plan.Facets {
		list = append(list, facetData{toolpath.SideName(f.Side), f.Number, f.Place, geom.Degrees(f.Roll), geom.Degrees(f.Angle),
			float64(f.Side) * f.Y, f.Bottom, f.Bottom - m.plan.Shift, f.Need, f.Left, f.Cutters})
	}
	fl := m.plan.Flanks
	return map[string]any{
		"list": list, "lean": map[job.Lean]string{job.Proud: "proud", job.Even: "even"}[m.job.Facets.Lean],
		"tolerance_mm": fl.Limit - fl.Allowance, "left_right_flank_mm": fl.Right.Left, "left_left_flank_mm": fl.Left.Left,
		"ideal_left_mm": fl.Ideal.Left, "inside_true_flank_mm": fl.Allowance, "root_step_mm": m.job.Facets.RootStep, "stops_phase_deg": geom.Degrees(fl.Phase),
		"hole_circle": fl.Circle,
	}
}

// programList is what the check found of each program, and what no check looks
// at.
func programList(m *made) (programs []programData, notChecked []string) {
	notChecked = []string{}
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		out := programData{File: p.File(), Purpose: p.Purpose, Setup: "gear", Skipped: p.Skipped, Passes: p.Passes(),
			ZeroMM: m.plan.Shift, Left: []leftData{}, Findings: []findingData{}, Tools: []int{}}
		if p.Setup == toolpath.InsertSetup {
			out.Setup, out.ZeroMM = "insert", 0
		}
		for _, o := range p.Ops {
			out.Tools = append(out.Tools, o.Cutter.Number)
		}
		switch c := m.programs[i].checked; {
		case c == nil:
		case c.err != nil:
			out.Unreadable = c.err.Error()
		default:
			r := c.result.Report
			notChecked = r.NotChecked
			out.Clean, out.LeastMinutes = c.ok(), r.LeastMinutes
			out.Minutes, out.NeighbourMM, out.TargetMM, out.FurtherFound = r.Minutes, r.NeighbourCut, r.TargetCut, r.Dropped
			for _, l := range r.Left {
				if l.Limit < someLimit {
					out.Left = append(out.Left, leftData{l.Zone, l.Amount, l.Filed, l.Limit, l.X, l.Radius})
				}
			}
			for _, f := range r.Findings {
				out.Findings = append(out.Findings, findingData{string(f.Kind), f.Line, f.Amount, f.Where, f.Text})
			}
		}
		programs = append(programs, out)
	}
	return programs, notChecked
}

func filedList(p *toolpath.Plan) []filedData {
	filed := []filedData{}
	for _, f := range p.FileThis {
		filed = append(filed, filedData{toolpath.SideName(f.Side), f.From, f.To, f.Thick, f.Reaches})
	}
	return filed
}

// finite replaces numbers that JSON cannot hold by null, in maps and in lists of
// maps. In a struct they cannot be: there they are an error when it is written.
func finite(v map[string]any) map[string]any {
	for k, x := range v {
		switch x := x.(type) {
		case float64:
			if math.IsNaN(x) || math.IsInf(x, 0) {
				v[k] = nil
			}
		case map[string]any:
			finite(x)
		case []map[string]any:
			for _, m := range x {
				finite(m)
			}
		}
	}
	return v
}
