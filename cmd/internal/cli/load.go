package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cogmend/profiles/estimate"
	"cogmend/toolpath/design"
)

type loadOptions struct {
	gearFlags
	wall           string
	tensile, yield float64
}

func newLoad() *cobra.Command {
	o := loadOptions{}
	c := &cobra.Command{
		Use:   "load [JOB.toml]",
		Short: "Estimate whether tooth, dovetail and casting carry the load",
		Long: `From the torque on the gear, or power and speed, estimate the stresses in the new
tooth, its neighbours, the dovetail, the casting round it together with what the
tight middle puts into it, the screws and the adhesive. Each is set against an allowable with its source, and every
assumption is listed. One tooth carries all of the load at its tip.

It is an estimate from handbook formulas and our own rules, not a rating.
Never for lifting gear, vehicles, or anything a life hangs on. Never with a crack
in web, hub or rim, or in the root beside the gap.

Exit code: 0 the estimate allows the repair, 1 it does not, 2 usage or job file.`,
		Example: `  cogmend load press.toml                           the job's own [load]
  cogmend load press.toml --torque "60 N m" --speed 40
  cogmend load press.toml --power "0.5 hp" --speed 40 --service 1.75
  cogmend load press.toml --torque "44 lbf ft" --tensile 207    casting known to be class 30
  cogmend load --teeth 54 --pitch 8 --angle 14.5 --face 32 --mouth 5 --slot-depth 6.25 \
      --body 8.4 --rim-inner 138 --power "0.25 kW" --speed 40`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.jobArg(c, args); err != nil {
				return err
			}
			return runLoad(o, c.OutOrStdout())
		},
	}
	addGearFlags(c, &o.gearFlags, "thinning", "neighbour-thinning", "face", "rim-inner", "mouth", "slot-depth", "included", "body", "torque", "power", "speed", "service")
	f := c.Flags()
	f.StringVar(&o.wall, "wall", "", "metal beside the slot to the next void (default: worked out)")
	f.Float64Var(&o.tensile, "tensile", 0, "tensile strength of the casting in MPa, when known (default: the weakest class)")
	f.Float64Var(&o.yield, "yield", 0, "yield strength of the insert in MPa, when known (default: the weakest steel)")
	return c
}

// loadReport is the load estimate for make's report: its lines, its data, and
// whether the estimate allows the repair. A job without a load has no lines
// and is allowed.
func loadReport(d *design.Design) (lines []string, data map[string]any, ok bool) {
	if d.Job.Load == nil {
		return nil, nil, true
	}
	r, err := d.Loaded()
	if err != nil {
		text := fmt.Sprintf("load: no estimate: %v", err)
		return []string{text}, map[string]any{"verdict": "no estimate", "error": err.Error()}, false
	}
	return loadLines(r), loadData(r), carried(r)
}

// carried says whether nothing that decides is beyond its allowable.
func carried(r estimate.LoadResult) bool {
	for _, i := range r.Items {
		if i.Decides && i.Use > 1 {
			return false
		}
	}
	return true
}

func runLoad(o loadOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	if err := o.need("face", "mouth", "slot-depth", "body"); err != nil {
		return err
	}
	if o.Load == nil {
		return fmt.Errorf("load: give --torque, or --power with --speed, or a job file with a [load] table")
	}
	d, err := design.Of(o.Job)
	if err != nil {
		return fmt.Errorf("load: %w", err)
	}
	c, err := d.LoadCase()
	if err != nil {
		return fmt.Errorf("load: %w", err)
	}
	c.CastingTensile, c.InsertYield = o.tensile, o.yield
	if o.wall != "" {
		if c.Wall, err = lengthFlag("wall", o.wall, o.Units); err != nil {
			return err
		}
	}
	r, err := c.Load()
	if err != nil {
		return fmt.Errorf("load: %w", err)
	}
	if o.json {
		err = printJSON(w, loadData(r))
	} else {
		for _, l := range loadLines(r) {
			fmt.Fprintln(w, l)
		}
	}
	if err == nil && !carried(r) {
		return errFound
	}
	return err
}

// join puts two remarks together.
func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

// amount writes a value of the estimate in its unit, and in inch units too.
func amount(v float64, unit string) string {
	switch unit {
	case "MPa":
		return fmt.Sprintf("%.1f MPa (%.0f psi)", v, v*145.0377)
	case "mm":
		return both(v)
	}
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", v, unit))
}

// loadLines is the estimate in words.
func loadLines(r estimate.LoadResult) []string {
	var b strings.Builder
	fmt.Fprintf(&b, "Load: %s. An estimate, not a rating.\n", r.Verdict)
	const newtonPound = 4.4482216152605
	fmt.Fprintf(&b, "  torque %.3g N m, force on the pitch circle %.0f N (%.0f lbf); with service and velocity factors %.0f N (%.0f lbf)\n",
		r.Torque, r.Tangential, r.Tangential/newtonPound, r.Design, r.Design/newtonPound)
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  what\testimate\tallowable\tused\t")
	for _, i := range r.Items {
		bound := "at most "
		if i.AtLeast {
			bound = "at least "
		}
		use := fmt.Sprintf("%.0f %%", 100*i.Use)
		if i.AtLeast {
			use = map[bool]string{true: "there", false: "NOT there"}[i.Use <= 1]
		}
		mark := i.Where
		switch {
		case !i.Decides:
			mark = join(mark, "shown only: the joint does not rest on it")
		case i.Key == r.Worst:
			mark = join(mark, "used most")
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\n", i.What, amount(i.Value, i.Unit), bound+amount(i.Allowable, i.Unit), use, mark)
	}
	t.Flush()
	list(&b, "Allowables are from:", sources(r.Items))
	list(&b, "Assumed:", assumptionLines(r.Assumptions))
	list(&b, "Warnings:", r.Warnings)
	list(&b, "Whatever the numbers say:", r.NotFor)
	lines := strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return lines
}

func sources(items []estimate.LoadItem) []string {
	var out []string
	for _, i := range items {
		out = append(out, i.What+": "+i.Source)
	}
	return out
}

func loadData(r estimate.LoadResult) map[string]any {
	items := []map[string]any{}
	for _, i := range r.Items {
		items = append(items, map[string]any{"key": i.Key, "what": i.What, "value": number(i.Value), "unit": i.Unit, "allowable": i.Allowable,
			"at_least": i.AtLeast, "source": i.Source, "where": i.Where, "use": number(i.Use), "decides": i.Decides})
	}
	return map[string]any{
		"verdict": r.Verdict, "allowed": carried(r), "estimate_not_a_rating": true, "worst": r.Worst, "use": r.Use,
		"torque_nm": r.Torque, "tangential_n": r.Tangential, "design_n": r.Design, "pitch_speed_m_per_s": r.PitchSpeed, "velocity_factor": r.VelocityShare,
		"stress": caseData(r.Cases), "form_factor": r.Y, "neighbour_form_factor": r.YNeighbours, "rim_factor": r.Rim, "backup_ratio": r.BackupRatio, "pull_n": r.Pull,
		"items": items, "assumptions": assumptionData(r.Assumptions), "warnings": append([]string{}, r.Warnings...), "not_for": append([]string{}, r.NotFor...),
	}
}
