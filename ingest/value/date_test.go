package value

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Serials: 25569 is 1 January 1970 and 45000 is 15 March 2023 in the 1900 date system (any spreadsheet program; ISO/IEC 29500-1, 18.17.4).

func TestParseDate(t *testing.T) {
	day, month, none := DateOptions{Order: DayFirst}, DateOptions{Order: MonthFirst}, DateOptions{}
	cases := []struct {
		rule, text string
		o          DateOptions
		want       string
		how        How
	}{
		{"a serial", "45000", none, "2023-03-15", Serial},
		{"a serial of 1970", "25569", none, "1970-01-01", Serial},
		{"the lowest serial taken", "20000", none, "1954-10-03", Serial},
		{"the highest serial taken", "80000", none, "2119-01-11", Serial},
		{"a serial with its time of day", "45000.75", none, "2023-03-15", Serial},
		{"a serial just before midnight", "45000.99999", none, "2023-03-15", Serial},
		{"a serial with point nought", "45000.0", none, "2023-03-15", Serial},
		{"a serial in scientific form", "4.5E4", none, "2023-03-15", Serial},
		{"the serial of the same day in the 1904 system", "43538", DateOptions{Date1904: true}, "2023-03-15", Serial},
		{"a low 1904 serial is judged by its 1900 value", "18538", DateOptions{Date1904: true}, "1954-10-03", Serial},
		{"a serial of 29 February", "45351", none, "2024-02-29", Serial},
		{"ISO", "2024-03-15", none, "2024-03-15", ISO},
		{"ISO goes by itself whatever the column", "2024-03-04", month, "2024-03-04", ISO},
		{"ISO with T and zone keeps the wall day", "2024-03-15T23:30:00Z", none, "2024-03-15", ISO},
		{"ISO with offset", "2024-03-15T23:30:00+02:00", none, "2024-03-15", ISO},
		{"ISO with fraction", "2024-03-15T10:30:00.123Z", none, "2024-03-15", ISO},
		{"ISO with blank and time", "2024-03-15 00:00:00", none, "2024-03-15", ISO},
		{"ISO with short time", "2024-03-15 10:30", none, "2024-03-15", ISO},
		{"ISO with dotted time", "2024-03-15 10.30", none, "2024-03-15", ISO},
		{"year first with strokes", "2024/03/15", none, "2024-03-15", ISO},
		{"year first with points", "2024.03.15", none, "2024-03-15", ISO},
		{"year first with points and blanks", "2024. 03. 15.", none, "2024-03-15", ISO},
		{"year first without leading noughts", "2024-3-5", none, "2024-03-05", ISO},
		{"a two-digit year over 31 can only stand first", "98-04-03", none, "1998-04-03", ISO},
		{"eight digits", "20240315", none, "2024-03-15", Compact},
		{"eight digits with time", "20240315T103000", none, "2024-03-15", Compact},
		{"points are day first", "25.11.2026", none, "2026-11-25", Dotted},
		{"points are day first in a month-first column", "03.04.2024", month, "2024-04-03", Dotted},
		{"points without noughts", "3.4.2024", none, "2024-04-03", Dotted},
		{"points and blanks", "3. 4. 2024", none, "2024-04-03", Dotted},
		{"points with a short year", "3.4.24", none, "2024-04-03", Dotted},
		{"points with time and Uhr", "25.11.2026 14:05 Uhr", none, "2026-11-25", Dotted},
		{"points with klo", "25.11.2026 klo 14.05", none, "2026-11-25", Dotted},
		{"points with kl.", "25.11.2026 kl. 14:05", none, "2026-11-25", Dotted},
		{"strokes by a day-first column", "03/04/2024", day, "2024-04-03", ByOrder},
		{"strokes by a month-first column", "03/04/2024", month, "2024-03-04", ByOrder},
		{"hyphens by the column too", "03-04-2024", day, "2024-04-03", ByOrder},
		{"blanks by the column too", "3 4 2024", day, "2024-04-03", ByOrder},
		{"strokes with blanks", "3 / 4 / 2024", day, "2024-04-03", ByOrder},
		{"a short year", "03/04/24", day, "2024-04-03", ByOrder},
		{"a short year before the pivot", "03/04/68", day, "2068-04-03", ByOrder},
		{"a short year after the pivot", "03/04/69", day, "1969-04-03", ByOrder},
		{"a pivot of one's own", "03/04/40", DateOptions{Order: DayFirst, Pivot: 30}, "1940-04-03", ByOrder},
		{"a day over 12 needs no column", "25/03/2024", none, "2024-03-25", OnlyReading},
		{"a day over 12 in second place", "03/25/2024", none, "2024-03-25", OnlyReading},
		{"the same number twice needs no column", "03/03/2024", none, "2024-03-03", OnlyReading},
		{"strokes with time and PM", "3/25/2024 2:05 PM", none, "2024-03-25", OnlyReading},
		{"strokes with time and seconds", "25/03/2024 14:05:33", none, "2024-03-25", OnlyReading},
		{"strokes with a comma before the time", "25/03/2024, 14:05", none, "2024-03-25", OnlyReading},
		{"English, day first", "15 March 2024", none, "2024-03-15", MonthName},
		{"English, month first", "March 15, 2024", none, "2024-03-15", MonthName},
		{"English, short", "Mar 5 2024", none, "2024-03-05", MonthName},
		{"English, short with point", "Mar. 5, 2024", none, "2024-03-05", MonthName},
		{"English, hyphens", "05-Mar-2024", none, "2024-03-05", MonthName},
		{"English, hyphens and short year", "05-Mar-24", none, "2024-03-05", MonthName},
		{"English, capitals run together", "5MAR2024", none, "2024-03-05", MonthName},
		{"English, ordinal", "3rd March 2024", none, "2024-03-03", MonthName},
		{"English, ordinal and comma", "March 21st, 2024", none, "2024-03-21", MonthName},
		{"English, the year first", "2024 Mar 5", none, "2024-03-05", MonthName},
		{"English, weekday", "Tue, 5 Mar 2024", none, "2024-03-05", MonthName},
		{"English, weekday and time", "Tue 5 Mar 2024 14:05", none, "2024-03-05", MonthName},
		{"English, sept", "1 Sept 2023", none, "2023-09-01", MonthName},
		{"German", "3. März 2024", none, "2024-03-03", MonthName},
		{"German, umlaut spelled out", "3. Maerz 2024", none, "2024-03-03", MonthName},
		{"German, short", "3. Dez. 2023", none, "2023-12-03", MonthName},
		{"German, weekday", "Dienstag, 5. März 2024", none, "2024-03-05", MonthName},
		{"Austrian January", "7. Jänner 2024", none, "2024-01-07", MonthName},
		{"French, short", "12 janv. 2023", none, "2023-01-12", MonthName},
		{"French, first of the month", "1er août 2023", none, "2023-08-01", MonthName},
		{"French, accents", "14 février 2024", none, "2024-02-14", MonthName},
		{"French, with article and weekday", "le lundi 4 décembre 2023", none, "2023-12-04", MonthName},
		{"Spanish, with de", "12 de marzo de 2024", none, "2024-03-12", MonthName},
		{"Spanish, short", "12-ene-2024", none, "2024-01-12", MonthName},
		{"Spanish, setiembre", "9 setiembre 2022", none, "2022-09-09", MonthName},
		{"Swedish", "den 17 maj 2024", none, "2024-05-17", MonthName},
		{"Swedish, okt", "3 okt. 2022", none, "2022-10-03", MonthName},
		{"Norwegian", "17. mai 2024", none, "2024-05-17", MonthName},
		{"Norwegian, desember", "24. desember 2023", none, "2023-12-24", MonthName},
		{"Finnish, partitive", "3. maaliskuuta 2024", none, "2024-03-03", MonthName},
		{"Finnish, heinä", "6. heinäkuuta 2023", none, "2023-07-06", MonthName},
		{"Finnish, short", "6. kesä 2023", none, "2023-06-06", MonthName},
		{"Polish, genitive", "3 marca 2024", none, "2024-03-03", MonthName},
		{"Polish, with r.", "12 października 2023 r.", none, "2023-10-12", MonthName},
		{"Polish, short", "5 paź 2023", none, "2023-10-05", MonthName},
		{"month and year in figures", "03/2024", DateOptions{MonthOnly: true}, "2024-03-01", FirstOfMonth},
		{"year and month in figures", "2024-03", DateOptions{MonthOnly: true}, "2024-03-01", FirstOfMonth},
		{"month in words and year", "März 2024", DateOptions{MonthOnly: true}, "2024-03-01", FirstOfMonth},
		{"month in words and short year", "Mar-24", DateOptions{MonthOnly: true}, "2024-03-01", FirstOfMonth},
		{"blanks around", "  25.11.2026 ", none, "2026-11-25", Dotted},
		{"no-break blanks", "25. November 2026", none, "2026-11-25", MonthName},
		{"an apostrophe in front marks text", "'25.11.2026", none, "2026-11-25", Dotted},
		{"a non-breaking hyphen", "2024‑03‑15", none, "2024-03-15", ISO},
		{"full-width digits", "２０２４-０３-１５", none, "2024-03-15", ISO},
		{"the 29 February of a leap year", "29.02.2024", none, "2024-02-29", Dotted},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			got, how, err := ParseDate(c.text, c.o)
			require.NoError(t, err, "%q", c.text)
			assert.Equal(t, c.want, got.Format(time.DateOnly), "%q", c.text)
			assert.Equal(t, c.how, how, "%q", c.text)
		})
	}
}

func TestParseDateRefuses(t *testing.T) {
	cases := []struct {
		rule, text string
		o          DateOptions
		reason     string
	}{
		{"two readings", "03/04/2024", DateOptions{}, "day first or month first"},
		{"serial 60 never was", "60", DateOptions{}, "never was"},
		{"below one there is no day", "0.5", DateOptions{}, "time of day"},
		{"nought is no day", "0", DateOptions{}, "time of day"},
		{"a bare year", "2019", DateOptions{}, "year without a day"},
		{"a distance", "123456", DateOptions{}, "six digits"},
		{"a low number", "19999", DateOptions{}, "too low"},
		{"a number past the serials", "80001", DateOptions{}, "too high"},
		{"a 1904 serial past the serials", "79000", DateOptions{Date1904: true}, "too high"},
		{"seconds since 1970", "1712102400", DateOptions{}, "seconds since 1970"},
		{"a negative number", "-5", DateOptions{}, "negative"},
		{"30 February", "30.02.2024", DateOptions{}, "calendar"},
		{"29 February of a common year", "29.02.2023", DateOptions{}, "calendar"},
		{"month 13 in ISO", "2024-13-01", DateOptions{}, "calendar"},
		{"neither number can be a month", "25/13/2024", DateOptions{}, "calendar"},
		{"dotted is never month first", "03.25.2024", DateOptions{Order: MonthFirst}, "calendar"},
		{"eight digits that are no day", "20241301", DateOptions{}, "no such day"},
		{"against a day-first column", "03/25/2024", DateOptions{Order: DayFirst}, "day first"},
		{"against a month-first column", "25/03/2024", DateOptions{Order: MonthFirst}, "month first"},
		{"no year", "15.03.", DateOptions{}, "no year"},
		{"no day", "03/2024", DateOptions{}, "without a day"},
		{"no day, month in words", "März 2024", DateOptions{}, "without a day"},
		{"two dates in one cell", "12/03/2024 and 14/03/2024", DateOptions{Order: DayFirst}, "names two days"},
		{"a range", "12.03.2024-14.03.2024", DateOptions{}, "behind the date"},
		{"a note behind the date", "25.11.2026 approx", DateOptions{}, "behind the date"},
		{"words", "next week", DateOptions{}, "no date"},
		{"an unknown word", "3 Brumaire 2024", DateOptions{}, "no date"},
		{"a time alone", "12:30", DateOptions{}, "no date"},
		{"nothing", "", DateOptions{}, "no date"},
		{"a dash", "-", DateOptions{}, "no date"},
		{"none", "none", DateOptions{}, "no date"},
		{"an error value", "#REF!", DateOptions{}, "error value"},
		{"infinity", "Inf", DateOptions{}, "no date"},
		{"not a number", "NaN", DateOptions{}, "no date"},
		{"a trouble code", "P0087", DateOptions{}, "no date"},
		{"a year of three digits", "1.1.204", DateOptions{}, "no date"},
		{"a year before 1900", "1.1.1815", DateOptions{}, "calendar"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, _, err := ParseDate(c.text, c.o)
			require.ErrorContains(t, err, c.reason)
			var p *Problem
			require.ErrorAs(t, err, &p)
			assert.Equal(t, c.text, p.Value)
			assert.NotEmpty(t, p.Suggestion, "says what to do")
		})
	}
}

func TestAmbiguousDateNamesBothReadings(t *testing.T) {
	_, _, err := ParseDate("03/04/2024", DateOptions{})
	assert.ErrorContains(t, err, "day first: 3 April 2024 or month first: 4 March 2024")
	assert.ErrorContains(t, err, "date_order")
}

func TestDateEvidence(t *testing.T) {
	swapped := []string{"45000", "45001", "45027", "45028", "45029", "45053", "45054", "45055"}
	texts := []string{"13/03/2023", "14/03/2023", "15/03/2023", "16/03/2023", "17/03/2023", "18/03/2023", "19/03/2023", "20/03/2023"}
	cases := []struct {
		rule     string
		values   []string
		order    Order
		needed   bool
		conflict bool
	}{
		{"one day over 12 settles it", []string{"03/04/2024", "05/06/2024", "25/03/2024"}, DayFirst, true, false},
		{"one second number over 12 settles it", []string{"03/04/2024", "03/25/2024"}, MonthFirst, true, false},
		{"conflicting values leave it open", []string{"25/03/2024", "03/25/2024", "03/04/2024"}, Undecided, true, true},
		{"nothing over 12 leaves it open", []string{"03/04/2024", "05/06/2024"}, Undecided, true, false},
		{"ISO alone needs no order", []string{"2024-03-25", "2024-04-03"}, Undecided, false, false},
		{"points settle nothing for strokes", []string{"25.03.2024", "03/04/2024"}, Undecided, true, false},
		{"twins settle nothing", []string{"03/03/2024", "03/04/2024"}, Undecided, true, false},
		{"serials need no order", []string{"45000", "45001"}, Undecided, false, false},
		{"short years count", []string{"25/03/24", "03/04/24"}, DayFirst, true, false},
		{"missing cells don't count", []string{"", "-", "n/a", "03/25/2024"}, MonthFirst, false, false},
		{"an impossible day shows nothing", []string{"31/02/2024", "03/04/2024"}, Undecided, true, false},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			var e DateEvidence
			for _, v := range c.values {
				e.Add(v)
			}
			got := e.Decide()
			assert.Equal(t, c.order, got.Order, got.Why)
			assert.Equal(t, c.needed, got.Needed)
			assert.Equal(t, c.conflict, got.Conflict)
			assert.NotEmpty(t, got.Why)
			assert.Empty(t, got.Warning)
		})
	}
	t.Run("real dates with days up to 12 beside texts over 12 betray a swap", func(t *testing.T) {
		var e DateEvidence
		for _, v := range texts {
			e.Add(v)
		}
		assert.Empty(t, e.Decide().Warning)
		for i := 0; i < 8; i++ {
			e.Add([]string{"45264", "45265", "45266", "45267", "45268", "45269", "45270", "45271"}[i]) // 4 to 11 December 2023
		}
		assert.Contains(t, e.Decide().Warning.String(), "swapped")
		e.Add(swapped[0]) // 15 March 2023
		assert.Empty(t, e.Decide().Warning)
	})
}

func BenchmarkParseDate(b *testing.B) {
	for _, text := range []string{"45000", "45000.75", "2024-03-15", "2024-03-15T10:30:00Z", "25.11.2026", "03/04/2024", "3. März 2024"} {
		b.Run(text, func(b *testing.B) {
			o := DateOptions{Order: DayFirst}
			for b.Loop() {
				_, _, _ = ParseDate(text, o)
			}
		})
	}
}
