package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
)

// runPart writes the programs raised for a run in air, or one program from a
// pass on, under names of their own.
func runPart(o makeOptions, r *repair.Repair, stdout, stderr io.Writer) error {
	if o.lift != "" && o.from != "" {
		return fmt.Errorf("make: --lift and --from do not go together")
	}
	if !r.Clean() {
		r.Findings(stderr)
		return errFound
	}
	out := &outdir.Folder{Dir: o.out}
	var err error
	if o.lift != "" {
		err = lifted(o.lift, r, out)
	} else {
		err = fromPass(o.from, r, out, stderr)
	}
	if err != nil {
		return err
	}
	unlock, err := out.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	if err := o.keepEdited(out, out.Files, stderr); err != nil {
		return err
	}
	if err := out.Write(); err != nil {
		return err
	}
	if err := clearParts(out, r, stderr); err != nil {
		return err
	}
	r.Verdict(stdout)
	for _, f := range out.Files {
		fmt.Fprintf(stdout, "written: %s\n", filepath.Join(o.out, f.Name))
	}
	if !r.Allowed() {
		return errFound
	}
	return nil
}

// clearParts takes away what --lift and --from wrote for another state of the
// job, and names what of it stays.
func clearParts(out *outdir.Folder, r *repair.Repair, stderr io.Writer) error {
	left, err := out.ClearOlder(r.Job.Fingerprint, repair.PartPatterns(r.Plan))
	if err != nil {
		return err
	}
	for _, name := range left {
		fmt.Fprintf(stderr, "cogmend: %s is of another state of the job, and not as it was written: do not run it\n", filepath.Join(out.Dir, name))
	}
	return nil
}

func lifted(text string, r *repair.Repair, out *outdir.Folder) error {
	lift, err := lengthFlag("lift", text, r.Job.Units)
	if err != nil {
		return err
	}
	files, err := r.Lifted(lift)
	if err != nil {
		return fmt.Errorf("--lift %s: %w", r.Job.Units.Length(lift), err)
	}
	for _, f := range files {
		out.Add(f.Name, f.Text)
	}
	return nil
}

func fromPass(text string, r *repair.Repair, out *outdir.Folder, stderr io.Writer) error {
	name, number, ok := strings.Cut(text, ":")
	n, err := strconv.Atoi(number)
	if !ok || err != nil {
		return fmt.Errorf("--from %q: write PROGRAM:PASS, such as facets:7", text)
	}
	p, file, err := r.FromPass(name, n)
	if err != nil {
		return fmt.Errorf("--from %s: %w", text, err)
	}
	if !p.Clean() {
		if p.Err != nil {
			fmt.Fprintf(stderr, "cogmend: %v\n", p.Err)
		} else {
			repair.PrintFindings(stderr, file, p.Result.Report)
		}
		return errFound
	}
	out.Add(file, p.Text)
	return nil
}
