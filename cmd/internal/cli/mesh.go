package cli

import (
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"cogmend/preview"
	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

type meshOptions struct {
	gearFlags
	out     string
	replace bool
}

func newMesh() *cobra.Command {
	o := meshOptions{}
	c := &cobra.Command{
		Use:   "mesh [JOB.toml]",
		Short: "Roll the faceted tooth against its mate: play, interference, transmission error",
		Long: `Roll the new tooth, with the facets it will have, through the whole engagement with
its mate: least backlash along the line of action, whether the teeth interfere
and where, the transmission error beside that of a true tooth, the contact ratio,
and the grades of ISO 1328-1:1995 and :2013, which differ, that the profile's
error corresponds to. Both gears are taken as stiff, on true centres.

Exit code: 0 no interference, 1 the teeth interfere, 2 usage or job file.`,
		Example: `  cogmend mesh press.toml                            the job's own [mate]
  cogmend mesh press.toml --mate 18 --centre 114.35 --out mesh.png
  cogmend mesh press.toml --facets 2                 would two facets a flank do?
  cogmend mesh --teeth 54 --pitch 8 --angle 14.5 --facets 3 --mate 18 --centre "4.505 in"`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.jobArg(c, args); err != nil {
				return err
			}
			return runMesh(o, c.OutOrStdout())
		},
	}
	addGearFlags(c, &o.gearFlags, "thinning", "neighbour-thinning", "facets", "tolerance", "mate", "mate-shift", "centre", "mate-thinning")
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "write a picture (PNG) of the error and of the tightest moment")
	f.BoolVar(&o.replace, "replace", false, "overwrite the file of --out")
	return c
}

func runMesh(o meshOptions, w io.Writer) error {
	if err := o.read(); err != nil {
		return err
	}
	if o.Mate == nil {
		return fmt.Errorf("mesh: give --mate, the number of the mate's teeth, or a job file with a [mate] table")
	}
	d, err := design.Of(o.Job)
	if err != nil {
		return fmt.Errorf("mesh: %w", err)
	}
	m, err := d.Mesh()
	if err != nil {
		return fmt.Errorf("mesh: %w", err)
	}
	rolled, err := m.Roll()
	if err != nil {
		return fmt.Errorf("mesh: %w", err)
	}
	perfect := m
	if perfect.Right, err = m.Tooth.RightFlank(); err != nil {
		return fmt.Errorf("mesh: %w", err)
	}
	perfect.Left = nil
	ideal, err := perfect.Roll()
	if err != nil {
		return fmt.Errorf("mesh: %w", err)
	}
	if o.out != "" {
		if err := o.picture(m, rolled, ideal); err != nil {
			return err
		}
	}
	if o.json {
		err = printJSON(w, meshData(m, rolled, ideal))
	} else {
		printMesh(w, o.Units, m, rolled, ideal)
		if o.out != "" {
			fmt.Fprintf(w, "written: %s\n", o.out)
		}
	}
	if err == nil && rolled.Interferes {
		return errFound
	}
	return err
}

// picture writes the PNG.
func (o *meshOptions) picture(m estimate.Mesh, rolled, ideal estimate.MeshResult) error {
	s := preview.MeshScene{Title: o.Heading(), Fingerprint: o.Fingerprint, Units: o.Units, Mesh: m, Rolled: rolled, Ideal: ideal}
	for _, at := range o.Gear.Places[1:] {
		s.Others = append(s.Others, int(math.Round(at-o.Gear.Places[0])))
	}
	figure, err := preview.MeshFigure(s)
	if err != nil {
		return err
	}
	return writePicture(figure, o.out, o.replace)
}

func printMesh(w io.Writer, units job.Units, m estimate.Mesh, r, ideal estimate.MeshResult) {
	switch {
	case r.Interferes:
		fmt.Fprintln(w, "THE TEETH INTERFERE.")
	default:
		fmt.Fprintln(w, "No interference.")
	}
	fmt.Fprintf(w, "  %s, with a mate of %d teeth at %s\n", gearLine(m.Tooth), m.Mate.Teeth, inBoth(m.Centre, units))
	line := func(what, text string) { fmt.Fprintf(w, "  %-34s %s\n", what, text) }
	um := func(v float64) string { return fmt.Sprintf("%.1f um (%.2f thou)", v, v/25.4) }
	line("least play on the line of action", fmt.Sprintf("%s, gear at %.2f degrees; standing teeth %s", inBoth(r.Backlash, units), geom.Degrees(r.Tightest.Angle), inBoth(r.IdealBacklash, units)))
	line("transmission error, peak to peak", fmt.Sprintf("%s; with a true tooth %s", um(r.ErrorPeak), um(ideal.ErrorPeak)))
	line("profile error on the path of contact", fmt.Sprintf("%s: %v; %v", um(r.Deviation), r.Grades[0], r.Grades[1]))
	line("contact ratio of sound teeth", fmt.Sprintf("%.2f, at a working angle of %.2f degrees", r.ContactRatio, geom.Degrees(r.WorkingAngle)))
	line("tip to root, gear and mate", inBoth(r.GearTipGap, units)+", "+inBoth(r.MateTipGap, units))
	for _, n := range r.Notes {
		fmt.Fprintf(w, "Warning: %s\n", n)
	}
	list(w, "Assumed:", assumptionLines(r.Assumptions))
}

func meshData(m estimate.Mesh, r, ideal estimate.MeshResult) map[string]any {
	samples := []map[string]any{}
	for i, s := range r.Samples {
		samples = append(samples, map[string]any{"gear_deg": geom.Degrees(s.Angle), "error_um": number(s.Error), "true_tooth_error_um": number(ideal.Samples[i].Error),
			"new_tooth_carries": s.New, "radius_mm": s.Radius, "backlash_mm": number(s.Backlash)})
	}
	return map[string]any{
		"gear": gearData(m.Tooth), "mate": gearData(m.Mate), "centre_mm": m.Centre, "interferes": r.Interferes,
		"backlash_mm": number(r.Backlash), "standing_backlash_mm": r.IdealBacklash, "tightest_gear_deg": geom.Degrees(r.Tightest.Angle), "tightest_radius_mm": r.Tightest.Radius,
		"error_peak_to_peak_um": number(r.ErrorPeak), "true_tooth_error_peak_to_peak_um": number(ideal.ErrorPeak), "profile_deviation_um": r.Deviation,
		"iso_1328_grade": gradeData(r.Grades[0]), "iso_1328_1_1995_grade": gradeData(r.Grades[0]), "iso_1328_1_2013_grade": gradeData(r.Grades[1]),
		"contact_ratio": r.ContactRatio, "working_angle_deg": geom.Degrees(r.WorkingAngle),
		"gear_tip_gap_mm": r.GearTipGap, "mate_tip_gap_mm": r.MateTipGap, "tip_interferes": r.TipInterferes,
		"notes": append([]string{}, r.Notes...), "assumptions": assumptionData(r.Assumptions), "samples": samples,
	}
}

// gradeData is a grade in JSON, null when the standard has none.
func gradeData(g profiles.Graded) any {
	if !g.OK {
		return nil
	}
	return g.Grade
}
