package post

import (
	"fmt"
	"testing"

	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// TestHolesAnywhere: the demo's holes for the lock are drilled clean wherever they
// stand, for the check looks at each also where another's edges are.
func TestHolesAnywhere(t *testing.T) {
	for _, at := range [][]float64{{6, 16, 26}, {7.3, 16, 24.9}, {5.966, 16}} {
		j, err := job.Read(goodJobs + "demo.toml")
		if err != nil {
			t.Fatal(err)
		}
		j.Lock.Positions = at
		d, err := design.Of(j)
		if err != nil {
			t.Fatal(err)
		}
		p, err := toolpath.Make(d)
		if err != nil {
			t.Fatal(err)
		}
		checkAll(t, fmt.Sprintf("holes at %v", at), p)
	}
}
