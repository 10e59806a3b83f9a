package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
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
		Short: "Estimate whether the tooth, its dovetail or bond, and the casting carry the load",
		Long: `From the torque on the gear, or power and speed, estimate the stresses in the new
tooth, its neighbours, the dovetail, the casting round it together with what the
tight middle puts into it, the screws and the adhesive. Each is set against an allowable with its source, and every
assumption is listed. One tooth carries all of the load at its tip. Of a tooth that is
built up (repair.by = "build-up"): the tooth, the bond by its area, and the iron under it.

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
	f.Float64Var(&o.yield, "yield", 0, "strength of the new tooth's metal in MPa, when known: the insert's or weld's yield, bronze's tensile (default: the weakest)")
	return c
}

func runLoad(o loadOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	builtUp := o.Job.BuiltUp()
	if !builtUp {
		if err := o.need("face", "mouth", "slot-depth", "body"); err != nil {
			return err
		}
	}
	if o.Load == nil {
		return fmt.Errorf("load: give --torque, or --power with --speed, or a job file with a [load] table")
	}
	d, err := design.Of(o.Job)
	if err != nil {
		return fmt.Errorf("load: %w", err)
	}
	load := o.letIn
	if builtUp {
		load = o.builtUp
	}
	r, err := load(d)
	if err != nil {
		return fmt.Errorf("load: %w", err)
	}
	if o.json {
		err = printJSON(w, answer.LoadData(r))
	} else {
		answer.Load(w, d.Job.Units, r)
	}
	if err == nil && !r.Carried() {
		return errFound
	}
	return err
}

// letIn is the estimate of an insert, with what the flags say of it.
func (o loadOptions) letIn(d *design.Design) (r estimate.LoadResult, err error) {
	c, err := d.LoadCase()
	if err != nil {
		return r, err
	}
	c.CastingTensile, c.InsertYield = o.tensile, o.yield
	if o.wall != "" {
		if c.Wall, err = lengthFlag("wall", o.wall, o.Units); err != nil {
			return r, err
		}
	}
	return c.Load()
}

// builtUp is the estimate of a built-up tooth, with what the flags say of it.
func (o loadOptions) builtUp(d *design.Design) (r estimate.LoadResult, err error) {
	if o.wall != "" {
		return r, fmt.Errorf("--wall %s: a tooth that is built up has no slot, so nothing beside it", o.wall)
	}
	c := d.BondCase()
	c.CastingTensile = o.tensile
	if o.yield != 0 {
		c.Strength = o.yield
	}
	return c.Load()
}
