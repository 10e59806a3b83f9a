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
	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

type checkOptions struct {
	jobFile  string
	programs []string
	out      string
}

func newCheck() *cobra.Command {
	o := checkOptions{}
	c := &cobra.Command{
		Use:   "check JOB.toml [PROGRAM...]",
		Short: "Replay the programs of a job as they now are on disk",
		Long: `Replay programs, edited or not, against the job's stock and target and print
every finding with its line. Without PROGRAM, all programs in the job's folder.
JOB.toml may be the word demo for the built-in job.

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
	j, err := readJob(o.jobFile)
	if err != nil {
		return err
	}
	fresh, err := repair.Make(j)
	if err != nil {
		return err
	}
	plan := fresh.Plan
	given, dir, err := o.named(plan)
	if err != nil {
		return err
	}
	chain := repair.NewChain(plan)
	bad, told := false, false // told: a program has a verdict
	seen := 0
	var absent []string
	for i := range plan.Programs {
		p := &plan.Programs[i]
		if p.Done {
			if given[p.File()] != "" {
				return fmt.Errorf("%s: the job says that it has been run ([as_cut]): what it left is measured, and there is nothing to check it against", p.File())
			}
			if err := chain.Done(p); err != nil {
				return err
			}
			fmt.Fprintf(stdout, "%s: %s, taken as measured\n", p.File(), p.Skipped)
			continue
		}
		wanted := len(given) == 0
		path := filepath.Join(dir, p.File())
		if g, ok := given[p.File()]; ok {
			path, wanted = g, true
		}
		var text io.Reader
		isFile := true
		if file, err := outdir.OpenPlain(path); err == nil {
			defer file.Close()
			text = file
		} else {
			if given[p.File()] != "" || !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			if !fresh.Programs[i].Written() {
				continue
			}
			if wanted || buildsOn(plan, given, p.Purpose) {
				absent = append(absent, path)
			}
			text, wanted, isFile = bytes.NewReader(fresh.Programs[i].Text), false, false
		}
		check := chain.Check
		if isFile && filepath.Base(path) == p.File() {
			check = func(p *toolpath.Program, path string, text io.Reader) (repair.Program, error) {
				return chain.CheckAgainst(fresh.Programs[i].Text, p, path, text)
			}
		}
		done, err := check(p, path, text)
		if err != nil {
			return err
		}
		if !wanted {
			if isFile && buildsOn(plan, given, p.Purpose) && !soundBelow(&done, path, j.Fingerprint, stderr) {
				bad = true
			}
			continue
		}
		seen++
		if done.Err != nil {
			bad = true
			fmt.Fprintf(stderr, "cogmend: %s\n", outdir.Printable(done.Err.Error()))
			continue
		}
		told = true
		bad = tellProgram(j, path, done.Result.Report, stdout, stderr) || bad
	}
	if seen == 0 {
		return fmt.Errorf("%s: no program of the job is there; run 'cogmend make' first", dir)
	}
	for _, path := range absent {
		if !told {
			break // nothing was checked on what is missing
		}
		bad = true
		fmt.Fprintf(stderr, "%s: not there, though the job plans it; the ones after it were checked on what it would leave\n", outdir.Printable(path))
	}
	if told {
		printNotChecked(stdout, fresh)
	}
	if bad {
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
	given = map[string]string{}
	for i, path := range o.programs {
		p := repair.Named(plan, filepath.Base(path))
		if p == nil {
			return nil, "", fmt.Errorf("%s: cannot tell which program of the job it is; its name must begin like one of %s", path, repair.Names(plan))
		}
		if other, ok := given[p.File()]; ok {
			return nil, "", fmt.Errorf("%s and %s are the same program of the job; check one at a time", other, path)
		}
		given[p.File()] = path
		if i == 0 && o.out == "" {
			dir = filepath.Dir(path)
		}
	}
	return given, dir, nil
}

// tellProgram prints what the check found of one program, and says whether that
// speaks against running it.
func tellProgram(j *job.Job, path string, r *replay.Report, stdout, stderr io.Writer) (bad bool) {
	path = outdir.Printable(path)
	fmt.Fprintf(stdout, "%s: %s; standing teeth cut %s, finished part cut %s, worst left %s, %.1f minutes\n", path, r.Verdict(),
		j.Units.Length(r.NeighbourCut), j.Units.Length(r.TargetCut), repair.WorstLeft(r, j.Units), r.Minutes)
	if r.Fingerprint != "" && r.Fingerprint != j.Fingerprint {
		fmt.Fprintf(stdout, "warning: %s was written from another state of the job (fingerprint %s, the job's is %s); 'cogmend make' writes it anew\n", path, r.Fingerprint, j.Fingerprint)
	}
	for _, d := range r.Differs {
		fmt.Fprintf(stdout, "%s: other words than the job's program: %s\n", path, d)
	}
	if !r.Clean() {
		repair.PrintFindings(stderr, path, r)
	}
	return !r.Clean()
}

// buildsOn says that one of the programs named works on metal that the program
// of a purpose leaves.
func buildsOn(plan *toolpath.Plan, named map[string]string, below toolpath.Purpose) bool {
	for i := range plan.Programs {
		p := &plan.Programs[i]
		if named[p.File()] == "" {
			continue
		}
		switch p.Purpose {
		case toolpath.FacetsProgram:
			return true
		case toolpath.FlushProgram:
			return below != toolpath.FacetsProgram
		case toolpath.FitProgram, toolpath.TrialProgram:
			if below == toolpath.InsertProgram || p.Purpose == toolpath.FitProgram && below == toolpath.TrialProgram {
				return true
			}
		}
	}
	return false
}

// soundBelow says that a program on which one of those named builds is clean
// and of the job as it now is; what is wrong is printed.
func soundBelow(p *repair.Program, path, fingerprint string, stderr io.Writer) bool {
	path = outdir.Printable(path)
	switch {
	case p.Err != nil:
		fmt.Fprintf(stderr, "%s: what is checked builds on it, and it cannot be read: %v\n", path, p.Err)
	case !p.Result.Report.Clean():
		fmt.Fprintf(stderr, "%s: what is checked builds on it, and it is not clean itself: %s\n", path, p.Result.Report.Verdict())
	case p.Result.Report.Fingerprint != fingerprint:
		fmt.Fprintf(stderr, "%s: what is checked builds on it, and it is not of the job as it now is\n", path)
	default:
		return true
	}
	return false
}
