package slip_test

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/say"
	"pitlist/score/slip"
)

func full() slip.Slip {
	return slip.Slip{
		Fills: slip.All, Job: "weekly-north", Run: "2026-11-23-2", Row: 17, Card: 4, Unit: "H-001", VIN: "Z9KHA1234G0110000",
		Plate: "NF 20 480", Part: "pump-follower", Name: "High-pressure pump follower", LastKM: 171200, Measures: []string{"tappet_mm", "play"},
	}
}

func TestSlipComesBackAsItWasWritten(t *testing.T) {
	for name, change := range map[string]func(*slip.Slip){
		"in full":                     func(*slip.Slip) {},
		"a vehicle known by its unit": func(s *slip.Slip) { s.VIN, s.Plate = "", "" },
		"a card's odometer":           func(s *slip.Slip) { s.Fills, s.Row, s.Part, s.Name, s.Measures = slip.Visit, 0, "", "", nil },
		"marks that part pairs":       func(s *slip.Slip) { s.Unit, s.Name = "A&check=0 %41_b", "50 % = half: more" },
		"blanks at the ends":          func(s *slip.Slip) { s.Unit = " 007 " },
		"letters of other scripts":    func(s *slip.Slip) { s.Name = "Høytrykkspumpe, 高圧" },
		"broken text":                 func(s *slip.Slip) { s.Unit = "H\x00\x0b1\xff\n" },
	} {
		t.Run(name, func(t *testing.T) {
			want := full()
			change(&want)
			got, err := slip.Parse("  " + want.String() + "\n")
			require.NoError(t, err)
			assert.Equal(t, want, got)
			assert.Equal(t, want.Key(), got.Key())
		})
	}
}

func TestSlipThatWasChangedIsKnown(t *testing.T) {
	s := full()
	text := s.String()
	for name, cell := range map[string]string{
		"another part":      strings.Replace(text, "pump-follower", "brake-hose", 1),
		"another unit":      strings.Replace(text, "H-001", "H-002", 1),
		"another row":       strings.Replace(text, "row 17", "row 18", 1),
		"cut short":         text[:len(text)-3],
		"something behind":  text + "1",
		"a key twice":       strings.Replace(text, "&unit=", "&unit=X&unit=", 1),
		"a number is none":  strings.Replace(text, "km=171200", "km=many", 1),
		"all but the start": "pitlist row 17: ",
	} {
		_, err := slip.Parse(cell)
		assert.ErrorIs(t, err, slip.ErrChanged, name)
	}
}

func TestWhatIsNoSlip(t *testing.T) {
	for _, cell := range []string{"", "H-001", "pitlist", "pitlist row", "pitlist list: x", slip.Heading} {
		_, err := slip.Parse(cell)
		assert.ErrorIs(t, err, slip.ErrNone, "%q", cell)
	}
}

func TestDayOfTheList(t *testing.T) {
	s := full()
	day, ok := s.Day()
	assert.True(t, ok)
	assert.Equal(t, time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), day)
	for _, run := range []string{"", "nightly", "2026-13-01"} {
		s.Run = run
		_, ok = s.Day()
		assert.False(t, ok, run)
	}
}

func TestHeadingsOfValues(t *testing.T) {
	for k := range 12 {
		got, ok := slip.ValueOf(" " + strings.ToUpper(slip.HeadValue(k)))
		assert.True(t, ok)
		assert.Equal(t, k, got)
	}
	for _, other := range []string{"Measure", "Measure 2", "Measured by", "Measured 1", "Measured 0", "Found"} {
		_, ok := slip.ValueOf(other)
		assert.False(t, ok, other)
	}
}

func TestSheetsOfAList(t *testing.T) {
	for _, c := range []struct {
		rule, name, first string
		withResults, want bool
	}{
		{"name and title are a list's", "Look first", "Look first: weekly-north, 23 Nov 2026", false, true},
		{"a fleet may call a sheet Parts", "Parts", "Part no.", false, false},
		{"a fleet may head a sheet Findings", "Sheet1", "Findings", false, false},
		{"beside results the name is enough", "parts ", "Part no.", true, true},
		{"beside results the title is enough", "Sheet1", "Look first: weekly-north", true, true},
		{"a sheet of one's own beside results", "Readings", "Unit", true, false},
	} {
		assert.Equal(t, c.want, slip.IsListed(c.name, c.first, c.withResults), c.rule)
	}
}

// FuzzSlip: no cell panics, and what is accepted is written back as it was.
func FuzzSlip(f *testing.F) {
	s := full()
	f.Add(s.String())
	f.Add(slip.Heading)
	f.Add("pitlist row 1: km=1e3&check=00000000")
	f.Fuzz(func(t *testing.T, cell string) {
		if s, err := slip.Parse(cell); err == nil {
			assert.Equal(t, strings.TrimSpace(cell), s.String())
		}
	})
}

// TestEachLanguageReadsAlone: no heading stands for another, in either
// language or across them, and every one is found again in any case.
func TestEachLanguageReadsAlone(t *testing.T) {
	heads := []string{slip.Heading, slip.HeadRow, slip.HeadUnit, slip.HeadPart, slip.HeadFound, slip.HeadDone, slip.HeadOdometer, slip.HeadDay,
		slip.HeadInitials, slip.HeadValue(0), slip.HeadValue(1), slip.HeadValue(11)}
	for _, l := range say.Languages() {
		for _, h := range heads {
			words := l.Say(slip.Words(h))
			got, in, ok := slip.HeadOf(strings.ToUpper(words), strings.ToLower)
			assert.True(t, ok, words)
			assert.Equal(t, h, got, words)
			assert.Same(t, l, in, words)
			k, isValue := slip.ValueOf(words)
			wantK, wantIs := slip.ValueOf(h)
			assert.Equal(t, wantIs, isValue, words)
			assert.Equal(t, wantK, k, words)
		}
		assert.True(t, slip.IsHeading(l.Say(slip.Words(slip.Heading)), strings.ToLower))
	}
	_, _, ok := slip.HeadOf("Depot", strings.ToLower)
	assert.False(t, ok)
	assert.Equal(t, "Depot", slip.Words("Depot").String(), "a heading of nobody's is its own words")
}

// TestHeadingsAreNamedByTheirEnglish: the names in the source are the words.
func TestHeadingsAreNamedByTheirEnglish(t *testing.T) {
	for _, h := range []string{slip.Heading, slip.HeadRow, slip.HeadUnit, slip.HeadPart, slip.HeadFound, slip.HeadDone, slip.HeadOdometer,
		slip.HeadDay, slip.HeadInitials, slip.HeadValue(0), slip.HeadValue(3)} {
		assert.Equal(t, h, slip.Words(h).String())
	}
}

// TestNamesOfSheets: a spreadsheet takes 31 characters, without some marks, and
// no name twice; a sheet is known by its name in each language.
func TestNamesOfSheets(t *testing.T) {
	for _, l := range say.Languages() {
		seen := map[string]bool{}
		for _, s := range slip.Sheets() {
			name := l.Say(s.Name)
			assert.LessOrEqual(t, utf8.RuneCountInString(name), 31, name)
			assert.NotRegexp(t, `[\[\]:*?/\\]|^'|'$`, name)
			assert.False(t, seen[strings.ToLower(name)], name)
			seen[strings.ToLower(name)] = true
			assert.True(t, s.IsNamed(" "+strings.ToUpper(name)), name)
			assert.Equal(t, strings.HasSuffix(s.Title.String(), " "), strings.HasSuffix(l.Say(s.Title), " "), name)
			first := l.Say(s.Title)
			if strings.HasSuffix(first, " ") {
				first = l.Say(s.Head(say.Plain("weekly-north")))
			}
			assert.True(t, slip.IsListed(name, first, false), name)
		}
	}
	assert.False(t, slip.IsListed("Piezas", "Ref.", false), "a fleet may call a sheet Piezas")
	assert.False(t, slip.IsListed("Piezas", "Parts of the catalogue", false), "a list is in one language throughout")
}

// TestFindingsOfADropDown: a list in a cell's check holds 255 characters and is
// parted by commas.
func TestFindingsOfADropDown(t *testing.T) {
	for _, l := range say.Languages() {
		all := 0
		for _, f := range slip.Findings() {
			assert.NotContains(t, l.Say(f), ",")
			all += utf8.RuneCountInString(l.Say(f)) + 1
		}
		assert.LessOrEqual(t, all, 255)
	}
}
