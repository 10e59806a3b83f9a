package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
)

// placing is files to be put into a folder, and what is to become of what
// stands there. Nothing that a person has changed or written is overwritten or
// taken away unless it may be replaced; then it is named.
type placing struct {
	out     *outdir.Folder
	files   []outdir.File
	replace bool
	// withheld are the texts of programs that fail the check, by their names:
	// nothing may stand under these.
	withheld map[string][]byte
	// older says what an entry would be beside the new files, when it is of an
	// earlier run: "" is not of this repair, or stays by right.
	older func(outdir.Entry) string
}

// stays is what stands in a folder and is in the way of new files.
type stays struct {
	name  string
	lines []int // those that differ from what would be written; none: not told
}

// place does it. Those that are in the way are an error that has been printed.
func (p *placing) place(stderr io.Writer) error {
	texts := map[string][]byte{}
	for name, text := range p.withheld {
		texts[name] = text
	}
	for _, f := range p.files {
		texts[f.Name] = f.Data
	}
	entries, err := p.out.Entries(func(name string) bool {
		return texts[name] != nil || p.older(outdir.Entry{Name: name}) != ""
	})
	if err != nil {
		return err
	}
	var gone []outdir.Entry
	var inWay []stays
	var replaced, left []string
	for _, e := range entries {
		text, wanted := texts[e.Name]
		_, withheld := p.withheld[e.Name]
		older := ""
		if !wanted {
			if older = p.older(e); older == "" {
				continue
			}
		}
		switch {
		case e.Err != nil && wanted:
			return e.Err
		case e.Ours || wanted && !withheld && bytes.Equal(e.Data, text):
			if withheld || !wanted {
				gone = append(gone, e)
			}
		case e.Err == nil && p.replace:
			gone, replaced = append(gone, e), append(replaced, e.Name)
		case wanted:
			inWay = append(inWay, stays{e.Name, differingText(e, text)})
		default:
			left = append(left, fmt.Sprintf("%s %s", filepath.Join(p.out.Dir, outdir.Printable(e.Name)), older))
		}
	}
	if len(inWay) > 0 {
		p.refuse(inWay, stderr)
		return errFound
	}
	if err := p.out.Put(p.files, gone); err != nil {
		return err
	}
	for _, name := range replaced {
		fmt.Fprintf(stderr, "cogmend: replaced, though changed or written by hand: %s\n", filepath.Join(p.out.Dir, name))
	}
	for _, l := range left {
		fmt.Fprintf(stderr, "cogmend: %s\n", l)
	}
	return nil
}

// differingText returns the lines of a text that differ.
func differingText(e outdir.Entry, text []byte) []int {
	if strings.HasSuffix(e.Name, pictureExt) || strings.HasSuffix(e.Name, sheetName) {
		return nil
	}
	return outdir.Differing(e.Data, text)
}

func (p *placing) refuse(inWay []stays, stderr io.Writer) {
	for _, s := range inWay {
		path := filepath.Join(p.out.Dir, s.name)
		if len(s.lines) == 0 {
			fmt.Fprintf(stderr, "cogmend: %s was changed or written by hand and is not overwritten\n", path)
			continue
		}
		fmt.Fprintf(stderr, "cogmend: %s was changed by hand and is not overwritten; it differs in %s\n", path, lineList(s.lines))
	}
	fmt.Fprintln(stderr, "hint: check it with 'cogmend check', move it away, or use --replace")
}

// What the names of files of a repair are like.
var (
	ofPictures = regexp.MustCompile(`^[0-9]{2}-(slot|insert|trial|fit|flush|facets)(-[a-z0-9-]+)?\.(png|gif)$`)
	ofPrograms = regexp.MustCompile(`^[0-9]{2}-(slot|insert|trial|fit|flush|facets)\.[A-Za-z0-9]{1,8}$`)
)

// olderFile says of an entry that is not of this run's files what it is.
func olderFile(r *repair.Repair, e outdir.Entry) string {
	for i := range r.Programs {
		if p := &r.Programs[i]; p.Done && p.File() == e.Name {
			return "" // its work is done: it stays as it was run
		}
	}
	switch {
	case e.Name == sheetName || ofPictures.MatchString(e.Name):
		return "is of an earlier run, and not as it was written: it may show other programs"
	case ofPrograms.MatchString(e.Name):
		return "is not of this run, and not as it was written: do not run it"
	}
	return olderPart(r, e)
}

// olderPart says it of what --lift and --from write: those of this state of the
// job stay.
func olderPart(r *repair.Repair, e outdir.Entry) string {
	for _, pattern := range repair.PartPatterns(r.Plan) {
		if ok, err := filepath.Match(pattern, e.Name); ok && err == nil && !bytes.Contains(e.Data, []byte(r.Job.Fingerprint)) {
			return "is of another state of the job, and not as it was written: do not run it"
		}
	}
	return ""
}
