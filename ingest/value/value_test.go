package value

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/say"
)

// TestWhyInOneForm: what is kept as one form, for columns that have many like
// it, says what reason and readings say.
func TestWhyInOneForm(t *testing.T) {
	_, _, byOrder := ParseDate("03/04/2024", DateOptions{})
	_, _, byMark := ParseNumber("1,234", NumberOptions{})
	for _, err := range []error{byOrder, byMark} {
		p := problem(err)
		require.Len(t, p.Readings, 2)
		for _, l := range say.Languages() {
			assert.Equal(t, l.F("%s; it could mean %s", p.Reason, say.Alternatives(p.Readings...)), l.Say(p.Why()))
		}
	}
}

func TestIsMissing(t *testing.T) {
	for _, s := range []string{"", " ", " ", "\u200b", "-", "--", "–", "—", "−", "------------------------------", ".", "...", "?", "??", "n/a", "N/A", "NA", "n.a.", "null", "NULL", "NaN", "unknown", "Unknown",
		"UNBEKANNT", "k.A.", "unbek.", "inconnu", "non renseigné", "desconocido", "okänd", "ukjent", "ei tiedossa", "nieznany", "brak danych", "TBC", "tba", "'", "n/a                                                                 ", "-                                                                         ", "      unknown"} {
		missing, excel := IsMissing(s)
		assert.True(t, missing, "%q", s)
		assert.False(t, excel, "%q", s)
	}
	for _, s := range []string{"#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!", "#n/a", "#BEZUG!", "#NV", "#WERT!"} {
		missing, excel := IsMissing(s)
		assert.True(t, missing && excel, "%q", s)
	}
	for _, s := range []string{"0", "none", "no codes", "keine", "P0087", "123", "-5", "- loose belt", "#12", "nan0", "Naarden", "n/a?x", "xxl"} {
		missing, _ := IsMissing(s)
		assert.False(t, missing, "%q", s)
	}
}

func TestNoneIsNotMissing(t *testing.T) {
	for _, s := range []string{"none", "None", "keine", "aucun", "ninguno", "ingen", "ei"} {
		assert.True(t, IsNone(s), "%q", s)
	}
	for _, s := range []string{"", "-", "n/a", "P0087", "no codes"} {
		assert.False(t, IsNone(s), "%q", s)
	}
}

func TestParseYesNo(t *testing.T) {
	for _, s := range []string{"yes", "Y", "TRUE", "1", "ja", "J", "oui", "sí", "Sí", "kyllä", "tak", "x✓", "✓", "wahr", "läuft", "fahrbereit", " yes "} {
		got, err := ParseYesNo(s)
		require.NoError(t, err, "%q", s)
		assert.True(t, got, "%q", s)
	}
	for _, s := range []string{"no", "N", "FALSE", "0", "nein", "non", "nej", "nei", "ei", "nie", "✗", "falsch"} {
		got, err := ParseYesNo(s)
		require.NoError(t, err, "%q", s)
		assert.False(t, got, "%q", s)
	}
	for _, s := range []string{"", "x", "maybe", "2", "yes and no", "partly"} {
		_, err := ParseYesNo(s)
		assert.Error(t, err, "%q", s)
	}
}

func TestFixedWords(t *testing.T) {
	cases := []struct{ text, want string }{
		{"in use", "in use"}, {"In Use", "in use"}, {"active", "in use"}, {"im Einsatz", "in use"}, {"en service", "in use"}, {"activo", "in use"}, {"i drift", "in use"}, {"käytössä", "in use"}, {"w użyciu", "in use"},
		{"in_use", "in use"}, {"IN-USE", "in use"},
		{"sold", "sold"}, {"verkauft", "sold"}, {"vendu", "sold"}, {"vendido", "sold"}, {"såld", "sold"}, {"solgt", "sold"}, {"myyty", "sold"}, {"sprzedany", "sold"}, {"scrapped", "sold"},
		{"off road", "off road"}, {"off-road", "off road"}, {"VOR", "off road"}, {"in Werkstatt", "off road"}, {"stillgelegt", "off road"}, {"immobilisé", "off road"}, {"en taller", "off road"}, {"avställd", "off road"},
		{"på verksted", "off road"}, {"korjaamolla", "off road"}, {"w naprawie", "off road"}, {"à l'arrêt", "off road"},
	}
	for _, c := range cases {
		got, err := ParseStatus(c.text)
		require.NoError(t, err, "%q", c.text)
		assert.Equal(t, Status(c.want), got, "%q", c.text)
	}
	repairs := map[string]RepairStatus{"done": Done, "Erledigt": Done, "effectué": Done, "realizado": Done, "utfört": Done, "utført": Done, "tehty": Done, "wykonano": Done, "declined": Declined, "abgelehnt": Declined,
		"refusé": Declined, "rechazado": Declined, "avböjd": Declined, "avvist": Declined, "hylätty": Declined, "odrzucono": Declined, "recommended": Recommended, "empfohlen": Recommended, "recommandé": Recommended,
		"recomendado": Recommended, "rekommenderas": Recommended, "anbefalt": Recommended, "suositellaan": Recommended, "zalecono": Recommended, "not done": Declined}
	for text, want := range repairs {
		got, err := ParseRepairStatus(text)
		require.NoError(t, err, "%q", text)
		assert.Equal(t, want, got, "%q", text)
	}
	found := map[string]Finding{"worn": Worn, "verschlissen": Worn, "usé": Worn, "desgastado": Worn, "sliten": Worn, "slitt": Worn, "kulunut": Worn, "zużyty": Worn, "sound": Sound, "i.O.": Sound, "in Ordnung": Sound, "bon": Sound,
		"kunnossa": Sound, "sprawny": Sound, "not opened": NotOpened, "nicht geöffnet": NotOpened, "non ouvert": NotOpened, "sin abrir": NotOpened, "ikke åpnet": NotOpened, "avaamatta": NotOpened, "nie otwarto": NotOpened,
		"failed": Failed, "gebrochen": Failed, "cassé": Failed, "roto": Failed, "trasig": Failed, "rikki": Failed, "zatarty": Failed, "OK": Sound}
	for text, want := range found {
		got, err := ParseFinding(text)
		require.NoError(t, err, "%q", text)
		assert.Equal(t, want, got, "%q", text)
	}
	states := map[string]CodeState{"stored": Stored, "gespeichert": Stored, "Aktiv": Stored, "confirmed": Stored, "pending": Pending, "anstehend": Pending, "en attente": Pending, "permanent": Permanent, "dauerhaft": Permanent}
	for text, want := range states {
		got, err := ParseCodeState(text)
		require.NoError(t, err, "%q", text)
		assert.Equal(t, want, got, "%q", text)
	}
	for _, text := range []string{"", "perhaps", "sold?", "done not"} {
		_, err := ParseStatus(text)
		assert.Error(t, err, "%q", text)
		_, err = ParseRepairStatus(text)
		assert.Error(t, err, "%q", text)
		_, err = ParseFinding(text)
		assert.Error(t, err, "%q", text)
		_, err = ParseCodeState(text)
		assert.Error(t, err, "%q", text)
	}
}

func TestParseUnit(t *testing.T) {
	cases := []struct {
		text  string
		unit  Unit
		scale float64
	}{
		{"km", Km, 1}, {"KM", Km, 1}, {"Kilometer", Km, 1}, {"mi", Mile, 1}, {"Miles", Mile, 1}, {"Meilen", Mile, 1}, {"tkm", Km, 1000}, {"Tsd. km", Km, 1000}, {"x1000 km", Km, 1000}, {"x 1000 km", Km, 1000}, {"×1000 km", Km, 1000},
		{"km x1000", Km, 1000}, {"'000 km", Km, 1000}, {"x1000", NoUnit, 1000}, {"h", Hour, 1}, {"Std.", Hour, 1}, {"timmar", Hour, 1}, {"mm", "mm", 1},
	}
	for _, c := range cases {
		unit, scale, ok := ParseUnit(c.text)
		assert.True(t, ok, "%q", c.text)
		assert.Equal(t, c.unit, unit, "%q", c.text)
		assert.Equal(t, c.scale, scale, "%q", c.text)
	}
	for _, text := range []string{"", "mil", "furlong", "1000", "km/h", "kilometerstand"} {
		_, _, ok := ParseUnit(text)
		assert.False(t, ok, "%q", text)
	}
}

func TestFold(t *testing.T) {
	cases := map[string]string{"Größe": "grosse", "Kjøretøy": "kjoretoy", "Łódź": "lodz", "Æ": "ae", " a \t b\n": "a b", "AB": "ab", "ok": "ok", "a\u00a0b": "a b", "x\u200by": "x y", "naïve": "naive", "ＡＢ": "ab", "a–b": "a-b"}
	cases["x\u200by"] = "xy" // a zero-width space parts nothing that can be seen
	for in, want := range cases {
		assert.Equal(t, want, Fold(in), "%q", in)
	}
}

func TestProblemIsOneLineForThePlanner(t *testing.T) {
	p := &Problem{Value: strings.Repeat("x", 200), Reason: say.Plain("is no date"), Readings: []say.Text{say.Plain("a"), say.Plain("b")}, Suggestion: say.Plain("do this")}
	assert.Equal(t, `"`+strings.Repeat("x", 60)+`…": is no date (a or b); do this`, p.Error())
}

func TestOrderValidate(t *testing.T) {
	assert.NoError(t, DayFirst.Validate())
	assert.NoError(t, Undecided.Validate())
	assert.ErrorContains(t, Order("dmy").Validate(), "day or month")
}

func BenchmarkIsMissing(b *testing.B) {
	for _, text := range []string{"", "Heron", "Z9KAA1E21BB100001", "174553", "fuel pump replaced as a precaution", "Größe"} {
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				_, _ = IsMissing(text)
			}
		})
	}
}

func TestStatusWithItsDay(t *testing.T) {
	for s, want := range map[string]Status{"Sold 03/2026": Sold, "VOR since 12/11": OffRoad, "verkauft am 3.2.2026": Sold, "in use (2026)": InUse} {
		got, err := ParseStatus(s)
		assert.NoError(t, err, s)
		assert.Equal(t, want, got, s)
	}
	for _, s := range []string{"to be sold 03/2026", "not sold 2026", "2026", "sold? 2"} {
		_, err := ParseStatus(s)
		assert.Error(t, err, s)
	}
}

func TestFindingWithMeasure(t *testing.T) {
	for s, want := range map[string]Finding{"worn 1.2 mm": Worn, "OK (0,2 mm)": Sound, "verschlissen: 3 mm": Worn, "OK - 5 %": Sound} {
		got, err := ParseFinding(s)
		assert.NoError(t, err, s)
		assert.Equal(t, want, got, s)
	}
	for _, s := range []string{"OK - but worn", "worn? 3", "1.2 mm", "OK 3 of 5", "replace at 1.2 mm"} {
		_, err := ParseFinding(s)
		assert.Error(t, err, s)
	}
}
