package cli

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"time"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
	"cogmend/gcode/replay"
	"cogmend/preview"
	"cogmend/preview/figure"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

type framesOptions struct {
	jobFile string
	program string // purpose, name or path; "" for all
	out     string
	every   bool
	gif     bool
	page    bool
}

func newFrames() *cobra.Command {
	o := framesOptions{}
	c := &cobra.Command{
		Use:   "frames JOB.toml [PROGRAM]",
		Short: "Draw a dry run: the stock being cut, pass by pass, from the written program",
		Long: `Replay the programs of a job as they now are on disk, or as they would be
written when they are not there, and draw numbered pictures of the stock being
cut: the cutter, the line and block, the gear's angle, the metal left.

One picture at the end of each pass, or after every block with --every. The
pictures of a program take their places when all of them are drawn; those of an
earlier run that are not among them are taken away.

PROGRAM is a file whose name begins like one of the job's programs, or else the
name or purpose of one of them: 10-slot, slot.
JOB.toml may be the word demo for the built-in job.`,
		Example: `  cogmend frames demo
  cogmend frames press.toml --page
  cogmend frames press.toml facets --gif
  cogmend frames press.toml press-repair/10-slot.nc --every --out slot-frames`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return fmt.Errorf("frames: name the job file, and one program if not all are wanted")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			o.jobFile = args[0]
			if len(args) > 1 {
				o.program = args[1]
			}
			return runFrames(o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "folder to write to (default: frames in the job's folder of programs)")
	f.BoolVar(&o.every, "every", false, "a picture after every block that moves")
	f.BoolVar(&o.page, "page", false, "one page for all programs, to step through by pass and by block; needs nothing but a browser")
	f.BoolVar(&o.gif, "gif", false, "one moving picture a program instead of numbered ones")
	return c
}

// frameTime is how long one picture of a moving picture stands.
const frameTime = 400 * time.Millisecond

func runFrames(o framesOptions, stdout, stderr io.Writer) error {
	o.jobFile = orDemo(o.jobFile)
	j, err := readJob(o.jobFile)
	if err != nil {
		return err
	}
	m, err := repair.Make(j)
	if err != nil {
		return err
	}
	dir := defaultOut(o.jobFile)
	if o.out == "" {
		o.out = filepath.Join(dir, framesDir)
	}
	only, named, err := repair.Pick(m.Plan, o.program)
	if err != nil {
		return fmt.Errorf("frames: %w", err)
	}
	texts, err := m.Texts(dir, only, named)
	if err != nil {
		return err
	}
	out := &outdir.Folder{Dir: o.out}
	unlock, err := out.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	if o.page {
		return framesPage(m, o, out, texts, only, stdout)
	}
	return m.Walk(texts, func(p *toolpath.Program, text []byte, run repair.Run) error {
		if only != nil && only != p {
			return run(nil)
		}
		n, err := frames(preview.Scene{Plan: m.Plan, Program: p}, o, out, text, run, stderr)
		if err != nil {
			return err
		}
		where := o.out
		if o.gif {
			where = filepath.Join(o.out, p.Stem()+".gif")
		}
		fmt.Fprintf(stdout, "%s: %s in %s\n", p.File(), job.Counted(n, "picture"), where)
		return nil
	})
}

// dryPageName is the file of the dry run as a page.
const dryPageName = "dry-run.html"

// framesPage writes the dry run as one page.
func framesPage(m *repair.Repair, o framesOptions, out *outdir.Folder, texts [][]byte, only *toolpath.Program, stdout io.Writer) error {
	if o.every || o.gif {
		return fmt.Errorf("frames: --page has every block, and goes with neither --every nor --gif")
	}
	page := &preview.DryPage{Title: m.Plan.Job.Heading(), Fingerprint: m.Plan.Job.Fingerprint, NewMetal: "insert"}
	if m.Plan.Job.BuiltUp() {
		page.NewMetal = "built up"
	}
	err := m.Walk(texts, func(p *toolpath.Program, text []byte, run repair.Run) error {
		if only != nil && only != p {
			return run(nil)
		}
		return run(func(before *replay.Setup) {
			before.Observe = page.Add(preview.Scene{Plan: m.Plan, Program: p, Before: before}, text).Observe
		})
	})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.Write(&b); err != nil {
		return err
	}
	set, err := out.Begin()
	if err != nil {
		return err
	}
	defer set.Discard()
	if err := set.Add(dryPageName, b.Bytes()); err != nil {
		return err
	}
	if _, err := set.PutFor(func(name string) bool { return name == dryPageName }); err != nil {
		return err
	}
	fmt.Fprintf(stdout, "%s: %s, %.1f MB\n", filepath.Join(o.out, dryPageName), job.Counted(len(page.Programs), "program"), float64(b.Len())/1e6)
	return nil
}

// frames draws one program's dry run into the folder and returns how many
// pictures it has.
func frames(scene preview.Scene, o framesOptions, out *outdir.Folder, text []byte, run repair.Run, stderr io.Writer) (count int, err error) {
	p := scene.Program
	base := p.Stem()
	set, err := out.Begin()
	if err != nil {
		return 0, err
	}
	defer set.Discard()
	var reel figure.Reel
	show := progress(stderr, p.File())
	emit := func(n int, im *image.Paletted) error {
		count = n
		show(n)
		if o.gif {
			reel.Add(im, frameTime)
			return nil
		}
		png, err := figure.PNG(im)
		if err != nil {
			return err
		}
		return set.Add(fmt.Sprintf("%s-%04d%s", base, n, repair.PictureExt), png)
	}
	var dry *preview.Dry
	err = run(func(before *replay.Setup) {
		scene.Before = before
		dry = preview.NewDry(scene, text, o.every, emit)
		before.Observe = dry.Observe
	})
	if dry != nil {
		err = errors.Join(err, dry.Close())
	}
	if err != nil {
		return 0, err
	}
	show(0)
	ofKind := regexp.MustCompile("^" + regexp.QuoteMeta(base) + `-\d{4,}` + regexp.QuoteMeta(repair.PictureExt) + "$").MatchString
	if o.gif {
		var b bytes.Buffer
		if err := reel.Encode(&b); err != nil {
			return 0, err
		}
		if err := set.Add(base+".gif", b.Bytes()); err != nil {
			return 0, err
		}
		ofKind = func(name string) bool { return name == base+".gif" }
	}
	left, err := set.PutFor(ofKind)
	if len(left) > 0 {
		fmt.Fprintf(stderr, "cogmend: %s: %s: not of this run, and stays: it is not as it was written here%s\n", p.File(), left[0], andMore(len(left)-1))
	}
	return count, err
}

// andMore counts what is not named.
func andMore(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("; and %d more", n)
}

// progress returns a function that counts on a terminal, and is quiet
// elsewhere; 0 clears the line.
func progress(w io.Writer, name string) func(int) {
	if p, ok := w.(plainly); ok {
		w = p.Writer
	}
	f, ok := w.(*os.File)
	if !ok {
		return func(int) {}
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return func(int) {}
	}
	return func(n int) {
		if n == 0 {
			fmt.Fprint(w, "\r\x1b[K")
			return
		}
		fmt.Fprintf(w, "\r%s: picture %d", outdir.Printable(name), n)
	}
}
