package outdir

import (
	"fmt"
	"strings"
)

// resyncLines is how far Differing looks for the place where two texts agree
// again; a longer change is told line by line to the end.
const resyncLines = 100

// Differing returns the numbers, from 1, of the lines of a that are not in b.
// Where a only lacks lines, it is the line before which they are missing, or
// the last one.
func Differing(a, b []byte) []int {
	x, y := textLines(a), textLines(b)
	var out []int
	i, j := 0, 0
	for i < len(x) || j < len(y) {
		if i < len(x) && j < len(y) && x[i] == y[j] {
			i++
			j++
			continue
		}
		di, dj := resync(x[i:], y[j:])
		if di == 0 {
			out = append(out, min(i+1, len(x)))
		}
		for k := range di {
			out = append(out, i+k+1)
		}
		i += di
		j += dj
	}
	if len(out) == 0 {
		out = append(out, len(x)) // nothing but the last line's end
	}
	return out
}

// resync returns the least number of lines to pass over in x and y, that
// differ in the first, before they agree: in two lines running, because many
// lines of a program stand in it more than once, or to the end.
func resync(x, y []string) (di, dj int) {
	agree := func(i, j int) bool {
		for k := range 2 {
			if i+k >= len(x) || j+k >= len(y) {
				return len(x)-i == len(y)-j
			}
			if x[i+k] != y[j+k] {
				return false
			}
		}
		return true
	}
	for sum := 1; sum <= 2*resyncLines; sum++ {
		// Equal steps first: a changed line is commoner than one put in.
		for k := range sum + 1 {
			di := sum/2 + (k+1)/2
			if k%2 == 0 {
				di = sum/2 - k/2
			}
			dj := sum - di
			if di >= 0 && dj >= 0 && di <= len(x) && dj <= len(y) && agree(di, dj) {
				return di, dj
			}
		}
	}
	return len(x), len(y)
}

// textLines is text without its line ends, blank at the end left out.
func textLines(text []byte) []string {
	if len(text) == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
}

// LineList names line numbers shortly.
func LineList(n []int) string {
	const most = 6
	s := make([]string, 0, most)
	for i, l := range n {
		if i == most {
			s = append(s, fmt.Sprintf("and %d more", len(n)-most))
			break
		}
		s = append(s, fmt.Sprint(l))
	}
	word := "line "
	if len(n) > 1 {
		word = "lines "
	}
	return word + strings.Join(s, ", ")
}
