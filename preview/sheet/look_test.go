package sheet

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"cogmend/toolpath/job"
)

// TestLookSheet writes the sheet of a job, with its pictures, for a person to
// look at: of the demo, or of the job file in COGMEND_LOOK.
func TestLookSheet(t *testing.T) {
	name := os.Getenv("COGMEND_LOOK")
	if name == "" {
		t.Skip("set COGMEND_LOOK to 1 or a job file to write the sheet to " + os.TempDir())
	}
	j := job.Demo()
	if name != "1" {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if j, err = job.Decode(name, text, nil); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := Write(&b, sheetDataOf(t, j, true)); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(os.TempDir(), "sheet.html")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Log(path, b.Len()/1000, "kB")
}
