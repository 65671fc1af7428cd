package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Screwed is a joint of two cabinets, or a filler, and how screws are to hold it.
type Screwed struct {
	Of     string // "A1+A2", or the filler's tag
	Filler bool
	Places []ScrewPlace
}

// ScrewPlace is a place of a joint at which screws go in.
type ScrewPlace struct {
	Words   say.Words // "front"
	Through say.Text  // what they have to go through; empty for a filler, from inside
	Use     string    // for which screws are planned
	Length  length.Length
	Screws  []PlannedScrew // what is planned there
}

// PlannedScrew is a screw that is planned at a place.
type PlannedScrew struct {
	Name string
	schema.Fastener
	Sheet, Drill length.Length // that it holds in, and the drill for it where it needs a hole; 0 where not known
}

// screwedOf tells how joints and fillers of an elevation are to be screwed.
func (f *facts) screwedOf(e *elevation) (all []Screwed) {
	for i, u := range e.units {
		if j := e.joints[i]; j != nil && j.cabinets() {
			s := Screwed{Of: j.name}
			left, _ := sheetThickness(j.left.body.Gauge)
			right, _ := sheetThickness(j.right.body.Gauge)
			for _, p := range j.places() {
				s.Places = append(s.Places, f.screwPlace(p, max(left, right)))
			}
			all = append(all, s)
		}
		if u.filler != nil {
			sheet, _ := sheetThickness(u.filler.Gauge)
			all = append(all, Screwed{u.plan.Tag, true, []ScrewPlace{f.screwPlace(e.fillerFixing(i), sheet)}})
		}
	}
	return all
}

func (f *facts) screwPlace(p fixing, sheet length.Length) ScrewPlace {
	s := ScrewPlace{Words: p.words, Use: p.use, Length: p.length}
	if p.through != "" {
		s.Through = AnswerWords(p.through)
	}
	for _, name := range f.screws[p.use] {
		screw := PlannedScrew{Name: name, Fastener: f.rec.Planned.Fasteners[name], Sheet: sheet}
		if screw.Point == "self-tapping" {
			screw.Drill = pilotDrill(screw.Size, sheet)
		}
		s.Screws = append(s.Screws, screw)
	}
	return s
}

// Needs reports whether the screw is another one than the rule asks for at the place.
func (s *ScrewPlace) Needs(screw *PlannedScrew) bool {
	return s.Length > 0 && apart(screw.Length, s.Length) > nominal
}
