package preview

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cogmend/preview/figure"
	"cogmend/profiles/geom"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// facetsScenes keeps what facetsScene has made, for the next test.
var facetsScenes = map[string]Scene{}

// facetsScene is the facets program of a good job, replayed, its index device
// another when device is not empty.
func facetsScene(t *testing.T, name, device string) Scene {
	t.Helper()
	key := name + device
	if s, ok := facetsScenes[key]; ok {
		return s
	}
	file := filepath.Join("..", "testdata", "jobs", "good", name+".toml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if device != "" {
		text = []byte(strings.Replace(string(text), `device = "rotary"`, device, 1))
	}
	j, err := job.Decode(file, text, nil)
	if err != nil {
		t.Fatal(err)
	}
	all := repair(t, j, nil)
	facetsScenes[key] = all[len(all)-1].Scene
	return facetsScenes[key]
}

// TestIndexPictures: every facet has its panel, in the order of its first cut,
// and says every pass with what is set by hand for it.
func TestIndexPictures(t *testing.T) {
	for _, c := range []struct{ job, device, setting string }{
		{"demo", "", ""},
		{"head", "", " holes of 39 toward −Y"},
		{"head-scale", "", " min toward −Y"},
		{"teeth", "", " tooth toward −Y"},
		{"apart", "", ""},
		{"three-missing", "device = \"teeth\"\nhalf_tooth = true", " tooth toward −Y"},
	} {
		t.Run(c.job, func(t *testing.T) {
			s := facetsScene(t, c.job, c.device)
			var captions, lines []string
			for _, f := range s.indexFigures() {
				if len(f.Panels) > onePage {
					t.Errorf("%d panels on a page", len(f.Panels))
				}
				for _, p := range f.Panels {
					captions = append(captions, p.Caption)
					for _, line := range p.Lines {
						if line != "" {
							lines = append(lines, line)
						}
					}
				}
			}
			if len(captions) != len(s.Plan.Facets) {
				t.Errorf("%d panels for %d facets", len(captions), len(s.Plan.Facets))
			}
			all := strings.Join(lines, "\n")
			if c.setting != "" && !strings.Contains(all, c.setting) {
				t.Errorf("no %q in:\n%s", c.setting, all)
			}
			// The panels' order is that of the first passes.
			order := strings.Join(captions, "\n")
			last, pass := -1, 0
			for i := range s.Program.Ops {
				op := &s.Program.Ops[i]
				for k := range op.Passes {
					p := &op.Passes[k]
					pass++
					if !strings.Contains(p.Name, "facet") {
						continue
					}
					says := fmt.Sprintf("Pass %d, T%d: ", pass, op.Cutter.Number)
					if strings.Count(all, says) != 1 || p.Brief != "" && !strings.Contains(all, figure.PrintedSigns(p.Brief)) {
						t.Errorf("%s, %q: not once in:\n%s", says, p.Brief, all)
					}
					name := strings.ToUpper(p.Name[:1]) + p.Name[1:] + ":"
					at := strings.Index(order, name)
					if at < 0 {
						t.Errorf("no panel %q in:\n%s", name, order)
					}
					if i == 0 {
						if at < last {
							t.Errorf("panel %q is not in the order of the passes:\n%s", name, order)
						}
						last = at
					}
				}
			}
		})
	}
}

// TestEveryTooth: each new tooth has a picture of its facets and one of its
// root, and every pass in its root draws the corner of the cutter.
func TestEveryTooth(t *testing.T) {
	for _, name := range []string{"demo", "apart"} {
		s := facetsScene(t, name, "")
		seen := map[string]*figure.Figure{}
		for _, f := range FacetFigures(s) {
			seen[f.Picture] = f
		}
		for _, place := range s.Plan.Job.Gear.Places {
			where := s.Plan.PlaceName(place)
			if seen["Facets and the metal left on them"+where] == nil {
				t.Errorf("%s: no facets of the tooth%s", name, where)
			}
			root := seen["The root, magnified"+where]
			if root == nil {
				t.Errorf("%s: no root of the tooth%s", name, where)
				continue
			}
			for i, side := range []string{"left", "right"} {
				corners, passes := 0, rootPasses(s.Program, side, place)
				for _, it := range root.Panels[2*i].Items {
					if it.Kind == figure.KindLine && it.Style == figure.Pass {
						corners++
					}
				}
				if corners < passes || passes == 0 {
					t.Errorf("%s: %d corners for %d passes in the %s root%s", name, corners, passes, side, where)
				}
			}
		}
	}
}

// rootPasses counts the passes in a root.
func rootPasses(p *toolpath.Program, side string, place float64) int {
	n := 0
	for _, op := range p.Ops {
		for _, pass := range op.Passes {
			if strings.HasPrefix(pass.Name, side+" root") && pass.Place == place {
				n++
			}
		}
	}
	return n
}

// TestFiledAsPlanned: the root's graph rises to the thickness that is said to
// be filed, which the plan measures otherwise: to the nearest of the outline.
func TestFiledAsPlanned(t *testing.T) {
	for _, name := range []string{"module4-mm", "pinion17"} {
		s := facetsScene(t, name, "")
		for _, f := range s.Plan.FileThis {
			k, err := s.flankOf(f.Place, f.Side)
			if err != nil {
				t.Fatal(err)
			}
			// The samples are not where it is thickest.
			if got := k.filed(); got < 0.95*f.Thick || got > 1.05*f.Thick {
				t.Errorf("%s, side %d: %.3f mm in the picture, %.3f said", name, f.Side, got, f.Thick)
			}
		}
		if len(s.Plan.FileThis) == 0 {
			t.Errorf("%s: nothing to file", name)
		}
	}
}

// TestSettingErrors: setting errors stand on the picture of the facets, in the job's
// unit, with the base radius that an angle error is multiplied by.
func TestSettingErrors(t *testing.T) {
	s := smallScene(t, "facets", 0.04)
	got := FacetFigures(s)[0].Text()
	for _, c := range append(s.Plan.SettingErrors(), design.SettingError{Setting: s.len(s.Plan.Job.Gear.BaseRadius())}) {
		if c.FlankMM > 0 && !strings.Contains(got, `"`+s.small(c.FlankMM)+`"`) {
			t.Errorf("no %q in:\n%s", s.small(c.FlankMM), got)
		}
		// Words, as the lines are broken.
		for _, word := range strings.Fields(c.Setting) {
			if !strings.Contains(got, word) {
				t.Errorf("no %q of %q", word, c.Setting)
			}
		}
	}
}

// TestTipsFromAbove: the tips of good teeth are strips, not the whole gear.
func TestTipsFromAbove(t *testing.T) {
	all := repair(t, job.Demo(), nil)
	g := all[0].Plan.Job.Gear
	strips := 0
	for _, it := range all[0].planFigure().Panels[0].Items {
		if it.Kind != figure.KindRegion || it.Style != figure.Neighbour {
			continue
		}
		strips++
		box := geom.Bounds(it.Pieces[0])
		if wide := box.Hi.Z - box.Lo.Z; wide > g.Pitch()*g.TipRadius()/2 {
			t.Errorf("a tip land %g mm wide, pitch %g mm", wide, g.Pitch()*g.TipRadius())
		}
	}
	if strips < 2 {
		t.Errorf("%d tips", strips)
	}
}

// TestPlannedAsReplayed: with the error laid evenly, what the planned facets
// should leave is measured from the same outline as what the replay left.
func TestPlannedAsReplayed(t *testing.T) {
	j := job.Demo()
	j.Facets.Lean = job.Even
	all := repair(t, j, nil)
	s := all[len(all)-1].Scene
	for _, side := range []int{-1, 1} {
		k, err := s.flankOf(0, side)
		if err != nil {
			t.Fatal(err)
		}
		if s.Plan.Flanks.Allowance < 0.005 || len(k.facets) < 2 {
			t.Fatalf("allowance %g mm, %d facets", s.Plan.Flanks.Allowance, len(k.facets))
		}
		for i := range k.samples {
			q := &k.samples[i]
			// Lower down the neighbour or a corner pass decides.
			if q.at.Norm() < j.Gear.PitchRadius() {
				break
			}
			if want := k.facetsOver(k.facets, q); math.Abs(q.left-want) > 0.003 {
				t.Errorf("side %d, radius %.3f mm: %.4f mm left, planned %.4f", side, q.at.Norm(), q.left, want)
			}
		}
	}
}

// TestFileThisInSection: the section draws as "file this" what the plan says
// must be filed, and nothing elsewhere.
func TestFileThisInSection(t *testing.T) {
	for _, name := range []string{"module4-mm", "demo"} {
		s := facetsScene(t, name, "")
		red := false
		for _, it := range s.sectionFigure().Panels[0].Items {
			red = red || it.Style == figure.MustFile
		}
		if want := len(s.Plan.FileThis) > 0; red != want {
			t.Errorf("%s: drawn as to be filed %v, planned %v", name, red, want)
		}
	}
}

// TestStands: an insert as long as the face stands over nothing, in the
// pictures and on the sheet.
func TestStands(t *testing.T) {
	j := job.Demo()
	for _, c := range []struct{ over, leave, want float64 }{{0, 0.02, 0}, {1, 0.02, 0.02}, {0.01, 0.02, 0.01}} {
		j.Insert.Over, j.Flush.Leave = c.over, c.leave
		if got := stands(j); got != c.want {
			t.Errorf("over %g, leave %g: %g, want %g", c.over, c.leave, got, c.want)
		}
	}
}

// TestLengthClear: the insert's length lies over all paths, on the page too.
func TestLengthClear(t *testing.T) {
	all := repair(t, job.Demo(), nil)
	s := all[1].Scene
	if s.Program.Purpose != "insert" {
		t.Fatal(s.Program.Purpose)
	}
	f := s.planFigure()
	top, dim := math.Inf(-1), math.Inf(1)
	for _, it := range f.Panels[0].Items {
		switch {
		case it.Kind == figure.KindDim:
			dim = it.Pieces[0][0].Z
		case it.Style == figure.Pass || it.Style == figure.Rapid:
			top = max(top, geom.Bounds(it.Pieces[0]).Hi.Z)
		}
	}
	if dim < top-geom.Eps {
		t.Errorf("length at Y %g, paths up to %g", dim, top)
	}
	if d, err := f.Draw(1); err != nil || len(d.Omitted) > 0 {
		t.Error(err, d.Omitted)
	}
}

// TestZeroBelow: a zero below the panel keeps its text; one beside it has
// nothing to point at.
func TestZeroBelow(t *testing.T) {
	for _, c := range []struct {
		at      geom.Vec
		omitted int
	}{{geom.Vec{Y: 5, Z: -60}, 0}, {geom.Vec{Y: 60, Z: -60}, 1}} {
		f := figure.NewFigure("job", "zero", figure.Millimetre)
		p := f.Panel("zero", figure.Whole()).Window(0, 0, 10, 10)
		p.Zero(c.at, "Y0 Z0")
		d, err := f.Draw(0.5)
		if err != nil || len(d.Omitted) != c.omitted {
			t.Errorf("%v: %v, omitted %q", c.at, err, d.Omitted)
		}
	}
}
