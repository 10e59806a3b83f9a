// Package copied makes a tooth's form out of readings on a good tooth: touches
// of its flank with the side of a still cutter, which are samples of the flank's
// support function, or chords at heights below the tip.
//
// A copy is held to what was read: the readings are good to a stated limit, the
// flank is convex, and nothing is known between two touches but that.
//
// Lengths mm, angles rad.
package copied
