package repair

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"cogmend/gcode"
	"cogmend/gcode/machine"
	"cogmend/toolpath/job"
)

// needed skips a test that needs what this machine does not have; in CI it
// fails.
func needed(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf(format, args...)
	}
	t.Skipf(format, args...)
}

// secondReader returns the command line of a block reader of others under
// node. It is put in a folder by .ci/run, or by
//
//	node testdata/bench/reader.js --install FOLDER
//
// and COGMEND_READER names the folder.
func secondReader(t testing.TB, args ...string) *exec.Cmd {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		needed(t, "node is not here")
	}
	dir := os.Getenv("COGMEND_READER")
	if dir == "" {
		needed(t, "COGMEND_READER is not set; see testdata/bench/reader.js")
	}
	return exec.Command(node, append([]string{testdata + "bench/reader.js", dir}, args...)...)
}

// theirMotion is line, G, X, Y, Z, A, F, I, J in the program's units; null is
// not said.
type theirMotion [9]*float64

// TestSecondReader reads every golden program, and the programs of several
// jobs as they are written now, by our reader and by one of others: line,
// kind, place and feed of every motion must be the same.
func TestSecondReader(t *testing.T) {
	secondReader(t)
	programs, err := filepath.Glob(testdata + "golden/programs/*" + ".nc")
	if err != nil {
		t.Fatal(err)
	}
	more, err := filepath.Glob(testdata + "golden/programs/*/*" + ".nc")
	if err != nil {
		t.Fatal(err)
	}
	programs = append(programs, more...)
	t.Logf("%d golden programs", len(programs))
	dir := t.TempDir()
	plain := string(job.DemoText())
	for name, text := range map[string]string{
		"demo":    plain,
		"inch":    read(t, testdata+"jobs/good/module4-inch.toml"),
		"by-hand": read(t, testdata+"jobs/good/head.toml"),
		"switches": strings.Replace(plain, "[machine]\n",
			"[machine]\ncycles = true\nline_numbers = true\npercent_lines = true\ncrlf = true\nend_m30 = true\ncoolant = true\nmessages = true\n", 1),
	} {
		j, err := job.Decode(name, []byte(text), nil)
		if err != nil {
			t.Fatal(name, err)
		}
		m, err := Make(j)
		if err != nil {
			t.Fatal(name, err)
		}
		for i := range m.Programs {
			if p := &m.Programs[i]; p.Clean() {
				programs = append(programs, writeTest(t, filepath.Join(dir, name+"-"+p.File()), string(p.Text)))
			}
		}
	}
	// Arcs, as in the examples of NISTIR 6556, 3.5.3, in both units.
	for name, units := range map[string]string{"mm": "G21", "inch": "G20"} {
		programs = append(programs, writeTest(t, filepath.Join(dir, name+".nc"), "G17 "+units+` G40 G49 G54 G80 G90 G94
G0 X7 Y7 Z0
G2 X10 Y16 I3 J4 Z9 F20
X7 Y7 I0 J-5
G3 X7.0 Y15.0 I3.0 J4.0 (the other way round)
M2
`))
	}
	cmd := secondReader(t, programs...)
	var trouble bytes.Buffer
	cmd.Stderr = &trouble
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, &trouble)
	}
	dec := json.NewDecoder(bytes.NewReader(out))
	read, motions := 0, 0
	for {
		var theirs struct {
			File    string
			Motions []theirMotion
		}
		if err := dec.Decode(&theirs); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		sameMotions(t, theirs.File, theirs.Motions)
		read++
		motions += len(theirs.Motions)
	}
	if read != len(programs) || motions < 100 {
		t.Errorf("%d of %d programs, %d motions", read, len(programs), motions)
	}
	t.Logf("%d programs, %d motions", read, motions)
}

// unitPlaces is how far two readings of one number may stand apart: the number
// is the same text, converted once or not at all.
const unitPlaces = 1e-9

func sameMotions(t *testing.T, file string, theirs []theirMotion) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n := 0
	err = machine.Run(f, file, func(e *machine.Event) error {
		if e.Kind != machine.EventMotion {
			return nil
		}
		if n >= len(theirs) {
			return fmt.Errorf("the other reader has %d motions only", len(theirs))
		}
		m, their := &e.Motion, theirs[n]
		n++
		unit := 1.0
		if m.State.Inch {
			unit = 25.4
		}
		feed := 0.0
		if m.Kind != machine.Rapid {
			feed = m.Feed / unit
		}
		ours := [7]float64{float64(m.Line), 0, m.To.X / unit, m.To.Y / unit, m.To.Z / unit, m.To.A, feed}
		kind := "rapid"
		switch *their[1] {
		case 1, 81, 82, 83:
			kind = "feed"
		case 2, 3:
			kind = "arc"
			centre := m.Arc.Centre
			if !near(*their[7], (centre.X-m.From.X)/unit) || !near(*their[8], (centre.Y-m.From.Y)/unit) || (m.Arc.Sweep > 0) != (*their[1] == 3) {
				return fmt.Errorf("line %d: centre %v of %v, sweep %v; the other reader has G%v, I %v, J %v", m.Line, centre, m.From, m.Arc.Sweep, *their[1], *their[7], *their[8])
			}
		}
		if m.Kind.String() != kind {
			return fmt.Errorf("line %d: %v; the other reader has G%v", m.Line, m.Kind, *their[1])
		}
		for i, want := range their[:7] {
			if i == 1 {
				continue
			}
			if want == nil && math.IsNaN(ours[i]) || want != nil && near(ours[i], *want) {
				continue
			}
			return fmt.Errorf("line %d: %s is %v; the other reader has %v", m.Line, [...]string{"line", "", "X", "Y", "Z", "A", "F"}[i], ours[i], text(want))
		}
		return nil
	})
	if err == nil && n != len(theirs) {
		err = fmt.Errorf("%d motions; the other reader has %d", n, len(theirs))
	}
	if err != nil {
		t.Errorf("%s: %v", file, err)
	}
}

func near(a, b float64) bool { return math.Abs(a-b) <= unitPlaces*(1+math.Abs(b)) }

func text(v *float64) string {
	if v == nil {
		return "nothing"
	}
	return strconv.FormatFloat(*v, 'g', -1, 64)
}

// BenchmarkReaders reads one program of 2 MiB by both readers, in one
// run; times is how many times faster ours is.
func BenchmarkReaders(b *testing.B) {
	m, err := Make(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	var long bytes.Buffer
	body := bytes.TrimSuffix(m.Programs[len(m.Programs)-1].Text, []byte("M2\n"))
	for long.Len() < 2<<20 {
		long.Write(body)
	}
	long.WriteString("M2\n")
	path := filepath.Join(b.TempDir(), "long.nc")
	if err := os.WriteFile(path, long.Bytes(), 0o644); err != nil {
		b.Fatal(err)
	}
	out, err := secondReader(b, "--time", path).Output()
	if err != nil {
		b.Fatal(err)
	}
	theirs, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(long.Len()))
	for b.Loop() {
		in := gcode.NewReader(bytes.NewReader(long.Bytes()), path)
		var block gcode.Block
		for {
			if err := in.Next(&block); err == io.EOF {
				break
			} else if err != nil {
				b.Fatal(err)
			}
		}
	}
	ours := b.Elapsed() / time.Duration(b.N)
	b.ReportMetric(theirs*float64(time.Millisecond)/float64(ours), "times")
}
