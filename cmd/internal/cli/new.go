package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/outdir"
	"cogmend/toolpath/job"
)

func newNew() *cobra.Command {
	var o startFlags
	var replace bool
	c := &cobra.Command{
		Use:   "new FILE.toml",
		Short: "Write a commented job file to start from",
		Long: `Write a commented job file to start from: the gear of the flags, or one to be
filled in, with every further key and its default as a comment. It suggests
cutters, and says how thick the neck of the dovetail cutter must be to bear its
cuts. An existing file is not overwritten.`,
		Example: `  cogmend new press.toml
  cogmend new press.toml --teeth 54 --pitch 8 --angle 14.5 --proportions old-full-depth --face 32
  cogmend new feed.toml --form copied --teeth 30 --outside "128 mm" --depth 9     an odd or worn gear
  cogmend new cider.toml --by build-up --teeth 44 --module 4 --face 36     a tooth that has been brazed on`,
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

// startFlags are the flags that say what is known of the gear. But for inch
// each stands for a key of the job.
type startFlags struct {
	command *cobra.Command
	inch    bool
}

// startKeys are the keys of the flags: those of gearFlags by their names, and
// these.
var startKeys = []keyFlag{
	{"title", "title", "what is repaired"},
	{"shift", "gear.profile_shift", "profile shift in modules"},
	{"bore", "gear.bore", "diameter of the bore"},
	{"by", "repair.by", "how the tooth comes back: insert, or build-up where it has been brazed or welded on (default insert)"},
	{"form", "gear.form", "form of the flanks: involute, cycloidal, or copied from good teeth (default involute)"},
	{"set", "gear.set", "teeth of the least pinion of a cycloidal gear's set, 12 or 15"},
	{"outside", "gear.outside_diameter", "diameter over the tips of good teeth, of a copied or cycloidal gear"},
	{"depth", "gear.depth", "depth of the spaces between good teeth, of a copied or cycloidal gear"},
	{"tip-land", "gear.tip_land", "width of the flat tip of a good tooth, of a copied or cycloidal gear"},
	{"stub", "slot.stub", "height of what stands of the broken tooth, over the root circle"},
}

func addStartFlags(c *cobra.Command, o *startFlags) {
	o.command = c
	for _, f := range slices.Concat(startKeys, keyFlags) {
		if slices.Contains([]string{"title", "by", "form", "set", "outside", "depth", "tip-land", "teeth", "module", "pitch", "angle", "proportions", "thinning", "face", "bore", "shift", "stub", "missing"}, f.name) {
			c.Flags().String(f.name, "", strings.ReplaceAll(f.usage, "the job's, or ", ""))
		}
	}
	c.Flags().BoolVar(&o.inch, "inch", false, "write the job in inches, and take lengths without a unit in them")
}

// start turns the flags into what the starter takes.
func (o startFlags) start() (job.Start, error) {
	units := job.MM
	if o.inch {
		units = job.Inch
	}
	return job.StartOf(units, settingsOf(o.command, slices.Concat(startKeys, keyFlags)))
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
	if start.Form != nil && start.Form.Name == "copied" {
		fmt.Fprintf(stdout, "written: %s. Measure, fill in, then: cogmend copy %s\n", path, path)
		return nil
	}
	if start.Teeth == 0 || start.Module == 0 && start.DiametralPitch == 0 {
		fmt.Fprintln(stdout, "warning: the gear in it is an example; put in your own, or say --teeth and --pitch or --module")
	}
	fmt.Fprintf(stdout, "written: %s. Measure, fill in, then: cogmend make %s\n", path, path)
	return nil
}
