package cli

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

type copyOptions struct {
	file     string
	readings []string
	vernier  bool
	json     bool
}

func newCopy() *cobra.Command {
	o := copyOptions{}
	c := &cobra.Command{
		Use:   "copy JOB.toml [--read NAME=READING...]",
		Short: "Copy the flanks of a good tooth: which touches to take, and what they mean",
		Long: `For a job with gear.form = "copied": an odd, old or worn gear whose good teeth are
touched with the side of a still cutter, or of a ground pin in the spindle.

Before there are readings it says which touches to take with this index device and
these cutters: tooth, how the gear is set, how low the cutter's end goes, about where
it will touch, and how many it takes for the facets' tolerance. The job needs
outside_diameter and depth for that, and no slot, insert or bead yet. Until it is
touched the flank is a guess, a standard tooth of that outside diameter.

With --read it writes the lines for the job and says what they mean; so it does when
they stand in the job: the nearest involute (base pitch, thickness, and the module for
each common pressure angle), how far off it the flank is, the least and the most that
facets may leave between the readings, and which reading agrees least.

Nothing is cut. Lock the spindle; bring the cutter up by hand, over paper.

Exit code: 0, or 2 usage, a job file or readings that make no flank.`,
		Example: `  cogmend copy feed.toml
  cogmend copy feed.toml --read t01=-30.365 t02=-18.485 t03=18.485
  cogmend copy feed.toml --vernier                  heights for a gear-tooth vernier
  cogmend copy feed.toml --json`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			files, more, err := readingArgs(args, o.readings)
			switch {
			case err != nil:
				return err
			case len(files) == 0:
				return fmt.Errorf("copy: name the job file")
			case strings.Contains(files[len(files)-1], "="):
				return noRead(c, files[len(files)-1])
			case len(files) > 1:
				return fmt.Errorf("copy takes one job file, not %q too", files[1])
			}
			o.file, o.readings = files[0], append(o.readings, more...)
			return runCopy(o, c.OutOrStdout())
		},
	}
	c.Flags().StringArrayVar(&o.readings, "read", nil, "what was read at a touch of the plan, Y of the spindle, or with --vernier the chord, as NAME=READING; more may follow")
	c.Flags().BoolVar(&o.vernier, "vernier", false, "copy from a gear-tooth vernier's readings in place of touches: which heights to set")
	addJSON(c, &o.json)
	return c
}

func runCopy(o copyOptions, w io.Writer) error {
	j, err := job.ReadToTouch(o.file, "")
	if err != nil {
		return err
	}
	if !j.Copies() {
		return fmt.Errorf("copy: the teeth of this job are not copied: its gear.form is %q; give form = \"copied\", outside_diameter and depth, and take pressure_angle out", j.Gear.FormName())
	}
	d, err := design.Of(j)
	if err != nil {
		return fmt.Errorf("copy: %w", err)
	}
	if j.Gear.Copy != nil {
		if len(o.readings) > 0 {
			return fmt.Errorf("copy: the job has its readings; put more of them into it, or take them out for --read")
		}
		return o.means(d, nil, w)
	}
	got, err := o.got(j.Units)
	if err != nil {
		return err
	}
	p, err := toolpath.Touching(d)
	if o.vernier {
		return o.chords(d, p, got, w)
	}
	if err != nil {
		return fmt.Errorf("copy: %w", err)
	}
	if len(got) == 0 {
		if o.json {
			return printJSON(w, answer.TouchesData(p))
		}
		answer.Touches(w, p, d)
		return nil
	}
	lines, left := answer.TouchLines(p, j, got)
	if err := o.unknown(left, p.Touches[0].Name, p.Touches[len(p.Touches)-1].Name); err != nil {
		return err
	}
	return o.taken(lines, w)
}

// chords says which readings of a tooth vernier to take, or what those taken mean. p
// is the plan of touches, nil where none can be made: as many are wanted.
func (o *copyOptions) chords(d *design.Design, p *toolpath.TouchPlan, got map[string]float64, w io.Writer) error {
	n := 0
	if p != nil {
		n = p.Leans()
	}
	u, list := d.Job.Units, toolpath.Gauging(d, n)
	if len(got) > 0 {
		lines := []string{"[vernier]"}
		for i := range list {
			if chord, ok := got[list[i].Name]; ok {
				lines = append(lines, list[i].Line(chord, u))
				delete(got, list[i].Name)
			}
		}
		if err := o.unknown(got, list[0].Name, list[len(list)-1].Name); err != nil {
			return err
		}
		return o.taken(lines, w)
	}
	if o.json {
		return printJSON(w, answer.ChordsData(list))
	}
	answer.Chords(w, list, d)
	return nil
}

// unknown refuses readings that no plan has.
func (o *copyOptions) unknown(left map[string]float64, first, last string) error {
	for _, text := range o.readings {
		name, _, _ := strings.Cut(text, "=")
		if name = strings.TrimSpace(name); len(left) > 0 {
			if _, unknown := left[name]; unknown {
				return fmt.Errorf("--read %s: no reading of the plan is called that; it has %s to %s", name, first, last)
			}
		}
	}
	return nil
}

// got are the readings of the command line by name, mm.
func (o *copyOptions) got(u job.Units) (map[string]float64, error) {
	got := map[string]float64{}
	for _, text := range o.readings {
		name, value, ok := strings.Cut(text, "=")
		name = strings.TrimSpace(name)
		if !ok {
			return nil, fmt.Errorf("--read %q: it must be NAME=READING, such as t01=18.485", text)
		}
		if _, twice := got[name]; twice {
			return nil, fmt.Errorf("--read %s: it is there twice", name)
		}
		mm, err := job.ParseQuantity(job.Length, value, u)
		if err != nil {
			return nil, fmt.Errorf("--read %s: %w", name, err)
		}
		got[name] = mm
	}
	return got, nil
}

// taken reads the job with lines put after it, and says what they mean.
func (o *copyOptions) taken(lines []string, w io.Writer) error {
	j, err := job.ReadToTouch(o.file, "\n"+strings.Join(lines, "\n")+"\n")
	if err != nil {
		return inReadings(err)
	}
	d, err := design.Of(j)
	if err != nil {
		return fmt.Errorf("copy: %w", err)
	}
	return o.means(d, lines, w)
}

var readingKey = regexp.MustCompile(`^(?:touch|vernier)\.([^.]+)`)

// inReadings tells a mistake in lines put after the job's own by the reading.
func inReadings(err error) error {
	var all job.Errors
	if !errors.As(err, &all) {
		return err
	}
	for _, e := range all {
		if m := readingKey.FindStringSubmatch(e.Key); m != nil {
			e.File, e.Line, e.Key = "--read "+m[1], 0, ""
		} else if e.Key == "gear.form" {
			e.File, e.Line, e.Key = "--read", 0, ""
		}
	}
	return all
}

// means says what readings mean; lines are those for the job that hold them.
func (o *copyOptions) means(d *design.Design, lines []string, w io.Writer) error {
	j := d.Job
	flanks := d.Copied()
	if o.json {
		data := map[string]any{"flanks": answer.CopyData(flanks, &j.Gear), "tolerance_mm": d.Flanks.Limit}
		if lines != nil {
			data["job_toml"] = lines
		}
		return printJSON(w, data)
	}
	answer.Copy(w, flanks, &j.Gear, d.Flanks.Limit, j.Units)
	for i := range flanks {
		if inv := answer.InvoluteLines(&flanks[i], &j.Gear, j.Units); inv != nil {
			fmt.Fprintf(w, "\nAn involute of a standard size: the job may have that in place of the readings:\n  [gear]\n  %s\n", strings.Join(inv, "\n  "))
			break
		}
	}
	o.more(d, w)
	if lines != nil {
		fmt.Fprintf(w, "\nPut into the job:\n  %s\n", strings.Join(lines, "\n  "))
	}
	return nil
}

// more says which touches are wanting for the facets' tolerance.
func (o *copyOptions) more(d *design.Design, w io.Writer) {
	if d.Job.Gear.Copy.Chords {
		return
	}
	list, with, err := toolpath.TouchingMore(d)
	if err != nil || len(list) == 0 {
		return
	}
	fmt.Fprintf(w, "\nFor a bound within %s, whatever the flank is, touch also, with the side of %s:\n", d.Job.Units.Length(d.Flanks.Limit), with.Name)
	answer.TouchTable(w, list, d)
}
