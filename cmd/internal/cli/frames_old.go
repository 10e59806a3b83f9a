package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"

	"cogmend/cmd/internal/outdir"
	"cogmend/cmd/internal/repair"
)

// framesDir is the folder of the dry runs, in that of the programs.
const framesDir = "frames"

// frameFile is what the command frames writes, of any program.
var frameFile = regexp.MustCompile(`^([0-9]{2}-[a-z]+(-[0-9]{4,}` + regexp.QuoteMeta(repair.PictureExt) + `|\.gif)|` + regexp.QuoteMeta(dryPageName) + `)$`)

// sameOnDisk says that every program stands in the folder as it would be written,
// and no other: what was drawn of them still holds.
func sameOnDisk(dir string, r *repair.Repair) bool {
	for i := range r.Programs {
		p := &r.Programs[i]
		text, err := outdir.ReadWhole(filepath.Join(dir, p.File()), outdir.MaxFile)
		if want := p.Clean(); want != (err == nil) || want && !bytes.Equal(text, p.Text) {
			return false
		}
	}
	return true
}

// dropFrames takes the dry runs of earlier programs away: metal flows from program
// to program, so one that changed spoils them all. What is not as it was written
// here stays, and is named.
func dropFrames(dir string, stderr io.Writer) error {
	dir = filepath.Join(dir, framesDir)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return nil
	}
	out := &outdir.Folder{Dir: dir}
	unlock, err := out.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	set, err := out.Begin()
	if err != nil {
		return err
	}
	defer set.Discard()
	left, err := set.PutFor(frameFile.MatchString)
	if len(left) > 0 {
		fmt.Fprintf(stderr, "cogmend: %s: of earlier programs, and stays: it is not as it was written here%s\n", filepath.Join(dir, left[0]), andMore(len(left)-1))
	}
	return err
}
