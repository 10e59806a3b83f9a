package job

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Setting is a key of the job given from outside of its file, by a flag of a
// command. It is read by the same schema and checked with the rest, so that a
// flag can do nothing that a file cannot.
type Setting struct {
	Key   string // dotted, as "slot.mouth"
	Value any    // as TOML gives it: int64, float64, bool, []any, or a string, with a unit or without
	From  string // what a mistake calls it, as "--mouth"
}

// rivals are the keys of a file that give way to a setting: those that say the
// same in another way, and those that belong to what it replaces.
var rivals = map[string][]string{
	"gear.module":          {"gear.diametral_pitch"},
	"gear.diametral_pitch": {"gear.module"},
	"gear.proportions":     {"gear.addendum", "gear.dedendum", "gear.root_fillet"},
	"gear.missing":         {"gear.missing_at"},
	"gear.missing_at":      {"gear.missing"},
	"facets.tolerance":     {"facets.count"},
	"facets.count":         {"facets.tolerance"},
	"load.torque":          {"load.power"},
	"load.power":           {"load.torque"},
	"mate.teeth":           {"mate.centre_distance"},
}

// With returns the job read anew with the settings in place of what its files
// give. A failure is an Errors that names the settings.
func (j *Job) With(settings []Setting) (*Job, error) {
	if len(settings) == 0 {
		return j, nil
	}
	return (&draft{}).decode(j.File, j.Source, func(string) ([]byte, error) { return j.Shop, nil }, settings)
}

// OfSettings returns a job that is known in part only, by settings alone: what
// they do not give, and no default does, stays zero and is not checked, nor is
// what rests on it. Lengths without a unit are in the given units. Such a job
// serves to work sizes out, not to be planned. A failure is an Errors.
func OfSettings(units Units, settings []Setting) (*Job, error) {
	d := &draft{job: &Job{Units: units}, given: map[string]spot{}, bad: map[string]bool{}, partial: true}
	items := map[string]item{}
	d.lay(settings, units, items)
	return d.finish(items, nil)
}

// lay puts settings over the items of the files.
func (d *draft) lay(settings []Setting, units Units, items map[string]item) {
	d.settings = map[string]bool{}
	for _, s := range settings {
		d.settings[s.Key] = true
	}
	for _, s := range settings {
		if KeyAt(s.Key).Name == "" {
			panic("job: no key " + s.Key) // the caller's table is wrong
		}
		for _, r := range rivals[s.Key] {
			if !d.settings[r] {
				delete(items, r)
			}
		}
		at := spot{file: s.From}
		items[s.Key] = item{s.Value, units, at}
		table, _, within := strings.Cut(s.Key, ".")
		if k := KeyAt(s.Key); !within {
			d.set(&k, s.Key, items[s.Key])
		} else if items[table].at == (spot{}) {
			items[table] = item{at: at}
		}
	}
}

// stamp is the fingerprint of files and settings.
func stamp(sum []byte, settings []Setting) []byte {
	if len(settings) == 0 {
		return sum
	}
	h := sha256.New()
	h.Write(sum)
	for _, s := range settings {
		fmt.Fprintf(h, "\x00%s=%v", s.Key, s.Value)
	}
	return h.Sum(nil)
}

// finish fills the tables of the schema from the items, checks the whole and
// returns the job. sum is the digest of what it was read from, nil when there
// is no file.
func (d *draft) finish(items map[string]item, sum []byte) (*Job, error) {
	if sum != nil {
		d.job.Fingerprint = hex.EncodeToString(sum)[:12]
	}
	for _, table := range tables() {
		if base, ok := strings.CutSuffix(table, anyName); ok {
			d.named(base, items)
		} else {
			d.table(table, items)
		}
	}
	d.checkUnits()
	d.check()
	d.nameSettings()
	if err := d.errs.finish(d.job.File); err != nil {
		return nil, err
	}
	d.job.given = d.given
	return d.job, nil
}

// nameSettings puts the settings before the mistakes at places of the file:
// without them it was sound, so they are what to change.
func (d *draft) nameSettings() {
	var from []string
	for _, key := range slices.Sorted(maps.Keys(d.settings)) {
		if at := d.given[key]; !slices.Contains(from, at.file) {
			from = append(from, at.file)
		}
	}
	for _, e := range d.errs {
		if len(from) > 0 && e.Line > 0 {
			e.File = strings.Join(from, " ") + " over " + cmp.Or(e.File, d.job.Name())
		}
	}
}

// top is where a mistake stands that belongs to no key or table of the file.
func (d *draft) top() spot {
	if len(d.files) > 0 {
		return spot{d.files[0].file, 1, 1}
	}
	for _, key := range slices.Sorted(maps.Keys(d.given)) {
		return d.given[key]
	}
	return spot{}
}

// unset says that a job of settings alone says nothing of a table: then what
// the table is about is not checked.
func (d *draft) unset(tables ...string) bool {
	if !d.partial {
		return false
	}
	for key := range d.settings {
		if table, _, _ := strings.Cut(key, "."); slices.Contains(tables, table) {
			return false
		}
	}
	return true
}
