package say

import (
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	km := F("%s or %s", KM(171432), F("%s and %s", Plain("a"), "b"))
	assert.Equal(t, "171,400 km or a and b", km.String())
	assert.Equal(t, "171.400 km o a y b", km.In(Spanish))
	assert.Empty(t, Text{}.In(Spanish))
	assert.True(t, Plain("").Empty())
	assert.Equal(t, "100%", Plain("100%").String(), "a plain text is no form")
	m := Marked("«", "»")
	assert.Equal(t, "171˙400 «km»« or »a« and »1 «h»", m.Say(F("%s or %s", KM(171432), F("%s and %s", Plain("a"), Count(1, "h", "months")))), "values stand outside the marks")
	assert.Equal(t, "4·2% 13 «Oct» 2026", m.F("%s %s", Percent(0.042), Day(20739)))
	assert.Equal(t, "100%« km»: 2", m.Say(F("100%% km%[2]s %[1]d", 2, ":")))
}

func TestOne(t *testing.T) {
	for n, want := range map[int]string{0: "many", 1: "one", 2: "many", -1: "many"} {
		assert.Equal(t, want, One(n, "one", "many"))
	}
}

func TestErrors(t *testing.T) {
	inner := NewError("%s or %s", KM(171432), io.EOF)
	outer := NewError("over %s", inner)
	assert.Equal(t, "over 171,400 km or EOF", outer.Error())
	assert.Equal(t, "más del 171.400 km o EOF", OfError(outer).In(Spanish))
	require.ErrorIs(t, outer, io.EOF)
	assert.Equal(t, "EOF", OfError(io.EOF).In(Spanish), "a library's is quoted")
	assert.True(t, OfError(nil).Empty())
}

func TestLists(t *testing.T) {
	a, b, c := Plain("a"), Plain("b"), Plain("c")
	assert.Equal(t, "a, b and c", And(a, Text{}, b, c).String())
	assert.Equal(t, "a y b", And(a, b).In(Spanish))
	assert.Equal(t, "a, b o c", Alternatives(a, b, c).In(Spanish))
	assert.Equal(t, "a", And(a).String())
	assert.True(t, And().Empty())
	assert.Equal(t, "A; b.", Sentence(a, Text{}, b).String())
	assert.True(t, Sentence().Empty())
	assert.Equal(t, "Éa", Capitalised(Plain("éa")).String())
}

// TestSpanishJoinsBySound: the rules are those of the Real Academia Española
// (Diccionario panhispánico de dudas, "y" and "o", from memory).
func TestSpanishJoinsBySound(t *testing.T) {
	for last, want := range map[string]string{
		"inyector": "a e inyector", "Índice": "a e Índice", "“hilo”": "a e “hilo”", "I": "a e I",
		"hierro": "a y hierro", "hiato": "a y hiato", "yugo": "a y yugo", "bomba": "a y bomba", "": "a",
	} {
		assert.Equal(t, want, And(Plain("a"), Plain(last)).In(Spanish))
		assert.NotContains(t, And(Plain("a"), Plain(last)).String(), " e ")
	}
	for last, want := range map[string]string{
		"otro": "a u otro", "hora": "a u hora", "8": "a u 8", "80": "a u 80", "11": "a u 11", "11.400 km": "a u 11.400 km",
		"110": "a o 110", "11,5": "a u 11,5", "1100": "a o 1100", "2012": "a o 2012", "bomba": "a o bomba",
	} {
		assert.Equal(t, want, Alternatives(Plain("a"), Plain(last)).In(Spanish))
	}
}

func TestValues(t *testing.T) {
	for _, c := range []struct {
		v      Value
		en, es string
	}{
		{Percent(0.784), "78%", "78\u00a0%"},
		{Percent(0.0421), "4.2%", "4,2\u00a0%"},
		{Percent(0.0001), "under 0.1%", "menos del 0,1\u00a0%"},
		{Percent(0.9999), "over 99.9%", "más del 99,9\u00a0%"},
		{Percent(math.NaN()), "0%", "0\u00a0%"},
		{KM(1234), "1,230 km", "1230 km"},
		{Amount{41.2, "months"}, "41 months", "41 meses"},
		{Money{1240.4, "EUR"}, "EUR 1,240", "1240 EUR"},
		{Money{-12400, ""}, "-12,400", "-12.400"},
		{Hours(12.25), "12.25 h", "12,25 h"},
		{Tenth(9.16), "9.2", "9,2"},
		{Tenth(1234.5), "1,235", "1235"},
		{Figure(0.123456789), "0.123457", "0,123457"},
		{Day(20739), "13 Oct 2026", "13 oct 2026"},
		{Day(0), "", ""},
		{LongDay(19816), "3 April 2024", "3 de abril de 2024"},
		{LongDay(0), "", ""},
		{Count(1, "h", "months"), "1 h", "1 h"},
		{Count(12345, "h", "months"), "12,345 months", "12.345 meses"},
		{CountTenth(1.04, "h", "months"), "1 h", "1 h"},
	} {
		assert.Equal(t, c.en, Of(c.v).In(English))
		assert.Equal(t, c.es, Of(c.v).In(Spanish))
	}
}

// TestNumbersAsTheLibrary holds numbers against golang.org/x/text, which has
// them from CLDR; only it puts marks into four digits in Spanish, where CLDR
// asks for none (minimum grouping digits: 2).
func TestNumbersAsTheLibrary(t *testing.T) {
	en, es := message.NewPrinter(language.English), message.NewPrinter(language.Spanish)
	rapid.Check(t, func(t *rapid.T) {
		x := math.Round(rapid.Float64Range(-1e9, 1e9).Draw(t, "x")*100) / 100
		want := number.Decimal(x, number.MaxFractionDigits(0))
		if math.Abs(x-math.Trunc(x)) == 0.5 {
			return // the library rounds half to even
		}
		if s := Of(Whole(x)).In(English); s != "0" && s != "-0" {
			assert.Equal(t, en.Sprint(want), s)
		}
		if math.Abs(math.Round(x)) >= 10000 {
			assert.Equal(t, es.Sprint(want), Of(Whole(x)).In(Spanish))
		}
		small := number.Decimal(x, number.MaxFractionDigits(2), number.NoSeparator())
		assert.Equal(t, es.Sprint(small), Of(Number(x)).In(Spanish))
	})
}

func TestByTag(t *testing.T) {
	for tag, want := range map[string]*Language{"": English, "en": English, "es": Spanish} {
		got, ok := ByTag(tag)
		require.True(t, ok)
		assert.Same(t, want, got)
	}
	_, ok := ByTag("xx")
	assert.False(t, ok)
}

// TestOverReadsAsOver: of any two probabilities the greater is never written
// as its limit is, nor as a smaller number, in either language.
func TestOverReadsAsOver(t *testing.T) {
	for _, c := range []struct {
		p, limit        float64
		shown, bound    string
		enEspanol, tope string
	}{
		{0.034, 0.02, "3.4%", "2.0%", "3,4\u00a0%", "2,0\u00a0%"},
		{0.0204, 0.02, "2.04%", "2.00%", "2,04\u00a0%", "2,00\u00a0%"},
		{0.302, 0.3, "30.2%", "30.0%", "30,2\u00a0%", "30,0\u00a0%"},
		{0.020001, 0.02, "over 2%", "2%", "más del 2\u00a0%", "2\u00a0%"},
		{0.0003, 0.0002, "0.03%", "0.02%", "0,03\u00a0%", "0,02\u00a0%"},
		{0.00003, 0.00002, "over 0.002%", "0.002%", "más del 0,002\u00a0%", "0,002\u00a0%"},
		{0.99998, 0.9996, "over 99.96%", "99.96%", "más del 99,96\u00a0%", "99,96\u00a0%"},
		{1, 0.9996, "100%", "over 99.9%", "100\u00a0%", "más del 99,9\u00a0%"},
		{0.02, 0.02, "2.0%", "2.0%", "2,0\u00a0%", "2,0\u00a0%"}, // not over it
	} {
		shown, bound := Over(c.p, c.limit)
		assert.Equal(t, [4]string{c.shown, c.bound, c.enEspanol, c.tope}, [4]string{Of(shown).In(English), Of(bound).In(English), Of(shown).In(Spanish), Of(bound).In(Spanish)})
	}
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 0.02, 0.0995, 0.1, 0.3, 0.9, 0.9005, 0.9995})).Draw(t, "limit")
		p := min(1, limit+math.Pow(10, rapid.Float64Range(-9, -1).Draw(t, "digits")))
		if p <= limit {
			return
		}
		shown, bound := Over(p, limit)
		for _, l := range Languages() {
			assert.NotEqual(t, Of(bound).In(l), Of(shown).In(l), "%v over %v", p, limit)
		}
		x, y := numberIn(t, shown), numberIn(t, bound)
		assert.GreaterOrEqual(t, x, y, "%v over %v", p, limit)
		if x == y {
			assert.True(t, strings.HasPrefix(Of(shown).In(English), "over ") || strings.HasPrefix(Of(bound).In(English), "under "), "%v over %v: %s, %s", p, limit, Of(shown).In(English), Of(bound).In(English))
		}
	})
}

// numberIn reads the number of a probability in English.
func numberIn(t assert.TestingT, v Value) float64 {
	s := strings.TrimSuffix(Of(v).In(English), "%")
	x, err := strconv.ParseFloat(s[strings.LastIndexByte(s, ' ')+1:], 64)
	assert.NoError(t, err)
	return x
}
