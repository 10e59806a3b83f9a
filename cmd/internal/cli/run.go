// Package cli holds cogmend's commands: what they read and write, what they
// print, and their exit codes. It is the only importer of cobra.
//
// Rules for all text a user sees: facts on stdout, trouble on stderr; errors
// begin with "cogmend:", no capital, no full stop, one line each; a hint goes
// on a line of its own. Lengths have their unit.
package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"cogmend/cmd/internal/answer"
	"cogmend/cmd/internal/outdir"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
)

// Exit codes.
const (
	exitOK    = 0
	exitFound = 1 // the check or the plan found something wrong
	exitUsage = 2 // the command line or the job file is wrong
)

// found is an error that ends with exitFound; its text has been printed.
type found struct{ error }

// errFound is returned when everything has been said already.
var errFound = found{errors.New("found")}

// Run runs one command line and returns the exit code.
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	stdout, stderr = plainly{stdout}, plainly{stderr}
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	switch {
	case err == nil:
		return exitOK
	case errors.As(err, &found{}):
		return exitFound
	}
	var refused *toolpath.Refusal
	if errors.As(err, &refused) {
		for _, r := range refused.Reasons {
			fmt.Fprintf(stderr, "cogmend: not possible as the job stands: %s\n", r)
		}
		return exitFound
	}
	var bad job.Errors
	if errors.As(err, &bad) {
		for _, e := range bad {
			if strings.HasPrefix(e.File, "--") { // a flag, not a place in a file
				fmt.Fprint(stderr, "cogmend: ")
			}
			fmt.Fprintln(stderr, e)
		}
		return exitUsage
	}
	fmt.Fprintf(stderr, "cogmend: %s\n", outdir.Printable(err.Error()))
	return exitUsage
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "cogmend",
		Short: "Let a new tooth into a broken gear: programs, pictures, a check and a sheet from one job file",
		Long: `cogmend plans the letting-in of a new tooth into a broken cast-iron gear, or the
cutting of one that has been built up by brazing or welding, and writes checked
RS-274 programs for a small mill.

A repair goes like this:
  cogmend identify --teeth 54 --outside "7.0 in"   what gear is it?
  cogmend new press.toml                           start a job file
  cogmend load press.toml                          is the repair wise?
  cogmend touch press.toml                         where is the middle of the gap?
  cogmend make press.toml                          programs, pictures, report, sheet
  cogmend check press.toml                         again, after an edit by hand
  cogmend gauge press.toml                         what to measure, and within what

Cutters and broken castings hurt people. Local codes and licensed practice
come first. Not for lifting gear or anything a life hangs on.`,
		// Two slips of the finger still find the command.
		SuggestionsMinimumDistance: 2,

		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(c, args[0])
			}
			return c.Help()
		},
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		if c == root {
			return fmt.Errorf("%s; see 'cogmend --help'", answer.FlagMistake(err.Error(), c.Flags().FlagUsages()))
		}
		return fmt.Errorf("%s: %s; see 'cogmend %s --help'", c.Name(), answer.FlagMistake(err.Error(), c.Flags().FlagUsages()), c.Name())
	})
	root.AddCommand(newMake(), newCheck(), newRead(), newFrames(), newNew(), newHelpJob(root), newIdentify(), newCopy(), newTouch(), newGauge(), newFit(), newLoad(), newMesh(), newExpect())
	return root
}

// unknownCommand names the nearest commands.
func unknownCommand(c *cobra.Command, name string) error {
	near := c.SuggestionsFor(name)
	if len(near) > 0 {
		return fmt.Errorf("no command %q; did you mean %q?", name, near[0])
	}
	return fmt.Errorf("no command %q; 'cogmend --help' lists them", name)
}
