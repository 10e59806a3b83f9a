package repair

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

// A report that cannot be written is an error, not a file that says so.
func TestJSONReportFails(t *testing.T) {
	m, err := Make(job.Demo())
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
