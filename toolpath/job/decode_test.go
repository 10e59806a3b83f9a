package job

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// TestInchAndMM holds that the same gear in mm and in inch is the same job.
func TestInchAndMM(t *testing.T) {
	var both [2]*Job
	for i, name := range []string{"module4-mm.toml", "module4-inch.toml"} {
		j, err := Read(filepath.Join(jobs, "good", name))
		if err != nil {
			t.Fatal(err)
		}
		if j.Units != Units(i) {
			t.Errorf("%s: units %d", name, j.Units)
		}
		j.File, j.Source, j.Fingerprint, j.Units = "", nil, "", MM
		both[i] = j
	}
	if diff := cmp.Diff(both[0], both[1], cmpopts.EquateApprox(0, 1e-9), cmpopts.IgnoreUnexported(Job{})); diff != "" {
		t.Errorf("mm and inch differ:\n%s", diff)
	}
}

func TestShopFile(t *testing.T) {
	j, err := Read(filepath.Join(jobs, "good", "with-shop.toml"))
	if err != nil {
		t.Fatal(err)
	}
	end4 := j.Cutter("end4")
	switch {
	case end4 == nil || end4.Diameter != 4 || end4.Number != 2:
		t.Errorf("end4 of the shop: %+v", end4)
	case end4.StickOut != 26:
		t.Errorf("the job's own stick_out: got %v, want 26", end4.StickOut)
	case j.Machine.MaxFeed != 300 || math.Abs(j.Machine.RapidFeed-1524) > 1e-9 || j.Machine.RotarySign != -1:
		t.Errorf("machine: %+v", j.Machine)
	case len(j.Cutters) != 4 || filepath.Base(j.ShopFile) != "bench-mill.toml" || len(j.Shop) == 0:
		t.Errorf("%d cutters, shop %q of %d bytes", len(j.Cutters), j.ShopFile, len(j.Shop))
	}
}

func TestFingerprintCoversBothFiles(t *testing.T) {
	dir := filepath.Join(jobs, "good")
	src, err := os.ReadFile(filepath.Join(dir, "with-shop.toml"))
	if err != nil {
		t.Fatal(err)
	}
	shop, err := os.ReadFile(filepath.Join(dir, "shop", "bench-mill.toml"))
	if err != nil {
		t.Fatal(err)
	}
	print := func(src, shop []byte) string {
		j, err := Decode("job.toml", src, func(string) ([]byte, error) { return shop, nil })
		if err != nil {
			t.Fatal(err)
		}
		return j.Fingerprint
	}
	first := print(src, shop)
	if again := print(src, shop); again != first {
		t.Errorf("the same files give %s and %s", first, again)
	}
	if print(append(src, '\n'), shop) == first || print(src, append(shop, '\n')) == first {
		t.Error("a changed file has the same fingerprint")
	}
}

func TestShopThatCannotBeRead(t *testing.T) {
	src := []byte("format = 1\nunits = \"mm\"\nshop = \"s.toml\"\n")
	for _, shop := range []func(string) ([]byte, error){
		nil,
		func(string) ([]byte, error) { return nil, errors.New("the disk is\ngone") },
	} {
		j, err := Decode("job.toml", src, shop)
		if j != nil || err == nil || !strings.HasPrefix(err.Error(), "job.toml:1:1: ") || !strings.Contains(err.Error(), "job.toml:3:8: shop: s.toml: ") {
			t.Errorf("job %v, error %v", j != nil, err)
		}
	}
}

// TestPlacesOfTeeth turns missing and missing_at into places.
func TestPlacesOfTeeth(t *testing.T) {
	for _, c := range []struct {
		line string
		want []float64
	}{
		{"", []float64{0}},
		{"missing = 2", []float64{-0.5, 0.5}},
		{"missing = 3", []float64{-1, 0, 1}},
		{"missing_at = [7, 0]", []float64{0, 7}},
		{"missing_at = [0, 34]", []float64{0, 34}},
	} {
		src, err := os.ReadFile(filepath.Join(jobs, "good", "minimal.toml"))
		if err != nil {
			t.Fatal(err)
		}
		j, err := Decode("job.toml", []byte(strings.Replace(string(src), "bore", c.line+"\nbore", 1)), nil)
		if err != nil {
			t.Fatalf("%s: %v", c.line, err)
		}
		if diff := cmp.Diff(c.want, j.Gear.Places); diff != "" {
			t.Errorf("%s: %s", c.line, diff)
		}
	}
}

func TestMinimalJobIsShort(t *testing.T) {
	src, err := os.ReadFile(filepath.Join(jobs, "good", "minimal.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(src), "\n"); n > 25 {
		t.Errorf("the minimal job has %d lines, want 25 at most", n)
	}
}

// TestStarter begins jobs for many gears: each must decode and carry the gear.
func TestStarter(t *testing.T) {
	for _, s := range []Start{
		{},
		{Units: Inch},
		{Title: "A \"quoted\" \\ title"},
		{Teeth: 54, DiametralPitch: 8, Pressure: 14.5 * math.Pi / 180, Rack: "old-full-depth", Face: 32, Bore: 28, Thinning: 0.08},
		{Units: Inch, Teeth: 63, DiametralPitch: 10, Face: 25.4, Bore: 25.4, Missing: 2},
		{Teeth: 24, Module: 4, Bore: 30, Shift: 0.2, Rack: "iso-d"},
		{Teeth: 17, Module: 8, Missing: 3},
		{Teeth: 90, Module: 1.25, Bore: 20},
	} {
		text, err := Starter(s)
		if err != nil {
			t.Errorf("%+v: %v", s, err)
			continue
		}
		j, err := Decode("job.toml", text, nil)
		if err != nil {
			t.Errorf("%+v: %v", s, err)
			continue
		}
		s.fill()
		module := s.Module
		if module == 0 {
			module = 25.4 / s.DiametralPitch
		}
		g := j.Gear
		got := []float64{float64(j.Units), float64(g.Teeth), g.Module, g.Pressure, g.Shift, g.Thinning, g.Face, g.Bore, float64(len(g.Places))}
		want := []float64{float64(s.Units), float64(s.Teeth), module, s.Pressure, s.Shift, s.Thinning, s.Face, s.Bore, float64(s.Missing)}
		if diff := cmp.Diff(want, got, cmpopts.EquateApprox(0, 2e-4)); diff != "" || j.Title != s.Title {
			t.Errorf("%+v: title %q, %s", s, j.Title, diff)
		}
	}
	for _, s := range []Start{{Teeth: -30}, {Title: "two\nlines"}, {Bore: 500}, {Module: 1e9}, {Rack: "none"}, {Teeth: 8, Module: 0.5}} {
		if text, err := Starter(s); err == nil || text != nil {
			t.Errorf("%+v was taken", s)
		}
	}
	// What the schema does not allow is told at once, and once, whatever its size.
	for want, s := range map[string]Start{
		"gear.missing: 900000000 is too large; allowed 1 to 3":                  {Missing: 900000000},
		"gear.teeth: 1000000000 is too large; allowed 6 to 999":                 {Teeth: 1000000000},
		"gear.module: 1e+300 mm is too large; allowed 0.3 to 50 mm":             {Module: 1e300},
		"gear.diametral_pitch: 1e-300 teeth per inch is too small; allowed 0.5": {DiametralPitch: 1e-300},
	} {
		if _, err := Starter(s); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%+v: got %v\nwant %s", s, err, want)
		}
	}
}

// TestRandomJobs writes random valid jobs in mm or in inches and reads them
// back.
func TestRandomJobs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units := Units(rapid.IntRange(0, 1).Draw(t, "units"))
		real := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		teeth := rapid.IntRange(20, 90).Draw(t, "teeth")
		module := real("module", 2, 6)
		wear := real("thinning", 0, 0.05) * module
		face, bore := real("face", 20, 80), real("bore", 0, 0.4)*module*float64(teeth)
		step := rapid.IntRange(1, 8).Draw(t, "step")
		tight := real("tight middle", 0, 0.1)
		length := func(v float64) string { return fmt.Sprintf("%.17g", v/unitOf(Length, units).factor) }
		start, err := Starter(Start{Units: units, Teeth: teeth, Module: module, Bore: bore, Face: face, Thinning: wear})
		if err != nil {
			t.Fatalf("no starting job: %v", err)
		}
		var b strings.Builder
		fmt.Fprintf(&b, "format = 1\nunits = %q\n[gear]\nteeth = %d\nmodule = %.17g\npressure_angle = \"20 deg\"\n", []string{"mm", "inch"}[units], teeth, module)
		fmt.Fprintf(&b, "thinning = %s\nface = %s\nbore = \"%.17g mm\"\n", length(wear), length(face), bore)
		fmt.Fprintf(&b, "[fit]\nstep = %d\ntight_middle = %s\n", step, length(tight))
		text := string(start)
		b.WriteString(text[strings.Index(text, "\n[cutter."):])
		j, err := Decode("job.toml", []byte(b.String()), nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, b.String())
		}
		got := []float64{j.Gear.Module, j.Gear.Thinning, j.Gear.NeighbourThinning, j.Gear.Face, j.Gear.Bore, j.Fit.TightMiddle, float64(j.Fit.Step)}
		want := []float64{module, wear, wear, face, bore, tight, float64(step)}
		if diff := cmp.Diff(want, got, cmpopts.EquateApprox(1e-12, 1e-12)); diff != "" {
			t.Fatal(diff)
		}
		checkSound(t, j)
	})
}

// checkSound holds what every job that was taken must keep.
func checkSound(t interface{ Fatalf(string, ...any) }, j *Job) {
	s, in := j.Slot, j.Insert
	if b := j.Bead; j.BuiltUp() {
		if !(b.Beside > 0 && b.Top > 0 && b.Ends >= 0 && j.Gear.Module > 0) || math.IsInf(b.Beside+b.Top+b.Ends, 0) || s != (Slot{}) || in != (Insert{}) || len(j.Gear.Places) == 0 || len(j.Cutters) < 1 {
			t.Fatalf("bead %+v, slot %+v, insert %+v", b, s, in)
		}
		return
	}
	for name, v := range map[string]float64{
		"mouth": s.Mouth, "depth": s.Depth, "half angle": s.HalfAngle, "body": in.Body, "block width": in.BlockWidth,
		"block height": in.BlockHeight, "lead": j.Fit.Lead, "trial length": j.Fit.TrialLength, "module": j.Gear.Module,
	} {
		if !(v > 0) || math.IsInf(v, 0) {
			t.Fatalf("%s is %v", name, v)
		}
	}
	if !(s.Mouth < in.Body) || !(in.Body <= in.BlockWidth) || len(j.Gear.Places) == 0 || len(j.Cutters) < 2 {
		t.Fatalf("mouth %v, body %v, block %v, %d places, %d cutters", s.Mouth, in.Body, in.BlockWidth, len(j.Gear.Places), len(j.Cutters))
	}
}

func FuzzDecode(f *testing.F) {
	for _, dir := range []string{"good", "bad", "good/shop"} {
		paths, err := filepath.Glob(filepath.Join(jobs, dir, "*.toml"))
		if err != nil || len(paths) == 0 {
			f.Fatalf("no seeds in %s, error %v", dir, err)
		}
		for _, path := range paths {
			src, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(src)
		}
	}
	shop, err := os.ReadFile(filepath.Join(jobs, "good", "shop", "bench-mill.toml"))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		j, err := Decode("job.toml", src, func(string) ([]byte, error) { return shop, nil })
		if (j == nil) == (err == nil) {
			t.Fatalf("job %v, error %v", j != nil, err)
		}
		if err == nil {
			checkSound(t, j)
		} else if n := len(err.(Errors)); n > maxErrors+1 || strings.Count(err.Error(), "\n") != n-1 {
			t.Fatalf("%d mistakes in %d lines", n, 1+strings.Count(err.Error(), "\n"))
		}
		checkKeys(t, string(src))
	})
}

func BenchmarkDecode(b *testing.B) {
	for b.Loop() {
		if _, err := Decode("", demo, nil); err != nil {
			b.Fatal(err)
		}
	}
}
