package answer

import (
	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"fmt"
	"io"
)

// Mesh tells how the new tooth, r, and a true one, ideal, roll with the mate.
func Mesh(w io.Writer, units job.Units, m estimate.Mesh, r, ideal estimate.MeshResult) {
	switch {
	case r.Interferes:
		fmt.Fprintln(w, "THE TEETH INTERFERE.")
	default:
		fmt.Fprintln(w, "No interference.")
	}
	fmt.Fprintf(w, "  %s, with a mate of %d teeth at %s\n", Gear(m.Tooth), m.Mate.Teeth, units.Both(m.Centre))
	line := func(what, text string) { fmt.Fprintf(w, "  %-34s %s\n", what, text) }
	um := func(v float64) string {
		return inOrder(units, fmt.Sprintf("%.1f um", v), fmt.Sprintf("%.2f thou", v/25.4))
	}
	along, grades, angle := "line of action", "", fmt.Sprintf(", at a working angle of %.2f degrees", geom.Degrees(r.WorkingAngle))
	if m.Tooth.Form != nil {
		along, angle = "pitch circle", ""
	} else {
		grades = fmt.Sprintf(": %v; %v", r.Grades[0], r.Grades[1])
	}
	line("least play on the "+along, fmt.Sprintf("%s, gear at %.2f degrees; standing teeth %s", units.Both(r.Backlash), geom.Degrees(r.Tightest.Angle), units.Both(r.IdealBacklash)))
	line("transmission error, peak to peak", fmt.Sprintf("%s; with a true tooth %s", um(r.ErrorPeak), um(ideal.ErrorPeak)))
	line("profile error on the path of contact", um(r.Deviation)+grades)
	line("contact ratio of standing teeth", fmt.Sprintf("%.2f", r.ContactRatio)+angle)
	line("tip to root, gear and mate", units.Both(r.GearTipGap)+", "+units.Both(r.MateTipGap))
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	list(w, "Assumed:", assumptionLines(units, r.Assumptions))
}

// MeshData is the rolling for JSON.
func MeshData(m estimate.Mesh, r, ideal estimate.MeshResult) map[string]any {
	samples := []map[string]any{}
	for i, s := range r.Samples {
		samples = append(samples, map[string]any{"gear_deg": geom.Degrees(s.Angle), "error_um": Number(s.Error), "true_tooth_error_um": Number(ideal.Samples[i].Error),
			"new_tooth_carries": s.New, "radius_mm": s.Radius, "backlash_mm": Number(s.Backlash)})
	}
	grades := r.Grades
	if len(grades) == 0 {
		grades = make([]profiles.Graded, 2)
	}
	return map[string]any{
		"gear": GearData(m.Tooth), "mate": GearData(m.Mate), "centre_mm": m.Centre, "interferes": r.Interferes,
		"backlash_mm": Number(r.Backlash), "standing_backlash_mm": r.IdealBacklash, "tightest_gear_deg": geom.Degrees(r.Tightest.Angle), "tightest_radius_mm": r.Tightest.Radius,
		"error_peak_to_peak_um": Number(r.ErrorPeak), "true_tooth_error_peak_to_peak_um": Number(ideal.ErrorPeak), "profile_deviation_um": r.Deviation,
		"iso_1328_grade": gradeData(grades[0]), "iso_1328_1_1995_grade": gradeData(grades[0]), "iso_1328_1_2013_grade": gradeData(grades[1]),
		"contact_ratio": r.ContactRatio, "working_angle_deg": geom.Degrees(r.WorkingAngle),
		"gear_tip_gap_mm": r.GearTipGap, "mate_tip_gap_mm": r.MateTipGap, "tip_interferes": r.TipInterferes,
		"notes": append([]string{}, r.Notes...), "assumptions": AssumptionData(r.Assumptions), "samples": samples,
	}
}

// gradeData is a grade in JSON, null when the standard has none.
func gradeData(g profiles.Graded) any {
	if !g.OK {
		return nil
	}
	return g.Grade
}
