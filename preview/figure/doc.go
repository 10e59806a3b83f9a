// Package figure draws pages: panels with axes, and in them metal, lines,
// dimensions and labels. It knows nothing of what they mean.
//
// A Figure is a display list: panels with world windows, and in each the
// regions, lines, dimensions and labels to show. Figure.Text lists it for
// tests; Figure.Draw and Drawing.PNG make the picture; Backdrop and Reel make
// frames that share what stands still. World lengths are millimetres in
// geom.Vec, whose first number goes to the right and whose second goes up, in
// plan views and graphs also. Page lengths are pixels of a page 1600 wide
// before scaling.
//
// Line types and widths are those of ISO 128-20:1996 (thin continuous, dashed,
// long-dash dot, long-dash double-dot; wide twice as thick as narrow), cut
// sections are hatched at 45 degrees as in ISO 128-50:2001, and tick steps are
// 1, 2 or 5 times a power of ten. The colours are our own and are named by
// what they mean.
package figure
