package repair

import (
	"math"
	"path/filepath"
	"testing"

	"cogmend/toolpath/job"
)

// TestTightAlike: the tight middle measured on the replayed insert, which report,
// picture and sheet give, is as long as the command fit works it out from the
// cutter's radius in closed form, in mm and in inches, whose numbers are rounded
// more.
func TestTightAlike(t *testing.T) {
	for _, name := range []string{"demo", "module4-inch", "module4-mm"} {
		j, err := job.Read(filepath.Join("..", "..", "..", "testdata", "jobs", "good", name+".toml"))
		if err != nil {
			t.Fatal(err)
		}
		r, err := Make(j)
		if err != nil {
			t.Fatal(err)
		}
		f, err := r.Plan.Fit()
		if err != nil {
			t.Fatal(err)
		}
		got := r.tight()
		if got == nil || math.Abs(got.LengthMM-f.Result.TightLeft) > 0.001 {
			t.Errorf("%s: %+v replayed, %.4f mm by the cutter's radius", name, got, f.Result.TightLeft)
		}
	}
}
