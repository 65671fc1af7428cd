package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

var labelComplete = &Rule{
	ID:         "label-complete",
	Name:       "label complete",
	Family:     Receiving,
	Asks:       "Every unit carries a label with order, part and line number, and room and elevation where the order gave them; it is that of the unit drawn there, and no more units carry it than the line lists.",
	Why:        "The label is how a part is ordered again, and how a unit that stands in the wrong room is found before it is joined.",
	LimitWords: "order, part and line number; room and elevation where the order gave them",
	Formula:    "a label fits if it fits one of the lines with its number on the lists of its order",
	Source:     CommonPractice,
	Needs:      "Read the label on the unit",
	Remedy:     "Find which unit this is by its packing list, put it where it is drawn, and mark it",
	observe:    asks(theCabinetLabel.Thing, theFillerLabel.Thing),
	judge:      judgeLabels,
}

func judgeLabels(b *bench) {
	b.units(func(r *room, u *unit) {
		label := u.label()
		if said := u.labelSaid(); said.ok && said.when > label.when {
			if !b.listsPart(u) {
				b.unseen(u.subject, u.at, say.That("Said to be as drawn and listed, and no packing list has part %[1]s for this room", say.Name(u.plan.Part)))
				return
			}
			b.add(Result{Subject: u.subject, Visit: said.visit, Pointer: said.at.pointer(), Outcome: Pass, Finding: say.That("As drawn and listed, as was said of all labels of the elevation")})
			return
		}
		if !label.ok {
			b.notObserved(u.subject, u.at, say.That("label"))
			return
		}
		wrong := labelFaults(label.value, u.standing(), b.lines)
		if others := b.labels().tooMany(u.subject); len(others) > 0 && len(wrong) == 0 {
			wrong = []labelFault{{faultOf{"label", "carried by too many", ""}, tooManyCarry(label.value, u.subject, others, b.lines)}}
		}
		res := Result{Subject: u.subject, Visit: label.visit, Pointer: label.at.pointer(), Outcome: Pass, Finding: say.That("Label complete, and of the unit drawn here")}
		var words []say.Text
		for _, w := range wrong {
			words = append(words, w.words)
			res.faults = append(res.faults, fault{of: w.of})
		}
		if len(wrong) > 0 {
			res.Outcome, res.Finding = Fail, say.Semicolons(words...)
		}
		b.add(res)
	})
}

// listsPart reports whether a packing list has the part of a unit, for its room or
// for none: only then can its label be as listed.
func (f *facts) listsPart(u *unit) bool {
	_, here := f.supply[[2]string{u.subject.Room, u.plan.Part}]
	_, anywhere := f.supply[[2]string{"", u.plan.Part}]
	return here || anywhere
}

// label is the last that was read of the unit's label.
func (u *unit) label() observed[schema.Label] {
	if u.cabinet == nil {
		return theFillerLabel.latest(&u.asFill, "")
	}
	return theCabinetLabel.latest(&u.asCab, "")
}

// labelSaid is the last time that the label was said to be as drawn and listed,
// with all others of the elevation.
func (u *unit) labelSaid() observed[bool] {
	if u.cabinet == nil {
		return saidLast(&u.asFill, saidLabels)
	}
	return saidLast(&u.asCab, saidLabels)
}

// standing is where a unit stands and what is drawn there.
type standing struct{ room, elevation, part string }

func (u *unit) standing() standing {
	return standing{u.subject.Room, u.subject.Elevation, u.plan.Part}
}

// lineName is how a label names a line of a packing list. It may mean several:
// one order may come on several lists, each of which starts its lines at 1.
type lineName struct{ order, line string }

// listedLines are the lines of all packing lists by how labels name them, in
// the order of the lists' numbers.
type listedLines map[lineName][]listedLine

type listedLine struct {
	list string // number of the packing list
	schema.PackingLine
}

func newListedLines(a *schema.Arrived) listedLines {
	lines := listedLines{}
	for _, list := range sortedNames(a.PackingLists) {
		for _, number := range sortedNames(a.PackingLists[list].Lines) {
			name := lineName{a.PackingLists[list].Order, number}
			lines[name] = append(lines[name], listedLine{list, a.PackingLists[list].Lines[number]})
		}
	}
	return lines
}

// labelFault is one thing that is wrong with a label.
type labelFault struct {
	of    faultOf
	words say.Text
}

func wrongLabel(where string, words say.Text) labelFault {
	return labelFault{faultOf{"label", where, ""}, words}
}

// labelFaults says what is wrong with a label on a unit. Of several lines that
// it may mean, one that it fits is enough; where it fits none, the nearest is told.
func labelFaults(l schema.Label, u standing, lines listedLines) []labelFault {
	may := lines[lineName{l.Order, l.Line}]
	wrong := faultsWithout(l, u)
	switch {
	case l.Order == "" || l.Line == "" || l.Part == "" || len(lines) == 0:
		return wrong
	case len(may) == 0:
		return append(wrong, wrongLabel("line", say.That("line %[1]s of order %[2]s is on no packing list", say.Name(l.Line), say.Name(l.Order))))
	}
	var nearest []labelFault
	for i, line := range may {
		if faults := faultsAgainst(l, u, line); i == 0 || nearer(faults, nearest) {
			nearest = faults
		}
	}
	if len(nearest) > 0 && len(may) > 1 {
		nearest[0].words = say.That("fits none of the %[1]s lines %[2]s of order %[3]s; the nearest: %[4]s",
			len(may), say.Name(l.Line), say.Name(l.Order), nearest[0].words)
	}
	return append(wrong, nearest...)
}

// nearer reports whether a label with the faults a is nearer to a line than one
// with the faults b: of its part first, and then with fewer of them.
func nearer(a, b []labelFault) bool {
	other := func(f labelFault) bool { return f.of.where == otherPart }
	if x, y := slices.ContainsFunc(a, other), slices.ContainsFunc(b, other); x != y {
		return y
	}
	return len(a) < len(b)
}

const otherPart = "listed part" // where a line is of another part than the label says

// faultsWithout are those that show without any packing list.
func faultsWithout(l schema.Label, u standing) []labelFault {
	var wrong []labelFault
	var missing []say.Text
	for _, f := range []struct {
		name  say.Words
		value string
	}{{"order number", l.Order}, {"part number", l.Part}, {"line number", l.Line}} {
		if f.value == "" {
			missing = append(missing, f.name.Text())
		}
	}
	if len(missing) > 0 {
		wrong = append(wrong, wrongLabel("missing", say.That("no %[1]s on the label", say.Or(missing...))))
	}
	if l.Part != "" && l.Part != u.part {
		wrong = append(wrong, wrongLabel("part", say.That("label says part %[1]s, drawn is %[2]s", say.Name(l.Part), say.Name(u.part))))
	}
	if l.Room != "" && l.Room != u.room {
		wrong = append(wrong, wrongLabel("room", say.That("label says room %[1]s", say.Name(l.Room))))
	}
	if l.Elevation != "" && l.Elevation != u.elevation {
		wrong = append(wrong, wrongLabel("elevation", say.That("label says elevation %[1]s", say.Name(l.Elevation))))
	}
	return wrong
}

// faultsAgainst are those that show against one line of a packing list.
func faultsAgainst(l schema.Label, u standing, line listedLine) []labelFault {
	var wrong []labelFault
	var missing []say.Text
	if line.Room != "" && l.Room == "" {
		missing = append(missing, say.That("room"))
	}
	if line.Elevation != "" && l.Elevation == "" {
		missing = append(missing, say.That("elevation"))
	}
	if len(missing) > 0 {
		wrong = append(wrong, wrongLabel("place", say.That("no %[1]s on the label", say.Or(missing...))))
	}
	if line.Part != l.Part {
		wrong = append(wrong, wrongLabel(otherPart, say.That("line %[1]s of the packing list is part %[2]s", say.Name(l.Line), say.Name(line.Part))))
	}
	if line.Room != "" && line.Room != u.room {
		wrong = append(wrong, wrongLabel("listed room", say.That("line %[1]s of the packing list is for room %[2]s", say.Name(l.Line), say.Name(line.Room))))
	}
	if line.Elevation != "" && line.Elevation != u.elevation {
		wrong = append(wrong, wrongLabel("listed elevation", say.That("line %[1]s of the packing list is for elevation %[2]s", say.Name(l.Line), say.Name(line.Elevation))))
	}
	return wrong
}

// labelled are the labels of a whole job, counted against the lines that they
// may mean, so that a label on more units than its line lists is seen.
type labelled struct {
	over  map[string][]Subject // with which others a unit shares it, by subject
	rooms []*room              // of the job where all are at hand; nil where they are made one by one
}

// labels counts them when first asked.
func (f *facts) labels() *labelled {
	if f.counted.over == nil {
		f.counted.over = map[string][]Subject{}
		f.countLabels()
	}
	return f.counted
}

// tooMany are the units that carry the label of s, with s, where they are more
// than listed.
func (l *labelled) tooMany(s Subject) []Subject {
	if len(l.over) == 0 {
		return nil
	}
	return l.over[s.String()]
}

// carrier is a unit and the lines that its label fits.
type carrier struct {
	subject Subject
	fits    []int // positions among the lines its label may mean
}

func (f *facts) countLabels() {
	carriers := map[lineName][]carrier{}
	var names []lineName // in walking order
	for i := range f.rec.Planned.Rooms {
		f.eachLabel(i, func(s Subject, u standing, l schema.Label) {
			name := lineName{l.Order, l.Line}
			c := carrier{subject: s}
			for k, line := range f.lines[name] {
				if len(faultsAgainst(l, u, line)) == 0 {
					c.fits = append(c.fits, k)
				}
			}
			if len(c.fits) == 0 {
				return // told as a label that does not fit
			}
			if carriers[name] == nil {
				names = append(names, name)
			}
			carriers[name] = append(carriers[name], c)
		})
	}
	for _, name := range names {
		f.counted.count(carriers[name], f.lines[name])
	}
}

// eachLabel calls do for every unit of a room whose label was read, with the
// last reading of it, in walking order.
func (f *facts) eachLabel(room int, do func(Subject, standing, schema.Label)) {
	if f.counted.rooms != nil {
		f.counted.rooms[room].eachLabel(do)
		return
	}
	plan := &f.rec.Planned.Rooms[room]
	last := map[string]*schema.Label{}
	for _, v := range f.visits {
		seen := f.rec.Measured.Visits[v].Rooms[plan.Name]
		for i := range plan.Elevations {
			forgetSaid(last, &plan.Elevations[i], seen.Elevations[plan.Elevations[i].Name].All)
		}
		for tag, c := range seen.Cabinets {
			if c.Label != nil {
				last[tag] = c.Label
			}
		}
		for tag, f := range seen.Fillers {
			if f.Label != nil {
				last[tag] = f.Label
			}
		}
	}
	for i := range plan.Elevations {
		for k := range plan.Elevations[i].Units {
			u := &plan.Elevations[i].Units[k]
			if l := last[u.Tag]; l != nil && l.Part == u.Part {
				s := unitSubject(plan.Name, plan.Elevations[i].Name, u.Tag)
				do(s, standing{plan.Name, s.Elevation, u.Part}, *l)
			}
		}
	}
}

// forgetSaid forgets the labels of which a later visit said that they are as
// drawn and listed: these are not counted.
func forgetSaid(labels map[string]*schema.Label, e *schema.Elevation, all []schema.SaidOfAll) {
	for _, said := range all {
		for k := range e.Units {
			if tag := e.Units[k].Tag; said.Of == saidLabels && said.Answer && !slices.Contains(said.Except, tag) {
				delete(labels, tag)
			}
		}
	}
}

// eachLabel does the same for a room whose facts are made.
func (r *room) eachLabel(do func(Subject, standing, schema.Label)) {
	for _, e := range r.elevations {
		for _, u := range e.units {
			l := u.label()
			if l.ok && l.value.Part == u.plan.Part && l.when >= u.labelSaid().when {
				do(unitSubject(r.plan.Name, e.plan.Name, u.plan.Tag), u.standing(), l.value)
			}
		}
	}
}

// count gives every unit a line that its label fits, the one that says most of
// where it belongs first, and notes those for which none is left.
func (l *labelled) count(all []carrier, lines []listedLine) {
	left := make([]int, len(lines))
	for k := range lines {
		left[k] = lines[k].Quantity
	}
	for _, c := range all {
		fits := slices.Clone(c.fits)
		slices.SortStableFunc(fits, func(a, b int) int { return lines[b].says() - lines[a].says() })
		k := slices.IndexFunc(fits, func(k int) bool { return left[k] > 0 })
		if k >= 0 {
			left[fits[k]]--
			continue
		}
		if _, told := l.over[c.subject.String()]; told {
			continue
		}
		var sharing []Subject
		for _, o := range all {
			if slices.ContainsFunc(o.fits, func(k int) bool { return slices.Contains(c.fits, k) }) {
				sharing = append(sharing, o.subject)
			}
		}
		for _, s := range sharing {
			l.over[s.String()] = sharing
		}
	}
}

// says is how much a line says of where its units belong.
func (l *listedLine) says() int {
	n := 0
	if l.Room != "" {
		n += 2
	}
	if l.Elevation != "" {
		n++
	}
	return n
}

// tooManyCarry says how many units carry a label, and which.
func tooManyCarry(l schema.Label, here Subject, all []Subject, lines listedLines) say.Text {
	listed := 0
	for _, line := range lines[lineName{l.Order, l.Line}] {
		if line.Part == l.Part {
			listed += line.Quantity
		}
	}
	names := make([]say.Text, len(all))
	for i, s := range all {
		if names[i] = s.ItemWords(); s.Room != here.Room {
			names[i] = s.Words()
		}
	}
	return say.That("%[1]s units carry this label, of line %[2]s of order %[3]s, which lists %[4]s: %[5]s",
		len(all), say.Name(l.Line), say.Name(l.Order), listed, say.Few(names...))
}
