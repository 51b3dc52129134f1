package value

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/encoding/charmap"
)

// TestMendTwice: texts encoded twice by hand's way, decoding their UTF-8 as Latin-1 or windows-1252; and texts that only look odd.
func TestMendTwice(t *testing.T) {
	for _, text := range []string{"Motor läuft rauh, Ölverlust", "Straße", "é", "50 €", "£120", "90 °C", "Łódź – wymiana", "двигатель стучит", "niño “sí”", "Crème brûlée", "Ångström"} {
		latin, _ := charmap.ISO8859_1.NewDecoder().String(text)
		windows, _ := charmap.Windows1252.NewDecoder().String(text)
		for _, twice := range []string{latin, windows} {
			got, ok := MendTwice(twice)
			if twice == windows && containsUnknown(windows) {
				continue // the windows decoder gives up bytes that are not defined
			}
			assert.True(t, ok, twice)
			assert.Equal(t, text, got)
		}
		got, ok := MendTwice(text)
		assert.False(t, ok, text)
		assert.Equal(t, text, got)
	}
	got, ok := MendTwice("ï»¿Unit")
	assert.True(t, ok)
	assert.Equal(t, "Unit", got)
	for _, text := range []string{"", "plain", "Ã", "SÃO PAULO", "MANUTENÇÃO", "MAÇÃ…", "IRMÃ” 2", "Âge", "Âme du moteur", "CAFÉ’S", "Älvsjö", "Å 12", "MotÃ¶r ölig", "5 Â½ Ł"} {
		got, ok := MendTwice(text)
		assert.False(t, ok, text)
		assert.Equal(t, text, got)
	}
}

func containsUnknown(s string) bool {
	for _, r := range s {
		if r == '\uFFFD' {
			return true
		}
	}
	return false
}

// TestRanges: two days in a cell are told from one day.
func TestRanges(t *testing.T) {
	for _, s := range []string{"02.03.2026 - 05.03.2026", "02-05.03.2026", "2.-5. März 2026", "2026-03-02 to 2026-03-05", "2 March 2026 – 5 March 2026", "02/03/2026 & 05/03/2026", "02.03.2026 bis 05.03.2026"} {
		_, _, err := ParseDate(s, DateOptions{Order: DayFirst})
		assert.ErrorContains(t, err, "names two days", s)
	}
	for s, want := range map[string]string{"12/3-2026": "2026-03-12", "5. - 3. - 2026": "2026-03-05", "2026 - 03 - 02": "2026-03-02", "2.3.2026 10:30": "2026-03-02", "12.03.2026 1030": "2026-03-12"} {
		day, _, err := ParseDate(s, DateOptions{Order: DayFirst})
		assert.NoError(t, err, s)
		assert.Equal(t, want, day.Format("2006-01-02"), s)
	}
}
