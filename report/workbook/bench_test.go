package workbook_test

import (
	"context"
	"io"
	"testing"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
)

// BenchmarkWrite writes a list that is as long as people get it: all above
// the line and 5,000 below.
func BenchmarkWrite(b *testing.B) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	list := invented.List(as)
	rows := list.Rows
	for len(list.Rows) < 8000 {
		list.Rows = append(list.Rows, rows[9:]...)
	}
	d := report.Compose(invented.Run(fleet), fleet, as, list, c)
	for b.Loop() {
		if err := workbook.Write(context.Background(), io.Discard, d, workbook.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
