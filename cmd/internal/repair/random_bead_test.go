package repair

import (
	"pgregory.net/rapid"
)

// builtUpTexts draws job files of teeth that are built up: no dovetail cutter, no
// drill; beads from thin to as wide as a job may state, and now and then wider.
var builtUpTexts = rapid.Custom(func(t *rapid.T) string {
	w := &jobWriter{t: t}
	w.line("format = 1")
	w.line("units = %q", w.pick("units", "mm", "mm", "inch"))
	w.module = w.num("module", 1.5, 6, 0.25)
	w.gear()
	w.bead()
	w.facets()
	w.index()
	w.machine()
	w.mills()
	return w.b.String()
})

func (w *jobWriter) bead() {
	m := w.module
	w.line("[repair]\nby = \"build-up\"\n[bead]")
	w.line("beside = \"%g mm\"", w.num("beside", max(0.2, 0.05*m), 0.8*m, 0.01))
	w.line("top = \"%g mm\"", w.num("top", 0.1, 1.2*m, 0.05))
	w.line("ends = \"%g mm\"", w.num("ends", 0, 6, 0.1))
	w.length("stub", 2, 0, m, 0.1)
	w.line("material = %q", w.pick("bead", "bronze", "mild steel"))
}

// randomText is the job of a number: one in six is built up.
func randomText(i int) string {
	if i%6 == 5 {
		return builtUpTexts.Example(i)
	}
	return jobTexts.Example(i)
}
