package checks

import (
	"slices"

	"setline.example/checks/cut"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// Cuts are how the fillers of an elevation are cut to the walls at its ends.
type Cuts struct {
	Room, Elevation string
	Fillers         []FillerCut
	Says            []say.Text // what they rest on, and what was not observed where there are none
}

// Ready reports whether every filler can be cut.
func (c *Cuts) Ready() bool {
	return len(c.Fillers) > 0 && !slices.ContainsFunc(c.Fillers, func(f FillerCut) bool { return !f.Problem.Empty() })
}

// FillerCut is how one filler is cut: its width at the floor, half way up and
// at the tops, from its straight edge, which stands against a cabinet.
type FillerCut struct {
	Tag     string
	Right   bool // it stands at the right end, and is cut on its right edge
	Comes   length.Length
	Height  length.Length // from the floor to the tops
	AsBody  bool          // the height is that of the cabinets' bodies: the floor there, or the set height, is not known
	Width   [3]CutSize
	Taper   CutSize          // the width at the tops less that at the floor
	Left    [3]length.Length // scribe left over, below 0 where it comes too narrow
	ToTop   length.Length    // diagonal from the foot of the straight edge to the top of the cut one
	ToFoot  length.Length    // diagonal from the top of the straight edge to the foot of the cut one
	Problem say.Text         // why it cannot be cut so; empty where it can
}

// CutSize is a length with its expanded uncertainty (k = 2) where that is known.
type CutSize struct {
	length.Length
	U     length.Length
	Known bool
}

// cutting is what the cuts of an elevation rest on.
type cutting struct {
	*bench
	e      *elevation
	doubts [6]doubt // of the readings, in the order of [cut.Weights]
	Cuts
}

// cuts finds how the fillers at the ends of an elevation are cut; nil where it
// has none at a wall, or closes nothing.
func (b *bench) cuts(e *elevation, room string) *Cuts {
	left, right := e.fillersAt()
	if !e.closes() || !e.hasCabinets() || left == nil && right == nil {
		return nil
	}
	c := &cutting{bench: b, e: e, Cuts: Cuts{Room: room, Elevation: e.plan.Name}}
	o, ok := c.opening(left, right)
	if !ok {
		return &c.Cuts
	}
	cuts := o.Cut()
	c.add(left, o.Left, cuts.Left, false)
	c.add(right, o.Right, cuts.Right, true)
	c.basis(left, right, cuts)
	return &c.Cuts
}

// hasFillers reports whether a filler stands at an end of the elevation.
func (e *elevation) hasFillers() bool {
	left, right := e.fillersAt()
	return left != nil || right != nil
}

// opening gathers what the cuts rest on; ok is false where the opening was not
// read at all three heights.
func (c *cutting) opening(left, right *unit) (o cut.Opening, ok bool) {
	var unseen []say.Text
	for i, height := range theOpening.keysOf(whose{e: c.e}) {
		seen := theOpening.latest(&c.e.seen, height)
		if !seen.ok {
			unseen = append(unseen, AnswerWords(height))
			continue
		}
		o.Clear[i], c.doubts[i] = seen.value, c.readingDoubt(seen.visit, "offsets")
	}
	if len(unseen) > 0 {
		c.Says = append(c.Says, say.That("Fillers cannot be cut yet: clear opening not observed at the %[1]s", say.And(unseen...)))
		return o, false
	}
	o.Units, c.doubts[cut.OfUnits] = c.units(left, right)
	o.Left = c.end(left, "left", cut.LeanLeft, 0)
	o.Right = c.end(right, "right", cut.LeanRight, c.e.width)
	return o, true
}

// units is what stands in the opening beside the fillers at its ends, and how
// uncertain it is: widths may be anywhere within their tolerances (rectangular,
// JCGM 100:2008, 4.3.7). Where one has none it counts as drawn.
func (c *cutting) units(left, right *unit) (all length.Length, d doubt) {
	d.known = true
	for _, u := range c.e.units {
		if u.plan.SpaceBefore != nil {
			all = less(all, -*u.plan.SpaceBefore)
		}
		if u == left || u == right {
			continue
		}
		all = less(all, -u.width)
		if t := u.body.WidthTolerance; t != nil {
			d = d.and(doubt{u: 2 * resolutionUncertainty(*t), known: true})
		}
	}
	return all, d
}

// end is one end of the opening, at a place along the elevation.
func (c *cutting) end(u *unit, wall string, lean int, at length.Length) (e cut.End) {
	c.doubts[lean].known = true
	if o := theWalls.latest(&c.e.seen, wall); o.ok {
		e.Wall = cut.Lean{Off: o.value.Off, Over: o.value.Over}
		c.doubts[lean] = c.levelDoubt(o)
	}
	e.Height, _ = c.height(at)
	if u == nil {
		return e
	}
	e.Filler, e.Comes = true, u.filler.Width
	if u.filler.Scribe != nil {
		e.Comes = less(e.Comes, -*u.filler.Scribe)
	}
	return e
}

// height is that of a filler from the floor under its front to the set height;
// where one of them is not known that of the tallest cabinet's body.
func (c *cutting) height(at length.Length) (h length.Length, asBody bool) {
	s := c.e.floor
	top, set := s.setTop(c.e, s.corners)
	if down, read := s.floor.Front.DownAt(at); set && read && down > top {
		return less(down, top), false
	}
	for _, u := range cabinetsOf(c.e.units) {
		h = max(h, *u.body.Height)
	}
	return h, true
}

// add takes over how a filler is cut.
func (c *cutting) add(u *unit, end cut.End, p *cut.Panel, right bool) {
	if p == nil {
		return
	}
	f := FillerCut{Tag: u.plan.Tag, Right: right, Comes: end.Comes, Height: end.Height, Left: p.Left, ToTop: p.ToTop, ToFoot: p.ToFoot, Taper: c.size(p.Taper)}
	at := length.Length(0)
	if right {
		at = c.e.width
	}
	_, f.AsBody = c.height(at)
	narrow := p.Left[0]
	for i, w := range p.Width {
		f.Width[i] = c.size(w)
		narrow = min(narrow, p.Left[i])
	}
	least := min(p.Width[0].Length, p.Width[1].Length, p.Width[2].Length)
	switch {
	case least <= 0:
		f.Problem = say.That("nothing is left for it: the cabinets are too wide for the opening by %[1]s", -least)
	case narrow < 0:
		f.Problem = say.That("it comes too narrow by %[1]s", -narrow)
	}
	c.Fillers = append(c.Fillers, f)
}

// size is a computed length with its uncertainty (JCGM 100:2008, 5.1.2).
func (c *cutting) size(s cut.Size) CutSize {
	all := doubt{known: true}
	for i, w := range s.Weights {
		if w != 0 {
			all = all.and(c.doubts[i].times(w))
		}
	}
	return CutSize{s.Length, nearest(coverage * all.u), all.known}
}

// basis says what the cuts rest on, and whether walls and openings agree.
func (c *cutting) basis(left, right *unit, cuts cut.Cuts) {
	both := left != nil && right != nil
	if both {
		c.Says = append(c.Says, say.That("Fillers as wide as each other at the floor, as far as both can be cut from what comes; the first cabinet begins %[1]s from the left wall there", cuts.Left.Width[0].Length))
	}
	switch {
	case cuts.By == cut.ByLeft:
		c.Says = append(c.Says, say.That("The left wall by its own plumb, the right one by what the openings leave"))
	case cuts.By == cut.ByRight:
		c.Says = append(c.Says, say.That("The right wall by its own plumb, the left one by what the openings leave"))
	case cuts.By == cut.ByBoth:
		c.agree(cuts.Apart)
	case both:
		c.Says = append(c.Says, say.That("How each wall leans was not read: cut as if both leaned alike. Read the plumb of a wall before anything is cut"))
	default:
		c.Says = append(c.Says, say.That("How the walls lean was not read: cut as if the wall without a filler were plumb. Read its plumb before anything is cut"))
	}
}

// agree says of walls and openings that were all read whether they say the same.
func (c *cutting) agree(apart [2]cut.Size) {
	for i, height := range []say.Words{"half way up", "at the tops"} {
		a := c.size(apart[i])
		if a.Known && a.Abs() > a.U {
			c.Says = append(c.Says, say.That("The plumb of the walls and the openings do not agree %[1]s, by %[2]s where %[3]s is uncertain: read them again before anything is cut",
				height, a.Abs(), say.Decimal(a.U)))
			return
		}
	}
	c.Says = append(c.Says, say.That("Both walls by their own plumb, what the openings say beyond them by half to each"))
}

// Words say how the filler is cut, in a sentence or a few.
func (f *FillerCut) Words() []say.Text {
	if !f.Problem.Empty() {
		return []say.Text{say.That("%[1]s (%[2]s): %[3]s; %[4]s", say.Name(f.Tag), f.side(), f.Problem, f.widths())}
	}
	height := say.That("over %[1]s from the floor to the set height", f.Height)
	if f.AsBody {
		height = say.That("over %[1]s, the height of the cabinets' bodies: the floor or the set height is not known here", f.Height)
	}
	return []say.Text{
		say.That("%[1]s (%[2]s): %[3]s", say.Name(f.Tag), f.side(), f.widths()),
		say.That("%[1]s %[2]s; scribe left over %[3]s at the floor, %[4]s half way up, %[5]s at the tops",
			say.Sentence(f.tapers()), height, f.Left[0], f.Left[1], f.Left[2]),
		say.That("Check the marks by both diagonals: foot of the straight edge to top of the cut one %[1]s, top of the straight edge to foot of the cut one %[2]s",
			f.ToTop, f.ToFoot),
	}
}

func (f *FillerCut) side() say.Words {
	if f.Right {
		return "right"
	}
	return "left"
}

func (f *FillerCut) widths() say.Text {
	return say.That("%[1]s wide at the floor, %[2]s half way up, %[3]s at the tops", f.Width[0].words(), f.Width[1].words(), f.Width[2].words())
}

func (f *FillerCut) tapers() say.Text {
	size := CutSize{f.Taper.Abs(), f.Taper.U, f.Taper.Known}.words()
	switch {
	case f.Taper.Length == 0:
		return say.That("as wide at the tops as at the floor")
	case f.Taper.Length > 0:
		return say.That("wider at the tops by %[1]s", size)
	}
	return say.That("narrower at the tops by %[1]s", size)
}

func (s CutSize) words() say.Text {
	if !s.Known {
		return say.That("%[1]s", s.Length)
	}
	return say.That("%[1]s ± %[2]s", s.Length, say.Decimal(s.U))
}
