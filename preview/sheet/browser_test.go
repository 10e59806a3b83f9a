package sheet

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"cogmend/toolpath/job"
)

// browser finds a headless Chromium. Without one the test is skipped; where
// the environment says CI=true one must be there.
func browser(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	const say = "no chromium on the path: the sheet was not looked at in a browser"
	if os.Getenv("CI") == "true" {
		t.Fatal(say)
	}
	t.Skip(say)
	return ""
}

// browse runs the browser once and returns what it printed.
func browse(t *testing.T, path string, args ...string) (stdout, stderr string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	flags := []string{
		"--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--disable-dev-shm-usage", "--enable-logging=stderr", "--user-data-dir=" + t.TempDir(),
	}
	// On a machine without a desktop the browser itself dies now and then; that
	// says nothing of the page, so it is started again.
	const tries = 4
	var out, errs bytes.Buffer
	for n := 1; ; n++ {
		out.Reset()
		errs.Reset()
		c := exec.CommandContext(ctx, path, append(flags, args...)...)
		c.Stdout, c.Stderr = &out, &errs
		err := c.Run()
		if err == nil {
			break
		}
		var exit *exec.ExitError
		if n == tries || !errors.As(err, &exit) || exit.Exited() {
			t.Fatalf("%s: %v\n%s", path, err, errs.String())
		}
	}
	return out.String(), errs.String()
}

// inspector opens the sheet, untouched, in frames of several widths and
// measures what a person would see. The answers are read from its text.
const inspector = `<!DOCTYPE html><meta charset="utf-8"><body><script>
const sheet = %s, widths = %s;
const parse = c => { const m = c.match(/[\d.]+/g).map(Number); return m.length > 3 && m[3] === 0 ? null : m; };
const lum = c => { const f = c.slice(0, 3).map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
	return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2]; };
const look = (doc, width, scheme) => {
	const win = doc.defaultView, root = doc.documentElement, out = { width, scheme, clipped: [], faint: [], overlaps: [], texts: 0 };
	out.scroll = root.scrollWidth;
	out.ground = win.getComputedStyle(doc.body).backgroundColor;
	for (const d of doc.querySelectorAll('details')) d.open = true;
	const walk = doc.createTreeWalker(doc.body, NodeFilter.SHOW_TEXT);
	for (let n; n = walk.nextNode();) {
		if (!n.data.trim()) continue;
		out.texts++;
		const el = n.parentElement, style = win.getComputedStyle(el), range = doc.createRange();
		range.selectNodeContents(n);
		const r = range.getBoundingClientRect(), svg = el.closest('svg');
		const box = svg ? svg.getBoundingClientRect() : { left: 0, right: root.clientWidth };
		const spill = svg && (r.top < box.top - 1 || r.bottom > box.bottom + 1);
		if (r.left < box.left - 0.5 || r.right > box.right + 0.5 || spill) out.clipped.push(n.data.trim());
		for (let up = el; up && !svg; up = up.parentElement) {
			const s = win.getComputedStyle(up);
			if (s.overflowX !== 'visible' && up.scrollWidth > up.clientWidth + 1) { out.clipped.push(n.data.trim()); break; }
		}
		const ink = lum(parse(svg ? style.fill : style.color));
		let ground = null;
		for (let up = el; up && !ground; up = up.parentElement) ground = parse(win.getComputedStyle(up).backgroundColor);
		ground = lum(ground || [255, 255, 255]);
		const ratio = (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
		if (ratio < 4.5) out.faint.push(ratio.toFixed(2) + ': ' + n.data.trim());
	}
	for (const svg of doc.querySelectorAll('svg')) {
		const t = [...svg.querySelectorAll('text')], r = t.map(e => e.getBoundingClientRect());
		for (let i = 0; i < t.length; i++) for (let k = 0; k < i; k++)
			if (r[i].left < r[k].right - 1 && r[k].left < r[i].right - 1 && r[i].top < r[k].bottom - 4 && r[k].top < r[i].bottom - 4)
				out.overlaps.push(t[k].textContent + ' / ' + t[i].textContent);
	}
	out.images = [...doc.images].filter(i => i.complete && i.naturalWidth > 0).length;
	return out;
};
const answers = [];
const views = widths.flatMap(w => [[w, 'light'], [w, 'dark']]);
views.push([710, 'print']); // 188 mm: A4 less its margins, the narrower paper
for (const [w, scheme] of views) {
	const f = document.createElement('iframe');
	f.style.cssText = 'border:0;height:900px;width:' + w + 'px;color-scheme:' + scheme; // a frame takes its scheme from outside
	f.srcdoc = sheet;
	f.onload = () => {
		if (scheme === 'print')
			for (const rule of f.contentDocument.styleSheets[0].cssRules)
				if (rule.media) rule.media.mediaText = rule.media.mediaText === 'print' ? 'all' : 'not all';
		answers.push(look(f.contentDocument, w, scheme));
		if (answers.length === views.length) document.body.textContent = 'ANSWER' + JSON.stringify(answers) + 'END';
	};
	document.body.append(f);
}
</script>`

// seen is what the inspector found at one width.
type seen struct {
	Width, Scroll, Texts, Images int
	Scheme, Ground               string
	Clipped, Faint, Overlaps     []string
}

func inspect(t *testing.T, chromium string, page []byte) []seen {
	t.Helper()
	text, err := json.Marshal(string(page)) // escapes < and >, so no tag ends the script
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "inspect.html")
	if err := os.WriteFile(path, fmt.Appendf(nil, inspector, text, "[360, 768, 1200]"), 0o644); err != nil {
		t.Fatal(err)
	}
	dom, _ := browse(t, chromium, "--window-size=1300,1000", "--virtual-time-budget=20000", "--dump-dom", "file://"+path)
	_, rest, ok := strings.Cut(dom, "<body>ANSWER")
	answer, _, ended := strings.Cut(rest, "END")
	if !ok || !ended {
		t.Fatalf("the page was not measured: %.300s", dom)
	}
	var all []seen
	if err := json.Unmarshal([]byte(html.UnescapeString(answer)), &all); err != nil {
		t.Fatal(err)
	}
	return all
}

// pdfPage finds the pages in a PDF that the browser prints.
var pdfPage = regexp.MustCompile(`/Type\s*/Page\b[^s]`)

// TestSheetInBrowser looks at sheets of several jobs on a phone, a tablet and
// a desk, light and dark, and on paper, and prints one. Contrast is that of WCAG 2.2,
// 1.4.3, level AA: 4.5 to 1, asked of letters of any size.
func TestSheetInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	chromium := browser(t)
	for _, name := range []string{"demo", "teeth", "module4-inch"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			j, err := job.Read(filepath.Join("..", "..", "testdata", "jobs", "good", name+".toml"))
			if err != nil {
				t.Fatal(err)
			}
			d := sheetDataOf(t, j, name == "demo")
			var page bytes.Buffer
			if err := Write(&page, d); err != nil {
				t.Fatal(err)
			}
			grounds := map[string]string{}
			for _, s := range inspect(t, chromium, page.Bytes()) {
				at := fmt.Sprintf("%s, %d px", s.Scheme, s.Width)
				grounds[s.Scheme] = s.Ground
				if s.Scroll > s.Width {
					t.Errorf("%s: the page is %d px wide", at, s.Scroll)
				}
				if s.Texts < 200 || s.Images != len(d.Pictures) {
					t.Errorf("%s: %d texts, %d pictures of %d", at, s.Texts, s.Images, len(d.Pictures))
				}
				for what, list := range map[string][]string{"cut off": s.Clipped, "too faint": s.Faint, "one on the other": s.Overlaps} {
					if len(list) > 0 {
						t.Errorf("%s: %s: %q", at, what, list)
					}
				}
			}
			if grounds["light"] == grounds["dark"] {
				t.Errorf("light and dark are alike: %s", grounds["light"])
			}
			if name == "demo" {
				testPrint(t, chromium, page.Bytes(), len(d.Plan.Programs))
			}
		})
	}
}

// keeper opens the sheet, ticks and writes, and opens it again.
const keeper = `<!DOCTYPE html><meta charset="utf-8"><body><script>
const sheet = %s;
const open = (then) => { const f = document.createElement('iframe'); f.srcdoc = sheet; f.onload = () => then(f.contentDocument); document.body.append(f); };
open((d) => {
	const tick = d.querySelectorAll('input[type=checkbox]')[5], blank = d.querySelectorAll('input.blank')[2];
	tick.checked = true; tick.dispatchEvent(new Event('input'));
	blank.value = '44.31'; blank.dispatchEvent(new Event('input'));
	open((d) => {
		const ticks = [...d.querySelectorAll('input[type=checkbox]')], blanks = [...d.querySelectorAll('input.blank')];
		document.body.textContent = 'ANSWER ' + ticks.findIndex((e) => e.checked) + ' ' + ticks.filter((e) => e.checked).length + ' ' +
			blanks.findIndex((e) => e.value) + ' ' + blanks[2].value + ' END';
	});
});
</script>`

// TestSheetKeeps: what is ticked and written into the page is there when it is
// opened again.
func TestSheetKeeps(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	chromium := browser(t)
	s, _ := planned(t, "", nil)
	var page bytes.Buffer
	if err := Write(&page, s.Data); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(page.String())
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "keep.html")
	if err := os.WriteFile(path, fmt.Appendf(nil, keeper, text), 0o644); err != nil {
		t.Fatal(err)
	}
	dom, log := browse(t, chromium, "--virtual-time-budget=10000", "--dump-dom", "file://"+path)
	if !strings.Contains(dom, "ANSWER 5 1 2 44.31 END") {
		t.Errorf("not kept: %.200s\n%.600s", dom[strings.Index(dom, "<body>"):], log)
	}
}

// testPrint prints the page on A4 and Letter; no program should need more than
// three pages.
func testPrint(t *testing.T, chromium string, page []byte, programs int) {
	dir := t.TempDir()
	for _, paper := range []string{"A4", "letter"} {
		sized := bytes.Replace(page, []byte("@page {"), []byte("@page { size: "+paper+";"), 1)
		in, out := filepath.Join(dir, paper+".html"), filepath.Join(dir, paper+".pdf")
		if err := os.WriteFile(in, sized, 0o644); err != nil {
			t.Fatal(err)
		}
		_, log := browse(t, chromium, "--no-pdf-header-footer", "--print-to-pdf="+out, "file://"+in)
		for _, line := range strings.Split(log, "\n") {
			if strings.Contains(line, ":CONSOLE") {
				t.Errorf("the console says: %s", line)
			}
		}
		pdf, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		n := len(pdfPage.FindAll(pdf, -1))
		if least, most := programs+2, 3*programs+1; n < least || n > most {
			t.Errorf("%s: %d pages, want %d to %d", paper, n, least, most)
		}
		t.Logf("%s: %d pages", paper, n)
	}
}
