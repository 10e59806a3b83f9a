package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
	"cogmend/preview"
	"cogmend/preview/figure"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
)

type expectOptions struct {
	file    string
	out     string
	replace bool
}

func newExpect() *cobra.Command {
	o := expectOptions{}
	c := &cobra.Command{
		Use:   "expect [JOB.toml]",
		Short: "How good the tooth will be, and which number decides it",
		Long: `Work out beforehand how far the flanks of the new tooth may lie from true ones,
how thick it will be, where it will stand and how it will run with the [mate], 95
of 100 times: from the facets, the spring of the cutters, and within what each
number that hands set or measure is known ([uncertainty] in the job, else common
practice). The numbers are combined by JCGM 100:2008, the transmission error by
draws (JCGM 101:2008). It says which of them decides, which measurement would help
most, and from how many facets on more would not show. An estimate.`,
		Example: `  cogmend expect press.toml
  cogmend expect press.toml --out expect.png   a picture of the shares and of the likely flanks`,
		Args: atMost(1, "one job file"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.file = args[0]
			}
			return runExpect(o, c.OutOrStdout())
		},
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "write a picture (PNG) of the shares and of the band of likely flanks")
	f.BoolVar(&o.replace, "replace", false, "overwrite the file of --out")
	return c
}

func runExpect(o expectOptions, w io.Writer) error {
	j, err := readJob(orDemo(o.file))
	if err != nil {
		return err
	}
	d, err := design.Of(j)
	if err != nil {
		return err
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		return err
	}
	e, err := plan.Expect()
	if err != nil {
		return err
	}
	if o.out != "" {
		f, err := preview.ExpectFigure(plan, &e)
		if err != nil {
			return err
		}
		if err := writePicture(f, o.out, o.replace); err != nil {
			return err
		}
	}
	sums, parts := repair.ExpectLines(plan, &e)
	fmt.Fprintln(w, "what to expect of each new tooth, 95 of 100 times (an estimate)")
	for _, l := range sums {
		fmt.Fprintf(w, "  %s\n", l)
	}
	fmt.Fprintln(w, "what that is made of, on one flank")
	for _, l := range parts {
		fmt.Fprintf(w, "  %s\n", l)
	}
	if o.out != "" {
		fmt.Fprintf(w, "written: %s\n", o.out)
	}
	return nil
}

// writePicture draws a figure and writes it as a PNG.
func writePicture(f *figure.Figure, path string, replace bool) error {
	if ext := filepath.Ext(path); ext != "" && !strings.EqualFold(ext, ".png") {
		return fmt.Errorf("--out %s: the picture is a PNG: name it %s", path, strings.TrimSuffix(path, ext)+".png")
	}
	if err := outdir.IsFree(path, replace); err != nil {
		return err
	}
	drawing, err := f.Draw(1)
	if err != nil {
		return err
	}
	data, err := drawing.PNG()
	if err != nil {
		return err
	}
	if err := outdir.WriteFile(path, data); err != nil {
		return outdir.PlainError(err)
	}
	return nil
}
