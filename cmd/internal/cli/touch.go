package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

type touchOptions struct {
	gearFlags
	left, right       string
	tipLeft, tipRight string
	arbor             string
	cutter, paper     string
	depth             string
}

func newTouch() *cobra.Command {
	o := touchOptions{}
	c := &cobra.Command{
		Use:   "touch [JOB.toml]",
		Short: "From touches on both neighbours: centre, level, and what to type at the control",
		Long: `With the gap on top, touch off and let the read-out's numbers tell:

  level  --tip-left and --tip-right: the heights at which the end of the same
         cutter touches the tips of both neighbours, in any datum. The answer is
         the turn that levels the gear. Do this first.
  Y      --left and --right: Y of the spindle when the side of the cutter is
         brought against the left (-Y) and the right (+Y) neighbour over paper, its
         end --depth below their tips. The answer is the centre of the gap, the Y
         to type, and whether the gap is as wide as it should be.
  Z      always: the Z to type while the cutter's end rests on a neighbour's tip
         over paper.

Left is -Y and right is +Y, seen along the gear's axis from +X. Lengths are in
the job's unit (mm without a job), or have one.

Exit code: 0 all agrees, 1 the gap is wrong: do not cut, 2 usage or job file.`,
		Example: `  cogmend touch press.toml --left -4.42 --right 4.47 --cutter end6 --paper 0.09 --depth 3
  cogmend touch demo --tip-left 88.12 --tip-right 88.05
  cogmend touch --teeth 54 --pitch 8 --angle 14.5 --left "-0.165 in" --right "0.167 in" \
      --cutter "0.250 in" --depth "0.120 in" --paper "0.0035 in"`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.jobArg(c, args); err != nil {
				return err
			}
			return runTouch(o, c.OutOrStdout())
		},
	}
	addGearFlags(c, &o.gearFlags, "missing", "thinning", "neighbour-thinning")
	f := c.Flags()
	f.StringVar(&o.left, "left", "", "Y of the spindle at the left neighbour")
	f.StringVar(&o.right, "right", "", "Y of the spindle at the right neighbour")
	f.StringVar(&o.cutter, "cutter", "", "diameter of the cutter, or its name in the job")
	f.StringVar(&o.depth, "depth", "", "cutter's end below the neighbours' tips")
	f.StringVar(&o.paper, "paper", "0", "thickness of the paper; 0: none")
	f.StringVar(&o.arbor, "arbor", "", "Y of the middle of the gear's arbor, found by touching both its sides: with --left and --right it levels the gear without its tips")
	f.StringVar(&o.tipLeft, "tip-left", "", "height at the left neighbour's tip")
	f.StringVar(&o.tipRight, "tip-right", "", "height at the right neighbour's tip")
	return c
}

func runTouch(o touchOptions, stdout io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	gap, ok := o.Gear.Gap()
	if !ok {
		return fmt.Errorf("the run of missing teeth at A0 is not centred there: touch serves runs in the middle only")
	}
	t := answer.Touch{Job: o.Job, File: o.file != "", Gap: gap}
	var err error
	if t.Paper, err = lengthFlag("paper", o.paper, o.Units); err != nil {
		return err
	}
	if err := o.tips(&t); err != nil {
		return err
	}
	if err := o.sides(&t); err != nil {
		return err
	}
	if t.Height, err = gap.Height(t.Paper); err != nil {
		return fmt.Errorf("touch: %w", err)
	}
	if !o.json {
		t.Print(stdout)
	} else if err := printJSON(stdout, t.Data()); err != nil {
		return err
	}
	if t.Sides != nil && t.Sides.Wrong {
		return errFound
	}
	return nil
}

// pair reads two flags that only go together.
func pair(first, a, second, b string, units job.Units) (x, y float64, ok bool, err error) {
	if a == "" && b == "" {
		return 0, 0, false, nil
	}
	if a == "" || b == "" {
		return 0, 0, false, fmt.Errorf("--%s and --%s go together", first, second)
	}
	if x, err = lengthFlag(first, a, units); err != nil {
		return 0, 0, false, err
	}
	y, err = lengthFlag(second, b, units)
	return x, y, err == nil, err
}

// tips answers the heights of both tips.
func (o *touchOptions) tips(t *answer.Touch) error {
	left, right, ok, err := pair("tip-left", o.tipLeft, "tip-right", o.tipRight, o.Units)
	if !ok {
		return err
	}
	low := o.Gear.TipLow // what the tips have lost is put back on
	r, err := t.Gap.Level(left+low[0], right+low[1])
	if err != nil {
		return fmt.Errorf("touch: %w", err)
	}
	t.Tips, t.Level = [2]float64{left, right}, &r
	return nil
}

// cutterDiameter takes a length, or a cutter's name in the job.
func (o *touchOptions) cutterDiameter() (float64, error) {
	if c := o.Cutter(o.cutter); c != nil {
		return c.Diameter, nil
	}
	d, err := lengthFlag("cutter", o.cutter, o.Units)
	if err != nil && len(o.Cutters) > 0 {
		var names []string
		for _, c := range o.Cutters {
			names = append(names, c.Name)
		}
		return 0, fmt.Errorf("--cutter %q: no cutter of the job, which has %s, and no length either: %s", o.cutter, strings.Join(names, ", "), strings.TrimPrefix(err.Error(), "--cutter: "))
	}
	return d, err
}

// sides answers the touches on both flanks.
func (o *touchOptions) sides(t *answer.Touch) error {
	left, right, ok, err := pair("left", o.left, "right", o.right, o.Units)
	if !ok {
		return err
	}
	if o.cutter == "" || o.depth == "" {
		return fmt.Errorf("touch: --left and --right need --cutter and --depth too")
	}
	touched := measure.SideTouch{Left: left, Right: right, Paper: t.Paper}
	if touched.Cutter, err = o.cutterDiameter(); err != nil {
		return err
	}
	if touched.Depth, err = lengthFlag("depth", o.depth, o.Units); err != nil {
		return err
	}
	r, err := t.Gap.Centre(touched)
	if err != nil {
		return fmt.Errorf("touch: %w", err)
	}
	t.Sides = &r
	if o.arbor == "" {
		return nil
	}
	arbor, err := lengthFlag("arbor", o.arbor, o.Units)
	if err != nil {
		return err
	}
	level, ok := r.LevelOver(arbor)
	if !ok {
		return fmt.Errorf("--arbor %q: the middle of the gap is %s away from it, which no slip of the gear explains: both in the same zero?", o.arbor, o.Units.Both(math.Abs(level.Off)))
	}
	t.Arbor = &level
	return nil
}
