package answer

import (
	"regexp"
	"strings"

	"cogmend/toolpath/job"
)

// badValue is what the reader of flags says of a value of the wrong kind.
var badValue = regexp.MustCompile(`^invalid argument (".*") for "(?:-\w, )?(--[\w-]+)" flag: strconv\.Parse(\w+)`)

// flagName is the name of a flag at the head of its line of help.
var flagName = regexp.MustCompile(`(?m)^ +(?:-\w, )?--([\w-]+)`)

// FlagMistake says what is wrong with a flag without the words of the reader
// of numbers, whose text it is given, and names the flag that a misspelt one is
// nearest to; usages is the help of the command's flags.
func FlagMistake(text, usages string) string {
	m := badValue.FindStringSubmatch(text)
	if m == nil {
		if name, unknown := strings.CutPrefix(text, "unknown flag: --"); unknown {
			var names []string
			for _, m := range flagName.FindAllStringSubmatch(usages, -1) {
				names = append(names, m[1])
			}
			if near := job.Nearest(name, names); near != "" {
				text += "; nearest: --" + near
			}
		}
		return text
	}
	want := "a whole number"
	switch m[3] {
	case "Float":
		want = "a number"
	case "Bool":
		want = "true or false"
	}
	return m[2] + " " + m[1] + ": " + want + " is wanted"
}
