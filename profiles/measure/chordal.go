package measure

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// Chord is a chordal thickness and the height of its chord under the tip, as
// a gear tooth vernier is set. Lengths mm.
type Chord struct {
	Radius    float64 // of the circle on which the chord's ends lie
	Thickness float64 // T
	Height    float64 // H, from the tip circle down to the chord
}

// ChordAt returns the chord of the tooth on the circle of radius r:
//
//	T = 2 r sin psi,  H = r_a - r cos psi
//
// which for the standard tooth on the pitch circle is T = N sin(90/N)/P,
// H = [1 + (N/2)(1 - cos(90/N))]/P (Machinery's Handbook, chordal thickness;
// Brown & Sharpe, Practical Treatise on Milling and Milling Machines, p. 152).
func ChordAt(g profiles.Gear, r float64) (Chord, error) {
	if r < g.FlankFrom() || r > g.TipRadius() {
		return Chord{}, fmt.Errorf("chord at radius %.3f mm: the flank lies between %.3f and %.3f mm", r, g.FlankFrom(), g.TipRadius())
	}
	s, c := math.Sincos(g.HalfAngle(r))
	return Chord{r, 2 * r * s, g.TipRadius() - r*c}, nil
}
