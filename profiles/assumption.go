package profiles

// Assumption is a number an estimate rests on that nobody measured.
type Assumption struct {
	Name   string  // what it is, in words
	Value  float64 // in Unit
	Unit   string  // "" for a plain number
	Source string  // "own rule" when no standard or handbook gives it
}

// OwnRule marks an assumption or a limit that is this program's own.
const OwnRule = "own rule"
