package cli

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/post"
)

const (
	programExt = ".ngc"
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

Exit code: 0 all well, 1 the check or the plan found something, 2 usage or job file.`,
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

// made is a whole repair: planned, written, checked.
type made struct {
	job      *job.Job
	plan     *toolpath.Plan
	programs []madeProgram
	mind     []string // kept by minds
}

type madeProgram struct {
	*checked
	text []byte
}

// ok says that every program may be run.
func (m *made) ok() bool {
	for _, p := range m.programs {
		if p.checked != nil && !p.ok() {
			return false
		}
	}
	return true
}

// produce plans, writes and checks.
func produce(j *job.Job) (*made, error) { return produceAnd(j, func(*made, int) {}) }

// produceAnd is produce that tells when a program has been checked and the
// plan is whole.
func produceAnd(j *job.Job, ready func(m *made, program int)) (*made, error) {
	// All programs but the facets are written and checked while these are planned.
	d, err := design.Of(j)
	if err != nil {
		return nil, err
	}
	c := &chain{design: d}
	planned := make(chan *toolpath.Plan, 1)
	var seat []madeProgram
	var group errgroup
	group.run(func() (err error) {
		seat, err = c.seat(planned)
		return err
	})
	plan, err := toolpath.MakeInTwo(d, func(p *toolpath.Plan) { planned <- p })
	close(planned)
	if err = cmp.Or(err, group.wait()); err != nil {
		return nil, err
	}
	m := &made{job: j, plan: plan, programs: make([]madeProgram, len(plan.Programs))}
	for i, p := range seat {
		m.programs[i] = p
		if p.checked != nil {
			ready(m, i)
		}
	}
	c.plan = plan
	if err := c.each(m.programs, "facets"); err != nil {
		return nil, err
	}
	ready(m, len(m.programs)-1)
	return m, nil
}

// seat writes and checks the programs before the facets once they are planned;
// none when they are not.
func (c *chain) seat(planned <-chan *toolpath.Plan) ([]madeProgram, error) {
	// What the metal is before the first programs does not depend on the plan.
	apart := &chain{design: c.design}
	var group errgroup
	group.run(func() error { return c.begin("slot") })
	group.run(func() error { return apart.begin("insert") })
	if err := group.wait(); err != nil {
		return nil, err
	}
	plan, ok := <-planned
	if !ok {
		return nil, nil
	}
	c.plan, apart.plan = plan, plan
	done := make([]madeProgram, len(plan.Programs))
	// The gear and the insert meet only at the flush program: until then their
	// programs are written and checked side by side.
	group.run(func() error { return c.each(done, "slot") })
	group.run(func() error { return apart.each(done, "insert", "trial", "fit") })
	if err := group.wait(); err != nil {
		return nil, err
	}
	c.insert = apart.insert
	return done, c.each(done, "flush")
}

// each writes and checks the programs of the given purposes, in the order of
// work, and puts them into their places.
func (c *chain) each(programs []madeProgram, purposes ...string) error {
	for i := range c.plan.Programs {
		p := &c.plan.Programs[i]
		if p.Skipped != "" || !slices.Contains(purposes, p.Purpose) {
			continue
		}
		var text bytes.Buffer
		if err := post.Write(&text, c.plan, p, post.Options{}); err != nil {
			return err
		}
		done, err := c.check(p, p.File(), bytes.NewReader(text.Bytes()))
		if err != nil {
			return err
		}
		programs[i] = madeProgram{done, text.Bytes()}
	}
	return nil
}

// errgroup runs functions side by side and keeps their first error.
type errgroup struct {
	sync.WaitGroup
	mu  sync.Mutex
	err error
}

func (g *errgroup) run(f func() error) {
	g.Go(func() {
		if err := f(); err != nil {
			g.mu.Lock()
			defer g.mu.Unlock()
			if g.err == nil {
				g.err = err
			}
		}
	})
}

func (g *errgroup) wait() error {
	g.Wait()
	return g.err
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
	if o.lift != "" || o.from != "" {
		return runPart(o, j, stdout, stderr)
	}
	var pictures gallery
	ready := func(*made, int) {}
	if o.pictures {
		pictures.open()
		ready = pictures.draw
	}
	m, err := produceAnd(j, ready)
	drawn, derr := pictures.close()
	if err = cmp.Or(err, derr); err != nil {
		return err
	}
	out := &output{dir: o.out}
	unlock, err := out.lock()
	if err != nil {
		return plainError(err)
	}
	defer unlock()
	for _, p := range m.programs {
		if p.checked != nil && p.ok() {
			out.add(p.program.File(), p.text)
		}
	}
	if err := o.keepEdited(out, m, stderr); err != nil {
		return err
	}
	if o.pictures {
		if err := addPictures(out, m, drawn); err != nil {
			return err
		}
	}
	text := textReport(m)
	out.add(reportText, text)
	data, err := jsonReport(m, out.files)
	if err != nil {
		return err
	}
	out.add(reportJSON, data)
	if err := clearFailed(o.out, m); err != nil {
		return err
	}
	if err := out.write(); err != nil {
		return plainError(err)
	}
	if err := o.clearParts(out, m, stderr); err != nil {
		return err
	}
	if !o.quiet || !m.ok() {
		table(stdout, m)
		for _, w := range m.minds() {
			fmt.Fprintf(stdout, "mind: %s\n", w)
		}
		fmt.Fprintf(stdout, "written to %s\n", o.out)
		for i := range m.plan.Programs {
			if p := m.programs[i]; p.checked != nil && !p.ok() {
				fmt.Fprintf(stdout, "not left there: %s\n", m.plan.Programs[i].File())
			}
		}
	}
	if !m.ok() {
		printFindings(stderr, m)
		return errFound
	}
	return nil
}

// keepEdited refuses to write over, or to take away, programs a person has
// changed. m may be nil.
func (o *makeOptions) keepEdited(out *output, m *made, stderr io.Writer) error {
	if o.replace {
		return nil
	}
	look := output{dir: out.dir, files: out.files}
	if m != nil {
		for i := range m.plan.Programs {
			if p := m.programs[i]; p.checked != nil && !p.ok() {
				look.files = append(slices.Clone(look.files), outFile{m.plan.Programs[i].File(), p.text})
			}
		}
	}
	names, lines, err := look.edited()
	if err != nil || len(names) == 0 {
		return err
	}
	for _, n := range names {
		fmt.Fprintf(stderr, "cogmend: %s was changed by hand and is not overwritten; it differs in %s\n", filepath.Join(out.dir, n), lineList(lines[n]))
	}
	fmt.Fprintln(stderr, "hint: check it with 'cogmend check', move it away, or use --replace")
	return errFound
}

// clearFailed takes away what an earlier run left under the names of programs
// that now fail or are not written.
func clearFailed(dir string, m *made) error {
	for i := range m.plan.Programs {
		p := m.programs[i]
		if p.checked != nil && p.ok() {
			continue
		}
		path := filepath.Join(dir, m.plan.Programs[i].File())
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return plainError(err)
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

// table prints one line a program.
func table(w io.Writer, m *made) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "program\ttools\tpasses\tminutes\tworst left\tverdict")
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		if p.Skipped != "" {
			fmt.Fprintf(t, "%s\t-\t-\t-\t-\tnot written: %s\n", p.File(), p.Skipped)
			continue
		}
		c := m.programs[i].checked
		if c.err != nil {
			fmt.Fprintf(t, "%s\t%s\t%d\t-\t-\tcannot be read: %v\n", p.File(), toolList(p), p.Passes(), c.err)
			continue
		}
		r := c.result.Report
		fmt.Fprintf(t, "%s\t%s\t%d\t%.1f\t%s\t%s\n", p.File(), toolList(p), p.Passes(), r.Minutes, worstLeft(r, m.job.Units), makeVerdict(m, p, r))
	}
	t.Flush()
	for _, f := range m.plan.FileThis {
		fmt.Fprintf(w, "file this%s: %s\n", m.plan.PlaceName(f.Place), fileThis(m.job, f))
	}
}

// makeVerdict is the check's, with what is left to the file.
func makeVerdict(m *made, p *toolpath.Program, r *replay.Report) string {
	if r.Clean() && p.Purpose == "facets" && len(m.plan.FileThis) > 0 {
		return "clean, then file"
	}
	return r.Verdict()
}

func toolList(p *toolpath.Program) string {
	var s []string
	seen := map[int]bool{}
	for _, o := range p.Ops {
		if !seen[o.Cutter.Number] {
			seen[o.Cutter.Number] = true
			s = append(s, fmt.Sprintf("T%d", o.Cutter.Number))
		}
	}
	return strings.Join(s, " ")
}

func printFindings(w io.Writer, m *made) {
	for i := range m.programs {
		c := m.programs[i].checked
		if c == nil || c.ok() {
			continue
		}
		file := m.plan.Programs[i].File()
		if c.err != nil {
			fmt.Fprintf(w, "cogmend: %v\n", c.err)
			continue
		}
		printReport(w, file, c.result.Report)
	}
}
