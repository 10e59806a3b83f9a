package preview

import (
	"bytes"
	"context"
	"encoding/json"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"cogmend/gcode/replay"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// dryPageOf is the page of a job's programs, and what the replay left of each.
func dryPageOf(t *testing.T, j *job.Job) (*DryPage, []written) {
	t.Helper()
	d := &DryPage{Title: j.Heading(), Fingerprint: j.Fingerprint}
	all := repair(t, j, func(w *written) {
		w.Before.Observe = d.Add(w.Scene, w.text).Observe
	})
	return d, all
}

// pathArea is the area of the polygons of a path, mm^2, each by itself.
func pathArea(t *testing.T, d string) float64 {
	t.Helper()
	total := 0.0
	for _, ring := range strings.Split(d, "z") {
		if ring == "" {
			continue
		}
		words := strings.Fields(strings.NewReplacer("M", "", "l", " ").Replace(ring))
		var pts []geom.Vec
		at := geom.Vec{}
		for i := 0; i+1 < len(words); i += 2 {
			y, err1 := strconv.Atoi(words[i])
			z, err2 := strconv.Atoi(words[i+1])
			if err1 != nil || err2 != nil {
				t.Fatalf("path %q: %v, %v", ring, err1, err2)
			}
			at = at.Add(geom.Vec{Y: float64(y) / 100, Z: float64(z) / 100})
			pts = append(pts, at)
		}
		total += math.Abs(geom.Area(pts))
	}
	return total
}

// TestDryPage: each block of the page shows where the text sends the cutter, and
// the last one the metal that the replay left.
func TestDryPage(t *testing.T) {
	d, all := dryPageOf(t, job.Demo())
	for i, p := range d.Programs {
		w := all[i]
		if len(p.Passes) != w.Program.Passes() {
			t.Errorf("%s: %d passes, the program has %d", p.File, len(p.Passes), w.Program.Passes())
		}
		last := p.Blocks[len(p.Blocks)-1]
		var left replay.Station
		for n, place := range p.placeAt {
			if place == last.Place {
				left = w.After[n]
			}
		}
		got, want := pathArea(t, p.Shapes[last.Shape]), left.Waste.Area()
		if math.Abs(got-want) > 0.02+0.05*want {
			t.Errorf("%s: the last block leaves %.3f mm2 at X %s, the replay %.3f", p.File, got, p.Places[last.Place].X, want)
		}
		first := p.Places[last.Place].First
		if before := pathArea(t, p.Shapes[first]); !(before > got+1e-9) && want > 0 {
			t.Errorf("%s: %.3f mm2 before, %.3f after", p.File, before, got)
		}
		for _, b := range p.Blocks {
			line := p.Lines[b.Line-1]
			if m := regexp.MustCompile(`X(-?[\d.]+)`).FindStringSubmatch(line); m != nil {
				if x, _ := strconv.ParseFloat(m[1], 64); math.Abs(x-float64(b.To[0])/100) > 0.006 {
					t.Fatalf("%s: line %d, %q, is shown at X %d", p.File, b.Line, line, b.To[0])
				}
			}
		}
	}
}

// TestDryPageAlone: the page names nothing outside itself, is small, and can be
// read without its script.
func TestDryPageAlone(t *testing.T) {
	d, _ := dryPageOf(t, job.Demo())
	d.Title = `<script>alert(1)</script>`
	d.Programs[0].Lines[0] = `</script><script>alert(2)</script>`
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	if b.Len() > 8e6 {
		t.Errorf("%.1f MB, 8 at most", float64(b.Len())/1e6)
	}
	if at := regexp.MustCompile(`(?i)alert\(1\)</script|</script><script>alert|<link|@import|url\(|(src|href)="?\s*(https?:|//)`).FindString(page); at != "" {
		t.Errorf("the page holds %q", at)
	}
	if strings.Contains(page, "ZgotmplZ") {
		t.Error("html/template refused a value")
	}
	sequence := page[strings.Index(page, `<div id="sequence">`):strings.Index(page, `<script type="application/json"`)]
	want := 0
	for _, p := range d.Programs {
		want += len(p.Passes)
	}
	if n := strings.Count(sequence, "<figure>"); n != want {
		t.Errorf("%d pictures without the script, the programs have %d passes", n, want)
	}
	for _, text := range regexp.MustCompile(`(?s)class="program">(.*?)</script>`).FindAllStringSubmatch(page, -1) {
		if !json.Valid([]byte(text[1])) {
			t.Errorf("no JSON: %.80s", text[1])
		}
	}
}

// TestDryPageInBrowser opens the page at a block in Chromium.
func TestDryPageInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal(err)
		}
		t.Skip("no chromium on the path: the page was not looked at in a browser")
	}
	d, _ := dryPageOf(t, job.Demo())
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "dry-run.html")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	n := len(d.Programs) - 1
	p := d.Programs[n]
	at := p.Passes[2].Block + 1
	out, err := exec.CommandContext(ctx, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir="+t.TempDir(),
		"--virtual-time-budget=5000", "--dump-dom", "file://"+path+"#"+strconv.Itoa(n)+":"+strconv.Itoa(at+1)).Output()
	if err != nil {
		t.Skipf("the browser died: %v", err)
	}
	page := html.UnescapeString(string(out))
	block := p.Blocks[at]
	for _, want := range []string{
		`<div id="sequence" style="display: none;">`,
		strconv.Itoa(at+1) + " of " + strconv.Itoa(len(p.Blocks)),
		"<b>" + strings.Repeat(" ", max(0, 4-len(strconv.Itoa(block.Line)))) + strconv.Itoa(block.Line) + "  " + p.Lines[block.Line-1] + "</b>",
		"rotate(" + strconv.FormatFloat(block.Angle, 'f', -1, 64) + ")",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not show %q", want)
		}
	}
}
