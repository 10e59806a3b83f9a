package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/toolpath"
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
  cogmend check press.toml press-repair/40-facets.ngc`,
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
// file is called so.
func orDemo(path string) string {
	if path != demoWord {
		return path
	}
	if _, err := os.Stat(path); err != nil {
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
	fresh, err := produce(j)
	if err != nil {
		return err
	}
	plan := fresh.plan
	dir := o.out
	if dir == "" {
		dir = defaultOut(o.jobFile)
	}
	given := map[string]string{}
	for i, path := range o.programs {
		p := programFor(plan, path)
		if p == nil {
			return fmt.Errorf("%s: cannot tell which program of the job it is; its name must begin like one of %s", path, names(plan))
		}
		if other, ok := given[p.File()]; ok {
			return fmt.Errorf("%s and %s are the same program of the job; check one at a time", other, path)
		}
		given[p.File()] = path
		if i == 0 && o.out == "" {
			dir = filepath.Dir(path)
		}
	}
	c := &chain{design: plan.Design, plan: plan}
	bad := false
	seen := 0
	var absent []string
	for i := range plan.Programs {
		p := &plan.Programs[i]
		wanted := len(given) == 0
		path := filepath.Join(dir, p.File())
		if g, ok := given[p.File()]; ok {
			path, wanted = g, true
		}
		var text io.Reader
		if file, err := openPlain(path); err == nil {
			defer file.Close()
			text = file
		} else {
			if given[p.File()] != "" || !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			if fresh.programs[i].checked == nil {
				continue
			}
			if wanted {
				absent = append(absent, path)
			}
			text, wanted = bytes.NewReader(fresh.programs[i].text), false
		}
		done, err := c.check(p, path, text)
		if err != nil {
			return err
		}
		if !wanted {
			continue
		}
		seen++
		if done.err != nil {
			bad = true
			fmt.Fprintf(stderr, "cogmend: %v\n", done.err)
			continue
		}
		r := done.result.Report
		fmt.Fprintf(stdout, "%s: %s; standing teeth cut %s, finished part cut %s, worst left %s, %.1f minutes\n", path, r.Verdict(),
			j.Units.Length(r.NeighbourCut), j.Units.Length(r.TargetCut), worstLeft(r, j.Units), r.Minutes)
		if r.Fingerprint != "" && r.Fingerprint != j.Fingerprint {
			fmt.Fprintf(stdout, "mind: %s was written from another state of the job (fingerprint %s, the job's is %s); 'cogmend make' writes it anew\n", path, r.Fingerprint, j.Fingerprint)
		}
		if !r.Clean() {
			bad = true
			printReport(stderr, path, r)
		}
	}
	if seen == 0 {
		return fmt.Errorf("%s: no program of the job is there; run 'cogmend make' first", dir)
	}
	for _, path := range absent {
		fmt.Fprintf(stdout, "%s: not there; the ones after it were checked on what it would leave\n", path)
	}
	if bad {
		return errFound
	}
	return nil
}

// programFor tells by the file's name which program it is.
func programFor(plan *toolpath.Plan, path string) *toolpath.Program {
	base := strings.ToLower(filepath.Base(path))
	for i := range plan.Programs {
		p := &plan.Programs[i]
		name := strings.TrimSuffix(p.File(), programExt)
		// A program that starts again at a pass has another stock.
		if strings.HasPrefix(base, name) && !strings.HasPrefix(base, name+fromInfix) {
			return p
		}
	}
	return nil
}

func names(plan *toolpath.Plan) string {
	var s []string
	for i := range plan.Programs {
		s = append(s, strings.TrimSuffix(plan.Programs[i].File(), programExt))
	}
	return strings.Join(s, ", ")
}
