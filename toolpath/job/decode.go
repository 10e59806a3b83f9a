package job

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"cogmend/profiles"
	"cogmend/profiles/copied"
)

// maxSize is the greatest size of a job or shop file in bytes. The longest
// sensible job is a hundredth of it.
const maxSize = 1 << 20

// draft is a job on its way from text to checked values.
type draft struct {
	job   *Job
	errs  Errors
	given map[string]spot // keys that a file gives -> where their value stands
	bad   map[string]bool // keys whose value was refused or is missing
	files []*places       // the job file, then the shop file

	settings map[string]bool // keys given from outside of the files
	partial  bool            // the job is known by settings alone
	toTouch  bool            // of teeth that are copied, perhaps still to be touched
	inOther  int             // bare lengths of the file out of range that the other unit would bring into it

	// What a Job holds in another form.
	format                     int
	units                      Units
	shop                       string
	module, pitch              float64
	rack                       string
	addendum, dedendum, fillet float64
	form                       formKind
	setOf                      int
	rolling                    [2]float64 // diameters of the circles over and under the pitch circle
	outside, depth             float64
	filletRadius, tipLand      float64
	missing                    int
	missingAt                  []int
	included, coneAngle        float64
	pin, power, play           float64
	asCut                      readings
	load                       Load
	mate                       Mate
	apart                      bool // the flanks are copied apart
	touching                   string
	touchPin, paper, within    float64
	touch                      *touchRead
	touches                    []touchRead
	chord                      *copied.Chord
	chords                     []copied.Chord
	cutter                     *profiles.Cutter
	keep                       *KeepOut
	gearDone, bodyDone         bool
	cuttersDone, slotDone      bool
	room                       room
}

// tree is one decoded file.
type tree struct {
	*places
	values map[string]any
	units  Units
	shop   bool
}

// item is the value of a key and where it stands.
type item struct {
	value any
	units Units
	at    spot
}

// Read reads and checks the job file at path, and the shop file it names.
// A failure is an Errors.
func Read(path string) (*Job, error) {
	src, err := readFile(path)
	if err != nil {
		return nil, Errors{{File: path, Msg: err.Error()}}
	}
	return Decode(path, src, func(shop string) ([]byte, error) {
		return readFile(beside(path, shop))
	})
}

// Decode checks a job. file names it in errors; shop reads the shop file,
// whose path is given as the job writes it. A failure is an Errors, and then
// there is no Job.
func Decode(file string, src []byte, shop func(path string) ([]byte, error)) (*Job, error) {
	return (&draft{}).decode(file, src, shop, nil)
}

// decode is Decode with settings laid over what the files give.
func (d *draft) decode(file string, src []byte, shop func(path string) ([]byte, error), settings []Setting) (*Job, error) {
	d.job, d.given, d.bad = &Job{File: file, Source: bytes.Clone(src)}, map[string]spot{}, map[string]bool{}
	main := d.parse(file, src, false)
	if main == nil {
		return nil, d.errs.finish(file)
	}
	sum := sha256.New()
	sum.Write(src)
	items := map[string]item{}
	d.head(main)
	if d.shop != "" {
		if more := d.readShop(file, shop); more != nil {
			sum.Write([]byte{0})
			sum.Write(d.job.Shop)
			d.collect(more, items)
		}
	}
	d.collect(main, items)
	d.job.Units = main.units
	d.lay(settings, main.units, items)
	return d.finish(items, stamp(sum.Sum(nil), settings))
}

// readShop reads and parses the shop file; nil when it cannot be.
func (d *draft) readShop(file string, shop func(string) ([]byte, error)) *tree {
	refuse := func(err error) *tree {
		d.fail("shop", d.given["shop"], fmt.Sprintf("%s: %v", d.shop, err))
		return nil
	}
	if shop == nil {
		return refuse(errors.New("a shop file cannot be read here"))
	}
	src, err := shop(d.shop)
	if err != nil {
		return refuse(err)
	}
	d.job.ShopFile, d.job.Shop = beside(file, d.shop), bytes.Clone(src)
	more := d.parse(d.job.ShopFile, src, true)
	if more != nil {
		d.head(more)
	}
	return more
}

// parse turns a text into a tree of values, or tells what is wrong with it.
func (d *draft) parse(file string, src []byte, shop bool) *tree {
	failIn := func(key string, at spot, msg string) *tree {
		if len(key) > mostKeyTold {
			key = ""
		}
		d.errs = append(d.errs, &Error{File: file, Line: at.line, Col: at.col, Key: oneLine(key), Msg: msg})
		return nil
	}
	fail := func(at spot, msg string) *tree { return failIn("", at, msg) }
	if len(src) > maxSize {
		return fail(spot{}, fmt.Sprintf("the file is larger than %d bytes", maxSize))
	}
	text := strings.TrimPrefix(string(src), "\ufeff")
	if at := notText(text); at >= 0 {
		return fail(newPlaces(file, text).at(at), fmt.Sprintf("byte 0x%02x: this is not UTF-8 text", text[at]))
	}
	p, broken := scan(file, text)
	if broken != nil {
		return failIn(broken.of, p.at(broken.at), broken.msg)
	}
	for _, at := range p.arrays {
		fail(p.at(at), "lists of tables, [[...]], are not read: give each table a name, e.g. [cutter.slotting]")
	}
	if len(p.arrays) > 0 {
		return nil
	}
	t := &tree{places: p, shop: shop}
	if _, err := toml.Decode(text, &t.values); err != nil {
		var parse toml.ParseError
		if errors.As(err, &parse) {
			at := parse.Position.Start
			return failIn(p.within(at), p.at(at), inOurWords(parse.Message))
		}
		return fail(spot{}, notTOML)
	}
	d.files = append(d.files, p)
	return t
}

// mostKeyTold is the greatest length of a key that is told before a mistake of its
// value: three names of a job are shorter.
const mostKeyTold = 80

// notTOML is told of a text that the decoder does not take, when nothing better
// is known.
const notTOML = "this cannot be read as TOML"

// twice finds the name of a key in what the decoder says of one given twice.
var twice = regexp.MustCompile(`^Key '(.*)' `)

// inOurWords says what the decoder found wrong in the words of this program:
// its own speak of the insides of a decoder.
func inOurWords(msg string) string {
	m := twice.FindStringSubmatch(msg)
	switch {
	case m != nil:
		return m[1] + " is given twice, or as a key and as a table"
	case strings.Contains(msg, "escape") || strings.Contains(msg, "hexadecimal digits"):
		return `this text holds a backslash; write it twice, \\, or put the text in single quotes`
	case strings.Contains(msg, "control character"):
		return "this text holds a control character"
	case strings.Contains(msg, "datetime"):
		return "this is no date; a text stands in quotes"
	case strings.Contains(msg, "newline"):
		return "this text or table must end on its line"
	}
	return notTOML
}

// notText returns the offset of the first byte that is no UTF-8 text, or -1.
func notText(s string) int {
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == 0 || r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// head decodes the keys before the first table, on which the rest depends.
func (d *draft) head(t *tree) {
	for _, k := range keysOf("") {
		v, ok := t.values[k.Name]
		if !ok {
			if k.Required {
				d.bad[k.Name] = true
				d.fail(k.Name, spot{t.file, 1, 1}, "this key is missing; allowed "+k.Allowed(MM))
			}
			continue
		}
		if t.shop && !k.Required {
			d.fail(k.Name, t.key(k.Name), "a shop file holds only format, units, [machine] and [cutter.NAME]")
			continue
		}
		at := t.value(k.Name)
		if !t.shop {
			d.given[k.Name] = at
		}
		d.set(k, k.Name, item{v, MM, at})
	}
	t.units = d.units
}

// collect finds the items of a file by their paths and tells of unknown ones.
// An item found earlier gives way.
func (d *draft) collect(t *tree, items map[string]item) {
	for _, name := range slices.Sorted(maps.Keys(t.values)) {
		v := t.values[name]
		sub, isTable := v.(map[string]any)
		path := toml.Key{name}.String()
		switch {
		case slices.Contains(wordsOf(""), name): // decoded with the head
		case slices.Contains(tables(), name) || slices.Contains(tables(), name+anyName):
			if t.shop && name != cutterTable && name != "machine" {
				d.fail(name, t.key(path), "a shop file holds only format, units, [machine] and [cutter.NAME]")
			} else if !isTable {
				d.bad[name] = true
				d.fail(name, t.value(path), fmt.Sprintf("%s; a table [%s] is wanted", typeName(v), name))
			} else if slices.Contains(tables(), name+anyName) {
				d.collectNamed(t, name, sub, items)
			} else {
				d.collectTable(t, name, name, sub, items)
			}
		case isTable:
			d.unknown(t, "", name, "table", tableWords())
		default:
			d.unknown(t, "", name, "key", wordsOf(""))
		}
	}
}

// tableWords are the names that may stand first in a header.
func tableWords() []string {
	var out []string
	for _, t := range tables() {
		out = append(out, strings.TrimSuffix(t, anyName))
	}
	return out
}

func wordsOf(table string) []string {
	var out []string
	for _, k := range keysOf(table) {
		out = append(out, k.Name)
	}
	return out
}

// collectNamed goes through [cutter.A], [cutter.B] and so on.
func (d *draft) collectNamed(t *tree, base string, sub map[string]any, items map[string]item) {
	for _, name := range slices.Sorted(maps.Keys(sub)) {
		v, path := sub[name], toml.Key{base, name}.String()
		inner, ok := v.(map[string]any)
		switch {
		case !ok && slices.Contains(wordsOf(base+anyName), name):
			d.fail(path, t.key(path), fmt.Sprintf("this key belongs in a table with a name, [%s.NAME]", base))
		case !ok:
			d.fail(path, t.value(path), fmt.Sprintf("%s; a table [%s] is wanted", typeName(v), path))
		case len(name) > mostName || path != base+"."+name:
			d.bad[base] = true // what it would have held is not missing
			d.fail(path, t.key(path), fmt.Sprintf("a name is made of the letters a to z, digits, - and _; allowed 1 to %d of them", mostName))
		default:
			items[path] = item{at: t.value(path)} // the table itself
			d.collectTable(t, path, base+anyName, inner, items)
		}
	}
}

// mostName is the greatest length of a cutter's name: it must fit in a comment
// of a program.
const mostName = 24

func (d *draft) collectTable(t *tree, table, kind string, sub map[string]any, items map[string]item) {
	if table == asCutTable {
		sub = flat(sub)
	}
	if _, ok := items[table]; !ok || !t.shop {
		items[table] = item{at: t.value(table)}
	}
	for _, name := range slices.Sorted(maps.Keys(sub)) {
		v, path := sub[name], toml.Key(append(strings.Split(table, "."), name)).String()
		if table == asCutTable {
			path = asCutTable + "." + name
		}
		if !slices.Contains(wordsOf(kind), name) {
			d.unknown(t, table, name, "key", wordsOf(kind))
			continue
		}
		at := t.value(path)
		items[path] = item{v, t.units, at}
	}
}

// formerKeys are keys that were once known, and what serves instead.
var formerKeys = map[string]string{
	"insert.relief": "no cutter gets under the dovetail's wide end; break the edges of the slot's mouth with a file instead",
}

// flat turns tables in a table into dotted names: slot.mouth stands in a file
// as mouth in a table slot.
func flat(sub map[string]any) map[string]any {
	out := map[string]any{}
	for name, v := range sub {
		inner, ok := v.(map[string]any)
		if !ok {
			out[name] = v
		}
		for key, v := range inner {
			out[name+"."+key] = v
		}
	}
	return out
}

// unknown tells of a key or table that the schema does not have.
func (d *draft) unknown(t *tree, table, name, what string, known []string) {
	path := toml.Key{name}.String()
	if table != "" {
		path = toml.Key(append(strings.Split(table, "."), name)).String()
	}
	hint := fmt.Sprintf("known: %s", strings.Join(known, ", "))
	if instead := formerKeys[path]; instead != "" {
		hint = instead
	} else if near := Nearest(name, known); near != "" {
		// The right name is meant: it is not missing as well.
		d.bad[strings.TrimPrefix(table+"."+near, ".")] = true
		hint = fmt.Sprintf("nearest known %s: %q", what, near)
	} else if home := homeOf(name); home != "" {
		hint = fmt.Sprintf("it belongs in [%s]", home)
	}
	at := t.key(path)
	d.errs = append(d.errs, &Error{File: at.file, Line: at.line, Col: at.col, Key: oneLine(table),
		Msg: fmt.Sprintf("unknown %s %s", what, quote(name)), Hint: hint})
}

// homeOf returns the table that has a key of this name, if just one has.
func homeOf(name string) string {
	home := ""
	for _, k := range schema {
		if k.Name == name {
			if home != "" {
				return ""
			}
			home = k.Table
		}
	}
	return home
}

// fail tells of a mistake and marks the key as not to be relied on.
func (d *draft) fail(key string, at spot, msg string) {
	d.bad[key] = true
	d.errs = append(d.errs, &Error{File: at.file, Line: at.line, Col: at.col, Key: key, Msg: msg})
}
