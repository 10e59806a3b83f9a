package cli

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

type makeOptions struct {
	jobFile  string // "" is the embedded demo
	out      string
	replace  bool
	pictures bool
	quiet    bool
	lift     string
	from     string
}

func newMake() *cobra.Command {
	o := makeOptions{}
	c := &cobra.Command{
		Use:   "make [JOB.toml | demo]",
		Short: "Plan the repair, write and check its programs, draw pictures of them",
		Long: `Plan the repair of the job file, or of the built-in demo when none is named:
write every program, replay the written text against the stock, draw each
program, and write report.txt, report.json and sheet.html.

A program that fails the check is not left under its final name. A file
that you changed or wrote by hand is not overwritten or taken away without
--replace. What an earlier run wrote and this one does not is taken away; raised
programs and those that begin at a pass, when they are of an earlier state of the job.

Exit code: 0 all well, 1 the check or the plan found something, or the estimates
speak against letting the insert in and no owner_answers for it, 2 usage or job file.`,
		Example: `  cogmend make                          the built-in demo, into demo-repair
  cogmend make press.toml               into press-repair, beside the job file
  cogmend make press.toml --out usb     into the folder usb
  cogmend make press.toml --lift 25     the same programs raised 25 mm, to run in air
  cogmend make press.toml --from facets:7   begin again at pass 7 after a stop`,
		Args: atMost(1, "one job file"),
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case len(args) > 0:
				o.jobFile = orDemo(args[0])
			case o.lift != "" || o.from != "":
				return fmt.Errorf("make: with --lift or --from name the job file, or the word demo for the built-in one")
			}
			return runMake(o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "folder to write to (default: JOB-repair beside the job file)")
	f.BoolVar(&o.replace, "replace", false, "overwrite files changed or written by hand, and name them")
	f.BoolVar(&o.pictures, "pictures", true, "draw the pictures and the sheet")
	f.BoolVar(&o.quiet, "quiet", false, "print nothing when all is well")
	f.StringVar(&o.lift, "lift", "", "raise every program by this length, for a run in air (in the job's unit, or with one)")
	f.StringVar(&o.from, "from", "", "begin a program again at a pass, as PROGRAM:PASS")
	return c
}

// atMost is cobra.MaximumNArgs in our words.
func atMost(n int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > n {
			return fmt.Errorf("%s takes %s at most, not %d arguments", c.Name(), what, len(args))
		}
		return nil
	}
}

// readJob reads a job file, or the demo for "".
func readJob(path string) (*job.Job, error) {
	if path == "" {
		return job.Demo(), nil
	}
	return job.Read(path)
}

// defaultOut is the folder beside the job file.
func defaultOut(path string) string {
	if path == "" {
		return "demo-repair"
	}
	base := filepath.Base(path)
	return filepath.Join(filepath.Dir(path), strings.TrimSuffix(base, filepath.Ext(base))+"-repair")
}

func runMake(o makeOptions, stdout, stderr io.Writer) error {
	repair.RoomyHeap()
	if o.out == "" {
		o.out = defaultOut(o.jobFile)
	}
	r, err := making(o.jobFile, o.out, stderr)
	if err != nil {
		return err
	}
	if o.lift != "" || o.from != "" {
		return runPart(o, r, stdout, stderr)
	}
	p := outdir.Placing{Replace: o.replace, Older: r.Older}
	if p.Files, p.Withheld, err = r.Files(o.pictures); err != nil {
		return err
	}
	out := &outdir.Folder{Dir: o.out}
	unlock, err := out.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	same := sameOnDisk(o.out, r)
	if err := place(out, p, stderr); err != nil {
		return err
	}
	if !same {
		if err := dropFrames(o.out, stderr); err != nil {
			return err
		}
	}
	if !o.quiet || !r.Clean() || len(r.Estimates.Against) > 0 {
		r.Verdict(stdout)
		r.Table(stdout)
		for _, w := range r.Warnings() {
			fmt.Fprintf(stdout, "warning: %s\n", w)
		}
		printNotChecked(stdout, r)
		fmt.Fprintf(stdout, "written to %s\n", o.out)
		for _, name := range slices.Sorted(maps.Keys(p.Withheld)) {
			fmt.Fprintf(stdout, "not left there: %s\n", name)
		}
	}
	if !r.Clean() {
		r.Findings(stderr)
		return errFound
	}
	if !r.Allowed() {
		return errFound
	}
	return nil
}

// making reads a job and makes its repair. Where it cannot be made, the programs in
// its folder are named: they are of an earlier state of it.
func making(file, dir string, stderr io.Writer) (*repair.Repair, error) {
	j, err := readJob(file)
	if err != nil {
		return nil, err
	}
	r, err := repair.Make(j)
	if err != nil {
		var refused *toolpath.Refusal
		if errors.As(err, &refused) {
			nameStale(dir, stderr)
		}
		return nil, err
	}
	return r, nil
}

// nameStale names the programs that stand in the folder of a job that cannot be
// made any more: they are of an earlier state of it.
func nameStale(dir string, stderr io.Writer) {
	list, err := os.ReadDir(dir)
	if err != nil {
		return // no folder, no programs
	}
	for _, e := range list {
		if name := e.Name(); repair.IsProgram(name) {
			fmt.Fprintf(stderr, "cogmend: %s is of an earlier state of the job, which cannot be made as it now stands: do not run it\n", filepath.Join(dir, name))
		}
	}
}

// printNotChecked says what no check of the programs looks at.
func printNotChecked(w io.Writer, r *repair.Repair) {
	for _, n := range r.NotChecked() {
		fmt.Fprintf(w, "not checked: %s\n", n)
	}
}
