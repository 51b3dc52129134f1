package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDrawSet(t *testing.T) {
	var none, s DrawSet
	assert.True(t, none.Empty())
	assert.False(t, none.Has(0))
	s.Add(0, 200)
	s.Add(199, 200)
	assert.True(t, s.Has(0) && s.Has(199))
	assert.False(t, s.Has(1) || s.Has(64) || s.Has(200) || s.Has(1000))
	assert.False(t, s.Empty())
}
