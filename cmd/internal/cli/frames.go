package cli

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cogmend/gcode/replay"
	"cogmend/preview"
	"cogmend/toolpath"
)

type framesOptions struct {
	jobFile string
	program string // purpose, name or path; "" for all
	out     string
	every   bool
	gif     bool
}

func newFrames() *cobra.Command {
	o := framesOptions{}
	c := &cobra.Command{
		Use:   "frames JOB.toml [PROGRAM]",
		Short: "Draw a dry run: the stock being cut, pass by pass, from the written program",
		Long: `Replay the programs of a job as they now are on disk, or as they would be
written when they are not there, and draw numbered pictures of the stock being
cut: the cutter, the line and block, the gear's angle, the metal left.

One picture at the end of each pass, or after every block with --every.
JOB.toml may be the word demo for the built-in job.`,
		Example: `  cogmend frames demo
  cogmend frames press.toml facets --gif
  cogmend frames press.toml press-repair/10-slot.ngc --every --out slot-frames`,
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
	m, err := produce(j)
	if err != nil {
		return err
	}
	dir := defaultOut(o.jobFile)
	if o.out == "" {
		o.out = filepath.Join(dir, "frames")
	}
	only, err := o.only(m.plan)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(o.out, 0o755); err != nil {
		return plainError(err)
	}
	c := &chain{job: j, plan: m.plan}
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		if m.programs[i].checked == nil {
			continue
		}
		path := filepath.Join(dir, p.File())
		if only == p && filepath.Base(o.program) != o.program {
			path = o.program
		}
		text, err := readWhole(path, maxProgram)
		if err != nil {
			if path == o.program || !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			text = m.programs[i].text
		}
		if only == nil || only == p {
			n, err := c.frames(o, p, text, stderr)
			if err != nil {
				return err
			}
			fmt.Fprintf(stdout, "%s: %d pictures in %s\n", p.File(), n, o.out)
		}
		if _, err := c.check(p, path, bytes.NewReader(text)); err != nil {
			return err
		}
	}
	return nil
}

// only returns the program asked for, nil when all are.
func (o *framesOptions) only(plan *toolpath.Plan) (*toolpath.Program, error) {
	if o.program == "" {
		return nil, nil
	}
	for i := range plan.Programs {
		if p := &plan.Programs[i]; p.Purpose == o.program {
			return p, nil
		}
	}
	if p := programFor(plan, o.program); p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("frames: no program is called %q; the job has %s", o.program, names(plan))
}

// frames draws one program's dry run and returns how many pictures it has.
func (c *chain) frames(o framesOptions, p *toolpath.Program, text []byte, stderr io.Writer) (int, error) {
	setup, err := c.setup(p.Purpose)
	if err != nil {
		return 0, err
	}
	base := filepath.Join(o.out, strings.TrimSuffix(p.File(), programExt))
	count := 0
	var reel preview.Reel
	show := progress(stderr, p.File())
	emit := func(n int, im *image.Paletted) error {
		count = n
		show(n)
		if o.gif {
			reel.Add(im, frameTime)
			return nil
		}
		png, err := preview.PNG(im)
		if err != nil {
			return err
		}
		return writeFile(fmt.Sprintf("%s-%04d%s", base, n, pictureExt), png)
	}
	dry := preview.NewDry(preview.Scene{Plan: c.plan, Program: p, Before: setup}, text, o.every, emit)
	watched := *setup
	watched.Observe = dry.Observe
	_, err = replay.Check(bytes.NewReader(text), p.File(), &watched)
	if err = errors.Join(err, dry.Close()); err != nil {
		return 0, err
	}
	show(0)
	if !o.gif {
		return count, nil
	}
	var b bytes.Buffer
	if err := reel.Encode(&b); err != nil {
		return 0, err
	}
	return count, writeFile(base+".gif", b.Bytes())
}

// progress returns a function that counts on a terminal, and is quiet
// elsewhere; 0 clears the line.
func progress(w io.Writer, name string) func(int) {
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
		fmt.Fprintf(w, "\r%s: picture %d", name, n)
	}
}
