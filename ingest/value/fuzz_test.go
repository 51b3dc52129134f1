package value

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What is read as a date is read again from its ISO form as the same day, and the same text always reads alike.
func FuzzDate(f *testing.F) {
	for _, s := range []string{"45000", "45000.5", "2024-03-15", "2024-03-15T10:00:00Z", "25.11.2026", "03/04/2024", "3. März 2024", "1er août 2023", "Mar-24", "20240315", "12.03.2024-14.03.2024", "０3/04/2024", "3\xff4"} {
		f.Add(s, true, false)
	}
	for _, s := range corpusCells(f) {
		f.Add(s, true, false)
	}
	f.Fuzz(func(t *testing.T, s string, day, date1904 bool) {
		o := DateOptions{Date1904: date1904, MonthOnly: true}
		if day {
			o.Order = DayFirst
		}
		got, how, err := ParseDate(s, o)
		again, howAgain, errAgain := ParseDate(s, o)
		require.Equal(t, err == nil, errAgain == nil)
		require.Equal(t, how, howAgain)
		require.True(t, got.Equal(again))
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		require.True(t, got.Equal(got.Truncate(24*time.Hour)) && got.Location() == time.UTC)
		back, _, err := ParseDate(got.Format(time.DateOnly), DateOptions{})
		require.NoError(t, err)
		require.True(t, got.Equal(back))
		var e DateEvidence
		e.Add(s)
		_ = e.Decide()
	})
}

// What is read as a number is finite, and reads alike whatever the evidence, except where one mark stands before three digits.
func FuzzNumber(f *testing.F) {
	for _, s := range []string{"123456", "1.234,5", "1,234.5", "123.456", "123 456 km", "1'234", "−12", "1E5", "12.5 tkm", "€ 5", "1 234,50 kr", "x1000", "1e999", "٣", "1..2", ",,", "1,2,3", "\xff1"} {
		f.Add(s, true)
	}
	for _, s := range corpusCells(f) {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, s string, whole bool) {
		v, unit, err := ParseNumber(s, NumberOptions{Whole: whole})
		again, unitAgain, errAgain := ParseNumber(s, NumberOptions{Whole: whole})
		require.Equal(t, err == nil, errAgain == nil)
		require.Equal(t, unit, unitAgain)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		require.Equal(t, v, again)
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%q", s)
		if open, _, err := ParseNumber(s, NumberOptions{}); err == nil && !whole {
			require.Equal(t, open, v)
		}
		var e NumberEvidence
		e.Add(s)
		_ = e.Decide()
	})
}
