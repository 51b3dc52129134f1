package workbook_test

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/workbook"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// inLanguage is a workbook of the document in a language.
func inLanguage(t *testing.T, d *report.Document, l *say.Language) ([]byte, *excelize.File) {
	t.Helper()
	d.Run.Language = l
	book := written(t, d, workbook.Options{})
	return book, open(t, book)
}

// TestBookInEachLanguageIsBuiltAlike: the languages differ in words and in
// nothing else: the same sheets, rows and cells, the same numbers in the same
// places, the same checks, frozen panes and printed pages.
func TestBookInEachLanguageIsBuiltAlike(t *testing.T) {
	for desk, d := range desks() {
		t.Run(desk, func(t *testing.T) {
			enBook, en := inLanguage(t, d, say.English)
			esBook, es := inLanguage(t, d, say.Spanish)
			enSheets, esSheets := en.GetSheetList(), es.GetSheetList()
			require.Len(t, esSheets, len(enSheets))
			words := 0
			for i := range enSheets {
				enRows, err := en.GetRows(enSheets[i], excelize.Options{RawCellValue: true})
				require.NoError(t, err)
				esRows, err := es.GetRows(esSheets[i], excelize.Options{RawCellValue: true})
				require.NoError(t, err)
				require.Len(t, esRows, len(enRows), enSheets[i])
				for j := range enRows {
					require.Len(t, esRows[j], len(enRows[j]), "%s row %d", enSheets[i], j+1)
					for k := range enRows[j] {
						assert.Equal(t, enRows[j][k] == "", esRows[j][k] == "", "%s row %d column %d", enSheets[i], j+1, k+1)
						if number.MatchString(enRows[j][k]) {
							assert.Equal(t, enRows[j][k], esRows[j][k], "%s row %d column %d", enSheets[i], j+1, k+1)
						} else if enRows[j][k] != esRows[j][k] {
							words++
						}
					}
				}
				assert.Equal(t, layout(t, enBook, i+1), layout(t, esBook, i+1), enSheets[i])
			}
			assert.Greater(t, words, 100, "the words differ")
			assert.Equal(t, pages(en, enSheets), pages(es, esSheets))
			readsAsOurs(t, esBook)
		})
	}
}

var number = regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?(E-?[0-9]+)?$`)

// layout is what a sheet has beside words: its page set-up, panes, joined
// cells, and the cells that are checked, with the formulas of the checks.
func layout(t *testing.T, book []byte, n int) []string {
	t.Helper()
	sheet := part(t, book, fmt.Sprintf("xl/worksheets/sheet%d.xml", n))
	var out []string
	for _, tag := range []string{"sheetPr", "dimension", "pane", "mergeCell", "pageMargins", "pageSetup", "brk", "sheetProtection", "drawing", "tablePart"} {
		out = append(out, regexp.MustCompile(`<`+tag+`[ >][^>]*>`).FindAllString(sheet, -1)...)
	}
	for _, check := range regexp.MustCompile(`(?s)<dataValidation .*?</dataValidation>`).FindAllString(sheet, -1) {
		check = regexp.MustCompile(` (error|errorTitle|prompt|promptTitle)="[^"]*"`).ReplaceAllString(check, "")
		out = append(out, regexp.MustCompile(`<formula1>&#34;[^<]*|<formula1>"[^<]*`).ReplaceAllString(check, "<formula1>a list"))
	}
	return out
}

// pages are the printed areas and repeated rows, by the sheet's place.
func pages(f *excelize.File, sheets []string) []string {
	var out []string
	for _, n := range f.GetDefinedName() {
		for i, s := range sheets {
			if n.Scope == s {
				out = append(out, fmt.Sprintf("%d %s %s", i, n.Name, strings.ReplaceAll(n.RefersTo, "'"+s+"'", "")))
			}
		}
	}
	return out
}

// TestSpanishCellsAskInSpanish: names of sheets, headings, the drop-down and
// what a cell asks for, as a person sees them.
func TestSpanishCellsAskInSpanish(t *testing.T) {
	book, f := inLanguage(t, desks()["fleet"], say.Spanish)
	assert.Equal(t, []string{"Revisar primero", "Fichas", "Resultados", "Otras revisiones", "Filas por corregir", "Distancias y VIN", "Hallazgos", "Piezas", "Gráficos", "Recuento de filas", "Cómo leer esta lista"}, f.GetSheetList())
	rows, err := f.GetRows("Resultados")
	require.NoError(t, err)
	heads := strings.Join(rows[3], "|")
	assert.Contains(t, heads, "Fila|Ficha n.º|Unidad|Base|Vehículo|Pieza|Hasta ahora|Hallazgo|Qué se hizo|Última lectura, km|Lectura, km|Día|Iniciales|Medida|Medido")
	assert.True(t, strings.HasSuffix(heads, "pitlist fila: no tocar"), heads)
	for _, sheet := range []string{"Resultados", "Fichas"} {
		checks, err := f.GetDataValidations(sheet)
		require.NoError(t, err)
		seen := map[string]bool{}
		for _, dv := range checks {
			seen[dv.Type] = true
			for _, words := range []*string{dv.Error, dv.ErrorTitle, dv.Prompt, dv.PromptTitle} {
				if words != nil {
					assert.NotRegexp(t, `\b(the|of|or|what|this|number|day)\b`, *words)
				}
			}
			if dv.Type == "list" {
				assert.Contains(t, dv.Formula1, "desgastada,en buen estado,no abierta,averiada")
			}
		}
		assert.Len(t, seen, 4, "%s %v", sheet, seen)
	}
	cards := part(t, book, "xl/worksheets/sheet2.xml")
	assert.Contains(t, cards, "página &amp;P de &amp;N")
	id, err := f.GetCellStyle("Resultados", "L5")
	require.NoError(t, err)
	style, err := f.GetStyle(id)
	require.NoError(t, err)
	require.NotNil(t, style.CustomNumFmt)
	assert.Equal(t, "dd/mm/yyyy", *style.CustomNumFmt)
}

// TestWhatCellsAskFits: a title of a cell's check holds 32 characters, a message
// and a list 255, a footer 255 (ECMA-376 part 1, 18.3.1.32 and 18.3.1.55); more
// is a damaged file.
func TestWhatCellsAskFits(t *testing.T) {
	for desk, d := range desks() {
		for _, l := range say.Languages() {
			book, f := inLanguage(t, d, l)
			seen := 0
			for i, sheet := range f.GetSheetList() {
				checks, err := f.GetDataValidations(sheet)
				require.NoError(t, err)
				for _, dv := range checks {
					for _, at := range []struct {
						words *string
						most  int
					}{{dv.ErrorTitle, 32}, {dv.PromptTitle, 32}, {dv.Error, 255}, {dv.Prompt, 255}, {&dv.Formula1, 255}} {
						if at.words != nil {
							seen++
							assert.LessOrEqual(t, len([]rune(*at.words)), at.most, "%s %s %s: %q", desk, l.Tag, sheet, *at.words)
						}
					}
				}
				_, footer, _ := strings.Cut(part(t, book, fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)), "<oddFooter>")
				footer, _, _ = strings.Cut(footer, "</oddFooter>")
				assert.NotEmpty(t, footer, sheet)
				assert.LessOrEqual(t, len([]rune(html.UnescapeString(footer))), 255, footer)
			}
			assert.Positive(t, seen)
		}
	}
}

// TestBookNamesItself: whose it is, of which day and in which language; not
// the library's own name and day.
func TestBookNamesItself(t *testing.T) {
	d := desks()["fleet"]
	_, f := inLanguage(t, d, say.Spanish)
	props, err := f.GetDocProps()
	require.NoError(t, err)
	assert.Equal(t, "pitlist "+d.Run.Version, props.Creator)
	assert.Equal(t, d.Run.Day.Time().Format("2006-01-02T15:04:05Z"), props.Created)
	assert.Contains(t, props.Title, "weekly-north")
	assert.Equal(t, "es", props.Language)
	assert.Equal(t, "Una lista es un motivo para revisar, no un diagnóstico.", props.Description)
	font, err := f.GetDefaultFont()
	require.NoError(t, err)
	assert.Equal(t, "Arial", font, "the widths of columns are reckoned in its digits")
}

// TestHeadingsFitInEachLanguage: a heading stands on three lines at most, and
// none is cut.
func TestHeadingsFitInEachLanguage(t *testing.T) {
	for desk, d := range desks() {
		for _, l := range say.Languages() {
			_, f := inLanguage(t, d, l)
			for _, sheet := range f.GetSheetList() {
				tables, err := f.GetTables(sheet)
				require.NoError(t, err)
				for _, table := range tables {
					tableIsSound(t, f, sheet, table.Range)
					from, to, _ := strings.Cut(table.Range, ":")
					left, top, err := excelize.CellNameToCoordinates(from)
					require.NoError(t, err)
					right, _, err := excelize.CellNameToCoordinates(to)
					require.NoError(t, err)
					for col := left; col <= right; col++ {
						cell, err := excelize.CoordinatesToCellName(col, top)
						require.NoError(t, err)
						letter, err := excelize.ColumnNumberToName(col)
						require.NoError(t, err)
						head, err := f.GetCellValue(sheet, cell)
						require.NoError(t, err)
						width, err := f.GetColWidth(sheet, letter)
						require.NoError(t, err)
						for word := range strings.FieldsSeq(head) {
							assert.LessOrEqual(t, roughly(word)+1, width, "%s %s %s: %q is cut", desk, l.Tag, sheet, head)
						}
						assert.LessOrEqual(t, float64(len([]rune(head)))*0.7, 3*width, "%s %s %s: %q", desk, l.Tag, sheet, head)
					}
				}
			}
		}
	}
}

// roughly is a bold word's width in digits, by eye: most letters are as wide
// as a digit of the larger default font, some half as wide.
func roughly(word string) float64 {
	w := 0.0
	for _, r := range word {
		if strings.ContainsRune("ijltf.,:;()¿?!'|rí", r) {
			w += 0.45
		} else {
			w += 0.92
		}
	}
	return w
}

// TestEachLanguageIsKnownWhenItComesBack: every sheet, by its name and its
// first cell.
func TestEachLanguageIsKnownWhenItComesBack(t *testing.T) {
	for desk, d := range desks() {
		_, f := inLanguage(t, d, say.Spanish)
		for _, name := range f.GetSheetList() {
			first, err := f.GetCellValue(name, "A1")
			require.NoError(t, err)
			if !slip.SheetCards.IsNamed(name) && !slip.SheetCounter.IsNamed(name) { // known by their slips, and by name
				assert.True(t, slip.IsListed(name, first, false), "%s: %s %q", desk, name, first)
			}
		}
	}
}
