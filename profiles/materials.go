package profiles

// Material is what a part is made of.
type Material int

// The work materials.
const (
	GreyIron  Material = iota // the casting
	MildSteel                 // the insert, or a tooth built up by welding
	Bronze                    // a tooth built up by brazing
)

// String names the material.
func (m Material) String() string {
	switch m {
	case GreyIron:
		return "grey iron"
	case MildSteel:
		return "mild steel"
	case Bronze:
		return "bronze"
	}
	return "unknown material"
}

// Strength holds what the estimates need to know of a material. Stresses MPa.
type Strength struct {
	Name    string  // of the material, in words
	Elastic float64 // modulus of elasticity, MPa
	// Ultimate tensile strength of grey iron, yield strength of a ductile
	// metal: the stress at which the part is lost.
	Limit       float64
	LimitSource string // where Limit comes from
	// SafeStatic is the safe static stress of the Lewis formula.
	SafeStatic       float64
	SafeStaticSource string // where SafeStatic comes from
}

const psi = 0.006894757293168 // MPa

// Strength returns the figures of the material. An unknown casting is taken
// as the weakest common class.
func (m Material) Strength() Strength {
	const maker = "safe static stress, a gear maker's engineering tables"
	switch m {
	case Bronze:
		return Strength{
			// 60/40 brass with a little tin or manganese, called bronze by the trade.
			Name: "brazing bronze", Elastic: 100000, // 97 to 110 GPa; from memory
			Limit: 210, LimitSource: "our own rule: about two thirds of the 310 MPa that makers of brazing bronze give at the least, from memory",
			SafeStatic: 10000 * psi, SafeStaticSource: "bronze 10 000 psi: " + maker + ", from memory",
		}
	case MildSteel:
		return Strength{
			Name: "mild steel (S235)", Elastic: 206000, // ISO 6336-5, from memory
			Limit: 235, LimitSource: "yield, S235, EN 10025-2 table 7, up to 16 mm",
			SafeStatic: 20000 * psi, SafeStaticSource: "0.20 C steel 20 000 psi: " + maker,
		}
	}
	return Strength{
		Name: "grey iron (class 20)", Elastic: 80000, // class 20 spans 66 to 97 GPa; from memory
		Limit: 138, LimitSource: "tensile strength, ASTM A48 No. 20, the weakest class",
		SafeStatic: 12000 * psi, SafeStaticSource: "cast iron 12 000 psi: " + maker,
	}
}
