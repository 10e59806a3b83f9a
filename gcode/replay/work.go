package replay

import (
	"cogmend/gcode"
)

// mostWork bounds the work of one check, in looks at one piece of metal: some
// three seconds of one core. The longest of our own programs take a fiftieth of
// it.
var mostWork = 1_400_000_000 // no constant only for the test of it

// tooMuch stops a program that asks for more work than is done.
func (r *runner) tooMuch(line int) error {
	if r.work <= mostWork {
		return nil
	}
	return &gcode.UnsupportedError{Pos: gcode.Pos{File: r.report.File, Line: line}, Msg: "a program so long, or in so many places along X, that its check would not end in a few seconds; it was checked no farther"}
}
