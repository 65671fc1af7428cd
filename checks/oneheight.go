package checks

import (
	"math"

	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/checks/strip"
	"setline.example/schema"
	"setline.example/schema/length"
)

// OneHeight is whether one set height serves the elevations of a room, as far
// as their floors were read from one reference line: only then their heights
// compare.
type OneHeight struct {
	Room  string
	All   []string     // the names of all its elevations
	Lines []LineHeight // a reference line each from which several elevations were read
	Apart []say.Text   // of the elevations on none of them, why they are not
}

// LineHeight is elevations whose floors were read from one reference line, and
// the heights that serve them. All readings are down from that line.
type LineHeight struct {
	Visit      int // that read the floors, a position in the record
	Date       schema.Date
	Reference  string // the line's name
	Elevations []ElevationHeight

	Common  strip.Span // of all of them, with the reserve left everywhere
	Bare    strip.Span // without reserve
	Packing strip.Packing
	Groups  []strip.Group // the fewest heights that serve; Rows are positions in Elevations
	Never   []int         // which no height serves
}

// ElevationHeight is what limits the height of the tops of one elevation: the
// travel of its levelers, the height drawn with what that may be off, and where
// it is accessible the range for that, over the floor's high and low point.
type ElevationHeight struct {
	Elevation    string
	Own          strip.Span    // its limits' places have Row 0
	Drawn        length.Length // the reading of tops at the height drawn
	HasDrawn     bool
	Upper, Lower []HeightLimit
	Lacks        []say.Text // what was not observed or planned, and may limit it further
}

// HeightLimit is one limit of the height of an elevation.
type HeightLimit struct {
	strip.Limit
	Says  say.Text      // what sets it: "A3 front-left reaches no higher"
	Of    say.Text      // the leveler that packing would go under; empty where it helps nothing
	There length.Length // the packing under it now
}

// heightOf collects what limits the height of the tops of an elevation.
type heightOf struct {
	*bench
	e *elevation
	ElevationHeight
	bare []strip.Limit // the lower limits without reserve
}

// oneHeight finds the heights that serve the elevations of a room; nil where
// there are not two whose floor was read.
func (b *bench) oneHeight(r *room) *OneHeight {
	type line struct {
		visit int
		name  string
	}
	o := &OneHeight{Room: r.plan.Name}
	var order []line
	on := map[line][]*elevation{}
	read := 0
	for _, e := range r.elevations {
		o.All = append(o.All, e.plan.Name)
		if !e.hasCabinets() {
			continue
		}
		l := line{e.floor.visit, e.reference()}
		if e.floor.ok {
			read++
		}
		if len(on[l]) == 0 {
			order = append(order, l)
		}
		on[l] = append(on[l], e)
	}
	if read < 2 {
		return nil
	}
	for _, l := range order {
		if len(on[l]) > 1 && l.name != "" {
			o.Lines = append(o.Lines, b.lineHeight(on[l], l.name))
			continue
		}
		o.Apart = append(o.Apart, b.apartOf(on[l], l.name))
	}
	return o
}

// reference is the name of the reference line of the survey, "" where nobody
// wrote it down.
func (e *elevation) reference() string {
	if !e.floor.ok {
		return ""
	}
	for _, s := range e.seen.on(e.floor.when) {
		if s.visit == e.floor.visit && s.seen.Reference != "" {
			return s.seen.Reference
		}
	}
	return ""
}

// apartOf says why the heights of elevations compare with no other's: those
// not surveyed, those read on one visit from no line that has a name, and one
// read from a line alone.
func (b *bench) apartOf(all []*elevation, reference string) say.Text {
	n, names := len(all), namesOf(all)
	if !all[0].floor.ok {
		return say.That("%[1]s: floor not observed", names)
	}
	read := b.rec.Measured.Visits[all[0].floor.visit].Date
	if reference == "" {
		return say.Count(n, "%[2]s: its floor was read on %[3]s, and from which reference line nobody wrote down",
			"%[2]s: their floors were read on %[3]s, and from which reference lines nobody wrote down", names, read)
	}
	return say.That("%[1]s: its floor was read on %[2]s from reference line %[3]s, as no other", names, read, say.Name(reference))
}

func namesOf(all []*elevation) say.Text {
	names := make([]say.Text, len(all))
	for i, e := range all {
		names[i] = say.Name(e.plan.Name).Text()
	}
	return say.And(names...)
}

// lineHeight finds the heights that serve elevations read from one line.
func (b *bench) lineHeight(all []*elevation, reference string) LineHeight {
	visit := all[0].floor.visit
	l := LineHeight{Visit: visit, Date: b.rec.Measured.Visits[visit].Date, Reference: reference}
	var rows, bare []strip.Row
	for _, e := range all {
		h := b.heightOf(e)
		row := strip.Row{Upper: limits(h.Upper), Lower: limits(h.Lower)}
		h.Own = strip.Common([]strip.Row{row})
		rows, bare = append(rows, row), append(bare, strip.Row{Upper: row.Upper, Lower: h.bare})
		l.Elevations = append(l.Elevations, h.ElevationHeight)
	}
	l.Common, l.Bare, l.Packing = strip.Common(rows), strip.Common(bare), strip.Pack(rows)
	l.Groups, l.Never = strip.Heights(rows)
	return l
}

func limits(of []HeightLimit) []strip.Limit {
	all := make([]strip.Limit, len(of))
	for i, l := range of {
		all[i] = l.Limit
	}
	return all
}

// heightOf gathers the limits of one elevation, whose floor was read.
func (b *bench) heightOf(e *elevation) *heightOf {
	h := &heightOf{bench: b, e: e, ElevationHeight: ElevationHeight{Elevation: e.plan.Name}}
	h.travel()
	if e.plan.WorkHeight == nil && !e.plan.Accessible {
		return h
	}
	high, known := e.floor.floor.High(0, e.width)
	low, _ := e.floor.floor.Low(0, e.width)
	switch {
	case e.plan.TopThickness == nil:
		h.Lacks = append(h.Lacks, say.That("thickness of the top not planned"))
		return h
	case !known || !e.floor.covers(e):
		h.Lacks = append(h.Lacks, say.That("floor not observed along the whole elevation"))
	}
	if known && e.plan.WorkHeight != nil {
		h.drawn(high)
	}
	if known && e.plan.Accessible {
		h.accessible(high, low)
	}
	return h
}

// travel adds what each leveler allows: with its reserve, and without.
func (h *heightOf) travel() {
	var unknown []say.Text
	for l := range h.e.levelers() {
		words := l.words()
		if !l.Known {
			unknown = append(unknown, words)
			continue
		}
		one := []floor.Corner{l.Corner}
		t := floor.TravelOf(one)
		h.Upper = append(h.Upper, HeightLimit{strip.Limit{Down: t.Highest, Packs: true},
			say.That("%[1]s reaches no higher", words), words, h.e.floor.packed[l.Name]})
		h.lower(t.Lowest, say.That("%[1]s with its reserve comes no lower", words))
		h.bare = append(h.bare, strip.Limit{Down: floor.TravelOf(withoutReserve(one)).Lowest})
	}
	if len(unknown) > 0 {
		h.Lacks = append(h.Lacks, floorUnseen(unknown))
	}
}

func (h *heightOf) lower(down length.Length, says say.Text) {
	h.Lower = append(h.Lower, HeightLimit{Limit: strip.Limit{Down: down}, Says: says})
}

// between adds heights that packing does not move, with and without reserve. Of
// the highest only where it is known.
func (h *heightOf) between(highest, lowest length.Length, bounded bool, what say.Text) {
	h.lower(lowest, say.That("%[1]s allows no lower", what))
	h.bare = append(h.bare, strip.Limit{Down: lowest})
	if bounded {
		h.Upper = append(h.Upper, HeightLimit{Limit: strip.Limit{Down: highest}, Says: say.That("%[1]s allows no higher", what)})
	}
}

// topFor is the reading of the tops at which the surface stands so high above
// the finish over a floor reading.
func (e *elevation) topFor(surface, down length.Length) length.Length {
	return less(e.surface(0, down), surface)
}

// guard is what the decision rule takes off a limit: nothing where a value
// within it passes, else the expanded uncertainty, whole nanometres up. ok is
// false where that is not known, so that nothing would pass.
func (h *heightOf) guard(over floor.Spot) (off length.Length, ok bool) {
	if h.rec.Planned.DecisionRule != Guarded {
		return 0, true
	}
	d := h.surfaceDoubt(h.e, under{}, over)
	if !d.known {
		lacks := h.resolutionOf(d.lacks)
		for _, l := range h.Lacks {
			if l.Equal(lacks) {
				return 0, false
			}
		}
		h.Lacks = append(h.Lacks, lacks)
	}
	return nearest(math.Ceil(coverage * d.u)), d.known
}

// drawn adds the height drawn over the floor's high point. Where the floor was
// not read it may lie higher, and the tops with it.
func (h *heightOf) drawn(high floor.Spot) {
	h.Drawn, h.HasDrawn = h.e.topFor(*h.e.plan.WorkHeight, high.Down), true
	if guard, ok := h.guard(high); ok {
		off := less(length.Length(limitOf(h.limits, workHeight).limit.N), guard)
		h.between(less(h.Drawn, off), less(h.Drawn, less(0, off)), h.e.floor.covers(h.e),
			say.That("the height drawn for %[1]s", say.Name(h.Elevation)))
	}
}

// accessible adds the range of an accessible surface over the floor's high and
// low point: the least counts over the high one, the greatest over the low one,
// unless their uncertainties differ by more than they lie apart.
func (h *heightOf) accessible(spots ...floor.Spot) {
	least, greatest := accessibleRange(h.sys)
	for _, over := range spots {
		if guard, ok := h.guard(over); ok {
			h.between(less(h.e.topFor(greatest, over.Down), less(0, guard)), less(h.e.topFor(least, over.Down), guard), true,
				say.That("the accessible range of %[1]s", say.Name(h.Elevation)))
		}
	}
}
