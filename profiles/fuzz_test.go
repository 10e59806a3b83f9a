package profiles

import "testing"

// Whatever is written as a thread, the answer is a sound thread or none.
func FuzzThreadByName(f *testing.F) {
	for _, s := range append(ThreadNames(), "M8x1", "m 12 x 1.25", "M5x0.8", "M1e9x1", "MxM", "M0x0", "M+Infx1", "M5xNaN", "M0x1p4") {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		th, ok := ThreadByName(name)
		if !ok {
			return
		}
		if !(th.TapDrill > 0 && th.TapDrill < th.Major && th.Pitch > 0 && th.Minor() > 0) || th.Source == "" {
			t.Errorf("%q: %+v", name, th)
		}
	})
}
