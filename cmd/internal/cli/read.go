package cli

import (
	"bufio"
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/gcode/machine"
	"cogmend/toolpath/job"
)

// Rates for programs of unknown machines, stated in the output.
const (
	readRapid = 3000 // mm/min
	readTurn  = 20   // degrees a second
)

func newRead() *cobra.Command {
	return &cobra.Command{
		Use:   "read PROGRAM",
		Short: "Read any RS-274 program strictly, without a job",
		Long: `Read a program by the published standard (NISTIR 6556) and print what it does:
motions, extents, minutes, tools. The first thing the standard does not allow,
or that is not read here, is an error with its line, and the exit code is 1.`,
		Example: `  cogmend read 40-facets.nc`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("read: name one program")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return runRead(args[0], c.OutOrStdout(), c.ErrOrStderr())
		},
	}
}

func runRead(path string, stdout, stderr io.Writer) error {
	f, err := outdir.OpenPlain(path)
	if err != nil {
		return err
	}
	defer f.Close()
	s, err := machine.Summarise(bufio.NewReaderSize(f, 1<<16), path, readRapid, readTurn)
	if err != nil {
		fmt.Fprintf(stderr, "cogmend: %v\n", err)
		return errFound
	}
	unit := "mm"
	if s.Inch {
		unit = "inch, shown in mm"
	}
	fmt.Fprintf(stdout, "%s: %s, %s (%d rapid, %d feed), %s, units %s\n", path, job.Counted(s.Lines, "line"), job.Counted(s.Motions, "motion"), s.Rapids, s.Feeds, job.Counted(s.Stops, "stop"), unit)
	for _, a := range []struct {
		name     string
		min, max float64
		unit     string
	}{{"X", s.Min.X, s.Max.X, "mm"}, {"Y", s.Min.Y, s.Max.Y, "mm"}, {"Z", s.Min.Z, s.Max.Z, "mm"}, {"A", s.Min.A, s.Max.A, "deg"}} {
		if !math.IsNaN(a.min) {
			fmt.Fprintf(stdout, "%s %.4f to %.4f %s\n", a.name, a.min, a.max, a.unit)
		}
	}
	fmt.Fprintf(stdout, "tools %v; %.1f mm at feed; %.2f minutes with rapids of %d mm/min, stops and tool changes not counted\n", s.Tools, s.Cut, s.Minutes, readRapid)
	return nil
}
