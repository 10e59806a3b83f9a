package gcode

import "strings"

// safeRunes says what stands in a comment for a character that may not.
// Brackets in place of parentheses cannot end a comment; the rest keeps the
// words readable on a control's screen.
var safeRunes = map[rune]string{
	'(': "[", ')': "]", ';': ",", '%': " percent", '#': "No.",
	'\t': " ", '\n': " ", '\r': " ",
	'°': " deg", '×': "x", '·': ".", 'µ': "u", 'μ': "u", '±': "+/-", 'ø': "dia ", 'Ø': "dia ", '⌀': "dia ",
	'–': "-", '—': "-", '−': "-", '’': "'", '‘': "'", '“': "\"", '”': "\"", '…': "...",
}

// SafeComment makes any text fit to stand between the parentheses of a
// comment: printable ASCII without ( ) ; % #, not beginning with MSG, without
// blanks at its ends. Characters without a substitute become a question mark.
// It may not fit on a line; see CommentLines.
func SafeComment(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch sub, ok := safeRunes[r]; {
		case ok:
			b.WriteString(sub)
		case r >= ' ' && r <= '~':
			b.WriteRune(r)
		default:
			b.WriteByte('?')
		}
	}
	out := strings.Trim(b.String(), " ")
	if beginsMSG(out) {
		// One mark in front is enough: the standard looks for MSG before
		// any other printing character (3.3.4).
		out = "- " + out
	}
	return out
}

// CommentLines makes any text safe and breaks it at blanks into comments of
// at most width characters each; a longer word is broken. There is always at
// least one line. A width below 8 counts as 8.
func CommentLines(s string, width int) []string {
	width = max(width, 8)
	var lines []string
	line := ""
	for _, word := range strings.Fields(SafeComment(s)) {
		for {
			if line == "" {
				line = SafeComment(word) // may gain a mark in front
			} else if len(line)+1+len(word) <= width && !beginsMSG(line+word) {
				line += " " + word
			} else {
				lines = append(lines, line)
				line = ""
				continue
			}
			break
		}
		for len(line) > width {
			lines = append(lines, line[:width])
			if line = line[width:]; beginsMSG(line) {
				line = "- " + line
			}
		}
	}
	if line != "" || lines == nil {
		lines = append(lines, line)
	}
	return lines
}

// Message returns the text of a message comment, one that begins with MSG and
// a comma, in any case and with any blanks between (3.3.4).
func Message(comment string) (text string, ok bool) {
	rest, ok := cutMSG(comment)
	if !ok {
		return "", false
	}
	rest = strings.TrimLeft(rest, " \t")
	if rest == "" || rest[0] != ',' {
		return "", false
	}
	return strings.Trim(rest[1:], " \t"), true
}

func beginsMSG(comment string) bool {
	_, ok := cutMSG(comment)
	return ok
}

// cutMSG returns what follows the letters MSG at the beginning of a comment,
// blanks and case set aside.
func cutMSG(comment string) (rest string, ok bool) {
	rest = comment
	for _, want := range []byte("MSG") {
		rest = strings.TrimLeft(rest, " \t")
		if rest == "" || rest[0]&^0x20 != want {
			return "", false
		}
		rest = rest[1:]
	}
	return rest, true
}
