package design

import (
	"fmt"

	"cogmend/profiles"
	"cogmend/profiles/estimate"
	"cogmend/profiles/geom"
	"cogmend/profiles/measure"
	"cogmend/toolpath/job"
)

// FlankError says why the index device cannot make the flanks within the
// tolerance, nil when it can.
func (d *Design) FlankError() error {
	f := &d.Flanks
	switch {
	case f.Met:
		return nil
	case len(f.Right.Rolls) == 0 || len(f.Left.Rolls) == 0:
		return fmt.Errorf("the index device can be set to no angle that touches both flanks")
	}
	best := max(f.Right.GreatestError, f.Left.GreatestError)
	if d.Job.Index.Device == job.Rotary {
		best = f.Ideal.GreatestError // of as many; the device's own set stops where it cannot go on
	}
	if d.Job.Facets.Lean == job.Even {
		best /= 2
	}
	return fmt.Errorf("a tolerance of %.2g mm cannot be kept: %d facets a flank, the most that help, leave %.2g mm", f.Tolerance, len(f.Right.Rolls), best)
}

// ToothGauge is the new tooth with the facets its device allows, for gauging.
// The error is FlankError's.
func (d *Design) ToothGauge() (measure.ToothGauge, error) {
	if err := d.FlankError(); err != nil {
		return measure.ToothGauge{}, err
	}
	f := &d.Flanks
	return measure.ToothGauge{
		Tooth: d.Job.Gear.Gear, Neighbours: d.Worn(),
		Facets: profiles.FacetsAt(f.Right.Rolls, -f.Allowance), Left: profiles.FacetsAt(f.Left.Rolls, -f.Allowance),
		Low: 0 - f.Allowance, High: f.Limit - f.Allowance,
	}, nil
}

// Mesh is the gear with its faceted tooth, and the mate of the job, which must
// have one. The error says that there is no such mate, or is FlankError's.
func (d *Design) Mesh() (estimate.Mesh, error) {
	j, g := d.Job, d.Job.Gear.Gear
	m := estimate.Mesh{Tooth: g, Neighbours: d.Worn(), Centre: j.Mate.Centre}
	var err error
	if m.Mate, err = g.RunsWith(j.Mate.Teeth, j.Mate.Shift, j.Mate.Thinning); err != nil {
		return m, fmt.Errorf("the mate: %w", err)
	}
	if err := d.FlankError(); err != nil {
		return m, err
	}
	f := &d.Flanks
	if m.Right, err = g.FacetedFlank(profiles.FacetsAt(f.Right.Rolls, -f.Allowance)); err != nil {
		return m, err
	}
	left, err := g.FacetedFlank(profiles.FacetsAt(f.Left.Rolls, -f.Allowance))
	m.Left = geom.Mirrored(left)
	return m, err
}

// MateWarning speaks when the new tooth, its facets standing out, need not have
// play with the mate the job names; else it is "". Only rolling them tells for
// certain, and takes longer than all else.
func (d *Design) MateWarning() string {
	j, f := d.Job, &d.Flanks
	if j.Mate == nil || j.Mate.Teeth == 0 {
		return ""
	}
	mesh, err := d.Mesh()
	if err != nil {
		return ""
	}
	proud := f.Right.GreatestError + f.Left.GreatestError - 2*f.Allowance // on both flanks together
	play, err := mesh.Play()
	if err != nil || play > proud {
		return ""
	}
	return fmt.Sprintf("the new tooth may jam with its mate: %s of play at %s between centres, and the facets stand out %s; see '%s'",
		j.Units.Length(play), j.Units.Length(mesh.Centre), j.Units.Length(proud), j.Command("mesh"))
}

// SettingError is what one hundredth of a setting does to the flank.
type SettingError struct {
	Setting string  `json:"setting"`  // in words, with the amount
	FlankMM float64 `json:"flank_mm"` // by how much a facet moves
}

// SettingErrors works out what 0.01 mm (0.0005 in) or 0.01 degree of each
// number set by hand moves a facet. A facet stands upright when it is cut, so Y
// and half the diameter move it whole, Z not at all; turning the gear moves it
// by the base radius, or the height at which another form is touched, times the
// angle.
func (d *Design) SettingErrors() []SettingError {
	const degree = 0.01
	u, step := d.Job.Units, 0.01
	if u == job.Inch {
		step = 0.0005 * 25.4
	}
	by := u.Length(step)
	_, moved := d.Job.Gear.TouchHeights()
	return []SettingError{
		{"Y zero off by " + by, step},
		{"cutter diameter greater by " + by, step / 2},
		{"gear angle off by 0.01 degree", moved * geom.Radians(degree)},
		{"Z zero off by " + by + " (height of the joints and depth of the root only)", 0},
	}
}
