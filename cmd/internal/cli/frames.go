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
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cogmend/gcode/replay"
	"cogmend/preview"
	"cogmend/preview/figure"
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

One picture at the end of each pass, or after every block with --every. The
pictures of a program take their places when all of them are drawn; those of an
earlier run that are not among them are taken away.

PROGRAM is a file whose name begins like one of the job's programs, or else the
name or purpose of one of them: 10-slot, slot.
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
	only, named, err := o.only(m.plan)
	if err != nil {
		return err
	}
	texts, err := framesTexts(m, dir, only, named)
	if err != nil {
		return err
	}
	out := &output{dir: o.out}
	unlock, err := out.lock()
	if err != nil {
		return plainError(err)
	}
	defer unlock()
	c := &chain{design: m.plan.Design, plan: m.plan}
	for i, text := range texts {
		p := &m.plan.Programs[i]
		if text == nil {
			continue
		}
		if only == nil || only == p {
			n, err := c.frames(o, out, p, text, stderr)
			if err != nil {
				return err
			}
			where := o.out
			if o.gif {
				where = filepath.Join(o.out, strings.TrimSuffix(p.File(), programExt)+".gif")
			}
			fmt.Fprintf(stdout, "%s: %d pictures in %s\n", p.File(), n, where)
		}
		if _, err := c.check(p, p.File(), bytes.NewReader(text)); err != nil {
			return err
		}
	}
	return nil
}

// framesTexts reads the programs: the one asked for from the file named, if any, the
// others from the folder, or as they would be written. One that is not written
// has none.
func framesTexts(m *made, dir string, only *toolpath.Program, named string) ([][]byte, error) {
	texts := make([][]byte, len(m.plan.Programs))
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		if m.programs[i].checked == nil {
			continue
		}
		path := filepath.Join(dir, p.File())
		if only == p && named != "" {
			path = named
		}
		var err error
		texts[i], err = readWhole(path, maxProgram)
		if errors.Is(err, fs.ErrNotExist) && path != named {
			texts[i], err = m.programs[i].text, nil
		}
		if err != nil {
			return nil, err
		}
	}
	return texts, nil
}

// only returns the program asked for, nil when all are, and the file its text
// is in, "" when that is the one in the job's folder. What is a file here means
// that file.
func (o *framesOptions) only(plan *toolpath.Plan) (p *toolpath.Program, file string, err error) {
	if o.program == "" {
		return nil, "", nil
	}
	info, err := os.Stat(o.program)
	if err == nil && !info.IsDir() || filepath.Base(o.program) != o.program {
		if p := programFor(plan, o.program); p != nil {
			return p, o.program, nil
		}
		return nil, "", fmt.Errorf("frames: %s: cannot tell which program of the job it is; its name must begin like one of %s", o.program, names(plan))
	}
	for i := range plan.Programs {
		p := &plan.Programs[i]
		if slices.Contains([]string{p.Purpose, p.File(), strings.TrimSuffix(p.File(), programExt)}, o.program) {
			return p, "", nil
		}
	}
	return nil, "", fmt.Errorf("frames: no program and no file is called %q; the job has %s", o.program, names(plan))
}

// frames draws one program's dry run into the folder and returns how many
// pictures it has.
func (c *chain) frames(o framesOptions, out *output, p *toolpath.Program, text []byte, stderr io.Writer) (count int, err error) {
	setup, err := c.setup(p.Purpose)
	if err != nil {
		return 0, err
	}
	set := &pictureSet{out: out, base: strings.TrimSuffix(p.File(), programExt)}
	defer set.drop()
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
		return set.add(fmt.Sprintf("%s-%04d%s", set.base, n, pictureExt), png)
	}
	dry := preview.NewDry(preview.Scene{Plan: c.plan, Program: p, Before: setup}, text, o.every, emit)
	watched := *setup
	watched.Observe = dry.Observe
	_, err = replay.Check(bytes.NewReader(text), p.File(), &watched)
	if err = errors.Join(err, dry.Close()); err != nil {
		return 0, err
	}
	show(0)
	if o.gif {
		var b bytes.Buffer
		if err := reel.Encode(&b); err != nil {
			return 0, err
		}
		if err := set.add(set.base+".gif", b.Bytes()); err != nil {
			return 0, err
		}
		return count, set.place()
	}
	if err := set.place(); err != nil {
		return 0, err
	}
	left, err := set.clearOlder()
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

// pictureSet is the pictures of one program: written beside their places as
// they are drawn, and renamed into them when all are there.
type pictureSet struct {
	out     *output
	base    string   // of every name
	names   []string // in the folder
	parts   []string // what is written of them, beside their places
	digests []string
}

func (s *pictureSet) add(name string, data []byte) error {
	part, err := writePart(filepath.Join(s.out.dir, name), data)
	if err != nil {
		return err
	}
	s.names, s.parts, s.digests = append(s.names, name), append(s.parts, part), append(s.digests, digest(data))
	return nil
}

// drop takes away what is not in its place.
func (s *pictureSet) drop() {
	for _, p := range s.parts {
		os.Remove(p) // the next run clears what cannot be
	}
}

// place renames all pictures into their places.
func (s *pictureSet) place() error {
	if err := s.out.note(s.digests); err != nil {
		return aboutPath(s.out.dir, err)
	}
	for i, name := range s.names {
		if err := replaceFile(s.parts[i], filepath.Join(s.out.dir, name)); err != nil {
			s.parts = s.parts[i:]
			return err
		}
	}
	s.parts = nil
	return nil
}

// clearOlder takes away the numbered pictures of earlier runs that the set does
// not have, and returns the names of those that are not as they were written.
func (s *pictureSet) clearOlder() (left []string, err error) {
	ours, err := s.out.ours()
	if err != nil {
		return nil, err
	}
	entries, err := os.ReadDir(s.out.dir)
	if err != nil {
		return nil, plainError(err)
	}
	numbered := regexp.MustCompile("^" + regexp.QuoteMeta(s.base) + `-\d{4,}` + regexp.QuoteMeta(pictureExt) + "$")
	for _, e := range entries {
		if !numbered.MatchString(e.Name()) || slices.Contains(s.names, e.Name()) {
			continue
		}
		path := filepath.Join(s.out.dir, e.Name())
		have, err := readWhole(path, maxProgram)
		if err != nil || !ours[digest(have)] || os.Remove(path) != nil {
			left = append(left, printable(e.Name()))
		}
	}
	return left, nil
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
