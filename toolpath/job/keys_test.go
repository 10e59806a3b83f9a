package job

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"cogmend/profiles"
	"cogmend/profiles/copied"
)

// TestSchema holds every row of the table of keys complete: its example
// decodes, it has a meaning, and just one of Required, Default and Auto.
func TestSchema(t *testing.T) {
	seen := map[string]bool{}
	for i := range schema {
		k := &schema[i]
		path := k.Path()
		if seen[path] {
			t.Errorf("%s is there twice", path)
		}
		seen[path] = true
		ways := 0
		for _, way := range []bool{k.Required, k.Default != "", k.Auto != ""} {
			if way {
				ways++
			}
		}
		if ways != 1 {
			t.Errorf("%s has %d of Required, Default, Auto; want 1", path, ways)
		}
		if k.Meaning == "" || strings.HasSuffix(k.Meaning, ".") || strings.Contains(k.Meaning, "\n") {
			t.Errorf("%s: meaning %q is not one line without full stop", path, k.Meaning)
		}
		if tableMeanings[k.Table] == "" {
			t.Errorf("table %q has no meaning", k.Table)
		}
		for _, text := range []string{k.Example, k.Default} {
			if text == "" && !(text == k.Default && k.Example != "") {
				t.Errorf("%s has no example", path)
			}
			if text == "" {
				continue
			}
			for _, units := range []Units{MM, Inch} {
				// Examples are for mm files.
				if units == Inch && text == k.Example {
					continue
				}
				if msg := assignText(t, k, text, units); msg != "" {
					t.Errorf("%s = %s: %s", path, text, msg)
				}
			}
		}
	}
	if len(tableMeanings) != len(tables())+1 {
		t.Errorf("%d tables have a meaning, the schema has %d and the head", len(tableMeanings), len(tables()))
	}
}

// assignText decodes one value as the key's and puts it into a fresh draft.
func assignText(t *testing.T, k *Key, text string, units Units) string {
	t.Helper()
	var one struct{ V any }
	if _, err := toml.Decode("V = "+text, &one); err != nil {
		t.Fatalf("%s = %s: %v", k.Path(), text, err)
	}
	d := &draft{job: &Job{}, cutter: &profiles.Cutter{}, keep: &KeepOut{}, touch: &touchRead{}, chord: &copied.Chord{}}
	return k.assign(item{one.V, units, spot{}}, k.at(d))
}

// TestLimits tries every limited key just outside both ends.
func TestLimits(t *testing.T) {
	for i := range schema {
		k := &schema[i]
		if k.Low == 0 && k.High == 0 {
			continue
		}
		step := max(k.High*1e-6, 1e-6)
		if k.Kind == Count || k.Kind == Counts {
			step = 1
		}
		form := "%v"
		switch k.Kind {
		case Span:
			form = "[-1e9, %v]"
		case Lengths, Counts:
			form = "[%v]"
		}
		for _, v := range []float64{k.Low - step, k.High + step} {
			text := fmt.Sprintf(form, trim(v, 12))
			if k.Kind != Count && k.Kind != Counts && !strings.ContainsAny(text, ".e") {
				text = fmt.Sprintf(form, trim(v, 12)+".0")
			}
			msg := assignText(t, k, text, MM)
			scope := k.Name == "teeth" && v <= 0 // told in words of its own
			if !scope && !strings.Contains(msg, "allowed "+k.Allowed(MM)) {
				t.Errorf("%s = %s: got %q, want the allowed range in it", k.Path(), text, msg)
			}
		}
	}
}

func TestHelpNamesEveryKey(t *testing.T) {
	var b bytes.Buffer
	if err := Help(&b); err != nil {
		t.Fatal(err)
	}
	for _, k := range schema {
		for _, want := range []string{"  " + k.Name + " = " + k.Example + "\n", k.Meaning, k.Allowed(MM)} {
			if !strings.Contains(b.String(), want) {
				t.Errorf("%s: help does not hold %q", k.Path(), want)
			}
		}
	}
}

// TestDemoUsesEveryTableButFew keeps the demo a lesson: it must use most tables.
func TestDemoUsesEveryTableButFew(t *testing.T) {
	var tree map[string]any
	if err := toml.Unmarshal(demo, &tree); err != nil {
		t.Fatal(err)
	}
	few := []string{"flush", "as_cut", "uncertainty", "repair", "bead", "copy", "touch", "vernier"} // their defaults suit it, or it has an insert, or its teeth are involutes
	for _, name := range tables() {
		name = strings.TrimSuffix(name, anyName)
		if _, ok := tree[name]; !ok && !slices.Contains(few, name) {
			t.Errorf("the demo has no table %s", name)
		}
	}
}

func TestNearest(t *testing.T) {
	words := []string{"module", "teeth", "face", "bore", "flute_length"}
	for _, c := range []struct{ in, want string }{
		{"modul", "module"}, {"moduel", "module"}, {"MODULE", "module"}, {"theeth", "teeth"},
		{"flute_lenght", "flute_length"}, {"flutelength", "flute_length"}, {"", ""}, {"xyzzy", ""}, {"модуль", ""},
	} {
		if got := Nearest(c.in, words); got != c.want {
			t.Errorf("Nearest(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}
