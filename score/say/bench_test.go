package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// reason is a text as a row of a large list has: clauses, lists, values of many kinds.
func reason() Text {
	far := F("%s or %s", KM(396012), Amount{4021, "h"})
	return Sentence(Capitalised(far), F("over %s", Percent(0.784)), And(Plain("pads"), Plain("brake discs"), Count(4, "h", "months")),
		Join(" ", Of(Money{1240, "EUR"}), Of(Day(20739)), Of(ISODay(20739)), Of(Figure(0.25)), Of(Tenth(9.16)), Of(Hours(12.25))))
}

// TestWordingMakesNoGarbage: whoever has a room for words gets them without another.
func TestWordingMakesNoGarbage(t *testing.T) {
	said, room := reason(), make([]byte, 0, 512)
	assert.Zero(t, testing.AllocsPerRun(100, func() { room = said.AppendIn(room[:0], English) }))
	assert.LessOrEqual(t, testing.AllocsPerRun(100, func() { room = said.AppendIn(room[:0], Spanish) }), 1.0, "how the list's last begins")
}

func BenchmarkSay(b *testing.B) {
	for _, l := range Languages() {
		said := reason()
		b.Run("made and worded/"+l.Tag, func(b *testing.B) {
			b.ReportAllocs()
			for room := []byte(nil); b.Loop(); {
				room = reason().AppendIn(room[:0], l)
			}
		})
		b.Run("worded/"+l.Tag, func(b *testing.B) {
			b.ReportAllocs()
			for room := []byte(nil); b.Loop(); {
				room = said.AppendIn(room[:0], l)
			}
		})
		b.Run("as a string/"+l.Tag, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				said.In(l)
			}
		})
	}
}
