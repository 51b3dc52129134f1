package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// personal are files whose cells name vehicles and people under headings of
// their own, in free text, in rows that are rejected and in places where they do
// not belong. All names are invented.
func personal() map[string]string {
	return map[string]string{
		"wagen.csv": "Wagen-Nr;Kennz.;Fahrgestellnummer;Halterin;Stammfahrer;Bemerkung;Hersteller;Modell;Baujahr;km-Stand;Stand vom\n" +
			"QX-7701;HH ZZ 4711;Z8LCA4E2XJB100001;Ottilie Quandbach;Wendelin Kroschke;Zweitschlüssel bei Hulda Perlmoos, Tel. 0150 5550199;Northfold;Heron;2017;210000;2026-11-20\n" +
			"QX-7702;HH-ZZ-4712;z8mhd4e28ma100002;Ottilie Quandbach;Hulda Perlmoos;tauscht mit QX-7701 (z8lca4e2xjb100001), rief Wendelin Kroschke an;Northfold;Heron;2018;90000;2026-11-20\n" +
			"QX-7703;HHZZ4713;Z8MH D4E2 8MA1 0000 3;Kroschke;;pfeift, sagt Perlmoos;Northfold;Heron;2018;neunzigtausend;2026-11-20\n" +
			";;;Perlmoos Transporte;;Wendelin weiß Bescheid;;;;;\n",
		"werkstatt.csv": "Wagen-Nr;Datum;km;Arbeit;Monteur\nQX-7701;2026-11-12;209900;Ölwechsel, Abholung durch Hulda Perlmoos;Kunibert Zwirnlein\n" +
			"QX-9999;2026-11-12;100;Reifen, Kennz. HH ZZ 4799;Kunibert Zwirnlein\nQX-7702;2126-11-12;90000;Probefahrt Zwirnlein;K. Zwirnlein\n",
		"kaputt.xlsx": "PK\x03\x04 Wendelin Kroschke HH-ZZ-4711",
		"lose.csv":    "Liebe Hulda Perlmoos,\nanbei die Zahlen von Kunibert Zwirnlein.\nQX-7701 ist HH ZZ 4711\n",
	}
}

// wordsOf cuts text into what could name somebody: words of four and more
// letters or digits, and cells as they stand.
func wordsOf(text string) map[string]bool {
	out := map[string]bool{}
	for _, cell := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' }) {
		if len(cell) >= 5 {
			out[cell] = true
		}
		for _, w := range strings.FieldsFunc(cell, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
			if len(w) >= 4 && strings.IndexFunc(w, unicode.IsLetter) >= 0 {
				out[w] = true
			}
		}
	}
	return out
}

// TestNothingOfACellIsLogged: above the level of debug no word of any cell or
// heading gets into the log, however the run ends.
func TestNothingOfACellIsLogged(t *testing.T) {
	for name, c := range map[string]struct {
		change func(t *testing.T, dir string)
		job    string
		code   int
	}{
		"the run is made":                     {func(*testing.T, string) {}, "", exitRejected},
		"a file that cannot be read stops it": {func(*testing.T, string) {}, "strict: true\n", exitFailed},
		"no entry fits any model": {func(t *testing.T, dir string) {
			path := filepath.Join(dir, "intake", "wagen.csv")
			put(t, path, []byte(strings.ReplaceAll(string(mustRead(t, path)), ";Heron;", ";HH ZZ 4711 Kroschke;")))
		}, "", exitFailed},
		"no vehicle is found": {func(t *testing.T, dir string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "intake", "wagen.csv")))
			require.NoError(t, os.Remove(filepath.Join(dir, "intake", "werkstatt.csv")))
		}, "", exitFailed},
	} {
		t.Run(name, func(t *testing.T) {
			dir, job := withHistory(t)
			files := personal()
			week(t, dir, files)
			c.change(t, dir)
			put(t, job, append(mustRead(t, job), []byte("schedule: { cron: \"0 5 23 11 *\", time_zone: Europe/Oslo, settle_seconds: 0 }\n"+c.job)...))
			code, out, logged := invoke(t, "schedule", job, "--once", "--log", "text")
			assert.Equal(t, c.code, code, logged)
			assert.Empty(t, out)
			require.Contains(t, logged, "day=")
			loud := strings.ToLower(logged)
			for file, text := range files {
				for w := range wordsOf(text) {
					assert.NotContains(t, loud, strings.ToLower(w), "%s: the log says a word of a cell", file)
				}
			}
		})
	}
}
