package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"cogmend/gcode/machine"
	"cogmend/toolpath"
	"cogmend/toolpath/job"
	"cogmend/toolpath/post"
)

// runPart writes the programs raised for a run in air, or one program from a
// pass on, under names of their own.
func runPart(o makeOptions, j *job.Job, stdout, stderr io.Writer) error {
	if o.lift != "" && o.from != "" {
		return fmt.Errorf("make: --lift and --from do not go together")
	}
	m, err := produce(j)
	if err != nil {
		return err
	}
	if !m.ok() {
		printFindings(stderr, m)
		return errFound
	}
	out := &output{dir: o.out}
	if o.lift != "" {
		err = lifted(o.lift, m, out)
	} else {
		err = fromPass(o.from, m, out, stderr)
	}
	if err != nil {
		return err
	}
	unlock, err := out.lock()
	if err != nil {
		return plainError(err)
	}
	defer unlock()
	if err := o.keepEdited(out, nil, stderr); err != nil {
		return err
	}
	if err := out.write(); err != nil {
		return plainError(err)
	}
	if err := o.clearParts(out, m, stderr); err != nil {
		return err
	}
	for _, f := range out.files {
		fmt.Fprintf(stdout, "written: %s\n", filepath.Join(o.out, f.name))
	}
	return nil
}

// clearParts takes away what --lift and --from wrote for another state of the
// job, and names what of it stays.
func (o *makeOptions) clearParts(out *output, m *made, stderr io.Writer) error {
	left, err := out.clearOlder(m.job.Fingerprint, parts(m.plan))
	if err != nil {
		return plainError(err)
	}
	for _, name := range left {
		fmt.Fprintf(stderr, "cogmend: %s is of another state of the job, and not as it was written: do not run it\n", filepath.Join(o.out, name))
	}
	return nil
}

// highest is the greatest Z of a program, in its own coordinates.
func highest(m *made, p *toolpath.Program) float64 {
	if p.Setup == toolpath.GearSetup {
		return p.Safe - m.plan.Shift
	}
	return p.Safe
}

// What the names of programs for a run in air begin with, and what stands
// before the pass in those that begin again.
const (
	airPrefix = "air-"
	fromInfix = "-from-"
)

// parts returns the patterns of all names that --lift and --from give.
func parts(plan *toolpath.Plan) []string {
	var out []string
	for i := range plan.Programs {
		file := plan.Programs[i].File()
		out = append(out, airPrefix+file, strings.TrimSuffix(file, programExt)+fromInfix+"[0-9]*"+programExt)
	}
	return out
}

// mostLift is the greatest height of a run in air, mm: more than any such
// machine travels.
const mostLift = 500

func lifted(text string, m *made, out *output) error {
	lift, err := lengthFlag("lift", text, m.job.Units)
	if err != nil {
		return err
	}
	if lift > mostLift {
		return fmt.Errorf("--lift %s: %s at most", m.job.Units.Length(lift), m.job.Units.Length(mostLift))
	}
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		if p.Skipped != "" {
			continue
		}
		if lift < p.LeastLift() {
			return fmt.Errorf("--lift %s: %s would still cut; %s at least keeps every cut in air",
				m.job.Units.Length(lift), p.File(), m.job.Units.Length(m.plan.LeastLift()))
		}
		if z := m.job.Machine.TravelZ; z[0] < z[1] && highest(m, p)+lift > z[1] {
			return fmt.Errorf("--lift %s: %s would leave machine.travel_z; %s at most", m.job.Units.Length(lift), p.File(), m.job.Units.Length(z[1]-highest(m, p)))
		}
		var b bytes.Buffer
		if err := post.Write(&b, m.plan, p, post.Options{Lift: lift}); err != nil {
			return err
		}
		name := airPrefix + p.File()
		if _, err := machine.Summarise(bytes.NewReader(b.Bytes()), name, 0, 0); err != nil {
			return fmt.Errorf("raised program cannot be read: %w", err)
		}
		out.add(name, b.Bytes())
	}
	return nil
}

// fromPass writes a program that starts again at a pass, and replays it on
// the metal the passes before it leave.
func fromPass(text string, m *made, out *output, stderr io.Writer) error {
	name, number, ok := strings.Cut(text, ":")
	n, err := strconv.Atoi(number)
	if !ok || err != nil {
		return fmt.Errorf("--from %q: write PROGRAM:PASS, such as facets:7", text)
	}
	c := &chain{design: m.plan.Design, plan: m.plan}
	for i := range m.plan.Programs {
		p := &m.plan.Programs[i]
		if p.Purpose != name && strings.TrimSuffix(p.File(), programExt) != name {
			if m.programs[i].checked != nil {
				if _, err := c.check(p, p.File(), bytes.NewReader(m.programs[i].text)); err != nil {
					return err
				}
			}
			continue
		}
		if p.Skipped != "" {
			return fmt.Errorf("--from %s: %s is not written: %s", text, p.File(), p.Skipped)
		}
		if n < 1 || n > p.Passes() {
			return fmt.Errorf("--from %s: %s has passes 1 to %d", text, p.File(), p.Passes())
		}
		var b bytes.Buffer
		if err := post.Write(&b, m.plan, p, post.Options{From: n}); err != nil {
			return err
		}
		file := fmt.Sprintf("%s%s%d%s", strings.TrimSuffix(p.File(), programExt), fromInfix, n, programExt)
		done, err := c.resume(p, file, m.programs[i].text, b.Bytes(), n)
		if err != nil {
			return err
		}
		if !done.ok() {
			if done.err != nil {
				fmt.Fprintf(stderr, "cogmend: %v\n", done.err)
			} else {
				printReport(stderr, file, done.result.Report)
			}
			return errFound
		}
		out.add(file, b.Bytes())
		return nil
	}
	return fmt.Errorf("--from %q: no program is called that; the job has %s", text, names(m.plan))
}
