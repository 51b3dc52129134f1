package header

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func spaced(s string) string { return strings.ReplaceAll(s, "_", " ") }
func upper(s string) string  { return strings.ToUpper(s) }

func TestSynonymsCoverTheLanguages(t *testing.T) {
	count := make(map[string]int)
	total := 0
	for _, line := range strings.Split(synonymText, "\n") {
		if col := strings.SplitN(line, ";", 3); len(col) == 3 && !strings.HasPrefix(line, "#") && col[1] != "-" {
			count[col[0]]++
			total++
		}
	}
	assert.GreaterOrEqual(t, total, 450)
	for _, lang := range []string{"en", "de", "fr", "es", "sv", "nb", "fi", "pl", "it", "pt", "ru"} {
		assert.GreaterOrEqual(t, count[lang], 100, lang)
	}
}

// Each wording of the file must lead to its field on a sheet that may hold it, alone and strong: a wording of two strong fields of one kind of sheet
// would never be taken.
func TestNoWordingIsLostToAnother(t *testing.T) {
	for k, claims := range known().claims {
		for _, kind := range kindOrder {
			var top []Field
			for _, c := range claims {
				if c.rank == strong && c.field.In(kind) {
					top = append(top, c.field)
				}
			}
			assert.LessOrEqual(t, len(top), 1, "%q on %s", k, kind)
		}
	}
}

func TestLoadNamesTheLineAtFault(t *testing.T) {
	for text, want := range map[string]string{"en;unit": "line 1", "# c\nen;unti;Fleet": "line 2: no field \"unti\"", "en;~x;y": "no field"} {
		_, err := load(text)
		require.ErrorContains(t, err, want)
	}
}
