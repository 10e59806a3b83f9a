package toolpath

import (
	"fmt"
	"math"

	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// ToGauge is one reading of a good tooth with a gear-tooth vernier. Lengths mm.
type ToGauge struct {
	Name   string  // its key in the [vernier] table
	Height float64 // from the tip down, to set
	Chord  float64 // the width there, as expected
}

// gaugeTip is the share of a tooth's depth under its tip in which no chord is taken:
// the jaws must lie on the flank, not on a worn edge (own rule).
const gaugeTip = 0.08

// Gauging plans the readings of a tooth vernier from which a flank can be copied, as
// many as there are leans of touches in a plan, and no fewer than a copy is made from.
func Gauging(d *design.Design, n int) []ToGauge {
	g := &d.True
	foot, _ := g.Foot() // worked out with the tooth
	n = max(n, design.FewestTouches)
	step := 0.1
	if d.Job.Units == job.Inch {
		step = 0.005 * 25.4
	}
	least := math.Ceil(gaugeTip*g.WholeDepth()/step) * step
	most := math.Floor((g.TipRadius()-foot.Z-touchFoot*g.WholeDepth())/step) * step
	var out []ToGauge
	for i := range n {
		h := math.Round((least+(most-least)*float64(i)/float64(n-1))/step) * step
		if len(out) > 0 && h-out[len(out)-1].Height < step/2 {
			continue
		}
		at := g.TipRadius() - h
		chord := 0.0
		for _, line := range [][]geom.Vec{g.Flank, g.Seen(-1).Flank} {
			for k := 1; k < len(line); k++ {
				if a, b := line[k-1], line[k]; a.Z >= at && b.Z < at {
					chord += a.Lerp(b, (a.Z-at)/(a.Z-b.Z)).Y
					break
				}
			}
		}
		out = append(out, ToGauge{Name: fmt.Sprintf("v%02d", len(out)+1), Height: h, Chord: chord})
	}
	return out
}

// Line is the reading as a line of the job's [vernier] table.
func (v *ToGauge) Line(chord float64, u job.Units) string {
	return fmt.Sprintf("%s = { height = %s, chord = %s }", v.Name, u.Number(v.Height), u.Number(chord))
}
