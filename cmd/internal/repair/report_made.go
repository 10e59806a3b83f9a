package repair

import (
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// madeBy says how the tooth comes back, for report.json.
var madeBy = map[job.Way]string{job.ByInsert: "insert", job.ByBuildUp: "build-up"}

// letIn is what is let in and how, for report.json: put into the report.
func (r *Repair) letIn(report map[string]any) {
	j, p := r.Job, r.Plan
	report["slot"] = map[string]any{
		"seat_over_axis_mm": p.Sizes.Seat, "floor_over_axis_mm": p.Sizes.Floor, "mouth_mm": 2 * p.Sizes.MouthHalf, "floor_mm": 2 * p.Sizes.FloorHalf,
		"seat_width_mm": 2 * p.Sizes.PocketHalf, "half_angle_deg": geom.Degrees(j.Slot.HalfAngle), "stub_top_over_axis_mm": p.Sizes.StubTop,
	}
	report["insert"] = map[string]any{
		"length_mm": p.Sizes.Length, "height_mm": p.Sizes.Height, "body_mm": 2 * p.Sizes.BodyHalf, "block_width_mm": 2 * p.Sizes.BlockHalf,
		"dovetail_depth_mm": j.Slot.Depth, "over_each_end_mm": j.Insert.Over, "top_cut_mm": j.Insert.TopCut, "outer_end_over_axis_mm": p.Sizes.InsertTop,
		"sides_milled_mm": p.Sizes.SideDepth, "over_size_mm": j.Insert.OverSize,
	}
	report["fit"] = map[string]any{
		"step": j.Fit.Step, "tight_middle_mm": p.Tight(), "lead_mm": j.Fit.Lead, "trial_length_mm": j.Fit.TrialLength, "measured_tight_middle": r.tight(),
	}
	report["lock"] = map[string]any{
		"thread": j.Lock.Thread, "rim_drill_mm": j.Lock.TapDrill, "insert_hole_mm": j.Lock.Point, "insert_hole_depth_mm": j.Lock.PointDepth,
		"positions_mm": append([]float64{}, j.Lock.Positions...), "insert_positions_mm": append([]float64{}, p.HolesInInsert()...),
	}
}

// beadData is a built-up tooth before it is cut, for report.json.
func (r *Repair) beadData() map[string]any {
	b, z := &r.Job.Bead, &r.Plan.Sizes
	return map[string]any{
		"material": b.Material.String(), "beside_mm": b.Beside, "over_tip_mm": b.Top, "over_each_end_mm": b.Ends, "stub_mm": b.Stub,
		"length_mm": z.Length, "widest_mm": 2 * z.BlockHalf, "outer_end_over_axis_mm": z.InsertTop, "foot_over_axis_mm": z.Seat,
	}
}

// zeros says where the programs' zeros lie, for report.json.
func (r *Repair) zeros() map[string]any {
	zeros := map[string]any{
		"gear_z0_over_axis_mm": r.Plan.Shift, "gear_x0": "front face", "gear_y0": "middle of the gap", "gear_a0": "gap at top dead centre", "rotary_sign": r.Job.Machine.RotarySign,
	}
	if !r.Job.BuiltUp() {
		zeros["insert_z0"], zeros["insert_x0"], zeros["insert_y0"] = "top of the insert, faced", "front end of the insert", "middle of the block"
	}
	return zeros
}
