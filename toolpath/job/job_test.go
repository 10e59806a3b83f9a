package job

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

const jobs = "../../testdata/jobs"

// goodJobs returns the paths of the jobs that must decode.
func goodJobs(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(jobs + "/good/*.toml")
	if err != nil || len(paths) < 15 {
		t.Fatalf("%d good jobs found, error %v", len(paths), err)
	}
	return paths
}

func TestGoodJobs(t *testing.T) {
	for _, path := range goodJobs(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			j, err := Read(path)
			if err != nil {
				t.Fatalf("\n%v", err)
			}
			if len(j.Fingerprint) != 12 || j.File != path {
				t.Errorf("fingerprint %q, file %q", j.Fingerprint, j.File)
			}
		})
	}
}

func TestDemoIsTheFileInTestdata(t *testing.T) {
	file, err := os.ReadFile(jobs + "/good/demo.toml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(file, DemoText()) {
		t.Error("toolpath/job/demo.toml and testdata/jobs/good/demo.toml differ")
	}
	if j := Demo(); j.Gear.Teeth != 54 {
		t.Errorf("demo has %d teeth", j.Gear.Teeth)
	}
}
