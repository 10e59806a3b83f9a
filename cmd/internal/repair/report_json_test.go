package repair

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

// A number that JSON cannot hold is null in maps and lists of maps.
func TestFinite(t *testing.T) {
	data := Finite(map[string]any{
		"a": math.NaN(), "b": 1.5, "c": map[string]any{"d": math.Inf(1)}, "e": []map[string]any{{"f": math.Inf(-1)}, {"f": 2.0}},
	})
	text, err := json.Marshal(data)
	if want := `{"a":null,"b":1.5,"c":{"d":null},"e":[{"f":null},{"f":2}]}`; err != nil || string(text) != want {
		t.Errorf("got %s, %v\nwant %s", text, err, want)
	}
}

// A report that cannot be written is an error, not a file that says so.
func TestJSONReportFails(t *testing.T) {
	m, err := Make(job.Demo(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if text, err := m.JSON(nil); err != nil || !json.Valid(text) {
		t.Fatalf("the demo's: %v", err)
	}
	m.Plan.Facets[0].Y = math.NaN()
	text, err := m.JSON(nil)
	if err == nil || text != nil || !strings.Contains(err.Error(), "report.json") {
		t.Errorf("with a place that is no number: error %v, %d bytes", err, len(text))
	}
}
