package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
	"cogmend/toolpath/job"
)

// What is written beside the programs.
const (
	pictureExt = ".png"
	sheetName  = "sheet.html"
	reportJSON = "report.json"
	reportText = "report.txt"
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
		Use:   "make [JOB.toml]",
		Short: "Plan the repair, write and check its programs, draw pictures of them",
		Long: `Plan the repair of the job file, or of the built-in demo when none is named:
write every program, replay the written text against the stock, draw each
program, and write report.txt, report.json and sheet.html.

A program that fails the check is not left under its final name. A program you
changed by hand is not overwritten without --replace. Raised programs and those
that begin at a pass are taken away when they are of an earlier state of the job.

Exit code: 0 all well, 1 the check or the plan found something, or the estimates
speak against letting the insert in and no owner_answers for it, 2 usage or job file.`,
		Example: `  cogmend make                          the built-in demo, into demo-repair
  cogmend make press.toml               into press-repair, beside the job file
  cogmend make press.toml --out usb     into the folder usb
  cogmend make press.toml --lift 25     the same programs raised 25 mm, to run in air
  cogmend make press.toml --from facets:7   begin again at pass 7 after a stop`,
		Args: atMost(1, "one job file"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.jobFile = args[0]
			}
			return runMake(o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "folder to write to (default: JOB-repair beside the job file)")
	f.BoolVar(&o.replace, "replace", false, "overwrite programs changed by hand")
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
	roomyHeap()
	j, err := readJob(o.jobFile)
	if err != nil {
		return err
	}
	if o.out == "" {
		o.out = defaultOut(o.jobFile)
	}
	r, err := repair.Make(j, estimates)
	if err != nil {
		return err
	}
	if o.lift != "" || o.from != "" {
		return runPart(o, r, stdout, stderr)
	}
	var pictures []repair.Picture
	if o.pictures {
		if pictures, err = r.Pictures(); err != nil {
			return err
		}
	}
	out := &outdir.Folder{Dir: o.out}
	unlock, err := out.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	var failed []outdir.File
	for i := range r.Programs {
		switch p := &r.Programs[i]; {
		case p.Clean():
			out.Add(p.File(), p.Text)
		case p.Written():
			failed = append(failed, outdir.File{Name: p.File(), Data: p.Text})
		}
	}
	if err := o.keepEdited(out, slices.Concat(out.Files, failed), stderr); err != nil {
		return err
	}
	if err := addReports(out, r, pictures, o.pictures); err != nil {
		return err
	}
	if err := clearFailed(o.out, r); err != nil {
		return err
	}
	if err := out.Write(); err != nil {
		return err
	}
	if err := clearParts(out, r, stderr); err != nil {
		return err
	}
	if err := clearPictures(out, stderr); err != nil {
		return err
	}
	if !o.quiet || !r.Clean() || len(r.Estimates.Against) > 0 {
		r.Verdict(stdout)
		r.Table(stdout)
		for _, w := range r.Warnings() {
			fmt.Fprintf(stdout, "warning: %s\n", w)
		}
		fmt.Fprintf(stdout, "written to %s\n", o.out)
		for _, f := range failed {
			fmt.Fprintf(stdout, "not left there: %s\n", f.Name)
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

// ofPictures is what the names of pictures of a repair are like.
var ofPictures = regexp.MustCompile(`^[0-9]{2}-(slot|insert|trial|fit|flush|facets)(-[a-z0-9-]+)?\.png$`)

// clearPictures takes away pictures and a sheet of an earlier run that this one
// did not make: they would show other programs.
func clearPictures(out *outdir.Folder, stderr io.Writer) error {
	left, err := out.ClearStale(func(name string) bool { return name == sheetName || ofPictures.MatchString(name) })
	if err != nil {
		return err
	}
	for _, name := range left {
		fmt.Fprintf(stderr, "cogmend: %s is of an earlier run, and not as it was written: it may show other programs\n", filepath.Join(out.Dir, name))
	}
	return nil
}

// addReports adds pictures, sheet and reports to the output.
func addReports(out *outdir.Folder, r *repair.Repair, pictures []repair.Picture, sheet bool) error {
	for _, p := range pictures {
		out.Add(p.Name+pictureExt, p.PNG)
	}
	if sheet {
		page, err := r.Sheet(pictures)
		if err != nil {
			return err
		}
		out.Add(sheetName, page)
	}
	out.Add(reportText, r.Text())
	digests := map[string]string{}
	for _, f := range out.Files {
		digests[f.Name] = outdir.Digest(f.Data)
	}
	data, err := r.JSON(digests)
	if err != nil {
		return err
	}
	out.Add(reportJSON, data)
	return nil
}

// keepEdited refuses to write over, or to take away, programs a person has
// changed.
func (o *makeOptions) keepEdited(out *outdir.Folder, programs []outdir.File, stderr io.Writer) error {
	if o.replace {
		return nil
	}
	edited, err := out.Edited(programs)
	if err != nil || len(edited) == 0 {
		return err
	}
	for _, e := range edited {
		fmt.Fprintf(stderr, "cogmend: %s was changed by hand and is not overwritten; it differs in %s\n", filepath.Join(out.Dir, e.Name), lineList(e.Lines))
	}
	fmt.Fprintln(stderr, "hint: check it with 'cogmend check', move it away, or use --replace")
	return errFound
}

// clearFailed takes away what an earlier run left under the names of programs
// that now fail or are not written.
func clearFailed(dir string, r *repair.Repair) error {
	for i := range r.Programs {
		p := &r.Programs[i]
		if p.Clean() || p.Done {
			continue
		}
		path := filepath.Join(dir, p.File())
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return outdir.PlainError(err)
		}
	}
	return nil
}

// lineList names line numbers shortly.
func lineList(n []int) string {
	const most = 6
	s := make([]string, 0, most)
	for i, l := range n {
		if i == most {
			s = append(s, fmt.Sprintf("and %d more", len(n)-most))
			break
		}
		s = append(s, fmt.Sprint(l))
	}
	word := "line "
	if len(n) > 1 {
		word = "lines "
	}
	return word + strings.Join(s, ", ")
}
