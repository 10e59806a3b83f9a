package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
	"cogmend/toolpath"
	"cogmend/toolpath/chain"
)

type checkOptions struct {
	jobFile  string
	programs []string
	out      string

	parts map[string]repair.Part // of the programs named, by the names the job gives them, those that are parts
}

func newCheck() *cobra.Command {
	o := checkOptions{}
	c := &cobra.Command{
		Use:   "check JOB.toml [PROGRAM...]",
		Short: "Replay the programs of a job as they now are on disk",
		Long: `Replay programs, edited or not, against the job's stock and target and print
every finding with its line. Without PROGRAM, all programs in the job's folder.
JOB.toml may be the word demo for the built-in job.

A program of make --lift or make --from is known by its name, air-40-facets.nc or
40-facets-from-9.nc, and checked as what it is: in air it may meet no metal, and one
that begins again does so on the metal that the passes before it leave.

What one program leaves is the next one's stock: programs that come before the
ones named are taken from the folder of the first, or written anew when they
are not there.

Exit code: 0 all well, 1 something found, 2 usage or job file.`,
		Example: `  cogmend check press.toml
  cogmend check press.toml press-repair/40-facets.nc`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("check: name the job file; see 'cogmend check --help'")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			o.jobFile, o.programs = args[0], args[1:]
			return runCheck(o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	c.Flags().StringVar(&o.out, "out", "", "folder of the programs (default: JOB-repair beside the job file)")
	return c
}

// demoWord stands for the built-in job.
const demoWord = "demo"

// orDemo returns "" for the word that stands for the built-in job, unless a
// file is called so; a folder is no job.
func orDemo(path string) string {
	if path != demoWord {
		return path
	}
	if info, err := os.Stat(path); err != nil || info.IsDir() {
		return ""
	}
	return path
}

func runCheck(o checkOptions, stdout, stderr io.Writer) error {
	o.jobFile = orDemo(o.jobFile)
	dir := o.out
	if dir == "" {
		dir = defaultOut(o.jobFile)
	}
	fresh, err := making(o.jobFile, dir, stderr)
	if err != nil {
		return err
	}
	c := checking{fresh: fresh, chain: chain.New(fresh.Plan), stdout: stdout, stderr: stderr}
	if c.given, c.dir, err = o.named(fresh.Plan); err != nil {
		return err
	}
	c.parts = o.parts
	for i := range fresh.Programs {
		if err := c.program(&fresh.Programs[i]); err != nil {
			return err
		}
	}
	return c.end()
}

// checking is a run of the check over the programs of a job.
type checking struct {
	fresh          *repair.Repair // as the job would be written now
	chain          *chain.Chain
	given          map[string]string // paths of the programs named, by the names the job gives them; none: all
	parts          map[string]repair.Part
	dir            string // folder of the others
	stdout, stderr io.Writer

	asked  int      // programs that were asked for and are there
	told   bool     // one of them has a verdict
	bad    bool     // something speaks against running them
	absent []string // programs that the job plans and that are not there
}

// program checks one program of the job, or follows the metal through it.
func (c *checking) program(p *chain.Program) error {
	path, named := c.given[p.File()]
	if p.Done {
		if named {
			return fmt.Errorf("%s: the job says that it has been run ([as_cut]): what it left is measured, and there is nothing to check it against", p.File())
		}
		fmt.Fprintf(c.stdout, "%s: %s, taken as measured\n", p.File(), p.Skipped)
		return c.chain.Done(p.Program)
	}
	if !named {
		path = filepath.Join(c.dir, p.File())
	}
	asked := named || len(c.given) == 0
	below := c.buildsOn(p.Purpose)
	file, err := outdir.OpenPlain(path)
	switch {
	case err == nil:
		defer file.Close()
	case named || !errors.Is(err, fs.ErrNotExist):
		return err
	case !p.Written():
		return nil
	default:
		if asked || below {
			c.absent = append(c.absent, path)
		}
		_, err := c.chain.Check(p.Program, path, bytes.NewReader(p.Text))
		return err
	}
	if part, ok := c.parts[p.File()]; ok {
		return c.part(p, part, path, file)
	}
	check := c.chain.Check
	if p.Written() {
		check = func(q *toolpath.Program, path string, text io.Reader) (chain.Program, error) {
			return c.chain.CheckAgainst(p.Text, q, path, text)
		}
	}
	found, err := check(p.Program, path, file)
	if err != nil {
		return err
	}
	if asked {
		c.tell(&found, path)
	} else if below && !repair.Sound(&found, outdir.Printable(path), c.fresh.Job.Fingerprint, c.stderr) {
		c.bad = true
	}
	return nil
}

// part checks a part of one program; the metal goes on as the job's own program
// leaves it.
func (c *checking) part(p *chain.Program, part repair.Part, path string, file io.Reader) error {
	if !p.Written() {
		return fmt.Errorf("%s: the job has no %s: %s", path, p.File(), p.Skipped)
	}
	text, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	found, err := c.fresh.CheckPart(c.chain, p, part, path, text)
	if err != nil {
		return err
	}
	c.tell(&found, path)
	_, err = c.chain.Check(p.Program, p.File(), bytes.NewReader(p.Text))
	return err
}

// tell prints what the check found of a program that was asked for.
func (c *checking) tell(found *chain.Program, path string) {
	c.asked++
	if found.Err != nil {
		c.bad = true
		fmt.Fprintf(c.stderr, "cogmend: %s\n", outdir.Printable(found.Err.Error()))
		return
	}
	c.told = true
	c.bad = repair.Tell(c.fresh.Job, outdir.Printable(path), found.Result.Report, c.stdout, c.stderr) || c.bad
}

// buildsOn says that one of the programs named works on metal that the program
// of a purpose leaves.
func (c *checking) buildsOn(below toolpath.Purpose) bool {
	for i := range c.fresh.Programs {
		if p := &c.fresh.Programs[i]; c.given[p.File()] != "" && chain.BuildsOn(p.Purpose, below) {
			return true
		}
	}
	return false
}

// end says what was not there and what was not checked.
func (c *checking) end() error {
	if c.asked == 0 {
		return fmt.Errorf("%s: no program of the job is there; run '%s' first", c.dir, c.fresh.Job.Command("make"))
	}
	if c.told { // else nothing was checked on what is missing
		for _, path := range c.absent {
			c.bad = true
			fmt.Fprintf(c.stderr, "%s: not there, though the job plans it; the ones after it were checked on what it would leave\n", outdir.Printable(path))
		}
		printNotChecked(c.stdout, c.fresh)
	}
	if c.bad {
		return errFound
	}
	return nil
}

// named returns the paths of the programs to check by the names the job gives
// them, none when the whole folder is meant, and the folder.
func (o *checkOptions) named(plan *toolpath.Plan) (given map[string]string, dir string, err error) {
	dir = o.out
	if dir == "" {
		dir = defaultOut(o.jobFile)
	}
	given, o.parts = map[string]string{}, map[string]repair.Part{}
	for i, path := range o.programs {
		p, part := repair.NamedPart(plan, filepath.Base(path))
		if info, err := os.Stat(path); p == nil && err == nil && info.IsDir() {
			return nil, "", fmt.Errorf("%s: this is a folder; programs are named one by one, or their folder with --out", path)
		}
		if p == nil {
			return nil, "", fmt.Errorf("%s: cannot tell which program of the job it is; its name must begin like one of %s", path, repair.Names(plan))
		}
		if other, ok := given[p.File()]; ok {
			return nil, "", fmt.Errorf("%s and %s are the same program of the job; check one at a time", other, path)
		}
		given[p.File()] = path
		if part != (repair.Part{}) {
			o.parts[p.File()] = part
		}
		if i == 0 && o.out == "" {
			dir = filepath.Dir(path)
		}
	}
	return given, dir, nil
}
