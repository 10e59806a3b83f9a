package cli

import (
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/preview"
	"cogmend/profiles/estimate"
	"cogmend/toolpath/design"
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
		err = printJSON(w, answer.MeshData(m, rolled, ideal))
	} else {
		answer.Mesh(w, o.Units, m, rolled, ideal)
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
