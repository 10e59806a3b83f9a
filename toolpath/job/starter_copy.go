package job

import "strconv"

// StartForm is what is known of a gear whose flanks are no involutes. Lengths mm; 0:
// not known.
type StartForm struct {
	Name    string  // as gear.form has it
	Set     int     // least pinion of the set, of a cycloidal one
	Outside float64 // over the tips
	Depth   float64 // of the spaces
	Land    float64 // width of the flat tip of a good tooth
}

// copies says that the flanks are to be copied from good teeth.
func (f *StartForm) copies() bool { return f != nil && f.Name == formNames[copiedForm] }

// formOf is the form that settings ask for, "" for an involute.
func formOf(settings []Setting) string {
	for _, s := range settings {
		if name, ok := s.Value.(string); ok && s.Key == "gear.form" && name != formNames[involute] {
			return name
		}
	}
	return ""
}

// missing says what a form cannot do without, nil when it is there.
func (f *StartForm) missing(settings []Setting) error {
	from := map[string]string{}
	for _, s := range settings {
		from[s.Key] = s.From
	}
	want := []string{"gear.outside_diameter", "gear.depth"}
	if !f.copies() {
		want = []string{"gear.set"}
	}
	var out Errors
	for _, key := range want {
		if from[key] == "" {
			out = append(out, &Error{File: from["gear.form"], Key: key, Msg: "a gear whose teeth are " + f.Name + " needs it: " + KeyAt(key).Meaning})
		}
	}
	if out == nil {
		return nil
	}
	return out
}

// form writes what stands in place of a pressure angle.
func (s *Start) form(w *writer) {
	f := s.Form
	w.key("gear.form", quoteTOML(f.Name))
	if f.Set > 0 {
		w.key("gear.set", strconv.Itoa(f.Set))
	}
	length := func(key string, known, usual float64) {
		if known > 0 {
			w.key(key, w.mm(known))
		} else {
			w.off(key, w.mm(upTo(usual, s.even(0.1))))
		}
	}
	length("gear.outside_diameter", f.Outside, s.module()*float64(s.Teeth+2))
	length("gear.depth", f.Depth, 2.157*s.module())
	length("gear.fillet_radius", 0, 0.2*s.module())
	length("gear.tip_land", f.Land, 0.7*s.module())
}

// touches writes the table of how the readings are taken that are to come.
func (s *Start) touches(w *writer) {
	if !s.Form.copies() {
		return
	}
	w.table("copy", tableMeanings["copy"])
	w.byDefault("copy.within")
	w.byDefault("copy.paper")
	w.off("copy.pin", w.mm(s.even(3)))
	w.WriteString("# Which flanks to touch, and then the [touch] table of what was read: cogmend copy\n")
}
