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
	out, p := &outdir.Folder{Dir: o.out}, outdir.Placing{Replace: o.replace, Older: r.OlderPart}
	var err error
	if o.lift != "" {
		p.Files, err = lifted(o.lift, r)
	} else {
		p.Files, err = fromPass(o.from, r, stderr)
	}
	if err != nil {
		return err
	}
	unlock, err := out.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	if err := place(out, p, stderr); err != nil {
		return err
	}
	r.Verdict(stdout)
	for _, f := range p.Files {
		fmt.Fprintf(stdout, "written: %s\n", filepath.Join(o.out, f.Name))
	}
	if !r.Allowed() {
		return errFound
	}
	return nil
}

func lifted(text string, r *repair.Repair) (out []outdir.File, err error) {
	lift, err := lengthFlag("lift", text, r.Job.Units)
	if err != nil {
		return nil, err
	}
	if out, err = r.Lifted(lift); err != nil {
		return nil, fmt.Errorf("--lift %s: %w", r.Job.Units.Length(lift), err)
	}
	return out, nil
}

func fromPass(text string, r *repair.Repair, stderr io.Writer) ([]outdir.File, error) {
	name, number, ok := strings.Cut(text, ":")
	n, err := strconv.Atoi(number)
	if !ok || err != nil {
		return nil, fmt.Errorf("--from %q: write PROGRAM:PASS, such as facets:7", text)
	}
	p, file, err := r.FromPass(name, n)
	if err != nil {
		return nil, fmt.Errorf("--from %s: %w", text, err)
	}
	if !p.Clean() {
		if p.Err != nil {
			fmt.Fprintf(stderr, "cogmend: %v\n", p.Err)
		} else {
			repair.PrintFindings(stderr, file, p.Result.Report)
		}
		return nil, errFound
	}
	return []outdir.File{{Name: file, Data: p.Text}}, nil
}
