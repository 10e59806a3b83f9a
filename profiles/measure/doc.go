// Package measure holds the sizes one measures on a gear tooth and on a
// dovetail, and what readings of them mean: span, size over pins, chord, touches
// by the side of a cutter, the limits of an inspection sheet, and which standard
// gear a worn one may be. Lengths are millimetres and angles radians.
package measure
