package gcode

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// words makes words from pairs of a letter and a Num.
func words(t testing.TB, text string) []Word {
	var b Block
	if err := NewReader(strings.NewReader(text), "p").Next(&b); err != nil {
		t.Fatal(err)
	}
	return b.Words
}

func write(f Form, blocks ...Block) (string, error) {
	var out strings.Builder
	w := NewWriter(&out, f)
	for _, b := range blocks {
		if err := w.Block(b); err != nil {
			return out.String(), err
		}
	}
	err := w.Flush()
	return out.String(), err
}

func TestWrite(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"X1 G0", "G0 X1.0"},
		{"M3S1200", "S1200 M3"},
		{"T1M6", "T1 M6"},
		{"M6 T1 S3 F4 P5 Q6 R7 K8 J9 I1 A2 Z3 Y4 X5 G54 G0", "G54 G0 X5.0 Y4.0 Z3.0 A2.0 I1.0 J9.0 K8.0 R7.0 Q6.0 P5 F4 S3 T1 M6"},
		{"G17 G21 G40 G49 G54 G80 G90 G94", "G17 G21 G40 G49 G54 G80 G90 G94"},
		{"G01 X-.5000 Y1.2500 F100.0", "G1 X-0.5 Y1.25 F100"},
		{"G0 X-0", "G0 X0.0"},
		{"G59.1 H2", "G59.1 H2"},
		{"G4 P0.5", "G4 P0.5"},
		{"", ""},
	} {
		got, err := write(Metric(), Block{Words: words(t, c.text+"\n")})
		if err != nil || got != c.want+"\n" {
			t.Errorf("%q is written %q, %v; want %q", c.text, got, err, c.want)
		}
	}
}

func TestForms(t *testing.T) {
	blocks := []Block{
		{Comments: []string{"TITLE"}},
		{Words: words(t, "G0 X1")},
		{Delete: true, Words: words(t, "M2"), Comments: []string{"END"}},
	}
	f := Metric()
	f.LineNumbers, f.Percents, f.CRLF = true, true, true
	for _, c := range []struct {
		form Form
		want string
	}{
		{Metric(), "(TITLE)\nG0 X1.0\n/ M2 (END)\n"},
		{f, "%\r\n(TITLE)\r\nN1 G0 X1.0\r\n/N2 M2 (END)\r\n%\r\n"},
	} {
		got, err := write(c.form, blocks...)
		if err != nil || got != c.want {
			t.Errorf("%+v writes %q, %v; want %q", c.form, got, err, c.want)
		}
	}
	if got, err := write(Form{Percents: true}); err != nil || got != "%\n%\n" {
		t.Errorf("an empty program is written %q, %v", got, err)
	}
	// The frame is the form's: % lines that were read are not written twice.
	if got, err := write(Form{Percents: true}, Block{Percent: true}, Block{Percent: true}); err != nil || got != "%\n%\n" {
		t.Errorf("a framed program is written %q, %v", got, err)
	}
	if got, err := write(Form{Messages: true}, Block{Comments: []string{"MSG, TURN"}}); err != nil || got != "(MSG, TURN)\n" {
		t.Errorf("a message is written %q, %v", got, err)
	}
}

func TestWidth(t *testing.T) {
	exact := Block{Comments: []string{strings.Repeat("x", DefaultWidth-2)}}
	if got, err := write(Metric(), exact); err != nil || len(got) != DefaultWidth+1 {
		t.Errorf("a line of just the width is written %q, %v", got, err)
	}
}

func TestLineNumbersWrap(t *testing.T) {
	w := NewWriter(io.Discard, Form{LineNumbers: true})
	b := Block{Words: words(t, "M5")}
	for range 99999 {
		if err := w.Block(b); err != nil {
			t.Fatal(err)
		}
	}
	if string(w.line) != "N99999 M5" {
		t.Errorf("line 99999 is %q", w.line)
	}
	if err := w.Block(b); err != nil || string(w.line) != "N1 M5" {
		t.Errorf("the next is %q, %v", w.line, err)
	}
}

func TestWriteRefuses(t *testing.T) {
	long := words(t, "G54 G0 X5.1234 Y4.1234 Z3.1234 A2.1234 I1.1234 J9.1234 K8.1234 R7.1234 Q6")
	for _, c := range []struct {
		block   Block
		message string
	}{
		{Block{Words: []Word{{Letter: 'N'}}}, "begins no word"},
		{Block{Words: []Word{{Letter: 'x'}}}, "begins no word"},
		{Block{Words: []Word{{Letter: '('}}}, "begins no word"},
		{Block{Words: []Word{{Letter: 0}}}, "begins no word"},
		{Block{Words: []Word{{Letter: 'X'}, {Letter: 'X'}}}, "second X"},
		{Block{Words: []Word{{Letter: 'M'}, {Letter: 'M'}, {Letter: 'M'}, {Letter: 'M'}, {Letter: 'M'}}}, "four M"},
		{Block{Words: slices.Repeat([]Word{{Letter: 'G'}}, 1000)}, "2999 characters"},
		{Block{Words: []Word{{Letter: 'X', Value: Num{1, 5}}}}, "X0.00001 has 5 decimals"},
		{Block{Words: []Word{{Letter: 'G', Value: Num{105, 2}}}}, "at most 1"},
		{Block{Words: []Word{{Letter: 'M', Value: Num{15, 1}}}}, "at most 0"},
		{Block{Words: []Word{{Letter: 'F', Value: Num{-1, 0}}}}, "negative"},
		{Block{Words: []Word{{Letter: 'G', Value: Num{-1, 0}}}}, "negative"},
		{Block{Words: long}, "75 characters"},
		{Block{Comments: []string{strings.Repeat("x", 69)}}, "71 characters"},
		{Block{Comments: []string{"a)b"}}, "with )"},
		{Block{Comments: []string{"a(b"}}, "with ("},
		{Block{Comments: []string{"50%"}}, "with %"},
		{Block{Comments: []string{"#1"}}, "with #"},
		{Block{Comments: []string{"a;b"}}, "with ;"},
		{Block{Comments: []string{"a\nM2"}}, "0x0A"},
		{Block{Comments: []string{"5\u00b0"}}, "0xC2"},
		{Block{Comments: []string{" m sg, x"}}, "MSG"},
	} {
		got, err := write(Metric(), c.block)
		if err == nil || !strings.Contains(err.Error(), c.message) || got != "" {
			t.Errorf("%+v is written %q, %v; want an error with %q", c.block, got, err, c.message)
		}
	}
}

// failing takes a number of bytes and then fails.
type failing struct {
	room int
	err  error
}

func (f *failing) Write(p []byte) (int, error) {
	if len(p) > f.room {
		return f.room, f.err
	}
	f.room -= len(p)
	return len(p), nil
}

func TestWriterFails(t *testing.T) {
	boom := errors.New("boom")
	b := Block{Words: words(t, "G1 X1 Y2 Z3")}
	w := NewWriter(&failing{0, boom}, Metric())
	if err := w.Block(b); err != nil {
		t.Fatal(err) // still in the buffer
	}
	if err := w.Flush(); !errors.Is(err, boom) {
		t.Errorf("Flush says %v", err)
	}
	if err := w.Flush(); !errors.Is(err, boom) {
		t.Errorf("Flush again says %v", err)
	}
	w = NewWriter(&failing{100_000, boom}, Metric())
	var err error
	n := 0
	for ; err == nil && n < 20_000; n++ {
		err = w.Block(b)
	}
	if !errors.Is(err, boom) || n < 4000 {
		t.Errorf("block %d says %v", n, err)
	}
	if err := w.Block(b); !errors.Is(err, boom) {
		t.Errorf("the block after says %v", err)
	}
	w = NewWriter(io.Discard, Metric())
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := w.Block(b); err == nil {
		t.Error("a block after Flush is written")
	}
}

// drawBlock draws a block that can be written.
func drawBlock(t *rapid.T) Block {
	b := Block{Number: -1, Delete: rapid.Bool().Draw(t, "delete")}
	for _, c := range []byte("GXYZAIJKRPFSTM") {
		if rapid.IntRange(0, 4).Draw(t, "has") != 0 {
			continue
		}
		lo, hi, d := -1e7, 1e7, uint8(4)
		switch c {
		case 'G':
			lo, hi, d = 0, 999, 1
		case 'T', 'M':
			lo, hi, d = 0, 99, 0
		case 'P', 'F', 'S':
			lo = 0
		}
		n := rapid.Int64Range(int64(lo), int64(hi)).Draw(t, "units")
		b.Words = append(b.Words, Word{Letter: c, Value: Num{n, d}})
	}
	if rapid.Bool().Draw(t, "comment") {
		b.Comments = []string{SafeComment(rapid.String().Draw(t, "text"))}
	}
	return b
}

// Writing, reading and writing again gives the same bytes, and the words that
// were put in.
func TestWriteReadWrite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Form{Decimals: 4, Degrees: 4, Width: maxLine}
		f.CRLF = rapid.Bool().Draw(t, "crlf")
		f.LineNumbers = rapid.Bool().Draw(t, "numbers")
		f.Percents = rapid.Bool().Draw(t, "percents")
		var in, out []Block
		for range rapid.IntRange(0, 8).Draw(t, "blocks") {
			in = append(in, drawBlock(t))
		}
		first, err := write(f, in...)
		if err != nil {
			if strings.Contains(err.Error(), "characters") {
				return // a long comment
			}
			t.Fatal(err)
		}
		r := NewReader(strings.NewReader(first), "p")
		for {
			var b Block
			if err := r.Next(&b); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%v in\n%s", err, first)
			}
			if !b.Percent {
				out = append(out, b)
			}
		}
		if len(in) != len(out) {
			t.Fatalf("%d blocks written, %d read", len(in), len(out))
		}
		for i := range in {
			if a, b := sortedWords(&in[i]), sortedWords(&out[i]); a != b {
				t.Fatalf("block %d: wrote %s, read %s", i, a, b)
			}
		}
		second, err := write(f, out...)
		if err != nil || second != first {
			t.Fatalf("first\n%s\nthen %v\n%s", first, err, second)
		}
	})
}

func TestSafeComment(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""},
		{"plain text, 5 deep", "plain text, 5 deep"},
		{"a) G0 Z-100 (b", "a] G0 Z-100 [b"},
		{"a)\nG0 Z-100\n(", "a] G0 Z-100 ["},
		{"50% ; #3", "50 percent , No.3"},
		{"14.5° × 2 – ø6", "14.5 deg x 2 - dia 6"},
		{"MSG, press start", "- MSG, press start"},
		{" m s g,x", "- m s g,x"},
		{"MSGR", "- MSGR"},
		{"message", "message"},
		{"é\x00\x7f", "???"},
		{"\xff\xfe", "??"},
	} {
		if got := SafeComment(c.text); got != c.want {
			t.Errorf("SafeComment(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}

// FuzzSafeComment: any text becomes one comment that reads back as itself,
// shows no message, and is not changed again.
func FuzzSafeComment(f *testing.F) {
	for _, s := range []string{"", ")", "(", ") M3 (", "MSG,", "\tmSg ,", "a\nb\rc", "%", "#1=[2]", "é)", "\xff)", "M(SG,", "m\u0131SG,"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 1000 {
			return // as good in pieces
		}
		for _, c := range append(CommentLines(s, DefaultWidth-2), SafeComment(s)) {
			if SafeComment(c) != c {
				t.Fatalf("%q becomes %q", c, SafeComment(c))
			}
			if _, ok := Message(c); ok {
				t.Fatalf("%q is a message", c)
			}
			if len(c) > maxLine-2 {
				continue
			}
			form := Metric()
			form.Width = maxLine
			text, err := write(form, Block{Comments: []string{c}})
			if err != nil {
				t.Fatal(err)
			}
			got, err := readAll(text)
			if err != nil || len(got) != 1 || got[0] != fmt.Sprintf("%q", c) {
				t.Fatalf("%q is read as %q, %v", text, got, err)
			}
		}
	})
}

// The lines hold all the words of the text, within the width.
func TestCommentLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ab MSG(,)"))).Draw(t, "text")
		width := rapid.IntRange(8, 30).Draw(t, "width")
		lines := CommentLines(s, width)
		if len(lines) == 0 {
			t.Fatal("no line")
		}
		clean := func(s string) string { return strings.NewReplacer(" ", "", "-", "").Replace(s) }
		if got, want := clean(strings.Join(lines, "")), clean(SafeComment(s)); got != want {
			t.Fatalf("the lines hold %q, want %q", got, want)
		}
		for _, l := range lines {
			if len(l) > width || !utf8.ValidString(l) || SafeComment(l) != l {
				t.Fatalf("line %q", l)
			}
		}
	})
	if got := CommentLines("abcdefgh M SG, x", 8); strings.Join(got, "|") != "abcdefgh|M|SG, x" {
		t.Errorf("a message is put together: %q", got)
	}
	got := CommentLines("clamp the gear on its bore, never on the rim", 20)
	if want := "clamp the gear on|its bore, never on|the rim"; strings.Join(got, "|") != want {
		t.Errorf("got %q", got)
	}
}

func TestMessage(t *testing.T) {
	for _, c := range []struct {
		comment, text string
		ok            bool
	}{
		{"MSG, set the head", "set the head", true}, {" m s\tg , x ", "x", true}, {"MSG,", "", true},
		{"MSG set", "", false}, {"MS, x", "", false}, {"a MSG, x", "", false}, {"", "", false},
	} {
		if text, ok := Message(c.comment); text != c.text || ok != c.ok {
			t.Errorf("Message(%q) = %q, %v", c.comment, text, ok)
		}
	}
}

func sampleBlocks(b *testing.B) []Block {
	var all []Block
	for l := range strings.Lines(sample) {
		all = append(all, Block{Words: words(b, l)})
	}
	return all
}

func BenchmarkWrite(b *testing.B) {
	blocks := sampleBlocks(b)
	w := NewWriter(io.Discard, Metric())
	b.SetBytes(int64(len(sample) / len(blocks)))
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if err := w.Block(blocks[i%len(blocks)]); err != nil {
			b.Fatal(err)
		}
		i++
	}
}

// BenchmarkPlainWrite writes the same bytes without making them, a byte at a
// time: what BenchmarkWrite is to be measured against.
func BenchmarkPlainWrite(b *testing.B) {
	lines := strings.SplitAfter(strings.TrimSuffix(sample, "\n"), "\n")
	w := bufio.NewWriterSize(io.Discard, 1<<15)
	b.SetBytes(int64(len(sample) / len(lines)))
	i := 0
	for b.Loop() {
		l := lines[i%len(lines)]
		for k := range len(l) {
			if err := w.WriteByte(l[k]); err != nil {
				b.Fatal(err)
			}
		}
		i++
	}
}
