// Package preview draws the pictures of a repair.
//
// ProgramFigures makes the figures of one program from a Scene: the plan, the
// stock before it and what the replay left. Dry makes the frames of its dry run
// as the replay reads it. Their axes count from the program's zero, so that a
// number read off a picture is the one the control shows; sections of the gear
// are in the gear's own frame, where it is the cutter that leans.
//
// Package figure draws them; package sheet writes the sheet to work from.
package preview
