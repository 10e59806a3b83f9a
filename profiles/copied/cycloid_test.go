package copied

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// TestAsCycloid: touches of cycloidal teeth of both sets say their set and module,
// and those of involutes that they are none.
func TestAsCycloid(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 15))
	for _, f := range trueFlanks(t) {
		if strings.HasPrefix(f.name, "worn") {
			continue
		}
		for _, limit := range []float64{0, 0.005} {
			c, err := Touches(f.touched(16, limit, rng), f.tooth(limit))
			if err != nil {
				t.Fatal(err)
			}
			teeth := f.gear.Teeth
			involute, twelve, fifteen := c.AsInvolute(), c.AsCycloid(teeth, 12), c.AsCycloid(teeth, 15)
			switch {
			case f.name == "involute" && !(involute.Rms < twelve.Rms && involute.Rms < fifteen.Rms):
				t.Errorf("%s, readings to %.3f: off the involute by %.4f, the cycloids by %.4f and %.4f", f.name, limit, involute.Rms, twelve.Rms, fifteen.Rms)
			case strings.HasSuffix(f.name, "12"):
				within(t, f.name+": module", twelve.Module, f.gear.Module, 1e-6+2*limit)
				if !(twelve.Rms < fifteen.Rms && twelve.Rms < involute.Rms/3) {
					t.Errorf("%s, readings to %.3f: off it by %.4f, the set of 15 by %.4f, the involute by %.4f", f.name, limit, twelve.Rms, fifteen.Rms, involute.Rms)
				}
			case strings.HasSuffix(f.name, "15"):
				within(t, f.name+": module", fifteen.Module, f.gear.Module, 1e-6+2*limit)
				if !(fifteen.Rms < twelve.Rms && fifteen.Rms < involute.Rms/3) {
					t.Errorf("%s, readings to %.3f: off it by %.4f, the set of 12 by %.4f, the involute by %.4f", f.name, limit, fifteen.Rms, twelve.Rms, involute.Rms)
				}
			}
		}
	}
}
