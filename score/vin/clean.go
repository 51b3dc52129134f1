package vin

import (
	"strings"
	"unicode"

	"pitlist/score/say"
)

// lookalikes are the letters of other alphabets that are drawn like a Latin capital. Own table, from
// the letter shapes: Cyrillic in both cases, since its small letters keep the shape of the capital;
// Greek capitals only, since the small nu looks like v but is an N.
var lookalikes = buildLookalikes()

const (
	cyrillicCapitals = "АВЕКМНОРСТУХІЈЅԚԜ"
	cyrillicSmall    = "авекмнорстухіјѕԛԝ"
	cyrillicMeant    = "ABEKMHOPCTYXIJSQW"
	greekCapitals    = "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ"
	greekMeant       = "ABEZHIKMNOPTYX"
)

func buildLookalikes() map[rune]byte {
	t := make(map[rune]byte)
	for _, pair := range [][2]string{
		{cyrillicCapitals, cyrillicMeant}, {cyrillicSmall, cyrillicMeant}, {greekCapitals, greekMeant},
	} {
		for i, r := range []rune(pair[0]) {
			t[r] = pair[1][i]
		}
	}
	return t
}

// cleaned is a cell on its way to being a VIN, with the count of what was done to it.
type cleaned struct {
	text                         string
	cyrillic, greek              int // letters read as Latin
	blanks, hyphens, small, wide int
	invisible, quotes, asterisks int
}

// Clean returns what is left of a cell after what carries no meaning is taken away: blanks of every
// kind (also no-break), hyphens and dashes, invisible characters, a leading apostrophe or quotes, the
// asterisks of a Code 39 scanner. Small and full-width letters become capitals, Cyrillic and Greek
// look-alikes Latin. The notes say in words what was done; blanks at the ends are not worth a note.
// All else stays, so that an illegal character is seen and not guessed away.
func Clean(raw string) (text string, notes []say.Text) {
	if plain(raw) {
		return raw, nil
	}
	c := clean(raw)
	return c.text, c.notes()
}

// plain reports whether raw needs no cleaning: the usual case, which must cost nothing.
func plain(raw string) bool {
	for i := range len(raw) {
		if c := raw[i]; (c < 'A' || c > 'Z') && (c < '0' || c > '9') {
			return false
		}
	}
	return true
}

// clean does the work of Clean and keeps the counts.
func clean(raw string) cleaned {
	var c cleaned
	s := strings.TrimFunc(raw, c.outer)
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range s {
		c.add(&b, r)
	}
	c.text = b.String()
	return c
}

// outer reports whether r may be trimmed from the ends, and counts what deserves a note.
func (c *cleaned) outer(r rune) bool {
	switch {
	case r == '*' || r == '＊':
		c.asterisks++
	case strings.ContainsRune("'\"`´‘’‚“”„«»", r):
		c.quotes++
	case invisible(r):
		c.invisible++
	default:
		return unicode.IsSpace(r)
	}
	return true
}

// add writes what r stands for, which may be nothing.
func (c *cleaned) add(b *strings.Builder, r rune) {
	switch {
	case r >= 'A' && r <= 'Z' || r >= '0' && r <= '9':
		b.WriteRune(r)
	case r >= 'a' && r <= 'z':
		c.small++
		b.WriteRune(r - 'a' + 'A')
	case unicode.IsSpace(r):
		c.blanks++
	case invisible(r):
		c.invisible++
	case unicode.Is(unicode.Pd, r) || r == '−': // Pd: hyphens and dashes; the minus sign is not among them
		c.hyphens++
	default:
		c.addForeign(b, r)
	}
}

// addForeign handles what is not ASCII: full-width forms and look-alikes are read, all else stays.
func (c *cleaned) addForeign(b *strings.Builder, r rune) {
	switch {
	case r >= '０' && r <= '９':
		c.wide++
		b.WriteRune(r - '０' + '0')
	case r >= 'Ａ' && r <= 'Ｚ':
		c.wide++
		b.WriteRune(r - 'Ａ' + 'A')
	case r >= 'ａ' && r <= 'ｚ':
		c.wide++
		b.WriteRune(r - 'ａ' + 'A')
	case lookalikes[r] != 0:
		if unicode.Is(unicode.Greek, r) {
			c.greek++
		} else {
			c.cyrillic++
		}
		b.WriteByte(lookalikes[r])
	default:
		b.WriteRune(r)
	}
}

// invisible reports whether r takes no room on the screen: zero-width characters, the soft hyphen,
// the byte order mark and the marks of writing direction, all of Unicode's format class.
func invisible(r rune) bool { return unicode.Is(unicode.Cf, r) }

// What cleaning may have done. They are shared: most cells of a sheet are
// unclean in the same way.
var (
	noteWide      = say.F("full-width characters read as plain ones")
	noteBlanks    = say.F("blanks removed")
	noteHyphens   = say.F("hyphens removed")
	noteInvisible = say.F("invisible characters removed")
	noteQuotes    = say.F("apostrophe or quotes removed")
	noteAsterisks = say.F("asterisks of a bar code removed")
	noteSmall     = say.F("small letters read as capitals")
	noteCut       = say.F("cut to the first 11 characters")
)

// notes puts the counts into words.
func (c *cleaned) notes() []say.Text {
	notes := c.lookalikeNotes()
	flag := func(n int, note say.Text) {
		if n > 0 {
			notes = append(notes, note)
		}
	}
	flag(c.wide, noteWide)
	flag(c.blanks, noteBlanks)
	flag(c.hyphens, noteHyphens)
	flag(c.invisible, noteInvisible)
	flag(c.quotes, noteQuotes)
	flag(c.asterisks, noteAsterisks)
	flag(c.small, noteSmall)
	return notes
}

// lookalikeNotes counts the letters of other alphabets.
func (c *cleaned) lookalikeNotes() []say.Text {
	var notes []say.Text
	switch n := c.cyrillic; {
	case n == 1:
		notes = append(notes, say.F("one Cyrillic letter read as Latin"))
	case n > 1:
		notes = append(notes, say.F("%s Cyrillic letters read as Latin", count(n)))
	}
	switch n := c.greek; {
	case n == 1:
		notes = append(notes, say.F("one Greek letter read as Latin"))
	case n > 1:
		notes = append(notes, say.F("%s Greek letters read as Latin", count(n)))
	}
	return notes
}

// CleanPrefix cleans the cell of a column that holds only the first 10 or 11 characters of a VIN. A
// whole VIN is cut to 11, with a note. It is false where what is left is not 10 or 11 legal
// characters; text is then as far as cleaning went.
func CleanPrefix(raw string) (text string, ok bool, notes []say.Text) {
	const short, long = 10, 11
	text, notes = Clean(raw)
	if !legal(text) {
		return text, false, notes
	}
	if len(text) == size {
		return text[:long], true, append(notes, noteCut)
	}
	return text, len(text) == short || len(text) == long, notes
}
