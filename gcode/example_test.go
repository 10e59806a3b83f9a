package gcode_test

import (
	"fmt"
	"os"
	"strings"

	"cogmend/gcode"
)

// A block is written for one control: here with line numbers. A number is
// rounded once, when Fixed makes it.
func ExampleWriter() {
	form := gcode.Metric()
	form.LineNumbers = true
	w := gcode.NewWriter(os.Stdout, form)
	y, _ := gcode.Fixed(-2.50004, 4)
	_ = w.Block(gcode.Block{Comments: []string{gcode.PassTitle(1, "right facet 1")}})
	_ = w.Block(gcode.Block{Words: []gcode.Word{{Letter: 'G', Value: gcode.Int(0)}, {Letter: 'Y', Value: y}}})
	_ = w.Flush()
	// Output:
	// (Pass 1: right facet 1)
	// N1 G0 Y-2.5
}

// The reader takes the program apart and gives the place of what it refuses.
func ExampleReader() {
	r := gcode.NewReader(strings.NewReader("G1 X12.5 F80\nG1 X1O\n"), "slot.nc")
	var b gcode.Block
	for {
		if err := r.Next(&b); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("line %d has %d words\n", b.Line, len(b.Words))
	}
	// Output:
	// line 1 has 3 words
	// slot.nc:2:6: O begins no word
}

// What a stop tells the operator reads back as the same order.
func ExampleReadOrder() {
	comment := gcode.Order{Kind: gcode.GearAt, Angle: -6.6667}.String()
	o, _ := gcode.ReadOrder(comment)
	fmt.Println(comment)
	fmt.Println(o.Kind == gcode.GearAt, o.Angle)
	// Output:
	// GEAR AT -6.6667 DEG
	// true -6.6667
}
