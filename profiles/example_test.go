package profiles_test

import (
	"fmt"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// proofPress is the gear of a community print shop's proof press: 54 teeth, 8
// to the inch of diameter, 14.5 degrees, full depth.
func proofPress() profiles.Gear {
	rack, _ := profiles.RackByName("old-full-depth")
	return profiles.Gear{Teeth: 54, Module: 25.4 / 8, Pressure: geom.Radians(14.5), Rack: rack}
}

// The outside diameter is (teeth + 2)/DP = 7 inches, the pitch diameter
// teeth/DP = 6.75 inches (Machinery's Handbook, spur gear formulas; from memory).
func ExampleGear() {
	g := proofPress()
	fmt.Printf("pitch diameter %.3f in\n", 2*g.PitchRadius()/25.4)
	fmt.Printf("outside diameter %.3f in\n", 2*g.TipRadius()/25.4)
	// Output:
	// pitch diameter 6.750 in
	// outside diameter 7.000 in
}

// One of 54 teeth on a head of 40 to 1 is 40/54 = 20/27 of a turn of the crank.
func ExampleCrank() {
	turns, holes := profiles.Crank(40, 27, proofPress().Pitch())
	fmt.Println(turns, "turns and", holes, "holes on the 27 circle")
	// Output: 0 turns and 20 holes on the 27 circle
}
