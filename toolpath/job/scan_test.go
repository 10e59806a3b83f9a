package job

import (
	"os"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
)

// TestPlaces marks the place of a value by ∑ just before it; the mark is taken
// out and the position compared.
func TestPlaces(t *testing.T) {
	for _, c := range []struct{ name, text, path string }{
		{"plain", "a = ∑1\n", "a"},
		{"in a table", "[t]\na = ∑1\n", "t.a"},
		{"dotted", "t . a . b = ∑1", "t.a.b"},
		{"dotted in a table", "[t]\n  x.y=∑1 # [z]\n", "t.x.y"},
		{"inline", "t = { a = 1, b = ∑2 }", "t.b"},
		{"inline in inline", "t = { a = 1, b = { c = ∑2 } }", "t.b.c"},
		{"inline dotted", "t = { a.b = 1, a.c = ∑2 }", "t.a.c"},
		{"after a multi-line string", "a = \"\"\"\n[t]\nb = 1\n\\\"\"\"\"\"\nb = ∑2", "b"},
		{"after a multi-line literal", "a = '''\nb = 1'''\nb = ∑2", "b"},
		{"after five quotes", "a = \"\"\"x\"\"\"\"\"\nb = ∑2", "b"},
		{"after a list over lines", "a = [ # ]\n 1, \"]\",\n]\nb = ∑2", "b"},
		{"after a list of tables", "a = [ {x = 1}, {y.z = [2]} ]\nb = ∑2", "b"},
		{"comment with quotes", "# it's \"open\na = ∑1", "a"},
		{"CRLF", "a = 1\r\n[t]\r\nb = ∑2\r\n", "t.b"},
		{"wide letters before", "a = { \"ä€😀\" = 1, b = ∑2 }", "a.b"},
		{"quoted key", "\"a b\".'c.d' = ∑1", "\"a b\".\"c.d\""},
		{"escaped key", "\"\\u0061\" = ∑1", "a"},
		{"header", "x = 1\n∑[t]\na = 1", "t"},
		{"header of a missing key", "x = 1\n ∑[ t . u ]\na = 1", "t.u.b"},
		{"missing table", "∑x = 1", "t.u"},
		{"header after its child", "[t.u]\na = 1\n[t]\nb = ∑1", "t.b"},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, after, _ := strings.Cut(c.text, "∑")
			text := before + after
			p, err := scan("f", text)
			if err != nil {
				t.Fatalf("offset %d: %s", err.at, err.msg)
			}
			if got, want := p.value(c.path), p.at(len(before)); got != want {
				t.Errorf("got %d:%d, want %d:%d", got.line, got.col, want.line, want.col)
			}
			var tree map[string]any
			if _, err := toml.Decode(text, &tree); err != nil {
				t.Errorf("the decoder refuses it: %v", err)
			}
		})
	}
}

// checkKeys compares the scanner's keys with the decoder's, which share no
// code.
func checkKeys(t *testing.T, text string) {
	t.Helper()
	text = strings.TrimPrefix(text, "\ufeff")
	p, broken := scan("f", text)
	if notText(text) >= 0 || broken != nil && strings.Contains(broken.msg, "more than") {
		return // refused before the decoder sees it
	}
	var tree map[string]any
	md, err := toml.Decode(text, &tree)
	if err != nil {
		return
	}
	if broken != nil {
		t.Fatalf("the decoder takes what the scanner refuses at %d: %s\n%s", broken.at, broken.msg, text)
	}
	if len(p.arrays) > 0 {
		return
	}
	lists := listKeys(tree, nil)
	for _, k := range md.Keys() {
		name := k.String()
		if _, ok := p.values[name]; !ok && !lists[name] {
			t.Errorf("key %s has no place\n%s", name, text)
		}
	}
}

// listKeys returns the keys that stand in inline tables within lists: the
// decoder names them, a job has none.
func listKeys(v any, path toml.Key) map[string]bool {
	out := map[string]bool{}
	var inside func(v any, path toml.Key, inList bool)
	inside = func(v any, path toml.Key, inList bool) {
		if inList {
			out[path.String()] = true
		}
		switch v := v.(type) {
		case map[string]any:
			for k, w := range v {
				inside(w, append(path[:len(path):len(path)], k), inList)
			}
		case []map[string]any:
			for _, w := range v {
				inside(w, path, true)
			}
		case []any:
			for _, w := range v {
				inside(w, path, true)
			}
		}
	}
	inside(v, path, false)
	return out
}

func TestScannerFindsWhatTheDecoderFinds(t *testing.T) {
	for _, path := range goodJobs(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		checkKeys(t, string(text))
	}
}
