package profiles

import (
	"strconv"
	"strings"
)

// DogPoint is the cylindrical point of a set screw. Lengths mm.
type DogPoint struct {
	Diameter float64 // greatest
	Short    float64 // least length of the short point
	Long     float64 // least length of the long point
}

// Thread is a screw thread for the lock. Lengths mm.
type Thread struct {
	Name     string    // e.g. M5
	Major    float64   // major diameter
	Pitch    float64   // of the thread
	TapDrill float64   // diameter of the tap drill
	Point    *DogPoint // nil when no standard point is in the table
	Source   string    // of the tap drill
}

// Minor returns the basic minor diameter of the internal thread,
// d - 1.0825 P (ISO 724; for the other forms a close estimate).
func (t Thread) Minor() float64 { return t.Major - 1.0825*t.Pitch }

const (
	tapISO  = "ISO 2306"
	tapInch = "unified threads, published tap drill tables"
	tapBA   = "British Association, published tap drill tables"
	tapBSW  = "Whitworth form, published tap drill tables"
)

// Points: ISO 4028, greatest diameter, least lengths. Major diameters and
// pitches: ISO 261, ASME B1.1, BS 93, BS 84, from memory.
var threadTable = []Thread{
	{"M3", 3, 0.5, 2.5, &DogPoint{2, 0.75, 1.5}, tapISO},
	{"M4", 4, 0.7, 3.3, &DogPoint{2.5, 1, 2}, tapISO},
	{"M5", 5, 0.8, 4.2, &DogPoint{3.5, 1.25, 2.5}, tapISO},
	{"M6", 6, 1, 5.0, &DogPoint{4, 1.5, 3}, tapISO},
	{"M8", 8, 1.25, 6.8, &DogPoint{5.5, 2, 4}, tapISO},
	{"M10", 10, 1.5, 8.5, &DogPoint{7, 2.5, 5}, tapISO},
	{"8-32", 0.164 * inch, inch / 32, 0.1360 * inch, nil, tapInch},
	{"10-24", 0.190 * inch, inch / 24, 0.1470 * inch, nil, tapInch},
	{"10-32", 0.190 * inch, inch / 32, 0.1590 * inch, nil, tapInch},
	{"1/4-20", 0.250 * inch, inch / 20, 0.2010 * inch, nil, tapInch},
	{"1/4-28", 0.250 * inch, inch / 28, 0.2130 * inch, nil, tapInch},
	{"5/16-18", 0.3125 * inch, inch / 18, 0.2570 * inch, nil, tapInch},
	{"0BA", 6.0, 1.0, 5.1, nil, tapBA},
	{"1BA", 5.3, 0.90, 4.5, nil, tapBA},
	{"2BA", 4.7, 0.81, 4.0, nil, tapBA},
	{"1/4 BSW", 0.250 * inch, inch / 20, 5.2, nil, tapBSW},
	{"1/4 BSF", 0.250 * inch, inch / 26, 5.4, nil, tapBSW},
}

// ThreadNames returns the names of the threads in the table. ThreadByName
// also knows metric fine threads such as "M8x1".
func ThreadNames() []string {
	names := make([]string, len(threadTable))
	for i, t := range threadTable {
		names[i] = t.Name
	}
	return names
}

// ThreadByName returns the thread of that name and whether there is one.
// Case and spaces do not matter. A metric thread given with its pitch, "M8x1",
// need not be in the table: its tap drill is major diameter less pitch, the
// rule of ISO 2306.
func ThreadByName(name string) (Thread, bool) {
	key := threadKey(name)
	for _, t := range threadTable {
		if threadKey(t.Name) == key {
			return t, true
		}
	}
	major, pitch, ok := strings.Cut(strings.TrimPrefix(key, "m"), "x")
	if !ok || !strings.HasPrefix(key, "m") {
		return Thread{}, false
	}
	d, err1 := strconv.ParseFloat(major, 64)
	p, err2 := strconv.ParseFloat(pitch, 64)
	// A pitch over a third of the diameter belongs to no metric thread.
	if err1 != nil || err2 != nil || !(p >= 0.2) || !(d >= 3*p) || !(d <= 64) {
		return Thread{}, false
	}
	t := Thread{Name: "M" + major + "x" + pitch, Major: d, Pitch: p, TapDrill: d - p, Source: tapISO + ": major diameter less pitch"}
	if coarse, ok := ThreadByName("M" + major); ok {
		t.Point = coarse.Point
		if coarse.Pitch == p {
			return coarse, true
		}
	}
	return t, true
}

func threadKey(name string) string {
	return strings.ToLower(strings.ReplaceAll(name, " ", ""))
}
