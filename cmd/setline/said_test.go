package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/types"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const sayPath = "setline.example/checks/say"

// writtenEarly lists the functions outside the package of texts that make a
// string of words of our own, and how often: there they could be glued together
// to what no other language can say. What is not needed here fails too.
var writtenEarly = map[string]int{
	"checks.Title": 1, // a name of a rule is a constant, declared once
}

// TestEveryText goes through every place where a text is made. Its formats are
// constants, one at least for every call; they have a verb for every argument
// and no other; arguments have the types that can be written; what is no
// constant is never taken for words of our own, nor a constant for a name that
// somebody typed; and no text becomes a string before it is written.
func TestEveryText(t *testing.T) {
	long(t)
	texts, early := 0, map[string][]string{}
	for _, p := range typedPackages(t) {
		if p.name == "checks/say" {
			continue
		}
		c := &textCheck{typedPackage: p, early: early}
		c.check()
		texts += c.texts
		for _, wrong := range c.wrong {
			t.Error(wrong)
		}
	}
	if texts < 200 {
		t.Errorf("found %d texts, expected those of all rules", texts)
	}
	for _, name := range slices.Sorted(maps.Keys(early)) {
		if len(early[name]) > writtenEarly[name] {
			t.Errorf("%s makes a string of words of our own:\n\t%s\nkeep it a text until it is written", name, strings.Join(early[name], "\n\t"))
		}
	}
	for name, n := range writtenEarly {
		if len(early[name]) < n {
			t.Errorf("writtenEarly allows %s %d, and it has %d", name, n, len(early[name]))
		}
	}
}

// textCheck goes through one package.
type textCheck struct {
	*typedPackage
	texts    int
	wrong    []string
	early    map[string][]string // by function
	function string
}

func (c *textCheck) check() {
	for _, f := range c.files {
		for _, d := range f.Decls {
			c.function = c.name + " (at the top)"
			if fn, ok := d.(*ast.FuncDecl); ok {
				c.function = c.name + "." + fn.Name.Name
			}
			ast.Inspect(d, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok {
					c.call(call)
				}
				return true
			})
		}
	}
}

func (c *textCheck) fail(at ast.Node, format string, args ...any) {
	c.wrong = append(c.wrong, fmt.Sprintf("%s: %s", c.fset.Position(at.Pos()), fmt.Sprintf(format, args...)))
}

func (c *textCheck) call(call *ast.CallExpr) {
	if to := c.info.Types[call.Fun]; to.IsType() {
		c.conversion(call, to.Type)
		return
	}
	fn, _ := c.called(call).(*types.Func)
	if fn == nil || fn.Pkg() == nil {
		return
	}
	switch name := fn.FullName(); {
	case name == sayPath+".That":
		c.text(call, call.Args[:1], call.Args[1:], 0)
	case name == sayPath+".Count":
		c.text(call, call.Args[1:3], call.Args[3:], 1)
	case name == "("+sayPath+".Text).String":
		c.wroteEarly(call)
	case fn.Pkg().Path() == "fmt":
		for _, a := range call.Args {
			if kind := typeName(c.info.TypeOf(a)); kind == sayPath+".Text" || kind == sayPath+".Words" {
				c.wroteEarly(a)
			}
		}
	}
}

func (c *textCheck) wroteEarly(at ast.Node) {
	c.early[c.function] = append(c.early[c.function], c.fset.Position(at.Pos()).String())
}

// called is the function or method that a call names.
func (c *textCheck) called(call *ast.CallExpr) types.Object {
	switch fun := ast.Unparen(call.Fun).(type) {
	case *ast.Ident:
		return c.info.Uses[fun]
	case *ast.SelectorExpr:
		return c.info.Uses[fun.Sel]
	}
	return nil
}

// conversion looks at what is taken for words of our own or for a name, and at
// words that become a string.
func (c *textCheck) conversion(call *ast.CallExpr, to types.Type) {
	from := c.info.Types[call.Args[0]]
	switch isConstant := from.Value != nil; {
	case typeName(to) == sayPath+".Words" && !isConstant:
		c.wroteEarly(call)
	case typeName(to) == sayPath+".Name" && isConstant:
		c.fail(call, "%s is a constant, and no name that somebody typed", from.Value)
	case types.Identical(to, types.Typ[types.String]) && typeName(from.Type) == sayPath+".Words":
		c.wroteEarly(call)
	}
}

var verb = regexp.MustCompile(`%(\[([1-9])\]s)?`)

// text looks at one text; first arguments stand before those in args.
func (c *textCheck) text(call *ast.CallExpr, formats, args []ast.Expr, first int) {
	c.texts++
	if call.Ellipsis.IsValid() {
		c.fail(call, "the arguments of a text are a list, so that nobody can see whether they fit its format")
		return
	}
	for _, a := range args {
		switch kind := typeName(types.Default(c.info.TypeOf(a))); kind {
		case sayPath + ".Text", sayPath + ".Words", sayPath + ".Name", sayPath + ".Inches", sayPath + ".Decimal", "setline.example/schema.Date", "setline.example/schema/length.Length", "int":
		default:
			c.fail(a, "a %s in a text, expected a text, words, a name, a date, a length, a decimal or an int", kind)
		}
	}
	for _, f := range formats {
		values, ok := c.constants(f, 0)
		if !ok || len(values) == 0 {
			c.fail(f, "a format that is no constant")
		}
		for _, v := range values {
			if why := wrongVerbs(v, first, first+len(args)); why != "" {
				c.fail(f, "%q %s", v, why)
			}
		}
	}
}

// wrongVerbs says what is wrong with the verbs of a format of n arguments, of
// which it may leave out the first few.
func wrongVerbs(format string, first, n int) string {
	used := make([]bool, n)
	for _, m := range verb.FindAllStringSubmatch(strings.ReplaceAll(format, "%%", ""), -1) {
		i, err := strconv.Atoi(m[2])
		if err != nil || i > n {
			return fmt.Sprintf("has the verb %q, expected %%[1]s to %%[%d]s", m[0], n)
		}
		used[i-1] = true
	}
	if i := slices.Index(used[first:], false); i >= 0 {
		return fmt.Sprintf("leaves out argument %d", first+i+1)
	}
	return ""
}

// constants are all values that an expression can have, where they are
// constants: of a variable those that are assigned to it, of a parameter those
// that the package's calls give it.
func (c *textCheck) constants(e ast.Expr, depth int) (all []string, ok bool) {
	if v := c.info.Types[e].Value; v != nil {
		return []string{constant.StringVal(v)}, true
	}
	id, isName := ast.Unparen(e).(*ast.Ident)
	if !isName || depth > 3 {
		return nil, false
	}
	object := c.info.ObjectOf(id)
	ok = true
	add := func(e ast.Expr) {
		values, constant := c.constants(e, depth+1)
		all, ok = append(all, values...), ok && constant
	}
	for _, f := range c.files {
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.AssignStmt:
				for i, l := range n.Lhs {
					if name, isName := l.(*ast.Ident); isName && c.info.ObjectOf(name) == object {
						if len(n.Lhs) != len(n.Rhs) {
							ok = false
							continue
						}
						add(n.Rhs[i])
					}
				}
			case *ast.CallExpr:
				if fn, isFunc := c.called(n).(*types.Func); isFunc {
					for i := range fn.Signature().Params().Len() {
						if fn.Signature().Params().At(i) == object && i < len(n.Args) {
							add(n.Args[i])
						}
					}
				}
			}
			return true
		})
	}
	return all, ok
}

// typeName is the path and name of a type that has one.
func typeName(t types.Type) string {
	if t == nil {
		return ""
	}
	return types.TypeString(t, nil)
}
