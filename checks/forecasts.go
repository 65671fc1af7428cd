package checks

import (
	"slices"
	"time"

	"setline.example/checks/forecast"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Forecast is when a run leaves level if it goes on as it did between two
// visits, and by when to measure again. Nothing says that it will go on.
type Forecast struct {
	From, To  schema.Date // of the first and last visit since bolts were last turned, as far as the readings show
	Why       forecast.Why
	Of        say.Text    // what leaves level: a cabinet, or two
	About     schema.Date // "" where no date can be told
	NotBefore schema.Date // "" where not even that
	Again     schema.Date // by when to measure again
}

// foretelling is the corners of a run on the visits that read them all.
type foretelling struct {
	*bench
	corners []*point // as read on the last of them
	visits  []int    // positions in the record, in time order
	history forecast.History
}

// mostForetold is how many visits back a forecast looks.
const mostForetold = 60

// forecast is that of the run of an elevation which may leave level first; nil
// where no run was read on two days.
func (b *bench) forecast(e *elevation) (first *Forecast) {
	for _, run := range e.runs {
		f := b.forecastOf(cabinetsOf(run))
		if f != nil && (first == nil || f.before(first)) {
			first = f
		}
	}
	return first
}

// before reports whether it is the one to be told of two.
func (f *Forecast) before(g *Forecast) bool {
	if (f.NotBefore == "") != (g.NotBefore == "") {
		return f.NotBefore != ""
	}
	return f.NotBefore < g.NotBefore
}

func (b *bench) forecastOf(run []*unit) *Forecast {
	t := &foretelling{bench: b}
	if !t.gather(run) {
		return nil
	}
	day := func(v int) schema.Date { return b.rec.Measured.Visits[v].Date }
	f := &Forecast{From: day(t.visits[0]), To: day(t.visits[len(t.visits)-1])}
	if f.From == f.To {
		return nil
	}
	if f.Why = t.history.Plan(); f.Why == forecast.Dated && !t.date(f) {
		return nil
	}
	return f
}

// gather finds the corners of a run and the visits that read all of them, from
// the last back to where its bolts were turned or one of its cabinets moved by
// itself. It reports whether there are any of which the uncertainty is known.
func (t *foretelling) gather(run []*unit) bool {
	var visits []int
	for _, u := range run {
		t.corners = append(t.corners, pointersTo(u.tops.points)...)
		for i := range u.asCab.all {
			if v := u.asCab.all[i].visit; !slices.Contains(visits, v) {
				visits = append(visits, v)
			}
		}
	}
	inTime := slices.DeleteFunc(slices.Clone(t.facts.visits), func(v int) bool { return !slices.Contains(visits, v) })
	for _, v := range slices.Backward(inTime) {
		if len(t.visits) == mostForetold || !t.take(v) {
			break
		}
	}
	return len(t.visits) > 0
}

func pointersTo(points []point) []*point {
	all := make([]*point, len(points))
	for i := range points {
		all[i] = &points[i]
	}
	return all
}

// take adds an earlier visit; it reports whether to look farther back. One that
// read too few of the corners is passed over.
func (t *foretelling) take(v int) bool {
	read := t.readingDoubt(v, "heights")
	var corners []*point
	var kept []forecast.Corner
	for i, p := range t.corners {
		down, ok := topOn(p, v)
		if !ok {
			continue
		}
		c := forecast.Corner{X: float64(p.x), Y: float64(p.y)}
		if len(t.visits) > 0 {
			c = t.history.Corners[i]
		}
		c.Up = append([]float64{-float64(down)}, c.Up...)
		corners, kept = append(corners, p), append(kept, c)
	}
	if len(corners) < 4 || !read.known {
		return true
	}
	day := forecast.Visit{
		Day: daysBetween("2000-01-01", t.rec.Measured.Visits[v].Date), Read: read.u, Tilt: stated(t.readers.of(v, "heights")),
	}
	h := forecast.History{Visits: append([]forecast.Visit{day}, t.history.Visits...), Corners: kept, K: jointCoverage(len(kept))}
	if len(t.visits) > 0 && (t.turned(corners, v) || !h.OnePlane(0, 1)) {
		return false
	}
	t.history, t.corners, t.visits = h, corners, append([]int{v}, t.visits...)
	return true
}

// topOn is the reading of a top corner on a visit.
func topOn(p *point, visit int) (length.Length, bool) {
	for i := range p.unit.asCab.all {
		if s := &p.unit.asCab.all[i]; s.visit == visit {
			if v := theTops.read(s.seen, p.at.name); v != nil {
				return *v, true
			}
		}
	}
	return 0, false
}

// turned reports whether bolts were turned, or corners packed, after a visit and
// up to the next one taken, as far as that was recorded.
func (t *foretelling) turned(corners []*point, visit int) bool {
	for _, p := range corners {
		was, is := seenOn(p, visit), seenOn(p, t.visits[0])
		if was == nil || is == nil {
			continue
		}
		a, b := theExtension.read(was, p.at.name), theExtension.read(is, p.at.name)
		u := t.readingDoubt(visit, "extensions").and(t.readingDoubt(t.visits[0], "extensions")).u
		if a != nil && b != nil && float64(apart(*a, *b)) > coverage*u {
			return true
		}
		a, b = thePacking.read(was, p.at.name), thePacking.read(is, p.at.name)
		if b != nil && (a == nil && *b != 0 || a != nil && *a != *b) {
			return true
		}
	}
	return false
}

func seenOn(p *point, visit int) *schema.CabinetSeen {
	for i := range p.unit.asCab.all {
		if s := &p.unit.asCab.all[i]; s.visit == visit {
			return s.seen
		}
	}
	return nil
}

// fewCabinets is up to how many cabinets every two corners of a run are looked
// at. Of a longer one those of each cabinet are, and like corners of two.
const fewCabinets = 20

// date finds the two corners that may leave level first. It reports whether any
// two are within it yet.
func (t *foretelling) date(f *Forecast) bool {
	many := len(t.corners) > 4*fewCabinets
	f.Why = forecast.Faint
	var about, notBefore, again, straight int
	for i, p := range t.corners {
		for k := i + 1; k < len(t.corners); k++ {
			q := t.corners[k]
			last := len(t.visits) - 1
			limit := t.level.of(p, q)
			up := t.history.Corners[i].Up[last] - t.history.Corners[k].Up[last]
			if many && p.unit != q.unit && p.at.name != q.at.name || up > float64(limit) || -up > float64(limit) {
				continue
			}
			d := t.history.At(i, k, float64(limit))
			if d.Why == forecast.NotStraight {
				f.Why, f.Of = d.Why, say.Text{}
				return true
			}
			straight++
			if straight == 1 || d.NotBefore < notBefore {
				notBefore, again = d.NotBefore, d.Again
				if f.Why == forecast.Faint {
					f.Of = corneredBy(p, q)
				}
			}
			if d.Why == forecast.Dated && (f.Why == forecast.Faint || d.About < about) {
				f.Why, about, f.Of = forecast.Dated, d.About, corneredBy(p, q)
			}
		}
	}
	if straight == 0 {
		return false
	}
	f.NotBefore, f.Again = dayAfter(notBefore), dayAfter(again)
	if f.Why == forecast.Dated {
		f.About = dayAfter(about)
	}
	return true
}

// corneredBy names the cabinet that two corners are of, or both.
func corneredBy(p, q *point) say.Text {
	if p.unit == q.unit {
		return say.Name(p.unit.plan.Tag).Text()
	}
	return say.And(say.Name(p.unit.plan.Tag).Text(), say.Name(q.unit.plan.Tag).Text())
}

// dayAfter is the day so many days after the first of 2000.
func dayAfter(days int) schema.Date {
	return schema.Date(time.Date(2000, 1, 1+days, 0, 0, 0, 0, time.UTC).Format(time.DateOnly))
}

// Words say it as what it is.
func (f *Forecast) Words() say.Text {
	const no = "When it leaves level cannot be told: %[1]s"
	switch {
	case f.Why == forecast.FewDays:
		return say.That(no, say.That("since the bolts were last turned it was read on under three days"))
	case f.Why == forecast.FewCorners:
		return say.That(no, say.That("under four corners were read on every visit"))
	case f.Why == forecast.NotOnePlane:
		return say.That(no, say.That("the changes do not lie in one plane"))
	case f.Why == forecast.NotStraight:
		return say.That(no, say.That("between %[1]s and %[2]s it did not tilt along a straight line", f.From, f.To))
	case f.NotBefore == "":
		return say.Text{}
	case f.Why == forecast.Faint:
		return say.That("How fast it tilts is within its uncertainty between %[1]s and %[2]s, so that no date can be told; if it goes on so, %[3]s leaves level not before %[4]s; measure again by %[5]s; nothing here says that it will",
			f.From, f.To, f.Of, f.NotBefore, f.Again)
	}
	return say.That("If it goes on as between %[1]s and %[2]s, %[3]s leaves level about %[4]s; not before %[5]s; measure again by %[6]s; nothing here says that it will",
		f.From, f.To, f.Of, f.About, f.NotBefore, f.Again)
}

// told says of a result of movement what is to come, where that is worth telling:
// where something moved, or was read on three days.
func (f *Forecast) told(r *Result, rule *Rule) {
	moved := r.Outcome == Notice
	if f == nil || !moved && (f.Why == forecast.FewDays || f.Why == forecast.FewCorners) {
		return
	}
	r.Forecast = f
	r.Finding = say.Sentences(r.Finding, f.Words())
	if f.Why == forecast.Dated {
		r.Outcome = Notice
	}
	if r.Outcome == Notice && f.Again != "" {
		r.Remedy = say.Sentences(rule.Remedy.Text(), say.That("Measure again by %[1]s", f.Again))
	}
}
