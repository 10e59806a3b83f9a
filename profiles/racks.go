package profiles

import "strings"

// finePitchClearance is the constant part of the clearance of 20 diametral
// pitch and finer, 0.002 in (ANSI B6.1 family, fine pitch: whole depth
// 2.2/P + 0.002 in).
const finePitchClearance = 0.002 * inch

// inch is one inch in mm.
const inch = 25.4

// rackTable holds the basic racks a job may name. Those of ISO 53, the stub's
// and the fillets of the older systems are from memory.
var rackTable = []Rack{
	{"iso-a", 1, 1.25, 0.38, "ISO 53:1998, profile A; from memory"},
	{"iso-b", 1, 1.25, 0.30, "ISO 53:1998, profile B; from memory"},
	{"iso-c", 1, 1.25, 0.25, "ISO 53:1998, profile C; from memory"},
	{"iso-d", 1, 1.40, 0.39, "ISO 53:1998, profile D; from memory"},
	{"full-depth", 1, 1.25, 0.30, "ANSI B6.1, full depth, coarser than 20 diametral pitch; fillet from memory"},
	{"fine-pitch", 1, 1.2 + 0.002*20, 0, "ANSI B6.1 family, 20 diametral pitch and finer: dedendum 1.2/P + 0.002 in; rounding not standardized, taken as sharp"},
	{"old-full-depth", 1, 1.157, 0.209, "older full depth system: dedendum 1.157/P, fillet 1 1/3 times the clearance, from memory"},
	{"stub", 0.8, 1, 0.30, "20 degree stub: addendum 0.8/P, dedendum 1/P, from memory; fillet as the full depth rack's"},
}

// RackNames returns the names RackByName knows, in the order of the table.
func RackNames() []string {
	names := make([]string, len(rackTable))
	for i, r := range rackTable {
		names[i] = r.Name
	}
	return names
}

// RackByName returns the basic rack of that name, in modules, and whether
// there is one. Case does not matter. For "fine-pitch", whose clearance has a
// part in inches, it gives the rack of 20 diametral pitch; RackFor gives that
// of any module.
func RackByName(name string) (Rack, bool) {
	for _, r := range rackTable {
		if strings.EqualFold(r.Name, name) {
			return r, true
		}
	}
	return Rack{}, false
}

// RackFor is RackByName for a gear of the given module in mm: it is the same
// but for "fine-pitch", whose dedendum is 1.2 m + 0.002 in.
func RackFor(name string, module float64) (Rack, bool) {
	r, ok := RackByName(name)
	if ok && r.Name == "fine-pitch" && module > 0 {
		r.Dedendum = 1.2 + finePitchClearance/module
	}
	return r, ok
}
