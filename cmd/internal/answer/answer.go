// Package answer says in words, and as data for scripts, what was worked out:
// strength, fit, mesh, sizes and readings. Commands and the report of a repair
// say the same thing with it. It works nothing out itself.
package answer

import (
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
	"encoding/json"
	"fmt"
	"io"
	"math"
)

// Number is v for JSON, which has no infinity, and without a minus zero.
func Number(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v + 0
}

// GearData is the gear for JSON.
func GearData(g profiles.Gear) map[string]any {
	return map[string]any{
		"form": g.FormName(), "teeth": g.Teeth, "module_mm": g.Module, "diametral_pitch_per_inch": 25.4 / g.Module, "pressure_angle_deg": geom.Degrees(g.Pressure),
		"proportions": g.Rack.Name, "addendum_modules": g.Rack.Addendum, "dedendum_modules": g.Rack.Dedendum,
		"profile_shift": g.Shift, "thinning_mm": g.Thinning,
	}
}

// Gear says in words which gear is meant.
func Gear(g profiles.Gear) string {
	if g.Form != nil {
		return fmt.Sprintf("%d teeth, module %.4g mm (%.4g DP), %s", g.Teeth, g.Module, 25.4/g.Module, g.FormName())
	}
	return fmt.Sprintf("%d teeth, module %.4g mm (%.4g DP), %.4g degrees", g.Teeth, g.Module, 25.4/g.Module, geom.Degrees(g.Pressure))
}

// AssumptionData is what an estimate takes for granted, for JSON.
func AssumptionData(list []profiles.Assumption) []map[string]any {
	out := []map[string]any{}
	for _, a := range list {
		out = append(out, map[string]any{"name": a.Name, "value": a.Value, "unit": a.Unit, "source": a.Source})
	}
	return out
}

// assumptionLines writes assumptions, one a line.
func assumptionLines(units job.Units, list []profiles.Assumption) []string {
	var out []string
	for _, a := range list {
		unit := a.Unit
		if unit != "" {
			unit = " " + unit
		}
		value := fmt.Sprintf("%.4g", a.Value)
		if math.Abs(a.Value) >= 1000 {
			value = fmt.Sprintf("%.0f", a.Value)
		}
		if a.Unit == "mm" && units == job.Inch {
			value, unit = units.Both(a.Value), ""
		}
		out = append(out, fmt.Sprintf("%s: %s%s (%s)", a.Name, value, unit, a.Source))
	}
	return out
}

// list prints a heading and lines under it; nothing when there are none.
func list(w io.Writer, heading string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(w, "%s\n", heading)
	for _, l := range lines {
		fmt.Fprintf(w, "  %s\n", l)
	}
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

// JSON is data as scripts read it, indented and ended with a line feed. What
// JSON cannot hold becomes null.
func JSON(data map[string]any) ([]byte, error) {
	text, err := json.MarshalIndent(finite(data), "", "  ")
	if err != nil {
		return nil, err
	}
	return append(text, '\n'), nil
}
