package workbook

import (
	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
)

// The font is one whose widths every office program has (Liberation Sans
// measures like it).
const (
	fontName = "Arial"
	fontSize = 10
)

// The few colours: a dark slate for headings, greys, and one pale amber that
// prints as light grey. Nothing is told by colour alone.
const (
	slate = "1F3A4D"
	grey  = "E4E7EA"
	amber = "FFE9B8"
	faint = "595959"
	pale  = "EAF5F1" // where something is typed, with a frame around it
	rule  = "A6ADB4"
)

// tone is what kind of row a cell stands in.
type tone int

const (
	plain      tone = iota
	waiting         // below the line
	urgent          // to look at today
	pressing        // heads the list, to look at today
	section         // names the rows after it
	theLine         // the line itself
	heading         // column headings
	title           // of the sheet
	lead            // sentences under the title
	box             // a word to ring
	entry           // room to write and to type
	identifier      // the slip of a row, for the program
	bare            // words on a card, without a rule
	strong          // a label, or what matters most on a card
	banner          // the first row of a card
	stressed        // bold in a plain row
	seen            // room for a pen in a plain row
)

// shape is how a cell shows its value.
type shape int

const (
	text     shape = iota
	wrapped        // text over several lines
	whole          // 171,400
	money          // 1,240
	hour           // 12.25
	percent        // 78%
	tenth          // 4.2%
	value          // a figure with up to two decimals
	small          // a figure below one, three significant places
	centred        // short text in the middle
	ordinal        // 1028, a row's number
	dayShape       // 2026-11-24
	figure         // a number as it is typed
)

// look is a style asked for.
type look struct {
	tone  tone
	shape shape
}

// style returns the number of a look, made when first asked for.
func (b *book) style(l look) (int, error) {
	if id, ok := b.styles[l]; ok {
		return id, nil
	}
	s := &excelize.Style{
		Font:      &excelize.Font{Family: fontName, Size: fontSize},
		Alignment: &excelize.Alignment{Vertical: "top"},
	}
	l.shape.apply(s)
	l.tone.apply(s)
	if l.shape == dayShape && b.speaks == say.Spanish {
		format := "dd/mm/yyyy"
		s.CustomNumFmt = &format
	}
	id, err := b.file.NewStyle(s)
	if err == nil {
		b.styles[l] = id
	}
	return id, err
}

func (k shape) apply(s *excelize.Style) {
	format := ""
	switch k {
	case text:
		s.Alignment.Horizontal, s.Alignment.Indent = "left", 1
	case wrapped:
		s.Alignment.Horizontal, s.Alignment.Indent = "left", 1
		s.Alignment.WrapText = true
	case whole, money:
		format = "#,##0"
	case ordinal:
		format = "0"
	case hour:
		format = "0.00"
	case percent:
		format = "0%"
	case tenth:
		format = "0.0%"
	case value:
		format = "#,##0.##"
	case small:
		format = "0.000"
	case dayShape:
		format = "yyyy-mm-dd"
	case figure:
		format = "General"
	case centred:
		s.Alignment.Horizontal = "center"
	}
	if format != "" {
		s.CustomNumFmt = &format
		s.Alignment.Horizontal, s.Alignment.Indent = "right", 1
	}
}

func (t tone) apply(s *excelize.Style) {
	switch t {
	case plain:
		s.Border = border(rule, 1, "bottom")
	case stressed:
		s.Font.Bold = true
		s.Border = border(rule, 1, "bottom")
	case seen:
		s.Border = border("000000", 1, "left", "right", "top", "bottom")
	case waiting:
		s.Font.Color = faint
		s.Border = border(rule, 1, "bottom")
	case urgent:
		s.Fill = filled(amber)
		s.Font.Bold = true
		s.Border = border(rule, 1, "bottom")
	case pressing:
		s.Fill = filled(amber)
		s.Border = border(rule, 1, "bottom")
	case bare:
		s.Alignment.Vertical = "center"
	case section:
		s.Fill = filled(grey)
		s.Font.Bold = true
		s.Alignment.Vertical = "center"
	case theLine:
		s.Fill = filled(grey)
		s.Font.Bold = true
		s.Border = border("000000", 5, "top", "bottom")
		s.Alignment.Vertical = "center"
	case heading:
		s.Fill = filled(slate)
		s.Font.Bold, s.Font.Color = true, "FFFFFF"
		s.Alignment.WrapText, s.Alignment.Vertical = true, "center"
	case title:
		s.Alignment.Indent = 0
		s.Font.Bold, s.Font.Size = true, 15
		s.Alignment.Vertical = "center"
	case lead:
		s.Alignment.Indent = 0
		s.Alignment.WrapText, s.Alignment.Vertical = true, "center"
	case box:
		s.Alignment.WrapText = true
		s.Border = border("000000", 1, "left", "right", "top", "bottom")
		s.Alignment.Vertical = "center"
	case entry:
		s.Fill = filled(pale)
		s.Border = border("000000", 1, "left", "right", "top", "bottom")
		s.Alignment.Vertical = "center"
		s.Protection = &excelize.Protection{Locked: false}
	case identifier:
		s.Font.Size, s.Font.Color = 8, rule
	case strong:
		s.Font.Bold = true
		s.Alignment.Vertical = "center"
	case banner:
		s.Font.Bold, s.Font.Size = true, 13
		s.Fill = filled(grey)
		s.Border = border("000000", 5, "top")
		s.Alignment.Vertical = "center"
	}
}

func filled(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func border(colour string, style int, sides ...string) []excelize.Border {
	var out []excelize.Border
	for _, side := range sides {
		out = append(out, excelize.Border{Type: side, Color: colour, Style: style})
	}
	return out
}
