package report_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"pitlist/report"
	"pitlist/score/say"
)

func TestPercent(t *testing.T) {
	for name, c := range map[string]struct {
		p    float64
		want string
	}{
		"whole percents between 10 and 90":    {0.784, "78%"},
		"tenths below 10":                     {0.0423, "4.2%"},
		"tenths above 90":                     {0.9271, "92.7%"},
		"9.96 rounds up to the whole numbers": {0.0996, "10%"},
		"never nothing for a small chance":    {0.0002, "under 0.1%"},
		"never certain for less than certain": {0.9998, "over 99.9%"},
		"nothing is nothing":                  {0, "0%"},
		"certain is certain":                  {1, "100%"},
		"what is no number is nothing":        {math.NaN(), "0%"},
		"below nothing is nothing":            {-0.1, "0%"},
		"over certain is certain":             {1.5, "100%"},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, say.Of(say.Percent(c.p)).In(say.English)) })
	}
}

// bands are those of the IPCC's guidance note on uncertainty (Mastrandrea et
// al. 2010, table 1; from memory), in percent.
var bands = map[string][2]float64{
	"virtually certain":      {99, 100},
	"very likely":            {90, 100},
	"likely":                 {66, 100},
	"about as likely as not": {33, 66},
	"unlikely":               {0, 33},
	"very unlikely":          {0, 10},
	"exceptionally unlikely": {0, 1},
}

// shown reads the number that Percent shows, in percent.
func shown(t assert.TestingT, p float64) float64 {
	s := strings.TrimSuffix(say.Of(say.Percent(p)).In(say.English), "%")
	switch {
	case strings.HasPrefix(s, "under"):
		return 0
	case strings.HasPrefix(s, "over"):
		return 100
	}
	x, err := strconv.ParseFloat(s, 64)
	assert.NoError(t, err)
	return x
}

func TestOddsHoldForTheNumberBesideThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0, 1).Draw(t, "p")
		word := report.Odds(p).String()
		band, known := bands[word]
		assert.True(t, known, word)
		assert.GreaterOrEqual(t, shown(t, p), band[0])
		assert.LessOrEqual(t, shown(t, p), band[1])
	})
}

func TestOddsNeverFallWithTheChance(t *testing.T) {
	order := []string{"exceptionally unlikely", "very unlikely", "unlikely", "about as likely as not", "likely", "very likely", "virtually certain"}
	at := 0
	for i := range 10001 {
		word := report.Odds(float64(i) / 10000).String()
		for order[at] != word {
			at++
			if !assert.Less(t, at, len(order), "%v has fallen to %s", float64(i)/10000, word) {
				return
			}
		}
	}
	assert.Equal(t, len(order)-1, at, "certainty is in the highest band")
}
