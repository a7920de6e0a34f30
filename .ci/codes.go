//go:build ignore

// Prints the stable codes that the Go files below a folder make, one "package
// code" a line: those of errors, notes and warnings, of work not measured, and
// the words for doubts about points. A code made in a way that cannot be read
// here is an error, so that none is overlooked.
//
//	go run .ci/codes.go FOLDER
package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// spelt are codes made by expressions; none for a surveyor's code of a point.
var spelt = map[string][]string{
	`"no_" + what + "s"`:  {"no_polygons", "no_lines", "no_shapes", "no_points"},
	`p.texts.share(code)`: nil,
	`attr(el, "code")`:    nil,
	`g.code`:              nil,
	`classCodes[r.class]`: nil,
	`lineKind`:            nil,
	`of.code`:             nil,
}

// first are the types whose first field is a code.
var first = []string{"InputError", "Problem", "Remark", "Omission"}

var constant = regexp.MustCompile(`^([Cc]ode|[Nn]ote|[Ww]arn|ErrorCode)([A-Z]|$)`)

type folder struct {
	files  []*ast.File
	consts map[string]string
	takes  map[string]int // functions that take a code: which parameter it is
}

type reader struct {
	files   *token.FileSet
	folders map[string]*folder
	found   map[string]bool
	failed  bool

	dir   string       // in hand
	open  []ast.Node   // down to the node in hand
	items map[any]bool // literals in a list of a first type
}

func main() {
	r := &reader{files: token.NewFileSet(), folders: map[string]*folder{}, found: map[string]bool{}, items: map[any]bool{}}
	if err := filepath.WalkDir(os.Args[1], r.parse); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	for dir, f := range r.folders {
		r.dir = dir
		for name, value := range f.consts {
			if constant.MatchString(name) {
				r.add(dir, value)
			}
		}
		for _, file := range f.files {
			ast.Inspect(file, r.node)
		}
	}
	for _, line := range slices.Sorted(maps.Keys(r.found)) {
		fmt.Println(line)
	}
	if r.failed {
		os.Exit(1)
	}
}

func (r *reader) parse(name string, d fs.DirEntry, err error) error {
	base := d.Name()
	switch {
	case err != nil:
		return err
	case d.IsDir() && name != os.Args[1] && (base[0] == '.' || strings.HasSuffix(base, "test") || base == "testdata"):
		return filepath.SkipDir
	case d.IsDir() || !strings.HasSuffix(base, ".go") || strings.HasSuffix(base, "_test.go"):
		return nil
	}
	file, err := parser.ParseFile(r.files, name, nil, 0)
	if err != nil {
		return err
	}
	dir, err := filepath.Rel(os.Args[1], filepath.Dir(name))
	if err != nil {
		return err
	}
	dir = filepath.ToSlash(dir)
	if r.folders[dir] == nil {
		r.folders[dir] = &folder{consts: map[string]string{}, takes: map[string]int{}}
	}
	f := r.folders[dir]
	f.files = append(f.files, file)
	ast.Inspect(file, f.declared)
	return nil
}

// declared notes constants, and functions that take a code.
func (f *folder) declared(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.ValueSpec:
		for i, v := range n.Values {
			if text, ok := literal(v); ok {
				f.consts[n.Names[i].Name] = text
			}
		}
	case *ast.FuncDecl:
		f.function(n.Name, n.Type)
	case *ast.AssignStmt:
		if lit, ok := n.Rhs[0].(*ast.FuncLit); ok {
			f.function(n.Lhs[0], lit.Type)
		}
	case *ast.Field:
		if t, ok := n.Type.(*ast.FuncType); ok && len(n.Names) > 0 {
			f.function(n.Names[0], t)
		}
	}
	return true
}

func (f *folder) function(name ast.Expr, t *ast.FuncType) {
	if i := codeOf(t); i >= 0 {
		f.takes[nameOf(name)] = i
	}
}

// codeOf returns which parameter is a code, -1 for none.
func codeOf(t *ast.FuncType) int {
	i := 0
	for _, p := range t.Params.List {
		for _, name := range p.Names {
			if name.Name == "code" && nameOf(p.Type) == "string" {
				return i
			}
			i++
		}
	}
	return -1
}

// node looks for a place where a code is made.
func (r *reader) node(n ast.Node) bool {
	if n == nil {
		r.open = r.open[:len(r.open)-1]
		return true
	}
	r.open = append(r.open, n)
	switch n := n.(type) {
	case *ast.CompositeLit:
		list, isList := n.Type.(*ast.ArrayType)
		for i, e := range n.Elts {
			kv, keyed := e.(*ast.KeyValueExpr)
			switch {
			case keyed && nameOf(kv.Key) == "Code":
				r.code(kv.Value)
			case keyed:
			case isList && slices.Contains(first, nameOf(list.Elt)):
				r.items[e] = true
			case i == 0 && (r.items[n] || slices.Contains(first, nameOf(n.Type))):
				r.code(e)
			}
		}
	case *ast.AssignStmt:
		for i, l := range n.Lhs {
			if s, ok := l.(*ast.SelectorExpr); ok && s.Sel.Name == "Code" && i < len(n.Rhs) {
				r.code(n.Rhs[i])
			}
		}
	case *ast.CallExpr:
		if i, ok := r.folders[r.dir].takes[nameOf(n.Fun)]; ok && i < len(n.Args) {
			r.code(n.Args[i])
		}
	case *ast.ReturnStmt: // the words of doubts
		if f, ok := r.open[1].(*ast.FuncDecl); ok && f.Recv != nil && nameOf(f.Recv.List[0].Type) == "Doubt" {
			for _, e := range n.Results {
				if text, ok := literal(e); ok {
					r.add(r.dir, text)
				}
			}
		}
	}
	return true
}

// code reads the value of a code.
func (r *reader) code(e ast.Expr) {
	if text, ok := literal(e); ok {
		r.add(r.dir, text)
		return
	}
	switch e := e.(type) {
	case *ast.Ident:
		if value, ok := r.folders[r.dir].consts[e.Name]; ok {
			r.add(r.dir, value)
			return
		}
		if e.Name == "code" && slices.ContainsFunc(r.open, takesCode) {
			return // what its caller gives is read there
		}
	case *ast.SelectorExpr:
		if e.Sel.Name == "Code" {
			return // of what was made elsewhere
		}
		for dir, f := range r.folders {
			if value, ok := f.consts[e.Sel.Name]; ok && path.Base(dir) == nameOf(e.X) {
				r.add(dir, value)
				return
			}
		}
	}
	codes, ok := spelt[types.ExprString(e)]
	for _, c := range codes {
		r.add(r.dir, c)
	}
	if !ok {
		fmt.Fprintf(os.Stderr, "%s: cannot read the code %s: name a constant, or teach .ci/codes.go\n",
			r.files.Position(e.Pos()), types.ExprString(e))
		r.failed = true
	}
}

func takesCode(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.FuncDecl:
		return codeOf(n.Type) >= 0
	case *ast.FuncLit:
		return codeOf(n.Type) >= 0
	}
	return false
}

// add takes a code of a folder's package; what is internal is its parent's.
func (r *reader) add(dir, code string) {
	dir, _, _ = strings.Cut(dir, "/internal/")
	r.found[dir+" "+code] = true
}

func literal(e ast.Expr) (string, bool) {
	if l, ok := e.(*ast.BasicLit); ok && l.Kind == token.STRING {
		text, err := strconv.Unquote(l.Value)
		return text, err == nil
	}
	return "", false
}

func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}
