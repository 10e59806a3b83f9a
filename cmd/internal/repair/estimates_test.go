package repair

import (
	"encoding/json"
	"strings"
	"testing"

	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// The report's estimate of strength: nothing without a load, an honest verdict
// with one, and no silence when no estimate can be made.
func TestStrength(t *testing.T) {
	of := func(j *job.Job) (Estimates, string) {
		d, err := design.Of(j)
		if err != nil {
			t.Fatal(err)
		}
		e := EstimatesOf(d)
		return e, strings.Join(e.Strength, "\n")
	}
	j := job.Demo()
	e, text := of(j)
	if !strings.Contains(e.Strength[0], "An estimate, not a rating") || !strings.Contains(text, "not for lifting gear") || e.StrengthData["allowed"] != true || len(e.StrengthNotes) == 0 {
		t.Errorf("demo: %v\n%s", e.StrengthData["verdict"], text)
	}
	if _, err := json.Marshal(e.StrengthData); err != nil {
		t.Error(err)
	}
	j.Load.Torque *= 10
	if e, _ = of(j); e.StrengthData["allowed"] != false || !strings.Contains(e.Strength[0], "do not repair") || len(e.Against) == 0 {
		t.Errorf("ten times the load: %v, %v", e.StrengthData["verdict"], e.Strength)
	}
	j.Load.Torque = -1
	if e, _ = of(j); len(e.Strength) != 1 || e.StrengthData["error"] == nil || !strings.Contains(e.StrengthNotes[0], "No estimate") {
		t.Errorf("nonsense: %v, %v", e.StrengthData, e.Strength)
	}
	j.Load = nil
	if e, _ = of(j); e.Strength != nil || e.StrengthData != nil || !strings.Contains(strings.Join(e.Warnings, "\n"), "the job has no [load] table") {
		t.Errorf("no load: %v, %v, %v", e.Strength, e.StrengthData, e.Warnings)
	}
}
