package pdf

import (
	"slices"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"
)

// headingSizes are the sizes of headings 1 to 6, in points.
var headingSizes = [7]float64{1: 17, 13, 11, bodySize, bodySize, bodySize}

// outlineDepth is the lowest level of heading that enters the outline.
const outlineDepth = 4

// findHeadings notes the slugs of a piece of a part, so that links may lead forward.
func (l *Layout) findHeadings(part int, tree ast.Node) {
	for len(l.found) <= part {
		l.found = append(l.found, headings{slugs: map[string]*heading{}})
	}
	found := &l.found[part]
	for _, h := range headingsIn(tree) {
		to := &heading{level: -1}
		found.all = append(found.all, to)
		if id, ok := h.AttributeString("id"); ok {
			if id, ok := id.([]byte); ok {
				found.slugs[string(id)] = to
			}
		}
	}
}

// knowHeadings gives the headings of the piece that is laid out next: those that
// links may lead to, where any was looked for.
func (l *Layout) knowHeadings(part int, tree ast.Node) {
	clear(l.nodes)
	for _, h := range headingsIn(tree) {
		to := &heading{level: -1}
		if part < len(l.found) && len(l.found[part].all) > 0 {
			to, l.found[part].all = l.found[part].all[0], l.found[part].all[1:]
		}
		l.nodes[h] = to
	}
}

func headingsIn(tree ast.Node) []*ast.Heading {
	var all []*ast.Heading
	_ = ast.Walk(tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && entering {
			all = append(all, h)
		}
		return ast.WalkContinue, nil
	})
	return all
}

func (l *Layout) startPart(part int) {
	l.part, l.body = part, bodyText
	if slices.Contains(l.small, part) {
		l.body = smallText
	}
	l.fresh = part > 0 && slices.Contains(l.newPages, part)
	l.space(paraGap)
	if slices.Contains(l.whole, part) {
		l.held = len(l.slabs)
	}
}

// endPart ends a part that stands on one page where it can.
func (l *Layout) endPart() {
	if l.held < 0 {
		return
	}
	if own := l.slabs[l.held:]; len(own) > 0 {
		for i, s := range own {
			if i > 0 {
				own[0].part += s.gap
			}
			own[0].part += s.height
		}
	}
	l.held = -1
	l.paginate(false)
}

// findHeading looks in the part being laid out first, then in the others in order.
func (l *Layout) findHeading(slug string) *heading {
	if l.part < len(l.found) {
		if h := l.found[l.part].slugs[slug]; h != nil {
			return h
		}
	}
	for _, p := range l.found {
		if h := p.slugs[slug]; h != nil {
			return h
		}
	}
	return nil
}

func (r *blocks) heading(_ util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Heading)
	level := min(max(n.Level, 1), 6)
	if entering {
		r.pushStyle(func(s *style) { s.bold = true })
		return ast.WalkContinue, nil
	}
	r.popStyle()
	g := r.takeText()
	to := r.nodes[node]
	to.text = spell(g)
	to.markdown = level
	size := headingSizes[level]
	r.space(float64(size * 1.15))
	first := len(r.slabs)
	if len(g) > 0 {
		r.addLines(g, size, 1.25, r.tags.add(r.rank(level), r.inside))
	}
	if first == len(r.slabs) {
		r.add(&slab{}) // a heading without text can still be a link's target
	}
	for _, s := range r.slabs[first:] {
		s.keep = true
	}
	r.slabs[first].title = to
	if to.text != "" && level <= outlineDepth {
		to.level = r.enterOutline(level)
	}
	if level == 1 {
		x, w := r.area.x, r.area.w
		r.space(2)
		r.add(&slab{height: 1.5, keep: true, draw: func(p *painter, y float64) {
			p.decorates()
			p.rule(x, y+0.75, w, 0.9, accent)
		}})
		r.space(7)
		return ast.WalkContinue, nil
	}
	r.space(3.5)
	return ast.WalkContinue, nil
}

// rank returns what a heading of the given level is for those who are read to:
// one below the nearest heading above it of a lower level, so that none is
// skipped (14.8.4.3.2), whatever the Markdown does.
func (l *Layout) rank(level int) role {
	for len(l.ranks) > 0 && l.ranks[len(l.ranks)-1] >= level {
		l.ranks = l.ranks[:len(l.ranks)-1]
	}
	l.ranks = append(l.ranks, level)
	return roleH1 + role(len(l.ranks)-1)
}

// enterOutline returns the depth in the outline of a heading of the given
// level: one below the nearest heading above it, however many levels the
// Markdown skips.
func (l *Layout) enterOutline(level int) int {
	for len(l.outline) > 0 && l.outline[len(l.outline)-1] >= level {
		l.outline = l.outline[:len(l.outline)-1]
	}
	l.outline = append(l.outline, level)
	return len(l.outline) - 1
}

// spell returns glyphs as a string, for the outline.
func spell(g []glyph) string {
	r := make([]rune, len(g))
	for i, x := range g {
		r[i] = x.r
	}
	return plain(string(r))
}
