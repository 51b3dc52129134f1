package dtc

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMentioned(t *testing.T) {
	for text, want := range map[string]string{
		"P0087 stored, sensor renewed": "P0087", "rail sensor renewed (P0191)": "P0191", "DTC p0087": "p0087", "found P0011-00; timing": "P0011-00",
		"": "", "oil service": "", "part no. XP0087": "", "pump P00871 fitted": "", "P 0087": "", "kit HP-P0087": "", "Öl P0087A": "",
	} {
		assert.Equal(t, want, Mentioned(text), text)
	}
}
