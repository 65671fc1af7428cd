package report

import (
	"cmp"
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
)

// roomPage makes what the page of a room shows.
func (b *viewer) roomPage(v *checks.Verdict, r *RoomView, layouts []checks.Layout) RoomPage {
	p := RoomPage{Counts: b.counts(v)}
	var all []ResultView
	for _, g := range r.Groups {
		all = append(all, g.Results...)
		p.Photos = append(p.Photos, g.Photos...)
	}
	if r.Visited {
		b.fronts(&p, layouts, all)
	}
	p.Unplaced = unplaced(all, layouts)
	p.Worst, p.Plain = b.worst(all)
	for _, one := range all {
		if one.of.Concession >= 0 {
			c := &b.rec.Agreed.Concessions[one.of.Concession]
			p.Concessions = append(p.Concessions, ConcededView{one, Text(c.Reason), b.party(c.By), Text(c.Date)})
		}
	}
	for _, i := range b.rec.Agreed.OpenItems {
		if i.Room == v.Room.Name && i.Closed == nil {
			p.OpenItems = append(p.OpenItems, openItem(i))
		}
	}
	return p
}

// fronts draws the elevations of a room on its page: two abreast, the first
// photograph beside the last one where there is room; one by itself as wide as the
// page.
func (b *viewer) fronts(p *RoomPage, layouts []checks.Layout, all []ResultView) {
	width := float64(abreastWidth)
	photo := len(p.Photos) > 0 && p.Photos[0].Problem == ""
	if len(layouts) == 1 && !photo {
		width = drawingWidth
	}
	for i := range layouts {
		b.placed++
		p.Places = append(p.Places, b.places(layouts[i], b.placed, width, all)...)
	}
	if photo && len(p.Places)%2 == 1 {
		p.Beside, p.Photos = p.Photos[:1], p.Photos[1:]
	}
}

// counts says how many results of a room have each outcome.
func (b *viewer) counts(v *checks.Verdict) Text {
	var all []say.Text
	for _, o := range checks.Outcomes() {
		if n := v.Counts[o]; n > 0 {
			all = append(all, say.That("%[1]s %[2]s", n, o.Words()))
		}
	}
	return b.text(say.Commas(all...))
}

// unplaced are the faults of the punch list that no drawing can show.
func unplaced(all []ResultView, layouts []checks.Layout) (left []ResultView) {
	for _, r := range all {
		drawn := slices.ContainsFunc(layouts, func(l checks.Layout) bool {
			_, ok := faultAt(l, r)
			return ok
		})
		if r.number != 0 && !drawn {
			left = append(left, r)
		}
	}
	return left
}

// worst finds the worst measured value of each rule, and says of the rules that
// ask for no number how many hold.
func (b *viewer) worst(all []ResultView) (worst []WorstView, plain []PlainView) {
	rules := make([][]ResultView, len(b.rule)+1)
	for _, r := range all {
		n := b.rule[r.of.Rule.Name]
		rules[n] = append(rules[n], r)
	}
	for _, results := range rules {
		if len(results) == 0 {
			continue
		}
		outcomes := b.outcomesOf(results)
		first := slices.IndexFunc(results, func(r ResultView) bool { return r.measured })
		if first < 0 {
			plain = append(plain, PlainView{results[0].Rule, outcomes})
			continue
		}
		w := results[first]
		for _, r := range results[first+1:] {
			if r.measured && worse(r.of, w.of) {
				w = r
			}
		}
		worst = append(worst, WorstView{w, outcomes})
	}
	return worst, plain
}

// worse reports whether a measured result is worse than another of its rule.
func worse(a, b *checks.Result) bool {
	order := checks.Outcomes()
	return cmp.Or(
		cmp.Compare(slices.Index(order, a.Outcome), slices.Index(order, b.Outcome)),
		cmp.Compare(a.Margin.N, b.Margin.N),
		cmp.Compare(b.Value.N, a.Value.N),
	) < 0
}
