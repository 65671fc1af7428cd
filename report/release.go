package report

import (
	"fmt"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/drawing"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// ReleaseView is everything that a release page shows.
type ReleaseView struct {
	Project, Number Text
	Answer, Summary Text
	Elevations      []ReleaseElevation
	Ready           bool // nothing speaks against laying the tops
}

// ReleaseElevation is the release of one elevation.
type ReleaseElevation struct {
	Room, Name Text
	Released   Text // who released it and when, or that nobody did
	Done       bool
	Sets       []ReleaseSet
	Open       []ResultView
}

// ReleaseSet is pieces of top that meet.
type ReleaseSet struct {
	Of       Text
	How      []Text // how each rests by itself
	Plane    Text
	Drawing  *DrawingView
	Rocks    bool
	Bearings []BearingView
}

// BearingView is a place under a top.
type BearingView struct{ Number, Place, Gap, Other, U, What Text }

// NewReleaseView makes the view of the release pages of the elevations with
// tops planned that keep wants, nil for all.
func NewReleaseView(found *checks.Findings, keep func(room, elevation string) bool) ReleaseView {
	v, _ := newReleaseView(found, keep, nil)
	return v
}

func newReleaseView(found *checks.Findings, keep func(room, elevation string) bool, language say.Language) (ReleaseView, map[string]pdf.Picture) {
	b := newViewer(found, nil)
	b.words.Language = language
	b.rules() // numbers them for results
	v := ReleaseView{Project: Text(b.rec.Planned.Project.Name), Number: Text(b.rec.Planned.Project.Number), Ready: true}
	released := 0
	for i := range b.rec.Planned.Rooms {
		for _, r := range b.draft.Releases(i) {
			if keep != nil && !keep(r.Room, r.Elevation) {
				continue
			}
			e := b.release(&r, len(v.Elevations)+1)
			v.Elevations = append(v.Elevations, e)
			v.Ready = v.Ready && r.Ready()
			if e.Done {
				released++
			}
		}
	}
	v.answer(b, released)
	b.pictures["signature-release"] = place{say: b.words} // by pen alone
	return v, b.pictures
}

// answer says in a few words whether tops can be laid.
func (v *ReleaseView) answer(b *viewer, released int) {
	n := len(v.Elevations)
	answer, summary := say.That("Not ready to be released."), say.That("What is left to settle stands with each elevation.")
	switch {
	case n == 0:
		v.Ready = false
		answer, summary = say.That("No tops are planned."), say.That("Plan them with a table of tops: setline plan --tops.")
	case v.Ready && released == n:
		answer, summary = say.That("Released."), say.That("Lay the tops with the shims that are listed.")
	case v.Ready:
		answer, summary = say.That("Ready to be released."), say.That("Sign below, and write it down with setline release.")
	}
	v.Answer, v.Summary = b.text(answer), b.text(summary)
}

func (b *viewer) release(r *checks.Release, n int) ReleaseElevation {
	e := ReleaseElevation{Room: Text(r.Room), Name: Text(r.Elevation), Done: r.IsReleased(), Released: b.text(r.Released.Finding)}
	for i := range r.Sets {
		e.Sets = append(e.Sets, b.releaseSet(r, &r.Sets[i], fmt.Sprintf("top-%d-%d", n, i+1)))
	}
	for _, res := range r.Open {
		e.Open = append(e.Open, b.result(res))
	}
	return e
}

func (b *viewer) releaseSet(r *checks.Release, s *checks.TopSet, name string) ReleaseSet {
	v := ReleaseSet{Of: b.text(say.Sentence(s.Text())), Plane: b.text(s.Plane()), Rocks: s.Ways > 1}
	for _, p := range s.Pieces {
		v.How = append(v.How, b.text(say.Sentence(p.How)))
	}
	for i := range s.Bearings {
		at := &s.Bearings[i]
		row := BearingView{
			Number: b.text(say.That("%[1]s", i+1)), Place: b.text(at.Words), What: b.text(at.What()),
			Gap: b.text(say.That("%[1]s", at.Gaps[0])), Other: none, U: none,
		}
		if at.Known {
			row.U = Text(b.decimal(float64(at.U)))
		}
		if len(at.Gaps) > 1 {
			row.Other = b.text(others(at.Gaps[1:]))
		}
		v.Bearings = append(v.Bearings, row)
	}
	if d, ok := drawing.Tops(b.top(r, s), b.sys, drawingWidth); ok {
		b.pictures[name] = picture{d}
		v.Drawing = &DrawingView{Name: name, Alt: Text(d.Alt)}
	}
	return v
}

// others are the gaps the other ways.
func others(gaps []length.Length) say.Text {
	all := make([]say.Text, len(gaps))
	for i, g := range gaps {
		all[i] = say.That("%[1]s", g)
	}
	return say.Or(all...)
}

// top turns pieces that meet into what there is to draw: with the cabinets under
// them and beside them.
func (b *viewer) top(r *checks.Release, s *checks.TopSet) drawing.Top {
	t := drawing.Top{Elevation: drawing.Elevation{Room: r.Room, Name: r.Elevation, Language: b.words.Language}, X: s.MiddleX, Y: s.MiddleY}
	for _, p := range s.Pieces {
		t.Pieces = append(t.Pieces, drawing.Piece{From: p.From, To: p.To, Back: p.Back, Out: p.Out})
	}
	from, to := s.Pieces[0].From, s.Pieces[len(s.Pieces)-1].To
	for _, u := range r.Units {
		if u.Cabinet != nil && u.X < to && u.X+u.Width > from {
			t.Units = append(t.Units, drawing.Unit{Tag: u.Tag, X: u.X, Width: u.Width, Depth: u.Depth, Behind: u.Behind})
		}
	}
	for i, at := range s.Bearings {
		m := drawing.Mark{X: at.X, Y: at.Y, Tag: at.Unit, Number: i + 1, Carries: at.Rise == 0, Put: at.Shim, Words: b.words.Text(at.Words)}
		if at.Do == checks.TurnBolt || at.Do == checks.ClosedOff {
			m.Raise = at.Rise
		}
		t.Marks = append(t.Marks, m)
	}
	return t
}

// releasedTops says of an elevation whose tops were released by whom, how they
// rest, and what to shim; nothing of one that was not.
func (b *viewer) releasedTops(releases []checks.Release, elevation string) (all []Text) {
	for i := range releases {
		r := &releases[i]
		if r.Elevation != elevation || !r.IsReleased() {
			continue
		}
		all = append(all, b.text(r.Released.Finding))
		for k := range r.Sets {
			for _, p := range r.Sets[k].Pieces {
				all = append(all, b.text(say.Sentence(p.How)))
			}
			if shims := r.Sets[k].Shims(); !shims.Empty() {
				all = append(all, b.text(shims))
			}
		}
	}
	return all
}

// NewRelease makes the release pages of the elevations that keep wants, nil for
// all. No template of a firm stands in place of what is signed for there.
func NewRelease(found *checks.Findings, record []byte, o Options, keep func(room, elevation string) bool) (*Report, error) {
	v, pictures := newReleaseView(found, keep, o.language)
	words := say.Writer{Language: o.language}
	r := &Report{
		ready: v.Ready, pictures: pictures, record: record, options: o,
		title: words.Text(say.That("Release for tops: %[1]s", say.Name(v.Project))), subject: string(v.Answer),
		running: words.Words("Release for tops"), project: string(v.Project),
	}
	err := r.assemble("", nil, []part{{"fixed/release.md", v}}, cautions)
	return r, err
}
