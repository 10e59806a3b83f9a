package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
)

// place puts files into a folder and tells what became of what a person had
// changed or written there. Those that are in the way are an error that has
// been printed.
func place(out *outdir.Folder, p outdir.Placing, stderr io.Writer) error {
	placed, err := out.Place(p)
	if err != nil {
		return err
	}
	if len(placed.InWay) > 0 {
		for _, e := range placed.InWay {
			fmt.Fprintf(stderr, "cogmend: %s\n", inWay(filepath.Join(out.Dir, e.Name), e, p))
		}
		hint := "move it away, or use --replace"
		if slices.ContainsFunc(placed.InWay, func(e outdir.Entry) bool { return repair.IsProgram(e.Name) }) {
			hint = "check it with 'cogmend check', " + hint
		}
		fmt.Fprintln(stderr, "hint: "+hint)
		return errFound
	}
	for _, name := range placed.Replaced {
		fmt.Fprintf(stderr, "cogmend: replaced, though changed or written by hand: %s\n", filepath.Join(out.Dir, name))
	}
	for _, l := range placed.Left {
		fmt.Fprintf(stderr, "cogmend: %s %s\n", filepath.Join(out.Dir, outdir.Printable(l.Name)), l.Why)
	}
	return nil
}

// inWay says why a file that stands in the way is not overwritten.
func inWay(path string, e outdir.Entry, p outdir.Placing) string {
	text, _ := p.Text(e.Name)
	if lines := outdir.Differing(e.Data, text); repair.HasLines(e.Name) && len(lines) > 0 {
		return fmt.Sprintf("%s was changed by hand and is not overwritten; it differs in %s", path, outdir.LineList(lines))
	}
	return path + " was changed or written by hand and is not overwritten"
}
