package checks

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

// What the rules of joining, fillers, fronts and site need.

func sortedNames[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

func (a *asker) flush(e *elevation) {
	for i, u := range e.units {
		if j := e.joints[i]; j != nil {
			a.want(j.subject, []Subject{j.subject}, "Offset of the fronts", LengthKind, j.place("front_offset")).held(a.atMost())
		}
		if u.cabinet != nil && u.cabinet.Doors()+u.cabinet.Drawers() > 1 {
			a.want(u.subject, []Subject{u.subject}, "Offset between fronts", LengthKind, u.placeSeen("front_offset")).held(a.atMost())
		}
	}
}

func (a *asker) topOffset(j *joint) {
	if j.cabinets() {
		a.want(j.subject, []Subject{j.subject}, "Offset of the tops", LengthKind, j.place("top_offset")).held(a.atMost())
	}
}

func (a *asker) gap(j *joint) {
	a.want(j.subject, []Subject{j.subject}, "Widest gap", LengthKind, j.place("gap")).held(a.atMost())
	long := latest(j.seen, func(s *schema.JointSeen) *length.Length { return s.GapLength }, "gap_length")
	if all, known := j.length(); known && long.ok {
		a.want(j.subject, []Subject{j.subject}, "It gapes over", LengthKind, j.place("gap_length")).held("at most " + mulDiv(all, gapShare, 10).In(a.sys))
	}
}

func (a *asker) fastened(f fixed) {
	for _, p := range f.fixings {
		words, limit := "Fastened at the "+p.words, ""
		if f.filler {
			words, limit = "Fastened", listed(a.plannedFor(p.use))+" from inside, no tip in sight"
		} else {
			limit = p.length.In(a.sys) + " screws through " + p.through + ", no tip in sight"
		}
		a.want(f.subject, []Subject{f.subject}, words, Words, f.place(p.key...)).of(a.fasteningBlanks()...).held(limit)
	}
}

// fasteningBlanks ask for a set of like fasteners at one place.
func (a *asker) fasteningBlanks() []Blank {
	return []Blank{
		{Steps: []string{"fastener"}, Kind: Choice, Words: "screw", Choices: sortedNames(a.rec.Planned.Fasteners), Required: true},
		{Steps: []string{"count"}, Kind: CountKind, Words: "how many", Required: true},
		{Steps: []string{"through"}, Kind: Choice, Words: "through", Choices: []string{"vacated hinge hole", "behind front rail", "side", "face"}},
		{Steps: []string{"tip_shows"}, Kind: YesNo, Words: "tip shows"},
	}
}

// fits rests on the same as the rule for what is fastened, where the plan has
// what a visit cannot observe.
func (a *asker) fits(f fixed) {
	for _, p := range f.fixings {
		through := p.through
		if f.filler {
			through = "side"
		}
		if _, _, lacking := p.path(through); lacking != "" {
			return
		}
	}
	a.fastened(f)
}

func (a *asker) inSight(u *unit) {
	judged := []Subject{u.subject}
	a.want(u.subject, judged, "In sight, fronts closed", CountKind, u.placeSeen("in_sight", "closed")).held("0")
	a.want(u.subject, judged, "In sight, standing", CountKind, u.placeSeen("in_sight", "standing")).held("0")
}

func (a *asker) first(e *elevation) {
	if !e.hasCabinets() {
		return
	}
	for _, u := range e.exposedFillers() {
		a.want(u.subject, []Subject{e.subject}, "Set before the first cabinet", YesNo, u.placeSeen("set_first")).held("yes")
	}
}

func (a *asker) fillerFlush(u *unit) {
	if u.filler == nil {
		return
	}
	judged := []Subject{u.subject}
	a.want(u.subject, judged, "Offset, side edge", LengthKind, u.placeSeen("side_offset")).held(a.atMost())
	a.want(u.subject, judged, "Offset, top edge", LengthKind, u.placeSeen("top_offset")).held(a.atMost())
}

func (a *asker) removable(u *unit) {
	if u.cabinet != nil {
		return
	}
	judged := []Subject{u.subject}
	a.want(u.subject, judged, "Held from", Several, u.placeSeen("held_from")).held("inside only").
		of(Blank{Kind: Several, Choices: []string{"inside", "face", "side", "top"}, Required: true})
	a.want(u.subject, judged, "The top is on", YesNo, u.placeSeen("top_on"))
	a.want(u.subject, judged, "Comes off again", YesNo, u.placeSeen("comes_off")).held("yes, once the top is on")
}

func (a *asker) drawers(u *unit) {
	for n := range u.cabinet.Drawers() {
		number := strconv.Itoa(n + 1)
		a.want(u.subject, []Subject{u.subject}, "Drawer in slot "+number, Drawer, u.placeSeen("drawers", number)).held("drawer " + number)
	}
}

func (a *asker) aligned(u *unit) {
	for _, front := range u.cabinet.FrontNames() {
		a.want(u.subject, []Subject{u.subject}, capital(front)+" out of line", LengthKind, u.placeSeen("alignment", front)).held(a.atMost())
	}
}

func (a *asker) works(u *unit) {
	for _, front := range u.cabinet.FrontNames() {
		a.want(u.subject, []Subject{u.subject}, capital(front)+" works", YesNo, u.placeSeen("works", front)).held("yes")
	}
}

func (a *asker) site() {
	var judged []Subject
	for _, r := range a.rooms {
		judged = append(judged, siteSubject(r))
	}
	for i, q := range []struct{ key, words string }{
		{"slab_cured", "Slab cured"}, {"closed_in", "Building closed in"}, {"floor_finish_known", "Floor finish known"},
	} {
		a.want(ofVisit("site", afterParts+i), judged, q.words, YesNo, []string{"site", q.key}).held("yes")
	}
}

// worthRecording asks for what no rule needs: what stands in for something
// else, what narrows an uncertainty, and remarks.
func (a *asker) worthRecording() {
	a.want(ofVisit("site", afterParts+9), nil, "Remark on the site", Words, []string{"site", "remark"})
	for i, name := range sortedNames(a.rec.Planned.Instruments) {
		pair := func(key, words string) []Blank {
			return []Blank{
				{Steps: []string{key, "0"}, Kind: LengthKind, Words: words + " A", Required: true},
				{Steps: []string{key, "1"}, Kind: LengthKind, Words: words + " B", Required: true},
			}
		}
		if kind := a.rec.Planned.Instruments[name].Kind; kind == "laser" {
			a.want(ofVisit(name, i), nil, "Two-peg test of "+name, LengthKind, []string{"instruments", name, "two_peg"}).
				of(slices.Concat(pair("midway", "midway"), pair("unequal", "near one"), pair("distances", "distance to"))...)
		}
	}
	for _, r := range a.rooms {
		for _, e := range r.elevations {
			a.worthRecordingOf(e)
		}
		s := siteSubject(r)
		s.Item, s.unit = "room "+r.plan.Name, afterParts
		s.elevation = len(r.elevations)
		a.want(s, nil, "Remark on the room", Words, []string{"rooms", r.plan.Name, "remarks", "0"})
	}
}

func (a *asker) worthRecordingOf(e *elevation) {
	if e.hasCabinets() {
		a.want(e.subject, nil, "Set-height mark, from the left end", LengthKind, e.place("mark_at"))
	}
	for i, u := range e.units {
		if j := e.joints[i]; j != nil {
			a.want(j.subject, nil, "Offset of the tops", LengthKind, j.place("top_offset"))
			a.want(j.subject, nil, "It gapes over", LengthKind, j.place("gap_length"))
			a.want(j.subject, nil, "Remark", Words, j.place("remark"))
		}
		if u.cabinet != nil {
			for _, s := range sides {
				a.want(u.subject, nil, "Level "+s.words, LengthKind, u.placeSeen("level", s.key)).of(deviationBlanks()...)
			}
			for _, f := range faces {
				if _, asked := a.at[PlaceName(u.placeSeen("plumb", f.key)...)]; !asked {
					a.plumb(u, f.key, "Plumb, "+strings.TrimPrefix(strings.TrimPrefix(f.words, "plumb on the "), "plumb on "))
				}
			}
			for _, c := range corners {
				a.extension(u, c)
			}
		} else {
			a.want(u.subject, nil, "Cut to", LengthKind, u.placeSeen("cut"))
			a.want(u.subject, nil, "Fastened", Words, u.placeSeen("fastening")).of(a.fasteningBlanks()...)
		}
		a.want(u.subject, nil, "Fasteners in sight, where", Words, u.placeSeen("in_sight", "where"))
		a.want(u.subject, nil, "Remark", Words, u.placeSeen("remark"))
	}
}
