package pdf

import (
	"slices"
	"testing"
)

// stands lays out slabs one below another and returns what stands on each
// page, by the names of the slabs.
func stands(build func(l *Layout, named func(name string, s *slab) *slab)) [][]string {
	l := newLayout(Letter)
	names := map[*slab]string{}
	build(l, func(name string, s *slab) *slab {
		s = l.add(s)
		names[s] = name
		return s
	})
	var pages [][]string
	l.draw = func(p page) {
		var page []string
		for _, it := range p.items {
			page = append(page, names[it.slab])
		}
		pages = append(pages, page)
	}
	l.paginate(true)
	return pages
}

// A Letter page holds 685 pt: the picture takes 300, a row 50 and a head 20, so
// that a picture below 450 pt would leave 235 pt white.
func TestFloat(t *testing.T) {
	for _, c := range []struct {
		name   string
		before float64 // height of what stands above
		title  bool    // a heading stands right above the picture
		keep   int     // that row and the next stay together; -1 for none
		table  bool    // rows follow, else text
		want   [][]string
	}{
		{"rows fill the page", 450, false, -1, true, [][]string{{"above", "head", "row 0", "row 1", "row 2", "row 3"}, {"picture", "head", "row 4", "row 5"}}},
		{"a heading stays with the rows", 430, true, -1, true, [][]string{{"above", "title", "head", "row 0", "row 1", "row 2", "row 3"}, {"picture", "head", "row 4", "row 5"}}},
		{"what belongs together is not cut", 450, false, 3, true, [][]string{{"above", "head", "row 0", "row 1", "row 2"}, {"picture", "head", "row 3", "row 4", "row 5"}}},
		{"a picture that fits stays", 300, false, -1, true, [][]string{{"above", "picture", "head", "row 0"}, {"head", "row 1", "row 2", "row 3", "row 4", "row 5"}}},
		{"a small rest stays white", 610, false, -1, true, [][]string{{"above"}, {"picture", "head", "row 0", "row 1", "row 2", "row 3", "row 4", "row 5"}}},
		{"text is not passed", 400, false, -1, false, [][]string{{"above"}, {"picture", "row 0", "row 1", "row 2", "row 3", "row 4", "row 5"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := stands(func(l *Layout, named func(string, *slab) *slab) {
				named("above", &slab{height: c.before})
				if c.title {
					named("title", &slab{height: 20, keep: true, title: &heading{markdown: 4}})
				}
				named("picture", &slab{height: 300, floats: true})
				var head *slab
				if c.table {
					head = named("head", &slab{height: 20, keep: true})
				}
				for i := range 6 {
					named("row "+string(rune('0'+i)), &slab{height: 50, head: head, keep: i == c.keep})
				}
			})
			if !slices.EqualFunc(got, c.want, slices.Equal) {
				t.Errorf("found  %q\nwant   %q", got, c.want)
			}
		})
	}
}
