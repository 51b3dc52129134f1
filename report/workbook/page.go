package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
)

const paperA4 = 9 // ECMA-376 part 1, 18.3.1.63

var reasonNotDiagnosis = say.F("A list is a reason to look, not a diagnosis.")

// pageSetUp sets paper, scale, repeated and frozen headings, filter, footer
// and the sheet's extent. It must run before the stream begins.
func (b *book) pageSetUp(name string, cols []column, p page) error {
	f := b.file
	printed := 0
	for i := range cols {
		if !cols[i].off {
			printed = i + 1
		}
	}
	lastPrinted, err := excelize.ColumnNumberToName(printed)
	if err != nil {
		return err
	}
	lastCol, err := excelize.ColumnNumberToName(len(cols))
	if err != nil {
		return err
	}
	if p.lastRow > 0 {
		if err := f.SetSheetDimension(name, fmt.Sprintf("A1:%s%d", lastCol, p.lastRow)); err != nil {
			return err
		}
	}
	if printed < len(cols) {
		if err := b.define("_xlnm.Print_Area", name, fmt.Sprintf("$A$1:$%s$%d", lastPrinted, p.lastRow)); err != nil {
			return err
		}
	}
	if p.headRow == 0 {
		return b.paper(name, p)
	}
	if err := b.define("_xlnm.Print_Titles", name, fmt.Sprintf("$%d:$%d", p.headRow, p.headRow)); err != nil {
		return err
	}
	if err := b.freeze(name, p.frozen, p.headRow); err != nil {
		return err
	}
	return b.paper(name, p)
}

// paper sets what every sheet shares: A4, margins, footer, scale.
func (b *book) paper(name string, p page) error {
	orientation, size, wide, tall := "landscape", paperA4, 1, 0
	if p.portrait {
		orientation = "portrait"
	}
	layout := &excelize.PageLayoutOptions{Size: &size, Orientation: &orientation}
	if p.onePage {
		tall = 1
	}
	fit := !p.fullScale
	if fit {
		layout.FitToWidth, layout.FitToHeight = &wide, &tall
	}
	if err := b.file.SetPageLayout(name, layout); err != nil {
		return err
	}
	// FitToWidth does nothing unless the sheet's properties say so too.
	if err := b.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	side, top, bottom, foot := 0.4, 0.4, 0.6, 0.3 // inches
	if err := b.file.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &top, Bottom: &bottom, Footer: &foot, Header: &foot}); err != nil {
		return err
	}
	left := strings.ReplaceAll(clean(b.speaks.Say(b.doc.Title)), "&", "&&")
	if runes := []rune(left); len(runes) > 80 { // a footer holds 255 characters
		left = string(runes[:80])
	}
	under := "&C" // an upright page has no room beside
	if p.portrait {
		under = "\n"
	}
	return b.file.SetHeaderFooter(name, &excelize.HeaderFooterOptions{
		OddFooter: "&L&8" + left + " · &A" + under + "&8" + b.speaks.Say(reasonNotDiagnosis) + "&R&8" + b.speaks.F("page %s of %s", "&P", "&N")})
}

func (b *book) define(what, sheet, area string) error {
	var parts []string
	for a := range strings.SplitSeq(area, ",") {
		parts = append(parts, "'"+sheet+"'!"+a)
	}
	return b.file.SetDefinedName(&excelize.DefinedName{Name: what, RefersTo: strings.Join(parts, ","), Scope: sheet})
}

func (b *book) freeze(name string, cols, rows int) error {
	corner, err := excelize.CoordinatesToCellName(cols+1, rows+1)
	if err != nil {
		return err
	}
	pane := "bottomLeft"
	if cols > 0 {
		pane = "bottomRight"
	}
	return b.file.SetPanes(name, &excelize.Panes{Freeze: true, XSplit: cols, YSplit: rows, TopLeftCell: corner, ActivePane: pane})
}
