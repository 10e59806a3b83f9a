package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

func newNew() *cobra.Command {
	var o startFlags
	var replace bool
	c := &cobra.Command{
		Use:   "new FILE.toml",
		Short: "Write a commented job file to start from",
		Long: `Write a commented job file to start from: the gear of the flags, or one to be
filled in, with every further key and its default as a comment. An existing
file is not overwritten.`,
		Example: `  cogmend new press.toml
  cogmend new press.toml --teeth 54 --pitch 8 --angle 14.5 --proportions old-full-depth --face 32`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("new: name the file to write")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return runNew(args[0], o, replace, c.OutOrStdout())
		},
	}
	addStartFlags(c, &o)
	c.Flags().BoolVar(&replace, "replace", false, "overwrite the file")
	return c
}

// startFlags is what is known of the gear, in the units of the flags.
type startFlags struct {
	job.Start
	degrees float64
	inch    bool
	face    string
}

func addStartFlags(c *cobra.Command, o *startFlags) {
	f := c.Flags()
	f.StringVar(&o.Title, "title", "", "what is repaired")
	f.IntVar(&o.Teeth, "teeth", 0, "number of teeth, the missing ones counted")
	f.Float64Var(&o.Module, "module", 0, "module in mm")
	f.Float64Var(&o.DiametralPitch, "pitch", 0, "diametral pitch, per inch")
	f.Float64Var(&o.degrees, "angle", 0, "pressure angle in degrees (default 20)")
	f.StringVar(&o.Rack, "proportions", "", "one of "+strings.Join(profiles.RackNames(), ", "))
	f.StringVar(&o.face, "face", "", "face width, in the file's unit or with one, as \"32 mm\"")
	f.Float64Var(&o.Shift, "shift", 0, "profile shift in modules")
	f.IntVar(&o.Missing, "missing", 1, "teeth missing side by side")
	f.BoolVar(&o.inch, "inch", false, "write the job in inches")
}

// start turns the flags into what the starter takes.
func (o startFlags) start() (job.Start, error) {
	s := o.Start
	for _, f := range []struct {
		name  string
		value float64
	}{{"module", s.Module}, {"pitch", s.DiametralPitch}, {"angle", o.degrees}, {"shift", s.Shift}} {
		if math.IsNaN(f.value) || math.IsInf(f.value, 0) {
			return s, fmt.Errorf("--%s %g: a number is wanted", f.name, f.value)
		}
	}
	if s.Module != 0 && s.DiametralPitch != 0 {
		return s, fmt.Errorf("--module and --pitch say the same: give one")
	}
	s.Pressure = geom.Radians(o.degrees)
	if o.inch {
		s.Units = job.Inch
	}
	if o.face != "" {
		v, err := lengthFlag("face", o.face, s.Units)
		if err != nil {
			return s, err
		}
		s.Face = v
	}
	return s, nil
}

func runNew(path string, o startFlags, replace bool, stdout io.Writer) error {
	if err := outdir.IsFree(path, replace); err != nil {
		return err
	}
	start, err := o.start()
	if err != nil {
		return err
	}
	text, err := job.Starter(start)
	if err != nil {
		return err
	}
	if err := outdir.WriteFile(path, text); err != nil {
		return outdir.PlainError(err)
	}
	if o.Teeth == 0 || o.Module == 0 && o.DiametralPitch == 0 {
		fmt.Fprintln(stdout, "warning: the gear in it is an example; put in your own, or say --teeth and --pitch or --module")
	}
	fmt.Fprintf(stdout, "written: %s. Measure, fill in, then: cogmend make %s\n", path, path)
	return nil
}
