package cli

import (
	"io"
	"strings"

	"cogmend/cmd/internal/outdir"
)

// plainly writes text to a terminal that no name, comment or value can steer: what
// a terminal would obey, and is no end of a line, is a question mark.
type plainly struct{ io.Writer }

func (p plainly) Write(text []byte) (int, error) {
	var b strings.Builder
	rest := string(text)
	for rest != "" {
		n := strings.IndexAny(rest, "\n\t")
		if n < 0 {
			b.WriteString(outdir.Printable(rest))
			break
		}
		b.WriteString(outdir.Printable(rest[:n]))
		b.WriteByte(rest[n])
		rest = rest[n+1:]
	}
	if _, err := io.WriteString(p.Writer, b.String()); err != nil {
		return 0, err
	}
	return len(text), nil
}
