package cli

import (
	"io"
	"testing"
)

// BenchmarkMake is the whole of make with all pictures and the sheet, into a
// folder.
func BenchmarkMake(b *testing.B) {
	dir := b.TempDir()
	for b.Loop() {
		o := makeOptions{out: dir, pictures: true, quiet: true}
		if err := runMake(o, io.Discard, io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
