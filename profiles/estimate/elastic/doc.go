// Package elastic works out small elastic strains in a plane section by finite
// elements: six-node triangles with straight or curved sides, plane strain or
// plane stress, several bodies that press on one another without friction.
//
// It knows nothing of gears. Lengths mm, forces N per mm of depth, stresses
// and moduli MPa. The section plane is Y (right) and Z (up); loops run
// anticlockwise.
package elastic
