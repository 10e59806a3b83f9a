package metal

import (
	"math"

	"cogmend/gcode/replay"
	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/design"
	"cogmend/toolpath/job"
)

// Margins of the check over the table of speeds and feeds: our own rule. A
// little over the table is a choice, half as much again is a mistake.
const (
	feedMargin = 1.5
	rpmMargin  = 1.3
)

// mostPeck is how many diameters a drill may go down at once: common practice,
// which has no source.
const mostPeck = 3

// holderHeight is how far up the holder is drawn, mm.
const holderHeight = 60

// Parts returns the tool as frusta, from the tip up.
func Parts(c *profiles.Cutter) []replay.Part {
	r := c.Radius()
	var parts []replay.Part
	at := 0.0
	up := func(name string, to, r0, r1 float64, cuts bool) {
		if to-at > geom.Eps {
			parts = append(parts, replay.Part{Name: name, Z0: at, R0: r0, Z1: to, R1: r1, Cuts: cuts})
			at = to
		}
	}
	switch c.Kind {
	case profiles.Dovetail:
		up("flutes", c.FlankHeight, r, r-c.FlankHeight*math.Tan(c.FlankAngle), true)
	case profiles.Drill:
		up("flutes", r/math.Tan(c.PointAngle/2), 0, r, true)
		up("flutes", c.FluteLength, r, r, true)
	default:
		up("flutes", c.FluteLength, r, r, true)
	}
	if c.Neck > 0 {
		up("neck", c.NeckLength, c.Neck/2, c.Neck/2, false)
	}
	up("shank", c.StickOut, c.Shank/2, c.Shank/2, false)
	up("holder", c.StickOut+holderHeight, c.Holder/2, c.Holder/2, false)
	return parts
}

// tool is the replay's view of a cutter in a work material.
func tool(c *profiles.Cutter, work profiles.Material, j *job.Job) replay.Tool {
	m := &j.Machine
	t := replay.Tool{
		Number: c.Number, Name: c.Name, Parts: Parts(c), Diameter: c.Diameter,
		MaxDepth: c.MaxDepth, NoPlunge: c.Kind == profiles.Dovetail, Teeth: c.Flutes,
	}
	if c.SinglePoint {
		t.Teeth = 1
	}
	if c.Kind != profiles.EndMill {
		t.MaxDepth = 0 // a dovetail cuts its whole flank, a drill along its axis
	}
	if c.Kind == profiles.Dovetail {
		t.MaxSide = j.Slot.RadialCut
	}
	if c.Kind == profiles.Drill {
		t.OnlyDown, t.MaxPeck = true, mostPeck*c.Diameter
	}
	s, err := profiles.SpeedsFor(*c, work, profiles.SideCut)
	if err != nil {
		return t // not from a job: its reader asks for a diameter and for flutes
	}
	held, ok := s.Within(m.MinRpm, m.MaxRpm, m.MaxFeed)
	t.MaxRpm = rpmMargin * s.Rpm
	if ok {
		t.MaxRpm = rpmMargin * max(held.Rpm, s.Rpm)
	}
	t.MaxFeed = feedMargin * max(held.Feed, held.Plunge)
	t.MaxChip = feedMargin * s.Chip
	t.MaxDown = feedMargin * held.Plunge
	return t
}

// machineSetup holds what all set-ups share.
func machineSetup(j *job.Job, work profiles.Material) *replay.Setup {
	m := &j.Machine
	s := &replay.Setup{
		Tools:        map[int]replay.Tool{},
		Travel:       [3][2]float64{m.TravelX, m.TravelY, m.TravelZ},
		MinRpm:       m.MinRpm,
		MaxRpm:       m.MaxRpm,
		MaxFeed:      m.MaxFeed,
		HandSpeed:    m.HandSpeed,
		LengthComp:   m.LengthComp,
		Rapid:        m.RapidFeed,
		TurnRate:     geom.Degrees(m.IndexRate),
		ToolChange:   m.ToolChange,
		MilliDwell:   m.MilliDwell,
		Acceleration: m.Acceleration,
		Rounding:     j.Rounding(),
	}
	for i := range j.Cutters {
		c := &j.Cutters[i]
		s.Tools[c.Number] = tool(c, work, j)
	}
	return s
}

func keepOuts(j *job.Job, setup string) []replay.KeepOut {
	var out []replay.KeepOut
	for _, k := range j.KeepOuts {
		if k.Setup == setup {
			out = append(out, replay.KeepOut{Name: k.Name, X: k.X, Y: k.Y, Z: k.Z})
		}
	}
	return out
}

// safeSlack is what the safe height may be short of the job's over whatever stands
// out, mm.
const safeSlack = 0.05

// outThere is beyond the reach of any such machine, mm.
const outThere = 1e4

// given says that the job states a travel.
func given(travel [2]float64) bool { return travel[0] < travel[1] }

// gearSetup is the frame of the programs that cut the gear or the insert in
// it.
func gearSetup(d *design.Design, work profiles.Material) *replay.Setup {
	j := d.Job
	s := machineSetup(j, work)
	s.Turns = true
	s.Sign = float64(j.Machine.RotarySign)
	s.ByHand = j.Index.Device != job.Rotary
	s.ZShift = d.Shift
	s.Margin = j.Machine.SafeHeight - safeSlack
	s.Pitch = j.Gear.Pitch()
	if j.Index.Device == job.Head && j.Index.Graduation == 0 {
		s.CrankRatio = j.Index.Ratio
	}
	s.KeepOuts = keepOuts(j, "gear")
	if bore := j.Gear.Bore / 2; bore > 0 && !given(j.Machine.TravelZ) {
		for _, x := range [][2]float64{{-outThere, -faceIn}, {j.Gear.Face + faceIn, outThere}} {
			s.KeepOuts = append(s.KeepOuts, replay.KeepOut{Name: "the arbor", X: x, Y: [2]float64{-bore, bore}, Z: [2]float64{-outThere, bore - d.Shift}})
		}
	}
	return s
}

// insertSetup is the frame of the programs that cut the insert in the vice.
func insertSetup(j *job.Job) *replay.Setup {
	s := machineSetup(j, j.Insert.Material)
	s.KeepOuts = keepOuts(j, "insert")
	s.Top = j.Insert.TopCut
	if !given(j.Machine.TravelZ) {
		s.KeepOuts = append(s.KeepOuts, replay.KeepOut{Name: "what the block stands on",
			X: [2]float64{-outThere, outThere}, Y: [2]float64{-outThere, outThere}, Z: [2]float64{-outThere, j.Insert.TopCut - j.Insert.BlockHeight}})
	}
	return s
}
