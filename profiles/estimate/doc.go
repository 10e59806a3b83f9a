// Package estimate holds what is estimated of a repair: the load on the tooth,
// the fit of the dovetail, the stress of both in the casting, how the finished
// tooth runs with its mate. Each answer lists the assumptions it rests on; none
// is a rating. Lengths are millimetres, angles radians, forces newtons and
// stresses MPa unless said.
package estimate
