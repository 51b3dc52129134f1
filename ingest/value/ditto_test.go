package value

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestDitto: marks for what stands above, and what only looks like them.
func TestDitto(t *testing.T) {
	for _, s := range []string{`"`, `""`, "''", "〃", "do.", "Dto.", "DITTO", "idem", "как выше", `-"-`} {
		assert.True(t, IsDitto(s), s)
	}
	for _, s := range []string{"", "-", "--", "do", "id", "19\"", "Heron", "no", "'", "n/a"} {
		assert.False(t, IsDitto(s), s)
	}
}
