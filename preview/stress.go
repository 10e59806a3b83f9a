package preview

import (
	"fmt"
	"math"
	"strings"

	"cogmend/preview/figure"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// StressScene is what the picture of the stress in the casting is drawn from.
type StressScene struct {
	Title       string                // of the job
	Name        string                // of the picture's file, without its ending
	Fingerprint string                // of the job
	Units       job.Units             // of lengths as written
	Stress      *estimate.Casting     // the casting's section, meshed
	Cases       []estimate.StressCase // one at least
}

// StressOf gathers the picture of a design with the fit that its job has; ok is
// false when nothing presses on the casting or nothing can be worked out.
func StressOf(d *design.Design) (s StressScene, ok bool) {
	f, err := d.Fit()
	if err != nil || len(f.Result.Cases) == 0 {
		return s, false
	}
	return StressScene{Title: d.Job.Heading(), Name: "stress", Fingerprint: d.Job.Fingerprint, Units: d.Job.Units, Stress: f.Joint.Stress, Cases: f.Result.Cases}, true
}

// worst is the case that uses most of its limit.
func (s StressScene) worst() estimate.StressCase {
	worst := s.Cases[0]
	for _, c := range s.Cases[1:] {
		if c.Use > worst.Use {
			worst = c
		}
	}
	return worst
}

// StressFigure shows the greatest pull in the casting in the case that uses
// most of its limit: the place as a whole, and the floor of the slot large.
func StressFigure(s StressScene) *figure.Figure {
	size := figure.Millimetre
	if s.Units == job.Inch {
		size = figure.Inch
	}
	worst := s.worst()
	f := named(figure.NewFigure(s.Title, "Stress in the casting", size))
	f.Name, f.Fingerprint, f.Zero = s.Name, s.Fingerprint, "gear axis; seen from +X"
	sec := s.Stress.Section
	left, right := figure.Whole().Beside(0.56)
	field := s.Stress.Field(worst.Stressed)

	deep := sec.Seat - sec.Floor
	p := f.Panel(fmt.Sprintf("First principal stress: %s", worst.What), left)
	root := sec.Neighbours.TipRadius()
	low := max(sec.Inner, sec.Floor-3*deep) - 0.4*deep
	wide := max(0.75*(root-low), 1.6*sec.PocketHalf)
	p.Window(-wide, low, wide, root+0.3*deep)
	s.bands(p, field, worst.Limit)
	s.mark(p, worst)

	q := f.Panel("Floor of the slot", right)
	half := 1.45 * (sec.MouthHalf + deep*math.Tan(sec.HalfAngle))
	q.Window(-half, sec.Floor-1.2*half, half, sec.Floor+0.8*half)
	q.NoLegend = true
	s.bands(q, field, worst.Limit)
	for _, y := range []float64{-1, 1} {
		corner := geom.Vec{Y: y * (sec.MouthHalf + deep*math.Tan(sec.HalfAngle)), Z: sec.Floor}
		q.Circle(figure.Hidden, corner, s.Stress.Near)
	}
	q.Label(geom.Vec{Z: sec.Floor}, fmt.Sprintf("middle of the floor %s", s.stress(worst.Floor))).Toward(geom.Vec{Z: 1})
	q.Label(geom.Vec{Y: sec.MouthHalf + deep*math.Tan(sec.HalfAngle) + 0.7*s.Stress.Near, Z: sec.Floor - 0.7*s.Stress.Near},
		fmt.Sprintf("corner, read %s off: %s", s.length(s.Stress.Near), s.stress(worst.Corner))).Toward(geom.Vec{Y: 0.3, Z: -1})
	f.Notes = s.notes(worst)
	return f
}

func (s StressScene) length(mm float64) string { return s.Units.Length(mm) }

// stress writes a stress, MPa, in the job's unit first.
func (s StressScene) stress(mpa float64) string { return s.Units.Stress(mpa) }

// stresses writes two of them with a word between.
func (s StressScene) stresses(a float64, word string, b float64) string {
	if s.Units == job.Inch {
		return fmt.Sprintf("%.0f %s %.0f psi (%.0f %s %.0f MPa)", a*job.PSI, word, b*job.PSI, a, word, b)
	}
	return fmt.Sprintf("%.0f %s %.0f MPa", a, word, b)
}

// mark names the greatest place.
func (s StressScene) mark(p *figure.Panel, c estimate.StressCase) {
	p.Dot(figure.Edge, c.Greatest.At)
	p.Label(c.Greatest.At, fmt.Sprintf("greatest: %s, %s", s.stress(c.Greatest.Stress), c.Greatest.What)).Toward(geom.Vec{Y: 1, Z: -1})
}

func (s StressScene) notes(worst estimate.StressCase) []string {
	out := []string{fmt.Sprintf("An estimate, no rating: plane strain, corners as sharp as ground, no hard skin, no crack. Limit in this case %s, our own rule.", s.stress(worst.Limit))}
	for _, c := range s.Cases {
		out = append(out, fmt.Sprintf("%s: %s, %s.", strings.ToUpper(c.What[:1])+c.What[1:], s.stresses(c.Greatest.Stress, "of", c.Limit), c.Greatest.What))
	}
	if worst.Hole > 0 {
		out = append(out, "The lock's hole is not drawn: what it adds beside itself is in the figure for the hole.")
	}
	return out
}

// bandStyles are drawn from the least stress to the greatest: pushes, then
// four quarters of the limit, then what is beyond.
var bandStyles = []figure.Style{figure.Band0, figure.Band1, figure.Band2, figure.Band3, figure.Band4, figure.BandOver}

// bands fills the casting by its stress.
func (s StressScene) bands(p *figure.Panel, field []estimate.FieldTriangle, limit float64) {
	edges := []float64{math.Inf(-1), limit / 50, limit / 4, limit / 2, 3 * limit / 4, limit, math.Inf(1)}
	for i, style := range bandStyles {
		var pieces [][]geom.Vec
		for _, t := range field {
			if ring := between(t, edges[i], edges[i+1]); len(ring) > 2 {
				pieces = append(pieces, ring)
			}
		}
		if len(pieces) == 0 {
			continue
		}
		p.Region(style, pieces)
		switch i {
		case 0:
			p.Name(style, "pushed, or next to nothing")
		case len(bandStyles) - 1:
			p.Name(style, fmt.Sprintf("over %s: beyond the limit", s.stress(limit)))
		default:
			p.Name(style, s.stresses(edges[i], "to", edges[i+1]))
		}
	}
	p.Region(figure.Insert, s.Stress.InsertPieces())
}

// between is the part of a triangle whose stress lies between two values.
func between(t estimate.FieldTriangle, lo, hi float64) []geom.Vec {
	ring, value := t.P[:], t.Stress[:]
	ring, value = above(ring, value, lo, 1)
	ring, _ = above(ring, value, -hi, -1)
	return ring
}

// above is the part of a ring where sign times its value is edge or more.
func above(ring []geom.Vec, value []float64, edge, sign float64) (out []geom.Vec, kept []float64) {
	if math.IsInf(edge, -1) {
		return ring, value
	}
	for i, p := range ring {
		q, a, b := ring[(i+1)%len(ring)], sign*value[i]-edge, sign*value[(i+1)%len(ring)]-edge
		if a >= 0 {
			out, kept = append(out, p), append(kept, value[i])
		}
		if (a >= 0) != (b >= 0) {
			out, kept = append(out, p.Lerp(q, a/(a-b))), append(kept, sign*edge)
		}
	}
	return out, kept
}
