package vin

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"pitlist/score/say"
)

// TestEveryCountryIsNamed: the names and the table of codes hold the same
// countries.
func TestEveryCountryIsNamed(t *testing.T) {
	table := map[string]bool{}
	for _, r := range ranges {
		if r.country != "" {
			table[r.country] = true
			assert.Equal(t, r.country, Named(r.country).String())
		}
	}
	assert.Len(t, named, len(table))
	assert.Equal(t, "Elsewhere", Named("Elsewhere").In(say.Spanish))
}

// TestCountriesAsTheLibrary holds the Spanish names against those of CLDR,
// where both call the country alike in English.
func TestCountriesAsTheLibrary(t *testing.T) {
	en, es := display.English.Regions(), display.Spanish.Regions()
	alike := 0
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			region, err := language.ParseRegion(string(a) + string(b))
			if err != nil || !region.IsCountry() {
				continue
			}
			if country, ok := named[en.Name(region)]; ok {
				alike++
				assert.Equal(t, es.Name(region), country.In(say.Spanish))
			}
		}
	}
	assert.GreaterOrEqual(t, alike, len(named)-4, "nearly all are called alike")
}
