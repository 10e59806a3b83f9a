package toolpath

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"cogmend/toolpath/job"
)

// TestRefusals: jobs that read well but cannot be made are refused under the key
// that stands in the way, and there is no refusal that none of them reaches.
func TestRefusals(t *testing.T) {
	var reached []Reason
	for _, tt := range []struct {
		name string
		edit []string // of the demo: old, new, old, new, ...
		key  string
		want string // in the reason
	}{
		{"dovetail cutter too short", []string{"neck = 3.2\nneck_length = 16\nshank = 6\nstick_out = 26", "neck = 3.2\nneck_length = 7\nshank = 6\nstick_out = 12"},
			"cutter.dovetail15", "stick_out 12.000 mm is too short"},
		{"dovetail cutter with a thick shank", []string{"neck = 3.2\nneck_length = 16\nshank = 6", "neck = 3.2\nneck_length = 7\nshank = 20"},
			"cutter.dovetail15", "its shank would touch a neighbouring tooth"},
		{"dovetail cutter as wide as the slot", []string{"kind = \"dovetail\"\ndiameter = 5", "kind = \"dovetail\"\ndiameter = 6"},
			"cutter.dovetail15", "both walls at once"},
		{"slotting cutter too short", []string{"flute_length = 15\nshank = 4\nstick_out = 24", "flute_length = 8\nshank = 4\nstick_out = 9"},
			"slot.mouth", "stick_out 9.000 mm is too short"},
		{"slotting cutter with a thick shank", []string{"flute_length = 15\nshank = 4", "flute_length = 5\nshank = 8"},
			"slot.mouth", "does not reach down the slot"},
		{"drill wider than the mouth", []string{"thread = \"M5\"", "thread = \"M6\"\ntap_drill = 5.3", "diameter = 4.2", "diameter = 5.3"},
			"lock", "does not pass slot.mouth"},
		{"a bore as small as the drill", []string{"bore = 28\nrim_inner = 138", "bore = 8\nrim_inner = 8"},
			"lock", "cannot come out in a bore or rim of 8.000 mm"},
		{"drill too short", []string{"diameter = 4.2\nflute_length = 43\nstick_out = 55", "diameter = 4.2\nflute_length = 18\nstick_out = 20"},
			"cutter.drill42", "too short to drill through the rim"},
		{"drill with a short flute and a thick shank", []string{"diameter = 4.2\nflute_length = 43", "diameter = 4.2\nshank = 8\nflute_length = 5"},
			"cutter.drill42", "does not reach through the rim"},
		{"holes out of travel", []string{"travel_z = [-60", "travel_z = [-15"}, "machine.travel_z", "10-slot"},
		{"out of travel", []string{"travel_x = [-150, 150]", "travel_x = [-10, 20]"}, "machine.travel_x", "10-slot"},
		{"in a keep-out", []string{"x = [46, 120]\ny = [-50, 50]\nz = [-140, -35]", "x = [33, 120]\ny = [-50, 50]\nz = [-140, -5]"}, "keepout.chuck", "would reach down"},
		{"block wider than between the tips", []string{"block_width = 12", "block_width = 18"}, "insert.block_width", "between the neighbours' tips"},
		{"block too low for the vice", []string{"block_height = 16", "block_height = 14"}, "insert.block_height", "left in the vice"},
		{"block too deep in the vice", []string{"block_height = 16", "block_height = 16\nover_jaws = 5"}, "insert.over_jaws", "over the jaws"},
		{"hole wider than the dovetail's neck", []string{"point = 4 ", "point = 5.3 ", "diameter = 4\nflute_length = 43", "diameter = 5.3\nflute_length = 43"},
			"lock.point", "breaks out"},
		{"more left to the file than a module", []string{`["end6", "end4", "end2"]`, `["end6"]`}, "facets.most_filed", "would be left to the file"},
		{"half of one facet's error off a thin tip", []string{"pressure_angle = 14.5", "pressure_angle = 25\naddendum = 1.44", "tolerance = 0.02", "count = 1", "lean = \"proud\"", "lean = \"even\"", "teeth = 18", "teeth = 100"},
			"facets.lean", "leaves no tooth"},
		{"a plate with no angle for two teeth", []string{"missing = 1", "missing = 2", "block_width = 12", "block_width = 8.4", "device = \"rotary\"", "device = \"head\"\nratio = 40\ncircles = [17]"}, "index", "a circle of 27 holes would do"},
		{"a scale with no angle for two teeth", []string{"missing = 1", "missing = 2", "block_width = 12", "block_width = 8.4", "device = \"rotary\"", "device = \"head\"\nratio = 40\ngraduation = \"0.5 deg\""}, "index", "its scale does not"},
		{"teeth on stops, finely", []string{"device = \"rotary\"", "device = \"teeth\""}, "facets.tolerance", "cannot be kept"},
		{"a cutter fed until it would break", []string{"diameter = 6\nflutes = 4", "diameter = 6\nfeed = 600\nrpm = 100\nflutes = 4"}, "cutter.end6", "of its strength"},
		{"a spindle that only runs fast", []string{"max_rpm = 5000", "max_rpm = 5000\nmin_rpm = 4500"}, "cutter.end6", "too fast"},
	} {
		j := jobWith(t, tt.name, string(job.DemoText()), tt.edit...)
		if j == nil {
			continue
		}
		p, err := makeOf(j)
		var no *Refusal
		if !errors.As(err, &no) || p != nil {
			t.Errorf("%s: error %v", tt.name, err)
			continue
		}
		found := false
		for _, r := range no.Reasons {
			found = found || r.Key == tt.key && strings.Contains(r.Text, tt.want)
			if strings.Contains(r.Text, "NaN") || strings.Contains(r.Text, "of -") {
				t.Errorf("%s: odd number in %q", tt.name, r.Text)
			}
		}
		if !found {
			t.Errorf("%s: %v does not speak of %s, %s", tt.name, err, tt.key, tt.want)
		}
		reached = append(reached, no.Reasons...)
	}
	// A block that its one cutter does not get beside.
	text, err := os.ReadFile("../testdata/jobs/good/news63-one-cutter.toml")
	if err != nil {
		t.Fatal(err)
	}
	j := jobWith(t, "wide block", string(text), "block_width = 8.5", "block_width = 13", "count = 2", "count = 2\nclearance = 1.5", "stick_out = 22", "stick_out = 40")
	var no *Refusal
	if _, err := makeOf(j); !errors.As(err, &no) || no.Reasons[0].Key != "facets.cutters" {
		t.Fatalf("wide block: error %v", err)
	}
	reached = append(reached, no.Reasons...)
	// A bead that no cutter gets beside.
	if text, err = os.ReadFile("../testdata/jobs/good/brazed.toml"); err != nil {
		t.Fatal(err)
	}
	j = jobWith(t, "wide bead", string(text), "beside = 1.8", "beside = 4.2", `lean = "proud"`, "clearance = 3\ncutters = [\"end10\"]")
	if _, err := makeOf(j); !errors.As(err, &no) || no.Reasons[0].Key != "facets.cutters" {
		t.Fatalf("wide bead: error %v", err)
	}
	reached = append(reached, no.Reasons...)
	for place, form := range refusalForms(t) {
		some := false
		for _, r := range reached {
			some = some || form.MatchString(r.Text)
		}
		if !some {
			t.Errorf("%s: no job reaches the refusal %s", place, form)
		}
	}
}

// jobWith reads a job's text with some of it exchanged: old, new, old, new, ...
// It is nil when that cannot be read.
func jobWith(t *testing.T, name, text string, edit ...string) *job.Job {
	t.Helper()
	for i := 0; i < len(edit); i += 2 {
		if !strings.Contains(text, edit[i]) {
			t.Errorf("%s: the job has no %q", name, edit[i])
		}
		text = strings.Replace(text, edit[i], edit[i+1], 1)
	}
	j, err := job.Decode(name, []byte(text), nil)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return nil
	}
	return j
}

// refusalForms finds every refusal of this package in its source, as what its
// text looks like.
func refusalForms(t *testing.T) map[string]*regexp.Regexp {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	verb := regexp.MustCompile(`%[.\d]*[a-z]|%%`)
	forms := map[string]*regexp.Regexp{}
	set := token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) < 2 {
				return true
			}
			f, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || f.Sel.Name != "add" {
				return true
			}
			text, ok := call.Args[1].(*ast.BasicLit)
			if !ok || text.Kind != token.STRING {
				return true
			}
			form, err := strconv.Unquote(text.Value)
			if err != nil {
				t.Fatal(err)
			}
			parts := verb.Split(form, -1)
			for i := range parts {
				parts[i] = regexp.QuoteMeta(parts[i])
			}
			forms[set.Position(call.Pos()).String()] = regexp.MustCompile("^" + strings.Join(parts, ".*") + "$")
			return true
		})
	}
	if len(forms) < 15 {
		t.Fatalf("only %d refusals found in the source", len(forms))
	}
	return forms
}

// TestThickWalls: where more is left on a wall than the cutter is wide, it is
// taken in strips, the last at the wall.
func TestThickWalls(t *testing.T) {
	for cut, strips := range map[string]int{"0.1": 1, "0.7": 1, "1": 2} {
		j := jobWith(t, cut, string(job.DemoText()), "roughing = \"end4\"\n", "roughing = \"thin\"\nfinish_cut = "+cut+"\n",
			"[cutter.end2]", "[cutter.thin]\nnumber = 9\ndiameter = 1\nflute_length = 8\nstick_out = 24\nholder = 20\n\n[cutter.end2]")
		if j == nil {
			continue
		}
		p, err := makeOf(j)
		if err != nil {
			t.Fatal(err)
		}
		for _, op := range p.Programs[0].Ops {
			for _, pass := range op.Passes {
				if pass.Name != "wall right" {
					continue
				}
				at := map[float64]bool{}
				most := 0.0
				for _, m := range pass.Moves {
					if m.Kind == Feed {
						at[m.To.Y], most = true, max(most, m.To.Y)
					}
				}
				if len(at) != strips || math.Abs(most-(p.Sizes.MouthHalf-0.5)) > 1e-9 {
					t.Errorf("finish_cut %s: cut at %v, want %d strips to %.3f", cut, at, strips, p.Sizes.MouthHalf-0.5)
				}
			}
		}
	}
}
