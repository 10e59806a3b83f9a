package gcode

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func TestFixed(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		units    int64
	}{
		{0, 4, 0},
		{math.Copysign(0, -1), 4, 0},
		{-0.00004, 4, 0}, // no minus zero
		{1.5, 4, 15000},
		{-1.5, 4, -15000},
		{0.5, 0, 1}, // halves away from zero, where they are exact
		{-0.5, 0, -1},
		{2.5, 0, 3},
		{0.125, 2, 13},
		{-0.125, 2, -13},
		{0.49999999999999994, 0, 0}, // the largest number below a half
		{2.00005, 4, 20000},         // the float64 is 2.00004999...: rounded once, not after a product
		{25.4, 5, 2540000},
		{9e11, 4, 9e15},
	} {
		n, err := Fixed(c.v, c.decimals)
		if want := (Num{c.units, uint8(c.decimals)}); err != nil || n != want {
			t.Errorf("Fixed(%v, %d) = %+v, %v; want %+v", c.v, c.decimals, n, err, want)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e12, -1e12, math.MaxFloat64} {
		if n, err := Fixed(v, 4); err == nil {
			t.Errorf("Fixed(%v, 4) = %v, want an error", v, n)
		}
	}
	for _, d := range []int{-1, 19} {
		if _, err := Fixed(1, d); err == nil {
			t.Errorf("Fixed with %d decimals is no error", d)
		}
	}
}

// The oracle is exact arithmetic with big rationals: floor(|v| 10^d + 1/2).
func TestFixedExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		if rapid.Bool().Draw(t, "half") { // near a half step, where rounding twice goes wrong
			v = (math.Floor(v) + 0.5) / 1e4
		}
		d := rapid.IntRange(0, 9).Draw(t, "decimals")
		got, err := Fixed(v, d)
		if err != nil {
			t.Fatal(err)
		}
		x := new(big.Rat).SetFloat64(math.Abs(v))
		x.Mul(x, new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(d)), nil)))
		x.Add(x, big.NewRat(1, 2))
		want := new(big.Int).Quo(x.Num(), x.Denom()).Int64()
		if v < 0 {
			want = -want
		}
		if got.Units != want {
			t.Fatalf("Fixed(%v, %d) has %d units, want %d", v, d, got.Units, want)
		}
	})
}

// The oracle is the correctly rounded quotient of big rationals.
func TestFloatExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := Num{rapid.Int64().Draw(t, "units"), uint8(rapid.IntRange(0, 30).Draw(t, "decimals"))}
		ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n.Decimals)), nil)
		want, _ := new(big.Rat).SetFrac(big.NewInt(n.Units), ten).Float64()
		if got := n.Float(); got != want {
			t.Fatalf("%+v.Float() = %v, want %v", n, got, want)
		}
	})
}

func TestNumText(t *testing.T) {
	for _, c := range []struct {
		n     Num
		plain string
		point string
	}{
		{Num{}, "0", "0.0"},
		{Num{0, 4}, "0", "0.0"},
		{Num{15000, 4}, "1.5", "1.5"},
		{Num{-1, 4}, "-0.0001", "-0.0001"},
		{Num{200000, 4}, "20", "20.0"},
		{Num{382, 1}, "38.2", "38.2"},
		{Num{math.MinInt64, 0}, "-9223372036854775808", "-9223372036854775808.0"},
		{Num{math.MaxInt64, 18}, "9.223372036854775807", "9.223372036854775807"},
	} {
		if got := c.n.String(); got != c.plain {
			t.Errorf("%+v is written %q, want %q", c.n, got, c.plain)
		}
		if got := string(appendNum(nil, c.n.lowest(), true)); got != c.point {
			t.Errorf("%+v with a point is written %q, want %q", c.n, got, c.point)
		}
	}
	if !(Num{15, 1}).Equal(Num{1500, 3}) || (Num{15, 1}).Equal(Num{15, 2}) || !Int(3).Equal(Num{30, 1}) {
		t.Error("Equal does not compare values")
	}
}
