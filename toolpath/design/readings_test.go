package design

import (
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
	"math"
	"testing"
)

func TestGaugeReading(t *testing.T) {
	s := &measure.Sheet{Joint: []measure.GaugeItem{{Key: "slot.depth"}, {Key: "slot.between_pins"}}}
	r, err := parseReading(`tooth.span = 2.1243 in @ 6`, s, job.MM)
	if err != nil || r.Name != "tooth.span" || math.Abs(r.Value-53.95722) > 1e-9 || r.Teeth != 6 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err = parseReading(`slot.between_pins=0.238@3/16 in`, s, job.MM); err != nil || math.Abs(r.Pin-4.7625) > 1e-9 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err = parseReading(`tooth.chord=4.92@3.21`, s, job.MM); err != nil || r.Height != 3.21 {
		t.Errorf("%+v, %v", r, err)
	}
	for _, text := range []string{"slot.depth", "slot.depth=", "slot.depth=6 7", "slot.depth=6@", "slot.depth=6@3", "old.span=44@0", "old.span=44@x", "tooth.chord=5@-1", "tooth.over_pins=5@0"} {
		if r, err := parseReading(text, s, job.MM); err == nil {
			t.Errorf("%q is taken for a reading: %+v", text, r)
		}
	}
}
