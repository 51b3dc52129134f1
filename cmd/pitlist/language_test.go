package main

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
	"pitlist/config/demo"
	"pitlist/score/say"
)

// TestDemoInAnotherLanguage: one line of each job chooses it.
func TestDemoInAnotherLanguage(t *testing.T) {
	d, err := demo.Make(demo.Seed)
	require.NoError(t, err)
	d.Speak("es")
	dir := t.TempDir()
	require.NoError(t, writeDemo(dir, d))
	for _, name := range []string{demo.JobName, demo.SaleName, demo.TradeName} {
		job, faults, err := config.LoadJob(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Empty(t, faults)
		assert.Equal(t, "es", job.Language, name)
	}
	code, _, errOut := demoRun(t, filepath.Join(t.TempDir(), "new"), "--language", "xx")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "en or es")
}

// TestSpanishIsWhole makes the demo's three workbooks in English and in
// Spanish. The Spanish ones hold no English form of three words or more, and
// cell by cell both hold the same numbers.
func TestSpanishIsWhole(t *testing.T) {
	t.Parallel()
	_, english := demoFolder(t, demo.Seed)
	_, spanish := demoFolder(t, demo.Seed)
	inputs := readAllowed(t, spanish)
	forms := englishForms(t)
	for job, folder := range map[string]string{demo.JobName: "out", demo.SaleName: "out-auction", demo.TradeName: "out-trade-in"} {
		t.Run(folder, func(t *testing.T) {
			made := func(dir string, l *say.Language) []written {
				w := &world{out: &strings.Builder{}, errOut: &strings.Builder{}, language: l}
				_, err := w.runJob(context.Background(), filepath.Join(dir, job), firstDay(t))
				notStopped(t, err)
				return outputs(t, filepath.Join(dir, folder, demo.Day))
			}
			en, es := made(english, say.English), made(spanish, say.Spanish)
			noEnglish(t, es, forms, inputs)
			sameNumbers(t, en, es)
		})
	}
}

// TestRecordHasNoLanguage plays two weeks in English and in Spanish, lists
// filled in and sent back in each. Both leave the same record, cell by cell.
func TestRecordHasNoLanguage(t *testing.T) {
	t.Parallel()
	var records [2][]string
	for i, l := range []*say.Language{say.English, say.Spanish} {
		w := newWeeks(t, demo.Seed)
		w.speak = l
		_, doc, book := w.list(firstDay(t), "first.yaml")
		w.answer(doc, book, firstDay(t))
		w.week()
		b, _, _ := w.list(firstDay(t)+7, "year.yaml")
		records[i] = recordOf(t, b.job.HistoryPath())
	}
	require.Greater(t, len(records[0]), 1000)
	require.Equal(t, len(records[0]), len(records[1]))
	for i := range records[0] {
		require.Equal(t, records[0][i], records[1][i])
	}
}

// recordOf lists what a record's tables hold, save the names of sheets and the
// digests of files: a list is another file in each language.
func recordOf(t *testing.T, path string) (out []string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	defer db.Close()
	tables, err := db.Query("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
	require.NoError(t, err)
	var names []string
	for tables.Next() {
		var name string
		require.NoError(t, tables.Scan(&name))
		names = append(names, name)
	}
	require.NoError(t, tables.Err())
	for _, name := range names {
		rows, err := db.Query("SELECT * FROM " + name)
		require.NoError(t, err)
		columns, err := rows.Columns()
		require.NoError(t, err)
		for rows.Next() {
			cells := make([]any, len(columns))
			for i := range cells {
				cells[i] = new(any)
			}
			require.NoError(t, rows.Scan(cells...))
			var line strings.Builder
			for i, c := range cells {
				if columns[i] != "sha256" && columns[i] != "sheet" {
					fmt.Fprintf(&line, " %s=%v", columns[i], *c.(*any))
				}
			}
			out = append(out, name+line.String())
		}
		require.NoError(t, rows.Err())
	}
	return out
}

// formsListed are the English forms of all lists.
func formsListed(t *testing.T) (out []string) {
	t.Helper()
	lists, err := filepath.Glob("../../score/say/words/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, lists)
	for _, list := range lists {
		for _, line := range strings.Split(string(mustRead(t, list)), "\n") {
			if en, is := strings.CutPrefix(line, "en: "); is {
				out = append(out, en)
			}
		}
	}
	return out
}

// englishForms are the runs of at least three words in the lists' English
// forms, by their first three.
func englishForms(t *testing.T) map[string][]string {
	t.Helper()
	verb := regexp.MustCompile(`%(\[\d+\])?[a-z%]`)
	out := map[string][]string{}
	for _, en := range formsListed(t) {
		for _, piece := range verb.Split(en, -1) {
			if w := wordsIn(piece); len(w) >= 3 {
				first := strings.Join(w[:3], " ")
				out[first] = append(out[first], strings.Join(w, " "))
			}
		}
	}
	return out
}

// noEnglish fails for the texts that hold an English form and did not read it
// in the inputs.
func noEnglish(t *testing.T, texts []written, forms map[string][]string, inputs *allowed) {
	t.Helper()
	found := map[string]string{}
	for _, w := range texts {
		words := wordsIn(w.text)
		for i := 0; i+3 <= len(words); i++ {
			rest := strings.Join(words[i:], " ") + " "
			for _, form := range forms[strings.Join(words[i:i+3], " ")] {
				if strings.HasPrefix(rest, form+" ") && !strings.Contains(inputs.all, form) {
					found[form] = w.at + ": " + w.text
				}
			}
		}
	}
	assert.Empty(t, slices.Sorted(maps.Values(found)), "English forms:\n%s", strings.Join(slices.Sorted(maps.Values(found)), "\n"))
}

// sameNumbers holds the numbers of both languages against each other, text by
// text. What the inputs say is written alike in both.
func sameNumbers(t *testing.T, en, es []written) {
	t.Helper()
	require.Len(t, es, len(en), "as many texts")
	n := 0
	var differ []string
	for i := range en {
		x, y := numbersIn(dayOnly(en[i].text)), numbersIn(dayOnly(es[i].text))
		for _, s := range slices.Clone(x) { // alike in both
			if j := slices.Index(y, s); j >= 0 {
				y = slices.Delete(y, j, j+1)
				x = slices.Delete(x, slices.Index(x, s), slices.Index(x, s)+1)
			}
		}
		for j := range x {
			x[j] = strings.ReplaceAll(x[j], ",", "")
		}
		for j := range y {
			y[j] = strings.ReplaceAll(strings.ReplaceAll(y[j], ".", ""), ",", ".")
		}
		slices.Sort(x)
		slices.Sort(y)
		n += len(x)
		if !slices.Equal(x, y) {
			differ = append(differ, fmt.Sprintf("%s: %q, and %s: %q", en[i].at, en[i].text, es[i].at, es[i].text))
		}
	}
	assert.Empty(t, differ, "numbers differ:\n%s", strings.Join(differ, "\n"))
	assert.Positive(t, n, "no number is written otherwise")
}

// dayOnly writes days as "11 2026", since a month is a word in some.
func dayOnly(s string) string {
	s = isoDay.ReplaceAllString(s, "$3 $1")
	return slashedDay.ReplaceAllString(s, "$1 $3")
}

var isoDay, slashedDay = regexp.MustCompile(`\b(\d{4})-(\d\d)-0?(\d{1,2})\b`), regexp.MustCompile(`\b(\d\d)/(\d\d)/(\d{4})\b`)

// aNumber finds a number with its marks, whatever they mean.
var aNumber = regexp.MustCompile(`\d+([.,]\d+)*`)

func numbersIn(s string) []string { return aNumber.FindAllString(s, -1) }
