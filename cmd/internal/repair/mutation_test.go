package repair

import (
	"fmt"
	"hash/fnv"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// mutatedJobs are the jobs whose good programs are spoilt: tools touched off at
// stops, put in by hand, and of lengths the control keeps.
var mutatedJobs = []string{"demo", "head", "module4-inch", "brazed"}

// sitesEach is how many places of one program each way of spoiling is tried
// at, spread over its length; with COGMEND_SOAK more, and one job more.
const (
	sitesEach = 1
	sitesSoak = 12
)

// mutation spoils a program at a place; ok is false where it does not apply.
type mutation struct {
	name  string
	spoil func(lines []string, at int) (spoilt []string, ok bool)
}

// word returns the text of a letter's number in a line that is no comment.
func word(line string, letter byte) (text string, from int, ok bool) {
	if strings.HasPrefix(line, "(") {
		return "", 0, false
	}
	for _, m := range wordForm.FindAllStringSubmatchIndex(line, -1) {
		if line[m[2]] == letter {
			return line[m[4]:m[5]], m[4], true
		}
	}
	return "", 0, false
}

// changed replaces the number of a word.
func changed(letter byte, to func(string) (string, bool)) func([]string, int) ([]string, bool) {
	return func(lines []string, at int) ([]string, bool) {
		text, from, ok := word(lines[at], letter)
		if !ok {
			return nil, false
		}
		s, ok := to(text)
		if !ok || s == text {
			return nil, false
		}
		out := slices.Clone(lines)
		out[at] = lines[at][:from] + s + lines[at][from+len(text):]
		return out, true
	}
}

// plus adds to a number, keeping its decimals.
func plus(d float64) func(string) (string, bool) {
	return func(s string) (string, bool) {
		v := mustNumber(s) + d
		return strconv.FormatFloat(v, 'f', 4, 64), true
	}
}

func times(k float64) func(string) (string, bool) {
	return func(s string) (string, bool) {
		v := mustNumber(s)
		return strconv.FormatFloat(v*k, 'f', 4, 64), v != 0
	}
}

// digit raises the digit at a place counted from the point: 1 tens, 0 ones,
// -1 tenths, -2 hundredths.
func digit(place int) func(string) (string, bool) {
	return func(s string) (string, bool) {
		point := strings.IndexByte(s, '.')
		if point < 0 {
			point = len(s)
		}
		i := point - 1 - place
		if place < 0 {
			i = point - place
		}
		if i < 0 || i >= len(s) || s[i] < '0' || s[i] > '9' {
			return s, false
		}
		d := '0' + (s[i]-'0'+3)%10
		return s[:i] + string(rune(d)) + s[i+1:], true
	}
}

func dropWord(letter byte) func([]string, int) ([]string, bool) {
	return func(lines []string, at int) ([]string, bool) {
		text, from, ok := word(lines[at], letter)
		if !ok {
			return nil, false
		}
		out := slices.Clone(lines)
		out[at] = strings.TrimSpace(strings.ReplaceAll(lines[at][:from-1]+lines[at][from+len(text):], "  ", " "))
		return out, true
	}
}

// swapped replaces text in the lines that hold it.
func swapped(from, to string) func([]string, int) ([]string, bool) {
	return func(lines []string, at int) ([]string, bool) {
		if strings.HasPrefix(lines[at], "(") || !slices.Contains(strings.Fields(lines[at]), from) {
			return nil, false
		}
		fields := strings.Fields(lines[at])
		fields[slices.Index(fields, from)] = to
		out := slices.Clone(lines)
		out[at] = strings.TrimSpace(strings.Join(strings.Fields(strings.Join(fields, " ")), " "))
		return out, true
	}
}

// everywhere does a change to every line that takes it.
func everywhere(f func([]string, int) ([]string, bool)) func([]string, int) ([]string, bool) {
	return func(lines []string, at int) ([]string, bool) {
		if at > 0 {
			return nil, false
		}
		any := false
		for i := range lines {
			if out, ok := f(lines, i); ok {
				lines, any = out, true
			}
		}
		return lines, any
	}
}

var passMark = regexp.MustCompile(`^\(Pass [0-9]+: `)

// passFrom returns the lines of the pass that begins at a line.
func passFrom(lines []string, at int) (end int, ok bool) {
	if !passMark.MatchString(lines[at]) {
		return 0, false
	}
	for end = at + 1; end < len(lines); end++ {
		if passMark.MatchString(lines[end]) || lines[end] == "M5" || lines[end] == "M9" {
			return end, true
		}
	}
	return 0, false
}

func negative(s string) (string, bool) {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return rest, true
	}
	return "-" + s, mustNumber(s) != 0
}

// mutations are the ways of spoiling.
func mutations() []mutation {
	var all []mutation
	add := func(name string, f func([]string, int) ([]string, bool)) {
		all = append(all, mutation{name, f})
	}
	for _, l := range []byte("XYZ") {
		for _, place := range []int{1, 0, -1, -2} {
			add(fmt.Sprintf("%c: a digit, %s", l, map[int]string{1: "tens", 0: "ones", -1: "tenths", -2: "hundredths"}[place]), changed(l, digit(place)))
		}
		add(fmt.Sprintf("%c: sign turned", l), changed(l, negative))
		add(fmt.Sprintf("%c: point moved right", l), changed(l, times(10)))
		add(fmt.Sprintf("%c: point moved left", l), changed(l, times(0.1)))
		add(fmt.Sprintf("%c: word dropped", l), dropWord(l))
		add(fmt.Sprintf("%c: 0.05 more", l), changed(l, plus(0.05)))
		add(fmt.Sprintf("%c: 0.05 less", l), changed(l, plus(-0.05)))
		add(fmt.Sprintf("%c: all 0.1 more", l), everywhere(changed(l, plus(0.1))))
		add(fmt.Sprintf("%c: all 0.1 less", l), everywhere(changed(l, plus(-0.1))))
		add(fmt.Sprintf("%c: all mirrored", l), everywhere(changed(l, negative)))
	}
	for _, place := range []int{1, 0, -1, -2} {
		add(fmt.Sprintf("A: a digit, place %d", place), changed('A', digit(place)))
	}
	add("A: sign turned", changed('A', negative))
	add("A: all turned", everywhere(changed('A', negative)))
	add("A: point moved", changed('A', times(0.1)))
	add("A: 1 degree more", changed('A', plus(1)))
	add("F: ten times", changed('F', times(10)))
	add("F: a tenth", changed('F', times(0.1)))
	add("F: a digit", changed('F', digit(1)))
	add("F: dropped", dropWord('F'))
	add("F: all dropped", everywhere(dropWord('F')))
	add("F: nought", changed('F', times(0)))
	add("S: ten times", changed('S', times(10)))
	add("S: a tenth", changed('S', times(0.1)))
	add("S: a digit", changed('S', digit(2)))
	add("S: dropped", dropWord('S'))
	add("T: one more", changed('T', func(s string) (string, bool) { return fmt.Sprint(int(mustNumber(s)) + 1), true }))
	add("T: one less", changed('T', func(s string) (string, bool) { return fmt.Sprint(int(mustNumber(s)) - 1), true }))
	add("T: not in the job", changed('T', func(string) (string, bool) { return "77", true }))
	for _, s := range [][2]string{
		{"G0", "G1"}, {"G1", "G0"}, {"G0", ""}, {"G1", ""}, {"G1", "G2"}, {"G1", "G10"}, {"G0", "G28"},
		{"G90", "G91"}, {"G90", ""}, {"G54", "G55"}, {"G54", ""}, {"G94", "G93"}, {"G94", ""}, {"G17", "G18"}, {"G17", ""},
		{"G40", "G41"}, {"G40", ""}, {"G49", "G43"}, {"G49", ""}, {"G80", "G81"}, {"G80", ""},
		{"G21", "G20"}, {"G20", "G21"}, {"G21", ""}, {"G20", ""},
		{"M3", "M4"}, {"M3", "M5"}, {"M3", ""}, {"M6", ""}, {"M5", "M3"}, {"M5", ""}, {"M0", ""}, {"M0", "M1"}, {"M2", ""}, {"M2", "M0"},
	} {
		to := s[1]
		if to == "" {
			to = "nothing"
		}
		add(s[0]+" to "+to, swapped(s[0], s[1]))
	}
	add("X: turned end for end", func(lines []string, at int) ([]string, bool) {
		if at > 0 {
			return nil, false
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, l := range lines {
			if text, _, ok := word(l, 'X'); ok {
				lo, hi = min(lo, mustNumber(text)), max(hi, mustNumber(text))
			}
		}
		return everywhere(changed('X', func(s string) (string, bool) {
			return strconv.FormatFloat(lo+hi-mustNumber(s), 'f', 4, 64), true
		}))(lines, 0)
	})
	add("line dropped", func(lines []string, at int) ([]string, bool) {
		return slices.Delete(slices.Clone(lines), at, at+1), !strings.HasPrefix(lines[at], "(")
	})
	add("line doubled", func(lines []string, at int) ([]string, bool) {
		return slices.Insert(slices.Clone(lines), at, lines[at]), !strings.HasPrefix(lines[at], "(")
	})
	add("lines swapped", func(lines []string, at int) ([]string, bool) {
		if at+1 >= len(lines) || strings.HasPrefix(lines[at], "(") || strings.HasPrefix(lines[at+1], "(") {
			return nil, false
		}
		out := slices.Clone(lines)
		out[at], out[at+1] = out[at+1], out[at]
		return out, lines[at] != lines[at+1]
	})
	add("two lines run together", func(lines []string, at int) ([]string, bool) {
		if at+1 >= len(lines) || !strings.HasPrefix(lines[at], "G0 ") || !strings.HasPrefix(lines[at+1], "G0 ") {
			return nil, false
		}
		out := slices.Delete(slices.Clone(lines), at+1, at+2)
		out[at] = lines[at] + strings.TrimPrefix(lines[at+1], "G0")
		return out, true
	})
	add("index skipped", func(lines []string, at int) ([]string, bool) {
		return slices.Delete(slices.Clone(lines), at, at+1), strings.HasPrefix(lines[at], "G0 A")
	})
	add("index by hand changed", func(lines []string, at int) ([]string, bool) {
		m := gearForm.FindStringSubmatchIndex(lines[at])
		if m == nil {
			return nil, false
		}
		out := slices.Clone(lines)
		out[at] = lines[at][:m[2]] + strconv.FormatFloat(mustNumber(lines[at][m[2]:m[3]])+1, 'f', 4, 64) + lines[at][m[3]:]
		return out, true
	})
	add("index by hand not told", func(lines []string, at int) ([]string, bool) {
		return slices.Delete(slices.Clone(lines), at, at+1), gearForm.MatchString(lines[at])
	})
	add("way up left out", func(lines []string, at int) ([]string, bool) {
		return slices.Delete(slices.Clone(lines), at, at+1), at > 0 && strings.HasPrefix(lines[at], "G0 Z") && !strings.HasPrefix(lines[at-1], "S")
	})
	add("pass left out", func(lines []string, at int) ([]string, bool) {
		end, ok := passFrom(lines, at)
		if !ok {
			return nil, false
		}
		return slices.Delete(slices.Clone(lines), at, end), true
	})
	add("pass done twice", func(lines []string, at int) ([]string, bool) {
		end, ok := passFrom(lines, at)
		if !ok {
			return nil, false
		}
		return slices.Insert(slices.Clone(lines), end, lines[at:end]...), true
	})
	add("two passes change places", func(lines []string, at int) ([]string, bool) {
		mid, ok := passFrom(lines, at)
		if !ok {
			return nil, false
		}
		end, ok := passFrom(lines, mid)
		if !ok {
			return nil, false
		}
		out := append(slices.Clone(lines[:at]), lines[mid:end]...)
		return append(append(out, lines[at:mid]...), lines[end:]...), true
	})
	add("ends in the middle", func(lines []string, at int) ([]string, bool) {
		return append(slices.Clone(lines[:at]), "M2", ""), at > 40 && strings.HasPrefix(lines[at], "G")
	})
	add("cut off", func(lines []string, at int) ([]string, bool) {
		return slices.Clone(lines[:at]), at > 40 && strings.HasPrefix(lines[at], "G")
	})
	add("safe height lowered", func(lines []string, at int) ([]string, bool) {
		if at > 0 {
			return nil, false
		}
		safe := ""
		out := slices.Clone(lines)
		for i, l := range lines {
			if strings.HasPrefix(l, "G0 Z") && safe == "" {
				safe = l
			}
			if l == safe && safe != "" {
				text, _, _ := word(l, 'Z')
				out[i] = "G0 Z" + strconv.FormatFloat(mustNumber(text)-7, 'f', 4, 64)
			}
		}
		return out, safe != ""
	})
	add("letter O for nought", func(lines []string, at int) ([]string, bool) {
		out := slices.Clone(lines)
		out[at] = strings.Replace(lines[at], "0", "O", 1)
		return out, !strings.HasPrefix(lines[at], "(") && out[at] != lines[at]
	})
	add("comma for point", func(lines []string, at int) ([]string, bool) {
		out := slices.Clone(lines)
		out[at] = strings.Replace(lines[at], ".", ",", 1)
		return out, !strings.HasPrefix(lines[at], "(") && out[at] != lines[at]
	})
	add("comment not closed", func(lines []string, at int) ([]string, bool) {
		out := slices.Clone(lines)
		out[at] = strings.TrimSuffix(lines[at], ")")
		return out, out[at] != lines[at]
	})
	add("comment taken out", func(lines []string, at int) ([]string, bool) {
		return slices.Delete(slices.Clone(lines), at, at+1), strings.HasPrefix(lines[at], "(") && !gearForm.MatchString(lines[at]) && !strings.HasPrefix(lines[at], "(Step ")
	})
	handMutations(add)
	return all
}

// sites returns up to most mutants of one way, spread over the program. Where
// they begin is another place for each way, so that one mutant of each does not
// always lie in the same pass.
func (m mutation) sites(lines []string, most int) (texts []string, at []int) {
	var can []int
	for i := range lines {
		if _, ok := m.spoil(lines, i); ok {
			can = append(can, i)
		}
	}
	sum := fnv.New32a()
	sum.Write([]byte(m.name))
	first := float64(sum.Sum32()) / (1 << 32)
	for k := range min(most, len(can)) {
		i := can[int((float64(k)+first)/float64(min(most, len(can)))*float64(len(can)))]
		out, _ := m.spoil(lines, i)
		texts, at = append(texts, strings.Join(out, "\n")), append(at, i+1)
	}
	return texts, at
}
