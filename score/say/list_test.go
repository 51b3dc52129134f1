package say

import (
	"encoding/csv"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestListIsWhole holds the lists against the source: every form that is said
// somewhere is listed, every form listed is said somewhere.
func TestListIsWhole(t *testing.T) {
	list, err := entries()
	require.NoError(t, err)
	listed := map[string]entry{}
	for _, e := range list {
		if had, ok := listed[e.en]; ok {
			assert.Equal(t, had.es, e.es, "%s and %s translate the same form differently", had.where, e.where)
		}
		assert.True(t, hasLetter(e.en), "%s: %q has no words", e.where, e.en)
		listed[e.en] = e
	}
	said := formsSaid(t, filepath.Join("..", ".."))
	for form, where := range formsOfTables(t) {
		said[form] = where
	}
	for form, where := range said {
		_, ok := listed[form]
		assert.True(t, ok, "%s says a form that no list under words has: %q", where, form)
	}
	for form, e := range listed {
		_, ok := said[form]
		assert.True(t, ok, "%s: nothing says this form any more: %q", e.where, form)
	}
}

// formsOfTables are the meanings of the tables that Listed is given: their
// second columns.
func formsOfTables(t *testing.T) map[string]string {
	files, err := filepath.Glob(filepath.Join("..", "dtc", "table", "*.csv"))
	require.NoError(t, err)
	require.Len(t, files, 4)
	out := map[string]string{}
	for _, path := range files {
		f, err := os.Open(path)
		require.NoError(t, err)
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		require.NoError(t, f.Close())
		for i, row := range rows[1:] {
			assert.NotContains(t, row[1], "%", "%s:%d: a form without values", path, i+2)
			out[row[1]] = fmt.Sprintf("%s:%d", path, i+2)
		}
	}
	return out
}

// verbs are what a value is put into.
var verbs = regexp.MustCompile(`%(\[\d+\])?[a-zA-Z%]`)

// TestTranslationsTakeTheSameValues: no value is lost or put in twice, and no
// number is written with its fraction by a verb.
func TestTranslationsTakeTheSameValues(t *testing.T) {
	list, err := entries()
	require.NoError(t, err)
	for _, e := range list {
		assert.NotEmpty(t, strings.TrimSpace(e.es), e.where)
		en, es := valuesOf(e.en), valuesOf(e.es)
		assert.Equal(t, en, es, "%s: %q and %q take other values", e.where, e.en, e.es)
		for _, v := range append(en, es...) {
			assert.Regexp(t, `^\d+[sd]$`, v, "%s: only %%s and %%d", e.where)
		}
		assert.Equal(t, blanks(e.en), blanks(e.es), "%s: blanks at the ends", e.where)
	}
}

// TestFormsTakeTheirValues: every form of the lists takes its values as fmt would put them in.
func TestFormsTakeTheirValues(t *testing.T) {
	list, err := entries()
	require.NoError(t, err)
	for _, e := range list {
		var values []any
		for i, v := range valuesOf(e.en) {
			if strings.HasSuffix(v, "d") {
				values = append(values, 1000+i)
			} else {
				values = append(values, fmt.Sprintf("%%value %d", i))
			}
		}
		if values == nil {
			continue // such a form may say "5 %"
		}
		for _, form := range []string{e.en, e.es} {
			assert.Equal(t, "before "+fmt.Sprintf(form, values...), string(English.put([]byte("before "), form, values...)), e.where)
		}
	}
}

// blanks are the blanks and line ends that a form begins and ends with.
func blanks(s string) [2]bool {
	return [2]bool{strings.HasPrefix(s, " "), strings.HasSuffix(s, " ")}
}

// valuesOf lists which values a form takes, and how, in the order of the values.
func valuesOf(form string) []string {
	var out []string
	next := 1
	for _, v := range verbs.FindAllString(form, -1) {
		if v == "%%" {
			continue
		}
		n, kind := next, v[len(v)-1:]
		if i := strings.IndexByte(v, ']'); i > 0 {
			n, _ = strconv.Atoi(v[2:i])
		}
		next = n + 1
		out = append(out, strconv.Itoa(n)+kind)
	}
	slices.Sort(out)
	return out
}

// speakers are the functions whose arguments are forms, and which arguments.
var speakers = map[string][]int{"F": {0}, "AppendF": {1}, "Count": {1, 2}, "CountTenth": {1, 2}, "NewError": {0}, "form": {0}, "list": {1}}

// formsSaid walks the source for forms, each with one place that says it.
func formsSaid(t *testing.T, root string) map[string]string {
	out := map[string]string{}
	files := token.NewFileSet()
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name := d.Name(); name == "testdata" || len(name) > 2 && name[0] == '.' && name != ".." {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		inSay := file.Name.Name == "say"
		if !inSay && !importsSay(file) {
			return nil
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			name := calledName(call, inSay)
			for _, i := range speakers[name] {
				if i >= len(call.Args) {
					continue
				}
				at := files.Position(call.Args[i].Pos())
				form, ok := literal(call.Args[i])
				if !ok {
					if !inSay {
						assert.Fail(t, "a form that is no literal", "%s: a form must be a literal, so that the list can be held against it", at)
					}
					continue
				}
				out[form] = fmt.Sprintf("%s:%d", at.Filename, at.Line)
				if values := len(call.Args) - 1 - i; (name == "F" || name == "AppendF" || name == "NewError") && call.Ellipsis == token.NoPos {
					assert.Len(t, valuesOf(form), values, "%s: %q is given %d values", at, form, values)
				}
			}
			return true
		})
		return nil
	}))
	maps.DeleteFunc(out, func(form, _ string) bool { return !hasLetter(form) }) // has no words
	return out
}

func importsSay(file *ast.File) bool {
	return slices.ContainsFunc(file.Imports, func(i *ast.ImportSpec) bool { return i.Path.Value == `"pitlist/score/say"` })
}

// calledName is the function's name where it may be one of ours: say.F, or F
// of a language (any value but the packages that have an F of their own).
func calledName(call *ast.CallExpr, inSay bool) string {
	switch f := call.Fun.(type) {
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok && x.Name != "say" && (f.Sel.Name == "Count" || f.Sel.Name == "CountTenth") {
			return ""
		}
		if !inSay && (f.Sel.Name == "form" || f.Sel.Name == "list") {
			return ""
		}
		return f.Sel.Name
	case *ast.Ident:
		if inSay {
			return f.Name
		}
	}
	return ""
}

// literal is a string literal, or several with + between them.
func literal(e ast.Expr) (string, bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		s, err := strconv.Unquote(x.Value)
		return s, err == nil
	case *ast.BinaryExpr:
		a, ok1 := literal(x.X)
		b, ok2 := literal(x.Y)
		return a + b, ok1 && ok2 && x.Op == token.ADD
	case *ast.ParenExpr:
		return literal(x.X)
	}
	return "", false
}
