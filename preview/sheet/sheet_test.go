package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cogmend/gcode/replay"
	"cogmend/preview/figure"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// sheetDataOf plans a job and gathers what its sheet is made of. The measures
// are made up: these tests are about the sheet.
func sheetDataOf(tb testing.TB, j *job.Job, pictures bool) Data {
	tb.Helper()
	of, err := design.Of(j)
	if err != nil {
		tb.Fatal(err)
	}
	d := Data{Pictures: map[string]Picture{}}
	if d.Plan, err = toolpath.Make(of); err != nil {
		tb.Fatal(err)
	}
	programs, err := chain.All(d.Plan)
	if err != nil {
		tb.Fatal(err)
	}
	for i := range programs {
		p := &programs[i]
		if p.Err != nil {
			tb.Fatal(p.Err)
		}
		if p.Result == nil {
			d.Reports = append(d.Reports, nil)
			continue
		}
		d.Reports = append(d.Reports, p.Result.Report)
		for _, part := range []string{"", "-cutters", "-index", "-section"} {
			if pictures {
				d.Pictures[p.Stem()+part] = Picture{PNG: blankPicture(tb), Body: 0.82}
			}
		}
	}
	d.Measures = someMeasures()
	e, err := d.Plan.Expect()
	if err != nil {
		tb.Fatal(err)
	}
	d.Expect = &e
	if pictures {
		d.Pictures["expect"] = Picture{PNG: blankPicture(tb), Body: 0.8}
	}
	return d
}

// someMeasures are made up.
func someMeasures() []Measure {
	return []Measure{
		{Name: "old.span", What: "span over 5 standing teeth, to compare", Nominal: 44.321, Low: 44.321, High: 44.321},
		{After: "slot", Name: "slot.depth", What: "slot, depth from the seat", Nominal: 6.3, Low: 6.3, High: 6.35},
		{After: "slot", Name: "slot.between_pins", Pin: 2, What: "slot, between two pins on the floor", With: "pins 2 mm (0.0787 in)", Nominal: 2.38, Low: 2.36, High: 2.413},
		{After: "fit", Name: "insert.over_pins_tight", What: "insert, over two pins on the shoulders, tight middle", With: "pins 2.5 mm (0.0984 in)", Pin: 2.5, Nominal: 10.4, Low: 10.38, High: 10.42},
		{After: "facets", Name: "tooth.chord", What: "chordal thickness on the pitch circle", With: "height 3.204 mm (0.1261 in)", Nominal: 4.905, Low: 4.9, High: 4.94, Note: "over a joint the vernier reads the metal left there too"},
		{After: "facets", Name: "tooth.over_pins", What: "over pins", Note: "no stock pin serves this gear"},
	}
}

// smallSheet is a sheet of one pass, cheap enough to make many.
func smallSheet() Data {
	j := job.Demo()
	cutter := &j.Cutters[0]
	p := &toolpath.Plan{Design: &design.Design{Job: j}, Programs: []toolpath.Program{{
		Number: 10, Purpose: "slot", Title: "title", Setup: toolpath.InsertSetup, Clamp: []string{"clamp"}, Safe: 5,
		Ops: []toolpath.Op{{Name: "op", Cutter: cutter, Rpm: 1000, Feed: 100, Passes: []toolpath.Pass{{Name: "pass", Moves: []toolpath.Move{
			{Kind: toolpath.Rapid, To: toolpath.Pos{X: -5, Y: 1, Z: -2}},
			{Kind: toolpath.Feed, To: toolpath.Pos{X: 5, Y: 1, Z: -2}, Feed: 100},
			{Kind: toolpath.Stop, Text: "stop"},
		}}}}},
	}}}
	p.Sizes.BlockHalf, p.Sizes.Height, p.Sizes.Length = 6, 15, 34
	return Data{Plan: p, Reports: []*replay.Report{{}}}
}

// evil puts the same text wherever a person or a file may put one.
func evil(text string) Data {
	d := smallSheet()
	j := d.Plan.Job
	j.Title, j.File, j.Source, j.Shop, j.ShopFile = text, text, []byte(text), []byte(text), text
	j.Cutters[0].Name, j.Lock.Thread = text, text
	for i := range j.KeepOuts {
		j.KeepOuts[i].Name = text
	}
	d.Warnings = []string{text}
	d.Reports[0] = &replay.Report{NotChecked: []string{text}, Findings: []replay.Finding{{Kind: replay.Kind(text), Text: text}}}
	d.Measures = []Measure{{Name: text, What: text, With: text, Note: text, Nominal: 1}, {After: "slot", Name: text, What: text, Nominal: 1}}
	return d
}

// attacks try to leave the text for the page: as a tag, out of an attribute,
// out of the style, out of the last page's block, as template, as entity.
var attacks = []string{
	`<script>alert(1)</script>`,
	`</title><script>alert(1)</script>`,
	`</pre><img src=x onerror=alert(1)>`,
	`" onload="alert(1)" x="`,
	`' onmouseover='alert(1)`,
	`</style><svg onload=alert(1)>`,
	`--><script>alert(1)</script><!--`,
	`{{.}} {{template "size"}} ${1}`,
	`javascript:alert(1)`,
	`&lt;script&gt;&#60;b&#62;`,
	"`;alert(1)//",
	`<iframe src="http://127.0.0.1/">`,
	`<meta http-equiv="refresh" content="0">`,
	`]]><b>`,
	"\x00<b>\x00",
	"+ADw-script+AD4-",
}

var (
	// pageTag is a tag with all its attributes in double quotes, as the sheet
	// writes them.
	pageTag  = regexp.MustCompile(`<(/?[a-zA-Z][a-zA-Z0-9]*|!DOCTYPE html)((?:\s+[a-zA-Z][a-zA-Z0-9-]*(?:="[^"<>]*")?)*)\s*/?>`)
	pageAttr = regexp.MustCompile(`([a-zA-Z][a-zA-Z0-9-]*)(?:="[^"]*")?`)
	// pageCall is what would run, or fetch something.
	pageCall = regexp.MustCompile(`(?i)<script|<iframe|<object|<base|<link|@import|url\(|(src|href)="?\s*(https?:|javascript:|//)`)
)

// skeleton is a page's tags and the names of their attributes, without any
// value or text. Every < must begin such a tag.
func skeleton(page string) (string, error) {
	var b strings.Builder
	tags := pageTag.FindAllStringSubmatch(page, -1)
	if n := strings.Count(page, "<"); n != len(tags) {
		return "", fmt.Errorf("%d tags, but %d times <", len(tags), n)
	}
	for _, m := range tags {
		b.WriteString(m[1])
		for _, a := range pageAttr.FindAllStringSubmatch(m[2], -1) {
			b.WriteString(" " + a[1])
		}
		b.WriteString("\n")
	}
	return b.String(), nil
}

// withoutScript takes the sheet's own script away, which must stand there once.
func withoutScript(page string) (string, error) {
	own := "<script>" + keepText + "</script>"
	if n := strings.Count(page, own); n != 1 {
		return "", fmt.Errorf("the sheet's script stands there %d times", n)
	}
	return strings.Replace(page, own, "", 1), nil
}

// evilSkeleton is the skeleton of a page with a text everywhere.
func evilSkeleton(text string) (string, error) {
	var b bytes.Buffer
	if err := Write(&b, evil(text)); err != nil {
		return "", err
	}
	page, err := withoutScript(b.String())
	if err != nil {
		return "", err
	}
	if at := pageCall.FindString(page); at != "" {
		return "", fmt.Errorf("the page holds %q", at)
	}
	return skeleton(page)
}

func TestSheetEscapes(t *testing.T) {
	plain, err := evilSkeleton("plain")
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range attacks {
		if got, err := evilSkeleton(a); err != nil || got != plain {
			t.Errorf("%q changes the page: %v", a, err)
		}
	}
}

// TestSheetEscapesAny tries texts made of the same characters at random.
func TestSheetEscapesAny(t *testing.T) {
	plain, err := evilSkeleton("plain")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("<>\"'&/ =`{}-!;:ascript\n\u202e\u00e9")), 1, 40, -1).Draw(t, "text")
		if got, err := evilSkeleton(text); err != nil || got != plain {
			t.Fatalf("the page changes: %v", err)
		}
	})
}

// TestSheetShowsHidden: characters that turn the direction of a line or print
// nothing could make the job read as it is not.
func TestSheetShowsHidden(t *testing.T) {
	for text, want := range map[string]string{
		"a = 1 # \u202e2": "a = 1 # ⟨U+202E⟩2",
		"b\u200bc":        "b⟨U+200B⟩c",
		"x\r\ny\tz":       "x\ny\tz",
		"x\ry":            "x⟨U+000D⟩y",
		"\ufeffunits":     "units",
		"Zähne °":         "Zähne °",
	} {
		if got := visible(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestSheetNeedsNothing: the page names no other file and holds no script but
// its own, which the policy names by its hash.
func TestSheetNeedsNothing(t *testing.T) {
	d := smallSheet()
	pic := smallPicture(t)
	d.Pictures = map[string]Picture{"10-slot": {PNG: pic}, "10-slot-plan.png": {PNG: pic}, "10-slot-index-2": {PNG: pic, Notes: []string{"As <b>it</b> is.", "Checked: clean."}, Body: 0.8}, "40-facets": {PNG: pic}}
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	page, err := withoutScript(b.String())
	if err != nil {
		t.Fatal(err)
	}
	if at := pageCall.FindString(page); at != "" {
		t.Errorf("the page holds %q", at)
	}
	if strings.Contains(b.String(), "ZgotmplZ") {
		t.Error("html/template refused a value")
	}
	if !strings.Contains(b.String(), `<figure style="--body: 0.800">`) || !strings.Contains(b.String(), "10-slot-index-2.png: As &lt;b&gt;it&lt;/b&gt; is.</figcaption>") {
		t.Error("a picture's caption or the height of its body is not as given")
	}
	if n := strings.Count(b.String(), `src="data:image/png;base64,`); n != 3 {
		t.Errorf("%d pictures, want the three of 10-slot", n)
	}
	d.Pictures = map[string]Picture{"10-slot": {PNG: []byte("<svg onload=alert(1)>")}}
	if err := Write(&b, d); err == nil {
		t.Error("a picture that is no PNG was taken")
	}
}

// failing is a writer that is full.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("full") }

func TestSheetErrors(t *testing.T) {
	var b bytes.Buffer
	short := smallSheet()
	short.Reports = nil
	for name, d := range map[string]Data{"no plan": {}, "reports missing": short} {
		if err := Write(&b, d); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes written", name, err, b.Len())
		}
	}
	if err := Write(failing{}, smallSheet()); err == nil {
		t.Error("a full disk was not told")
	}
}

// TestSheetWarns: what must not be run says so.
func TestSheetWarns(t *testing.T) {
	d := smallSheet()
	for name, r := range map[string]*replay.Report{
		"unreadable": nil,
		"findings":   {Findings: []replay.Finding{{Kind: replay.RapidInMetal, Line: 12, Text: "a rapid meets metal"}}},
	} {
		d.Reports[0] = r
		var b bytes.Buffer
		if err := Write(&b, d); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), "DO NOT RUN"); n != 3 {
			t.Errorf("%s: DO NOT RUN stands %d times, want 3: at the top, in the list and on the page", name, n)
		}
		if r != nil && !strings.Contains(b.String(), "line 12: rapid through metal: a rapid meets metal") {
			t.Errorf("%s: the finding is not told", name)
		}
	}
	d.Plan.Job.Machine.Stops = false
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "This control has no program stop.") {
		t.Error("stops that the control does not keep are not told")
	}
}

// TestSheetSign: the test of the rotary axis types what the programs would.
func TestSheetSign(t *testing.T) {
	for sign, want := range map[int][2]string{1: {"G0 A10<", "rotary_sign = -1"}, -1: {"G0 A−10<", "rotary_sign = 1"}} {
		d := smallSheet()
		d.Plan.Programs[0].Setup = toolpath.GearSetup
		d.Plan.Job.Machine.RotarySign = sign
		d.Plan.Programs[0].Ops[0].Passes[0].Angle = 0.1
		var b bytes.Buffer
		if err := Write(&b, d); err != nil {
			t.Fatal(err)
		}
		a := fmt.Sprintf(`<span class="k">A</span> <span class="n">%s</span>`, degrees(0.1*float64(sign)))
		for _, w := range []string{want[0], want[1], a} {
			if !strings.Contains(b.String(), w) {
				t.Errorf("rotary_sign %d: no %q", sign, w)
			}
		}
	}
}

func TestSheetNumbers(t *testing.T) {
	mm := sheet{job: &job.Job{}}
	inch := sheet{job: &job.Job{Units: job.Inch}}
	for _, c := range []struct{ got, want size }{
		{mm.size(-3), size{"−3.000 mm", "−0.1181 in"}},
		{mm.size(-0.0004), size{"0.000 mm", "0.0000 in"}},
		{inch.size(25.4), size{"1.0000 in", "25.400 mm"}},
		{mm.coarse(26), size{"26 mm", "1.0236 in"}},
		{mm.coarse(100), size{"100 mm", "3.937 in"}},
		{mm.coarse(0), size{"0 mm", "0 in"}},
	} {
		if c.got != c.want {
			t.Errorf("%+v, want %+v", c.got, c.want)
		}
	}
	if got := figure.PrintedSigns("top 2 teeth toward -Y, to -20.5 deg (-1); end-on 5 - 4"); got != "top 2 teeth toward −Y, to −20.5 deg (−1); end-on 5 - 4" {
		t.Error(got)
	}
	if got := mm.span(-140, -35.5); got != "−140 to −35.5 mm" {
		t.Error(got)
	}
}

// TestSheetContrast computes contrast from the colours in the style, by WCAG
// 2.2, 1.4.3 (text 4.5 to 1) and 1.4.11 (lines that matter 3 to 1), level AA.
// Black on white is 21 to 1 there.
func TestSheetContrast(t *testing.T) {
	if c := contrast(rgb(0xffffff), rgb(0)); math.Abs(c-21) > 1e-9 {
		t.Fatalf("black on white %g, want 21", c)
	}
	blocks := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(pageText, -1)
	if len(blocks) != 3 {
		t.Fatalf("%d sets of colours, want those of light, dark and print", len(blocks))
	}
	value := regexp.MustCompile(`--([a-z-]+): #([0-9a-f]{3,6});`)
	for i, name := range []string{"light", "dark", "print"} {
		colours := map[string]color.RGBA{}
		for _, m := range value.FindAllStringSubmatch(blocks[i][1], -1) {
			hex := m[2]
			if len(hex) == 3 {
				hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
			}
			n, err := strconv.ParseUint(hex, 16, 32)
			if err != nil {
				t.Fatal(err)
			}
			colours[m[1]] = rgb(uint32(n))
		}
		for _, c := range []struct {
			least float64
			ink   string
			on    string
		}{
			{4.5, "ink", "paper card metal insert keep"}, {4.5, "soft", "paper card stop-card"}, {4.5, "stop", "stop-card paper card"},
			{4.5, "mark", "paper card"}, {4.5, "good", "paper card"}, {3, "line", "paper card"}, {3, "mark", "metal"},
		} {
			for _, on := range strings.Fields(c.on) {
				if k := contrast(colours[c.ink], colours[on]); k < c.least {
					t.Errorf("%s: %s on %s is %.2f to 1, want %.1f", name, c.ink, on, k, c.least)
				}
			}
		}
	}
}

// smallPicture is a PNG file of a few pixels.
func smallPicture(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 8, 6))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func rgb(v uint32) color.RGBA { return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255} }

// contrast is the contrast ratio of WCAG 2.2, from relative luminance.
func contrast(a, b color.RGBA) float64 {
	luminance := func(c color.RGBA) float64 {
		linear := func(v uint8) float64 { // undoes the transfer curve of sRGB (IEC 61966-2-1)
			c := float64(v) / 255
			if c <= 0.04045 {
				return c / 12.92
			}
			return math.Pow((c+0.055)/1.055, 2.4)
		}
		return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// blankPicture is a PNG file of a picture's size, all white.
func blankPicture(tb testing.TB) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewPaletted(image.Rect(0, 0, 1600, 1200), color.Palette{color.White})); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}
