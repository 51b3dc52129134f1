package ingest

import (
	"context"
	"errors"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/csv"
	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/ingest/xlsx"
	"pitlist/score/dtc"
	"pitlist/score/phrase"
	"pitlist/score/say"
)

// TestCorpusIsSaidInEveryLanguage: of all that reading the corpus has to say,
// every word that does not come from the file itself, or is a name that the
// job file knows, stands in a form; and the two languages give the same
// figures. A word written past package say fails here.
func TestCorpusIsSaidInEveryLanguage(t *testing.T) {
	marked, said, ran := say.Marked("⟦", "⟧"), 0, 0
	all := loadCorpus(t).Cases
	for _, k := range all {
		t.Run(k.Name, func(t *testing.T) {
			ran++
			own := jobWords()
			for _, in := range k.inputs() {
				learn(own, in.Path, in.Shown, in.Encoding)
				fileWords(own, &in)
			}
			for _, x := range k.texts(t, own) {
				said++
				for _, w := range wordsOf(someDay.ReplaceAllString(outside(marked.Say(x)), "")) {
					assert.True(t, own[w] || onlyFigures(w), "%q is said in no language's words: %s", w, marked.Say(x))
				}
				assert.Equal(t, figures(say.English.Say(x)), figures(say.Spanish.Say(x)), "%s\n%s", x, say.Spanish.Say(x))
			}
		})
	}
	if ran == len(all) { // not picked out by -run
		assert.Greater(t, said, 200)
	}
}

// texts are all that the reading of a case has to say to people. What a
// library says of a file it cannot read is quoted: own learns it.
func (k *corpusCase) texts(t *testing.T, own map[string]bool) (out []say.Text) {
	res, err := tryRead(t, k.inputs(), Options{})
	if err != nil {
		var f *Fault
		require.ErrorAs(t, err, &f)
		out = append(out, f.Text, f.Hint)
	}
	for i := range res.Files {
		v := &res.Files[i]
		out = append(append(out, v.Words()), v.Notes...)
		var x *xlsx.Fault
		if errors.As(v.Err, &x) {
			learn(own, x.Sheet, "xl/worksheets/sheet1.xml")
			if x.Err != nil {
				learn(own, x.Err.Error())
			}
		}
	}
	for i := range res.Sheets {
		s := &res.Sheets[i]
		learn(own, s.Source.Sheet)
		out = append(append(out, s.Skipped), s.Notes...)
		for _, c := range s.Columns {
			out = append(out, c.How)
		}
	}
	if res.Fleet == nil {
		return out
	}
	for _, i := range res.Fleet.Issues {
		out = append(out, i.Reason, i.Suggestion, res.Fleet.Where(i.Ref))
	}
	return out
}

// jobWords are what a job file calls things: the same in every language.
func jobWords() map[string]bool {
	own := map[string]bool{}
	for _, f := range header.Fields() {
		learn(own, string(f))
	}
	learn(own, "column ignore path sheets name columns holds date_order day month odometer_unit header_row password_env km mi h")
	learn(own, "Chart chartsheet") // the one sheet of the corpus that is none, with its type as the format has it
	return own
}

// learn adds the words of texts.
func learn(own map[string]bool, texts ...string) {
	for _, text := range texts {
		for _, w := range wordsOf(text) {
			own[w] = true
		}
	}
}

// wordsOf are the words of a text, in lower case.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '_' })
}

// fileWords adds the words of all cells of a file, as far as it can be read.
func fileWords(own map[string]bool, in *Input) {
	ctx := context.Background()
	if filepath.Ext(in.Path) != ".xlsx" && filepath.Ext(in.Path) != ".xlsm" {
		if f, err := csv.Open(ctx, in.Path, csv.Options{Encoding: in.Encoding}); err == nil {
			defer f.Close()
			learn(own, f.Encoding(), string(f.Delimiter()))
			rowWords(own, f)
		}
		return
	}
	book, err := xlsx.Open(ctx, in.Path, xlsx.Options{Password: in.Password})
	if err != nil {
		return
	}
	defer book.Close()
	for _, s := range book.Sheets() {
		if rows, err := book.Rows(s.Name); err == nil {
			rowWords(own, rows)
			rows.Close()
		}
	}
}

func rowWords(own map[string]bool, r rows) {
	for {
		_, cells, err := r.Read()
		var bad *csv.RowError
		if errors.As(err, &bad) {
			learn(own, bad.Text)
			continue
		}
		if err != nil { // io.EOF, or damage
			return
		}
		learn(own, cells...)
		for _, c := range cells {
			if text, dropped := cleaned(c); dropped {
				learn(own, text)
			}
		}
	}
}

var between = regexp.MustCompile(`⟦[^⟧]*⟧`)

func outside(marked string) string { return between.ReplaceAllString(marked, " ") }

// onlyFigures sees a number, a code, a VIN or a column's letter.
func onlyFigures(w string) bool {
	return strings.ContainsFunc(w, unicode.IsDigit) || len(w) == 1 && w[0] >= 'a' && w[0] <= 'z'
}

var (
	someDay = regexp.MustCompile(`\d{4}-\d\d-\d\d|\d{1,2} (de )?\p{L}+ (de )?\d{4}`)
	marks   = regexp.MustCompile(`(\d)[.,\x{00a0}](\d)`)
	digits  = regexp.MustCompile(`\d+`)
)

// figures are the numbers of a text in order of size, days apart: their form
// is another in each language.
func figures(text string) []string {
	text = someDay.ReplaceAllString(text, "")
	text = marks.ReplaceAllString(marks.ReplaceAllString(text, "$1$2"), "$1$2")
	return slices.Sorted(slices.Values(digits.FindAllString(text, -1)))
}

// TestSuggestedWordsAreRead: where a remedy names the words to write, in any
// language, these are read.
func TestSuggestedWordsAreRead(t *testing.T) {
	read := map[string]func(string) bool{
		"write yes or no":                         func(s string) bool { _, err := value.ParseYesNo(s); return err == nil },
		"write in use, sold or off road":          func(s string) bool { _, err := value.ParseStatus(s); return err == nil },
		"write done, declined or recommended":     func(s string) bool { _, ok := phrase.ParseStatus(s); return ok },
		"write worn, sound, not opened or failed": func(s string) bool { _, err := value.ParseFinding(s); return err == nil },
		"write stored, pending or permanent":      func(s string) bool { _, ok := dtc.ParseState(s); return ok },
		"write km or mi":                          func(s string) bool { _, _, ok := value.ParseUnit(s); return ok },
	}
	split := regexp.MustCompile(`, | or | o `)
	for _, form := range slices.Sorted(maps.Keys(read)) {
		for _, l := range say.Languages() {
			_, list, ok := strings.Cut(l.F(form), " ")
			require.True(t, ok)
			words := split.Split(list, -1)
			assert.Greater(t, len(words), 1)
			for _, w := range words {
				assert.True(t, read[form](w), "%s: %q of %q", l.Tag, w, list)
			}
		}
	}
}
