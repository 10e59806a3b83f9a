package geom_test

import (
	"fmt"

	"cogmend/profiles/geom"
)

// A slot 8 wide and 5 deep is taken out of a bar 20 by 15: 300 - 40 mm^2.
func ExampleRegion_Minus() {
	bar := geom.Region{geom.Rect(-10, -15, 10, 0)}
	slot := geom.Region{geom.Rect(-4, -5, 4, 0)}
	fmt.Printf("%g mm^2\n", bar.Minus(slot).Area())
	// Output: 260 mm^2
}

// A turn is positive when it takes the top, +Z, toward +Y.
func ExampleTurn() {
	p := geom.Turn(geom.Radians(90)).Apply(geom.Vec{Y: 0, Z: 10})
	fmt.Printf("Y %.3f Z %.3f\n", p.Y, p.Z)
	// Output: Y 10.000 Z 0.000
}
