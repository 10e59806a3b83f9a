package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"cogmend/cmd/internal/repair"
	"cogmend/toolpath/job"
)

const testdata = "../../../testdata/"

// slowest is how long the refusal of any bad input may take: far more than it
// takes, far less than a person waits. Others may share the machine.
const slowest = 20 * time.Second

// mostMemory is how much more memory a refusal may make the program ask of the
// system, whatever the size of the input.
const mostMemory = 64 << 20

// refusal runs a command line that must be refused: nothing on stdout, so
// many lines on stderr, in bounded time and memory. It returns stderr.
func refusal(t *testing.T, code, lines int, args ...string) string {
	t.Helper()
	repair.RoomyHeap() // once in a process, and taken only as it is used
	runtime.GC()       // what earlier refusals left is not this one's
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	began := time.Now()
	got, stdout, stderr := command(args...)
	took := time.Since(began)
	runtime.ReadMemStats(&after)
	if got != code || stdout != "" || strings.Count(stderr, "\n") != lines || !strings.HasSuffix(stderr, "\n") {
		t.Errorf("%.300q: code %d, want %d; stdout %.300q; %d lines on stderr, want %d:\n%.1000s", args, got, code, stdout, strings.Count(stderr, "\n"), lines, stderr)
	}
	for _, r := range stderr {
		if r < ' ' && r != '\n' || r == 0x7f || r == 0xfeff || r == 0x2028 {
			t.Errorf("%.300q: control character %q on stderr: %.300q", args, r, stderr)
			break
		}
	}
	if took > slowest {
		t.Errorf("%.300q takes %v", args, took)
	}
	if n := after.HeapSys - before.HeapSys; after.HeapSys > before.HeapSys && n > mostMemory {
		t.Errorf("%.300q takes %d MiB more", args, n>>20)
	}
	return stderr
}

var expected = regexp.MustCompile(`(?m)^(?:\x{feff})?#! (.*?)\r?$`)

// TestBadJobFiles makes every job of testdata/jobs/bad. Its first lines tell
// the mistakes: each is one line of what is said, and nothing is written.
func TestBadJobFiles(t *testing.T) {
	paths, err := filepath.Glob(testdata + "jobs/bad/*.toml")
	if err != nil || len(paths) < 150 {
		t.Fatalf("%d bad jobs, error %v", len(paths), err)
	}
	out := filepath.Join(t.TempDir(), "out")
	for _, path := range paths {
		var want []string
		for _, m := range expected.FindAllStringSubmatch(read(t, path), -1) {
			want = append(want, m[1])
		}
		stderr := refusal(t, exitUsage, len(want), "make", path, "--out", out)
		// Mistakes of a shop file have its own name in front.
		var got []string
		for line := range strings.Lines(stderr) {
			line = strings.TrimPrefix(strings.TrimSuffix(line, "\n"), path+":")
			got = append(got, strings.TrimPrefix(line, filepath.Dir(path)+string(filepath.Separator)))
		}
		if g, w := strings.Join(got, "\n"), strings.Join(want, "\n"); g != w {
			t.Errorf("%s: got\n%s\nwant\n%s", path, g, w)
		}
		refusal(t, exitUsage, len(want), "check", path)
		if _, err := os.Stat(out); err == nil {
			t.Fatalf("%s: a folder was made", path)
		}
	}
}

// TestBadProgramFiles reads every program of testdata/gcode/bad; expect.txt
// beside them tells what must be said.
func TestBadProgramFiles(t *testing.T) {
	n := 0
	for line := range strings.Lines(read(t, testdata+"gcode/bad/expect.txt")) {
		f := strings.Split(strings.TrimRight(line, "\n"), "\t")
		if strings.HasPrefix(line, "#") || len(f) != 4 {
			continue
		}
		n++
		path := testdata + "gcode/bad/" + f[0]
		at, col, _ := strings.Cut(f[1], ":")
		place := ":" + at
		if at == "0" {
			place = ""
		}
		if col != "0" {
			place += ":" + col
		}
		stderr := refusal(t, exitFound, 1, "read", path)
		if !strings.HasPrefix(stderr, "cogmend: "+path+place+": ") || !strings.Contains(stderr, f[3]) {
			t.Errorf("got %s\nwant it at %s with %q", stderr, f[1], f[3])
		}
	}
	if n < 100 {
		t.Errorf("%d bad programs only", n)
	}
}

// TestBadEdits spoils a program of the job by every text of testdata/gcode/bad
// and checks it: never clean, never a crash.
func TestBadEdits(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	path := demoJob(t, dir, "press.toml", "press")
	paths, err := filepath.Glob(testdata + "gcode/bad/*.nc")
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range paths {
		if i%16 > 0 { // the reader is one; the others are read above
			continue
		}
		program := writeTest(t, filepath.Join(dir, "30-flush.nc"), read(t, p))
		if stderr := refusal(t, exitFound, 1, "check", path, program); !strings.HasPrefix(stderr, "cogmend: "+program) {
			t.Errorf("%s: %s", p, stderr)
		}
	}
}

// TestBadCommandLines holds what is said of bad command lines and of paths
// that are no readable file.
func TestBadCommandLines(t *testing.T) {
	dir := t.TempDir()
	teeth, brazed := read(t, testdata+"jobs/good/teeth.toml"), read(t, testdata+"jobs/good/brazed.toml")
	worn := regexp.MustCompile(`(?s)\n\[touch\].*?(\n\[)`).ReplaceAllString(read(t, testdata+"jobs/good/feed-gear-worn.toml"), "$1")
	t.Chdir(dir)
	file := func(name, text string) string { return writeTest(t, filepath.Join(dir, name), text) }
	if err := os.Mkdir("folder", 0o755); err != nil {
		t.Fatal(err)
	}
	good := string(job.DemoText())
	file("good.toml", good)
	file("teeth.toml", teeth)
	file("brazed.toml", brazed)
	file("worn.toml", worn)
	file("empty", "")
	file("binary", "\x7fELF\x02\x01\x01\x00\xff\xfe")
	file("zeros", strings.Repeat("\x00", 1000))
	file("utf16.toml", "\xff\xfef\x00o\x00")
	file("mark.nc", "\ufeffG21\nM2\n")
	file("noend.nc", "G21\n")
	file("slot.nc", "(a program)\nM2\n")
	file("cr.nc", "G21\rM2\r")
	file("long.nc", "("+strings.Repeat("x", 300)+")\nM2\n")
	file("good.nc", "G17 G21 G40 G49 G54 G80 G90 G94\nG0 X1 Y1 Z1\nM2\n")
	file("other.txt", "not a program")
	file("20-insert.nc", "")
	big(t, "big.zeros", "")
	big(t, "big.lines", "("+strings.Repeat("x", 250)+")\n")
	big(t, "big.word", "G1X1")
	cases := []struct {
		args  string // split at blanks
		code  int
		lines int
		want  string // the beginning
	}{
		// the command
		{"mkae", 2, 1, `cogmend: no command "mkae"; did you mean "make"?`},
		{"chekc", 2, 1, `cogmend: no command "chekc"; did you mean "check"?`},
		{"frobnicate", 2, 1, `cogmend: no command "frobnicate"; 'cogmend --help' lists them`},
		{"good.toml", 2, 1, `cogmend: no command "good.toml"`},
		{"help mkae", 2, 1, `cogmend: no command "mkae"`},
		{"--fast", 2, 1, `cogmend: unknown flag: --fast; see 'cogmend --help'`},
		{"-x", 2, 1, `cogmend: unknown shorthand flag: 'x' in -x`},
		// make
		{"make good.toml good.toml", 2, 1, `cogmend: make takes one job file at most, not 2 arguments`},
		{"make --fast", 2, 1, `cogmend: make: unknown flag: --fast; see 'cogmend make --help'`},
		{"make --out", 2, 1, `cogmend: make: flag needs an argument: --out; see`},
		{"make --pictures=perhaps", 2, 1, `cogmend: make: --pictures "perhaps": true or false is wanted; see 'cogmend make --help'`},
		{"make none.toml", 2, 1, `none.toml: no such file`},
		{"make folder", 2, 1, `folder: this is a folder, not a file`},
		{"make folder/", 2, 1, `folder/: this is a folder, not a file`},
		{"make .", 2, 1, `.: this is a folder, not a file`},
		{"make empty", 2, 4, `empty:1:1: format: this key is missing`},
		{"make binary", 2, 1, `binary:`},
		{"make zeros", 2, 1, `zeros:1:1: byte 0x00: this is not UTF-8 text`},
		{"make utf16.toml", 2, 1, `utf16.toml:1:1: byte 0xff: this is not UTF-8 text`},
		{"make big.zeros", 2, 1, `big.zeros: the file is larger than 1048576 bytes`},
		{"make big.lines", 2, 1, `big.lines: the file is larger than 1048576 bytes`},
		{"make good.nc", 2, 1, `good.nc:`},
		{"make good.toml --lift x", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift -5", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift 0", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift 1", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift 5kg", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift NaN", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift Inf", 2, 1, `cogmend: --lift`},
		{"make good.toml --lift 1e9", 2, 1, `cogmend: --lift`},
		{"make good.toml --from facets", 2, 1, `cogmend: --from "facets": write PROGRAM:PASS, such as facets:7`},
		{"make good.toml --from facets:x", 2, 1, `cogmend: --from "facets:x": write PROGRAM:PASS`},
		{"make good.toml --from facets:0", 2, 1, `cogmend: --from facets:0: 40-facets.nc has passes 1 to`},
		{"make good.toml --from facets:-1", 2, 1, `cogmend: --from facets:-1: 40-facets.nc has passes 1 to`},
		{"make good.toml --from facets:999", 2, 1, `cogmend: --from facets:999: 40-facets.nc has passes 1 to`},
		{"make good.toml --from facets:99999999999999999999", 2, 1, `cogmend: --from`},
		{"make good.toml --from ../x:1", 2, 1, `cogmend: --from ../x:1: no program is called that`},
		{"make good.toml --from :1", 2, 1, `cogmend: --from :1: no program is called that`},
		{"make good.toml --from facets:2 --lift 60", 2, 1, `cogmend: make: --lift and --from do not go together`},
		{"make good.toml --out good.toml", 2, 1, `cogmend: good.toml: not a directory`},
		{"make good.toml --out good.toml/x", 2, 1, `cogmend: good.toml: not a directory`},
		{"make good", 2, 1, `good: no such file; did you mean "good.toml"?`},
		{"make godo.toml", 2, 1, `godo.toml: no such file; did you mean "good.toml"?`},
		{"make --pitcures", 2, 1, `cogmend: make: unknown flag: --pitcures; nearest: --pictures; see 'cogmend make --help'`},
		{"new --modul 3 x.toml", 2, 1, `cogmend: new: unknown flag: --modul; nearest: --module; see 'cogmend new --help'`},
		// readings, and what is told by its name
		{"gauge good.toml slot.mouth=5", 2, 1, `cogmend: gauge: "slot.mouth=5" is a reading: --read must stand before the first, as --read slot.mouth=5`},
		{"gauge good.toml --read slot.mouth 5", 2, 1, `cogmend: --read "slot.mouth": it must be NAME=READING in one, such as slot.depth=6.29 or t01=18.485`},
		{"gauge good.toml --read slot.mouht=5", 2, 1, `cogmend: --read slot.mouht: no such size; nearest: slot.mouth; there are slot.mouth, `},
		{"gauge good.toml --read frobnicate=5", 2, 1, `cogmend: --read frobnicate: no such size; there are slot.mouth, `},
		{"gauge brazed.toml --read slot.mouth=5", 2, 1, `cogmend: --read slot.mouth: the tooth is built up (repair.by): it has neither slot nor insert`},
		{"copy good.toml t01=5", 2, 1, `cogmend: copy: "t01=5" is a reading: --read must stand before the first, as --read t01=5`},
		{"copy good.toml teeth.toml", 2, 1, `cogmend: copy takes one job file, not "teeth.toml" too`},
		{"copy worn.toml --read t01=5 t77=5", 2, 1, `cogmend: --read t77: no reading of the plan is called that; it has t01 to t`},
		{"identify --teeth 54 177.8", 2, 1, `cogmend: identify: "177.8" stands behind no flag: say what was measured, as --outside "177.8"; a job file stands behind --job`},
		{"touch good.toml --left -4 --right 4 --cutter 1/4 --depth 3", 2, 1, `cogmend: --cutter "1/4": no cutter of the job, which has end6, end4, end2, dovetail15, drill42, drill40, and no length either: "1/4": is that inches?`},
		// check
		{"check", 2, 1, `cogmend: check: name the job file; see 'cogmend check --help'`},
		{"check none.toml", 2, 1, `none.toml: no such file`},
		{"check folder", 2, 1, `folder: this is a folder, not a file`},
		{"check good.toml", 2, 1, `cogmend: good-repair: no program of the job is there; run 'cogmend make good.toml' first`},
		{"check good.toml --out folder", 2, 1, `cogmend: folder: no program of the job is there`},
		{"check good.toml --out none", 2, 1, `cogmend: none: no program of the job is there`},
		{"check good.toml none/30-flush.nc", 2, 1, `cogmend: none/30-flush.nc: no such file or directory`},
		{"check good.toml other.txt", 2, 1, `cogmend: other.txt: cannot tell which program of the job it is; its name must begin like one of 10-slot`},
		{"check good.toml folder", 2, 1, `cogmend: folder: this is a folder; programs are named one by one, or their folder with --out`},
		{"check slot.nc", 2, 1, `slot.nc: this is a program, not a job file; name the job file, and a program after it`},
		{"expect good.toml --out pic.jpg", 2, 1, `cogmend: --out pic.jpg: the picture is a PNG: name it pic.png`},
		{"check good.toml 20-insert.nc", 1, 1, `cogmend: 20-insert.nc: the program does not end with M2 or M30`},
		{"check good.toml --fast", 2, 1, `cogmend: check: unknown flag: --fast`},
		// read
		{"read", 2, 1, `cogmend: read: name one program`},
		{"read good.nc good.nc", 2, 1, `cogmend: read: name one program`},
		{"read none.nc", 2, 1, `cogmend: none.nc: no such file or directory`},
		{"read folder", 2, 1, `cogmend: folder: is a folder, a file is wanted`},
		{"read empty", 1, 1, `cogmend: empty: the program does not end with M2 or M30`},
		{"read binary", 1, 1, `cogmend: binary:1:`},
		{"read zeros", 1, 1, `cogmend: zeros:1:`},
		{"read mark.nc", 1, 1, `cogmend: mark.nc:1:1: `},
		{"read noend.nc", 1, 1, `cogmend: noend.nc: the program does not end with M2 or M30`},
		{"read cr.nc", 1, 1, `cogmend: cr.nc:1:4: `},
		{"read long.nc", 1, 1, `cogmend: long.nc:1:`},
		{"read other.txt", 1, 1, `cogmend: other.txt:1:`},
		{"read good.toml", 1, 1, `cogmend: good.toml:1:1: `},
		{"read big.zeros", 1, 1, `cogmend: big.zeros:1:`},
		{"read big.lines", 1, 1, `cogmend: big.lines: the program does not end with M2 or M30`},
		{"read big.word", 1, 1, `cogmend: big.word:1:`},
		{"read " + os.DevNull, 2, 1, "cogmend: " + os.DevNull + ": is not a plain file"},
		// new
		{"new", 2, 1, `cogmend: new: name the file to write`},
		{"new a.toml b.toml", 2, 1, `cogmend: new: name the file to write`},
		{"new good.toml", 2, 1, `cogmend: good.toml is there already; name another file or use --replace`},
		{"new folder", 2, 1, `cogmend: folder is there already`},
		{"new none/a.toml", 2, 1, `cogmend: none/a.toml: no such file or directory`},
		{"new good.toml/a.toml", 2, 1, `cogmend: good.toml/a.toml: not a directory`},
		{"new folder --replace", 2, 1, `cogmend: folder: `},
		{"new a.toml --teeth x", 2, 1, `cogmend: --teeth: gear.teeth: "x" is text; a whole number is wanted`},
		{"new a.toml --teeth 2", 2, 1, `cogmend: --teeth: gear.teeth: 2 is too small`},
		{"new a.toml --teeth -54", 2, 1, `cogmend: --teeth: gear.teeth: -54: internal gears are out of scope`},
		{"new a.toml --module -1", 2, 1, `cogmend: --module: gear.module: -1 mm is too small`},
		{"new a.toml --module NaN", 2, 1, ``},
		{"new a.toml --module Inf", 2, 1, ``},
		{"new a.toml --module 2 --pitch 8", 2, 1, `cogmend: `},
		{"new a.toml --angle 90", 2, 1, `cogmend: --angle: gear.pressure_angle: 90 deg is too large`},
		{"new a.toml --angle NaN", 2, 1, ``},
		{"new a.toml --proportions round", 2, 1, `cogmend: --proportions: gear.proportions: "round" is not known`},
		{"new a.toml --face x", 2, 1, `cogmend: --face`},
		{"new a.toml --face -3", 2, 1, `cogmend: --face: gear.face: -3 mm is too small`},
		{"new a.toml --face 1e308", 2, 1, `cogmend: --face: gear.face: 1e308 mm is too large`},
		{"new a.toml --missing 4", 2, 1, `cogmend: --missing: gear.missing: 4 is too large`},
		{"new a.toml --missing 900000000", 2, 1, `cogmend: --missing: gear.missing: 900000000 is too large`},
		{"new a.toml --teeth 1000000000", 2, 1, `cogmend: --teeth: gear.teeth: 1000000000 is too large`},
		{"new a.toml --module 1e300", 2, 1, `cogmend: --module: gear.module: 1e300 mm is too large`},
		{"new a.toml --pitch 1e-300", 2, 1, `cogmend: --pitch: gear.diametral_pitch: 1e-300 teeth per inch is too small`},
		{"new a.toml --shift 99", 2, 1, `cogmend: --shift: gear.profile_shift: 99 modules is too large`},
		// flags of the gear
		{"gauge --teeth 1000000000 --module 3", 2, 1, `cogmend: --teeth: gear.teeth: 1000000000 is too large`},
		{"gauge --teeth 5 --module 3", 2, 1, `cogmend: --teeth: gear.teeth: 5 is too small`},
		{"gauge --teeth 54 --module 1e300", 2, 1, `cogmend: --module: gear.module: 1e300 mm is too large`},
		{"gauge --teeth 54 --module NaN", 2, 1, `cogmend: --module: gear.module: "NaN" is no number; the units are mm, in, um, thou, and a bare number is in mm`},
		{"gauge --teeth 54 --pitch 1e-300", 2, 1, `cogmend: --pitch: gear.diametral_pitch: 1e-300 teeth per inch is too small`},
		{"gauge --teeth 54 --module 3 --angle 89", 2, 1, `cogmend: --angle: gear.pressure_angle: 89 deg is too large`},
		{"gauge --teeth 54 --module 3 --mouth 1e9in", 2, 1, `cogmend: --mouth: slot.mouth: "1e9in" is too large`},
		{"gauge --teeth 54 --module 3 --mouth 5 --included 170", 2, 1, `cogmend: --included: slot.included_angle: 170 deg is too large`},
		{"gauge --teeth 54 --module 3 --thinning -1", 2, 1, `cogmend: --thinning: gear.thinning: -1 mm is too small`},
		{"gauge --teeth 54 --module 3 --tolerance 1e-12", 2, 1, `cogmend: --tolerance: facets.tolerance: 1e-12 mm is too small`},
		{"gauge teeth.toml --tolerance 0.001", 2, 1, `cogmend: gauge: a tolerance of 0.001 mm cannot be kept: 4 facets a flank, the most that help, leave 0.022 mm`},
		{"touch --teeth 54 --module 3 --missing 900000000", 2, 1, `cogmend: --missing: gear.missing: 900000000 is too large`},
		{"touch demo --missing -1", 2, 1, `cogmend: --missing: gear.missing: -1 is too small`},
		{"load --teeth 54 --module 3 --face 1e300 --mouth 5 --slot-depth 6 --body 8 --torque 9", 2, 1, `cogmend: --face: gear.face: 1e300 mm is too large`},
		{"mesh --teeth 54 --module 3 --mate 1000000000", 2, 1, `cogmend: --mate: mate.teeth: 1000000000 is too large`},
		{"mesh --teeth 54 --module 3 --mate 18 --mate-shift 1e9", 2, 1, `cogmend: --mate-shift: mate.profile_shift: 1e+09 modules is too large`},
		{"mesh --teeth 54 --module 3 --mate 18 --tolerance 1e-12", 2, 1, `cogmend: --tolerance: facets.tolerance: 1e-12 mm is too small`},
		{"identify --teeth 1000000000 --outside 5", 2, 1, `cogmend: identify: tooth count 1000000000: it must be 5 to 2000`},
		// frames
		{"frames good.toml 10-slot-mine.nc", 2, 1, `cogmend: frames: no program and no file is called "10-slot-mine.nc"; the job has 10-slot, 20-insert`},
		{"frames good.toml none/10-slot.nc", 2, 1, `cogmend: none/10-slot.nc: no such file or directory`},
		{"frames good.toml other.txt", 2, 1, `cogmend: frames: other.txt: cannot tell which program of the job it is; its name must begin like one of 10-slot`},
		{"frames good.toml folder", 2, 1, `cogmend: frames: no program and no file is called "folder"`},
	}
	if err := os.Symlink("loop.toml", "loop.toml"); err == nil {
		for _, command := range []string{"make", "check", "read", "new none/../"} {
			cases = append(cases, struct {
				args        string
				code, lines int
				want        string
			}{command + " loop.toml", 2, 1, ""})
		}
		cases = cases[:len(cases)-1] // new may replace what it is told to only
	}
	for _, c := range cases {
		os.Remove("a.toml") // of a case that was wrongly accepted
		stderr := refusal(t, c.code, c.lines, strings.Fields(c.args)...)
		if runtime.GOOS == "windows" && strings.HasSuffix(c.want, "directory") {
			continue // the system's own words
		}
		if !strings.HasPrefix(stderr, c.want) {
			t.Errorf("%s: got %s\nwant %s", c.args, stderr, c.want)
		}
	}
	for _, args := range [][]string{{"make", ""}, {"make", "a\x00b"}, {"read", ""}, {"read", "a\x00b"}, {"check", "a\nb"}, {"new", ""}, {"make", strings.Repeat("x", 5000)}, {"read", strings.Repeat("x/", 5000)}, {"", ""}, {"\x1b[2J"}, {"new", "a\nb/c"}} {
		if args[0] == "make" && args[1] == "" {
			continue // no job is the demo
		}
		refusal(t, exitUsage, 1, args...)
	}
	if runtime.GOOS != "windows" && os.Getuid() != 0 {
		file("secret", good)
		if err := os.Chmod("secret", 0); err != nil {
			t.Fatal(err)
		}
		for _, command := range []string{"make", "check", "read"} {
			if stderr := refusal(t, exitUsage, 1, command, "secret"); !strings.Contains(stderr, "permission denied") {
				t.Errorf("%s secret: %s", command, stderr)
			}
		}
	}
	for _, name := range dirNames(t, dir) {
		if strings.HasSuffix(name, "-repair") || name == "a.toml" {
			t.Errorf("%s was written", name)
		}
	}
	t.Logf("%d command lines", len(cases))
}

// big writes a file of 100 MB: a text again and again, or a hole.
func big(t *testing.T, path, text string) {
	t.Helper()
	const size = 100 << 20
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if text == "" {
		if err := f.Truncate(size); err != nil {
			t.Fatal(err)
		}
		return
	}
	piece := strings.Repeat(text, 1<<20/len(text))
	for n := 0; n < size; n += len(piece) {
		if _, err := fmt.Fprint(f, piece); err != nil {
			t.Fatal(err)
		}
	}
}
