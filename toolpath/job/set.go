package job

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"cogmend/profiles"
	"cogmend/profiles/copied"
)

// defaults holds the decoded Default texts of the schema by path.
var defaults = sync.OnceValue(func() map[string]any {
	out := map[string]any{}
	for _, k := range schema {
		if k.Default == "" {
			continue
		}
		var one struct{ V any }
		if _, err := toml.Decode("V = "+k.Default, &one); err != nil {
			panic(fmt.Sprintf("job: default of %s: %v", k.Path(), err)) // the schema itself is wrong
		}
		out[k.Path()] = one.V
	}
	return out
})

// table fills one plain table from the items and the defaults.
func (d *draft) table(table string, items map[string]item) {
	t, present := items[table]
	if table == "gear" && !present && !d.bad[table] && !d.partial {
		d.fail(table, d.top(), "the table [gear] is missing; it needs teeth, module or diametral_pitch, pressure_angle, face and bore")
	}
	d.given[table] = t.at
	if !present {
		delete(d.given, table)
		if table == "gear" || table == "load" || table == "mate" {
			return
		}
	}
	d.fill(table, table, t.at, items)
}

// fill sets every key of a table of the given kind.
func (d *draft) fill(table, kind string, header spot, items map[string]item) {
	for _, k := range keysOf(kind) {
		path := table + "." + k.Name
		if it, ok := items[path]; ok {
			d.given[path] = it.at
			d.set(k, path, it)
		} else if v, ok := defaults()[k.Path()]; ok {
			d.set(k, path, item{v, MM, header})
		} else if k.Required && d.partial {
			// Without a bore the gear is taken as solid; what rests on anything
			// else that is missing is not checked.
			d.bad[path] = path != "gear.bore"
		} else if k.Required && d.ok(path) {
			d.fail(path, header, "this key is missing; allowed "+k.Allowed(d.job.Units))
		}
	}
}

// named fills every cutter, keep-out or reading.
func (d *draft) named(base string, items map[string]item) {
	for _, path := range slices.Sorted(maps.Keys(items)) {
		name, ok := strings.CutPrefix(path, base+".")
		if !ok || strings.Contains(name, ".") {
			continue
		}
		d.given[path] = items[path].at
		switch base {
		case keepOutTable:
			d.keep = &KeepOut{Name: name}
			d.fill(path, base+anyName, items[path].at, items)
			d.job.KeepOuts = append(d.job.KeepOuts, *d.keep)
			continue
		case touchTable:
			d.touch = &touchRead{name: name}
			d.fill(path, base+anyName, items[path].at, items)
			d.touches = append(d.touches, *d.touch)
			continue
		case vernierTable:
			d.chord = &copied.Chord{Name: name}
			d.fill(path, base+anyName, items[path].at, items)
			d.chords = append(d.chords, *d.chord)
			continue
		}
		d.cutter, d.coneAngle = &profiles.Cutter{Name: name}, 0
		d.fill(path, base+anyName, items[path].at, items)
		d.finishCutter(path)
		d.job.Cutters = append(d.job.Cutters, *d.cutter)
	}
}

// set checks one value and puts it where its key says.
func (d *draft) set(k *Key, path string, it item) {
	if msg := k.assign(it, k.at(d)); msg != "" {
		d.fail(path, it.at, msg)
		if _, text := it.value.(string); k.Kind == Length && !text && it.at.file == d.job.File {
			it.units = otherUnits(it.units)
			if _, msg = k.number(it.value, it.units); msg == "" {
				d.inOther++
			}
		}
	}
}

// otherUnits are inches for mm and mm for inches.
func otherUnits(u Units) Units {
	if u == Inch {
		return MM
	}
	return Inch
}

// manyInOther is how many bare lengths are out of range in the file's units and not
// in the other before the units are doubted (own rule).
const manyInOther = 3

// checkUnits doubts the units of the file where the other would bring many of its
// lengths into range.
func (d *draft) checkUnits() {
	if d.inOther >= manyInOther && d.has("units") {
		names := map[Units]string{MM: "mm", Inch: "inches"}
		d.fail("units", d.given["units"], fmt.Sprintf("%d lengths below are out of range in %s and would not be in %s: which of the two was meant?", d.inOther, names[d.job.Units], names[otherUnits(d.job.Units)]))
	}
}

// assign puts a value into to, or says what is wrong with it.
func (k *Key) assign(it item, to any) string {
	switch to := to.(type) {
	case *float64:
		v, msg := k.number(it.value, it.units)
		*to = v
		return msg
	case *int:
		v, msg := k.count(it.value)
		*to = v
		return msg
	case *bool:
		v, ok := it.value.(bool)
		*to = v
		return k.unless(ok, it)
	case *string:
		v, ok := it.value.(string)
		if msg := k.unless(ok, it); msg != "" {
			return msg
		}
		*to = v
		return badText(v)
	case func(int):
		v, ok := it.value.(string)
		if !ok {
			return k.unless(false, it)
		}
		i := slices.Index(k.Set, v)
		if i < 0 {
			return k.noChoice(v)
		}
		to(i)
		return ""
	case *SizeRead:
		return k.sizeAt(it, to)
	case *[2]float64:
		return k.span(it, to)
	}
	return k.list(it, to)
}

func (k *Key) unless(ok bool, it item) string {
	if ok {
		return ""
	}
	return fmt.Sprintf("%s; allowed %s", typeName(it.value), k.Allowed(it.units))
}

func (k *Key) noChoice(v string) string {
	msg := fmt.Sprintf("%s is not known; allowed %s", quote(v), k.Allowed(MM))
	if near := Nearest(v, k.Set); near != "" {
		msg += fmt.Sprintf("; nearest: %q", near)
	}
	return msg
}

// number checks a measured value.
func (k *Key) number(v any, units Units) (float64, string) {
	x, text, err := valueOf(k.Kind, v, units)
	if err != nil {
		return 0, fmt.Sprintf("%v; allowed %s", err, k.Allowed(units))
	}
	if k.Kind == Number && k.Unit != "" {
		text += " " + k.Unit
	}
	// A limit written in degrees or inches must not refuse itself.
	const slack = 1e-12
	factor := unitOf(k.Kind, MM).factor
	low, high := k.Low*factor, k.High*factor
	return x, k.outside(text, x < low-slack*math.Abs(low), x > high+slack*math.Abs(high), units)
}

func (k *Key) outside(text string, low, high bool, units Units) string {
	switch {
	case k.Low == 0 && k.High == 0:
	case low:
		return fmt.Sprintf("%s is too small; allowed %s", text, k.Allowed(units))
	case high:
		return fmt.Sprintf("%s is too large; allowed %s", text, k.Allowed(units))
	}
	return ""
}

// count checks a whole number.
func (k *Key) count(v any) (int, string) {
	n, ok := v.(int64)
	if f, isFloat := v.(float64); isFloat {
		if f != math.Trunc(f) || math.IsInf(f, 0) {
			return 0, fmt.Sprintf("%s is not a whole number; allowed %s", written(v), k.Allowed(MM))
		}
		n, ok = int64(max(-1e9, min(1e9, f))), true
	}
	if !ok {
		return 0, fmt.Sprintf("%s; a whole number is wanted; allowed %s", typeName(v), k.Allowed(MM))
	}
	if k.Table == "gear" || k.Table == "mate" {
		if msg := otherGear(k.Name, n); msg != "" {
			return 0, msg
		}
	}
	return int(max(-1e9, min(1e9, n))), k.outside(written(v), float64(n) < k.Low, float64(n) > k.High, MM)
}

// otherGear says why a gear that is no external spur gear is refused.
func otherGear(key string, n int64) string {
	switch {
	case key == "teeth" && n < 0:
		return fmt.Sprintf("%d: internal gears are out of scope; external spur gears only", n)
	case key == "teeth" && n == 0:
		return "0: racks are out of scope; external spur gears only"
	}
	return ""
}

// badText says why a text is refused.
func badText(s string) string {
	switch n := utf8.RuneCountInString(s); {
	case strings.TrimSpace(s) == "":
		return "the text is empty"
	case n > mostText:
		return fmt.Sprintf("the text has %d characters; allowed 1 to %d", n, mostText)
	}
	for _, r := range s {
		if !unicode.IsPrint(r) {
			return fmt.Sprintf("the text holds the control character %U", r)
		}
	}
	return ""
}

// members returns the members of a list of the wanted length.
func (k *Key) members(v any, low, high int) ([]any, string) {
	list, ok := v.([]any)
	if !ok {
		return nil, fmt.Sprintf("%s; a list is wanted, e.g. %s", typeName(v), k.Example)
	}
	if len(list) < low || len(list) > high {
		want := fmt.Sprintf("%d to %d", low, high)
		if low == high {
			want = fmt.Sprint(low)
		}
		return nil, fmt.Sprintf("the list has %d members; allowed %s, e.g. %s", len(list), want, k.Example)
	}
	return list, ""
}

// span checks a list of two lengths, low and high.
func (k *Key) span(it item, to *[2]float64) string {
	list, msg := k.members(it.value, 2, 2)
	if msg != "" {
		return msg
	}
	for i, v := range list {
		if to[i], msg = k.number(v, it.units); msg != "" {
			return msg
		}
	}
	if !(to[0] < to[1]) {
		return fmt.Sprintf("%s to %s: the first must be less than the second", show(k.Kind, to[0], it.units), show(k.Kind, to[1], it.units))
	}
	return ""
}

// sizeAt checks a size with what it was read with.
func (k *Key) sizeAt(it item, to *SizeRead) (msg string) {
	size, with := it.value, ""
	if text, ok := size.(string); ok {
		head, tail, _ := strings.Cut(text, "@")
		size, with = strings.TrimSpace(head), strings.TrimSpace(tail)
	}
	if to.Size, msg = k.number(size, it.units); msg != "" {
		return msg
	}
	what := "diameter of the pins"
	if k.At == Count {
		what = "number of teeth"
	}
	if with == "" {
		return fmt.Sprintf("the %s is missing after an @, as in %s; allowed %s", what, k.Example, k.Allowed(it.units))
	}
	var err error
	if k.At == Count {
		var n int
		n, err = strconv.Atoi(with)
		to.At = float64(n)
	} else {
		to.At, err = ParseQuantity(Length, with, it.units)
	}
	if err != nil || !(to.At > 0) {
		return fmt.Sprintf("%s after the @ is no %s", quote(with), what)
	}
	return ""
}

// list checks a list of lengths, whole numbers or names.
func (k *Key) list(it item, to any) string {
	list, msg := k.members(it.value, 1, mostList)
	if msg != "" {
		return msg
	}
	for _, v := range list {
		switch to := to.(type) {
		case *[]float64:
			var x float64
			if x, msg = k.number(v, it.units); msg == "" {
				*to = append(*to, x)
			}
		case *[]int:
			var n int
			if n, msg = k.count(v); msg == "" {
				*to = append(*to, n)
			}
		case *[]string:
			s, ok := v.(string)
			if msg = k.unless(ok, item{v, it.units, it.at}); msg == "" {
				msg = badText(s)
			}
			*to = append(*to, s)
		default:
			panic(fmt.Sprintf("job: key %s has no place for a list", k.Path())) // the schema itself is wrong
		}
		if msg != "" {
			return msg
		}
	}
	return ""
}
