package gcode

import "strconv"

// Pos is a place in a program. Line and Col count from 1, Col in bytes. A Col
// of 0 means the whole line, a Line of 0 the whole file.
type Pos struct {
	File      string // the program's name, for messages
	Line, Col int
}

// String returns file:line:col, without the parts that are not known.
func (p Pos) String() string {
	s := p.File
	if p.Line > 0 {
		if s != "" {
			s += ":"
		}
		s += strconv.Itoa(p.Line)
		if p.Col > 0 {
			s += ":" + strconv.Itoa(p.Col)
		}
	}
	return s
}

// Word is a letter and its number (3.3.2). Col is the letter's column, 0 in
// words that were not read.
type Word struct {
	Letter byte // upper case
	Value  Num  // as written, in the program's units
	Col    int
}

// Block is one line of a program (3.3).
type Block struct {
	Line     int      // line in the text, from 1
	Delete   bool     // the line begins with / (3.3.1, the optional block delete)
	Number   int      // of the N word, -1 if there is none
	Words    []Word   // in the order of the text, without N
	Comments []string // what stands between each pair of parentheses
	Percent  bool     // a line with nothing but %
}

// SyntaxError is text that the standard does not allow.
type SyntaxError struct {
	Pos Pos    // where it is
	Msg string // what is wrong, one line
}

func (e *SyntaxError) Error() string { return e.Pos.String() + ": " + e.Msg }

// UnsupportedError is text that the standard allows and that is not read
// here, because what it does cannot be told from the program alone, or is
// not needed.
type UnsupportedError struct {
	Pos Pos    // where it is
	Msg string // what is not read, one line
}

func (e *UnsupportedError) Error() string { return e.Pos.String() + ": not supported: " + e.Msg }

// letter classes of 3.3.2, Table 2.
const (
	notLetter  = iota
	onceLetter // at most once on a line
	codeLetter // G and M: more than one
)

// letters gives the class of each upper case letter that begins a word. N is
// not among them: it stands first or not at all.
var letters = [256]uint8{
	'A': onceLetter, 'B': onceLetter, 'C': onceLetter, 'D': onceLetter, 'F': onceLetter,
	'G': codeLetter, 'H': onceLetter, 'I': onceLetter, 'J': onceLetter, 'K': onceLetter,
	'L': onceLetter, 'M': codeLetter, 'P': onceLetter, 'Q': onceLetter, 'R': onceLetter,
	'S': onceLetter, 'T': onceLetter, 'X': onceLetter, 'Y': onceLetter, 'Z': onceLetter,
}
