// Package gcode holds the text of machining programs: words, blocks and
// positions, a strict reader and a strict writer.
//
// The standard is NISTIR 6556, Kramer, Proctor, Messina, "The NIST RS274NGC
// Interpreter - Version 3", August 2000; clause numbers in comments are its
// own. This package holds clauses 3.1 to 3.3, the form of the text. What the
// words mean to a machine is the business of package machine.
//
// A number is a scaled integer (Num). It is rounded once, when it is made by
// Fixed, and is the same number again after writing and reading.
//
// Not read, though the standard allows them: parameters (#), expressions
// and functions ([ ]), numbers of more than 18 digits. They are refused with
// an UnsupportedError; the reader stops there and never skips.
package gcode
