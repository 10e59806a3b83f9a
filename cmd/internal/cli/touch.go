package cli

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/profiles/geom"
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
	paper, err := lengthFlag("paper", o.paper, o.Units)
	if err != nil {
		return err
	}
	// Nothing is printed before all of it is known to be right.
	w := &bytes.Buffer{}
	data := map[string]any{"gear": answer.GearData(gap.Gear), "missing": gap.Missing, "paper_mm": paper}
	if !o.json {
		fmt.Fprintf(w, "%s; standing teeth thinned by %s\n", answer.Gear(gap.Gear), o.Units.Both(gap.Gear.Thinning))
	}
	if err := o.level(gap, w, data); err != nil {
		return err
	}
	wrong, err := o.sides(gap, paper, w, data)
	if err != nil {
		return err
	}
	if err := o.height(gap, paper, w, data); err != nil {
		return err
	}
	if o.json {
		if err := printJSON(w, data); err != nil {
			return err
		}
	}
	if _, err := w.WriteTo(stdout); err != nil {
		return err
	}
	if wrong {
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

// level answers the heights of both tips.
func (o *touchOptions) level(gap measure.Gap, w io.Writer, data map[string]any) error {
	left, right, ok, err := pair("tip-left", o.tipLeft, "tip-right", o.tipRight, o.Units)
	if !ok {
		return err
	}
	low := o.Gear.TipLow // what the tips have lost is put back on
	r, err := gap.Level(left+low[0], right+low[1])
	if err != nil {
		return fmt.Errorf("touch: %w", err)
	}
	turn := geom.Degrees(r.Turn)
	data["level"] = map[string]any{"turn_deg": turn, "uncertainty_deg": geom.Degrees(r.Residual), "flank_moves_mm": r.FlankCost,
		"axis_height_mm": r.Axis, "tips_level_height_mm": r.TipLevel}
	if o.json {
		return nil
	}
	fmt.Fprintf(w, "\nLevel: the left tip stands %s over the right.\n", o.Units.Difference(left-right))
	if low != [2]float64{} {
		fmt.Fprintf(w, "  taken for sound they would be %s and %s higher (as_cut.tips); the arbor is surer (--arbor)\n", o.Units.Both(low[0]), o.Units.Both(low[1]))
	}
	if math.Abs(r.Turn) <= r.Residual {
		fmt.Fprintf(w, "  level within what a touch can tell (%.3f degrees)\n", geom.Degrees(r.Residual))
		return nil
	}
	toward := "+Y (right)"
	if r.Turn < 0 {
		toward = "-Y (left)"
	}
	fmt.Fprintf(w, "  turn the gear by %.3f degrees, its top toward %s; sure to %.3f degrees\n", math.Abs(turn), toward, geom.Degrees(r.Residual))
	switch {
	case o.file == "":
	case o.Index.Device == job.Rotary:
		fmt.Fprintf(w, "  at the control: A %+.3f from where it stands, then set A to 0\n", turn*float64(o.Machine.RotarySign))
	case o.Index.Device == job.Head && o.Index.Graduation == 0:
		fmt.Fprintf(w, "  at the head: %.4f turns of the crank\n", math.Abs(turn)/360*float64(o.Index.Ratio))
	}
	fmt.Fprintf(w, "  left undone it would move the new flank by %s; both tips will stand at %s in your heights\n", o.Units.Both(r.FlankCost), o.Units.Both(r.TipLevel))
	return nil
}

// levelByArbor says how far the gear must be turned so that the middle of the
// gap stands over the middle of its arbor. Unlike the tips, the flanks at one
// height do not tell of a chipped or a worn corner.
func (o *touchOptions) levelByArbor(r measure.SideResult, w io.Writer, data map[string]any) error {
	if o.arbor == "" {
		return nil
	}
	arbor, err := lengthFlag("arbor", o.arbor, o.Units)
	if err != nil {
		return err
	}
	off := r.Centre - arbor
	if math.Abs(off) > r.Height/4 {
		return fmt.Errorf("--arbor %q: the middle of the gap is %s away from it, which no slip of the gear explains: both in the same zero?", o.arbor, o.Units.Both(math.Abs(off)))
	}
	turn := -math.Asin(off / r.Height)
	data["level_by_arbor"] = map[string]any{"turn_deg": geom.Degrees(turn), "off_mm": off}
	if o.json {
		return nil
	}
	toward := "+Y (right)"
	if turn < 0 {
		toward = "-Y (left)"
	}
	fmt.Fprintf(w, "\nLevel by the arbor: the gap's middle stands %s beside the arbor's.\n", o.Units.Difference(off))
	fmt.Fprintf(w, "  turn the gear by %.3f degrees, its top toward %s, touch both flanks again, then take Y0 at the arbor's middle\n", math.Abs(geom.Degrees(turn)), toward)
	return nil
}

// cutterDiameter takes a length, or a cutter's name in the job.
func (o *touchOptions) cutterDiameter() (float64, error) {
	if c := o.Cutter(o.cutter); c != nil {
		return c.Diameter, nil
	}
	d, err := lengthFlag("cutter", o.cutter, o.Units)
	if err != nil && len(o.Cutters) > 0 {
		return 0, fmt.Errorf("--cutter %q: no cutter of the job and no length", o.cutter)
	}
	return d, err
}

// sides answers the touches on both flanks; wrong says that the gap cannot be
// this gear's.
func (o *touchOptions) sides(gap measure.Gap, paper float64, w io.Writer, data map[string]any) (wrong bool, err error) {
	left, right, ok, err := pair("left", o.left, "right", o.right, o.Units)
	if !ok {
		return false, err
	}
	if o.cutter == "" || o.depth == "" {
		return false, fmt.Errorf("touch: --left and --right need --cutter and --depth too")
	}
	t := measure.SideTouch{Left: left, Right: right, Paper: paper}
	if t.Cutter, err = o.cutterDiameter(); err != nil {
		return false, err
	}
	if t.Depth, err = lengthFlag("depth", o.depth, o.Units); err != nil {
		return false, err
	}
	r, err := gap.Centre(t)
	if err != nil {
		return false, fmt.Errorf("touch: %w", err)
	}
	causes := []map[string]any{}
	for _, c := range r.Causes {
		causes = append(causes, map[string]any{"cause": c.Text, "amount_mm": c.Amount})
	}
	data["sides"] = map[string]any{"centre_y_mm": r.Centre, "type_at_right_touch_y_mm": r.TypeRight, "type_at_left_touch_y_mm": r.TypeLeft,
		"gap_mm": r.Gap, "expected_gap_mm": r.Expected, "difference_mm": r.Difference, "uncertainty_mm": r.Sigma, "agrees": r.Agrees, "wrong": r.Wrong,
		"corner_over_axis_mm": r.Height, "gap_per_mm_of_depth": r.PerDepth, "causes": causes, "notes": slices.Clone(r.Notes)}
	if err := o.levelByArbor(r, w, data); err != nil {
		return false, err
	}
	if o.json {
		return r.Wrong, nil
	}
	fmt.Fprintf(w, "\nY: the middle of the gap is at Y %s on the read-out.\n", o.Units.Both(r.Centre))
	fmt.Fprintf(w, "  cutter still at the right touch: type Y %s\n", o.Units.Both(r.TypeRight))
	fmt.Fprintf(w, "  cutter still at the left touch:  type Y %s\n", o.Units.Both(r.TypeLeft))
	fmt.Fprintf(w, "  the gap there is %s and should be %s: off by %s, sure to %s\n", o.Units.Both(r.Gap), o.Units.Both(r.Expected), o.Units.Difference(r.Difference), o.Units.Both(r.Sigma))
	switch {
	case r.Agrees:
		fmt.Fprintln(w, "  that agrees")
	case r.Wrong:
		fmt.Fprintln(w, "  DO NOT CUT: too much for wear or paper. It would be explained by, likeliest first:")
	default:
		fmt.Fprintln(w, "  that is more than a touch is uncertain. It would be explained by, likeliest first:")
	}
	for _, c := range r.Causes {
		fmt.Fprintf(w, "    %s: %s\n", c.Text, o.Units.Both(c.Amount))
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "  mind: %s\n", n)
	}
	return r.Wrong, nil
}

// height says what Z to type.
func (o *touchOptions) height(gap measure.Gap, paper float64, w io.Writer, data map[string]any) error {
	h, err := gap.Height(paper)
	if err != nil {
		return fmt.Errorf("touch: %w", err)
	}
	data["z"] = map[string]any{"type_for_zero_at_tips_mm": h.TipsZero, "type_for_zero_at_axis_mm": h.AxisZero, "type_for_zero_at_finished_tip_mm": h.FinishZero}
	if o.json {
		return nil
	}
	fmt.Fprintf(w, "\nZ: the cutter's end on a level neighbour's tip, over paper of %s:\n", o.Units.Both(paper))
	for _, z := range []struct {
		zero  job.ZeroHeight
		where string
		mm    float64
	}{
		{job.ZeroNeighbours, "the tips beside the gap", h.TipsZero},
		{job.ZeroAxis, "the gear axis", h.AxisZero},
		{job.ZeroTip, "the finished tip over the repair", h.FinishZero},
	} {
		if o.file != "" && z.zero != o.Gear.Zero {
			continue
		}
		fmt.Fprintf(w, "  with Z0 at %s: type Z %s\n", z.where, o.Units.Both(z.mm))
	}
	return nil
}
