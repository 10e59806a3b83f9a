package estimate

import (
	"fmt"
	"math"

	"cogmend/profiles"
)

// LoadCase is a gear with an inserted tooth and what it carries. Lengths mm.
type LoadCase struct {
	Duty // RimUnder: metal under the slot's floor

	Slot      profiles.DovetailSize // as cut
	SeatBelow float64               // seat below the root circle
	Body      float64               // width of the insert at its shoulders
	Wall      float64               // metal beside the slot to the next void, along Y
	Screws    int                   // number of screws or pins
	Screw     float64               // their least diameter (a screw's minor diameter)

	Stress       *Casting // the section round the slot
	Interference float64  // of the fit, as expected, mm
	Most         float64  // at its tightest, mm

	Insert      profiles.Material // of the insert
	InsertYield float64           // MPa, of a known grade; 0: the weakest
}

// statedWithLoad is the source of a strength the user knows.
const statedWithLoad = "stated with the load"

// strengths returns the figures of casting and insert, with the known grades.
func (c LoadCase) strengths() (casting, insert profiles.Strength) {
	casting, insert = c.iron(), c.Insert.Strength()
	if c.InsertYield > 0 {
		insert.Limit, insert.LimitSource = c.InsertYield, statedWithLoad
	}
	return casting, insert
}

// LoadItem is one line of the estimate.
type LoadItem struct {
	Key       string  // stable name, e.g. "tooth.lewis"
	What      string  // in words
	Value     float64 // in Unit
	Unit      string  // "" for a plain number
	Allowable float64 // in Unit
	AtLeast   bool    // Value must be at least Allowable, else at most
	Source    string  // of the allowable
	Where     string  // place of the greatest stress, where there are several
	Use       float64 // share of the allowable that is used; over 1 it is exceeded
	Decides   bool    // counts for the verdict
}

// LoadResult is the estimate: never a rating.
type LoadResult struct {
	Torque        float64               // N m
	Tangential    float64               // N, at the pitch circle, without factors
	PitchSpeed    float64               // m/s
	VelocityShare float64               // Barth's factor, 1 or more
	Design        float64               // N: Tangential x service x velocity
	Y             float64               // form factor of the new tooth
	YNeighbours   float64               // form factor of the standing teeth
	Rim           float64               // rim factor K
	BackupRatio   float64               // metal under the slot, or under the root where nothing is cut, over the whole depth
	Pull          float64               // N that draws the dovetail out, when the shoulders carry the tooth's tilt
	Cases         []StressCase          // of the casting, with the fit
	Items         []LoadItem            // in the order they are told
	Worst         string                // key of the item used most
	Use           float64               // its use
	Verdict       string                // three words
	Assumptions   []profiles.Assumption // what the estimate rests on
	Warnings      []string              // one sentence each
	NotFor        []string              // what is not to be repaired this way
}

// Carried says that nothing that decides is beyond its allowable.
func (r LoadResult) Carried() bool {
	for _, i := range r.Items {
		if i.Decides && i.Use > 1 {
			return false
		}
	}
	return true
}

// Rules of the estimate without a source in a handbook.
const (
	adhesiveShear  = 5.0 // MPa: about a quarter of what data sheets of structural epoxies give
	screwYield     = 240 // MPa, property class 4.6 (ISO 898-1; from memory)
	screwShear     = 0.4 // of the yield
	wallLeast      = 0.5 // of the slot's depth
	backupLeast    = 0.5
	loadWarn       = 0.6 // use from which the verdict is no longer good
	defaultService = 1.5
)

// notForRepair is said whatever the numbers are.
var notForRepair = []string{
	"an estimate from handbook formulas, not a rating; local codes and licensed practice come first",
	"not for lifting gear, vehicles, or anything a life hangs on",
	"not with any crack in web, hub or rim, or in the root beside the gap",
	"not for gears that run fast or take shocks the estimate does not know of",
}

// Load estimates the stresses in the new tooth, its dovetail and the casting
// around it. One tooth carries the whole load at its tip.
func (c LoadCase) Load() (LoadResult, error) {
	if err := c.validate(); err != nil {
		return LoadResult{}, err
	}
	r, first, err := c.begin()
	if err != nil {
		return LoadResult{}, err
	}
	g := c.Tooth
	form, err := FormFactorAt(g, g.TipRadius())
	if err != nil {
		return LoadResult{}, err
	}
	// Where the load's line crosses the tooth's middle, over the seat.
	arm := g.LoadLine(form.Load) - (g.RootRadius() - c.SeatBelow)
	if t := c.CastingTensile; t > 0 && c.Stress.Section.Tensile != t {
		s := c.Stress.Section
		s.Tensile = t
		if c.Stress, err = NewCasting(s, c.Stress.Lock); err != nil {
			return LoadResult{}, err
		}
	}
	if r.Cases, err = c.Stress.Cases(c.Interference, c.Most, r.Design/c.Face); err != nil {
		return LoadResult{}, err
	}
	r.addStresses(c, arm)
	r.decide()
	r.Assumptions = append(first, c.assumptions()...)
	r.Warnings = c.warnings(r, "the floor")
	return r, nil
}

func (r *LoadResult) add(i LoadItem) {
	if i.AtLeast {
		i.Use = i.Allowable / i.Value
	} else {
		i.Use = i.Value / i.Allowable
	}
	r.Items = append(r.Items, i)
}

func (r *LoadResult) addStresses(c LoadCase, arm float64) {
	iron, steel := c.strengths()
	m, l, h := c.Tooth.Module, c.Face, c.Slot.Depth
	mpa := func(key, what string, v, allow float64, source string, decides bool) {
		r.add(LoadItem{Key: key, What: what, Value: v, Unit: "MPa", Allowable: allow, Source: source, Decides: decides})
	}
	mpa("tooth.lewis", "bending in the new tooth (Lewis)",
		LewisStress(r.Design, m, l, r.Y), steel.SafeStatic, steel.SafeStaticSource, true)
	r.addNeighbour(c.Duty)

	// The tooth tilts on the outer edge of one shoulder and draws its
	// dovetail out at the middle.
	moment := r.Design * arm
	r.Pull = moment / (c.Body / 2)
	neck := l * c.Slot.Mouth
	mpa("neck.pull", "tension in the dovetail under the shoulders, these bearing",
		r.Pull/neck, steel.SafeStatic, steel.SafeStaticSource, true)
	mpa("neck.bending", "bending under the shoulders if these bore nothing",
		6*moment/(l*c.Slot.Mouth*c.Slot.Mouth), steel.Limit, steel.LimitSource, false)

	pressure := 0.0
	for _, x := range r.Cases {
		r.add(LoadItem{Key: "casting." + x.Key, What: "pull in the casting, " + x.What, Value: x.Greatest.Stress, Unit: "MPa",
			Allowable: x.Limit, Source: fmt.Sprintf("%s: %.2g of the tensile strength; %s", profiles.OwnRule, x.Limit/iron.Limit, iron.LimitSource), Where: x.Greatest.What, Decides: x.Decides})
		if x.Key == "load" || x.Key == "both" {
			pressure = max(pressure, x.Pressure)
		}
	}
	mpa("flank.pressure", "pressure on the dovetail's flanks, mean, without adhesive",
		pressure, iron.SafeStatic, profiles.OwnRule+": the safe static stress of the casting", true)

	cos := math.Cos(c.Slot.HalfAngle)
	area := l * (2*h/cos + c.Slot.Floor() + math.Max(0, c.Body-c.Slot.Mouth))
	mpa("adhesive.shear", "shear in the adhesive if it alone held the insert",
		math.Hypot(r.Pull, r.Design)/area, adhesiveShear, profiles.OwnRule+": about a quarter of a structural epoxy's data sheet value", false)
	if c.Screws > 0 {
		mpa("screw.shear", "shear in the screws if they alone held the side load",
			r.Design/(float64(c.Screws)*math.Pi/4*c.Screw*c.Screw), screwShear*screwYield, profiles.OwnRule+": 0.4 of the yield of class 4.6", false)
	}
	r.addRoom(c)
}

// Room returns what the estimate asks of the metal around the slot, whatever
// the load is: least sizes, their Use over 1 where they are not there.
func (c LoadCase) Room() []LoadItem {
	r := LoadResult{BackupRatio: c.backupRatio()}
	r.addRoom(c)
	return r.Items
}

func (r *LoadResult) addRoom(c LoadCase) {
	r.add(LoadItem{Key: "wall.thickness", What: "metal beside the dovetail", Value: c.Wall, Unit: "mm",
		Allowable: wallLeast * c.Slot.Depth, AtLeast: true, Source: profiles.OwnRule + ": half the slot's depth", Decides: true})
	r.addBackup(r.BackupRatio, "rim left under the floor over the whole depth")
	r.add(LoadItem{Key: "shoulder.width", What: "width of one shoulder", Value: (c.Body - c.Slot.Mouth) / 2, Unit: "mm",
		Allowable: profiles.LeastShoulder(c.Tooth.Module), AtLeast: true, Source: profiles.OwnRule + ": a third of a module", Decides: true})
}

// addBackup asks for a rim under what carries the tooth.
func (r *LoadResult) addBackup(ratio float64, what string) {
	r.add(LoadItem{Key: "rim.backup", What: what, Value: ratio, Unit: "",
		Allowable: backupLeast, AtLeast: true, Source: profiles.OwnRule + "; from 1.2 up the rim costs nothing (AGMA 2001-D04)", Decides: true})
}

// decide finds the item used most. What does not decide is shown beside the
// verdict, because the joint does not rest on it; a least size is either there
// or not.
func (r *LoadResult) decide() {
	over := false
	for _, i := range r.Items {
		if !i.Decides || i.AtLeast && i.Use <= 1 {
			continue
		}
		if r.Worst == "" || i.Use > r.Use {
			r.Worst, r.Use = i.Key, i.Use
		}
		over = over || i.Use > 1
	}
	switch {
	case over:
		r.Verdict = "do not repair"
	case r.Use > loadWarn:
		r.Verdict = "near the limit"
	default:
		r.Verdict = "looks strong enough"
	}
}

func (c LoadCase) assumptions() []profiles.Assumption {
	_, insert := c.strengths()
	return append([]profiles.Assumption{
		{Name: "yield of the insert", Value: insert.Limit, Unit: "MPa", Source: insert.LimitSource},
		{Name: "yield of the screws", Value: screwYield, Unit: "MPa", Source: "property class 4.6, ISO 898-1, from memory"},
	}, c.Stress.assumptions()...)
}

func (c LoadCase) validate() error {
	if err := c.Duty.validate(); err != nil {
		return err
	}
	if err := c.Slot.Validate(); err != nil {
		return err
	}
	switch {
	case !(c.SeatBelow >= 0):
		return fmt.Errorf("seat %.6g mm below the root circle: it must not be negative", c.SeatBelow)
	case !(c.Body > c.Slot.Mouth):
		return fmt.Errorf("insert body %.3f mm leaves no shoulders beside a mouth of %.3f mm", c.Body, c.Slot.Mouth)
	case !positive(c.Wall):
		return fmt.Errorf("metal beside the slot %.6g mm: it must be positive", c.Wall)
	case c.Stress == nil:
		return fmt.Errorf("the section round the slot is not known")
	case !positive(c.RimUnder):
		return fmt.Errorf("rim under the slot %.6g mm: it must be positive", c.RimUnder)
	case !(c.CastingTensile >= 0) || !(c.InsertYield >= 0):
		return fmt.Errorf("strengths %g and %g MPa: they must not be negative", c.CastingTensile, c.InsertYield)
	case c.Screws < 0 || c.Screws > 0 && !positive(c.Screw):
		return fmt.Errorf("%d screws of %.6g mm: count and diameter must be positive", c.Screws, c.Screw)
	}
	return nil
}
