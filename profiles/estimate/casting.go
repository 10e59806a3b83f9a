package estimate

import (
	"fmt"
	"math"
	"sync"

	"cogmend/profiles"
	"cogmend/profiles/geom"
)

// Lock is what a screw or pin does to the section it stands in.
type Lock struct {
	Hole    float64 // diameter of its hole through the floor; 0: none
	InTight bool    // it stands where the middle is tight
	Push    float64 // of a screw that is nipped up, N per mm along the face
}

// Casting is the casting round one repaired tooth, ready to be asked what a
// fit, a load and a screw do to it. Plane strain: the section is taken to be
// the same all along, the middle tight all along and the load even, which is
// more severe than a middle that is tight for a part of the face. The corners
// are as sharp as a ground cutter leaves them, the iron is even: no hard skin,
// no pores, no crack. Adhesive and friction hold nothing.
type Casting struct {
	Section Section // casting and insert across the axis
	Lock    Lock    // the screws through the rim
	Near    float64 // distance of the point method that was used, mm

	m    *model
	unit Stressed // fit alone, for unitFit of interference

	lock  sync.Mutex // of known, and of the solver's own room
	known map[[3]float64]Stressed
}

// unitFit is an interference, mm, from which others are scaled: without load
// everything is in proportion to it.
const unitFit = 0.01

// NewCasting divides a section into elements and works it out for one fit.
func NewCasting(s Section, lock Lock) (*Casting, error) {
	m, err := s.mesh(1)
	if err != nil {
		return nil, fmt.Errorf("stress in the casting: %w", err)
	}
	c := &Casting{Section: s, Lock: lock, Near: m.near, m: m, known: map[[3]float64]Stressed{}}
	if c.unit, err = c.solve(unitFit, 0, 0); err != nil {
		return nil, fmt.Errorf("stress in the casting: %w", err)
	}
	return c, nil
}

// solve finds the stress for an interference, mm across the dovetail, a force
// on the tooth and a screw's push, N per mm of face. The tooth is driven on
// either flank; where the sides differ the worse one counts.
func (c *Casting) solve(interference, load, push float64) (Stressed, error) {
	r, err := c.driven(interference, load, push, false)
	if err != nil || load == 0 || c.Section.even() {
		return r, err
	}
	other, err := c.driven(interference, load, push, true)
	if other.Greatest.Stress > r.Greatest.Stress {
		r = other
	}
	return r, err
}

func (c *Casting) driven(interference, load, push float64, left bool) (Stressed, error) {
	l, err := c.m.carried(load, push, left)
	if err != nil {
		return Stressed{}, err
	}
	st, err := c.m.contact.SolveCarried(l, c.m.gaps(interference))
	if err != nil {
		return Stressed{}, err
	}
	r := c.m.stressed(st)
	if c.Lock.Hole > 0 && (c.Lock.InTight || interference == 0) {
		r.Hole = r.Floor * holeFactor(c.Lock.Hole/2, c.Near)
		if r.Hole > r.Greatest.Stress {
			r.Greatest = Place{HolePlace, geom.Vec{Z: c.Section.Floor}, r.Hole}
		}
	}
	return r, nil
}

// HolePlace names the place beside the lock's hole.
const HolePlace = "beside the hole in the floor"

// holeFactor is by how much a hole of radius a raises a pull across it, at a
// distance from its edge (Kirsch).
func holeFactor(a, near float64) float64 {
	q := a / (a + near) * (a / (a + near))
	return 1 + q/2 + 1.5*q*q
}

// Under returns the stress for an interference, mm across the dovetail, less
// than 0 meaning none, a force along the line of action on the tooth's tip, N
// per mm of face, and, when screwed, the screw nipped up.
func (c *Casting) Under(interference, load float64, screwed bool) (Stressed, error) {
	interference = max(0, interference)
	push := 0.0
	if screwed {
		push = c.Lock.Push
	}
	if load == 0 && push == 0 && interference > 0 {
		return c.unit.scaled(interference / unitFit), nil
	}
	c.lock.Lock()
	defer c.lock.Unlock()
	key := [3]float64{interference, load, push}
	if s, ok := c.known[key]; ok {
		return s, nil
	}
	s, err := c.solve(interference, load, push)
	if err == nil {
		c.known[key] = s
	}
	return s, err
}

// Shares of the tensile strength that the first principal stress may reach:
// our own rules. The fit stays for good and yields to nothing, the load comes
// and goes; both are estimates, and the service factor is in the load already.
const (
	fitShare  = 2. / 3 // the fit alone, at the tightest it can be
	loadShare = 1. / 3 // the load alone
	bothShare = 3. / 4 // both, and both with the screw
)

// StressCase is one case and what it may reach. Stresses MPa.
type StressCase struct {
	Key          string  // "fit", "fit.most", "load", "both", "screw"
	What         string  // the case in words
	Interference float64 // of the joint, mm
	Stressed
	Limit   float64 // what the greatest stress may reach
	Use     float64 // greatest stress over the limit
	Decides bool    // counts for the verdict; how hard a screw is nipped up is in the user's hand
}

// Cases returns the fit alone, at the tightest, the load alone, both, and both
// with the screw, those that there are: for an expected and a greatest
// interference, mm, and a force on the tooth, N per mm of face.
func (c *Casting) Cases(expected, most, load float64) ([]StressCase, error) {
	var out []StressCase
	tensile := c.Section.tensile()
	var err error
	add := func(key, what string, interference, load float64, screwed bool, share float64) {
		if err != nil {
			return
		}
		var s Stressed
		if s, err = c.Under(interference, load, screwed); err != nil {
			err = fmt.Errorf("%s: %w", what, err)
			return
		}
		out = append(out, StressCase{key, what, max(0, interference), s, share * tensile, s.Greatest.Stress / (share * tensile), !screwed})
	}
	if most > 0 {
		add("fit", "the fit alone, as expected", expected, 0, false, fitShare)
		add("fit.most", "the fit alone, at the tightest", most, 0, false, fitShare)
	}
	if load > 0 {
		add("load", "the load alone", 0, load, false, loadShare)
	}
	if load > 0 && most > 0 {
		add("both", "fit at the tightest and load", most, load, false, bothShare)
	}
	if c.Lock.Push > 0 && (load > 0 || most > 0) {
		add("screw", "all, with the screw nipped up", most, load, true, bothShare)
	}
	return out, err
}

// Allowed returns the greatest interference, mm, that may be measured in the
// joint: alone, and with a load in N per mm of face. It is 0 when the load
// alone is too much.
func (c *Casting) Allowed(load float64) (float64, error) {
	tensile := c.Section.tensile()
	alone := unitFit * fitShare * tensile / c.unit.Greatest.Stress
	if load == 0 {
		return alone, nil
	}
	over := func(x float64) (float64, error) {
		s, err := c.Under(x, load, false)
		return s.Greatest.Stress - bothShare*tensile, err
	}
	at, err := over(alone)
	if err != nil || at <= 0 {
		return alone, err
	}
	low, err := over(0)
	if err != nil || low >= 0 {
		return 0, err
	}
	// Stress against interference is a line but for pairs that come and go:
	// the secant, kept inside its bracket.
	lo, hi := 0.0, alone
	for range 12 {
		x := lo + (hi-lo)*min(max(low/(low-at), 0.05), 0.95)
		y, err := over(x)
		if err != nil {
			return 0, err
		}
		if y > 0 {
			hi, at = x, y
		} else {
			lo, low = x, y
		}
		if hi-lo < 1e-5 || y <= 0 && y > -0.002*tensile {
			break
		}
	}
	return lo, nil
}

// nipped is the pull of a screw nipped up by hand, as stress in its core, MPa:
// our own rule, a fifth of the yield of class 4.6.
const nipped = 50.0

// ScrewPush is the push of screws nipped up by hand, N per mm of face: count
// of them with a core of the given diameter, each on as much of the face as
// slot and rim are deep, to both sides.
func (s Section) ScrewPush(count int, core, face float64) float64 {
	if count == 0 {
		return 0
	}
	spread := min(face/float64(count), 2*(s.Seat-s.Inner))
	return nipped * math.Pi / 4 * core * core / spread
}

// assumptions lists what the stress rests on.
func (c *Casting) assumptions() []profiles.Assumption {
	s, iron, steel := c.Section, c.Section.Casting.Strength(), c.Section.Insert.Strength()
	m := s.materials()
	source := iron.LimitSource
	if s.Tensile > 0 {
		source = statedWithLoad
	}
	list := []profiles.Assumption{
		{Name: "modulus of elasticity of the casting", Value: m[castingBody].Elastic, Unit: "MPa", Source: iron.Name + ", from memory"},
		{Name: "modulus of elasticity of the insert", Value: m[insertBody].Elastic, Unit: "MPa", Source: steel.Name + ", from memory"},
		{Name: "Poisson's ratio of the casting", Value: m[castingBody].Poisson, Source: "from memory"},
		{Name: "tensile strength of the casting", Value: s.tensile(), Unit: "MPa", Source: source},
		{Name: "toughness of the casting", Value: toughnessAt(s.tensile()), Unit: "MPa m^0.5", Source: "grey iron No. 20 has 10, No. 35 has 15: an open table of material data"},
		{Name: "distance from a sharp corner at which its stress is read", Value: c.Near, Unit: "mm", Source: "theory of critical distances, the point method"},
		{Name: "share of the tensile strength for the fit alone", Value: fitShare, Source: profiles.OwnRule},
		{Name: "share of it for the load alone", Value: loadShare, Source: profiles.OwnRule},
		{Name: "share of it for both", Value: bothShare, Source: profiles.OwnRule},
	}
	if c.Lock.Push > 0 {
		list = append(list, profiles.Assumption{Name: "pull in the core of a screw nipped up by hand", Value: nipped, Unit: "MPa", Source: profiles.OwnRule})
	}
	return list
}

// Limits says what the estimate of the stress leaves out.
func (c *Casting) Limits() []string {
	out := []string{
		"one section, strained alike all along the face: a middle that is tight for a part of it is less severe",
		"corners as sharp as a ground cutter leaves them, iron even: no hard skin, no pores; a crack or a patch of rust changes everything",
		"neither friction nor adhesive holds anything; web or spokes pull evenly round the inner circle",
	}
	if len(c.Section.Open) > 0 {
		out = append(out, "the other slots near by stand empty")
	}
	return out
}
