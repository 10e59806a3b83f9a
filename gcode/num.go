package gcode

import (
	"fmt"
	"math"
	"strconv"
)

// Num is an exact decimal number: Units / 10^Decimals. Two Nums of one value
// may differ in Decimals; compare them with Equal.
type Num struct {
	Units    int64
	Decimals uint8 // how many decimals Units counts
}

// maxExact is the largest integer up to which every integer is a float64, so
// that one division by a power of ten up to 10^22 (itself exact) is rounded
// correctly.
const maxExact = 1 << 53

// maxDecimals is the most decimals a Num is made with or read with: with
// more, the units of any number near 1 do not fit in 64 bits.
const maxDecimals = 18

var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// Int returns the whole number i as a Num.
func Int(i int) Num { return Num{Units: int64(i)} }

// Fixed returns v rounded to a number of decimals (0 to 18): once, from the
// exact value of v, halves away from zero. There is no minus zero. It fails
// when v is not finite, or has more than 2^53 units.
func Fixed(v float64, decimals int) (Num, error) {
	if decimals < 0 || decimals > maxDecimals {
		return Num{}, fmt.Errorf("%d decimals: 0 to %d can be written", decimals, maxDecimals)
	}
	scale := pow10[decimals]
	a := math.Abs(v)
	p := float64(a * scale)
	if !(p < maxExact) {
		return Num{}, fmt.Errorf("%v cannot be written with %d decimals", v, decimals)
	}
	// p + e is a*scale exactly, so the comparison below is that of the exact
	// value with the half.
	e := math.FMA(a, scale, -p)
	f := math.Floor(p)
	units := int64(f)
	if (p-f)-0.5 >= -e {
		units++
	}
	if v < 0 {
		units = -units
	}
	return Num{Units: units, Decimals: uint8(decimals)}, nil
}

// Float returns the float64 nearest to n.
func (n Num) Float() float64 {
	if -maxExact <= n.Units && n.Units <= maxExact && int(n.Decimals) < len(pow10) {
		return float64(n.Units) / pow10[n.Decimals]
	}
	// The text of a Num is always a number in range: at most 19 digits over
	// at most 10^255.
	f, _ := strconv.ParseFloat(n.String(), 64)
	return f
}

// Equal says whether n and k are the same number.
func (n Num) Equal(k Num) bool { return n.lowest() == k.lowest() }

// lowest returns n with no zero at the end of its decimals.
func (n Num) lowest() Num {
	if n.Units == 0 {
		return Num{}
	}
	for n.Decimals > 0 && n.Units%10 == 0 {
		n.Units /= 10
		n.Decimals--
	}
	return n
}

// String returns n as the shortest exact decimal: "-1.5", "20", "0.0001".
func (n Num) String() string { return string(appendNum(nil, n.lowest(), false)) }

// appendNum appends a number in lowest terms, a digit on both sides of the
// point. With point set, a whole number ends in ".0".
func appendNum(dst []byte, n Num, point bool) []byte {
	u := uint64(n.Units)
	if n.Units < 0 {
		dst = append(dst, '-')
		u = -u
	}
	var buf [20]byte // the digits of any 64 bits
	i := len(buf)
	for {
		i--
		buf[i] = byte('0' + u%10)
		if u /= 10; u == 0 {
			break
		}
	}
	digits := buf[i:]
	whole := len(digits) - int(n.Decimals)
	if whole <= 0 {
		dst = append(dst, "0."...)
		for ; whole < 0; whole++ {
			dst = append(dst, '0')
		}
		return append(dst, digits...)
	}
	dst = append(dst, digits[:whole]...)
	if n.Decimals > 0 {
		dst = append(dst, '.')
		return append(dst, digits[whole:]...)
	}
	if point {
		dst = append(dst, ".0"...)
	}
	return dst
}
