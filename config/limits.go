package config

// Limits bound what one input file may cost; 0 leaves the reader's default,
// which is far above honest use.
type Limits struct {
	FileBytes   int64   // a workbook as it lies on disk; default 1 GiB
	Bytes       int64   // a text file, or all parts of a workbook expanded; default 4 GiB
	PartBytes   int64   // one part of a workbook that is held in memory, such as the list of its sheets; default 32 MiB
	Parts       int64   // parts of a workbook; default 10000
	Rows        int64   // rows of a file, blank ones too; default 20000000
	Cells       int64   // cells of a file; default 500000000
	RecordBytes int64   // one row; default 1 MiB, of a workbook 8 MiB
	RecordLines int64   // lines of one row, by line ends in quoted cells; default 1000
	Seconds     float64 // of reading a file; default 1800
}

var limitKeys = []string{"file_bytes", "bytes", "part_bytes", "parts", "rows", "cells", "record_bytes", "record_lines", "seconds"}

func (l *Limits) read(f field) {
	g, _ := f.group(limitKeys...)
	whole := func(key string, most float64) int64 {
		return int64(g.get(key).whole(0, span{low: 1, high: most, say: "a limit is a whole number of at least 1, and no higher than a machine can count"}))
	}
	const large = 1 << 50
	l.FileBytes, l.Bytes, l.PartBytes = whole("file_bytes", large), whole("bytes", large), whole("part_bytes", large)
	l.Parts, l.Rows, l.Cells = whole("parts", large), whole("rows", large), whole("cells", large)
	l.RecordBytes, l.RecordLines = whole("record_bytes", 1<<30), whole("record_lines", 1<<30)
	l.Seconds, _ = g.get("seconds").number(0, span{low: 0, high: 1e6, openLow: true, say: "it lies above 0 and at most at 1000000 seconds"})
}
