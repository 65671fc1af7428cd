package checks

import (
	"fmt"
	"math"

	"setline.example/schema"
	"setline.example/schema/length"
)

// levelOver is the distance over which the limit of level and plumb is stated;
// over less the limit is the same, over more it grows in proportion.
const levelOver = 96 * length.Inch

var levelAndPlumb = &Rule{
	ID:        "level-and-plumb",
	Name:      "level and plumb",
	Family:    Setting,
	Asks:      "Every cabinet and every run is level on all four sides and from corner to corner, and every cabinet is plumb.",
	Why:       "A top follows the cabinets under it, and doors and drawers hang true only in a cabinet that is level and plumb. Adjusting a front on a cabinet out of level hides the fault.",
	Limit:     LengthOf(length.Inch / 8),
	BothSides: true,
	Over:      levelOver,
	Formula:   "|h1 - h2| <= limit x max(1, L / 96 in), for two points L apart",
	Source:    "ANSI/AWI 0620-2018, 3.1 h: level and plumb within 1/8 in over 96 in (3.2 mm over 2438 mm)",
	Needs:     "Read the four top corners from the reference line, or lay a level along all four sides and both diagonals; read plumb on the front and on a side",
	Remedy:    "Turn the levelers until the cabinet is level on all sides and corner to corner, see that all four still bear, and check its joints again",
	observe:   askElevations((*asker).level),
	judge: eachElevation(func(b *bench, e *elevation) {
		for _, run := range e.runs {
			cabinets := cabinetsOf(run)
			b.runLevel(e, cabinets)
			for _, u := range cabinets {
				b.cabinetLevel(e, u)
			}
		}
	}),
}

// levelLimit is the limit over a distance, in whole nanometres: with it whole
// deviations compare as with the exact proportion.
func (b *bench) levelLimit(over length.Length) length.Length {
	limit := b.levelWithin
	if over <= levelOver {
		return limit
	}
	return mulDiv(limit, over, levelOver)
}

// deviation is how far something is out of level or plumb over a distance.
type deviation struct {
	words     string // where: "along the front"
	off, over length.Length
	limit     length.Length
	doubt     doubt
	visit     int
	at        origin
}

func (d deviation) margin() length.Length { return d.limit - d.off }

// worse returns the one nearer to its limit, or further beyond it.
func worse(a *deviation, d deviation) *deviation {
	if a == nil || d.margin() < a.margin() {
		return &d
	}
	return a
}

// sides are the lines of a cabinet along which level is read, as pairs of corners.
var sides = [...]struct {
	words    string
	from, to int // positions in corners
	read     func(*schema.CabinetSeen) *schema.Deviation
	key      string
}{
	{"along the front", 0, 1, func(c *seenCabinet) *schema.Deviation { return c.Level.Front }, "front"},
	{"along the back", 2, 3, func(c *seenCabinet) *schema.Deviation { return c.Level.Back }, "back"},
	{"along the left side", 0, 2, func(c *seenCabinet) *schema.Deviation { return c.Level.Left }, "left"},
	{"along the right side", 1, 3, func(c *seenCabinet) *schema.Deviation { return c.Level.Right }, "right"},
	{"from front-left to back-right", 0, 3, func(c *seenCabinet) *schema.Deviation { return c.Level.FLBR }, "FL-BR"},
	{"from front-right to back-left", 1, 2, func(c *seenCabinet) *schema.Deviation { return c.Level.FRBL }, "FR-BL"},
}

// faces are the faces of a cabinet on which plumb is read.
var faces = [...]struct {
	words string
	side  bool
	read  func(*schema.CabinetSeen) *schema.Deviation
	key   string
}{
	{"plumb on the front", false, func(c *seenCabinet) *schema.Deviation { return c.Plumb.Front }, "front"},
	{"plumb on the left side", true, func(c *seenCabinet) *schema.Deviation { return c.Plumb.Left }, "left"},
	{"plumb on the right side", true, func(c *seenCabinet) *schema.Deviation { return c.Plumb.Right }, "right"},
}

// cabinetsOf leaves the fillers out.
func cabinetsOf(units []*unit) []*unit {
	var cabinets []*unit
	for _, u := range units {
		if u.cabinet != nil {
			cabinets = append(cabinets, u)
		}
	}
	return cabinets
}

// outOfLevel finds how far a cabinet is out of level: the line nearest to its
// limit, and the lines on which nobody looked. The readings of the top corners
// and the readings of a level both count.
func (b *bench) outOfLevel(e *elevation, u *unit) (worst *deviation, unseen []string) {
	points := u.tops.points
	if len(u.tops.unread) > 0 {
		points = nil
	}
	tied, ok := e.leveled(points)
	for _, s := range sides {
		seen := false
		if len(points) > 0 && ok {
			p, q := tied[s.from], tied[s.to]
			over := length.Length(math.Round(distance(p, q)))
			visit, at := newest(p, q)
			worst = worse(worst, deviation{s.words, (p.down - q.down).Abs(), over, b.levelLimit(over), b.levelDoubt(e, p, q), visit, at})
			seen = true
		}
		if o := latest(u.asCab, s.read, "level", s.key); o.ok {
			worst = worse(worst, b.read(s.words, o))
			seen = true
		}
		if !seen {
			unseen = append(unseen, s.words)
		}
	}
	return worst, unseen
}

// outOfPlumb finds how far a cabinet is out of plumb, likewise. The front and
// one side have to be read.
func (b *bench) outOfPlumb(u *unit) (worst *deviation, unseen []string) {
	front, side := false, false
	for _, f := range faces {
		if o := latest(u.asCab, f.read, "plumb", f.key); o.ok {
			worst = worse(worst, b.read(f.words, o))
			front, side = front || !f.side, side || f.side
		}
	}
	if !front {
		unseen = append(unseen, "plumb on the front")
	}
	if !side {
		unseen = append(unseen, "plumb on a side")
	}
	return worst, unseen
}

// read turns a reading of a level into a deviation.
func (b *bench) read(words string, o observed[schema.Deviation]) deviation {
	return deviation{
		words: words, off: o.value.Off.Abs(), over: o.value.Over, limit: b.levelLimit(o.value.Over),
		doubt: b.readingDoubt(o.visit, "level and plumb"), visit: o.visit, at: o.at,
	}
}

func (b *bench) cabinetLevel(e *elevation, u *unit) {
	level, unlevel := b.outOfLevel(e, u)
	plumb, unplumb := b.outOfPlumb(u)
	unseen := append(unlevel, unplumb...)
	worst := level
	if plumb != nil {
		worst = worse(worst, *plumb)
	}
	switch {
	case worst == nil:
		b.notObserved(u.subject, u.at, "Level and plumb")
	case worst.margin() < 0 || len(unseen) == 0:
		b.deviates(u.subject, *worst, unseen)
	case len(unlevel) == len(sides):
		b.unseen(u.subject, u.at, "Level not observed; "+listed(unplumbSeen(unplumb))+" within the limit")
	default:
		b.unseen(u.subject, u.at, capital(listed(unseen))+" not observed; the rest within the limit")
	}
}

// unplumbSeen names what of plumb was read.
func unplumbSeen(unseen []string) []string {
	if len(unseen) == 0 {
		return []string{"plumb"}
	}
	return []string{"what was read of plumb"}
}

// deviates adds the result of the worst deviation of a subject.
func (b *bench) deviates(s Subject, d deviation, unseen []string) {
	finding := fmt.Sprintf("%s out by %s over %s", capital(d.words), b.write(d.off), b.write(d.over))
	if len(unseen) > 0 {
		finding += "; " + listed(unseen) + " not observed"
	}
	b.judge(Result{Subject: s, Limit: LengthOf(d.limit), Finding: finding, Visit: d.visit, Pointer: d.at.pointer()}, d.off, d.doubt)
}

// runSubject names a run by its first and last cabinet.
func runSubject(cabinets []*unit) Subject {
	s := cabinets[0].subject
	s.Item = fmt.Sprintf("run %s to %s", cabinets[0].plan.Tag, cabinets[len(cabinets)-1].plan.Tag)
	return s
}

// runPoints gives the top corners of a run on one reference line. The word
// says why there are none.
func runPoints(e *elevation, cabinets []*unit) (points []point, why string) {
	var unread []string
	points = make([]point, 0, len(corners)*len(cabinets))
	for _, u := range cabinets {
		if len(u.tops.unread) > 0 {
			unread = append(unread, u.plan.Tag)
		}
		points = append(points, u.tops.points...)
	}
	if len(unread) > 0 {
		return nil, "Top corners of " + few(unread) + " not observed"
	}
	tied, ok := e.leveled(points)
	if !ok {
		return nil, "Tops were read on visits that no reading of the set-height mark ties together"
	}
	return tied, ""
}

// few lists names, and counts them where they are many.
func few(names []string) string {
	const most = 6
	if len(names) > most {
		return listed(append(append([]string(nil), names[:most]...), fmt.Sprintf("%d more", len(names)-most)))
	}
	return listed(names)
}

func (b *bench) runLevel(e *elevation, cabinets []*unit) {
	if len(cabinets) < 2 {
		return // a cabinet on its own is judged as such
	}
	s := runSubject(cabinets)
	points, why := runPoints(e, cabinets)
	if why != "" {
		b.unseen(s, cabinets[0].at, why)
		return
	}
	p, q := b.furthestOff(points)
	over := length.Length(math.Round(distance(p, q)))
	visit, at := newest(p, q)
	b.deviates(s, deviation{
		fmt.Sprintf("from %s to %s", p.name, q.name), (p.down - q.down).Abs(), over,
		b.levelLimit(over), b.levelDoubt(e, p, q), visit, at,
	}, nil)
}

// furthestOff returns the two points of a run whose height difference comes
// nearest to its limit, or goes furthest beyond it.
//
// Comparing all pairs takes the square of their number. A long run is first
// swept in one pass for a pair that could be beyond a limit; only where there
// is one, all pairs are compared.
func (b *bench) furthestOff(points []point) (p, q point) {
	const few = 512
	if len(points) > few {
		if p, q, clear := b.sweep(points); clear {
			return p, q
		}
	}
	best := length.Length(math.MaxInt64)
	for i := range points {
		for j := range i {
			over := length.Length(math.Round(distance(points[i], points[j])))
			if m := b.levelLimit(over) - (points[i].down - points[j].down).Abs(); m < best {
				best, p, q = m, points[j], points[i]
			}
		}
	}
	return p, q
}
