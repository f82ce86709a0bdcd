package mutate

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// whole is a package with its tests, parsed and checked.
type whole struct {
	p       Package
	fset    *token.FileSet
	exports map[string]string // compiled packages by what go list calls them
	sources map[string][]byte // by path
	outer   []byte            // the source of other packages of the programs that import it
	pkg     *types.Package
	values  []*types.Const // the constants of the package, in the order of its files
	uses    []use
}

// use is a place where a constant stands, and the type that it has there; nil where only a constant may stand.
type use struct {
	at    token.Position
	name  string
	index int // of the constant
	as    types.Type
}

type listed struct {
	ImportPath, Export, Dir string
	Standard                bool
	GoFiles, Imports        []string
}

// readWhole reads a package, and of other packages in the programs that test it what they say of it.
func readWhole(ctx context.Context, dir string, p Package, asked []Package) (*whole, error) {
	w := &whole{p: p, fset: token.NewFileSet(), exports: map[string]string{}, sources: map[string][]byte{}}
	args := []string{"-json=ImportPath,Export,Dir,Standard,GoFiles,Imports", "-deps", "-test", "-export", p.ImportPath}
	for _, other := range asked {
		args = append(args, other.ImportPath)
	}
	list, err := goList[listed](ctx, dir, args...)
	if err != nil {
		return nil, err
	}
	for _, l := range list {
		w.exports[l.ImportPath] = l.Export
		if !l.Standard && l.Dir != p.Dir && slices.ContainsFunc(l.Imports, w.isIt) {
			for _, name := range l.GoFiles {
				text, err := os.ReadFile(filepath.Join(l.Dir, name))
				if err != nil {
					return nil, fmt.Errorf("mutate: %w", err)
				}
				w.outer = append(w.outer, text...)
			}
		}
	}
	return w, w.check()
}

// isIt reports whether go list means the package, or that with its tests.
func (w *whole) isIt(importPath string) bool {
	path, _, _ := strings.Cut(importPath, " ")
	return path == w.p.ImportPath
}

// check finds the constants and their uses.
func (w *whole) check() error {
	inside, err := w.parse(slices.Concat(w.p.GoFiles, w.p.TestGoFiles))
	if err != nil {
		return err
	}
	info := newInfo()
	if w.pkg, err = w.checked(inside, info, false); err != nil {
		return fmt.Errorf("mutate: %w", err)
	}
	w.values = constantsOf(info, w.fset, w.p.GoFiles)
	index := map[types.Object]int{}
	byName := map[string]int{}
	for i, c := range w.values {
		index[c] = i
		if c.Exported() && c.Parent() == w.pkg.Scope() {
			byName[c.Name()] = i
		}
	}
	w.collect(inside, info, func(o types.Object) (int, bool) { i, ok := index[o]; return i, ok })
	outside, err := w.parse(w.p.XTestGoFiles)
	if err != nil || len(outside) == 0 {
		return err
	}
	info = newInfo()
	if _, err := w.checked(outside, info, true); err != nil {
		return fmt.Errorf("mutate: %w", err)
	}
	w.collect(outside, info, func(o types.Object) (int, bool) {
		if c, ok := o.(*types.Const); !ok || c.Pkg() == nil || c.Pkg().Path() != w.p.ImportPath {
			return 0, false
		}
		i, ok := byName[o.Name()]
		return i, ok
	})
	return nil
}

func (w *whole) parse(names []string) (trees []*ast.File, err error) {
	for _, name := range names {
		path := w.pathOf(name)
		if w.sources[path], err = os.ReadFile(path); err != nil {
			return nil, fmt.Errorf("mutate: %w", err)
		}
		tree, err := parser.ParseFile(w.fset, path, w.sources[path], parser.SkipObjectResolution)
		if err != nil {
			return nil, fmt.Errorf("mutate: %w", err)
		}
		trees = append(trees, tree)
	}
	return trees, nil
}

func newInfo() *types.Info {
	return &types.Info{Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}, Types: map[ast.Expr]types.TypeAndValue{}}
}

// checked checks files; tests outside of the package import what was compiled with those inside.
func (w *whole) checked(files []*ast.File, info *types.Info, outside bool) (*types.Package, error) {
	find := func(path string) (io.ReadCloser, error) {
		export := w.exports[path]
		if tested := w.exports[path+" ["+w.p.ImportPath+".test]"]; outside && tested != "" {
			export = tested
		}
		if export == "" {
			return nil, fmt.Errorf("%s is not compiled", path)
		}
		return os.Open(export)
	}
	config := types.Config{Importer: importer.ForCompiler(w.fset, "gc", find)}
	return config.Check(w.p.ImportPath, w.fset, files, info)
}

// constantsOf are the constants declared in some files, in the order of these and of their places.
func constantsOf(info *types.Info, fset *token.FileSet, files []string) (all []*types.Const) {
	for id, object := range info.Defs {
		if c, ok := object.(*types.Const); ok && id.Name != "_" && slices.Contains(files, filepath.Base(fset.Position(id.Pos()).Filename)) {
			all = append(all, c)
		}
	}
	slices.SortFunc(all, func(a, b *types.Const) int {
		p, q := fset.Position(a.Pos()), fset.Position(b.Pos())
		return cmp.Or(cmp.Compare(p.Filename, q.Filename), cmp.Compare(p.Offset, q.Offset))
	})
	return all
}

// collect notes the uses of constants in files.
func (w *whole) collect(files []*ast.File, info *types.Info, indexOf func(types.Object) (int, bool)) {
	for _, file := range files {
		var above []ast.Node
		ast.Inspect(file, func(n ast.Node) bool {
			if n == nil {
				above = above[:len(above)-1]
				return true
			}
			if id, ok := n.(*ast.Ident); ok {
				if i, ok := indexOf(info.Uses[id]); ok && !declaresConstant(above) {
					u := use{at: w.fset.Position(id.Pos()), name: id.Name, index: i}
					if !fixed(above, id, info) {
						u.as = w.typeOf(id, above, info)
					}
					w.uses = append(w.uses, u)
				}
			}
			above = append(above, n)
			return true
		})
	}
}

// declaresConstant reports whether a node under others is part of the declaration of a constant, whose
// value changes with it.
func declaresConstant(above []ast.Node) bool {
	return slices.ContainsFunc(above, func(n ast.Node) bool {
		decl, ok := n.(*ast.GenDecl)
		return ok && decl.Tok == token.CONST
	})
}

// fixed reports whether only a constant may stand where a node does: in the length of an array, or as
// a place in one.
func fixed(above []ast.Node, n ast.Node, info *types.Info) bool {
	for _, up := range slices.Backward(above) {
		switch up := up.(type) {
		case *ast.ArrayType:
			return true
		case *ast.KeyValueExpr:
			if up.Key == n {
				return true
			}
		case *ast.BinaryExpr:
			if tv := info.Types[up]; tv.Value != nil && (tv.Value.Kind() == constant.Bool || up.Op == token.SHL || up.Op == token.SHR) {
				return true
			}
		case ast.Stmt:
			return false
		}
		n = up
	}
	return false
}

// typeOf is the type of a constant where it stands; nil for one that cannot be named at the level of the package.
func (w *whole) typeOf(id *ast.Ident, above []ast.Node, info *types.Info) types.Type {
	var expression ast.Expr = id
	if len(above) > 0 {
		if selector, ok := above[len(above)-1].(*ast.SelectorExpr); ok && selector.Sel == id {
			expression = selector
		}
	}
	found := info.Types[expression].Type
	for _, up := range slices.Backward(above) { // in a constant sum the whole alone has its type
		sum, ok := up.(ast.Expr)
		if !ok || !untyped(found) || info.Types[sum].Value == nil || info.Types[sum].Value.Kind() == constant.Bool {
			break
		}
		found = info.Types[sum].Type
	}
	switch t := types.Unalias(found).(type) {
	case *types.Basic:
		if !untyped(t) {
			return t
		}
	case *types.Named:
		if o := t.Obj(); o.Pkg() != nil && o.Pkg().Path() == w.p.ImportPath && w.pkg.Scope().Lookup(o.Name()) != nil {
			return t
		}
	}
	return nil
}

func untyped(t types.Type) bool {
	basic, ok := t.(*types.Basic)
	return ok && basic.Info()&types.IsUntyped != 0
}

// change is what a mutant makes of a constant.
type change struct {
	index int
	value constant.Value
}

// changes are the constants that a mutant changes: that which it names and what is made of it. There
// are none where it does not compile.
func (w *whole) changes(m Mutant) (list []change) {
	path, err := filepath.Abs(m.File)
	if err != nil {
		return nil
	}
	var trees []*ast.File
	for _, name := range w.p.GoFiles {
		text := w.sources[w.pathOf(name)]
		if w.pathOf(name) == path {
			text = m.Apply(text)
		}
		tree, err := parser.ParseFile(w.fset, w.pathOf(name), text, parser.SkipObjectResolution)
		if err != nil {
			return nil
		}
		trees = append(trees, tree)
	}
	info := newInfo()
	if _, err := w.checked(trees, info, false); err != nil {
		return nil
	}
	for i, c := range constantsOf(info, w.fset, w.p.GoFiles) {
		if !constant.Compare(c.Val(), token.EQL, w.values[i].Val()) {
			list = append(list, change{i, c.Val()})
		}
	}
	return list
}

// canVary says of each constant whether it may be a variable wherever it is used.
func (w *whole) canVary() []bool {
	can := make([]bool, len(w.values))
	for i, c := range w.values {
		can[i] = !c.Exported() || !regexp.MustCompile(`\.`+c.Name()+`\b`).Match(w.outer)
	}
	for _, u := range w.uses {
		can[u.index] = can[u.index] && u.as != nil
	}
	return can
}

// edit is text put in the place of some bytes.
type edit struct {
	from, to int
	text     string
}

// rewritten gives the files of the package in which mutants wait for their number, and tells the numbers.
func (w *whole) rewritten(mutants []Mutant, numbers map[Mutant]int) map[string][]byte {
	can, cases, edits := w.canVary(), map[int][]string{}, map[string][]edit{}
	for _, m := range mutants {
		number := len(numbers) + 1
		if m.span != [2]int{} {
			if path, err := filepath.Abs(m.File); err == nil {
				edits[path] = append(edits[path], edit{m.span[0], m.span[0], "(("},
					edit{m.span[1], m.span[1], fmt.Sprintf(") != (CommensalMutant == %d))", number)})
				numbers[m] = number
			}
			continue
		}
		list := w.changes(m)
		if len(list) == 0 || slices.ContainsFunc(list, func(c change) bool { return !can[c.index] }) {
			continue
		}
		numbers[m] = number
		for _, c := range list {
			cases[c.index] = append(cases[c.index], fmt.Sprintf("\tcase %d:\n\t\treturn %s\n", number, written(c.value)))
		}
	}
	files := map[string][]byte{w.pathOf(generated): w.variables(cases, edits)}
	for path, list := range edits {
		files[path] = edited(w.sources[path], list)
	}
	return files
}

// variables writes the file in which the constants are set, and puts them where these stood.
func (w *whole) variables(cases map[int][]string, edits map[string][]edit) []byte {
	var out bytes.Buffer
	fmt.Fprintf(&out, "package %s\n\nimport (\n\t\"os\"\n\t\"strconv\"\n)\n\n", w.p.Name)
	fmt.Fprintf(&out, "var CommensalMutant, _ = strconv.Atoi(os.Getenv(%q))\n", numberVariable)
	told := map[string]bool{}
	for _, u := range w.uses {
		if len(cases[u.index]) == 0 {
			continue
		}
		of := types.TypeString(u.as, types.RelativeTo(w.pkg))
		if i := strings.LastIndexByte(of, '.'); i >= 0 {
			of = of[i+1:]
		}
		name := "CommensalConstant" + strconv.Itoa(u.index) + "_" + of
		edits[u.at.Filename] = append(edits[u.at.Filename], edit{u.at.Offset, u.at.Offset + len(u.name), name})
		if told[name] {
			continue
		}
		told[name] = true
		fmt.Fprintf(&out, "\nvar %s = func() %s {\n\tswitch CommensalMutant {\n%s\t}\n\treturn %s\n}()\n",
			name, of, strings.Join(cases[u.index], ""), written(w.values[u.index].Val()))
	}
	return out.Bytes()
}

// written is a value as Go writes it.
func written(v constant.Value) string {
	if whole := constant.ToInt(v); whole.Kind() == constant.Int {
		return whole.ExactString()
	}
	if v.Kind() == constant.Float {
		x, _ := constant.Float64Val(v)
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return v.ExactString()
}

// edited carries out edits of a text. Those in one place stand in the order in which the text has what
// they belong to: what ends there, then what begins.
func edited(source []byte, list []edit) (out []byte) {
	slices.SortStableFunc(list, func(a, b edit) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	at := 0
	for _, e := range list {
		out = append(append(out, source[at:e.from]...), e.text...)
		at = e.to
	}
	return append(out, source[at:]...)
}
