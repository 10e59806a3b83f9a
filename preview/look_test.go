package preview

import (
	"fmt"
	"image"
	"os"
	"path/filepath"
	"testing"
	"time"

	"cogmend/preview/figure"
	"cogmend/toolpath/job"
)

// TestLookPrograms writes the pictures of a job's programs to a folder for a
// person to look at: of the demo, or of the job file in COGMEND_LOOK.
func TestLookPrograms(t *testing.T) {
	name := os.Getenv("COGMEND_LOOK")
	if name == "" {
		t.Skip("set COGMEND_LOOK to 1 or a job file to write the pictures to " + os.TempDir())
	}
	j := job.Demo()
	if name != "1" {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if j, err = job.Decode(name, text, nil); err != nil {
			t.Fatal(err)
		}
	}
	for _, w := range repair(t, j, nil) {
		start := time.Now()
		all := ProgramFigures(w.Scene)
		t.Log(w.Program.File(), len(all), "figures made in", time.Since(start).Round(time.Millisecond))
		for _, f := range all {
			start = time.Now()
			d, err := f.Draw(1)
			if err != nil {
				t.Error(f.Name, err)
				continue
			}
			png, err := d.PNG()
			if err != nil {
				t.Fatal(err)
			}
			took := time.Since(start).Round(time.Millisecond)
			path := filepath.Join(os.TempDir(), "look_"+f.Name+".png")
			if err := os.WriteFile(path, png, 0o644); err != nil {
				t.Fatal(err)
			}
			t.Log(path, len(png)/1000, "kB in", took, "omitted", d.Omitted)
		}
	}
}

// TestLookDry writes the key frames of every program of the demo, and counts
// those of every motion.
func TestLookDry(t *testing.T) {
	if os.Getenv("COGMEND_LOOK") == "" {
		t.Skip("set COGMEND_LOOK to write the frames to " + os.TempDir())
	}
	every := os.Getenv("COGMEND_EVERY") != ""
	var d *Dry
	count := 0
	finish := func() {
		if d != nil {
			if err := d.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
	start := time.Now()
	repair(t, job.Demo(), func(w *written) {
		finish()
		name := w.Program.File()
		d = NewDry(w.Scene, w.text, every, func(n int, im *image.Paletted) error {
			count++
			b, err := figure.PNG(im)
			if err != nil || every {
				return err
			}
			return os.WriteFile(filepath.Join(os.TempDir(), fmt.Sprintf("dry_%s_%03d.png", name, n)), b, 0o644)
		})
		w.Before.Observe = d.Observe
	})
	finish()
	t.Log(count, "frames in", time.Since(start))
}
