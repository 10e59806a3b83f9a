package gcode

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
)

// show writes a block in a form of its own, so that reading is not tested by
// writing.
func show(b *Block) string {
	var s []string
	if b.Percent {
		s = append(s, "%")
	}
	if b.Delete {
		s = append(s, "/")
	}
	if b.Number >= 0 {
		s = append(s, fmt.Sprintf("N=%d", b.Number))
	}
	for _, w := range b.Words {
		s = append(s, fmt.Sprintf("%c=%g", w.Letter, w.Value.Float()))
	}
	for _, c := range b.Comments {
		s = append(s, fmt.Sprintf("%q", c))
	}
	return strings.Join(s, " ")
}

// readAll reads a program and shows its blocks.
func readAll(text string) ([]string, error) {
	r := NewReader(strings.NewReader(text), "p")
	var b Block
	var got []string
	for {
		switch err := r.Next(&b); err {
		case nil:
			got = append(got, show(&b))
		case io.EOF:
			return got, nil
		default:
			return got, err
		}
	}
}

// What must be read (NISTIR 6556, clauses as given).
var reads = []struct{ clause, text, want string }{
	{"3.3", "G0 X1", "G=0 X=1"},
	{"3.3", "", ""},
	{"3.3", " \t ", ""},
	{"3.3 case", "g0x1y-2", "G=0 X=1 Y=-2"},
	{"3.3 spaces", "G 0 X - 1 . 5", "G=0 X=-1.5"},
	{"3.3 spaces", "\tG\t0\tX\t1 2 . 3 4", "G=0 X=12.34"},
	{"3.3 spaces", "g0x +0. 12 34y 7", "G=0 X=0.1234 Y=7"}, // the report's own example
	{"3.3 length", "(" + strings.Repeat("x", 254) + ")", fmt.Sprintf("%q", strings.Repeat("x", 254))},
	{"3.3 order", "/N5 G0", "/ N=5 G=0"},
	{"3.3.1", "/", "/"},
	{"3.3.1", "N00000", "N=0"},
	{"3.3.1", "n99999x1", "N=99999 X=1"},
	{"3.3.2.1", "X.5 Y5. Z+5", "X=0.5 Y=5 Z=5"},
	{"3.3.2.1", "X-0 Y-.0", "X=0 Y=0"},
	{"3.3.2.1", "X000000000000000000000000001.5000000000000000000000000000", "X=1.5"},
	{"3.3.2.1", "X123456789012345678", "X=1.2345678901234568e+17"},
	{"3.3.2.1", "X0.000000000000000001", "X=1e-18"},
	{"3.3.2.1", "G38.2 G59.1", "G=38.2 G=59.1"},
	{"3.3.2", "A1B1C1D1F1H1I1J1K1L1P1Q1R1S1T1X1Y1Z1", "A=1 B=1 C=1 D=1 F=1 H=1 I=1 J=1 K=1 L=1 P=1 Q=1 R=1 S=1 T=1 X=1 Y=1 Z=1"},
	{"3.3.2", "M3 M8 M48 M0 M9 G1 G2", "M=3 M=8 M=48 M=0 M=9 G=1 G=2"}, // groups are the machine's business
	{"3.3.4", "(one) G0 (two) X1 (three)", "G=0 X=1 \"one\" \"two\" \"three\""},
	{"3.3.4", "()", `""`},
	{"3.3.4", "(a\tb ; % # [ ] / ~)", `"a\tb ; % # [ ] / ~"`},
}

func TestRead(t *testing.T) {
	for _, c := range reads {
		for _, end := range []string{"", "\n", "\r\n"} {
			if c.text+end == "" {
				continue // no line at all
			}
			got, err := readAll(c.text + end)
			if err != nil || len(got) != 1 || got[0] != c.want {
				t.Errorf("%s: %q is read as %q, %v; want %q", c.clause, c.text+end, got, err, c.want)
			}
		}
	}
}

// What must be refused. The mark is where.
var refusals = []struct{ text, message string }{
	{"∑E5", "exponent"}, {"∑O1", "O begins no word"}, {"∑U1", "U begins"}, {"∑V1", "V begins"}, {"∑W1", "W begins"},
	{"X1∑e5", "exponent"}, {"X1∑,5", "decimals have a point"}, {"∑*", "* begins no word"}, {"∑:1", ": begins"}, {"∑-1", "- begins"}, {"∑1", "1 begins"},
	{"X1 ∑x2", "second X"}, {"X1Y1Z1 ∑Y1", "second Y"}, {"F1∑F1", "second F"},
	{"X∑", "not followed"}, {"X ∑Y", "not followed"}, {"X ∑+", "not followed"}, {"X1∑-1", "begins no word"},
	{"X∑(a)1", "not followed"}, {"X∑--1", "not followed"}, {"X1.5∑.", "second decimal"},
	{"X1 ∑N5", "beginning"}, {"∑N", "without sign"}, {"∑N-5", "without sign"}, {"∑N123456", "five digits"}, {"(a) ∑N5", "beginning"},
	{"N5 ∑/", "beginning"}, {"/ ∑/", "beginning"},
	{"∑(", "not closed"}, {"(a)∑)", "did not begin"}, {"(a∑(b))", "inside"}, {"(a∑\x01)", "0x01"}, {"(∑\x7f)", "0x7F"},
	{"G0 ∑%", "line of its own"}, {"∑%\n", "no first one"}, {"∑\x0c", "0x0C"}, {"∑\xff", "0xFF"}, {"∑\x00", "zero byte"},
	{strings.Repeat(" ", 256) + "∑ ", "257 characters"},
	{strings.Repeat("X", 256) + "∑" + strings.Repeat("X", 1<<17), "more than 256"},
}

func TestRefuse(t *testing.T) {
	for _, c := range refusals {
		before, after, ok := strings.Cut(c.text, "∑")
		if !ok {
			t.Fatalf("%q has no mark", c.text)
		}
		col := len(before) + 1
		if after == "" {
			col = len(before) // nothing there: the last character
		}
		text := before + after
		_, err := readAll("G0\n" + text)
		var syn *SyntaxError
		if !errors.As(err, &syn) || syn.Pos != (Pos{"p", 2, col}) || !strings.Contains(syn.Msg, c.message) {
			t.Errorf("%.40q: got %v, want column %d, %q", text, err, col, c.message)
		}
	}
}

// What the standard allows and is not read here. The mark is where.
func TestUnsupported(t *testing.T) {
	for _, c := range []struct{ text, message string }{
		{"∑#1=2", "parameters"}, {"X∑#1", "parameters"}, {"X-∑#1", "parameters"},
		{"X∑[1+2]", "expressions"}, {"X1∑[2]", "expressions"}, {"G0 X∑acos[0]", "functions (ACOS)"},
		{"X∑1234567890123456789", "18 digits"}, {"X ∑-0.1234567890123456789", "18 digits"}, {"X∑0.0000000000000000001", "18 digits"},
	} {
		before, after, _ := strings.Cut(c.text, "∑")
		_, err := readAll(before + after)
		var uns *UnsupportedError
		if !errors.As(err, &uns) || uns.Pos != (Pos{"p", 1, len(before) + 1}) || !strings.Contains(err.Error(), "not supported: ") || !strings.Contains(uns.Msg, c.message) {
			t.Errorf("%q: got %v, want column %d, %q", c.text, err, len(before)+1, c.message)
		}
	}
}

// Percent lines, NISTIR 6556, 3.2.
func TestPercent(t *testing.T) {
	for _, c := range []struct{ text, want, message string }{
		{"%\nG0\n%\n", "%|G=0|%", ""},
		{"\n \n %\t\r\nG0\n % ", "||%|G=0|%", ""},
		{"%\n%\n\x00 not read ((", "%|%", ""},
		{"%\nG0\n", "%|G=0", "p:3: the program begins with a % line"},
		{"G0\n%\n", "G=0", "p:2:1"},
		{"(a)\n%\nG0\n%", `"a"`, "p:2:1"},
		{"% (a)\n", "", "p:1:3"},
		{"%%\n", "", "p:1:2"},
	} {
		got, err := readAll(c.text)
		if strings.Join(got, "|") != c.want || (err == nil) != (c.message == "") || err != nil && !strings.HasPrefix(err.Error(), c.message) {
			t.Errorf("%q is read as %q, %v; want %q, %q", c.text, got, err, c.want, c.message)
		}
	}
}

func TestRest(t *testing.T) {
	for _, c := range []struct {
		text string
		ok   bool
	}{
		{"M2\nnot ((( read", true},
		{"%\nM2\nnot ((( read\n%\nnor this", true},
		{"%\nM2\n%", true},
		{"%\nM2\n", false},
		{"%\nM2", false},
		{"%\nM2\n" + strings.Repeat("y", 1<<16) + "%\n", false}, // one long line, no % line
		{"%\nM2\n" + strings.Repeat("y", 1<<18) + "\n%\n", true},
	} {
		r := NewReader(strings.NewReader(c.text), "p")
		var b Block
		for len(b.Words) == 0 {
			if err := r.Next(&b); err != nil {
				t.Fatal(err)
			}
		}
		if err := r.Rest(); (err == nil) != c.ok {
			t.Errorf("%.20q: Rest says %v", c.text, err)
		}
	}
}

func TestReaderErrorsStay(t *testing.T) {
	r := NewReader(strings.NewReader("X\nG0\n"), "p")
	var b Block
	first := r.Next(&b)
	if again := r.Next(&b); first == nil || again != first {
		t.Errorf("%v, then %v", first, again)
	}
	boom := errors.New("boom")
	r = NewReader(io.MultiReader(strings.NewReader("G0\nG1"), iotest.ErrReader(boom)), "p")
	if err := r.Next(&b); err != nil {
		t.Fatal(err)
	}
	if err := r.Next(&b); !errors.Is(err, boom) || !strings.HasPrefix(err.Error(), "p:2: ") {
		t.Errorf("got %v", err)
	}
}

// endless is a line without end.
type endless struct{ n int }

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'X'
	}
	e.n += len(p)
	return len(p), nil
}

func TestEndlessLine(t *testing.T) {
	e := &endless{}
	var b Block
	if err := NewReader(e, "p").Next(&b); err == nil || e.n > 1<<17 {
		t.Errorf("%v after %d bytes", err, e.n)
	}
}

// Reading makes nothing new for a block without comments, so that programs of
// any length are read in the memory of one line.
func TestReadAllocations(t *testing.T) {
	r := NewReader(&repeater{text: sample}, "p")
	var b Block
	if n := testing.AllocsPerRun(10000, func() {
		if err := r.Next(&b); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%v allocations a block", n)
	}
}

func TestPosString(t *testing.T) {
	for _, c := range []struct {
		p    Pos
		want string
	}{
		{Pos{"a.nc", 3, 5}, "a.nc:3:5"}, {Pos{"a.nc", 3, 0}, "a.nc:3"}, {Pos{"a.nc", 0, 0}, "a.nc"}, {Pos{"", 3, 5}, "3:5"},
	} {
		if got := c.p.String(); got != c.want {
			t.Errorf("%+v is written %q, want %q", c.p, got, c.want)
		}
	}
}

const sample = "G0 X12.3456 Y-7.25 Z40.0\nG1 Z-1.5 F120\nG1 X31.0 F240\nG2 X10.0 Y16.0 I3.0 J4.0\n"

// repeater gives a text again and again.
type repeater struct {
	text string
	at   int
}

func (r *repeater) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		k := copy(p[n:], r.text[r.at:])
		n += k
		r.at = (r.at + k) % len(r.text)
	}
	return n, nil
}

func BenchmarkRead(b *testing.B) {
	r := NewReader(&repeater{text: sample}, "p")
	var block Block
	b.SetBytes(int64(len(sample) / 4))
	b.ReportAllocs()
	for b.Loop() {
		if err := r.Next(&block); err != nil {
			b.Fatal(err)
		}
	}
}

// programs are all test programs, as seeds.
func programs(t testing.TB) []string {
	files, _ := filepath.Glob("../testdata/gcode/*/*.nc")
	if len(files) == 0 {
		t.Fatal("no programs")
	}
	var all []string
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, string(text))
	}
	return all
}

// FuzzReader: reading never panics, every position lies on its line, and what
// was read is the same after writing and reading.
func FuzzReader(f *testing.F) {
	for _, p := range programs(f) {
		f.Add(p)
	}
	for _, c := range reads {
		f.Add(c.text)
	}
	for _, c := range refusals {
		f.Add(strings.ReplaceAll(c.text, "∑", ""))
	}
	f.Fuzz(func(t *testing.T, text string) {
		r := NewReader(strings.NewReader(text), "p")
		lines := strings.Count(text, "\n") + 1
		var b Block
		for {
			err := r.Next(&b)
			var syn *SyntaxError
			var uns *UnsupportedError
			switch {
			case errors.As(err, &syn):
				checkPos(t, syn.Pos, lines)
				return
			case errors.As(err, &uns):
				checkPos(t, uns.Pos, lines)
				return
			case err == io.EOF:
				return
			case err != nil:
				t.Fatal(err)
			}
			checkRoundTrip(t, &b)
		}
	})
}

func checkPos(t *testing.T, p Pos, lines int) {
	if p.Line < 1 || p.Line > lines+1 || p.Col < 0 || p.Col > maxLine+1 {
		t.Fatalf("an error at %v of %d lines", p, lines)
	}
}

// wide is a form that takes whatever the reader takes, but for signs,
// comments and length.
var wide = Form{Decimals: maxDecimals, Degrees: maxDecimals, Width: maxLine, Messages: true}

// checkRoundTrip writes a block, reads it, and compares the words by value.
func checkRoundTrip(t *testing.T, b *Block) {
	var out strings.Builder
	w := NewWriter(&out, wide)
	if err := w.Block(*b); err != nil || b.Percent {
		return // a comment, a sign or a length that is read and never written
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	var again Block
	if err := NewReader(strings.NewReader(out.String()), "p").Next(&again); err != nil {
		t.Fatalf("%q was written and is not read: %v", out.String(), err)
	}
	if a, c := sortedWords(b), sortedWords(&again); a != c || b.Delete != again.Delete ||
		strings.Join(b.Comments, "|") != strings.Join(again.Comments, "|") {
		t.Fatalf("%q is read as %s, was %s", out.String(), c, a)
	}
	var twice strings.Builder
	w = NewWriter(&twice, wide)
	if err := errors.Join(w.Block(again), w.Flush()); err != nil || twice.String() != out.String() {
		t.Fatalf("%q is written again as %q, %v", out.String(), twice.String(), err)
	}
}

// sortedWords shows the words by letter, those of one letter in their order.
func sortedWords(b *Block) string {
	var s strings.Builder
	for c := byte('A'); c <= 'Z'; c++ {
		for _, w := range b.Words {
			if w.Letter == c {
				fmt.Fprintf(&s, "%c%v ", c, w.Value)
			}
		}
	}
	return s.String()
}

func TestReadLongProgram(t *testing.T) {
	const blocks = 200_000
	in := &repeater{text: sample}
	r := NewReader(in, "p")
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	var b Block
	sum := 0.0
	for range blocks {
		if err := r.Next(&b); err != nil {
			t.Fatal(err)
		}
		sum += b.Words[0].Value.Float()
	}
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<18 {
		t.Errorf("%d bytes for %d blocks", grown, blocks)
	}
	if want := blocks / 4 * (0 + 1 + 1 + 2); math.Abs(sum-float64(want)) > 0 || b.Line != blocks {
		t.Errorf("sum %v, line %d", sum, b.Line)
	}
}
