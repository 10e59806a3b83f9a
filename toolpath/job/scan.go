package job

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// spot is a place in a file: line and column from 1, the column in characters.
type spot struct {
	file      string
	line, col int
}

// places says where the keys and values of a file stand.
type places struct {
	file   string
	text   string
	keys   map[string]int // dotted path, parts quoted where they need it -> offset of the key's last part
	values map[string]int // -> offset of the value; of a table's header for a table
	ends   map[string]int // -> offset where the value ends; of keys that stand before a = only
	arrays []int          // offsets of [[array of tables]] headers

	starts  []int // offsets of the lines
	letters []int // characters before every 1024th byte
}

// Bounds of nesting. A job needs three; the decoder's time grows with the
// square of it.
const (
	maxParts = 8 // of a dotted key
	maxDepth = 8 // of brackets
)

// syntaxError is a breach of TOML that the scanner itself finds.
type syntaxError struct {
	at  int
	of  string // the key whose value it is in, "" for none
	msg string
}

// every is the distance in bytes of the marks by which places are counted.
const every = 1024

// newPlaces prepares the counting of places in a text, so that a file with
// very many mistakes takes no longer than its size tells.
func newPlaces(file, text string) *places {
	p := &places{file: file, text: text, keys: map[string]int{}, values: map[string]int{}, ends: map[string]int{}, starts: []int{0}}
	letters := 0
	for i := range len(text) {
		if i%every == 0 {
			p.letters = append(p.letters, letters)
		}
		if utf8.RuneStart(text[i]) {
			letters++
		}
		if text[i] == '\n' {
			p.starts = append(p.starts, i+1)
		}
	}
	p.letters = append(p.letters, letters)
	return p
}

// at turns an offset into a place.
func (p *places) at(offset int) spot {
	offset = max(0, min(offset, len(p.text)))
	line := sort.SearchInts(p.starts, offset+1)
	return spot{p.file, line, 1 + p.lettersBefore(offset) - p.lettersBefore(p.starts[line-1])}
}

// lettersBefore counts the characters before an offset.
func (p *places) lettersBefore(offset int) int {
	n := p.letters[offset/every]
	for i := offset / every * every; i < offset; i++ {
		if utf8.RuneStart(p.text[i]) {
			n++
		}
	}
	return n
}

// value returns where the value of a key stands; for a missing key the header
// of its table, for a missing table the start of the file.
func (p *places) value(path string) spot {
	for {
		if at, ok := p.values[path]; ok {
			return p.at(at)
		}
		dot := strings.LastIndexByte(path, '.')
		if dot < 0 {
			return spot{p.file, 1, 1}
		}
		path = path[:dot]
	}
}

// key returns where the key itself stands.
func (p *places) key(path string) spot {
	if at, ok := p.keys[path]; ok {
		return p.at(at)
	}
	return p.value(path)
}

// within returns the key in whose value an offset lies, the innermost, or "".
func (p *places) within(offset int) (key string) {
	first := -1
	for path, end := range p.ends {
		if from := p.values[path]; from <= offset && offset < end && from > first {
			key, first = path, from
		}
	}
	return key
}

// scanner walks over the structure of a TOML text: headers, keys, brackets,
// strings. What a value or an escape may be is left to the decoder.
type scanner struct {
	*places
	i     int
	table []string
	of    string // the key whose value is being read, or has just been; "" for none
}

// scan finds the places of every key, or the first breach of structure;
// its offset can be turned into a place too.
func scan(file, text string) (found *places, err *syntaxError) {
	s := &scanner{places: newPlaces(file, text)}
	defer func() {
		if r := recover(); r != nil {
			stop, ok := r.(syntaxError)
			if !ok {
				panic(r)
			}
			found, err = s.places, &stop
		}
	}()
	for s.skip(true); s.i < len(s.text); s.skip(true) {
		s.of = ""
		if s.text[s.i] == '[' {
			s.header()
		} else {
			s.pair(s.table, 0)
		}
		s.skip(false)
		if s.i < len(s.text) && s.text[s.i] != '\n' {
			if s.text[s.i] == ',' {
				s.fail("expected the end of the line, found a comma; decimals have a point, as 2.5, and thousands no sign")
			}
			s.fail("expected the end of the line, found %s", s.found())
		}
	}
	return s.places, nil
}

func (s *scanner) fail(format string, args ...any) {
	panic(syntaxError{s.i, s.of, fmt.Sprintf(format, args...)})
}

// found names what stands at the scanner's place.
func (s *scanner) found() string {
	if s.i >= len(s.text) {
		return "the end of the file"
	}
	if s.text[s.i] == '\n' || s.text[s.i] == '\r' {
		return "the end of the line"
	}
	r, _ := utf8.DecodeRuneInString(s.text[s.i:])
	return fmt.Sprintf("%q", r)
}

// skip passes white space and comments, with lines also the ends of lines.
func (s *scanner) skip(lines bool) {
	for s.i < len(s.text) {
		switch c := s.text[s.i]; {
		case c == ' ' || c == '\t' || c == '\r':
			s.i++
		case c == '\n' && lines:
			s.i++
		case c == '#':
			if n := strings.IndexByte(s.text[s.i:], '\n'); n >= 0 {
				s.i += n
			} else {
				s.i = len(s.text)
			}
		default:
			return
		}
	}
}

// header reads [a.b] or [[a.b]].
func (s *scanner) header() {
	start, brackets := s.i, 1
	if strings.HasPrefix(s.text[s.i:], "[[") {
		brackets = 2
		s.arrays = append(s.arrays, start)
	}
	s.i += brackets
	s.table, _ = s.readKey(nil)
	if !strings.HasPrefix(s.text[s.i:], "]]"[:brackets]) {
		s.fail("expected %q after the table's name, found %s", "]]"[:brackets], s.found())
	}
	s.i += brackets
	// With [cutter] and [cutter.a] both present, the first header stands.
	s.note(s.table, start, start)
}

// note keeps the place of a key and of its value, and of the tables that it
// implies.
func (s *scanner) note(path []string, key, value int) {
	for n := 1; n <= len(path); n++ {
		name := toml.Key(path[:n]).String()
		if _, ok := s.values[name]; !ok {
			s.keys[name], s.values[name] = key, value
		}
	}
}

// readKey reads a dotted key and the space round it; last is the offset of its
// last part.
func (s *scanner) readKey(prefix []string) (path []string, last int) {
	path = append(path, prefix...)
	for {
		s.skipBlank()
		last = s.i
		path = append(path, s.part())
		if len(path) > maxParts {
			s.fail("this key has more than %d parts", maxParts)
		}
		s.skipBlank()
		if s.i >= len(s.text) || s.text[s.i] != '.' {
			return path, last
		}
		s.i++
	}
}

func (s *scanner) skipBlank() {
	for s.i < len(s.text) && (s.text[s.i] == ' ' || s.text[s.i] == '\t') {
		s.i++
	}
}

// part reads one part of a key, bare or quoted.
func (s *scanner) part() string {
	start := s.i
	if s.i < len(s.text) && (s.text[s.i] == '"' || s.text[s.i] == '\'') {
		s.quoted()
		raw := s.text[start:s.i]
		if raw[0] == '\'' {
			return raw[1 : len(raw)-1]
		}
		// The decoder knows the escapes; a bad one is its to tell.
		var one struct{ V string }
		if _, err := toml.Decode("V = "+raw, &one); err != nil {
			return raw
		}
		return one.V
	}
	for s.i < len(s.text) && bare(s.text[s.i]) {
		s.i++
	}
	if s.i == start {
		s.fail("expected a key, found %s", s.found())
	}
	return s.text[start:s.i]
}

func bare(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-'
}

// quoted passes a string of one or three quotes.
func (s *scanner) quoted() {
	quote := s.text[s.i : s.i+1]
	start := s.i
	if triple := strings.Repeat(quote, 3); strings.HasPrefix(s.text[s.i:], triple) {
		s.i += 3
		for !strings.HasPrefix(s.text[s.i:], triple) {
			s.escape(quote)
			if s.i >= len(s.text) {
				s.i = start
				s.fail("this string is not closed")
			}
			s.i++
		}
		s.i += 3
		// Up to two quotes may stand just before the closing three.
		for n := 0; n < 2 && strings.HasPrefix(s.text[s.i:], quote); n++ {
			s.i++
		}
		return
	}
	for s.i++; !strings.HasPrefix(s.text[s.i:], quote); s.i++ {
		s.escape(quote)
		if s.i >= len(s.text) || s.text[s.i] == '\n' {
			s.i = start
			s.fail("this string is not closed on its line")
		}
	}
	s.i++
}

// escape steps onto the character after a backslash; there are none in single
// quotes.
func (s *scanner) escape(quote string) {
	if quote == `"` && s.i < len(s.text) && s.text[s.i] == '\\' {
		s.i++
	}
}

// pair reads key = value.
func (s *scanner) pair(prefix []string, depth int) {
	around := s.of
	path, last := s.readKey(prefix)
	if s.i >= len(s.text) || s.text[s.i] != '=' {
		s.fail("expected = after the key, found %s", s.found())
	}
	s.i++
	s.skipBlank()
	s.note(path, last, s.i)
	s.of = toml.Key(path).String()
	s.readValue(path, depth)
	if _, ok := s.ends[s.of]; !ok {
		s.ends[s.of] = s.i
	}
	if depth > 0 {
		s.of = around
	}
}

// readValue passes a value; path is nil inside arrays, whose keys have no name.
func (s *scanner) readValue(path []string, depth int) {
	if depth > maxDepth {
		s.fail("brackets are nested more than %d deep", maxDepth)
	}
	if s.i >= len(s.text) {
		s.fail("expected a value, found %s", s.found())
	}
	switch s.text[s.i] {
	case '"', '\'':
		s.quoted()
	case '[':
		s.list(']', func() { s.readValue(nil, depth+1) })
	case '{':
		s.list('}', func() {
			if path != nil {
				s.pair(path, depth+1)
				return
			}
			s.readKey(nil)
			if s.i >= len(s.text) || s.text[s.i] != '=' {
				s.fail("expected = after the key, found %s", s.found())
			}
			s.i++
			s.skipBlank()
			s.readValue(nil, depth+1)
		})
	default:
		start := s.i
		for s.i < len(s.text) && !strings.ContainsRune(",]}#\r\n", rune(s.text[s.i])) {
			s.i++
		}
		s.plain(start)
	}
}

// Values that stand without quotes, as TOML has them. Dates and numbers in
// other bases are the decoder's to read.
var (
	plainInt   = regexp.MustCompile(`^[+-]?(?:0|[1-9](?:_?\d)*)$`)
	plainFloat = regexp.MustCompile(`^[+-]?(?:0|[1-9](?:_?\d)*)(?:\.\d(?:_?\d)*)?(?:[eE][+-]?\d(?:_?\d)*)?$`)
	plainOther = regexp.MustCompile(`^(?:true|false|[+-]?(?:inf|nan)|0[xob][\da-fA-F_]+|\d{4}-\d\d-\d\d[Tt \d:.Zz+-]*|\d\d:\d\d[\d:.]*)$`)
	zeros      = regexp.MustCompile(`^[+-]?0\d`)
)

// plain checks the value without quotes between start and the scanner's place:
// what is wrong with it is said in our words, not the decoder's.
func (s *scanner) plain(start int) {
	v := strings.TrimSpace(s.text[start:s.i])
	first, more, _ := strings.Cut(v, " ")
	whole := strings.ReplaceAll(v, "_", "")
	switch _, tooLong := strconv.ParseInt(whole, 10, 64); {
	case v == "":
		s.i = start
		s.fail("expected a value, found %s", s.found())
	case plainInt.MatchString(v) && tooLong == nil, plainOther.MatchString(v):
		return
	case plainInt.MatchString(v):
		s.i = start
		s.fail("%s is too large a number", quote(v))
	case plainFloat.MatchString(v):
		if f, err := strconv.ParseFloat(whole, 64); err != nil || math.IsInf(f, 0) {
			s.i = start
			s.fail("%s is too large a number", quote(v))
		}
		return
	case strings.Contains(more, "="):
		s.i = start + len(first) + 1
		s.fail("expected the end of the line, found %s", quote(more))
	case zeros.MatchString(v):
		s.i = start
		s.fail("%s: a number does not begin with a 0 before other digits", quote(v))
	case strings.ContainsAny(v[:1], "+-.0123456789"):
		s.i = start
		s.fail("%s is no number; a number with a unit or a fraction stands in quotes, as \"5 mm\" or \"3/16 in\"", quote(v))
	}
	s.i = start
	if strings.ContainsAny(v[:min(len(v), 3)], "\u201c\u201d\u201e\u2018\u2019") {
		s.fail("%s stands in curly quotes; straight ones are wanted, as \"5 mm\"", quote(v))
	}
	s.fail("%s is no value; a text stands in quotes, true and false do not", quote(v))
}

// list passes the members of an array or inline table up to its closing.
func (s *scanner) list(closing byte, member func()) {
	start := s.i
	s.i++
	for {
		s.skip(true)
		if s.i < len(s.text) && s.text[s.i] == closing {
			s.i++
			return
		}
		if s.i >= len(s.text) {
			s.i = start
			s.fail("this bracket is not closed")
		}
		member()
		s.skip(true)
		if s.i < len(s.text) && s.text[s.i] == ',' {
			s.i++
		} else if s.i >= len(s.text) || s.text[s.i] != closing {
			if s.i >= len(s.text) {
				s.i = start
				s.fail("this bracket is not closed")
			}
			s.fail("expected a comma or %q, found %s", closing, s.found())
		}
	}
}
