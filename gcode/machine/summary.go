package machine

import (
	"io"
	"math"
	"slices"

	"cogmend/gcode"
)

// Summary is what a program does, counted.
type Summary struct {
	Lines   int // read, to the end of the program
	Motions int // rapids and feeds
	Rapids  int
	Feeds   int // at the feed, arcs included
	Arcs    int // and helices
	// Min and Max are the ends of all motions, arcs with their bulge. An axis
	// that is never placed is NaN in both.
	Min, Max Position
	Tools    []int   // by M6, in the order of their first use
	Stops    int     // M0, M1 and M60
	Cut      float64 // mm along X, Y and Z at the feed
	Minutes  float64 // feeds, rapids, dwells; without stops and changes of tool
	Inch     bool
	Messages []string // in the order of the program, without MSG
}

// Summarise reads a program to its end. Rapids take their time at rapid
// mm/min along X, Y and Z and turn degrees a second in A, whichever is longer;
// a rate of 0 leaves that part out.
func Summarise(r io.Reader, file string, rapid, turn float64) (Summary, error) {
	nan := math.NaN()
	s := Summary{Min: Position{nan, nan, nan, nan}, Max: Position{nan, nan, nan, nan}}
	m := New(file)
	in := gcode.NewReader(r, file)
	count := func(e *Event) error {
		s.add(e, rapid, turn)
		return nil
	}
	var b gcode.Block
	for !m.Ended() {
		if err := in.Next(&b); err == io.EOF {
			return s, m.End()
		} else if err != nil {
			return s, err
		}
		s.Lines++
		if err := m.Step(&b, count); err != nil {
			return s, err
		}
	}
	s.Inch = m.State().Inch
	return s, in.Rest()
}

func (s *Summary) add(e *Event, rapid, turn float64) {
	switch e.Kind {
	case EventMotion:
		s.motion(&e.Motion, rapid, turn)
	case EventStop:
		s.Stops++
	case EventToolChange:
		if !slices.Contains(s.Tools, e.State.Tool) {
			s.Tools = append(s.Tools, e.State.Tool)
		}
	case EventDwell:
		s.Minutes += e.Seconds / 60
	case EventMessage:
		s.Messages = append(s.Messages, e.Text)
	}
}

func (s *Summary) motion(m *Motion, rapid, turn float64) {
	s.Motions++
	if m.Kind == Rapid {
		s.Rapids++
		minutes := 0.0
		if rapid > 0 {
			minutes = m.Length / rapid
		}
		if d := math.Abs(m.To.A - m.From.A); turn > 0 {
			minutes = math.Max(minutes, d/turn/60)
		}
		s.Minutes += minutes
	} else {
		s.Feeds++
		s.Minutes += m.Minutes
		if m.Kind == Arc {
			s.Arcs++
		}
		s.Cut += m.Length
	}
	lo, hi := Extent(m)
	s.include(lo)
	s.include(hi)
}

// include stretches the extents to p. The comparison is written so that a NaN
// extent takes any number, and a NaN coordinate changes nothing.
func (s *Summary) include(p Position) {
	lo, hi, at := coordinates(s.Min), coordinates(s.Max), coordinates(p)
	for i, v := range at {
		if math.IsNaN(v) {
			continue
		}
		if !(lo[i] <= v) {
			lo[i] = v
		}
		if !(hi[i] >= v) {
			hi[i] = v
		}
	}
	s.Min, s.Max = position(lo), position(hi)
}
