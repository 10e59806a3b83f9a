package sheet

import (
	"fmt"
	"math"

	"cogmend/preview/figure"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// expectation is what to expect of each new tooth, told before it is cut.
type expectation struct {
	Sums    []fact
	Shares  []share
	Gain    string // what would make most of it better
	Enough  string // facets that would still show
	Picture *picture
	Errors  []fact // what an error of a setting does to the flank
}

// share is one of the numbers that decide how far a flank may lie off.
type share struct {
	Name, Known, Percent string
	Half                 size
}

// expect writes out what is expected; nil when it was not worked out.
func (s *sheet) expect() (*expectation, error) {
	e := s.Expect
	if e == nil {
		return nil, nil
	}
	out := &expectation{Sums: []fact{
		{"a flank, at any facet", s.inUnits(func(u job.Units) string { return band(u, e.Flank, "proud", "too deep") })},
		{"its form, facet to facet", s.inUnits(func(u job.Units) string { return u.Length(e.Form.Middle) + " and ± " + u.Length(e.Form.Half) })},
		{"thickness", s.inUnits(func(u job.Units) string { return band(u, e.Thickness, "thicker", "thinner") })},
		{"place, and so pitch to both neighbours", s.inUnits(func(u job.Units) string { return "± " + u.Length(e.Place.Half) })},
	}}
	if e.Play != nil {
		out.Sums = append(out.Sums, fact{"play with the mate, on the line of action", s.inUnits(func(u job.Units) string { return u.Length(e.Play.Middle) + " ± " + u.Length(e.Play.Half) })})
	}
	if x := e.Error; x != nil {
		out.Sums = append(out.Sums, fact{"transmission error with the mate, peak to peak", s.inUnits(func(u job.Units) string { return u.Length(x.Low) + " to " + u.Length(x.High) })})
	}
	const most = 4 // of the shares, the greatest: the picture has all
	for _, x := range e.Shares[:min(most, len(e.Shares))] {
		known := "known within " + s.size(x.Limit).Main
		switch {
		case x.Name == "facets":
			known = "as planned"
		case x.Angle:
			known = "known within " + trim(figure.Number(geom.Degrees(x.Limit), 3)) + "°"
		}
		out.Shares = append(out.Shares, share{x.Name, known, fmt.Sprintf("%.0f %%", 100*x.Part), s.size(x.Half())})
	}
	if by, half, ok := e.Gain(); ok {
		out.Gain = fmt.Sprintf("Most is gained by %s: with that done, a flank would lie within ± %s at the best, instead of ± %s.", by, s.size(half).Main, s.size(e.Flank.Half).Main)
	}
	if e.Enough > 0 {
		out.Enough = fmt.Sprintf("More than %s a flank would not show.", job.Counted(e.Enough, "facet"))
	}
	for _, c := range s.Plan.SettingErrors() {
		out.Errors = append(out.Errors, fact{c.Setting, s.size(c.FlankMM)})
	}
	if given, ok := s.Pictures[expectPicture]; ok {
		p, err := s.show(expectPicture, Picture{PNG: given.PNG, Body: given.Body})
		if err != nil {
			return nil, err
		}
		out.Picture = &p
	}
	return out, nil
}

// expectPicture is the name of the picture of what to expect.
const expectPicture = "expect"

// inUnits writes something in the job's unit and in the other.
func (s *sheet) inUnits(write func(job.Units) string) size {
	return s.written(figure.PrintedSigns(write(job.MM)), figure.PrintedSigns(write(job.Inch)))
}

// band is an expected value with its spread.
func band(u job.Units, x estimate.Expected, over, under string) string {
	half := "± " + u.Length(x.Half)
	switch {
	case u.Length(math.Abs(x.Middle)) == u.Length(0):
		return half
	case x.Middle < 0:
		return u.Length(-x.Middle) + " " + under + ", " + half
	}
	return u.Length(x.Middle) + " " + over + ", " + half
}
