package collect

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/go-json-experiment/json"
	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// visit is what one occasion saw, from one sheet or from several.
type visit struct {
	date    string
	people  string // as JSON, to tell visits apart
	rooms   []string
	files   []string
	answers []Answer // in the order of the sheets
	photos  []fieldsheet.Photo
	at      map[string]int // of an answer, by the name of its ask; made when sheets are joined
}

// observes reports whether an answer says anything of the rooms or the site:
// who came and with what is not yet an observation.
func observes(a *Answer) bool {
	return a.Ask.Thing.Of != checks.OfVisit && a.Ask.Thing.Of != checks.OfInstrument
}

// visitOf makes the visit of one sheet. A sheet on which nothing was observed
// makes none.
func visitOf(f *fieldsheet.Filled, plan *schema.Planned, answers []Answer) (*visit, schema.Problems) {
	file := f.File
	if len(f.Photos) == 0 && !slices.ContainsFunc(answers, func(a Answer) bool { return observes(&a) }) {
		return nil, nil
	}
	v := &visit{files: []string{file}, answers: answers, photos: f.Photos}
	for _, r := range plan.Rooms {
		v.rooms = append(v.rooms, r.Name)
	}
	var people []any
	for i := range answers {
		switch a := &answers[i]; a.Ask.Place[0] {
		case "date":
			v.date = a.Value.(string)
		case "people":
			people = append(people, a.Value)
		}
	}
	var problems schema.Problems
	missing := func(words, mend string) {
		problems = append(problems, schema.Problem{Kind: schema.Missing, File: file, Page: 1, Words: words, Found: "nothing there", Expected: "who observed what the sheet says, and when", Mend: mend})
	}
	for _, p := range f.Photos {
		if !slices.Contains(v.rooms, p.Room) {
			problems = append(problems, schema.Problem{Kind: schema.Unknown, File: file, Found: fmt.Sprintf("a photograph of room %q", plaintext.Visible(p.Room)),
				Expected: "one of the rooms of the sheet: " + plaintext.Visible(strings.Join(v.rooms, ", ")), Mend: "take it on the sheet of that room"})
		}
	}
	if v.date == "" {
		missing("Date of the visit", "write the date on the first page")
	}
	if people == nil {
		missing("Who, 1", "write on the first page who measured and looked")
	}
	data, err := appendList(nil, people)
	if err != nil {
		panic(fmt.Sprintf("people cannot be written: %v", err)) // they are strings
	}
	v.people = string(data)
	return v, problems
}

// merge joins the visits of one day and the same people into one, and puts
// them in time order. Where two sheets answer one ask differently, that of the
// file preferred counts, if one is; else both are problems.
func merge(visits []*visit, prefer string) ([]*visit, schema.Problems) {
	var all []*visit
	var problems schema.Problems
	for _, v := range visits {
		i := slices.IndexFunc(all, func(w *visit) bool { return w.date == v.date && w.people == v.people })
		if i < 0 {
			all = append(all, v)
			continue
		}
		problems = append(problems, all[i].join(v, prefer)...)
	}
	slices.SortStableFunc(all, func(a, b *visit) int { return cmp.Compare(a.date, b.date) })
	return all, problems
}

func (v *visit) join(w *visit, prefer string) schema.Problems {
	var problems schema.Problems
	if v.at == nil {
		v.at = map[string]int{}
		for i := range v.answers {
			v.at[v.answers[i].Ask.Name(nil)] = i
		}
	}
	for _, b := range w.answers {
		name := b.Ask.Name(nil)
		i, both := v.at[name]
		if !both {
			v.at[name] = len(v.answers)
			v.answers = append(v.answers, b)
			continue
		}
		switch a := &v.answers[i]; {
		case sameValue(a.Value, b.Value), prefer == a.File:
		case prefer == b.File:
			*a = b
		default:
			problems = append(problems, disagree(a, &b)...)
		}
	}
	v.files, v.photos = append(v.files, w.files...), append(v.photos, w.photos...)
	for _, r := range w.rooms {
		if !slices.Contains(v.rooms, r) {
			v.rooms = append(v.rooms, r)
		}
	}
	return problems
}

func sameValue(a, b any) bool { return asJSON(a) == asJSON(b) }

func asJSON(v any) string {
	data, err := json.Marshal(v, json.Deterministic(true))
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(data)
}

// disagree shows both answers of two sheets that do not agree.
func disagree(a, b *Answer) schema.Problems {
	var all schema.Problems
	for _, pair := range [][2]*Answer{{a, b}, {b, a}} {
		p := pair[0].problem()
		p.Kind, p.Found = schema.Contradiction, asJSON(pair[0].Value)
		p.Expected = fmt.Sprintf("what %s says of it on the same visit, %s", pair[1].File, asJSON(pair[1].Value))
		p.Mend = fmt.Sprintf("look again and correct one, or take those of one file with --prefer %q", pair[0].File)
		all = append(all, p)
	}
	return all
}

// problem is a problem at the box that the answer comes from.
func (a *Answer) problem() schema.Problem {
	words := say.Writer{}.Text(fieldsheet.InFull(a.Ask, nil))
	return schema.Problem{File: a.File, Page: a.From.Page, Line: a.From.Line, Words: words, Box: a.Ask.Name(nil)}
}

// json writes the visit as the record holds it, its members in the order in
// which the schema has them. entered is its place in the order of entry, 0 for none.
func (v *visit) json(entered int) ([]byte, error) {
	o := &object{}
	o.put([]string{"date"}, v.date)
	for _, first := range []string{"purpose", "people", "instruments", "site", "rooms"} {
		for i := range v.answers {
			if a := &v.answers[i]; a.Ask.Place[0] == first {
				v.put(o, a)
			}
		}
	}
	for _, p := range v.photos {
		o.add([]string{"rooms", p.Room, "photos"}, photo(&p))
	}
	rooms := o.at("rooms")
	if len(rooms.names) == 0 {
		for _, r := range v.rooms { // the state of the site was looked at for these
			rooms.put([]string{r}, &object{})
		}
	}
	if entered > 0 {
		o.put([]string{"entered"}, entered)
	}
	return appendJSON(nil, o)
}

// photo is a photograph as the record has it ([schema.Photo]).
func photo(p *fieldsheet.Photo) *object {
	o := &object{}
	o.put([]string{"file"}, p.File)
	o.put([]string{"sha256"}, p.SHA256)
	for _, m := range [][2]string{{"of", p.Of}, {"caption", p.Caption}, {"by", p.By}} {
		if m[1] != "" {
			o.put(m[:1], m[1])
		}
	}
	return o
}

func (v *visit) put(o *object, a *Answer) {
	place, value := a.Ask.Place, a.Value
	switch last := len(place) - 1; {
	case last >= 1 && place[last-1] == "all":
		o.add(place[:last], saidOfAll(place[last], value))
	case place[0] == "people", last >= 1 && place[last-1] == "remarks":
		o.add(place[:last], value)
	case place[0] == "instruments" && last == 1:
		if into, ok := value.(*object); ok {
			use := o.at(place...)
			for i, name := range into.names {
				use.set(name, into.values[i])
			}
		} else {
			o.at(place...)
		}
	default:
		o.put(place, value)
	}
}

// nameSaid puts into the steps of a pointer what was said of all in the place of
// its position in the list.
func (v *visit) nameSaid(steps []string) {
	const list = 4 // rooms, its name, elevations, its name
	if len(steps) < list+2 || steps[list] != "all" {
		return
	}
	n, err := strconv.Atoi(steps[list+1])
	for i := range v.answers {
		place := v.answers[i].Ask.Place
		if err != nil || len(place) != list+2 || place[1] != steps[1] || place[3] != steps[3] || place[list] != "all" {
			continue
		}
		if n == 0 {
			steps[list+1] = place[list+1]
			return
		}
		n--
	}
}

// add adds a value to the list at a place.
func (o *object) add(place []string, value any) {
	last := len(place) - 1
	inner := o.at(place[:last]...)
	list, _ := inner.value(place[last]).([]any)
	inner.set(place[last], append(list, value))
}

// saidOfAll is what is said of all of an elevation, and of what it is not: names
// with commas, semicolons or blanks between them.
func saidOfAll(of string, value any) *object {
	said := &object{}
	said.put([]string{"of"}, of)
	said.put([]string{"answer"}, true)
	if boxes, ok := value.(*object); ok {
		if text, ok := boxes.value("except").(string); ok {
			var except []any
			for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || unicode.IsSpace(r) }) {
				except = append(except, exceptedName(of, name))
			}
			said.put([]string{"except"}, except)
		}
	}
	return said
}

// exceptedName is what a record calls what is excepted: of what closes an elevation
// out, a sheet has numbers.
func exceptedName(of, name string) string {
	if all := schema.ClosesOut(); of == schema.SaidOfClosing {
		if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(all) {
			return all[n-1]
		}
	}
	return name
}

// answerAt finds the answer that a JSON Pointer into the visit leads to or
// nearest to; nil where it leads to several.
func (v *visit) answerAt(pointer string) *Answer {
	want := schema.Steps(pointer)
	v.nameSaid(want)
	var best *Answer
	most, several := 0, false
	for i := range v.answers {
		a := &v.answers[i]
		n := 0
		for n < len(want) && n < len(a.Ask.Place) && a.Ask.Place[n] == want[n] {
			n++
		}
		if n < len(want) && n < len(a.Ask.Place) {
			continue // it leads elsewhere
		}
		several = n == most && best != nil
		if n > most {
			best, most, several = a, n, false
		}
	}
	if several {
		return nil
	}
	return best
}
