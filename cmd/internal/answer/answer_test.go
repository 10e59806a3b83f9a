package answer

import (
	"math"
	"strings"
	"testing"
)

// A number that JSON cannot hold is null in maps and lists of maps.
func TestJSON(t *testing.T) {
	text, err := JSON(map[string]any{
		"a": math.NaN(), "b": 1.5, "c": map[string]any{"d": math.Inf(1)}, "e": []map[string]any{{"f": math.Inf(-1)}, {"f": 2.0}},
	})
	got := strings.Join(strings.Fields(string(text)), "")
	if want := `{"a":null,"b":1.5,"c":{"d":null},"e":[{"f":null},{"f":2}]}`; err != nil || got != want {
		t.Errorf("got %s, %v\nwant %s", got, err, want)
	}
}
