package workbook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// Options say how much goes into the workbook. The zero value is usable.
type Options struct {
	TmpDir   string // where long sheets are spooled; "" the system's folder
	Below    int    // vehicles below the line; 0: 5,000, negative: none
	Findings int    // lines of a kind on any other sheet that grows with the fleet; 0: 5,000
}

const (
	defaultBelow    = 5000
	defaultFindings = 5000
)

func (o Options) below() int {
	switch {
	case o.Below == 0:
		return defaultBelow
	case o.Below < 0:
		return 0
	}
	return o.Below
}

func (o Options) findings() int {
	if o.Findings <= 0 {
		return defaultFindings
	}
	return o.Findings
}

// The sheets; their names are how a list that comes back is known again.
var (
	sheetList     = slip.SheetList.Name
	sheetLots     = slip.SheetLots.Name
	sheetViewing  = slip.SheetViewing.Name
	sheetOffers   = slip.SheetOffers.Name
	sheetCounter  = slip.SheetCounter.Name
	sheetStock    = slip.SheetStock.Name
	sheetWeeks    = slip.SheetWeeks.Name
	sheetChanged  = slip.SheetChanged.Name
	sheetCards    = slip.SheetCards.Name
	sheetResults  = slip.SheetResults.Name
	sheetChecks   = slip.SheetChecks.Name
	sheetMend     = slip.SheetMend.Name
	sheetOdd      = slip.SheetOdd.Name
	sheetFindings = slip.SheetFindings.Name
	sheetParts    = slip.SheetParts.Name
	sheetCharts   = slip.SheetCharts.Name
	sheetCounts   = slip.SheetCounts.Name
	sheetGuide    = slip.SheetGuide.Name
)

// book is a workbook in the making.
type book struct {
	ctx    context.Context
	file   *excelize.File
	doc    *report.Document
	opts   Options
	styles map[look]int
	speaks *say.Language
}

// Write writes the workbook of the document. It stops when the context ends;
// what was written to w by then is no workbook.
func Write(ctx context.Context, w io.Writer, d *report.Document, opts Options) (err error) {
	b := &book{ctx: ctx, doc: d, opts: opts, speaks: d.Run.Speaks(), styles: map[look]int{},
		file: excelize.NewFile(excelize.Options{TmpDir: opts.TmpDir})}
	defer func() { err = errors.Join(err, b.file.Close()) }()
	if err := b.fill(); err != nil {
		return err
	}
	var raw bytes.Buffer
	if err := b.file.Write(&raw); err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	if err := settle(w, raw.Bytes()); err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	return ctx.Err()
}

// sheet is one sheet with what fills it.
type sheet struct {
	name say.Text
	make func() error
}

// first are the sheets that a desk's work begins with.
func (b *book) first() []sheet {
	switch {
	case b.doc.Viewing != nil: // what a bay opens has no place at an auction
		return []sheet{{sheetLots, b.lots}, {sheetViewing, b.viewing}}
	case b.doc.Stock != nil:
		return []sheet{{sheetOffers, b.offers}, {sheetCounter, b.counter}, {sheetStock, b.stock}, {sheetCards, b.cards}}
	}
	out := []sheet{{sheetList, b.list}}
	if b.doc.Week != nil {
		out = append(out, sheet{sheetChanged, b.changed})
	}
	out = append(out, sheet{sheetCards, b.cards})
	if len(b.doc.Load) > 0 {
		out = append(out, sheet{sheetWeeks, b.weeks})
	}
	return out
}

// fill makes every sheet in its order.
func (b *book) fill() error {
	if err := b.properties(); err != nil {
		return err
	}
	for i, s := range append(b.first(), []sheet{
		{sheetResults, b.results}, {sheetChecks, b.checks}, {sheetMend, b.mend}, {sheetOdd, b.odd},
		{sheetFindings, b.findings}, {sheetParts, b.parts}, {sheetCharts, b.charts}, {sheetCounts, b.counts}, {sheetGuide, b.guide},
	}...) {
		if err := b.ctx.Err(); err != nil {
			return err
		}
		if err := b.sheet(i, b.speaks.Say(s.name)); err != nil {
			return fmt.Errorf("sheet %q: %w", s.name.String(), err)
		}
		if err := s.make(); err != nil {
			return fmt.Errorf("sheet %q: %w", s.name.String(), err)
		}
	}
	return nil // the first sheet is the active one; setting it would read every sheet again
}

// sheet makes a sheet; the first is the one that a new file has.
func (b *book) sheet(i int, name string) error {
	if i == 0 {
		return b.file.SetSheetName(b.file.GetSheetName(0), name)
	}
	_, err := b.file.NewSheet(name)
	return err
}

// properties name the file. Its times are the day of the run, so that the
// same run gives the same bytes.
func (b *book) properties() error {
	if err := b.file.SetDefaultFont(fontName); err != nil {
		return err
	}
	at := b.doc.Run.Day.Time().Format("2006-01-02T15:04:05Z")
	return b.file.SetDocProps(&excelize.DocProperties{
		Title: clean(b.speaks.Say(b.doc.Title)), Creator: "pitlist " + clean(b.doc.Run.Version), Created: at, Modified: at,
		Description: b.speaks.Say(reasonNotDiagnosis), Language: b.speaks.Tag,
	})
}
