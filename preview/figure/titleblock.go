package figure

import "strings"

// caution stands on every page with a title block.
const caution = "Computed, not measured. Check every size and path at the machine: the person who runs it answers for it."

const (
	fieldRow   = 54.0 // a field's name and its value
	noteLine   = 28.0
	cautionRow = 36.0
	statusLine = 30.0
	notesShare = 0.42 // of the width, for the notes
)

// foot draws the title block or the status lines along the bottom of border and
// returns the area left above. The fields are those of ISO 7200 that a job
// shop needs, without dates so that the same job gives the same page.
func (f *Figure) foot(c *canvas, border rect) rect {
	if f.Status != nil {
		return f.status(c, border)
	}
	ink, muted := rgb(inkRGB), rgb(mutedRGB)
	notesWidth := border.w() * notesShare
	note := lettering{sizeSmall, false}
	var lines []string
	for _, n := range f.Notes {
		lines = append(lines, c.wrap(n, note, notesWidth-32)...)
	}
	height := max(3*fieldRow, noteLine*float64(len(lines))+44+18) + cautionRow
	top := border.y1 - height
	split := border.x0 + notesWidth
	low := border.y1 - cautionRow
	c.box(rect{border.x0, low, border.x1, border.y1}, rgb(gridRGB))
	c.rule(xy{border.x0, top}, xy{border.x1, top}, wide, ink)
	c.rule(xy{border.x0, low}, xy{border.x1, low}, narrow, ink)
	c.rule(xy{split, top}, xy{split, low}, narrow, ink)
	c.text(xy{border.x0 + 16, border.y1 - 10}, caution, lettering{sizeSmall, true}, ink, colorNone)

	title := lettering{sizeTitle, true}
	if c.width(f.Job, title) > notesWidth-32 {
		title.size = sizeText
	}
	c.text(xy{border.x0 + 16, top + 38}, c.fit(f.Job, title, notesWidth-32), title, ink, colorNone)
	for i, s := range lines {
		c.text(xy{border.x0 + 16, top + 44 + noteLine*float64(i+1)}, s, note, ink, colorNone)
	}

	scale := f.Scale
	if scale == "" {
		scale = "see scale bars"
	}
	x1, x2 := split, border.x1
	row := (low - top) / 3
	third := (x2 - x1) / 3
	fields := []struct {
		name, value string
		x, w        float64
		row         int
	}{
		{"Picture", f.Picture, x1, 2 * third, 0},
		{"Program", f.Program, x1 + 2*third, third, 0},
		{"Zero", f.Zero, x1, x2 - x1, 1},
		{"Units", f.Units.name(), x1, third * 0.6, 2},
		{"Scale", scale, x1 + third*0.6, third * 1.4, 2},
		{"Job fingerprint", f.Fingerprint, x1 + 2*third, third, 2},
	}
	value := lettering{sizeText, true}
	for _, d := range fields {
		y := top + row*float64(d.row)
		if d.row > 0 {
			c.rule(xy{d.x, y}, xy{d.x + d.w, y}, narrow/2, ink)
		}
		if d.x > x1 {
			c.rule(xy{d.x, y}, xy{d.x, y + row}, narrow/2, ink)
		}
		mid := y + row/2
		c.text(xy{d.x + 14, mid - 4}, d.name, note, muted, colorNone)
		c.text(xy{d.x + 14, mid + 21}, c.fit(d.value, value, d.w-24), value, ink, colorNone)
	}
	border.y1 = top
	return border
}

// statusBox is where the status lines lie, on any page with that many.
func (f *Figure) statusBox(border rect) rect {
	return rect{border.x0, border.y1 - statusLine*float64(len(f.Status)) - 12, border.x1, border.y1}
}

func (f *Figure) status(c *canvas, border rect) rect {
	box := f.statusBox(border)
	c.box(box, rgb(paperRGB))
	c.rule(xy{box.x0, box.y0}, xy{box.x1, box.y0}, narrow, rgb(inkRGB))
	l := lettering{sizeText, false}
	for i, s := range f.Status {
		l.bold = i == 0
		c.text(xy{box.x0 + 12, box.y0 + statusLine*float64(i+1)}, c.fit(s, l, box.w()-24), l, rgb(inkRGB), colorNone)
	}
	border.y1 = box.y0
	return border
}

// wrap breaks s at spaces into lines no wider than w.
func (c *canvas) wrap(s string, l lettering, w float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		switch {
		case line == "":
			line = word
		case c.width(line+" "+word, l) <= w:
			line += " " + word
		default:
			lines = append(lines, c.fit(line, l, w))
			line = word
		}
	}
	if line != "" {
		lines = append(lines, c.fit(line, l, w))
	}
	return lines
}
