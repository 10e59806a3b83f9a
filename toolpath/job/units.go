package job

import (
	"fmt"
	"math"
	"strings"
)

// Units are the units of the file, of the programs written and of the sheet.
type Units int

// The units a job may be in.
const (
	MM Units = iota
	Inch
)

// Length writes a length in mm in the unit, with the decimals one measures.
func (u Units) Length(mm float64) string {
	if u == Inch {
		return fmt.Sprintf("%.4f in", mm/inch)
	}
	return fmt.Sprintf("%.3f mm", mm)
}

// Both writes a length in mm in the unit and, in brackets, in the other one.
func (u Units) Both(mm float64) string {
	mm = Shown(mm)
	return u.Length(mm) + " (" + (Inch - u).Length(mm) + ")"
}

// Difference is Both with a sign, for how far off a size is.
func (u Units) Difference(mm float64) string {
	mm = Shown(mm)
	metric, inches := fmt.Sprintf("%+.3f mm", mm), fmt.Sprintf("%+.4f in", mm/inch)
	if u == Inch {
		return inches + " (" + metric + ")"
	}
	return metric + " (" + inches + ")"
}

// PSI is how many pounds-force per square inch a megapascal is (NIST SP 811,
// appendix B: 1 psi = 6.894 757 kPa).
const PSI = 1 / 0.006894757

// Stress writes a stress in MPa as an estimate has it, without decimals: in psi
// first in a job in inches.
func (u Units) Stress(mpa float64) string {
	if u == Inch {
		return fmt.Sprintf("%.0f psi (%.0f MPa)", mpa*PSI, mpa)
	}
	return fmt.Sprintf("%.0f MPa", mpa)
}

// Shown drops the sign of a length too small to be shown, mm.
func Shown(mm float64) float64 {
	if math.Abs(mm) < 0.0005 {
		return 0
	}
	return mm
}

// Counted writes a number of things whose plural has an s.
func Counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// Decimals in programs where the job states none: a tenth of what a control
// moves by.
const (
	decimalsMM   = 4
	decimalsInch = 5
)

// Decimals are those of lengths and of degrees in the job's programs.
func (j *Job) Decimals() (lengths, degrees int) {
	lengths, degrees = decimalsMM, decimalsMM
	if j.Units == Inch {
		lengths, degrees = decimalsInch, decimalsInch-1
	}
	if d := j.Machine.Decimals; d > 0 {
		return d, degrees + d - lengths
	}
	return lengths, degrees
}

// Rounding is how much farther off a cut may lie than with the usual decimals,
// because the job's programs are written with fewer: half the last decimal of two
// axes together, and of a rotary axis's angle at the gear's tip, mm.
func (j *Job) Rounding() float64 {
	half := func(lengths, degrees int) float64 {
		unit := 1.0
		if j.Units == Inch {
			unit = inch
		}
		mm := 0.5 * unit * math.Pow10(-lengths) * math.Sqrt2
		if j.Index.Device == Rotary {
			mm += 0.5 * math.Pow10(-degrees) * math.Pi / 180 * j.Gear.TipRadius()
		}
		return mm
	}
	usual := *j
	usual.Machine.Decimals = 0
	return max(0, half(j.Decimals())-half(usual.Decimals()))
}

// Name is the unit of lengths.
func (u Units) Name() string {
	if u == Inch {
		return "in"
	}
	return "mm"
}

// Number writes a length in mm in the unit, without its name.
func (u Units) Number(mm float64) string {
	number, _, _ := strings.Cut(u.Length(Shown(mm)), " ")
	return number
}

// Signed is Number with a sign.
func (u Units) Signed(mm float64) string {
	if mm = Shown(mm); mm < 0 {
		return u.Number(mm)
	}
	return "+" + u.Number(mm)
}
