package ingest

import (
	"context"
	"errors"
	"strings"
	"time"

	"pitlist/ingest/csv"
	"pitlist/ingest/xlsx"
	"pitlist/score/say"
)

// Limits bound what one file may cost, so that a damaged or hostile one ends
// in a message and not in a full memory. A zero field means its default, which
// is far above honest use; an exceeded limit names itself and its key in the
// job file.
type Limits struct {
	Text     csv.Limits
	Workbook xlsx.Limits
	Cells    int64         // cells of a file, blank ones before a filled one too; default 500,000,000; limits.cells
	Time     time.Duration // for reading a file; default half an hour; limits.seconds
}

const (
	mostCells = 500_000_000
	mostTime  = 30 * time.Minute
)

// errTime is the cause of a deadline that a file has overrun.
var errTime = errors.New("the file's time is up")

// within runs the reading of one file under its limit of time.
func (f *file) within(ctx context.Context, read func(context.Context) error) error {
	most := f.opts.Limits.Time
	if most == 0 {
		most = mostTime
	}
	limited, cancel := context.WithTimeoutCause(ctx, most, errTime)
	defer cancel()
	err := read(limited)
	if err != nil && ctx.Err() == nil && errors.Is(context.Cause(limited), errTime) {
		return f.over(say.F("%s: seconds of reading are over the limit of %s (job file: %s)", f.input.shown(), say.Figure(most.Seconds()), "limits.seconds"))
	}
	return err
}

// count adds the cells of a row to the file's.
func (f *file) count(cells int) error {
	most := f.opts.Limits.Cells
	if most == 0 {
		most = mostCells
	}
	if f.cells += int64(cells); f.cells > most {
		return f.over(say.F("%s: cells of the file are over the limit of %d (job file: %s)", f.input.shown(), most, "limits.cells"))
	}
	return nil
}

func (f *file) over(text say.Text) error {
	return &Fault{Text: text, Hint: say.F("raise the limit in the job file if the file is honest")}
}

// widest is how many cells a row may have: as many as a sheet has columns
// (ISO/IEC 29500-1, 18.3.1.4: XFD).
const widest = 16384

// tooWide takes the cells from a row of a text file that has more than any
// sheet, before a column is made of each.
func tooWide(l *line) {
	if len(l.cells) > widest {
		l.fault = &csv.RowError{Row: l.row, Text: clip(strings.Join(l.cells[:8], " ")), Reason: say.F("the row has %d cells, more than the %d of a sheet", len(l.cells), widest)}
		l.cells = nil
	}
}
