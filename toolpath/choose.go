package toolpath

import (
	"math"
	"sort"

	"cogmend/profiles"
	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// endMills returns the end mills of the job, the thickest first, only those
// named when names are given.
func endMills(j *job.Job, names ...string) []*profiles.Cutter {
	var out []*profiles.Cutter
	for i := range j.Cutters {
		c := &j.Cutters[i]
		if c.Kind != profiles.EndMill {
			continue
		}
		ok := len(names) == 0
		for _, n := range names {
			ok = ok || n == c.Name
		}
		if ok {
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].Diameter > out[b].Diameter })
	return out
}

// pick returns the thickest end mill up to the given diameter that passes the
// test. When none does it adds a refusal under the key of what is wanted: why each
// cutter will not do.
func (p *planner) pick(key string, most float64, named string, test func(c *profiles.Cutter) string) *profiles.Cutter {
	var names []string
	if named != "" {
		names = []string{named}
	}
	why := ""
	for _, c := range endMills(p.Job, names...) {
		if c.Diameter > most+geom.Eps {
			why += "; cutter." + c.Name + ": " + p.len(c.Diameter) + " is wider than " + p.len(most)
			continue
		}
		reason := test(c)
		if reason == "" {
			return c
		}
		why += "; cutter." + c.Name + ": " + reason
	}
	if why == "" {
		why = "; the job has no end mill"
	}
	p.bad.add(key, "no cutter will do%s", why)
	return nil
}

// thickest is pick for a cutter that one could do without: nil when there is none.
func (p *planner) thickest(most float64, test func(c *profiles.Cutter) string) *profiles.Cutter {
	for _, c := range endMills(p.Job) {
		if c.Diameter <= most+geom.Eps && test(c) == "" {
			return c
		}
	}
	return nil
}

// clears tests a cutter at the given heights and Y places in a scene.
func (p *planner) clears(s scene, z float64, ys ...float64) func(c *profiles.Cutter) string {
	return func(c *profiles.Cutter) string {
		need := 0.0
		for _, y := range ys {
			// y is where the cutter's side shall be; its axis is a radius inward.
			axis := y
			if y > 0 {
				axis = y - c.Radius()
			} else if y < 0 {
				axis = y + c.Radius()
			}
			need = max(need, s.needStickOut(c, axis, z))
			if part := s.fouls(c, axis, z, 0); part != "" && part != "holder" {
				return "its " + part + " would touch a neighbouring tooth"
			}
		}
		if need > c.StickOut {
			return "stick_out " + p.len(c.StickOut) + " is too short, it needs at least " + p.len(math.Ceil(need*10)/10)
		}
		return ""
	}
}

// len writes a length in the job's unit.
func (p *planner) len(mm float64) string { return p.Job.Units.Length(mm) }

// along returns the X where a pass starts and ends. material is the side of
// the cutter on which the metal lies, +1 for +Y. The spindle turns clockwise,
// so a climb cut has the work to the right of the travel (conventional: left),
// and travelling to +X the right is -Y.
func along(lo, hi float64, material int, climb bool) (from, to float64) {
	if (material < 0) == climb {
		return lo, hi
	}
	return hi, lo
}
