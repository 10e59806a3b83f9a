package job

import (
	"math"
	"testing"
)

func TestHeadedReadings(t *testing.T) {
	k, rs, err := ParseCounted("3: 23.41 23.40", "a number of teeth", MM)
	if err != nil || k != 3 || len(rs) != 2 {
		t.Errorf("%d, %v, %v", k, rs, err)
	}
	pin, rs, err := ParseSized("0.432 in: 8.6032 in ±0.0005", "the pin's diameter", MM)
	if err != nil || math.Abs(pin-10.9728) > 1e-9 || len(rs) != 1 || math.Abs(rs[0].Sigma-0.0127) > 1e-9 {
		t.Errorf("%g, %v, %v", pin, rs, err)
	}
	for _, text := range []string{"23.41", ": 23.41", "three: 23.41", "3:", "3.5: 23.41"} {
		if _, _, err := ParseCounted(text, "a number of teeth", MM); err == nil {
			t.Errorf("%q is taken for a span", text)
		}
	}
	for _, text := range []string{"178.2", ": 178.2", "big: 178.2", "5:", "5 6: 178.2"} {
		if _, _, err := ParseSized(text, "the pin's diameter", MM); err == nil {
			t.Errorf("%q is taken for a size over pins", text)
		}
	}
}
