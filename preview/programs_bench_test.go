package preview

import (
	"testing"

	"cogmend/toolpath/job"
)

// BenchmarkPrograms makes, draws and encodes the pictures of the demo, one
// figure at a time.
func BenchmarkPrograms(b *testing.B) {
	for _, w := range repair(b, job.Demo(), nil) {
		for i, f := range ProgramFigures(w.Scene) {
			b.Run(f.Name, func(b *testing.B) {
				for b.Loop() {
					d, err := ProgramFigures(w.Scene)[i].Draw(1)
					if err != nil {
						b.Fatal(err)
					}
					if _, err := d.PNG(); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
