package job

import (
	"fmt"
	"strings"
)

// Key describes one key of the job file. The same table decodes the file,
// checks it, suggests the nearest name, prints the help and writes the
// starting job, so that they cannot drift apart.
type Key struct {
	Table    string   // "" for the head of the file; "cutter.NAME" for each cutter
	Name     string   // as the file has it
	Kind     Kind     // of its value
	Unit     string   // of a bare number where the kind alone does not say, e.g. "modules"
	Required bool     // has neither default
	Default  string   // TOML text, read like the file's own; "" when there is none
	Auto     string   // in words: what is taken when the key is not given
	Low      float64  // least value, in the first unit of the kind (mm, deg, ...)
	High     float64  // greatest; Low = High = 0: not limited
	Set      []string // of a Choice
	At       Kind     // of a SizeAt: what follows the @, Length or Count
	Meaning  string   // one line
	Example  string   // TOML text of a value

	at func(*draft) any // where the value goes
}

// Path returns the key with its table, as an error names it.
func (k Key) Path() string {
	if k.Table == "" {
		return k.Name
	}
	return k.Table + "." + k.Name
}

// Allowed returns what the value may be, in the file's units.
func (k Key) Allowed(units Units) string {
	switch k.Kind {
	case Choice:
		words := make([]string, len(k.Set))
		for i, s := range k.Set {
			words[i] = fmt.Sprintf("%q", s)
		}
		return strings.Join(words, ", ")
	case Flag:
		return "true, false"
	case Text:
		return fmt.Sprintf("text of 1 to %d characters", mostText)
	case Texts:
		return "a list of names"
	}
	switch {
	case k.Low == 0 && k.High == 0:
		return "any number"
	case k.Low == k.High:
		return trim(k.Low, 0)
	}
	u, base := unitOf(k.Kind, units), unitOf(k.Kind, MM)
	digits := shownMM
	if u.factor == inch {
		digits = shownInch
	}
	span := trim(k.Low*base.factor/u.factor, digits) + " to " + trim(k.High*base.factor/u.factor, digits)
	if name := k.UnitName(units); name != "" {
		span += " " + name
	}
	return span
}

// UnitName returns the unit of a bare number in a file of the given units, ""
// when it has none.
func (k Key) UnitName(units Units) string {
	if k.Unit != "" {
		return k.Unit
	}
	return unitOf(k.Kind, units).name
}

// mostText is the greatest length of a text: a title fits on one line of a
// sheet.
const mostText = 80

// mostList is the greatest length of a list.
const mostList = 60

// named tables: as many of them as the job needs.
const (
	cutterTable  = "cutter"
	keepOutTable = "keepout"
	anyName      = ".NAME"
)

// tables returns the tables of the schema in its order, named ones with
// ".NAME".
func tables() []string {
	var out []string
	for _, k := range schema {
		if k.Table != "" && (len(out) == 0 || out[len(out)-1] != k.Table) {
			out = append(out, k.Table)
		}
	}
	return out
}

// keysOf returns the keys of a table of the schema.
func keysOf(table string) []*Key {
	var out []*Key
	for i := range schema {
		if schema[i].Table == table {
			out = append(out, &schema[i])
		}
	}
	return out
}

// KeyAt returns the key of a path such as "gear.teeth" or "cutter.NAME.shank",
// the zero Key when the schema has none.
func KeyAt(path string) Key {
	for i := range schema {
		if schema[i].Path() == path {
			return schema[i]
		}
	}
	return Key{}
}

// Holds says whether a number, in the first unit of the key's kind (mm, deg),
// is between its limits. A key without limits holds every number.
func (k Key) Holds(v float64) bool {
	return k.Low == 0 && k.High == 0 || v >= k.Low && v <= k.High
}

// pick lets a Choice set a typed constant by the place of the word in its Set.
func pick[T ~int](p *T) func(int) { return func(i int) { *p = T(i) } }
