package gcode

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
)

// DefaultWidth is the number of characters a written line has at most, well
// below the 80 that old controls hold and the 256 of the standard.
const DefaultWidth = 70

// Form is how programs are written for one control.
type Form struct {
	Decimals    int  // the most decimals of lengths, feeds, speeds and times
	Degrees     int  // the most decimals of A, B and C
	Width       int  // the most characters on a line; 0 means DefaultWidth
	LineNumbers bool // an N word on every line with words, counting from 1; after 99999 from 1 again
	Percents    bool // % lines around the program
	Messages    bool // comments may begin with MSG
	CRLF        bool // lines end with CR LF, else LF
}

// Metric returns the plain form of programs in millimetres: 4 decimals.
func Metric() Form { return Form{Decimals: 4, Degrees: 4} }

// Inches returns the plain form of programs in inches: 5 decimals.
func Inches() Form { return Form{Decimals: 5, Degrees: 4} }

// Writer writes blocks as text. It refuses what could not be read again.
type Writer struct {
	out    *bufio.Writer
	form   Form
	line   []byte
	sorted []Word // space for words not given in order
	count  int    // blocks taken
	n      int    // last line number written
	ended  bool
	err    error
}

// NewWriter returns a writer to w.
func NewWriter(w io.Writer, f Form) *Writer {
	if f.Width == 0 {
		f.Width = DefaultWidth
	}
	f.Width = min(f.Width, maxLine)
	return &Writer{out: bufio.NewWriterSize(w, 1<<15), form: f}
}

// rank is the order of words on a line; words of one letter keep theirs.
var rank = [256]uint8{'G': 1, 'X': 2, 'Y': 3, 'Z': 4, 'A': 5, 'B': 6, 'C': 7, 'I': 8, 'J': 9, 'K': 10,
	'R': 11, 'Q': 12, 'P': 13, 'H': 14, 'D': 15, 'L': 16, 'F': 17, 'S': 18, 'T': 19, 'M': 20}

// Block writes one line: words in the order G X Y Z A B C I J K R Q P H D L F
// S T M, then the comments. Numbers are written exactly, lengths and angles
// always with a point. The block's Line and Number are not used; % lines are
// the form's business, and Percent blocks are passed over. A block that
// breaks a rule of the standard or of the form is an error, and nothing of it
// is written. After an error of the underlying writer, or after Flush, every
// call fails.
func (w *Writer) Block(b Block) error {
	if w.err != nil {
		return w.err
	}
	if w.ended {
		return errors.New("a block after the end of the program")
	}
	if b.Percent {
		return nil
	}
	if err := w.compose(&b); err != nil {
		return fmt.Errorf("block %d: %w", w.count+1, err)
	}
	if w.count == 0 && w.form.Percents {
		w.put("%")
		w.end()
	}
	w.count++
	if w.form.LineNumbers && len(b.Words) > 0 {
		w.n = w.nextNumber()
	}
	_, w.err = w.out.Write(w.line)
	w.end()
	return w.err
}

// Flush ends the program, with the second % line if the form has them, and
// hands everything to the underlying writer.
func (w *Writer) Flush() error {
	if !w.ended && w.form.Percents {
		if w.count == 0 {
			w.put("%")
			w.end()
		}
		w.put("%")
		w.end()
	}
	w.ended = true
	if w.err == nil {
		w.err = w.out.Flush()
	}
	return w.err
}

func (w *Writer) put(s string) {
	if w.err == nil {
		_, w.err = w.out.WriteString(s)
	}
}

func (w *Writer) end() {
	if w.form.CRLF {
		w.put("\r\n")
	} else {
		w.put("\n")
	}
}

func (w *Writer) nextNumber() int { return w.n%99999 + 1 }

// compose makes the text of b in w.line.
func (w *Writer) compose(b *Block) error {
	words, err := w.inOrder(b.Words)
	if err != nil {
		return err
	}
	dst := w.line[:0]
	if b.Delete {
		dst = append(dst, '/')
	}
	if w.form.LineNumbers && len(words) > 0 {
		dst = append(dst, 'N')
		dst = appendNum(dst, Int(w.nextNumber()), false)
	}
	for i := range words {
		if len(dst) > 0 {
			dst = append(dst, ' ')
		}
		if dst, err = w.word(dst, &words[i]); err != nil {
			return err
		}
	}
	for _, c := range b.Comments {
		if err := w.checkComment(c); err != nil {
			return err
		}
		if len(dst) > 0 {
			dst = append(dst, ' ')
		}
		dst = append(dst, '(')
		dst = append(dst, c...)
		dst = append(dst, ')')
	}
	w.line = dst
	if len(dst) > w.form.Width {
		return fmt.Errorf("the line has %d characters; at most %d are written", len(dst), w.form.Width)
	}
	return nil
}

// inOrder checks the letters against each other and returns the words in the
// order they are written, which nearly always is their own.
func (w *Writer) inOrder(words []Word) ([]Word, error) {
	var seen uint32
	mWords := 0
	last, ordered := uint8(0), true
	for i := range words {
		c := words[i].Letter
		k := rank[c]
		if k == 0 {
			return nil, fmt.Errorf("%q begins no word", c)
		}
		if bit := uint32(1) << (c - 'A'); letters[c] == onceLetter {
			if seen&bit != 0 {
				return nil, fmt.Errorf("a second %c word on one line", c)
			}
			seen |= bit
		} else if c == 'M' {
			if mWords++; mWords > 4 {
				return nil, errors.New("more than four M words on one line")
			}
		}
		ordered = ordered && last <= k
		last = k
	}
	if ordered {
		return words, nil
	}
	w.sorted = append(w.sorted[:0], words...)
	slices.SortStableFunc(w.sorted, func(a, b Word) int { return int(rank[a.Letter]) - int(rank[b.Letter]) })
	return w.sorted, nil
}

// word appends one word, after checking that its number suits its letter.
func (w *Writer) word(dst []byte, x *Word) ([]byte, error) {
	n := x.Value.lowest()
	decimals := w.form.Decimals
	point, signed := false, false
	switch x.Letter {
	case 'X', 'Y', 'Z', 'I', 'J', 'K', 'R':
		point, signed = true, true
	case 'Q':
		point = true
	case 'A', 'B', 'C':
		point, signed = true, true
		decimals = w.form.Degrees
	case 'G':
		decimals = 1
	case 'M', 'T', 'H', 'D', 'L':
		decimals = 0
	}
	if int(n.Decimals) > decimals {
		return dst, fmt.Errorf("%c%v has %d decimals; at most %d are written", x.Letter, n, n.Decimals, decimals)
	}
	if n.Units < 0 && !signed {
		return dst, fmt.Errorf("%c%v is negative", x.Letter, n)
	}
	return appendNum(append(dst, x.Letter), n, point), nil
}

func (w *Writer) checkComment(s string) error {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c < ' ' || c > '~':
			return fmt.Errorf("a comment with the byte 0x%02X", c)
		case c == '(' || c == ')' || c == ';' || c == '%' || c == '#':
			return fmt.Errorf("a comment with %c in it", c)
		}
	}
	if !w.form.Messages && beginsMSG(s) {
		return errors.New("a comment that begins with MSG, where the form has no messages")
	}
	return nil
}
