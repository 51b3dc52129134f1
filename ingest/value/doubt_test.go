package value

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The statements are those of 49 CFR 580.5, and what auctions make of them.
func TestReadingStatus(t *testing.T) {
	for _, s := range []string{"Not Actual", "NOT ACTUAL MILEAGE", "not the actual mileage", "TMU", "True Mileage Unknown", "Exempt", "Exceeds mechanical limits", "in excess of its mechanical limits", "WARNING - ODOMETER DISCREPANCY", "EML", "Not warranted", "broken", "No", "Tacho defekt"} {
		plain, known := ParseReadingStatus(s)
		assert.False(t, plain, s)
		assert.True(t, known, s)
	}
	for _, s := range []string{"Actual", "actual mileage", "OK", "Warranted", "yes"} {
		plain, known := ParseReadingStatus(s)
		assert.True(t, plain, s)
		assert.True(t, known, s)
	}
	plain, known := ParseReadingStatus("digital")
	assert.True(t, plain)
	assert.False(t, known)
}

// A remark about something else must not cost the reading.
func TestDoubtedReading(t *testing.T) {
	for _, s := range []string{"TMU, sold as is", "Title: not actual. Runs", "odometer discrepancy announced", "mileage not actual", "exceeds mechanical limits"} {
		assert.NotEmpty(t, DoubtedReading(s), s)
	}
	for _, s := range []string{"", "ok", "not actually driven much", "not actual cost of repair known", "TMUX 4", "odometer lamp replaced", "actual mileage, one owner", "mileage correct"} {
		assert.Empty(t, DoubtedReading(s), s)
	}
}
