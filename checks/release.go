package checks

import (
	"math/big"
	"slices"

	"setline.example/checks/rest"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Release is what has to be known before the tops of an elevation are laid: how
// they will rest, what to put under them, and who released it.
type Release struct {
	Room, Elevation string
	Units           []LayoutUnit // from left to right
	Sets            []TopSet     // from left to right
	Bears, Released Result       // what the rules say
	Open            []Result     // what else of the elevation does not hold
}

// TopSet is pieces of top of which each meets the next. They are shimmed to one
// plane, that in which all of them would rest if they were one.
type TopSet struct {
	Pieces   []TopPiece
	State    rest.State    // of all of them as one
	Ways     int           // in which they can come to rest as one; of more than one the first is shimmed to
	MiddleX  length.Length // where the centre of gravity of all lies, from the left end
	MiddleY  length.Length // and out from the back of the deepest cabinet of the elevation
	Bearings []TopBearing  // from left to right, at each place the front first; none where heights were not read, or it tips
}

// TopPiece is a piece of top, and how it rests by itself.
type TopPiece struct {
	From, To  length.Length // along the elevation
	Back, Out length.Length // of its edges, out from the back of the deepest cabinet
	Known     bool          // how it rests, for which heights are needed unless it falls
	State     rest.State
	Words     say.Text // which it is: "top A1 to A3"
	How       say.Text // how it rests, in a sentence
}

// TopBearing is a place under pieces that meet: a corner, or a rail under an end.
type TopBearing struct {
	Unit  string // tag of its cabinet
	Words say.Text
	X, Y  length.Length   // along the elevation, and out as of a piece
	Gaps  []length.Length // under the plane of each way, to the nearest nanometre; nothing where it carries
	U     length.Length   // expanded uncertainty of the first gap, no less than one reading step
	Known bool            // U
	Do    TopDo
	Shim  length.Length // to put there, rounded down to what can be cut
	Rise  length.Length // by which a bolt would have to come up instead
}

// TopDo is what to do about a gap.
type TopDo int

// What to do about a gap.
const (
	Bears     TopDo = iota // nothing is between, or no more than can be told from nothing
	ShimIt                 // more than can be told from nothing
	TurnBolt               // more than is shimmed, and the bolt can be reached
	ClosedOff              // more than is shimmed, and since the release it cannot
	UnknownDo              // the instrument says not how finely it reads
)

// mostShim is how much is shimmed rather than turned (common practice, no source).
const mostShim = length.Inch / 16

// Releases are those of a room, by its position in the plan, that has tops
// planned, elevation by elevation.
func (d *Draft) Releases(i int) (all []Release) {
	if !slices.ContainsFunc(d.job.rec.Planned.Rooms[i].Elevations, func(e schema.Elevation) bool { return len(e.Tops) > 0 }) {
		return nil
	}
	r := newRoom(d.job.rec, i, d.job.visits)
	b := &bench{facts: d.job}
	for _, e := range r.elevations {
		if tops := e.tops(); len(tops) > 0 {
			release := b.releaseOf(e, tops)
			release.tell(d.found.Rooms[i].Results)
			all = append(all, release)
		}
	}
	return all
}

// tell takes what the rules say of the elevation.
func (r *Release) tell(results []Result) {
	for _, res := range results {
		switch {
		case res.Subject.Elevation != r.Elevation:
		case res.Rule == topBears:
			r.Bears = res
		case res.Rule == topsReleased:
			r.Released = res
		case !res.Outcome.Holds() && res.Rule.underTop():
			r.Open = append(r.Open, res)
		}
	}
}

// underTop reports whether a top closes off what the rule is of, so that it has
// to hold before.
func (r *Rule) underTop() bool {
	switch r.Family {
	case Setting, Joining, Fillers, Fronts:
		return true
	}
	return r == servicesClear || r == anchoredAsDrawn
}

func (b *bench) releaseOf(e *elevation, tops []*top) Release {
	r := Release{Room: e.subject.Room, Elevation: e.plan.Name, Units: e.layoutUnits()}
	h, _ := e.topHeights(tops)
	for _, set := range setsOf(tops) {
		r.Sets = append(r.Sets, b.topSet(e, set, h))
	}
	return r
}

// setsOf brings together pieces of which each ends where the next begins.
func setsOf(tops []*top) (sets [][]*top) {
	for i, t := range tops {
		if i == 0 || tops[i-1].to != t.from {
			sets = append(sets, nil)
		}
		n := len(sets) - 1
		sets[n] = append(sets[n], t)
	}
	return sets
}

func (b *bench) topSet(e *elevation, tops []*top, h *heights) TopSet {
	c := centre(tops...)
	s := TopSet{MiddleX: nearestOf(c.X), MiddleY: nearestOf(c.Y)}
	for _, t := range tops {
		s.Pieces = append(s.Pieces, t.piece(h))
	}
	if h == nil {
		return s
	}
	places := bearingsOf(tops)
	r := restOn(c, places, h)
	s.State, s.Ways = r.State, len(r.Ways)
	for i := range places {
		if s.Ways > 0 {
			s.Bearings = append(s.Bearings, b.topBearing(e, places, i, &r, h))
		}
	}
	return s
}

// bearingsOf are the places under pieces, each once.
func bearingsOf(tops []*top) (all []bearing) {
	for _, t := range tops {
		for _, b := range t.bearings {
			if !slices.ContainsFunc(all, func(a bearing) bool { return a.unit == b.unit && a.x == b.x && a.y == b.y }) {
				all = append(all, b)
			}
		}
	}
	return all
}

// piece says how a piece rests by itself.
func (t *top) piece(h *heights) TopPiece {
	p := TopPiece{From: t.from, To: t.to, Back: t.back, Out: t.out, Words: t.words(), State: t.stands()}
	switch {
	case p.State != rest.Steady:
		p.Known, p.How = true, t.fallen(p.State)
		return p
	case h == nil:
		p.How = say.That("%[1]s: how it rests is not known until the top corners under it are read", p.Words)
		return p
	}
	r := restOn(centre(t), t.bearings, h)
	p.Known, p.State = true, r.State
	if r.State == rest.Rocking {
		p.How = t.rocks(r)
		return p
	}
	var on []say.Text
	for _, i := range r.Ways[0].On {
		on = append(on, t.bearings[i].words())
	}
	p.How = say.That("%[1]s rests steadily on %[2]s", p.Words, say.Few(on...))
	return p
}

func (b *bench) topBearing(e *elevation, places []bearing, i int, r *rest.Rest, h *heights) TopBearing {
	way := &r.Ways[0]
	out := TopBearing{Unit: places[i].unit.plan.Tag, Words: places[i].words(), X: places[i].x, Y: places[i].y}
	for _, w := range r.Ways {
		out.Gaps = append(out.Gaps, nearestOf(w.Gaps[i]))
	}
	out.U, out.Known = b.topGapDoubt(e, places, i, way, h)
	gap := way.Gaps[i]
	out.Rise = nearestOf(gap)
	out.Shim = shimFor(gap, b.sys)
	switch {
	case gap.Sign() == 0:
	case !out.Known:
		out.Do = UnknownDo
	case gap.Cmp(exactly(out.U)) <= 0, gap.Cmp(exactly(mostShim)) <= 0 && out.Shim == 0:
	case gap.Cmp(exactly(mostShim)) <= 0:
		out.Do = ShimIt
	case e.releasedAt(places[i].unit):
		out.Do = ClosedOff
	default:
		out.Do = TurnBolt
	}
	if out.Do != ShimIt {
		out.Shim = 0
	}
	return out
}

// shimFor is the thickest shim that goes into a gap: whole 64ths of an inch, or
// tenths of a millimetre. A thicker one would lift the top off what carries it.
func shimFor(gap *big.Rat, sys length.System) length.Length {
	step := length.Inch / 64
	if sys == length.Metric {
		step = length.Millimetre / 10
	}
	n := new(big.Int).Quo(gap.Num(), new(big.Int).Mul(gap.Denom(), big.NewInt(int64(step))))
	return length.Length(n.Int64()) * step
}

// releasedAt reports whether the run of a unit was released for its top.
func (e *elevation) releasedAt(u *unit) bool {
	o := e.release([]*unit{u})
	return o.ok && o.value
}

// topGapDoubt is the expanded uncertainty of a gap: of the readings of the place
// itself and of those that the plane over it rests on, but no less than one step
// of what they were read with.
func (b *bench) topGapDoubt(e *elevation, places []bearing, i int, way *rest.Way, h *heights) (length.Length, bool) {
	parts := places[i].parts(h, -1)
	for k, weight := range way.Weights(i) {
		for _, p := range places[way.On[k]].parts(h, weight) {
			parts = counting(parts, p)
		}
	}
	d := b.together(e, parts...)
	step := length.Length(0)
	for _, p := range parts {
		if in := b.readers.of(p.visit, "heights"); in != nil && in.Resolution != nil {
			step = max(step, *in.Resolution)
		}
	}
	return max(nearest(coverage*d.u), step), d.known
}

// counting adds how often a reading counts to what it counts already.
func counting(parts []part, p part) []part {
	for i := range parts {
		if parts[i].name == p.name {
			parts[i].weight += p.weight
			return parts
		}
	}
	return append(parts, p)
}
