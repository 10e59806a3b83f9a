package elastic

import "math"

// Material is what a body is made of.
type Material struct {
	Elastic float64 // modulus of elasticity, MPa
	Poisson float64 // Poisson's ratio
}

// law returns the three numbers of the stress-strain law: sy = a ey + b ez,
// sz = b ey + a ez, t = g gamma.
func (m Material) law(planeStress bool) (a, b, g float64) {
	e, nu := m.Elastic, m.Poisson
	g = e / 2 / (1 + nu)
	if planeStress {
		a = e / (1 - nu*nu)
		return a, a * nu, g
	}
	k := e / ((1 + nu) * (1 - 2*nu))
	return k * (1 - nu), k * nu, g
}

// stiffness returns the stiffness of element e: rows and columns run y, z of
// its six nodes.
func (s *System) stiffness(e int) (k [12][12]float64) {
	a, b, g := s.Materials[s.Body[e]].law(s.PlaneStress)
	for _, q := range gauss {
		gy, gz, det := s.gradients(e, q[0], q[1])
		w := math.Abs(det) / 6
		for i := range 6 {
			for j := range i + 1 {
				yy, yz, zy, zz := gy[i]*gy[j], gy[i]*gz[j], gz[i]*gy[j], gz[i]*gz[j]
				k[2*i][2*j] += w * (a*yy + g*zz)
				k[2*i][2*j+1] += w * (b*yz + g*zy)
				k[2*i+1][2*j] += w * (b*zy + g*yz)
				k[2*i+1][2*j+1] += w * (a*zz + g*yy)
			}
		}
	}
	for i := range 6 { // above the diagonal
		for j := range i {
			for r := range 2 {
				for c := range 2 {
					k[2*j+c][2*i+r] = k[2*i+r][2*j+c]
				}
			}
		}
	}
	for i, n := range s.Element[e] {
		if ax := s.axis[n]; ax.Y != 1 {
			turnPair(&k, i, ax.Y, ax.Z)
		}
	}
	return k
}

// turnPair writes node i's rows and columns along its own axes: the first
// along (c, n), the second a right angle further on.
func turnPair(k *[12][12]float64, i int, c, n float64) {
	for j := range 12 {
		y, z := k[2*i][j], k[2*i+1][j]
		k[2*i][j], k[2*i+1][j] = c*y+n*z, c*z-n*y
	}
	for j := range 12 {
		y, z := k[j][2*i], k[j][2*i+1]
		k[j][2*i], k[j][2*i+1] = c*y+n*z, c*z-n*y
	}
}
