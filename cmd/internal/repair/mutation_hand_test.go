package repair

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// toolForm is the head's line of a tool.
var toolForm = regexp.MustCompile(`^\(Tool T([0-9]+): `)

// handMutations are the ways of spoiling what goes with a tool's length and
// with the operator's hands.
func handMutations(add func(string, func([]string, int) ([]string, bool))) {
	add("length offset left out", func(lines []string, at int) ([]string, bool) {
		return slices.Delete(slices.Clone(lines), at, at+1), strings.HasPrefix(lines[at], "G43 ")
	})
	add("H: one more", changed('H', func(s string) (string, bool) { return fmt.Sprint(int(mustNumber(s)) + 1), true }))
	add("touch-off left out", func(lines []string, at int) ([]string, bool) {
		if !strings.HasPrefix(lines[at], "(Touch off ") || lines[at+1] != "M0" {
			return nil, false
		}
		return slices.Delete(slices.Clone(lines), at, at+2), true
	})
	add("another tool put in by hand", func(lines []string, at int) ([]string, bool) {
		other := slices.IndexFunc(lines, func(l string) bool { return toolForm.MatchString(l) })
		if other < 0 || !passMark.MatchString(lines[at]) {
			return nil, false
		}
		return slices.Insert(slices.Clone(lines), at, "(Put in T"+toolForm.FindStringSubmatch(lines[other])[1]+")", "M5", "M0", "S1000 M3"), true
	})
	add("way over before the way down", func(lines []string, at int) ([]string, bool) {
		if at == 0 || !passMark.MatchString(lines[at]) || !strings.HasPrefix(lines[at-1], "G0 Z") {
			return nil, false
		}
		over := slices.IndexFunc(lines[at:], func(l string) bool { return strings.HasPrefix(l, "G0 X") })
		if over < 0 {
			return nil, false
		}
		out := slices.Clone(lines)
		out[at-1], out[at+over] = out[at+over], out[at-1]
		return out, true
	})
	add("a step not told, the next one twice", func(lines []string, at int) ([]string, bool) {
		next := at + 1
		for next < len(lines) && !strings.HasPrefix(lines[next], "(Step ") {
			next++
		}
		if !strings.HasPrefix(lines[at], "(Step ") || next == len(lines) {
			return nil, false
		}
		out := slices.Insert(slices.Clone(lines), next, lines[next], "M0")
		return slices.Delete(out, at, at+1), true
	})
}
