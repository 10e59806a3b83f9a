// Package preview turns finished data into figures and draws them.
//
// A Figure is a display list: panels with world windows, and in each the
// regions, lines, dimensions and labels to show. Figure.Text lists it for
// tests; Figure.Draw and Figure.PNG make the picture; Stage and Reel make the
// frames of a dry run. World lengths are millimetres in geom.Vec, whose first
// number goes to the right and whose second goes up, in plan views and graphs
// also. Page lengths are pixels of a page 1600 wide before scaling.
//
// ProgramFigures makes the figures of one program from a Scene: the plan, the
// stock before it and what the replay left. Dry makes the frames of its dry run
// as the replay reads it. Their axes count from the program's zero, so that a
// number read off a picture is the one the control shows; sections of the gear
// are in the gear's own frame, where it is the cutter that leans.
//
// Line types and widths are those of ISO 128-20:1996 (thin continuous, dashed,
// long-dash dot, long-dash double-dot; wide twice as thick as narrow), cut
// sections are hatched at 45 degrees as in ISO 128-50:2001, and tick steps are
// 1, 2 or 5 times a power of ten. The colours are our own and are named by
// what they mean.
package preview
