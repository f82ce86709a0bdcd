package mutate

import (
	"bytes"
	"cmp"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// Mutant is one change of a source file.
type Mutant struct {
	File  string // its path
	Line  int
	Name  string // of the constant, or the comparison as it stands
	Was   string // the text that is changed
	Is    string // and what stands there instead
	start int    // bytes of the file before the text
	span  [2]int // the bytes of a comparison that is turned; none otherwise
}

func (m Mutant) String() string {
	return fmt.Sprintf("%s:%d: %s: %s becomes %s", m.File, m.Line, m.Name, m.Was, m.Is)
}

// Apply gives the changed text of the file.
func (m Mutant) Apply(source []byte) []byte {
	return slices.Concat(source[:m.start], []byte(m.Is), source[m.start+len(m.Was):])
}

// Kinds says what is changed.
type Kinds struct {
	Constants   bool    // named constants, by Share up and down
	Share       float64 // for example 0.35
	Comparisons bool    // each turned into its opposite
	Boundaries  bool    // each moved by its border: < becomes <=. Many such changes change nothing.
}

// Find lists the mutants of a source file, in the order of its lines.
func Find(file string, source []byte, kinds Kinds) ([]Mutant, error) {
	fset := token.NewFileSet()
	tree, err := parser.ParseFile(fset, file, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, fmt.Errorf("mutate: %w", err)
	}
	f := finder{fset: fset, file: file, source: source, kinds: kinds}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GenDecl:
			if n.Tok == token.CONST && kinds.Constants {
				f.constants(n)
			}
		case *ast.BinaryExpr:
			f.comparison(n)
		}
		return true
	})
	slices.SortStableFunc(f.found, func(a, b Mutant) int { return cmp.Compare(a.start, b.start) })
	return f.found, nil
}

type finder struct {
	fset   *token.FileSet
	file   string
	source []byte
	kinds  Kinds
	found  []Mutant
}

func (f *finder) add(pos token.Pos, name, was, is string) *Mutant {
	at := f.fset.Position(pos)
	f.found = append(f.found, Mutant{File: filepath.ToSlash(f.file), Line: at.Line, Name: name, Was: was, Is: is, start: at.Offset})
	return &f.found[len(f.found)-1]
}

// constants takes every number in the declaration of a constant. A constant without one counts
// itself (iota) or is made of others.
func (f *finder) constants(decl *ast.GenDecl) {
	for _, spec := range decl.Specs {
		value := spec.(*ast.ValueSpec)
		for i, expression := range value.Values {
			if mentions(expression, "iota") {
				continue
			}
			ast.Inspect(expression, func(n ast.Node) bool {
				if number, ok := n.(*ast.BasicLit); ok {
					for _, is := range varied(number, f.kinds.Share) {
						f.add(number.Pos(), value.Names[i].Name, number.Value, is)
					}
				}
				return true
			})
		}
	}
}

func mentions(expression ast.Expr, name string) (found bool) {
	ast.Inspect(expression, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		found = found || ok && id.Name == name
		return true
	})
	return found
}

// varied are a number made larger and smaller by a share, and by one at least where it is whole. Zero
// has no share: it becomes one.
func varied(number *ast.BasicLit, share float64) []string {
	text := strings.ReplaceAll(number.Value, "_", "")
	switch number.Kind {
	case token.FLOAT:
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || x == 0 {
			return nil
		}
		return []string{decimal(x * (1 + share)), decimal(x * (1 - share))}
	case token.INT:
		n, err := strconv.ParseInt(text, 0, 64)
		if err != nil {
			return nil
		}
		if n == 0 {
			return []string{"1"}
		}
		step := int64(math.Max(1, math.Round(float64(n)*share)))
		return []string{strconv.FormatInt(n+step, 10), strconv.FormatInt(n-step, 10)}
	}
	return nil
}

// decimal writes a number of Go with a point, so that it stays one.
func decimal(x float64) string {
	text := strconv.FormatFloat(x, 'g', 6, 64)
	if !strings.ContainsAny(text, ".e") {
		text += ".0"
	}
	return text
}

var opposite = map[token.Token]token.Token{
	token.LSS: token.GEQ, token.GEQ: token.LSS, token.GTR: token.LEQ, token.LEQ: token.GTR, token.EQL: token.NEQ, token.NEQ: token.EQL,
}

var border = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
}

// comparison takes the operator of a comparison. What is compared with nil, as errors are, is left
// alone: such a change shows itself in any test that runs the line.
func (f *finder) comparison(n *ast.BinaryExpr) {
	if _, compares := opposite[n.Op]; !compares || mentions(n.X, "nil") || mentions(n.Y, "nil") {
		return
	}
	first, last := f.fset.Position(n.Pos()).Offset, f.fset.Position(n.End()).Offset
	name := string(bytes.Join(bytes.Fields(f.source[first:last]), []byte(" ")))
	if f.kinds.Comparisons {
		f.add(n.OpPos, name, n.Op.String(), opposite[n.Op].String()).span = [2]int{first, last}
	}
	if is, ok := border[n.Op]; ok && f.kinds.Boundaries {
		f.add(n.OpPos, name, n.Op.String(), is.String())
	}
}
