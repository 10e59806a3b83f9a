// Command cogmend plans and checks the letting-in of a new tooth into a
// broken gear. See README.md.
package main

import (
	"os"

	"cogmend/cmd/internal/cli"
)

func main() {
	os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
