package fieldsheet

import (
	"iter"
	"runtime"
	"sync"

	"setline.example/schema"
)

// MostBoxes is how many boxes one sheet has at most. Filled in by any program, it
// is then far within what can be read back: each box takes two or three objects
// of the 100,000 that collect reads, and less than a kilobyte of its 64 MiB.
const MostBoxes = 20_000

// Part is one of the sheets that a large one is split into.
type Part struct {
	Room   string
	Number int // from 1 where a room takes several, else 0
	make   func() *Sheet
}

// Sheet makes the sheet, which is not kept: a job has any number of them.
func (p Part) Sheet() *Sheet { return p.make() }

// Parts gives the sheets by which all that is asked of a record can be filled in
// and read back: one, or where that has more than [MostBoxes], one for each room,
// and several for a room that has more by itself. All of them are read back as
// one visit. The error is that of [New].
func Parts(rec *schema.Record, src *schema.Source, o Options) ([]Part, error) {
	m, err := newMaker(rec, src, o)
	if err != nil {
		return nil, err
	}
	return m.parts(MostBoxes), nil
}

// asked is how many boxes what is asked of a room takes, subject by subject.
type asked struct {
	room  int // position in the plan
	boxes []int
}

func (m *maker) parts(most int) []Part {
	s := m.sheet()
	var rooms []asked
	boxes := 0
	for i, one := range m.all() {
		s.anyOpen = s.anyOpen || one.anyOpen
		if len(one.Pages) == 0 {
			continue
		}
		counts := countsOf(one.Pages)
		for _, n := range counts {
			boxes += n
		}
		rooms = append(rooms, asked{i, counts})
		s.open += one.open
		if boxes <= most {
			s.Pages = append(s.Pages, one.Pages...)
		} else {
			s.Pages = one.Pages // enough to ask of the visit
		}
	}
	m.finish(s)
	ofVisit := boxesOf(s.asks()[:len(s.Visit)])
	if boxes+ofVisit <= most {
		return []Part{{make: func() *Sheet { return s }}}
	}
	s.Pages = nil
	var all []Part
	for _, r := range rooms {
		in := portions(r.boxes, most-ofVisit)
		several := in[len(in)-1] + 1
		for n := range several {
			p := Part{Room: m.rec.Planned.Rooms[r.room].Name, make: func() *Sheet { return m.part(s, r.room, in, n) }}
			if several > 1 {
				p.Number = n + 1
			}
			all = append(all, p)
		}
	}
	return all
}

// all asks of one room after the other, on as many processors as there are. No
// more rooms are kept than that.
func (m *maker) all() iter.Seq2[int, *Sheet] {
	return func(yield func(int, *Sheet) bool) {
		n := len(m.rec.Planned.Rooms)
		made := make([]*Sheet, runtime.GOMAXPROCS(0))
		for from := 0; from < n; from += len(made) {
			some := made[:min(len(made), n-from)]
			var all sync.WaitGroup
			for k := range some {
				all.Go(func() { some[k] = m.room(from + k) })
			}
			all.Wait()
			for k, one := range some {
				if some[k] = nil; !yield(from+k, one) {
					return
				}
			}
		}
	}
}

// part is the sheet of the subjects of a room that are in a portion of it.
func (m *maker) part(s *Sheet, room int, in []int, portion int) *Sheet {
	one := *s
	one.open = 0
	n := 0
	for _, e := range m.room(room).Pages {
		rest := e
		rest.Groups = nil
		for _, g := range e.Groups {
			if in[n] == portion {
				rest.Groups = append(rest.Groups, g)
			}
			n++
		}
		if len(rest.Groups) > 0 {
			one.Pages = append(one.Pages, rest)
			one.open += openOf(rest.Groups)
		}
	}
	return &one
}

// openOf counts what is asked, beside remarks.
func openOf(groups []Group) int {
	n := 0
	for _, g := range groups {
		for _, a := range g.Asks {
			if !isRemark(a) {
				n++
			}
		}
	}
	return n
}

// countsOf gives the boxes of each subject on these pages.
func countsOf(pages []Elevation) []int {
	var all []int
	for _, e := range pages {
		for _, g := range e.Groups {
			all = append(all, boxesOf(g.Asks))
		}
	}
	return all
}

// portions says in which portion each subject of a room is, so that none has
// more than most boxes.
func portions(boxes []int, most int) []int {
	in := make([]int, len(boxes))
	portion, n := 0, 0
	for i, b := range boxes {
		if n+b > most && n > 0 {
			portion, n = portion+1, 0
		}
		in[i] = portion
		n += b
	}
	return in
}
