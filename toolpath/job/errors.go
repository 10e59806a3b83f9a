package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Error is one mistake in a job or shop file.
type Error struct {
	File string // as named by the user
	Line int    // from 1; 0: the file as a whole
	Col  int    // from 1, in characters
	Key  string // dotted, "" when none is meant
	Msg  string // what is wrong, with the value, its unit and what is allowed
	Hint string // what to try, or ""
}

// Error returns the mistake as one line:
// file:line:column: key: message; hint.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", e.Line, e.Col)
	}
	for _, part := range []string{e.Key, e.Msg} {
		if part != "" {
			if b.Len() > 0 {
				b.WriteString(": ")
			}
			b.WriteString(part)
		}
	}
	if e.Hint != "" {
		b.WriteString("; ")
		b.WriteString(e.Hint)
	}
	return oneLine(b.String())
}

// oneLine escapes what could break a line or move the cursor of a terminal.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, s)
}

// Errors are all mistakes of a job, by file and position.
type Errors []*Error

// Error returns one line a mistake.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// maxErrors is how many mistakes are told: more only bury the first.
const maxErrors = 100

// finish sorts the mistakes and returns them as an error, nil when there are
// none. Those of the job file, named first, come before the shop file's.
func (e Errors) finish(first string) error {
	if len(e) == 0 {
		return nil
	}
	rank := func(x *Error) int {
		if x.File == first {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(e, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	if len(e) > maxErrors {
		more := len(e) - maxErrors
		e = append(e[:maxErrors:maxErrors], &Error{File: first, Msg: fmt.Sprintf("and %d more mistakes", more)})
	}
	return e
}

// Nearest returns the name of the set that a misspelt one most likely means,
// or "" when none is near.
func Nearest(name string, set []string) string {
	best, least := "", 1+len(name)/3
	for _, s := range set {
		if d := distance(strings.ToLower(name), strings.ToLower(s), least); d < least {
			best, least = s, d
		}
	}
	return best
}

// distance is the number of letters to change, drop, add or swap with the next
// to turn a into b (optimal string alignment); most or more is told as most.
func distance(a, b string, most int) int {
	if len(a)-len(b) >= most || len(b)-len(a) >= most {
		return most
	}
	before, last, row := []int{}, make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			swap := 1
			if a[i-1] == b[j-1] {
				swap = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+swap)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, make([]int, len(b)+1)
	}
	return min(last[len(b)], most)
}
