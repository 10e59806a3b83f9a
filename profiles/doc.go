// Package profiles holds sections as pure geometry: the gear tooth with its
// root, the dovetail, the cutter; the standard tables they come from; and the
// sizes one measures on them. Lengths are millimetres and angles radians.
//
// Symbols follow ISO 21771 where it has one: m module, z number of teeth,
// alpha pressure angle, x profile shift coefficient, r_p (reference) pitch
// radius, r_b base radius, r_a tip radius, r_f root radius, W base tangent
// length, inv the involute function.
package profiles
