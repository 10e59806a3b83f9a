package cli

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

// BenchmarkProduce plans, writes, reads and replays the demo: all of make but
// the pictures and files.
func BenchmarkProduce(b *testing.B) {
	j := job.Demo()
	for b.Loop() {
		if _, err := produce(j); err != nil {
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
	m, err := produce(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	p := m.programs[len(m.programs)-1]
	blocks := bytes.Count(p.text, []byte("\n"))
	b.ResetTimer()
	for b.Loop() {
		if _, err := replay.Check(bytes.NewReader(p.text), "facets", p.setup); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(blocks*b.N)/b.Elapsed().Minutes(), "blocks/min")
}

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

// BenchmarkDraw draws all pictures of the demo.
func BenchmarkDraw(b *testing.B) {
	m, err := produce(job.Demo())
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for b.Loop() {
		var g gallery
		g.open()
		for i := range m.programs {
			g.draw(m, i)
		}
		if _, err := g.close(); err != nil {
			b.Fatal(err)
		}
	}
}
