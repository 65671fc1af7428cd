package report

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"text/template"
	"text/template/parse"
)

// Limits on a template that is not Setline's own. A receiver executes it, as it
// travels in the report, so that it has to end, and to take no more than a
// report can need, whatever stands in it. Steps and bytes are counted and no
// clock is asked: what is accepted once is accepted always. A step is a
// character of what is executed, and each of its nodes is stepsOfNode.
//
// How much a report needs goes with its record: our own template takes one to
// five steps for each of its bytes, and writes up to three. A firm's may take
// several times that, and a hostile one so no more than a few times what the
// record itself does.
const (
	stepsOfNode  = 20
	leastSteps   = 10_000_000
	stepsOfByte  = 16       // of the record
	leastBytes   = 64 << 20 // written, and in texts that functions make, each all together
	bytesOfByte  = 2        // of the record
	maxTextBytes = 1 << 20  // one of them
	maxActions   = 20_000
	maxDepth     = 100 // of bodies in each other, with those of templates that it names
)

var (
	errSteps   = errors.New("it takes more steps than a report of this record needs")
	errBody    = errors.New("it writes more than a report of this record needs")
	errMade    = fmt.Errorf("it makes a text of more than %d MiB, or more of them than a report of this record needs", maxTextBytes>>20)
	errFormat  = errors.New("printf takes a width of at most three digits, and neither * nor [")
	errDepth   = fmt.Errorf("its parts lie more than %d deep in each other, or in themselves", maxDepth)
	errActions = fmt.Errorf("it has more than %d actions", maxActions)
	errCall    = errors.New("nothing can be called")
)

// stepName is the function that is put before every body, to count it.
const stepName = "setlineStep"

// meter counts down what a template may take.
type meter struct{ steps, made, written int }

// meterFor gives a template what a report of a record of so many bytes needs.
func meterFor(record int) *meter {
	bytes := leastBytes + bytesOfByte*record
	return &meter{leastSteps + stepsOfByte*record, bytes, bytes}
}

func (m *meter) step(n int) (string, error) {
	if m.steps -= n; m.steps < 0 {
		return "", errSteps
	}
	return "", nil
}

// bounded is a function of text/template whose texts are counted.
func (m *meter) bounded(f func(...any) string) func(...any) (string, error) {
	return func(values ...any) (string, error) {
		text := f(values...)
		if m.made -= len(text); len(text) > maxTextBytes || m.made < 0 {
			return "", errMade
		}
		return text, nil
	}
}

// longFormat is a verb that makes much of little: a great width, or one that is
// given, or a value used again.
var longFormat = regexp.MustCompile(`%[-+# 0-9.]*(?:[0-9]{4}|[*\[])`)

func (m *meter) printf(format string, values ...any) (string, error) {
	if longFormat.MatchString(format) {
		return "", errFormat
	}
	return m.bounded(func(values ...any) string { return fmt.Sprintf(format, values...) })(values...)
}

// functions take the places of those of text/template that make texts, or that
// could reach something. None of them is there beside what text/template has.
func (m *meter) functions() template.FuncMap {
	return template.FuncMap{
		stepName: m.step, "printf": m.printf,
		"call":  func(...any) (string, error) { return "", errCall },
		"print": m.bounded(fmt.Sprint), "println": m.bounded(fmt.Sprintln),
		"html": m.bounded(template.HTMLEscaper), "js": m.bounded(template.JSEscaper), "urlquery": m.bounded(template.URLQueryEscaper),
	}
}

// executeBounded executes a firm's template within the limits of a record of so
// many bytes.
func executeBounded(name, source string, data any, record int) ([]byte, error) {
	if strings.Count(source, "{{") > maxActions {
		return nil, fmt.Errorf("template %s: %w", name, errActions)
	}
	m := meterFor(record)
	t, err := template.New(name).Funcs(m.functions()).Parse(source)
	if err != nil {
		return nil, fmt.Errorf("template %s: %w", name, err)
	}
	b := bodies{t: t, depths: map[string]int{}}
	if b.depthOf(name); b.deepest > maxDepth {
		return nil, fmt.Errorf("template %s: %w", name, errDepth)
	}
	for _, each := range t.Templates() {
		if each.Tree != nil {
			countBody(each.Root)
		}
	}
	out := limited{meter: m}
	if err := t.Execute(&out, data); err != nil {
		return nil, fmt.Errorf("template %s: %w", name, err)
	}
	return out.Bytes(), nil
}

// bodies finds how deep the bodies of a template lie in each other. An error
// climbs out of them one by one, which takes a time that grows with the square.
type bodies struct {
	t       *template.Template
	depths  map[string]int // of templates that were looked at; 0 while one is
	deepest int
}

// depthOf returns how deep the bodies lie in a template, which is deeper than
// any may be where it names itself.
func (b *bodies) depthOf(name string) int {
	if d, known := b.depths[name]; known {
		if d == 0 {
			d = maxDepth + 1
		}
		return b.keep(d)
	}
	named := b.t.Lookup(name)
	if named == nil || named.Tree == nil {
		return 0
	}
	b.depths[name] = 0
	d := b.depth(named.Root)
	b.depths[name] = d
	return d
}

func (b *bodies) keep(d int) int {
	b.deepest = max(b.deepest, d)
	return min(d, maxDepth+1)
}

func (b *bodies) depth(body *parse.ListNode) int {
	deepest := 0
	if body != nil {
		for _, node := range body.Nodes {
			d := 0
			switch node := node.(type) {
			case *parse.IfNode:
				d = max(b.depth(node.List), b.depth(node.ElseList))
			case *parse.WithNode:
				d = max(b.depth(node.List), b.depth(node.ElseList))
			case *parse.RangeNode:
				d = max(b.depth(node.List), b.depth(node.ElseList))
			case *parse.TemplateNode:
				d = b.depthOf(node.Name)
			}
			deepest = max(deepest, d)
		}
	}
	return b.keep(deepest + 1)
}

// countBody puts a step before what a body holds, which takes stepsOfNode,
// as many for each node, and one for each character, without those of the
// bodies in it.
func countBody(body *parse.ListNode) {
	if body == nil {
		return
	}
	n := stepsOfNode
	for _, node := range body.Nodes {
		n += stepsOfNode
		switch node := node.(type) {
		case *parse.TextNode:
			n += len(node.Text) / 64
		case *parse.IfNode:
			n += countBranch(&node.BranchNode)
		case *parse.WithNode:
			n += countBranch(&node.BranchNode)
		case *parse.RangeNode:
			n += countBranch(&node.BranchNode)
		default:
			n += len(node.String())
		}
	}
	step := template.Must(template.New("").Funcs(new(meter).functions()).Parse(fmt.Sprintf("{{%s %d}}", stepName, n)))
	body.Nodes = append([]parse.Node{step.Root.Nodes[0]}, body.Nodes...)
}

// countBranch counts the bodies of a branch, and returns the steps of its head.
func countBranch(b *parse.BranchNode) int {
	countBody(b.List)
	countBody(b.ElseList)
	return len(b.Pipe.String())
}

// limited is a buffer that takes no more than a body can have.
type limited struct {
	bytes.Buffer
	*meter
}

func (l *limited) Write(p []byte) (int, error) {
	if l.written -= len(p); l.written < 0 {
		return 0, errBody
	}
	return l.Buffer.Write(p)
}
