package demo

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOnwardTheFleetIsTheDemos(t *testing.T) {
	d, err := Make(Seed)
	assert.NoError(t, err)
	o := PlayOn(Seed)
	assert.Equal(t, d.Truth, truth(o.fleet), "the same fleet on the same day")
}

// A fleet that nobody looks at fails, and every failure is told.
func TestOnwardFailuresAreTold(t *testing.T) {
	o := PlayOn(Seed)
	told := 0
	for range 52 {
		for _, f := range o.Week(func(string) float64 { return 1 }) {
			if strings.HasSuffix(f.Path, "workshop.csv") {
				told += strings.Count(string(f.Data), ",done\n")
			}
		}
	}
	assert.Greater(t, o.Served.Failures, 10)
	assert.GreaterOrEqual(t, told, o.Served.Failures)
	assert.InDelta(t, float64(o.Served.Failures), o.Served.Lost, 1e-9)
}

func TestOnwardWhatIsFoundWornIsRenewed(t *testing.T) {
	o := PlayOn(Seed)
	hits := 0
	for _, v := range o.fleet {
		for _, l := range v.lives {
			if l.state != Worn || l.foundWorn || v.sold {
				continue
			}
			x := v.at(l.part, o.day)
			assert.True(t, l.wornAt(x), "%s %s", v.unit, l.part.id)
			found, done := o.Open(v.unit, l.part.id)
			if found != "worn" {
				assert.Equal(t, "sound", found)
				continue
			}
			hits++
			assert.NotEmpty(t, done)
			assert.False(t, l.wornAt(x+1), "%s %s: a new part is in", v.unit, l.part.id)
		}
	}
	assert.Equal(t, hits, o.Served.Hits)
	assert.Greater(t, hits, 20, "most worn parts are found when they are opened")
	found, done := o.Open("nobody", "nothing")
	assert.Empty(t, found+done)
}

func TestOnwardRepeats(t *testing.T) {
	a, b := PlayOn(7), PlayOn(7)
	for range 3 {
		assert.Equal(t, a.Week(func(string) float64 { return 0 }), b.Week(func(string) float64 { return 0 }))
	}
}
