package dtc

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Cells as workshops, buyers and readers write them: made up here, before the
// scanner was tried on them. A reading is written "P0087", or "P0087=pending"
// with its state.
func TestCellsWithCodes(t *testing.T) {
	for _, tc := range []struct{ rule, cell, want string }{
		{"comma without blank", "P0087,P0191", "P0087 P0191"},
		{"semicolon and trailing separator", "P0087; P0191;", "P0087 P0191"},
		{"bar", "P0087|P0191|U0100", "P0087 P0191 U0100"},
		{"slash", "P0087/P0191", "P0087 P0191"},
		{"line break in the cell", "P0087\r\nP0191", "P0087 P0191"},
		{"the word and", "P0087 and P0191", "P0087 P0191"},
		{"the word und", "P0087 und P0191", "P0087 P0191"},
		{"ampersand", "P0087 & P0191", "P0087 P0191"},
		{"plus", "P0087 + P0191", "P0087 P0191"},
		{"same code twice", "P0087, p0087, P0087", "P0087"},
		{"with and without failure type are two", "P0087, P0087-1A", "P0087 P0087-1A"},
		{"numbered list", "1. P0087\n2. P0191", "P0087 P0191"},
		{"bullets", "• P0087\n• P0191", "P0087 P0191"},
		{"quotes", `"P0087" 'P0191'`, "P0087 P0191"},
		{"brackets around the list", "[P0087, P0191]", "P0087 P0191"},
		{"full stop at the end", "Found P0087.", "P0087"},
		{"label glued with a colon", "DTC:P0087", "P0087"},
		{"module before the code", "ECM-P0087; TCM: P0700", "P0087 P0700"},
		{"module with a slash", "ECU/P0087", "P0087"},
		{"letter apart", "P 0087, c 0035", "P0087 C0035"},
		{"letter and dash", "P-0087 B-1234", "P0087 B1234"},
		{"failure type after dash in lower case", "p0087-1a", "P0087-1A"},
		{"failure type after colon", "P0087:1A", "P0087-1A"},
		{"failure type zero", "P0087-00, P0191-00", "P0087-00 P0191-00"},
		{"seven characters run together", "P008700", "P0087-00"},
		{"dash of a word processor", "P0087–1A", "P0087-1A"},
		{"blank that does not break", "P\u00a00087", "P0087"},
		{"wide letters", "Ｐ００８７", "P0087"},
		{"Cyrillic letter that looks Latin", "Р0087", "P0087"},
		{"description with comma and state", "P0087 Fuel rail pressure too low, bank 1 (stored); P0191", "P0087=stored P0191"},
		{"description after a dash", "P0301 - Misfire cylinder 1", "P0301"},
		{"description glued by a dash", "P0301-Misfire", "P0301"},
		{"description after a colon", "P0301: cylinder 1 misfire; P0302: cylinder 2 misfire", "P0301 P0302"},
		{"two capitals after a dash are a word before text", "P0530-AC pressure sensor", "P0530"},
		{"pending in brackets", "P0087 (pending)", "P0087=pending"},
		{"permanent in square brackets", "P0420 [Permanent]", "P0420=permanent"},
		{"state in brackets belongs to its own code", "P0087, P0191 (pending)", "P0087 P0191=pending"},
		{"state before the code", "pending P0301, stored P0420", "P0301=pending P0420=stored"},
		{"headings that hold for several", "Stored: P0301, P0302; Pending: P0420", "P0301=stored P0302=stored P0420=pending"},
		{"headings on lines", "Confirmed codes:\nP0301\nP0302\nPending codes:\nP0420", "P0301=stored P0302=stored P0420=pending"},
		{"headings on lines without colon", "Stored\nP0301\nP0302\nPending\nP0420", "P0301=stored P0302=stored P0420=pending"},
		{"states on the line below", "P0301\nstored\nP0302\npending", "P0301=stored P0302=pending"},
		{"heading without separator", "P0301 Pending: P0420", "P0301 P0420=pending"},
		{"state repeated with a state wins", "P0301; P0301 (pending)", "P0301=pending"},
		{"stored and pending both", "P0301 stored, P0301 pending", "P0301=stored P0301=pending"},
		{"not confirmed is pending", "P0301 (not confirmed)", "P0301=pending"},
		{"state word inside a description says nothing", "P059F grille shutter active control performance", "P059F"},
		{"German", "P0087 Kraftstoffdruck zu niedrig (sporadisch), P0191 nicht bestätigt", "P0087=stored P0191=pending"},
		{"French", "P0087 (confirmé) et P0191 (en attente)", "P0087=stored P0191=pending"},
		{"Spanish", "P0087 almacenado; P0191 pendiente", "P0087=stored P0191=pending"},
		{"Norwegian", "P0087 lagret, P0191 ventende", "P0087=stored P0191=pending"},
		{"Finnish", "P0087 (tallennettu), P0191 (odottava)", "P0087=stored P0191=pending"},
		{"Polish", "P0087 zapisany, P0191 oczekujący", "P0087=stored P0191=pending"},
		{"count in brackets", "P0301 (3), P0302 (1)", "P0301 P0302"},
		{"count glued", "P0301x3 P0302 x2", "P0301 P0302"},
		{"date beside the code", "P0301 12/05/2024, P0302 2024-05-12", "P0301 P0302"},
		{"distance beside the code", "P0301 @ 171400 km", "P0301"},
		{"none but", "no codes except P0301", "P0301"},
		{"no more faults besides", "P0301. No other faults", "P0301"},
		{"number sign before the code", "Code no. P0301", "P0301"},
		{"heavy-duty in words", "SPN 636 FMI 2 OC 14; SPN 100/FMI 1", "SPN 636 FMI 2,SPN 100 FMI 1"},
		{"heavy-duty with its address after", "SPN 636 FMI 2 SA 0, SPN 100 FMI 1 SA 3", "SPN 636 FMI 2 SA 0,SPN 100 FMI 1 SA 3"},
		{"heavy-duty with its address before", "SA 0 SPN 636 FMI 2; SA 0x03 SPN 100 FMI 1", "SPN 636 FMI 2 SA 0,SPN 100 FMI 1 SA 3"},
		{"heavy-duty with its address after, blanks only", "SPN 636 FMI 2 SA 0 SPN 100 FMI 1 SA 3", "SPN 636 FMI 2 SA 0,SPN 100 FMI 1 SA 3"},
		{"heavy-duty with its address before, blanks only", "SA 0 SPN 636 FMI 2 SA 3 SPN 100 FMI 1", "SPN 636 FMI 2 SA 0,SPN 100 FMI 1 SA 3"},
		{"heavy-duty, FMI first", "FMI 2 SPN 636", "SPN 636 FMI 2"},
		{"heavy-duty on two lines", "SPN: 636\nFMI: 2", "SPN 636 FMI 2"},
		{"heavy-duty with state", "SPN 636 FMI 2 (active), SPN 100 FMI 1 (pending)", "SPN 636 FMI 2=stored,SPN 100 FMI 1=pending"},
		{"control unit before the code", "Engine control unit P0087, Chassis: C0035", "P0087 C0035"},
		{"two capitals and another code", "P0001-AA and P0087", "P0001-AA P0087"},
		{"state for two in brackets goes to the nearer", "P0171 & P0174 (both pending)", "P0171 P0174=pending"},
		{"table of a reader", "1  P0087  Pending  Fuel rail pressure\n2  P0191  Stored  Sensor", "P0087=pending P0191=stored"},
		{"tabs", "P0087\tP0191", "P0087 P0191"},
		{"failure type and letter apart", "U 0100-87", "U0100-87"},
		{"empty heading after the code", "Pending: P0301; Stored: none", "P0301=pending"},
		{"empty heading before the code", "Pending: none; Stored: P0301", "P0301=stored"},
		{"state with its own label", "P0301 status: pending", "P0301=pending"},
		{"both kinds in one cell", "P0087; SPN 636 FMI 2", "P0087,SPN 636 FMI 2"},
		{"heavy-duty with description", "SPN 100 FMI 1 oil pressure low, most severe", "SPN 100 FMI 1"},
		{"several bytes", "01 33 04 20", "P0133 P0420"},
		{"hexadecimal mark", "0x0133", "P0133"},
	} {
		t.Run(tc.rule, func(t *testing.T) {
			got := ParseCell(tc.cell, Options{})
			assert.Equal(t, splitWant(tc.want), readings(got), "%q", tc.cell)
			assert.Empty(t, got.Faults)
			assert.True(t, got.Scanned)
		})
	}
}

// splitWant splits at commas where there are any, else at blanks.
func splitWant(s string) []string {
	if strings.Contains(s, "SPN") {
		return strings.Split(s, ",")
	}
	return strings.Fields(s)
}

func readings(c Cell) []string {
	var out []string
	for _, r := range c.Codes {
		text := r.Code.String()
		if r.State != "" {
			text += "=" + string(r.State)
		}
		out = append(out, text)
	}
	return out
}

func TestBarePairsOnlyInAColumnKnownToHoldThem(t *testing.T) {
	for _, tc := range []struct{ rule, cell, want string }{
		{"slash, several", "636/2, 100/1", "SPN 636 FMI 2,SPN 100 FMI 1"},
		{"blank between pairs", "636/2 723/8", "SPN 636 FMI 2,SPN 723 FMI 8"},
		{"lines", "636-2\n723-8", "SPN 636 FMI 2,SPN 723 FMI 8"},
		{"count in brackets", "636/2 (14); 723/8 (1)", "SPN 636 FMI 2,SPN 723 FMI 8"},
		{"low SPN that exists", "27/3", "SPN 27 FMI 3"},
		{"network SPN, no month of two digits", "2003/9", "SPN 2003 FMI 9"},
		{"network SPN with an FMI that is no month", "2003/19", "SPN 2003 FMI 19"},
		{"day and month", "12/05", "suggest SPN 12 FMI 5"},
		{"decimal", "13.8", "suggest SPN 13 FMI 8"},
		{"year and month", "2024-05", "suggest SPN 2024 FMI 5"},
		{"FMI out of range", "636/45", "suggest "},
		{"SPN alone", "636", "suggest "},
	} {
		t.Run(tc.rule, func(t *testing.T) {
			got := ParseCell(tc.cell, Options{J1939: true})
			if want, ok := strings.CutPrefix(tc.want, "suggest "); ok {
				assert.Empty(t, got.Codes)
				require.Len(t, got.Faults, 1)
				assert.Equal(t, want, got.Faults[0].Suggestion.String())
				return
			}
			assert.Equal(t, splitWant(tc.want), readings(got))
			assert.Empty(t, got.Faults)
			plain := ParseCell(tc.cell, Options{})
			assert.Empty(t, plain.Codes, "no pair in another column")
		})
	}
}

func TestCellsThatSayScannedAndNone(t *testing.T) {
	for _, cell := range []string{
		"none", "None.", "NONE FOUND", "no codes", "No Codes Found", "no fault codes stored", "no DTCs", "OK - no DTCs", "0", "0 codes", "0 DTC",
		"DTC: 0", "nil", "ok", "O.K.", "clear", "all clear", "no faults", "no trouble codes present", "scan OK, no faults found", "0 stored / 0 pending", "no codes at 171400 km", "P0000", "SPN 0 FMI 0",
		"keine Fehler", "keine Fehler gespeichert", "Keine", "kein Eintrag", "Fehlerspeicher leer", "i.O.", "i. O.", "ohne Befund", "keine Fehlercodes",
		"aucun défaut", "Aucun code défaut", "pas de défaut", "RAS", "néant", "sans défaut",
		"sin códigos", "sin averías", "ningún código", "ninguno", "no hay códigos",
		"ingen koder", "Inga felkoder", "ingen feilkoder", "Inga fel", "ingen feil", "feilfri", "Felminnet tomt", "utan anmärkning",
		"ei vikoja", "ei vikakoodeja", "Ei vikakoodeja muistissa", "vikamuisti tyhjä",
		"brak błędów", "brak kodów", "Brak", "brak usterek",
	} {
		t.Run(cell, func(t *testing.T) {
			assert.Equal(t, Cell{Scanned: true}, ParseCell(cell, Options{}))
			assert.Equal(t, Cell{Scanned: true}, ParseCell(strings.ToUpper(cell), Options{J1939: true}))
		})
	}
}

func TestCellsThatSayNothing(t *testing.T) {
	for _, cell := range []string{
		"", "  ", "-", "--", "—", "?", "??", "n/a", "N/A", "n.a.", "NA", "#N/A", "#VALUE!", "#DIV/0!", "#REF!", "#NAME?", "not scanned", "Not scanned yet",
		"no scan", "codes not read", "No codes could not connect", "could not read codes", "no communication with ECU", "unknown", "tbc", "no data",
		"nicht ausgelesen", "keine Kommunikation", "k.A.", "keine Angabe", "non lu", "no leído", "ej avläst", "ikke avlest", "ei luettu", "nie odczytano", "brak danych", ".",
	} {
		t.Run(cell, func(t *testing.T) {
			assert.Equal(t, Cell{}, ParseCell(cell, Options{}))
		})
	}
}

func TestNoneIsNotReadOutOfOtherSentences(t *testing.T) {
	for _, cell := range []string{"CEL ON", "codes erased", "engine noise, no power", "see sheet 2", "no new codes", "keine weiteren Fehler", "0 stored, 2 pending", "0 codes stored, 2 pending codes", "yes", "3", "171400", "12/05/2024", "KD-1180-B", "won't start"} {
		t.Run(cell, func(t *testing.T) {
			got := ParseCell(cell, Options{})
			assert.False(t, got.Scanned)
			assert.Empty(t, got.Codes)
			require.Len(t, got.Faults, 1)
			assert.Contains(t, got.Faults[0].Reason.String(), "no code found in")
		})
	}
}

func TestPiecesThatLookLikeCodes(t *testing.T) {
	for _, tc := range []struct{ rule, cell, taken, text, suggestion, reason string }{
		{"letter O among good codes", "P0087, PO191", "P0087", "PO191", "P0191", "write P0191"},
		{"letter I", "P0I71", "", "P0I71", "P0171", "write P0171"},
		{"small L for one", "P0l71", "", "P0l71", "P0171", "write P0171"},
		{"letter O with failure type run together", "PO08700", "", "PO08700", "P0087-00", "write P0087-00"},
		{"second character over 3", "P0087; P4301", "P0087", "P4301", "", "0, 1, 2 or 3"},
		{"four characters", "P301, P302", "", "P301", "", "P0301, or P3010"},
		{"six characters", "P03011 misfire", "", "P03011", "", "6 characters"},
		{"no hexadecimal digit", "P0G01", "", "P0G01", "", "hexadecimal"},
		{"second number of a pair without its letter", "P0301/0302", "P0301", "0302", "", "first letter is missing"},
		{"suffix of one digit", "P0087-1", "", "P0087-1", "P0087", "two hexadecimal digits"},
		{"suffix not hexadecimal", "P0087-XY, P0191", "P0191", "P0087-XY", "P0087", "two hexadecimal digits"},
		{"dangling dash before a separator", "P0087-, P0191", "P0191", "P0087-", "P0087", "leads nowhere"},
		{"a range", "P0301-P0304", "P0301 P0304", "P0301-P0304", "", "range"},
		{"SPN without FMI beside a good one", "SPN 636; SPN 100 FMI 1", "SPN 100 FMI 1", "SPN 636", "", "FMI is missing"},
		{"FMI without SPN", "FMI 2", "", "FMI 2", "", "SPN is missing"},
		{"FMI over 31", "SPN 636 FMI 99", "", "SPN 636 FMI 99", "", "0 to 31"},
		{"J1587 with PPID", "MID 128, PPID 5, FMI 3", "", "MID 128, PPID 5, FMI 3", "", "J1587"},
		{"J1587 beside a good code", "MID 128 PSID 21 FMI 12; SPN 636 FMI 2", "SPN 636 FMI 2", "MID 128 PSID 21 FMI 12", "", "J1587"},
		{"second FMI behind a slash", "SPN 636 FMI 2/5", "SPN 636 FMI 2", "5", "", "a number alone"},
		{"failure type and status byte", "P0087-1A-08", "", "P0087-1A-08", "P0087-1A", "more is joined"},
		{"decimal behind a code", "P0087.5", "", "P0087.5", "P0087", "two hexadecimal digits"},
		{"filler of a reply", "U3FFF", "", "U3FFF", "", "not available"},
		{"number of a spreadsheet among codes", "P0301; 3.01E+02", "P0301", "3.01E+02", "", "format the column as text"},
		{"bytes that may be a date", "12 05 24", "", "12 05 24", "P1205-24", "date"},
	} {
		t.Run(tc.rule, func(t *testing.T) {
			got := ParseCell(tc.cell, Options{})
			assert.Equal(t, tc.taken, strings.Join(codes(got), " "))
			require.NotEmpty(t, got.Faults)
			f := got.Faults[0]
			assert.Equal(t, tc.text, f.Text)
			assert.Equal(t, tc.suggestion, f.Suggestion.String())
			assert.Contains(t, f.Reason.String(), tc.reason)
		})
	}
}

func TestPartNumbersAndVINsAreNoCodes(t *testing.T) {
	for _, cell := range []string{
		"ZZ9KD1180B0004352", "VIN ZZ9PP0087C0000001", "P/N P0087", "PN: P0087", "part no. P0087", "Teilenummer B1234", "Artikel Nr. C0035", "KD-1180-P0087", "P0087-1180-B", "1180-B1234-C",
		"fitted B12345678", "connector C123 loose", "bank B1S1 sensor", "COIL1 replaced", "BULB2 and CABLE 3 renewed", "B 1200 km ago", "class C 2004 model",
	} {
		t.Run(cell, func(t *testing.T) {
			got := ParseCell(cell, Options{})
			assert.Empty(t, got.Codes)
			assert.False(t, got.Scanned)
			assert.NotEmpty(t, got.Faults)
		})
	}
}

func TestCorrectTakesTheSuggestionAndStillReportsIt(t *testing.T) {
	got := ParseCell("PO301 (pending), P0420", Options{Correct: true})
	assert.Equal(t, []string{"P0301=pending", "P0420"}, readings(got))
	assert.Len(t, got.Faults, 1)
	assert.True(t, got.Scanned)
}
