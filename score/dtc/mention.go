package dtc

// Mentioned is the first powertrain code (J2012) that a text of words names, as it
// stands there: "P0087" of "P0087 stored, sensor renewed"; "" where it names none.
// It tells that a code is spoken of, not that it was read.
func Mentioned(text string) string {
	for i := 0; i < len(text); i++ {
		from := i
		for i < len(text) && ofWord(text[i]) {
			i++
		}
		word := text[from:i]
		if _, n := leadingCode(word); n > 0 && n == len(word) && word[0]|0x20 == 'p' {
			return word
		}
	}
	return ""
}

func ofWord(b byte) bool {
	return b >= 0x80 || b == '-' || '0' <= b && b <= '9' || 'a' <= b|0x20 && b|0x20 <= 'z'
}
