package repair

import (
	"fmt"

	"cogmend/cmd/internal/answer"
	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
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
	leastData struct {
		Changes float64 `json:"tool_changes"`
		Turns   float64 `json:"turns"`
		Lifts   float64 `json:"up_and_down"`
		Metal   float64 `json:"cutting"`
		Again   float64 `json:"cuts_once_more"`
	}
	programData struct {
		File         string        `json:"file"`
		Purpose      string        `json:"purpose"`
		Setup        string        `json:"setup"`
		Skipped      string        `json:"not_written_because,omitempty"`
		Done         bool          `json:"done,omitempty"`
		Clean        bool          `json:"clean"`
		Unreadable   string        `json:"unreadable,omitempty"`
		Tools        []int         `json:"tools"`
		Passes       int           `json:"passes"`
		Minutes      float64       `json:"minutes"`
		LeastMinutes float64       `json:"least_minutes"`
		LeastOf      leastData     `json:"least_minutes_of"`
		Stops        int           `json:"stops"`
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

// JSON is report.json. digests are the SHA-256 of the other files by their
// names.
func (r *Repair) JSON(digests map[string]string) ([]byte, error) {
	j, p := r.Job, r.Plan
	report := map[string]any{
		"format":         1,
		"title":          j.Title,
		"job":            j.Name(),
		"fingerprint":    j.Fingerprint,
		"units":          map[job.Units]string{job.MM: "mm", job.Inch: "inch"}[j.Units],
		"all_clean":      r.Clean(),
		"assemble":       map[string]any{"allowed": len(r.Estimates.Against) == 0, "against": append([]string{}, r.Estimates.Against...), "owner_answers": j.OwnerAnswers},
		"files_sha256":   digests,
		"gear":           r.gearData(),
		"repair":         madeBy[j.By],
		"zeros":          r.zeros(),
		"tools":          toolTable(j),
		"facets":         r.facetData(),
		"file_this":      filedList(p),
		"setting_errors": r.Plan.SettingErrors(),
		"programs":       r.programData(),
		"not_checked":    r.NotChecked(),
		"warnings":       append([]string{}, r.Warnings()...),
	}
	if j.BuiltUp() {
		report["bead"] = r.beadData()
	} else {
		r.letIn(report)
	}
	if r.Expect != nil {
		report["expect"] = expectData(r.Expect)
	}
	if r.Estimates.FitData != nil {
		report["fit_estimate"] = r.Estimates.FitData
	}
	if r.Estimates.StrengthData != nil {
		report["load_estimate"] = r.Estimates.StrengthData
	}
	data, err := answer.JSON(report)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", "report.json", err)
	}
	return data, nil
}

func (r *Repair) gearData() map[string]any {
	g := &r.Job.Gear
	places := []float64{}
	for _, p := range g.Places {
		places = append(places, p*geom.Degrees(g.Pitch()))
	}
	data := map[string]any{
		"form": g.FormName(), "teeth": g.Teeth, "module_mm": g.Module, "diametral_pitch_per_inch": 25.4 / g.Module, "pressure_angle_deg": geom.Degrees(g.Pressure),
		"profile_shift": g.Shift, "addendum_modules": g.Rack.Addendum, "dedendum_modules": g.Rack.Dedendum, "rack_tip_radius_modules": g.RackTip(),
		"thinning_mm": g.Thinning, "neighbour_thinning_mm": r.Job.Gear.Standing().Thinning, "face_mm": g.Face,
		"pitch_radius_mm": g.PitchRadius(), "base_radius_mm": g.BaseRadius(), "tip_radius_mm": g.TipRadius(), "root_radius_mm": g.RootRadius(),
		"rim_inner_radius_mm": r.Plan.Sizes.RimInner, "places_deg": places,
	}
	if g.Copy != nil {
		data["copied"] = copiedData(r.Plan.Copied())
	}
	return data
}

// copiedData is what the flanks were copied from.
func copiedData(list []design.CopiedFlank) []map[string]any {
	out := []map[string]any{}
	for _, c := range list {
		readings, gaps := []map[string]any{}, []map[string]any{}
		for _, q := range c.Readings {
			readings = append(readings, map[string]any{"name": q.Name, "tooth_leans_deg": geom.Degrees(q.Angle), "plane_mm": q.Plane,
				"off_involute_mm": q.Off, "off_copy_mm": q.Rest, "radius_mm": q.Radius, "left_out": q.Left})
		}
		for _, q := range c.Gaps {
			gaps = append(gaps, map[string]any{"from": q.From, "to": q.To, "left_mm": q.Left, "most_left_mm": q.Most, "off_copy_at_most_mm": q.Off})
		}
		out = append(out, map[string]any{"flanks": c.Sides, "base_pitch_mm": c.BasePitch, "off_involute_mm": c.Off, "involute": c.Straight,
			"off_copy_at_most_mm": c.Bound, "readings": readings, "gaps": gaps})
	}
	return out
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

func (r *Repair) facetData() map[string]any {
	var list []facetData
	for _, f := range r.Plan.Facets {
		list = append(list, facetData{toolpath.SideName(f.Side), f.Number, f.Place, geom.Degrees(f.Roll), geom.Degrees(f.Angle),
			float64(f.Side) * f.Y, f.Bottom, f.Bottom - r.Plan.Shift, f.Need, f.Left, f.Cutters})
	}
	fl := r.Plan.Flanks
	return map[string]any{
		"list": list, "lean": map[job.Lean]string{job.Proud: "proud", job.Even: "even"}[r.Job.Facets.Lean],
		"tolerance_mm": fl.Limit - fl.Allowance, "left_right_flank_mm": fl.Right.GreatestError, "left_left_flank_mm": fl.Left.GreatestError,
		"ideal_left_mm": fl.Ideal.GreatestError, "inside_true_flank_mm": fl.Allowance, "root_step_mm": r.Job.Facets.RootStep, "stops_phase_deg": geom.Degrees(fl.Phase),
		"hole_circle": fl.Circle,
	}
}

// programData is what the check found of each program.
func (r *Repair) programData() []programData {
	var list []programData
	for i := range r.Programs {
		p := &r.Programs[i]
		out := programData{File: p.File(), Purpose: string(p.Purpose), Setup: "gear", Skipped: p.Skipped, Done: p.Done, Passes: p.Passes(), Clean: p.Clean(),
			ZeroMM: r.Plan.Shift, Left: []leftData{}, Findings: []findingData{}, Tools: []int{}}
		if p.Setup == toolpath.InsertSetup {
			out.Setup, out.ZeroMM = "insert", 0
		}
		for _, o := range p.Ops {
			out.Tools = append(out.Tools, o.Cutter.Number)
		}
		if p.Err != nil {
			out.Unreadable = p.Err.Error()
		}
		if p.Result != nil {
			out.found(p.Result.Report)
		}
		list = append(list, out)
	}
	return list
}

// found puts in what the check found.
func (out *programData) found(r *replay.Report) {
	out.LeastMinutes, out.LeastOf, out.Stops = r.Least.Minutes(), leastData(r.Least), r.Stops
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

func filedList(p *toolpath.Plan) []filedData {
	filed := []filedData{}
	for _, f := range p.FileThis {
		filed = append(filed, filedData{toolpath.SideName(f.Side), f.From, f.To, f.Thick, f.Reaches})
	}
	return filed
}
