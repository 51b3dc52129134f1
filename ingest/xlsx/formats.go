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

// milesShown sees a number format that writes miles beside a figure: `#,##0" mi"`, `0\ \m\i`.
var milesShown = regexp.MustCompile(`(?i)(^|[^a-z])(mi|mls|miles?)([^a-z]|$)`)

// ShowsMiles tells whether a number format that cells of the book may have writes miles beside their figures. The cells themselves hold the figure
// alone, and which of them has the format is not looked at. Styles that cannot be read tell nothing.
func (b *Book) ShowsMiles() bool {
	if b.archive.parts[stylesPart] == nil {
		return false
	}
	data, err := b.archive.bytes(stylesPart)
	if err != nil {
		return false
	}
	var styles xmlStyles
	d := xml.NewDecoder(bytes.NewReader(data))
	if d.Decode(&styles) != nil {
		return false
	}
	used := map[string]bool{}
	for _, c := range styles.Cells {
		used[c.Format] = true
	}
	for _, f := range styles.Formats {
		if used[f.ID] && milesShown.MatchString(strings.NewReplacer(`"`, "", `\`, "").Replace(f.Code)) {
			return true
		}
	}
	return false
}
