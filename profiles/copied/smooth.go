package copied

import "math"

// A curve is a uniform B-spline, linear beyond its ends, held smooth by its
// coefficients' differences (P-splines: Eilers and Marx, Statistical Science 11,
// 1996).
type curve struct {
	lo, step float64
	coef     []float64
}

const (
	degree = 4  // of the spline: its second derivative bends smoothly
	pieces = 24 // between its ends
)

// basis returns the values of the p+1 splines of degree p that are not zero at
// the share t of a piece (de Boor's recursion, uniform knots).
func basis(t float64, p int) (b [degree + 1]float64) {
	b[p] = 1
	for k := 1; k <= p; k++ {
		for i := p - k; i <= p; i++ {
			left, right := 0.0, 0.0
			if i >= p-k+1 {
				left = (t + float64(p-i)) / float64(k) * b[i]
			}
			if i < p {
				right = (float64(k+1-(p-i)) - t) / float64(k) * b[i+1]
			}
			b[i] = left + right
		}
	}
	return b
}

// piece returns which piece x lies in, and the share of it; inside the ends.
func (c *curve) piece(x float64) (int, float64) {
	t := min(pieces, max(0, (x-c.lo)/c.step))
	k := min(pieces-1, int(t))
	return k, t - float64(k)
}

// weights returns the values at x of the n-th derivative of the splines that
// are not zero there, and the first of them.
func (c *curve) weights(x float64, n int) (first int, w [degree + 1]float64) {
	k, t := c.piece(x)
	w = basis(t, degree-n)
	for d := range n { // the derivative of a spline: differences of lower ones
		var next [degree + 1]float64
		for i := range degree - n + d + 1 {
			next[i] -= w[i] / c.step
			next[i+1] += w[i] / c.step
		}
		w = next
	}
	return k, w
}

// value returns the n-th derivative at x, inside the ends.
func (c *curve) value(x float64, n int) float64 {
	k, w := c.weights(x, n)
	sum := 0.0
	for i, v := range w {
		sum += v * c.coef[k+i]
	}
	return sum
}

// at returns value, slope and bend at x.
func (c *curve) at(x float64) (v, d1, d2 float64) {
	if c.coef == nil {
		return 0, 0, 0
	}
	hi := c.lo + c.step*pieces
	in := min(hi, max(c.lo, x))
	v, d1 = c.value(in, 0), c.value(in, 1)
	if in != x {
		return v + d1*(x-in), d1, 0
	}
	return v, d1, c.value(in, 2)
}

// want is one thing a curve is asked for: the order-th derivative at x, plus
// own times its value there, to be value; heavily or lightly.
type want struct {
	x, value, weight float64
	order            int
	own              float64
}

// size is how many splines there are.
const size = pieces + degree

// lower is the lower triangle of a banded matrix's root (Cholesky).
type lower [size][degree + 1]float64

// at is the place of row i and column k in the band.
func (l *lower) at(i, k int) *float64 { return &l[i][i-k] }

// root takes the root of the matrix itself, of which the lower half is given;
// false when it is not positive.
func (l *lower) root() bool {
	for j := range size {
		for k := max(0, j-degree); k < j; k++ {
			*l.at(j, j) -= *l.at(j, k) * *l.at(j, k)
		}
		d := l.at(j, j)
		if !(*d > 0) {
			return false
		}
		*d = math.Sqrt(*d)
		for i := j + 1; i < min(size, j+degree+1); i++ {
			for k := max(0, i-degree); k < j; k++ {
				*l.at(i, j) -= *l.at(i, k) * *l.at(j, k)
			}
			*l.at(i, j) /= *d
		}
	}
	return true
}

// down solves L x = b in place.
func (l *lower) down(x []float64) {
	for i := range size {
		for k := max(0, i-degree); k < i; k++ {
			x[i] -= *l.at(i, k) * x[k]
		}
		x[i] /= *l.at(i, i)
	}
}

// up solves L' x = b in place.
func (l *lower) up(x []float64) {
	for i := size - 1; i >= 0; i-- {
		for k := i + 1; k < min(size, i+degree+1); k++ {
			x[i] -= *l.at(k, i) * x[k]
		}
		x[i] /= *l.at(i, i)
	}
}

// order of the differences held small: a parabola has none.
const order = 3

var differences = [order + 1]float64{-1, 3, -3, 1}

// solve finds the coefficients: least squares of the wants, and of the
// differences with the weight stiff. free is how many free
// numbers the curve then has: the trace of what turns values wanted into the
// curve's own, over the first count of them.
func (c *curve) solve(wants []want, count int, stiff float64) (free float64, ok bool) {
	var a lower
	b := make([]float64, size)
	for _, w := range wants {
		k, r := c.combined(w)
		for i, v := range r {
			b[k+i] += w.weight * v * w.value
			for j := range i + 1 {
				*a.at(k+i, k+j) += w.weight * v * r[j]
			}
		}
	}
	diff := differences
	for i := range size - order {
		for p, v := range diff {
			for q := range p + 1 {
				*a.at(i+p, i+q) += stiff * v * diff[q]
			}
		}
	}
	if !a.root() {
		return 0, false
	}
	a.down(b)
	a.up(b)
	c.coef = b
	for _, w := range wants[:count] {
		k, r := c.combined(w)
		x := make([]float64, size)
		copy(x[k:], r[:])
		a.down(x)
		for _, v := range x {
			free += w.weight * v * v
		}
	}
	return free, true
}

// combined is the row of a want.
func (c *curve) combined(w want) (int, [degree + 1]float64) {
	k, r := c.weights(w.x, w.order)
	if w.own != 0 {
		_, plain := c.weights(w.x, 0)
		for i, v := range plain {
			r[i] += w.own * v
		}
	}
	return k, r
}
