package preview

import (
	"fmt"
	"math"
	"slices"

	"cogmend/preview/figure"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// MeshScene is what the picture of the new tooth in mesh is drawn from.
type MeshScene struct {
	Title       string              // of the job
	Fingerprint string              // of the job
	Units       job.Units           // of lengths as written
	Mesh        estimate.Mesh       // the pair rolled
	Rolled      estimate.MeshResult // with the flanks as they are
	Ideal       estimate.MeshResult // with true flanks
	Others      []int               // new teeth beside the one rolled, counted toward +Y
}

// meshTeeth is how many teeth are drawn on each side of the new one and of the
// mate's tooth it drives.
const meshTeeth = 3

// MeshFigure shows the transmission error over the roll, the tightest moment,
// and where the teeth come nearest behind the new tooth.
func MeshFigure(s MeshScene) (*figure.Figure, error) {
	size, small := figure.Millimetre, figure.Micrometre
	if s.Units == job.Inch {
		size, small = figure.Inch, figure.Thou
	}
	f := named(figure.NewFigure(s.Title, "New tooth in mesh", size))
	f.Name, f.Fingerprint, f.Zero = "mesh", s.Fingerprint, "gear axis; seen from +X"
	at := s.Rolled.Tightest
	teeth, err := s.teeth(at)
	if err != nil {
		return nil, err
	}
	upper, lower := figure.Whole().Stacked(0.46)
	s.errorGraph(f, upper, small)
	left, right := lower.Beside(0.58)

	g := s.Mesh.Tooth
	p := f.Panel(fmt.Sprintf("Tightest moment, gear at %s", degrees(at.Angle)), left)
	working := s.Mesh.Centre * float64(g.Teeth) / float64(g.Teeth+s.Mesh.Mate.Teeth)
	high := 1.5 * g.WholeDepth()
	p.Window(-1.9*high, working-high, 1.9*high, working+high)
	teeth.draw(p)
	p.Line(figure.Centre, geom.Vec{Z: working - 3*high}, geom.Vec{Z: working + 3*high})
	var over [][]geom.Vec
	if s.Rolled.Interferes {
		if over, err = teeth.overlap(); err != nil {
			return nil, err
		}
	}
	foul := func(p *figure.Panel) {
		if len(over) > 0 {
			p.Region(figure.Gouge, over)
			p.Name(figure.Gouge, "they foul each other")
		}
	}
	foul(p)
	a, b := teeth.nearest()
	p.Dot(figure.Curve, a.Lerp(b, 0.5))

	play := b.Sub(a).Norm()
	half := min(max(4*play, 0.15*g.Module), 0.8*g.Module)
	mid := a.Lerp(b, 0.5)
	q := f.Panel("Nearest point", right)
	q.Window(mid.Y-half, mid.Z-half, mid.Y+half, mid.Z+half)
	q.NoLegend = true
	teeth.draw(q)
	foul(q)
	q.Dim(a, b, -34, s.play())
	f.Notes = s.notes()
	return f, nil
}

// length and tiny write sizes and errors in the picture's unit.
func (s MeshScene) length(mm float64) string { return s.Units.Length(mm) }

func (s MeshScene) tiny(um float64) string {
	if s.Units == job.Inch {
		return fmt.Sprintf("%.2f thou", um/25.4)
	}
	return fmt.Sprintf("%.1f µm", um)
}

// play says how much room the tightest moment has.
func (s MeshScene) play() string {
	if s.Rolled.Backlash < 0 {
		return "jams by " + s.length(-s.Rolled.Backlash)
	}
	return s.length(s.Rolled.Backlash) + " play"
}

// errorGraph is the transmission error of the roll, beside that of a true
// tooth.
func (s MeshScene) errorGraph(f *figure.Figure, box figure.Box, small figure.Unit) {
	g := f.Graph("Transmission error over the roll: how far the mate runs ahead of perfect teeth", box, figure.Axis{Name: "gear angle, degrees", Unit: figure.Plain}, figure.Axis{Name: "ahead", Unit: small})
	curve := func(samples []estimate.MeshSample) []geom.Vec {
		pts := make([]geom.Vec, len(samples))
		for i, m := range samples {
			pts[i] = geom.Vec{Y: geom.Degrees(m.Angle), Z: m.Error / 1000}
		}
		return pts
	}
	line, ideal := curve(s.Rolled.Samples), curve(s.Ideal.Samples)
	lo, hi := 0.0, 0.001 // of an all but perfect tooth a micrometre is shown
	for _, v := range append(slices.Clone(line), ideal...) {
		lo, hi = min(lo, v.Z), max(hi, v.Z)
	}
	pad := 0.22 * (hi - lo)
	from, to := line[0].Y, line[len(line)-1].Y
	g.Window(from, lo-pad, to, hi+1.6*pad)
	g.NoLegend = false
	g.Name(figure.MetalLeft, "new tooth carries").Name(figure.Curve, "as it will be").Name(figure.ToleranceLine, "true tooth")
	for i := 0; i < len(s.Rolled.Samples); {
		j := i
		for j < len(s.Rolled.Samples) && s.Rolled.Samples[j].New == s.Rolled.Samples[i].New {
			j++
		}
		if s.Rolled.Samples[i].New && j-i > 1 {
			g.Rect(figure.MetalLeft, geom.Vec{Y: line[i].Y, Z: lo - 0.55*pad}, geom.Vec{Y: line[j-1].Y, Z: lo - 0.3*pad})
		}
		i = j
	}
	g.Line(figure.ToleranceLine, ideal...)
	g.Line(figure.Curve, line...)
	at := geom.Vec{Y: geom.Degrees(s.Rolled.Tightest.Angle), Z: s.Rolled.Tightest.Error / 1000}
	g.Line(figure.Centre, geom.Vec{Y: at.Y, Z: lo - pad}, geom.Vec{Y: at.Y, Z: hi + 1.6*pad})
	g.Dot(figure.Curve, at)
	g.Label(at, "tightest: "+s.play()).Toward(geom.Vec{Y: 1e-9, Z: 1})
}

// meshed is the teeth of one moment, in the gear's frame.
type meshed struct {
	fresh    [][]geom.Vec // the new tooth, and others
	standing [][]geom.Vec // the good ones
	mate     [][]geom.Vec
	behind   [][]geom.Vec // flanks of the gear that face -Y
	between  float64      // radius beyond which a tooth's flank counts
}

// teeth places both gears as the moment has them: the mate pushed by the +Y
// flanks.
func (s MeshScene) teeth(at estimate.MeshSample) (meshed, error) {
	m := s.Mesh
	g, n := m.Tooth, m.Mate
	left := m.Left
	if left == nil {
		left = geom.Mirrored(m.Right)
	}
	out := meshed{between: g.RootRadius() + 0.2*g.Module}
	own := append(append(geom.Reversed(left), g.TipArc()...), m.Right...)
	foot := g.RootRadius() - 4*g.Module
	out.fresh = append(out.fresh, footedTo(own, foot, geom.Turn(at.Angle)))
	fine := 0.02 * g.Module
	out.behind = append(out.behind, geom.Spaced(geom.Turn(at.Angle).ApplyAll(left), fine))
	line, err := m.Neighbours.Tooth()
	if err != nil {
		return meshed{}, err
	}
	flank, err := m.Neighbours.RightFlank()
	if err != nil {
		return meshed{}, err
	}
	flank = geom.Mirrored(flank)
	for k := -meshTeeth; k <= meshTeeth; k++ {
		if k == 0 {
			continue
		}
		angle := at.Angle + float64(k)*g.Pitch()
		if slices.Contains(s.Others, k) {
			out.fresh = append(out.fresh, footedTo(own, foot, geom.Turn(angle)))
		} else {
			out.standing = append(out.standing, footedTo(line, foot, geom.Turn(angle)))
		}
		out.behind = append(out.behind, geom.Spaced(geom.Turn(angle).ApplyAll(flank), fine))
	}
	drive := m.MateAngle(s.Rolled, at)
	if line, err = n.Tooth(); err != nil {
		return meshed{}, err
	}
	reach := min(meshTeeth, (n.Teeth-1)/2)
	for k := -reach; k <= reach; k++ {
		ring := footedTo(line, n.RootRadius()-4*n.Module, geom.Turn(drive+float64(k)*n.Pitch()))
		for i, p := range ring {
			ring[i] = geom.Vec{Y: p.Y, Z: m.Centre - p.Z}
		}
		out.mate = append(out.mate, ring)
	}
	return out, nil
}

// footedTo closes a tooth's outline by a piece of rim down to a radius.
func footedTo(line []geom.Vec, foot float64, turn geom.Rotation) []geom.Vec {
	ring := make([]geom.Vec, 0, len(line)+3)
	for _, p := range line {
		ring = append(ring, turn.Apply(p))
	}
	a, b := line[len(line)-1].Angle(), line[0].Angle()
	foot = max(foot, 0.1)
	for _, t := range []float64{0, 0.5, 1} {
		ring = append(ring, turn.Apply(geom.Polar(foot, a+(b-a)*t)))
	}
	return ring
}

func (m meshed) draw(p *figure.Panel) {
	p.Region(figure.Mate, m.mate)
	p.Region(figure.Neighbour, m.standing)
	p.Region(figure.Insert, m.fresh)
	p.Name(figure.Insert, "new tooth")
}

// nearest returns the points of the gear's -Y flanks and of the mate that lie
// nearest to each other, or deepest in each other.
func (m meshed) nearest() (onGear, onMate geom.Vec) {
	best := math.Inf(1)
	for _, flank := range m.behind {
		for _, p := range flank {
			if p.Norm() < m.between {
				continue
			}
			for _, ring := range m.mate {
				q, d := geom.Nearest(p, ring)
				if geom.Inside(p, ring) {
					d = -d
				}
				if d < best {
					best, onGear, onMate = d, p, q
				}
			}
		}
	}
	return onGear, onMate
}

// overlap is where the gear's metal and the mate's would be in one place.
func (m meshed) overlap() ([][]geom.Vec, error) {
	var out [][]geom.Vec
	for _, ring := range slices.Concat(m.standing, m.fresh) {
		own, err := geom.Decompose(ring)
		if err != nil {
			return nil, err
		}
		for _, other := range m.mate {
			its, err := geom.Decompose(other)
			if err != nil {
				return nil, err
			}
			for _, c := range own.Intersect(its) {
				if c.Breadth() > geom.Eps {
					out = append(out, c.Pts)
				}
			}
		}
	}
	return out, nil
}

func (s MeshScene) notes() []string {
	r := s.Rolled
	word := "No interference."
	if r.Interferes {
		word = "THE TEETH INTERFERE."
	}
	if len(s.Others) > 0 {
		word += " The other new teeth are reckoned as standing ones."
	}
	along, profile := "along the line of action", fmt.Sprintf("Profile %s", s.tiny(r.Deviation))
	if s.Mesh.Tooth.Form != nil {
		along = "along the pitch circle"
	} else {
		profile += fmt.Sprintf(": %v; %v", r.Grades[0], r.Grades[1])
	}
	return []string{
		word,
		fmt.Sprintf("Least play %s "+along+"; %s between standing teeth.", s.length(r.Backlash), s.length(r.IdealBacklash)),
		fmt.Sprintf("Error %s peak to peak, %s with a true tooth.", s.tiny(r.ErrorPeak), s.tiny(s.Ideal.ErrorPeak)),
		fmt.Sprintf("%s. Contact ratio %.2f.", profile, r.ContactRatio),
	}
}
