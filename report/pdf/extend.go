package pdf

import (
	"fmt"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// Extension adds kinds of node to the Markdown and to the pages.
type Extension struct {
	// Parser adds parsers or tree transformers that make the new nodes. It may be nil.
	Parser goldmark.Extender

	// Render returns the functions that lay the new nodes out, given the
	// document's page flow. They win over the built-in ones for the same kind.
	// Their BufWriter is not connected to anything. Render may be nil.
	Render func(*Layout) renderer.NodeRenderer
}

// The package's own renderers have this priority; extensions come first.
const corePriority = 1000

func newMarkdown(ext []Extension) goldmark.Markdown {
	md := goldmark.New(
		goldmark.WithParserOptions(
			parser.WithAutoHeadingID(),
			parser.WithParagraphTransformers(util.Prioritized(extension.NewTableParagraphTransformer(), 200)),
			parser.WithASTTransformers(util.Prioritized(extension.NewTableASTTransformer(), 0)),
		),
	)
	for _, e := range ext {
		if e.Parser != nil {
			e.Parser.Extend(md)
		}
	}
	return md
}

// ParseMarkdown parses src as [Write] parses a part. The segments of the tree
// refer to src, which must not change while the tree is in use.
func ParseMarkdown(src []byte, ext ...Extension) ast.Node {
	return newMarkdown(ext).Parser().Parse(text.NewReader(src))
}

// layOut parses and lays out every part of d, piece by piece, and gives each page
// to draw as soon as it is known what stands on it.
func layOut(d Document, least int, begun func(*Layout) (draw func(page))) error {
	l := newLayout(d.Paper)
	l.pictures, l.newPages, l.whole, l.small = d.Pictures, d.NewPages, d.Whole, d.SmallParts
	l.draw = begun(l)
	nodes := []util.PrioritizedValue{
		util.Prioritized(&blocks{Layout: l}, corePriority),
		util.Prioritized(&inlines{Layout: l}, corePriority),
		util.Prioritized(&tables{Layout: l}, corePriority),
	}
	for i, e := range d.Extensions {
		if e.Render != nil {
			nodes = append(nodes, util.Prioritized(e.Render(l), corePriority-1-i))
		}
	}
	s := &source{Document: d, md: newMarkdown(d.Extensions), least: least, known: kinds{ast.KindDocument: true, ast.KindLinkReferenceDefinition: true}}
	for _, n := range nodes {
		n.Value.(renderer.NodeRenderer).RegisterFuncs(s.known)
	}
	// A link may lead forward, and only links that lead somewhere become links.
	if linksWithin(d.Parts) {
		if err := s.each(func(part int, _ []byte, tree ast.Node) error { l.findHeadings(part, tree); return nil }); err != nil {
			return err
		}
	}
	r := renderer.NewRenderer(renderer.WithNodeRenderers(nodes...))
	last := -1
	err := s.each(func(part int, src []byte, tree ast.Node) error {
		if part != last {
			l.endPart()
			l.startPart(part)
			last = part
		}
		l.knowHeadings(part, tree)
		if err := r.Render(discard{}, src, tree); err != nil {
			return fmt.Errorf("lay out part %d: %w", part+1, err)
		}
		l.paginate(false)
		return nil
	})
	if err != nil {
		return err
	}
	l.flushMarks()
	l.endPart()
	l.paginate(true)
	if l.err != nil {
		return fmt.Errorf("%w: %w", ErrDocument, l.err)
	}
	return nil
}

// source gives the Markdown of a document piece by piece.
type source struct {
	Document
	md    goldmark.Markdown
	known kinds
	least int // of a piece, in bytes
}

// each parses one piece after the other.
func (s *source) each(do func(part int, src []byte, tree ast.Node) error) error {
	for i, part := range s.Parts {
		ids := parser.NewContext().IDs() // of the whole part
		for _, src := range pieces(part, s.least) {
			tree := s.md.Parser().Parse(text.NewReader(src), parser.WithContext(parser.NewContext(parser.WithIDs(ids))))
			if err := s.known.check(tree); err != nil {
				return fmt.Errorf("%w: part %d: %w", ErrDocument, i+1, err)
			}
			if err := do(i, src, tree); err != nil {
				return err
			}
		}
	}
	return nil
}

// kinds are the kinds of node that have a renderer.
type kinds map[ast.NodeKind]bool

// Register implements [renderer.NodeRendererFuncRegisterer].
func (k kinds) Register(kind ast.NodeKind, _ renderer.NodeRendererFunc) { k[kind] = true }

// check refuses nodes without a renderer: their text would be missing from the pages.
func (k kinds) check(tree ast.Node) error {
	return ast.Walk(tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering && !k[n.Kind()] {
			return ast.WalkStop, fmt.Errorf("no renderer for a node of kind %s; add one to the extension that makes it", n.Kind())
		}
		return ast.WalkContinue, nil
	})
}

// discard is the writer of the node renderers, which write to the Layout instead.
type discard struct{}

func (discard) Write(p []byte) (int, error)       { return len(p), nil }
func (discard) WriteString(s string) (int, error) { return len(s), nil }
func (discard) WriteByte(byte) error              { return nil }
func (discard) WriteRune(rune) (int, error)       { return 1, nil }
func (discard) Available() int                    { return 0 }
func (discard) Buffered() int                     { return 0 }
func (discard) Flush() error                      { return nil }
