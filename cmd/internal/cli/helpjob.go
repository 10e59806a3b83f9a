package cli

import (
	"github.com/spf13/cobra"

	"cogmend/toolpath/job"
)

// newHelpJob replaces cobra's help command by one that also knows the job
// file.
func newHelpJob(root *cobra.Command) *cobra.Command {
	help := &cobra.Command{
		Use:   "help [COMMAND | job]",
		Short: "Explain a command, or every key of the job file",
		Example: `  cogmend help make
  cogmend help job`,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 1 && args[0] == "job" {
				return job.Help(c.OutOrStdout())
			}
			cmd, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return unknownCommand(root, args[0])
			}
			return cmd.Help()
		},
	}
	root.SetHelpCommand(help)
	return help
}
