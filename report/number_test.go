package report_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"pitlist/report"
	"pitlist/score"
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
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, report.Percent(c.p)) })
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
	s := strings.TrimSuffix(report.Percent(p), "%")
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
		band, known := bands[report.Odds(p)]
		assert.True(t, known, report.Odds(p))
		assert.GreaterOrEqual(t, shown(t, p), band[0])
		assert.LessOrEqual(t, shown(t, p), band[1])
	})
}

func TestOddsNeverFallWithTheChance(t *testing.T) {
	order := []string{"exceptionally unlikely", "very unlikely", "unlikely", "about as likely as not", "likely", "very likely", "virtually certain"}
	at := 0
	for i := range 10001 {
		word := report.Odds(float64(i) / 10000)
		for order[at] != word {
			at++
			if !assert.Less(t, at, len(order), "%v has fallen to %s", float64(i)/10000, word) {
				return
			}
		}
	}
	assert.Equal(t, len(order)-1, at, "certainty is in the highest band")
}

func TestAmount(t *testing.T) {
	for name, c := range map[string]struct {
		x    float64
		axis score.Axis
		want string
	}{
		"hundreds from 10,000":          {171386, score.ByKM, "171,400 km"},
		"tens from 1,000":               {6234, score.ByHours, "6,230 h"},
		"ones below":                    {41.4, score.ByMonths, "41 months"},
		"no number is nothing":          {math.Inf(1), score.ByKM, "0 km"},
		"thousands from the right":      {1234567, score.ByKM, "1,234,600 km"},
		"a negative number has its one": {-1500, score.ByKM, "-1,500 km"},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, report.Amount(c.x, c.axis)) })
	}
}

func TestMoneyHasNoDecimals(t *testing.T) {
	assert.Equal(t, "EUR 1,240", report.Money(1239.6, "EUR"))
	assert.Equal(t, "1,240", report.Money(1239.6, ""), "without a currency there is no blank before it")
	assert.Equal(t, "EUR 0", report.Money(math.NaN(), "EUR"))
}
