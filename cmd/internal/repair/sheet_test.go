package repair

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

// TestSheetOf makes the sheets of jobs of every device and unit and looks for
// what must stand on them.
func TestSheetOf(t *testing.T) {
	for name, want := range map[string][]string{
		"demo":         {"G0 A10", "gear angle off by 0.01 degree"},
		"head":         {"turns and", "holes of ", "<b>File</b> the right flank and root"},
		"module4-inch": {" in</span> <span class=\"o\">", "in/min"},
		"minimal":      {"Not written yet"},
		"brazed":       {"Penetrant", "chilled hard", "bead.beside", "built up"},
	} {
		t.Run(name, func(t *testing.T) {
			j, err := job.Read(filepath.Join("..", "..", "..", "testdata", "jobs", "good", name+".toml"))
			if err != nil {
				t.Fatal(err)
			}
			m, err := Make(j)
			if err != nil {
				t.Fatal(err)
			}
			page, err := m.Sheet(nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range want {
				if !strings.Contains(string(page), w) {
					t.Errorf("no %q on the sheet", w)
				}
			}
			for i := range m.Plan.Programs {
				if file := m.Plan.Programs[i].File(); strings.Count(string(page), file) < 2 {
					t.Errorf("no page for %s", file)
				}
			}
			if j.BuiltUp() {
				speaksOfNoInsert(t, string(page))
			}
			if dir := os.Getenv("COGMEND_LOOK"); dir != "" {
				path := filepath.Join(os.TempDir(), "sheet_"+name+".html")
				if err := os.WriteFile(path, page, 0o644); err != nil {
					t.Fatal(err)
				}
				t.Log(path)
			}
		})
	}
}

// speaksOfNoInsert says that a page of a built-up tooth has no word of what is let
// in; the job's own text at its end and the sheet's styles do not count.
func speaksOfNoInsert(t *testing.T, page string) {
	t.Helper()
	page, _, _ = strings.Cut(page, "<h2>The job</h2>")
	_, body, ok := strings.Cut(page, "<body>")
	if !ok {
		t.Fatal("the page has no body")
	}
	body = regexp.MustCompile(`class="[^"]*"|<[^>]*data:[^>]*>`).ReplaceAllString(body, "")
	for _, word := range []string{"insert", "slot", "dovetail", "adhesive", "trial", "ASSEMBLE", "lock hole", "shoulder"} {
		if at := strings.Index(strings.ToLower(body), strings.ToLower(word)); at >= 0 {
			t.Errorf("the sheet of a built-up tooth says %q: ...%s...", word, body[max(0, at-80):min(len(body), at+80)])
		}
	}
}
