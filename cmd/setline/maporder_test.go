package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// anyOrder lists the functions that may go over a map although the test cannot
// see from the syntax that the order does not matter: how many such loops each
// has, and why none can reach output. What is not needed here fails too.
var anyOrder = map[string]struct {
	loops int
	why   string
}{
	"cmd/setline.countLengths":                     {1, "adds numbers, of which the sum is the same whichever comes first"},
	"report.sameShown":                             {1, "any tile that differs too much answers, whichever comes first"},
	"checks/compare.(*itemWalk).walk":              {2, "collects members under their names, and then goes over the names by number and letter, in which no two are alike"},
	"checks.newReaders":                            {1, "one instrument for a kind of reading is kept, and of two or more none"},
	"checks/compare.placed":                        {2, "a tag is planned once in a room, so that every entry is written once from each side"},
	"checks/compare.spotsIn":                       {2, "sorts the places by their names, in which no two are alike"},
	"checks/internal/rooms/generate.again":         {1, "writes every instrument anew under its own name"},
	"cmd/setline.(*unfinished).await":              {1, "takes unfinished files away, each for itself"},
	"report/sign/clock.Start":                      {1, "writes two files for tests, each for itself"},
	"report/fieldsheet/collect.(*reader).pairsOf":  {1, "keeps the greatest number of each line, whichever comes first"},
	"report/fieldsheet/collect.holds":              {1, "looks only, and says no where any says no"},
	"report/findings.(*text).tally":                {1, "adds up; Holds looks only"},
	"report/findings.ReadBaseline":                 {1, "keeps under each key the worse of two, whichever comes first"},
	"report/pdf/object.(Revision).written":         {1, "sorted by where objects begin, and those at the same place by number"},
	"report/pdf/object.(*File).readObjects":        {1, "sorted by offset, and objects at the same one by number"},
	"checks.newArrivals":                           {1, "sorts by room and part, of which no two are alike"},
	"report/fieldsheet/collect.(*Filling).refused": {1, "each answer is read into a place of its own"},
	"report/fieldsheet/live.(*Room).Judge":         {1, "each box is filled in for itself"},
	"report/pdf/object.(*form).table":              {1, "each object has a number, and with it a place, of its own"},
	"report/pdf/object.(Revision).Numbers":         {1, "sorts the numbers, of which no two are alike"},
	"schema.(*meaningCheck).arrived":               {1, problemsInOrder},
	"schema.(*meaningCheck).cabinetSeen":           {2, problemsInOrder},
	"schema.(*meaningCheck).catalog":               {4, problemsInOrder},
	"schema.(*meaningCheck).roomSeen":              {3, problemsInOrder},
	"schema.(*meaningCheck).visit":                 {2, problemsInOrder},
	"schema.plainNumbers":                          {1, "each value is written anew under its own name"},
	"schema.withoutHuge":                           {1, "each value is written anew under its own name"},
	"schema/generate.Generate":                     {1, "every type has another name"},
	"schema/intake.onlyMore":                       {1, "looks only, and says no where any says no"},
	"schema/intake.(*build).floor":                 {1, "sorts each line of readings for itself"},
	"schema/intake.bringNamed":                     {1, "each member has a pointer of its own"},
}

const problemsInOrder = "problems are put in the order of the file, in which every member has its own place"

// TestNoMapOrder: nothing that reaches a file or a verdict may depend on the
// order of a map, which Go makes another one each time. Every loop over a map
// in the program either only does what gives the same in any order, or is
// listed in anyOrder with the reason.
func TestNoMapOrder(t *testing.T) {
	long(t)
	found := map[string][]string{}
	for _, p := range typedPackages(t) {
		for _, l := range p.unordered() {
			name := p.name + "." + l.function
			found[name] = append(found[name], l.String())
		}
	}
	for _, name := range slices.Sorted(maps.Keys(found)) {
		if allowed := anyOrder[name]; len(found[name]) > allowed.loops {
			t.Errorf("%s goes over a map, and the order can be seen:\n\t%s\nsort the keys first, or say in anyOrder why it cannot matter",
				name, strings.Join(found[name], "\n\t"))
		}
	}
	for name, allowed := range anyOrder {
		if n := len(found[name]); n < allowed.loops || allowed.why == "" {
			t.Errorf("anyOrder allows %s %d loops (%q), and it has %d", name, allowed.loops, allowed.why, n)
		}
	}
}

// typedPackage is a package of the program with its types.
type typedPackage struct {
	name  string // import path without the module
	fset  *token.FileSet
	files []*ast.File
	info  *types.Info
}

// typedPackages parses every package of the module, and finds the types of
// what they import in what the compiler wrote of it.
func typedPackages(t *testing.T) []*typedPackage {
	t.Helper()
	list := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles,Module", "./...")
	list.Dir = "../.."
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	type listed struct {
		ImportPath, Dir, Export string
		GoFiles                 []string
		Module                  *struct{ Main bool }
	}
	export := map[string]string{}
	var own []listed
	for d := json.NewDecoder(bytes.NewReader(out)); d.More(); {
		var p listed
		if err := d.Decode(&p); err != nil {
			t.Fatal(err)
		}
		export[p.ImportPath] = p.Export
		if p.Module != nil && p.Module.Main {
			own = append(own, p)
		}
	}
	fset := token.NewFileSet()
	from := importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(export[path]) })
	var all []*typedPackage
	for _, l := range own {
		p := &typedPackage{name: strings.TrimPrefix(l.ImportPath, module), fset: fset}
		for _, f := range l.GoFiles {
			parsed, err := parser.ParseFile(fset, filepath.Join(l.Dir, f), nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			p.files = append(p.files, parsed)
		}
		p.check(t, l.ImportPath, from)
		all = append(all, p)
	}
	if len(all) < 20 {
		t.Fatalf("%d packages found; was the right folder searched?", len(all))
	}
	return all
}

func (p *typedPackage) check(t *testing.T, path string, from types.Importer) {
	t.Helper()
	p.info = &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{},
	}
	config := types.Config{Importer: from}
	if _, err := config.Check(path, p.fset, p.files, p.info); err != nil {
		t.Fatal(err)
	}
}

// mapLoop is a loop over a map, or a call that gives its keys, whose order can
// be seen.
type mapLoop struct {
	function string // "judge" or "(*bench).judge"
	at       token.Position
	why      string
}

func (l mapLoop) String() string {
	return fmt.Sprintf("%s:%d: %s", filepath.Base(l.at.Filename), l.at.Line, l.why)
}

// unordered finds the loops over maps whose order can be seen.
func (p *typedPackage) unordered() []mapLoop {
	var all []mapLoop
	for _, file := range p.files {
		for _, d := range file.Decls {
			name := "var"
			if f, ok := d.(*ast.FuncDecl); ok {
				name = funcName(f)
			}
			all = append(all, p.unorderedIn(d, name)...)
		}
	}
	return all
}

func funcName(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return f.Name.Name
	}
	return "(" + types.ExprString(f.Recv.List[0].Type) + ")." + f.Name.Name
}

func (p *typedPackage) unorderedIn(d ast.Decl, name string) []mapLoop {
	var all []mapLoop
	report := func(n ast.Node, why string) {
		all = append(all, mapLoop{name, p.fset.Position(n.Pos()), why})
	}
	sorted := map[ast.Expr]bool{} // calls whose result goes straight into slices.Sorted
	follows := map[ast.Stmt][]ast.Stmt{}
	ast.Inspect(d, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BlockStmt:
			p.note(follows, n.List)
		case *ast.CaseClause:
			p.note(follows, n.Body)
		case *ast.CallExpr:
			if p.isFunc(n.Fun, "slices", "Sorted") {
				sorted[n.Args[0]] = true
			}
			for _, f := range []string{"Keys", "Values", "All"} {
				if p.isFunc(n.Fun, "maps", f) && !sorted[n] {
					report(n, "maps."+f+" without slices.Sorted around it")
				}
			}
		case *ast.SelectorExpr:
			if o := p.info.Uses[n.Sel]; o != nil && o.Pkg() != nil {
				switch o.Pkg().Path() + "." + o.Name() {
				case "reflect.MapRange", "reflect.MapKeys", "sync.Range":
					report(n, "a walk over a map by "+o.Name())
				}
			}
		case *ast.RangeStmt:
			if _, ok := p.info.TypeOf(n.X).Underlying().(*types.Map); !ok {
				break
			}
			l := newCommuting(p, n, follows[n])
			if l.body(n.Body.List); l.why != "" {
				report(n, l.why)
			}
		}
		return true
	})
	return all
}

// note remembers what follows each statement of a block.
func (p *typedPackage) note(follows map[ast.Stmt][]ast.Stmt, block []ast.Stmt) {
	for i, s := range block {
		follows[s] = block[i+1:]
	}
}

// isFunc reports whether an expression names a function of a package.
func (p *typedPackage) isFunc(e ast.Expr, pkg, name string) bool {
	switch x := e.(type) {
	case *ast.IndexExpr:
		e = x.X
	case *ast.IndexListExpr:
		e = x.X
	}
	s, ok := e.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	o := p.info.Uses[s.Sel]
	return o != nil && o.Pkg() != nil && o.Pkg().Path() == pkg && o.Name() == name
}

// commuting looks whether the rounds of a loop can be made in any order. It
// knows few things that can, and takes all others for such that cannot:
// counting and adding up whole numbers, or-ing and and-ing, the greatest and
// the least, setting a constant, writing to another map under the very key of
// the loop or the same for any key, taking out, returning a constant, and
// collecting what is sorted as a whole right after the loop.
type commuting struct {
	*typedPackage
	after   []ast.Stmt // what follows the loop in its block
	key     types.Object
	local   map[types.Object]bool // made anew in every round
	kept    map[string]bool       // what rounds hand on, as written
	set     map[string]string     // to which constant
	returns map[string]bool       // what is returned
	why     string                // why the order can be seen, "" where it cannot
}

func newCommuting(p *typedPackage, loop *ast.RangeStmt, after []ast.Stmt) *commuting {
	c := &commuting{
		typedPackage: p, after: after, local: map[types.Object]bool{}, kept: map[string]bool{},
		set: map[string]string{}, returns: map[string]bool{},
	}
	for _, e := range []ast.Expr{loop.Key, loop.Value} {
		if id, ok := e.(*ast.Ident); ok {
			c.local[c.object(id)] = true
		}
	}
	if id, ok := loop.Key.(*ast.Ident); ok {
		c.key = c.object(id)
	}
	c.keep(loop.Body)
	return c
}

func (c *commuting) object(id *ast.Ident) types.Object {
	if o := c.info.Defs[id]; o != nil {
		return o
	}
	return c.info.Uses[id]
}

func (c *commuting) seen(n ast.Node, why string) {
	if c.why == "" {
		c.why = fmt.Sprintf("line %d: %s", c.fset.Position(n.Pos()).Line, why)
	}
}

// keep finds what rounds hand on: all that is assigned and not made in the round.
func (c *commuting) keep(body *ast.BlockStmt) {
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, l := range n.Lhs {
				if id, ok := l.(*ast.Ident); ok && n.Tok == token.DEFINE {
					c.local[c.object(id)] = true
				} else {
					c.kept[types.ExprString(root(l))] = true
				}
			}
		case *ast.ValueSpec:
			for _, id := range n.Names {
				c.local[c.object(id)] = true
			}
		case *ast.RangeStmt:
			for _, e := range []ast.Expr{n.Key, n.Value} {
				if id, ok := e.(*ast.Ident); ok {
					c.local[c.object(id)] = true
				}
			}
		case *ast.IncDecStmt:
			c.kept[types.ExprString(root(n.X))] = true
		}
		return true
	})
}

// root is what an index or a field is of.
func root(e ast.Expr) ast.Expr {
	if x, ok := e.(*ast.IndexExpr); ok {
		return x.X
	}
	return e
}

func (c *commuting) isLocal(e ast.Expr) bool {
	id, ok := e.(*ast.Ident)
	return ok && (id.Name == "_" || c.local[c.object(id)])
}

func (c *commuting) body(list []ast.Stmt) {
	for _, s := range list {
		c.statement(s)
	}
	if len(c.returns) > 1 || len(c.returns) > 0 && len(c.set) > 0 {
		c.seen(list[0], "what it returns depends on which comes first")
	}
}

func (c *commuting) statement(s ast.Stmt) {
	switch s := s.(type) {
	case nil:
	case *ast.AssignStmt:
		c.assign(s)
	case *ast.IncDecStmt:
		c.count(s.X)
	case *ast.DeclStmt:
		for _, spec := range s.Decl.(*ast.GenDecl).Specs {
			if v, ok := spec.(*ast.ValueSpec); ok {
				c.pure(v.Values...)
			}
		}
	case *ast.ExprStmt:
		if call, ok := s.X.(*ast.CallExpr); ok && c.isBuiltin(call, "delete") {
			c.pure(call.Args[1:]...)
		} else {
			c.seen(s, "a call that may do something")
		}
	case *ast.IfStmt:
		c.statement(s.Init)
		c.pure(s.Cond)
		c.body(s.Body.List)
		c.statement(s.Else)
	case *ast.BlockStmt:
		c.body(s.List)
	case *ast.SwitchStmt:
		c.statement(s.Init)
		c.pure(s.Tag)
		for _, clause := range s.Body.List {
			c.pure(clause.(*ast.CaseClause).List...)
			c.body(clause.(*ast.CaseClause).Body)
		}
	case *ast.RangeStmt:
		c.pure(s.X)
		c.body(s.Body.List)
	case *ast.BranchStmt:
		if s.Tok != token.CONTINUE {
			c.seen(s, "it stops at whichever comes first")
		}
	case *ast.ReturnStmt:
		c.give(s)
	default:
		c.seen(s, "something else than counting or collecting")
	}
}

// give takes a return: of constants, the same wherever it stands.
func (c *commuting) give(s *ast.ReturnStmt) {
	text := ""
	for _, r := range s.Results {
		if !c.isConstant(r) {
			c.seen(s, "it returns whichever comes first")
		}
		text += types.ExprString(r) + ", "
	}
	c.returns[text] = true
}

func (c *commuting) assign(s *ast.AssignStmt) {
	switch {
	case s.Tok == token.DEFINE:
		c.pure(s.Rhs...)
	case s.Tok == token.ASSIGN && len(s.Lhs) == len(s.Rhs):
		for i := range s.Lhs {
			c.store(s.Lhs[i], s.Rhs[i])
		}
	case s.Tok == token.ASSIGN:
		c.pure(s.Rhs...)
		if !slices.ContainsFunc(s.Lhs, func(e ast.Expr) bool { return !c.isLocal(e) }) {
			return
		}
		c.seen(s, "the last one stays")
	case slices.Contains([]token.Token{token.ADD_ASSIGN, token.SUB_ASSIGN, token.OR_ASSIGN, token.AND_ASSIGN, token.XOR_ASSIGN}, s.Tok):
		c.count(s.Lhs[0])
		c.pure(s.Rhs...)
	default:
		c.seen(s, "it does not give the same in any order")
	}
}

// count takes what is counted up: a whole number, or one under any key.
func (c *commuting) count(e ast.Expr) {
	b, ok := c.info.TypeOf(e).Underlying().(*types.Basic)
	if !c.isLocal(e) && (!ok || b.Info()&types.IsInteger == 0) {
		c.seen(e, "sums of anything but whole numbers depend on the order")
	}
	if x, ok := e.(*ast.IndexExpr); ok {
		c.pure(x.Index)
	}
}

// store takes left = right.
func (c *commuting) store(left, right ast.Expr) {
	if c.isLocal(left) {
		c.pure(right)
		return
	}
	name := types.ExprString(left)
	if x, ok := left.(*ast.IndexExpr); ok {
		_, isMap := c.info.TypeOf(x.X).Underlying().(*types.Map)
		id, isIdent := x.Index.(*ast.Ident)
		c.pure(x.Index)
		switch {
		case isMap && isIdent && c.key != nil && c.object(id) == c.key:
			c.pure(right)
		case isMap && c.isConstant(right):
			c.setTo(types.ExprString(x.X), right)
		default:
			c.seen(left, "the last one under an index stays")
		}
		return
	}
	switch r := right.(type) {
	case *ast.BinaryExpr:
		if (r.Op == token.LOR || r.Op == token.LAND) && types.ExprString(first(r)) == name {
			c.rest(r, name)
			return
		}
	case *ast.CallExpr:
		if (c.isBuiltin(r, "max") || c.isBuiltin(r, "min")) && types.ExprString(r.Args[0]) == name {
			c.pure(r.Args[1:]...)
			return
		}
		if c.isBuiltin(r, "append") && types.ExprString(r.Args[0]) == name {
			c.pure(r.Args[1:]...)
			c.sortedAfter(left, name)
			return
		}
	}
	if c.isConstant(right) {
		c.setTo(name, right)
		return
	}
	c.seen(left, "the last one stays")
}

// first is the leftmost operand of a chain of the same operator.
func first(b *ast.BinaryExpr) ast.Expr {
	if x, ok := b.X.(*ast.BinaryExpr); ok && x.Op == b.Op {
		return first(x)
	}
	return b.X
}

// rest looks at all operands of a chain but the first, which is name itself.
func (c *commuting) rest(b *ast.BinaryExpr, name string) {
	c.pure(b.Y)
	if x, ok := b.X.(*ast.BinaryExpr); ok && x.Op == b.Op {
		c.rest(x, name)
	}
}

func (c *commuting) setTo(name string, to ast.Expr) {
	text := types.ExprString(to)
	if was, ok := c.set[name]; ok && was != text {
		c.seen(to, "it is set to one or the other, and the last stays")
	}
	c.set[name] = text
}

// sortedAfter holds that the next that is done with what was collected is to
// sort it as a whole: slices.Sort leaves no two orders, slices.SortFunc may.
func (c *commuting) sortedAfter(e ast.Expr, name string) {
	for _, s := range c.after {
		mentions := false
		ast.Inspect(s, func(n ast.Node) bool {
			if x, ok := n.(ast.Expr); ok && types.ExprString(x) == name {
				mentions = true
			}
			return true
		})
		if !mentions {
			continue
		}
		if x, ok := s.(*ast.ExprStmt); ok {
			if call, ok := x.X.(*ast.CallExpr); ok && len(call.Args) > 0 && types.ExprString(call.Args[0]) == name &&
				(c.isFunc(call.Fun, "slices", "Sort") || c.isFunc(call.Fun, "sort", "Strings") || c.isFunc(call.Fun, "sort", "Ints")) {
				return
			}
		}
		break
	}
	c.seen(e, "it collects in this order and does not sort right after")
}

func (c *commuting) isBuiltin(call *ast.CallExpr, name string) bool {
	id, ok := call.Fun.(*ast.Ident)
	if !ok || id.Name != name {
		return false
	}
	_, ok = c.info.Uses[id].(*types.Builtin)
	return ok
}

func (c *commuting) isConstant(e ast.Expr) bool {
	if l, ok := e.(*ast.CompositeLit); ok {
		return len(l.Elts) == 0
	}
	tv := c.info.Types[e]
	return tv.IsNil() || tv.Value != nil && tv.Value.Kind() != constant.Unknown
}

// pureIn are packages whose functions change nothing and always give the same.
var pureIn = map[string]bool{"strings": true, "strconv": true, "math": true, "unicode": true, "cmp": true}

// pure holds that expressions change nothing and do not look at what the
// rounds before left.
func (c *commuting) pure(list ...ast.Expr) {
	for _, e := range list {
		if e == nil {
			continue
		}
		ast.Inspect(e, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				if !c.isPureCall(n) {
					c.seen(n, "a call of "+types.ExprString(n.Fun)+", which may do something")
				}
			case *ast.FuncLit, *ast.UnaryExpr:
				if u, ok := n.(*ast.UnaryExpr); !ok || u.Op == token.ARROW {
					c.seen(n, "something that may do something")
				}
			case ast.Expr:
				if c.kept[types.ExprString(n)] && !c.isLocal(n) {
					c.seen(n, "a round looks at what the rounds before left in "+types.ExprString(n))
				}
			}
			return true
		})
	}
}

func (c *commuting) isPureCall(call *ast.CallExpr) bool {
	if c.info.Types[call.Fun].IsType() {
		return true
	}
	for _, b := range []string{"len", "cap", "max", "min", "make", "new"} {
		if c.isBuiltin(call, b) {
			return true
		}
	}
	s, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	o := c.info.Uses[s.Sel]
	if o == nil || o.Pkg() == nil {
		return false
	}
	_, method := c.info.Uses[s.Sel].Type().(*types.Signature)
	return method && o.Type().(*types.Signature).Recv() == nil && pureIn[o.Pkg().Path()]
}

// planted has loops over maps, and behind each that must be found "want".
const planted = `package planted

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

type line struct{ order, number string }

func fine(m map[string]int, s map[string]bool) (int, bool) {
	n, any, most := 0, false, 0
	other := map[string]int{}
	for k, v := range m {
		n += v
		any = any || v > 3
		most = max(most, v)
		other[k] = v
		s[strings.TrimSpace(k)] = true
		if v == 0 {
			delete(m, k)
			continue
		}
	}
	return n + most, any
}

func fineSorted(m map[string]int) []string {
	var names []string
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return slices.Concat(names, slices.Sorted(maps.Keys(m)))
}

func fineAny(m map[string]int) bool {
	for _, v := range m {
		if v > 0 {
			return true
		}
	}
	return false
}

func lastStays(lists map[string]map[string]int) map[line]int {
	lines := map[line]int{}
	for order, list := range lists { // want
		for number, q := range list { // want
			lines[line{order[:1], number}] = q
		}
	}
	return lines
}

func firstStays(m map[string]int) string {
	for k := range m { // want
		return k
	}
	return ""
}

func unsorted(m map[string]int) []string {
	var names []string
	for k := range m { // want
		names = append(names, k)
	}
	return names
}

func sortedTooLate(m map[string]int) []string {
	var names []string
	for k := range m { // want
		names = append(names, k)
	}
	fmt.Println(names)
	slices.Sort(names)
	return names
}

func sortedInPart(m map[string]int) []string {
	var names []string
	for k := range m { // want
		names = append(names, k)
	}
	slices.SortFunc(names, func(a, b string) int { return len(a) - len(b) })
	return names
}

func prints(m map[string]int) {
	for k := range m { // want
		fmt.Println(k)
	}
}

func floats(m map[string]float64) (sum float64) {
	for _, v := range m { // want
		sum += v
	}
	return sum
}

func concatenates(m map[string]string) (all string) {
	for _, v := range m { // want
		all += v
	}
	return all
}

func longest(m map[string]int) (best string) {
	for k := range m { // want
		if len(k) > len(best) {
			best = k
		}
	}
	return best
}

func looksBack(m map[string]int) (n int, early bool) {
	for _, v := range m { // want
		n += v
		if n > 10 {
			early = true
		}
	}
	return n, early
}

func stops(m map[string]int) (n int) {
	for range m { // want
		n++
		if len(m) > 3 {
			break
		}
	}
	return n
}

func oneOrOther(m map[string]int) string {
	for _, v := range m { // want
		if v > 0 {
			return "some"
		}
		if v < 0 {
			return "less"
		}
	}
	return ""
}

func keys(m map[string]int) []string {
	return slices.Collect(maps.Keys(m)) // want
}

func keysInPart(m map[string]int) []string {
	return slices.SortedFunc(maps.Keys(m), func(a, b string) int { return 0 }) // want
}

func inLiteral(m map[string]int) func() {
	return func() {
		for k := range m { // want
			fmt.Println(k)
		}
	}
}

var early = func(m map[string]int) (last string) {
	for k := range m { // want
		last = k
	}
	return last
}
`

// TestMapOrderIsSeen plants loops and looks whether all that must be found are,
// and no other.
func TestMapOrderIsSeen(t *testing.T) {
	long(t)
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, "planted.go", planted, 0)
	if err != nil {
		t.Fatal(err)
	}
	p := &typedPackage{name: "planted", fset: fset, files: []*ast.File{file}}
	p.check(t, "planted", importer.ForCompiler(fset, "source", nil))
	var got, want []int
	for _, l := range p.unordered() {
		got = append(got, l.at.Line)
	}
	wanted := regexp.MustCompile(`// want$`)
	for i, line := range strings.Split(planted, "\n") {
		if wanted.MatchString(line) {
			want = append(want, i+1)
		}
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("found in lines %v, planted in %v", got, want)
	}
}
