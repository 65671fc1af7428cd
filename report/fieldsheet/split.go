package fieldsheet

import (
	"setline.example/checks"
)

// MostBoxes is how many boxes one sheet has at most. Filled in by any program, it
// is then far within what can be read back: each box takes two or three objects
// of the 100,000 that collect reads, and less than a kilobyte of its 64 MiB.
const MostBoxes = 20_000

// Part is one of the sheets that a large one is split into.
type Part struct {
	Room   string
	Number int // from 1 where a room takes several, else 0
	*Sheet
}

// Split gives the sheets by which this one can be filled in and read back:
// itself, or where it has more than [MostBoxes], one for each room, and several
// for a room that has more by itself. All of them are read back as one visit.
func (s *Sheet) Split() []Part { return s.split(MostBoxes) }

func (s *Sheet) split(most int) []Part {
	if s.boxes() <= most {
		return []Part{{Sheet: s}}
	}
	var parts []Part
	room := most - boxesOf((&Sheet{visit: s.visit}).asks())
	for from := 0; from < len(s.pages); {
		to := from
		for to < len(s.pages) && s.pages[to].room == s.pages[from].room {
			to++
		}
		several := portions(s.pages[from:to], room)
		for i, pages := range several {
			p := Part{Room: s.pages[from].room, Sheet: s.only(pages)}
			if len(several) > 1 {
				p.Number = i + 1
			}
			parts = append(parts, p)
		}
		from = to
	}
	return parts
}

// only is the sheet with these pages alone.
func (s *Sheet) only(pages []elevation) *Sheet {
	one := *s
	one.pages, one.open = pages, 0
	for _, e := range pages {
		for _, g := range e.groups {
			for _, a := range g.asks {
				if !isRemark(a) {
					one.open++
				}
			}
		}
	}
	return &one
}

// portions cuts pages between what is asked of one subject and of the next, so
// that none has more than most boxes.
func portions(pages []elevation, most int) [][]elevation {
	var all [][]elevation
	var now []elevation
	n := 0
	for _, e := range pages {
		rest := e
		rest.groups = nil
		for _, g := range e.groups {
			boxes := boxesOf(g.asks)
			if n+boxes > most && n > 0 {
				if len(rest.groups) > 0 {
					now = append(now, rest)
				}
				all, now, n = append(all, now), nil, 0
				rest.groups = nil
			}
			rest.groups = append(rest.groups, g)
			n += boxes
		}
		if len(rest.groups) > 0 {
			now = append(now, rest)
		}
	}
	return append(all, now)
}

func (s *Sheet) boxes() int { return boxesOf(s.asks()) }

func boxesOf(asks []*checks.Ask) int {
	n := 0
	for _, a := range asks {
		n += len(FieldsOf(a))
	}
	return n
}
