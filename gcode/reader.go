package gcode

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
)

// maxLine is the number of characters allowed on a line, its end not counted
// (3.3).
const maxLine = 256

// maxUnits is the largest number of units to which another digit may be
// added: 18 digits always fit in 64 bits.
const maxUnits = 99_999_999_999_999_999

// exactDigits is how many digits a number may have before its length matters.
const exactDigits = 17

// frame is how far a program between % lines has been read (3.2).
type frame uint8

const (
	frameStart  frame = iota // nothing but blank lines yet
	frameNone                // the first line is no % line
	frameOpen                // after the first % line
	frameClosed              // after the second
)

// Reader reads blocks from a program. It needs the same small memory for
// programs of any length.
type Reader struct {
	in    *bufio.Reader
	file  string
	line  int
	frame frame
	err   error
}

// NewReader returns a reader of r. The name of the file stands in the
// positions of errors.
func NewReader(r io.Reader, file string) *Reader {
	return &Reader{in: bufio.NewReaderSize(r, 1<<13), file: file}
}

// Next reads the next line into b, whose slices it uses again. Blank lines
// are blocks without words. At the end of the program it returns io.EOF; what
// follows a second % line is not read (3.2). Other errors are *SyntaxError,
// *UnsupportedError or that of the underlying reader, with the file and line.
// After an error, Next returns the same error again.
func (r *Reader) Next(b *Block) error {
	if r.err == nil {
		r.err = r.next(b)
	}
	return r.err
}

// Rest passes over what is left of the program without looking at its words,
// as a machine does after M2 or M30, and returns an error only when a first %
// line has no second, or reading fails.
func (r *Reader) Rest() error {
	if r.err != nil {
		if r.err == io.EOF {
			return nil
		}
		return r.err
	}
	long := false // the line did not fit the buffer: it is no % line
	for r.frame == frameOpen {
		text, err := r.in.ReadSlice('\n')
		if err == bufio.ErrBufferFull {
			long = true
			continue
		}
		if !long && string(bytes.Trim(text, " \t\r\n")) == "%" {
			r.frame = frameClosed
		} else if err == io.EOF {
			r.line++
			r.err = r.noSecond()
			return r.err
		}
		if err != nil && err != io.EOF {
			r.err = fmt.Errorf("%s: %w", r.file, err)
			return r.err
		}
		r.line++
		long = false
	}
	r.err = io.EOF
	return nil
}

func (r *Reader) noSecond() error {
	return &SyntaxError{Pos{r.file, r.line, 0}, "the program begins with a % line and ends without one"}
}

func (r *Reader) bad(i int, format string, args ...any) error {
	return &SyntaxError{Pos{r.file, r.line, i + 1}, fmt.Sprintf(format, args...)}
}

func (r *Reader) cannot(i int, format string, args ...any) error {
	return &UnsupportedError{Pos{r.file, r.line, i + 1}, fmt.Sprintf(format, args...)}
}

func (r *Reader) next(b *Block) error {
	if r.frame == frameClosed {
		return io.EOF
	}
	s, err := r.in.ReadSlice('\n')
	r.line++
	switch {
	case err == bufio.ErrBufferFull:
		return r.bad(maxLine, "the line has more than %d characters", maxLine)
	case err == io.EOF && len(s) == 0:
		if r.frame == frameOpen {
			return r.noSecond()
		}
		return io.EOF
	case err != nil && err != io.EOF:
		return fmt.Errorf("%s: %w", Pos{File: r.file, Line: r.line}, err)
	}
	if n := len(s); n > 0 && s[n-1] == '\n' {
		s = s[:n-1]
	}
	if n := len(s); n > 0 && s[n-1] == '\r' {
		s = s[:n-1]
	}
	if r.line == 1 && bytes.HasPrefix(s, []byte("\xef\xbb\xbf")) {
		return r.bad(0, "the file begins with a byte order mark; save it as plain ASCII")
	}
	if len(s) > maxLine {
		return r.bad(maxLine, "the line has %d characters; at most %d are allowed", len(s), maxLine)
	}
	*b = Block{Line: r.line, Number: -1, Words: b.Words[:0], Comments: b.Comments[:0]}
	return r.parse(s, b)
}

func blank(c byte) bool { return c == ' ' || c == '\t' }

// skip returns the place of the first character at or after i that is not
// blank.
func skip(s []byte, i int) int {
	for i < len(s) && blank(s[i]) {
		i++
	}
	return i
}

// parse reads a line: / N words and comments, in that order (3.3).
func (r *Reader) parse(s []byte, b *Block) error {
	i := skip(s, 0)
	if i == len(s) {
		return nil
	}
	if s[i] == '%' {
		return r.percent(s, i, b)
	}
	if r.frame == frameStart {
		r.frame = frameNone
	}
	if s[i] == '/' {
		b.Delete = true
		i = skip(s, i+1)
	}
	if i < len(s) && s[i]&^0x20 == 'N' {
		var err error
		if i, err = r.lineNumber(s, i, b); err != nil {
			return err
		}
	}
	var seen uint32
	for i < len(s) {
		c := s[i]
		if blank(c) {
			i++
			continue
		}
		if c == '(' {
			end, err := r.comment(s, i)
			if err != nil {
				return err
			}
			b.Comments = append(b.Comments, string(s[i+1:end]))
			i = end + 1
			continue
		}
		if c >= 'a' && c <= 'z' {
			c -= 'a' - 'A'
		}
		class := letters[c]
		if class == notLetter {
			return r.notWord(s, i)
		}
		bit := uint32(1) << (c - 'A')
		if class == onceLetter && seen&bit != 0 {
			return r.bad(i, "a second %c word on one line", c)
		}
		seen |= bit
		n, next, err := r.number(s, i+1, c)
		if err != nil {
			return err
		}
		b.Words = append(b.Words, Word{Letter: c, Value: n, Col: i + 1})
		i = next
	}
	return nil
}

// percent reads a line whose first character is %.
func (r *Reader) percent(s []byte, i int, b *Block) error {
	if j := skip(s, i+1); j < len(s) {
		return r.bad(j, "a %% line holds nothing but the %%")
	}
	switch r.frame {
	case frameStart:
		r.frame = frameOpen
	case frameOpen:
		r.frame = frameClosed
	default:
		return r.bad(i, "a %% line that has no first one: that is the first line of the program or nowhere")
	}
	b.Percent = true
	return nil
}

// lineNumber reads the N word: up to five digits and nothing else (3.3.1).
func (r *Reader) lineNumber(s []byte, i int, b *Block) (int, error) {
	start, n, digits := i, 0, 0
	for i++; i < len(s); i++ {
		c := s[i]
		if blank(c) {
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		if digits++; digits > 5 {
			return i, r.bad(start, "a line number has at most five digits")
		}
		n = n*10 + int(c-'0')
	}
	if digits == 0 || i < len(s) && s[i] == '.' {
		return i, r.bad(start, "a line number is one to five digits, without sign or point")
	}
	b.Number = n
	return i, nil
}

// comment returns the place of the parenthesis that ends the comment
// beginning at i (3.3.4).
func (r *Reader) comment(s []byte, i int) (int, error) {
	for j := i + 1; j < len(s); j++ {
		switch c := s[j]; {
		case c == ')':
			return j, nil
		case c == '(':
			return j, r.bad(j, "a comment inside a comment")
		case (c < ' ' && c != '\t') || c > '~':
			return j, r.bad(j, "a comment holds printable ASCII only, not the byte 0x%02X", c)
		}
	}
	return len(s), r.bad(i, "the comment is not closed on its line")
}

// notWord says why no word begins at i.
func (r *Reader) notWord(s []byte, i int) error {
	switch c := s[i]; {
	case c == '#':
		return r.cannot(i, "parameters (#)")
	case c == '[':
		return r.cannot(i, "expressions ([ ])")
	case c == ')':
		return r.bad(i, "a comment ends that did not begin")
	case c == '/':
		return r.bad(i, "/ stands only at the beginning of a line")
	case c == '%':
		return r.bad(i, "%% stands only on a line of its own")
	case c&^0x20 == 'N':
		return r.bad(i, "N stands only at the beginning of a line")
	case c&^0x20 == 'E' && c >= 'A':
		return r.bad(i, "E begins no word, and numbers have no exponent")
	case c == 0:
		return r.bad(i, "a zero byte: this is not the text of a program")
	case c < ' ' || c > '~':
		return r.bad(i, "the byte 0x%02X is not part of a program", c)
	case c == ',':
		return r.bad(i, "a comma begins no word, and decimals have a point, as 2.5")
	default:
		return r.bad(i, "%c begins no word", c)
	}
}

// number reads the number of a word, beginning at i: sign, digits, at most
// one point, at least one digit, blanks anywhere (3.3.2.1). It returns the
// place after it.
func (r *Reader) number(s []byte, i int, letter byte) (Num, int, error) {
	i = skip(s, i)
	start := i
	negative := false
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		negative = s[i] == '-'
		i++
	}
	var units int64
	digits, point := 0, 0 // point: how many digits stood before it, and 1
loop:
	for ; i < len(s); i++ {
		c := s[i]
		switch {
		case c-'0' <= 9:
			if digits >= exactDigits && (units > maxUnits || point > 0 && digits-point+1 == maxDecimals) {
				if c == '0' && point > 0 {
					continue // zeros at the end change nothing
				}
				return Num{}, i, r.cannot(start, "the number of %c has more than %d digits", letter, maxDecimals)
			}
			units = units*10 + int64(c-'0')
			digits++
		case c == '.':
			if point > 0 {
				return Num{}, i, r.bad(i, "a second decimal point in one number")
			}
			point = digits + 1
		case !blank(c):
			break loop
		}
	}
	var decimals uint8
	if point > 0 {
		decimals = uint8(digits - point + 1)
	}
	if digits == 0 {
		return Num{}, i, r.noNumber(s, start, letter)
	}
	if negative {
		units = -units
	}
	return Num{units, decimals}, i, nil
}

// noNumber says why no number begins at i, after the letter of a word.
func (r *Reader) noNumber(s []byte, i int, letter byte) error {
	j := i
	for j < len(s) && (s[j] == '+' || s[j] == '-' || blank(s[j])) {
		j++
	}
	if j < len(s) && (s[j] == '#' || s[j] == '[') {
		return r.notWord(s, j)
	}
	k := j
	for k < len(s) && (s[k]&^0x20 >= 'A' && s[k]&^0x20 <= 'Z' || blank(s[k])) {
		k++
	}
	if k > j && k < len(s) && s[k] == '[' {
		return r.cannot(j, "functions (%s)", bytes.ToUpper(bytes.TrimSpace(s[j:k])))
	}
	return r.bad(min(i, max(len(s)-1, 0)), "%c is not followed by a number", letter)
}
