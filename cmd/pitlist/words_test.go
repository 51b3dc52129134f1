package main

import (
	"context"
	"encoding/csv"
	"io/fs"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"go.yaml.in/yaml/v4"
	"golang.org/x/text/encoding/charmap"

	"pitlist/config/demo"
	"pitlist/score/say"
)

// The marks that a marked language puts around all words of ours.
const (
	openMark = "⟦"
	endMark  = "⟧"
)

// TestNoWordPastTheLists makes whole runs in a language in which every word of
// the lists stands between marks. Outside them there may only be what the
// inputs, the catalogue and the job say, numbers, codes, days, file names and
// the like: anything else was written past the one place of all words.
func TestNoWordPastTheLists(t *testing.T) {
	t.Parallel()
	marked := say.Marked(openMark, endMark)
	t.Run("three desks and two studies", func(t *testing.T) {
		t.Parallel()
		_, dir := demoFolder(t, demo.Seed)
		allowed := readAllowed(t, dir)
		w := &world{out: &strings.Builder{}, errOut: &strings.Builder{}, language: marked}
		day := firstDay(t)
		for _, job := range []string{demo.JobName, demo.SaleName, demo.TradeName} {
			_, err := w.runJob(context.Background(), filepath.Join(dir, job), day)
			notStopped(t, err)
		}
		notStopped(t, w.fit(context.Background(), filepath.Join(dir, demo.JobName), day))
		notStopped(t, w.backtest(context.Background(), filepath.Join(dir, demo.JobName), day, asked{every: 26, from: "2025-01-01"}))
		for _, folder := range []string{"out/" + demo.Day, "out-auction/" + demo.Day, "out-trade-in/" + demo.Day, "out/fit-" + demo.Day, "out/backtest-" + demo.Day} {
			allowed.hold(t, outputs(t, filepath.Join(dir, filepath.FromSlash(folder))))
		}
	})
	t.Run("a week with memory and a returned list", func(t *testing.T) {
		t.Parallel()
		w := newWeeks(t, demo.Seed)
		day := firstDay(t)
		_, doc, book := w.list(day, "first.yaml")
		w.answer(doc, book, day)
		w.week()
		w.speak = marked
		allowed := readAllowed(t, w.dir)
		_, _, book = w.list(day+7, "year.yaml")
		allowed.hold(t, outputs(t, filepath.Dir(book)))
	})
}

// notStopped lets pass that rows were rejected.
func notStopped(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		require.Equal(t, exitRejected, codeOf(err), "%v", err)
	}
}

// allowed are the texts that may stand in an output outside the marks: what
// the inputs, the catalogue and the job say. Each is kept whole, as its words
// in a row: that a sheet says "not" somewhere lets no "not" of ours through.
type allowed struct {
	texts   map[string]bool // words with one blank between them
	longest int             // words
	all     string          // for what is quoted in part
	forms   map[string]bool // the English forms of the lists
}

// read collects what stands in the folder's files before a run.
func readAllowed(t *testing.T, dir string) *allowed {
	t.Helper()
	a := &allowed{texts: map[string]bool{}, forms: map[string]bool{}}
	for _, form := range formsListed(t) {
		a.forms[form] = true
	}
	for _, s := range common {
		a.add(s)
	}
	var all strings.Builder
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, path)
		require.NoError(t, err)
		a.add(filepath.ToSlash(name), e.Name())
		if e.IsDir() {
			if strings.HasPrefix(e.Name(), "out") {
				return filepath.SkipDir
			}
			return nil
		}
		for _, s := range textsOf(t, path) {
			a.add(s)
			all.WriteString(s + "\n")
		}
		return nil
	}))
	a.all = strings.ToLower(all.String())
	return a
}

// common may stand anywhere: names that are no language's.
var common = []string{"pitlist", "SHA", "EUR", "VIN", "xlsx", "utf", "windows", "mu", "sigma", workbookName, studyBook, studyText, learnedName, "development build"}

// textsOf are the cells of a sheet or the values of a YAML file.
func textsOf(t *testing.T, path string) (out []string) {
	t.Helper()
	switch filepath.Ext(path) {
	case ".xlsx":
		f, err := excelize.OpenFile(path)
		require.NoError(t, err)
		defer f.Close()
		for _, sheet := range f.GetSheetList() {
			rows, err := f.GetRows(sheet)
			require.NoError(t, err)
			for _, r := range rows {
				out = append(out, r...)
			}
			out = append(out, sheet)
		}
	case ".csv":
		out = cellsOf(t, mustRead(t, path))
	case ".yaml":
		var tree any
		require.NoError(t, yaml.Unmarshal(mustRead(t, path), &tree))
		out = valuesIn(tree, out)
	}
	return out
}

// cellsOf reads a text file of whatever encoding and separator.
func cellsOf(t *testing.T, data []byte) (out []string) {
	t.Helper()
	if !utf8.Valid(data) {
		var err error
		data, err = charmap.Windows1252.NewDecoder().Bytes(data)
		require.NoError(t, err)
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	line, _, _ := strings.Cut(text, "\n")
	for _, sep := range ";\t" {
		if strings.Count(line, string(sep)) > strings.Count(line, string(r.Comma)) {
			r.Comma = sep
		}
	}
	rows, err := r.ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		out = append(out, row...)
	}
	return out
}

// valuesIn are the texts of a YAML tree; of keys only names, which the format
// does not know.
func valuesIn(tree any, out []string) []string {
	switch x := tree.(type) {
	case string:
		return append(out, x)
	case []any:
		for _, v := range x {
			out = valuesIn(v, out)
		}
	case map[string]any:
		for k, v := range x {
			if strings.ToLower(k) != k {
				out = append(out, k)
			}
			out = valuesIn(v, out)
		}
	}
	return out
}

func (a *allowed) add(texts ...string) {
	for _, s := range texts {
		if w := wordsIn(s); len(w) > 0 {
			a.texts[strings.Join(w, " ")] = true
			a.longest = max(a.longest, len(w))
		}
	}
}

// wordsIn are the runs of letters in a text that no digit touches, in lower
// case: a code or an identifier says nothing in any language, nor does a
// capital by itself.
func wordsIn(text string) (out []string) {
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if !strings.ContainsFunc(w, unicode.IsDigit) && (len(w) > 1 || w >= "a") {
			out = append(out, strings.ToLower(w))
		}
	}
	return out
}

// marks finds what stands between marks, and marks in marks.
var marks = regexp.MustCompile(openMark + `[^` + openMark + endMark + `]*` + endMark)

// quotation finds somebody's own words as an output quotes them.
var quotation = regexp.MustCompile(`“[^”]*”|"[^"]*"`)

// slipOf finds an identifier of package slip.
var slipOf = regexp.MustCompile(`^pitlist [a-z]+ \d+: job=`)

// past is what of an output was written past the lists; "" for nothing.
func (a *allowed) past(text string) string {
	if slipOf.MatchString(text) {
		return "" // what a list that comes back is known by, for no person's eyes
	}
	rest := marks.ReplaceAllString(text, "\x00")
	rest = quotation.ReplaceAllStringFunc(rest, func(q string) string {
		_, n := utf8.DecodeRuneInString(q)
		_, m := utf8.DecodeLastRuneInString(q)
		said := strings.TrimRight(q[n:len(q)-m], "…")
		if strings.Contains(a.all, strings.ToLower(said)) || a.read(said) {
			return "\x00"
		}
		return q
	})
	var left []string
	for _, piece := range strings.Split(rest, "\x00") {
		if !a.covers(wordsIn(piece)) || slices.ContainsFunc(numbers.FindAllString(piece, -1), a.ours) {
			left = append(left, strings.TrimSpace(piece))
		}
	}
	return strings.Join(left, " … ")
}

// numbers finds those with a decimal point, or with a mark between thousands.
var numbers = regexp.MustCompile(`\d+([.,]\d+)+`)

// ours tells that a number so written stands in no input.
func (a *allowed) ours(number string) bool { return !strings.Contains(a.all, number) }

// read tells whether an input's text has the words in this order, others
// between them: a wording that was recognised is quoted without those.
func (a *allowed) read(said string) bool {
	for text := range a.texts {
		words := wordsIn(said)
		for _, w := range strings.Fields(text) {
			if len(words) > 0 && w == words[0] {
				words = words[1:]
			}
		}
		if len(words) == 0 {
			return true
		}
	}
	return false
}

// covers tells whether the words are those of allowed texts, one after another.
func (a *allowed) covers(words []string) bool {
	can := make([]bool, len(words)+1) // the first so many words
	can[0] = true
	for i := range words {
		for j := i + 1; can[i] && j <= len(words) && j-i <= a.longest; j++ {
			can[j] = can[j] || a.texts[strings.Join(words[i:j], " ")]
		}
	}
	return can[len(words)]
}

// quotesCells finds the sheets that name sheets, columns and cells of the inputs.
var quotesCells = regexp.MustCompile(`⟦Rows (to mend|counted)⟧`)

// digits are what makes no difference between two findings.
var digits = regexp.MustCompile(`\d+`)

// hold fails for texts that were written past the lists, with one of each kind.
func (a *allowed) hold(t *testing.T, texts []written) {
	t.Helper()
	require.NotEmpty(t, texts)
	found := map[string]string{}
	inMarks := 0
	for _, w := range texts {
		if w.number {
			continue
		}
		inMarks += strings.Count(w.text, openMark)
		p := a.past(w.text)
		if p == "" && a.forms[w.text] && !quotesCells.MatchString(w.at) {
			p = w.text // a word of ours, though some sheet has it too
		}
		if p != "" {
			found[digits.ReplaceAllString(p, "0")] = w.at + ": " + p
		}
	}
	assert.Positive(t, inMarks, "nothing was said in the marked language")
	var lines []string
	for _, p := range slices.Sorted(maps.Keys(found)) {
		lines = append(lines, found[p])
	}
	assert.Empty(t, lines, "written past the lists under score/say/words:\n%s", strings.Join(lines, "\n"))
}

// TestPastTheLists: the check itself.
func TestPastTheLists(t *testing.T) {
	a := &allowed{texts: map[string]bool{}, all: "knocks when hot, says the driver; 0.35"}
	a.add("Northfold", "Heron", "High-pressure pump", "not opened")
	for text, want := range map[string]string{
		"⟦found worn on ⟧12⟦ at ⟧171˙400 ⟦km⟧":       "",
		"Northfold Heron 2016":                       "",
		"⟦in ⟧High-pressure pump, ZSNHV2D40GK104204": "",
		"High pump":                          "High pump",
		"not of ⟦its⟧ range":                 "not of … range",
		"⟦says ⟧“knocks when hot”":           "",
		"⟦says ⟧“knocks when cold”":          "“knocks when cold”",
		"⟦one ⟧not opened⟦ and two ⟧opened.": "opened.",
		"⟦of ⟧0.35⟦ and ⟧0.36":               "0.36",
		"⟦at ⟧171,400 ⟦km⟧":                  "171,400",
	} {
		assert.Equal(t, want, a.past(text), text)
	}
}
