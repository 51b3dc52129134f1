package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseSerial(t *testing.T) {
	for _, k := range []struct {
		name, text string
		want       Serial
		bad        bool
	}{
		{"letters and digits", "KD4110000", Serial{"KD", 4110000, 7}, false},
		{"lower case, blanks and hyphens are how it is typed", " kd-4 110.000", Serial{"KD", 4110000, 7}, false},
		{"leading zeros keep the width", "KD0004711", Serial{"KD", 4711, 7}, false},
		{"digits alone", "4110000", Serial{"", 4110000, 7}, false},
		{"digits among the letters belong to the prefix", "M47D200001", Serial{"M47D", 200001, 6}, false},
		{"no digits at the end", "KD411A", Serial{}, true},
		{"empty", "", Serial{}, true},
		{"more digits than a number holds", "1234567890123456789", Serial{}, true},
	} {
		t.Run(k.name, func(t *testing.T) {
			got, err := ParseSerial(k.text)
			if k.bad {
				require.Error(t, err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, k.want, got)
		})
	}
}

func TestParseSerialRange(t *testing.T) {
	for _, k := range []struct {
		name, text, want string // "": an error
	}{
		{"two ends", "KD4110000-KD4168000", "KD4110000-KD4168000"},
		{"the prefix need not be said twice", "KD4110000-4168000", "KD4110000-KD4168000"},
		{"in words", "KD4110000 to KD4168000", "KD4110000-KD4168000"},
		{"with a long dash", "KD4110000 – KD4168000", "KD4110000-KD4168000"},
		{"with dots", "KD4110000..KD4168000", "KD4110000-KD4168000"},
		{"hyphens inside the serials", "KD-4110000-KD-4168000", "KD4110000-KD4168000"},
		{"one serial is a range of one", "KD4110000", "KD4110000"},
		{"leading zeros stay", "KD000100-KD000900", "KD000100-KD000900"},
		{"two prefixes are no range", "KD4110000-LX4168000", ""},
		{"no number", "KD-LX", ""},
		{"empty", "", ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			r, err := ParseSerialRange(k.text)
			if k.want == "" {
				require.Error(t, err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, k.want, r.String())
		})
	}
}

func rangeOf(t testing.TB, text string) SerialRange {
	t.Helper()
	r, err := ParseSerialRange(text)
	require.NoError(t, err)
	return r
}

func TestSerialRangeFaults(t *testing.T) {
	for _, k := range []struct{ name, text, want string }{
		{"good", "KD4110000-KD4168000", ""},
		{"ends before it begins", "KD4168000-KD4110000", "ends before it begins"},
		{"one number, more digits", "KD99000-KD104000", ""},
		{"widths mixed with leading zeros", "KD0099000-KD104000", "mixes widths and leading zeros"},
	} {
		t.Run(k.name, func(t *testing.T) {
			err := rangeOf(t, k.text).Validate()
			if k.want == "" {
				assert.NoError(t, err)
			} else {
				assert.ErrorContains(t, err, k.want)
			}
		})
	}
	assert.ErrorContains(t, SerialRange{Serial{"A", 1, 1}, Serial{"B", 2, 1}}.Validate(), "one prefix")
}

// TestSerialInRange: serials are compared within one prefix and one form.
func TestSerialInRange(t *testing.T) {
	for _, k := range []struct {
		name, serial, in string
		want             truth
	}{
		{"between the ends", "KD4150000", "KD4110000-KD4168000", yes},
		{"the first is in", "KD4110000", "KD4110000-KD4168000", yes},
		{"the last is in", "KD4168000", "KD4110000-KD4168000", yes},
		{"below", "KD4109999", "KD4110000-KD4168000", no},
		{"above", "KD4168001", "KD4110000-KD4168000", no},
		{"fewer digits are of another form", "KD415000", "KD4110000-KD4168000", unknown},
		{"another prefix", "LX4150000", "KD4110000-KD4168000", unknown},
		{"no prefix", "4150000", "KD4110000-KD4168000", unknown},
		{"numbers that grow a digit: KD99999 is below KD100000", "KD99999", "KD98000-KD104000", yes},
		{"and KD100000 above it", "KD100000", "KD98000-KD104000", yes},
		{"the end of the longer ones", "KD104001", "KD98000-KD104000", no},
		{"the beginning of the shorter ones", "KD97999", "KD98000-KD104000", no},
		{"leading zeros are not of a growing form", "KD099999", "KD98000-KD104000", unknown},
		{"leading zeros compare by number in their own form", "KD000500", "KD000100-KD000900", yes},
		{"without them it is another form", "KD500", "KD000100-KD000900", unknown},
	} {
		t.Run(k.name, func(t *testing.T) {
			s, err := ParseSerial(k.serial)
			require.NoError(t, err)
			assert.Equal(t, k.want, rangeOf(t, k.in).holds(s))
		})
	}
}

func TestSerialRangesOverlap(t *testing.T) {
	for _, k := range []struct {
		name, a, b string
		want       bool
	}{
		{"one runs into the other", "KD100-KD500", "KD400-KD900", true},
		{"they meet in one serial", "KD100-KD500", "KD500-KD900", true},
		{"one after the other", "KD100-KD500", "KD501-KD900", false},
		{"other letters", "KD100-KD500", "LX100-LX500", false},
		{"other width", "KD100-KD500", "KD0100-KD0500", false},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, rangeOf(t, k.a).Overlaps(rangeOf(t, k.b))) })
	}
}

func FuzzParseSerialRange(f *testing.F) {
	for _, s := range []string{"KD4110000-KD4168000", "KD-41 - KD-42", "1..2", "x", "KD1-LX2", "–", "KD99000 to 104000"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseSerialRange(text)
		if err != nil {
			return
		}
		again, err := ParseSerialRange(r.String())
		require.NoError(t, err, "%q is read, but not its own writing %q", text, r)
		assert.Equal(t, r, again)
	})
}
