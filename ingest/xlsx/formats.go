package xlsx

import (
	"bytes"
	"encoding/xml"
	"regexp"
	"strings"
)

// xmlStyles is what the styles tell of number formats (ECMA-376 part 1, 18.8.30 and 18.8.10).
type xmlStyles struct {
	Formats []struct {
		ID   string `xml:"numFmtId,attr"`
		Code string `xml:"formatCode,attr"`
	} `xml:"numFmts>numFmt"`
	Cells []struct {
		Format string `xml:"numFmtId,attr"`
	} `xml:"cellXfs>xf"`
}

// shown gives, by the number of a cell's style, the unit of distance that its number format writes behind a figure (" km", " mi"; "" for none); nil where no
// style writes one. The cell itself holds the figure alone. Styles that cannot be read tell nothing.
func (b *Book) shown() []string {
	if b.archive.parts[stylesPart] == nil {
		return nil
	}
	data, err := b.archive.bytes(stylesPart)
	if err != nil {
		return nil
	}
	var styles xmlStyles
	if xml.NewDecoder(bytes.NewReader(data)).Decode(&styles) != nil {
		return nil
	}
	units, odd, any := map[string]string{}, map[string]bool{}, false
	for _, f := range styles.Formats {
		units[f.ID] = unitShown(f.Code)
		odd[f.ID] = units[f.ID] == "" && milesShown.MatchString(strings.NewReplacer(`"`, "", `\`, "").Replace(f.Code))
	}
	out := make([]string, len(styles.Cells))
	for i, c := range styles.Cells {
		out[i] = units[c.Format]
		any = any || out[i] != ""
		b.oddMiles = b.oddMiles || odd[c.Format]
	}
	if !any {
		return nil
	}
	return out
}

// Parts of a number format (ECMA-376 part 1, 18.8.31): colours and conditions in brackets, texts in quotes, a letter behind a backslash, a blank as wide
// as a letter behind an underscore, a letter that fills the cell behind a star.
var (
	formatBrackets = regexp.MustCompile(`\[[^\]]*\]`)
	formatText     = regexp.MustCompile(`"([^"]*)"|\\(.)|[_*].`)
	formatUnit     = regexp.MustCompile(`^(?:(?:[#0.,? ]*[0#?]|general)\s*(kms?|mi|mls|miles?)\.?|(kms?|mi|miles?)\s*[#0][#0.,? ]*)\s*$`)
)

// milesShown sees miles in a number format that says more than that, or says it of some figures: `0"k mi"`, `[<1]"new";0" mi"`.
var milesShown = regexp.MustCompile(`(?i)(^|[^a-z])(mi|mls|miles?)([^a-z/]|$)`)

// ShowsMiles tells whether a number format that cells of the book may have writes miles beside figures in a way that is not read with them.
func (b *Book) ShowsMiles() bool { return b.oddMiles }

// unitShown is the unit that a number format writes beside every figure: `#,##0" mi"`, `0\ \k\m`. What says more than a unit ("km/h", "x1000 km") is none.
func unitShown(code string) string {
	unit := ""
	for i, section := range strings.Split(strings.ToLower(code), ";") {
		plain := formatText.ReplaceAllString(formatBrackets.ReplaceAllString(section, ""), "$1$2")
		m := formatUnit.FindStringSubmatch(strings.TrimPrefix(strings.TrimSpace(plain), "-"))
		switch {
		case m == nil && i == 0:
			return ""
		case m == nil:
		case strings.HasPrefix(m[1]+m[2], "k"):
			unit = " km"
		default:
			unit = " mi"
		}
	}
	return unit
}
