package value

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseNumber(t *testing.T) {
	none, whole := NumberOptions{}, NumberOptions{Whole: true}
	point, comma := NumberOptions{Decimal: Point}, NumberOptions{Decimal: Comma}
	tkm := NumberOptions{Scale: 1000}
	cases := []struct {
		rule, text string
		o          NumberOptions
		want       float64
		unit       Unit
	}{
		{"digits", "123456", none, 123456, ""},
		{"nought", "0", none, 0, ""},
		{"leading noughts", "00123", none, 123, ""},
		{"a raw float", "123456.00000000001", none, 123456.00000000001, ""},
		{"a raw float from adding", "0.30000000000000004", none, 0.30000000000000004, ""},
		{"scientific form", "1E5", none, 1e5, ""},
		{"scientific form with sign and point", "1.5E+5", none, 150000, ""},
		{"scientific form, small", "1.5e-3", none, 0.0015, ""},
		{"one decimal with point", "1234.5", none, 1234.5, ""},
		{"one decimal with comma", "1234,5", none, 1234.5, ""},
		{"two decimals with comma", "12,34", none, 12.34, ""},
		{"four decimals", "0.1234", none, 0.1234, ""},
		{"a nought in front shows a decimal mark", "0.125", none, 0.125, ""},
		{"a nought in front shows a decimal comma", "0,125", none, 0.125, ""},
		{"no digit in front", ".5", none, 0.5, ""},
		{"no digit behind", "1234.", none, 1234, ""},
		{"German thousands and decimals", "1.234,5", none, 1234.5, ""},
		{"English thousands and decimals", "1,234.5", none, 1234.5, ""},
		{"German thousands and three decimals", "1.234,567", none, 1234.567, ""},
		{"German millions", "1.234.567", none, 1234567, ""},
		{"English millions", "1,234,567", none, 1234567, ""},
		{"German millions and decimals", "1.234.567,89", none, 1234567.89, ""},
		{"more than three digits before a mark: decimals", "123456.789", none, 123456.789, ""},
		{"more than three digits before a comma: decimals", "1234,567", none, 1234.567, ""},
		{"an odometer has no decimals: point", "123.456", whole, 123456, ""},
		{"an odometer has no decimals: comma", "123,456", whole, 123456, ""},
		{"an odometer with one decimal keeps it", "123456.7", whole, 123456.7, ""},
		{"an odometer of under 1000 with a decimal", "12,5", whole, 12.5, ""},
		{"a column with decimal points parts thousands by comma", "1,234", point, 1234, ""},
		{"a column with decimal points has 3 decimals", "1.234", point, 1.234, ""},
		{"a column with decimal commas parts thousands by point", "1.234", comma, 1234, ""},
		{"a column with decimal commas has 3 decimals", "1,234", comma, 1.234, ""},
		{"what shows itself goes against its column", "1,234.5", comma, 1234.5, ""},
		{"blanks part thousands", "123 456", none, 123456, ""},
		{"no-break blanks", "123 456", none, 123456, ""},
		{"narrow no-break blanks", "123 456", none, 123456, ""},
		{"thin blanks", "123 456", none, 123456, ""},
		{"blanks part millions", "1 234 567", none, 1234567, ""},
		{"blanks and a decimal comma", "1 234,5", none, 1234.5, ""},
		{"blanks and a comma before three digits: decimals", "1 234,567", none, 1234.567, ""},
		{"Swiss apostrophe", "1'234", none, 1234, ""},
		{"Swiss apostrophe, typographic", "1’234’567.80", none, 1234567.8, ""},
		{"minus", "-12", none, -12, ""},
		{"Unicode minus", "−12,5", none, -12.5, ""},
		{"en dash as minus", "–12", none, -12, ""},
		{"plus", "+12", none, 12, ""},
		{"minus and thousands", "-1.234", whole, -1234, ""},
		{"km behind", "123456 km", none, 123456, Km},
		{"km without blank", "123456km", none, 123456, Km},
		{"km and blanks as thousands", "123 456 km", none, 123456, Km},
		{"km in capitals", "98000 KM", none, 98000, Km},
		{"kms", "98000 kms", none, 98000, Km},
		{"miles behind", "34,563 mi", whole, 34563, Mile},
		{"miles in words", "34563 miles", none, 34563, Mile},
		{"German miles", "34.563 Meilen", whole, 34563, Mile},
		{"mi with a point", "34563 mi.", none, 34563, Mile},
		{"thousand km", "12.5 tkm", none, 12500, Km},
		{"thousand km with comma", "174,5 Tkm", none, 174500, Km},
		{"thousand km with three decimals", "123.456 tkm", none, 123456, Km},
		{"thousand km, German", "175 Tsd. km", none, 175000, Km},
		{"thousand km as a product", "175 x1000 km", none, 175000, Km},
		{"thousand km, spelled with a blank", "175 x 1000 km", none, 175000, Km},
		{"k for thousand", "98k", none, 98000, ""},
		{"k miles", "98k miles", none, 98000, Mile},
		{"hours", "1234 h", none, 1234, Hour},
		{"hours with decimals", "1.234,5 Std.", none, 1234.5, Hour},
		{"hours, English", "1234.5 hrs", none, 1234.5, Hour},
		{"hours, Polish", "1234 mth", none, 1234, Hour},
		{"months", "24 months", none, 24, Month},
		{"months, German", "24 Monate", none, 24, Month},
		{"months, Finnish", "24 kk", none, 24, Month},
		{"a measure", "0.12 mm", none, 0.12, "mm"},
		{"a measure with comma", "0,12mm", none, 0.12, "mm"},
		{"a pressure", "3.5 bar", none, 3.5, "bar"},
		{"euro in front", "€ 1.234,50", none, 1234.5, "EUR"},
		{"euro behind", "1.234,50 €", none, 1234.5, "EUR"},
		{"pounds in front", "£1,234.50", none, 1234.5, "GBP"},
		{"dollars in front", "$5,000.00", none, 5000, "$"},
		{"minus before the sign of money", "-€12.50", none, -12.5, "EUR"},
		{"crowns behind", "1 234,50 kr", none, 1234.5, "kr"},
		{"crowns in front", "kr 1 234", none, 1234, "kr"},
		{"zloty", "1 234,50 zł", none, 1234.5, "PLN"},
		{"ISO code in front", "EUR 1234", none, 1234, "EUR"},
		{"percent", "12 %", none, 12, "%"},
		{"the heading counts in thousands", "174", tkm, 174000, ""},
		{"the heading counts in thousands, decimals", "174.5", tkm, 174500, ""},
		{"the heading counts in thousands, three decimals", "174.553", tkm, 174553, ""},
		{"a cell's own unit goes before the heading's scale", "174553 km", tkm, 174553, Km},
		{"mil where the heading says 10 km", "12345 mil", NumberOptions{Mil: 10}, 123450, Km},
		{"full-width digits", "１２３", none, 123, ""},
		{"an apostrophe in front marks text", "'12345", none, 12345, ""},
		{"blanks around", "  123 ", none, 123, ""},
		{"a zero-width blank", "123\u200b", none, 123, ""},
		{"sixteen digits", "1234567890123456", none, 1234567890123456, ""},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			got, unit, err := ParseNumber(c.text, c.o)
			require.NoError(t, err, "%q", c.text)
			assert.InEpsilon(t, c.want+1e9, got+1e9, 1e-15, "%q", c.text)
			assert.Equal(t, c.unit, unit, "%q", c.text)
		})
	}
}

func TestParseNumberRefuses(t *testing.T) {
	cases := []struct {
		rule, text string
		o          NumberOptions
		reason     string
	}{
		{"two readings, point", "123.456", NumberOptions{}, "123456 or 123.456"},
		{"two readings, comma", "1,234", NumberOptions{}, "1234 or 1.234"},
		{"two readings, unit behind", "123.456 km", NumberOptions{}, "123456 or 123.456"},
		{"nothing", "", NumberOptions{}, "holds no figure"},
		{"a dash", "-", NumberOptions{}, "holds no figure"},
		{"unknown", "unknown", NumberOptions{}, "holds no figure"},
		{"an error value", "#DIV/0!", NumberOptions{}, "error value"},
		{"words", "many", NumberOptions{}, "no number"},
		{"a guess", "ca. 90000", NumberOptions{}, "is an estimate"},
		{"a guess with a tilde", "~90000", NumberOptions{}, "is an estimate"},
		{"a guess behind the figure", "92,400 km (est.)", NumberOptions{}, "is an estimate"},
		{"a reading that nobody answers for", "92,400 TMU", NumberOptions{}, "not to be the true distance"},
		{"exempt from disclosure", "exempt", NumberOptions{}, "not to be the true distance"},
		{"a lower bound", "100000+", NumberOptions{}, "no unit"},
		{"a range", "10-20", NumberOptions{}, "no unit"},
		{"a range with an en dash", "10–20", NumberOptions{}, "no unit"},
		{"a date", "25.11.2026", NumberOptions{}, "marks"},
		{"a time", "12:30", NumberOptions{}, "no unit"},
		{"groups of two", "12.34.56", NumberOptions{}, "marks"},
		{"groups of four", "1.2345.678", NumberOptions{}, "marks"},
		{"mixed groups", "1.234,567.8", NumberOptions{}, "marks"},
		{"a first group of four", "1234.567,8", NumberOptions{}, "marks"},
		{"two marks at the end", "123..", NumberOptions{}, "no unit"},
		{"blanks that part no thousands", "12 34", NumberOptions{}, "blanks"},
		{"two figures", "123456 174000", NumberOptions{}, "blanks"},
		{"a blank beside the mark", "12 ,5", NumberOptions{}, "blanks"},
		{"mil may be miles", "12345 mil", NumberOptions{}, "10 km"},
		{"an unknown unit", "12 furlongs", NumberOptions{}, "furlongs"},
		{"not a number", "NaN", NumberOptions{}, "holds no figure"},
		{"infinity", "Inf", NumberOptions{}, "no number"},
		{"hexadecimal", "0x1F", NumberOptions{}, "no unit"},
		{"underscores", "1_000", NumberOptions{}, "no unit"},
		{"a huge exponent", "1E999", NumberOptions{}, "no number"},
		{"a trouble code", "P0087", NumberOptions{}, "no number"},
		{"a sign alone", "+", NumberOptions{}, "no number"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, _, err := ParseNumber(c.text, c.o)
			require.ErrorContains(t, err, c.reason)
			var p *Problem
			require.ErrorAs(t, err, &p)
			assert.Equal(t, c.text, p.Value)
			assert.NotEmpty(t, p.Suggestion)
		})
	}
}

func TestNumberEvidence(t *testing.T) {
	cases := []struct {
		rule    string
		values  []string
		decimal Mark
		unit    Unit
		open    int
	}{
		{"one decimal comma decides", []string{"1.234", "2.345", "12,5"}, Comma, "", 2},
		{"one decimal point decides", []string{"1,234", "12.5"}, Point, "", 1},
		{"grouped millions show the other mark", []string{"1.234.567", "1.234"}, Comma, "", 1},
		{"both marks in a figure decide", []string{"1,234.50", "1.234"}, Point, "", 1},
		{"conflicting figures leave it open", []string{"12,5", "12.5", "1.234"}, AnyMark, "", 1},
		{"three digits alone leave it open", []string{"123.456", "98.765"}, AnyMark, "", 2},
		{"plain figures show nothing", []string{"123456", "98765"}, AnyMark, "", 0},
		{"one unit is the column's", []string{"123 km", "456 km", "789"}, AnyMark, Km, 0},
		{"mixed units are none", []string{"123 km", "456 mi"}, AnyMark, "", 0},
		{"missing cells and words don't count", []string{"", "n/a", "many", "12,5"}, Comma, "", 0},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			var e NumberEvidence
			for _, v := range c.values {
				e.Add(v)
			}
			got := e.Decide()
			assert.Equal(t, c.decimal, got.Decimal, got.Why)
			assert.Equal(t, c.unit, got.Unit)
			assert.Equal(t, c.open, got.Open)
			assert.NotEmpty(t, got.Why)
		})
	}
	t.Run("mixed units are named by frequency", func(t *testing.T) {
		var e NumberEvidence
		for _, v := range []string{"1 mi", "2 km", "3 km"} {
			e.Add(v)
		}
		assert.Equal(t, []Unit{Km, Mile}, e.Decide().Mixed)
		assert.Contains(t, e.Decide().Why.String(), "km 2, mi 1")
	})
}

func BenchmarkParseNumber(b *testing.B) {
	for _, text := range []string{"123456", "123456.7", "123456.00000000001", "1.234,5", "123 456 km"} {
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				_, _, _ = ParseNumber(text, NumberOptions{Whole: true})
			}
		})
	}
}
