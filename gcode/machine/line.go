package machine

import (
	"math"
	"math/bits"
	"strconv"

	"cogmend/gcode"
)

// noCode stands for the absence of a G or M word.
const noCode = -1

// near is how far a number may be from the whole number it must be (G words:
// ten times the number) (3.3.2.1).
const near = 1e-4

// G codes are counted in tenths: G38.2 is 382.
const (
	g0, g1, g2, g3         = 0, 10, 20, 30
	g4                     = 40
	g10                    = 100
	g17, g18, g19          = 170, 180, 190
	g20, g21               = 200, 210
	g28, g30               = 280, 300
	g38p2                  = 382
	g40, g41, g42          = 400, 410, 420
	g43, g49               = 430, 490
	g53, g54, g59p1, g59p3 = 530, 540, 591, 593
	g61, g61p1, g64        = 610, 611, 640
	g80, g81, g82, g83     = 800, 810, 820, 830
	g84, g85, g86, g87     = 840, 850, 860, 870
	g88, g89               = 880, 890
	g90, g91, g92          = 900, 910, 920
	g92p1, g92p2, g92p3    = 921, 922, 923
	g93, g94, g98, g99     = 930, 940, 980, 990
)

// The modal groups of G words (3.4, Table 4), and after them of M words.
const (
	noGroup = iota
	motionGroup
	planeGroup
	distanceGroup
	feedModeGroup
	unitsGroup
	radiusGroup
	lengthGroup
	returnGroup
	systemGroup
	pathGroup
	nonModalGroup
	gGroups
)

const (
	stopGroup = iota + 1
	toolGroup
	spindleGroup
	coolantGroup
	overrideGroup
	mGroups
)

// gGroup gives the group of each G code, mGroup that of each M code.
var (
	gGroup = [1000]uint8{
		g0: motionGroup, g1: motionGroup, g2: motionGroup, g3: motionGroup, g38p2: motionGroup,
		g80: motionGroup, g81: motionGroup, g82: motionGroup, g83: motionGroup, g84: motionGroup,
		g85: motionGroup, g86: motionGroup, g87: motionGroup, g88: motionGroup, g89: motionGroup,
		g17: planeGroup, g18: planeGroup, g19: planeGroup,
		g90: distanceGroup, g91: distanceGroup,
		g93: feedModeGroup, g94: feedModeGroup,
		g20: unitsGroup, g21: unitsGroup,
		g40: radiusGroup, g41: radiusGroup, g42: radiusGroup,
		g43: lengthGroup, g49: lengthGroup,
		g98: returnGroup, g99: returnGroup,
		g54: systemGroup, 550: systemGroup, 560: systemGroup, 570: systemGroup, 580: systemGroup,
		590: systemGroup, g59p1: systemGroup, 592: systemGroup, g59p3: systemGroup,
		g61: pathGroup, g61p1: pathGroup, g64: pathGroup,
		g4: nonModalGroup, g10: nonModalGroup, g28: nonModalGroup, g30: nonModalGroup, g53: nonModalGroup,
		g92: nonModalGroup, g92p1: nonModalGroup, g92p2: nonModalGroup, g92p3: nonModalGroup,
	}
	mGroup = [100]uint8{
		0: stopGroup, 1: stopGroup, 2: stopGroup, 30: stopGroup, 60: stopGroup,
		6: toolGroup,
		3: spindleGroup, 4: spindleGroup, 5: spindleGroup,
		7: coolantGroup, 8: coolantGroup, 9: coolantGroup,
		48: overrideGroup, 49: overrideGroup,
	}
)

// gName returns a G code as it is written.
func gName(code int) string {
	if code%10 == 0 {
		return "G" + strconv.Itoa(code/10)
	}
	return "G" + strconv.Itoa(code/10) + "." + strconv.Itoa(code%10)
}

// line is a block sorted by what its words are.
type line struct {
	number int
	g      [gGroups]int // code by group, or noCode
	gCol   [gGroups]int
	m      [mGroups]int // by group, or noCode
	mCol   [mGroups]int
	has    uint32 // letters present, A is bit 0
	word   [26]gcode.Word
	do     int // the motion of this block, or noCode
}

func bit(letter byte) uint32 { return 1 << (letter - 'A') }

func (l *line) got(letter byte) bool { return l.has&bit(letter) != 0 }

func (l *line) col(letter byte) int { return l.word[letter-'A'].Col }

func (l *line) value(letter byte) float64 { return l.word[letter-'A'].Value.Float() }

// moves says whether the block has a word of any axis.
func (l *line) moves() bool { return l.has&axisBits != 0 }

// axisCol returns the column of the first axis word by letter.
func (l *line) axisCol() int { return l.word[bits.TrailingZeros32(l.has&axisBits)].Col }

const (
	aBit     = 1
	axisBits = 1<<('X'-'A') | 1<<('Y'-'A') | 1<<('Z'-'A') | aBit
)

// doCol returns the column of what asks for the motion: its G word, or the
// first axis word.
func (l *line) doCol() int {
	if l.g[motionGroup] == noCode {
		return l.axisCol()
	}
	return l.gCol[motionGroup]
}

// wholeTimes returns the whole number that factor times n is close to.
func wholeTimes(n gcode.Num, factor float64) (int, bool) {
	if n.Decimals == 0 && n.Units >= 0 && n.Units < 1e6 {
		return int(n.Units) * int(factor), true
	}
	v := n.Float() * factor
	r := math.Round(v)
	return int(r), math.Abs(v-r) <= near && math.Abs(v) < 1e9
}

// sort checks the block's words against each other and fills m.line.
func (m *Control) sort(b *gcode.Block) error {
	l := &m.line
	for i := range l.g {
		l.g[i] = noCode
	}
	for i := range l.m {
		l.m[i] = noCode
	}
	l.has = 0
	l.do = noCode
	if b.Delete && len(b.Words) > 0 {
		return m.cannot(1, "a line beginning with /, which is done or not by a switch on the machine")
	}
	mWords := 0
	for i := range b.Words {
		w := &b.Words[i]
		switch w.Letter {
		case 'G':
			if err := m.sortG(w); err != nil {
				return err
			}
		case 'M':
			if mWords++; mWords > 4 {
				return m.bad(w.Col, "more than four M words on one line")
			}
			if err := m.sortM(w); err != nil {
				return err
			}
		case 'B', 'C':
			return m.cannot(w.Col, "the axis %c", w.Letter)
		default:
			if w.Letter < 'A' || w.Letter > 'Z' {
				return m.bad(w.Col, "%q begins no word", w.Letter)
			}
			if l.got(w.Letter) {
				return m.bad(w.Col, "a second %c word on one line", w.Letter)
			}
			l.has |= bit(w.Letter)
			l.word[w.Letter-'A'] = *w
		}
	}
	if err := m.choose(); err != nil {
		return err
	}
	return m.checkWords()
}

func (m *Control) sortG(w *gcode.Word) error {
	code, ok := wholeTimes(w.Value, 10)
	if !ok || code < 0 || code >= len(gGroup) || gGroup[code] == noGroup {
		return m.bad(w.Col, "G%v is no code of the standard", w.Value)
	}
	group := gGroup[code]
	if was := m.line.g[group]; was != noCode {
		return m.bad(w.Col, "%s and %s are of one group and cannot stand on one line", gName(was), gName(code))
	}
	m.line.g[group] = code
	m.line.gCol[group] = w.Col
	switch code {
	case g10, g28, g30, g53:
		if code == g53 {
			break // only after its own rules, in choose
		}
		return m.cannot(w.Col, "%s: where the work lies in machine coordinates is not known", gName(code))
	case g38p2, g41, g42, g84, g87, g88:
		return m.cannot(w.Col, "%s", gName(code))
	}
	return nil
}

func (m *Control) sortM(w *gcode.Word) error {
	code, ok := wholeTimes(w.Value, 1)
	if !ok || code < 0 || code >= len(mGroup) || mGroup[code] == noGroup {
		return m.bad(w.Col, "M%v is no code of the standard", w.Value)
	}
	group := mGroup[code]
	if was := m.line.m[group]; was != noCode {
		return m.bad(w.Col, "M%d and M%d are of one group and cannot stand on one line", was, code)
	}
	m.line.m[group] = code
	m.line.mCol[group] = w.Col
	return nil
}

// choose says which motion the block makes: that of its own G word, or that
// in force if it has axis words that G92 does not take (3.4, 3.5).
func (m *Control) choose() error {
	l := &m.line
	own, other := l.g[motionGroup], l.g[nonModalGroup]
	inForce := m.motion
	if own != noCode {
		inForce = own
	}
	switch {
	case other == g92 && own != noCode && own != g80:
		return m.bad(l.gCol[nonModalGroup], "%s and G92 both use axis words and cannot stand on one line", gName(own))
	case other == g92 && !l.moves():
		return m.bad(l.gCol[nonModalGroup], "G92 without an axis word")
	case other == g92:
		return nil
	case other == g53 && inForce != g0 && inForce != g1:
		return m.bad(l.gCol[nonModalGroup], "G53 needs G0 or G1")
	case other == g53:
		return m.cannot(l.gCol[nonModalGroup], "G53: where the work lies in machine coordinates is not known")
	case own == noCode && !l.moves():
		return nil
	case inForce == noCode:
		return m.bad(l.axisCol(), "axis words, and no motion code is in force")
	case inForce == g80 && l.moves():
		return m.bad(l.axisCol(), "axis words while G80 is in force")
	case inForce == g80:
		return nil
	case !l.moves():
		return m.bad(l.gCol[motionGroup], "%s without an axis word", gName(own))
	}
	l.do = inForce
	return nil
}

// users gives for some letters the codes that use them, for the messages.
var users = [26]string{
	'D' - 'A': "G41 and G42", 'H' - 'A': "G43", 'I' - 'A': "G2 and G3", 'J' - 'A': "G2 and G3",
	'K' - 'A': "G2 and G3", 'L' - 'A': "cycles", 'P' - 'A': "G4, G82, G86 and G89",
	'Q' - 'A': "G83", 'R' - 'A': "arcs and cycles",
}

// checkWords refuses words that nothing on the line uses, and numbers out of
// the range of their letter (3.3.2, 3.5).
func (m *Control) checkWords() error {
	l := &m.line
	const free = axisBits | 1<<('F'-'A') | 1<<('S'-'A') | 1<<('T'-'A')
	used := uint32(free)
	switch l.do {
	case g2, g3:
		used |= bit('R') | bit('I') | bit('J') | bit('K')
	case g83:
		used |= bit('Q')
		fallthrough
	case g81, g85:
		used |= bit('R') | bit('L')
	case g82, g86, g89:
		used |= bit('R') | bit('L') | bit('P')
	}
	if l.g[nonModalGroup] == g4 {
		used |= bit('P')
	}
	if l.g[lengthGroup] == g43 {
		used |= bit('H')
	}
	if spare := l.has &^ used; spare != 0 {
		i := bits.TrailingZeros32(spare)
		return m.bad(l.word[i].Col, "%c is used by %s only", 'A'+i, users[i])
	}
	for _, c := range [...]byte{'F', 'S', 'T', 'H', 'P'} {
		if l.got(c) && l.word[c-'A'].Value.Units < 0 {
			return m.bad(l.col(c), "%c is negative", c)
		}
	}
	if !m.unitsSet && l.g[unitsGroup] == noCode && l.has&(axisBits&^aBit|bit('F')) != 0 {
		c := byte('F')
		if !l.got(c) {
			return m.bad(l.axisCol(), "units not stated: G20 or G21 must come before lengths")
		}
		return m.bad(l.col(c), "units not stated: G20 or G21 must come before F")
	}
	return nil
}

// whole returns the whole number of a word.
func (m *Control) whole(letter byte) (int, error) {
	w := &m.line.word[letter-'A']
	n, ok := wholeTimes(w.Value, 1)
	if !ok {
		return 0, m.bad(w.Col, "%c%v: a whole number is needed", letter, w.Value)
	}
	return n, nil
}

// length returns the value of a word in millimetres, or degrees for A.
func (m *Control) length(letter byte) (float64, error) {
	w := &m.line.word[letter-'A']
	v := w.Value.Float()
	if m.state.Inch && letter != 'A' {
		v = inches(w.Value)
	}
	if math.Abs(v) > maxReach {
		return 0, m.cannot(w.Col, "%c%v is beyond any machine", letter, w.Value)
	}
	return v, nil
}

// inches returns the millimetres of n inches, rounded once.
func inches(n gcode.Num) float64 {
	const most = math.MaxInt64 / inchTenths
	if n.Units > most || n.Units < -most {
		return n.Float() * 25.4
	}
	return gcode.Num{Units: n.Units * inchTenths, Decimals: n.Decimals + 1}.Float()
}
