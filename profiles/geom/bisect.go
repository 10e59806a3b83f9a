package geom

// Bisect halves the stretch from lo to hi until it is no longer than near or no
// number lies between its ends, and returns them: past does not hold at the first
// and holds at the second. It is taken for granted that it does so at lo and hi.
func Bisect(lo, hi, near float64, past func(x float64) bool) (below, above float64) {
	for hi-lo > near {
		mid := (lo + hi) / 2
		if mid <= lo || mid >= hi {
			break
		}
		if past(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo, hi
}

// Root is the middle of what Bisect finds where a function that is not positive
// at lo and positive at hi passes zero.
func Root(lo, hi, near float64, f func(x float64) float64) float64 {
	lo, hi = Bisect(lo, hi, near, func(x float64) bool { return f(x) > 0 })
	return (lo + hi) / 2
}
