package repair

import (
	"bytes"
	"io"
	"testing"

	"cogmend/gcode/replay"
	"cogmend/toolpath"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
	"cogmend/toolpath/post"
)

// BenchmarkPlan plans the demo's whole repair.
func BenchmarkPlan(b *testing.B) {
	j := job.Demo()
	for b.Loop() {
		d, err := design.Of(j)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := toolpath.Make(d); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMake plans, writes, reads and replays the demo: all of make but
// the pictures and files.
func BenchmarkMake(b *testing.B) {
	j := job.Demo()
	for b.Loop() {
		if _, err := Make(j); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWrite writes the demo's facets program.
func BenchmarkWrite(b *testing.B) {
	d, err := design.Of(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		b.Fatal(err)
	}
	p := &plan.Programs[len(plan.Programs)-1]
	for b.Loop() {
		if err := post.Write(io.Discard, plan, p, post.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReplay replays the demo's facets program; blocks/min is what the
// job's five stations allow.
func BenchmarkReplay(b *testing.B) {
	m, err := Make(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	p := m.Programs[len(m.Programs)-1]
	blocks := bytes.Count(p.Text, []byte("\n"))
	b.ResetTimer()
	for b.Loop() {
		if _, err := replay.Check(bytes.NewReader(p.Text), "facets", p.Before); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(blocks*b.N)/b.Elapsed().Minutes(), "blocks/min")
}

// BenchmarkPictures draws all pictures of the demo.
func BenchmarkPictures(b *testing.B) {
	m, err := Make(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := m.Pictures(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkExpect works out what to expect of the demo's tooth: its budget, the
// facets that are enough, play and transmission error with the mate.
func BenchmarkExpect(b *testing.B) {
	d, err := design.Of(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	plan, err := toolpath.Make(d)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := plan.Expect(); err != nil {
			b.Fatal(err)
		}
	}
}
