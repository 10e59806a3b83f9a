package repair

import (
	"bytes"
	"path/filepath"
	"regexp"
	"slices"

	"cogmend/cmd/internal/outdir"
)

// What is written beside the programs.
const (
	PictureExt = ".png"
	sheetName  = "sheet.html"
	reportJSON = "report.json"
	reportText = "report.txt"
)

// What the names of files of a repair are like.
var (
	ofPictures = regexp.MustCompile(`^([0-9]{2}-(slot|insert|trial|fit|flush|facets)(-[a-z0-9-]+)?\.(png|gif)|expect\.png)$`)
	ofPrograms = regexp.MustCompile(`^[0-9]{2}-(slot|insert|trial|fit|flush|facets)\.[A-Za-z0-9]{1,8}$`)
)

// IsProgram says that a file is called as a program of a repair is.
func IsProgram(name string) bool {
	return ofPrograms.MatchString(name) && !ofPictures.MatchString(name)
}

// HasLines says that a file of a repair is one whose lines a person reads, so
// that those which differ are worth naming.
func HasLines(name string) bool {
	return !slices.Contains([]string{PictureExt, filepath.Ext(sheetName)}, filepath.Ext(name))
}

// Files returns all files of the repair, with pictures and sheet where they are
// drawn, and the texts of the programs that fail the check, by their names: these
// are not to be left under them.
func (r *Repair) Files(draw bool) (files []outdir.File, withheld map[string][]byte, err error) {
	withheld = map[string][]byte{}
	for i := range r.Programs {
		switch p := &r.Programs[i]; {
		case p.Clean():
			files = append(files, outdir.File{Name: p.File(), Data: p.Text})
		case p.Written():
			withheld[p.File()] = p.Text
		}
	}
	if draw {
		if files, err = r.drawn(files); err != nil {
			return nil, nil, err
		}
	}
	files = append(files, outdir.File{Name: reportText, Data: r.Text()})
	digests := map[string]string{}
	for _, f := range files {
		digests[f.Name] = outdir.Digest(f.Data)
	}
	data, err := r.JSON(digests)
	return append(files, outdir.File{Name: reportJSON, Data: data}), withheld, err
}

// drawn adds pictures and sheet.
func (r *Repair) drawn(files []outdir.File) ([]outdir.File, error) {
	pictures, err := r.Pictures()
	if err != nil {
		return nil, err
	}
	for _, p := range pictures {
		files = append(files, outdir.File{Name: p.Name + PictureExt, Data: p.PNG})
	}
	page, err := r.Sheet(pictures)
	return append(files, outdir.File{Name: sheetName, Data: page}), err
}

// Older says of an entry of the repair's folder that is not of this run's files
// what it is; "": none of ours, or it stays by right.
func (r *Repair) Older(e outdir.Entry) string {
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
	return r.OlderPart(e)
}

// OlderPart says it of raised programs and of those that begin at a pass: the
// ones of this state of the job stay.
func (r *Repair) OlderPart(e outdir.Entry) string {
	for _, pattern := range partPatterns(r.Plan) {
		if ok, err := filepath.Match(pattern, e.Name); ok && err == nil && !bytes.Contains(e.Data, []byte(r.Job.Fingerprint)) {
			return "is of another state of the job, and not as it was written: do not run it"
		}
	}
	return ""
}
