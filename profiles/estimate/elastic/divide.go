package elastic

import (
	"math"

	"cogmend/profiles/geom"
)

// Divide puts points on a line so that they stand about size apart, the first
// and the last included; corners of the line between them may be cut.
func Divide(line []geom.Vec, size func(geom.Vec) float64) []geom.Vec {
	length := make([]float64, len(line))
	for i := 1; i < len(line); i++ {
		length[i] = length[i-1] + line[i].Sub(line[i-1]).Norm()
	}
	total := length[len(line)-1]
	at := func(s float64) geom.Vec {
		for i := 1; i < len(line); i++ {
			if s <= length[i] || i == len(line)-1 {
				return line[i-1].Lerp(line[i], (s-length[i-1])/(length[i]-length[i-1]))
			}
		}
		return line[0]
	}
	// The number of sizes along the line, then as many even steps of it.
	const fine = 200
	sum := make([]float64, fine+1)
	for i := range fine {
		sum[i+1] = sum[i] + total/fine/size(at(total*(float64(i)+0.5)/fine))
	}
	n := max(1, int(math.Round(sum[fine])))
	out := []geom.Vec{line[0]}
	for k, i := 1, 0; k < n; k++ {
		want := sum[fine] * float64(k) / float64(n)
		for sum[i+1] < want {
			i++
		}
		out = append(out, at(total*(float64(i)+(want-sum[i])/(sum[i+1]-sum[i]))/fine))
	}
	return append(out, line[len(line)-1])
}
