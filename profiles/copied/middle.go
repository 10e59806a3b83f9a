package copied

import "math"

// Middle tells from touches of right and left flanks, which are alike, how far Y0
// stands off the middle of the gear: the right ones then read so much too far out
// and the left ones too near. A curve of the second degree, which follows any
// flank nearly, is fitted through all with that number beside it (least squares).
// sure says that the readings, each within limit, tell it from their scatter.
func Middle(right, left []Touch, limit float64) (off float64, sure bool) {
	const n = 4
	if len(right) < 2 || len(left) < 2 || len(right)+len(left) < n+2 {
		return 0, false
	}
	mean := 0.0
	for _, list := range [][]Touch{right, left} {
		for _, t := range list {
			mean += t.Angle / float64(len(right)+len(left))
		}
	}
	// Normal equations, and the column that gives the variance of the last number.
	var a [n][n + 2]float64
	for i, list := range [][]Touch{right, left} {
		for _, t := range list {
			x := t.Angle - mean
			row := [n]float64{1, x, x * x, float64(1 - 2*i)}
			for r := range n {
				for c := range n {
					a[r][c] += row[r] * row[c]
				}
				a[r][n] += row[r] * t.Plane
			}
		}
	}
	a[n-1][n+1] = 1
	for k := range n {
		p := k
		for r := k + 1; r < n; r++ {
			if math.Abs(a[r][k]) > math.Abs(a[p][k]) {
				p = r
			}
		}
		a[k], a[p] = a[p], a[k]
		if math.Abs(a[k][k]) < 1e-12 {
			return 0, false
		}
		for r := range n {
			if f := a[r][k] / a[k][k]; r != k {
				for c := k; c < n+2; c++ {
					a[r][c] -= f * a[k][c]
				}
			}
		}
	}
	off = a[n-1][n] / a[n-1][n-1]
	scatter := max(limit, least) / math.Sqrt(3) * math.Sqrt(a[n-1][n+1]/a[n-1][n-1])
	return off, math.Abs(off) > surely*scatter
}

// surely is how many times its own scatter Y0 must seem off to be said so: what
// one list in some ten thousand would show by chance.
const surely = 4
