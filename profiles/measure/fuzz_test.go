package measure

import (
	"math"
	"testing"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// No reading, however odd, may break Identify: an error or a ranked answer.
func FuzzIdentify(f *testing.F) {
	f.Add(54, 0, 177.8, 0.03, 0, 0.0)
	f.Add(40, int(SpanSize), 32.4, 0.01, 4, 0.0)
	f.Add(33, int(PinSize), 110.0, 0.01, 0, 5.0)
	f.Add(30, int(CentreDistance), 75.0, 0.05, 20, 0.0)
	f.Add(5, int(WholeDepth), 1e-9, 1e-12, 0, 0.0)
	f.Add(2000, int(SpanSize), 1e4, 1e3, 1999, 0.0)
	f.Add(12, int(RootDiameter), math.Inf(1), math.NaN(), -1, -1.0)
	f.Fuzz(func(t *testing.T, teeth, kind int, value, sigma float64, k int, pin float64) {
		id, err := Identify(teeth, []Reading{{Kind: ReadingKind(kind), Value: value, Sigma: sigma, Teeth: k, Pin: pin, Height: pin}})
		if err != nil {
			return
		}
		last := math.Inf(1)
		for _, c := range id.Candidates {
			if math.IsNaN(c.Confidence) || c.Confidence > last || c.Gear.Thinning < 0 {
				t.Fatalf("%+v after %g", c, last)
			}
			last = c.Confidence
		}
		if !(id.Free.Share >= 0 && id.Free.Share <= 1) {
			t.Fatalf("%+v", id.Free)
		}
	})
}

// No gear near what a job may hold may make a size over teeth or pins panic.
func FuzzGear(f *testing.F) {
	f.Add(54, 3.175, 14.5, 1.0, 1.157, 0.209, 0.0, 0.08)
	f.Add(12, 1.0, 20.0, 1.0, 1.25, 0.38, -0.5, 0.0)
	f.Add(300, 12.0, 25.0, 0.8, 1.0, 0.3, 0.6, 0.1)
	f.Add(5, 0.8, 40.0, 1.0, 1.4, 0.0, 0.9, -0.3)
	f.Fuzz(func(t *testing.T, teeth int, module, degrees, ha, hf, rf, x, thin float64) {
		if teeth < 0 || teeth > 400 || !(module > 0.2 && module < 30) || !(degrees > 5 && degrees < 45) ||
			!(ha > 0.1 && ha < 2) || !(hf > 0.1 && hf < 2) || !(rf >= 0 && rf < 0.5) || !(math.Abs(x) < 1) || !(math.Abs(thin) < module) {
			t.Skip()
		}
		g := profiles.Gear{Teeth: teeth, Module: module, Pressure: geom.Radians(degrees), Rack: profiles.Rack{Addendum: ha, Dedendum: hf, Fillet: rf}, Shift: x, Thinning: thin}
		if g.Validate() != nil {
			return
		}
		if k, err := SpanTeeth(g); err == nil {
			if w, err := Span(g, k); err != nil || !(w > 0) {
				t.Fatalf("span %g over %d, %v", w, k, err)
			}
		}
		if p, ok := BestGearPin(g, profiles.StockPins(false)); ok && !(p.Over > 2*g.TipRadius()*0.9) {
			t.Fatalf("over pins %+v", p)
		}
	})
}
