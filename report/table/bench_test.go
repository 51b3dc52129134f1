package table_test

import (
	"context"
	"io"
	"testing"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/table"
)

// large is the invented fleet over and over, until it has n vehicles.
func large(n int) *report.Document {
	fleet, c := invented.Fleet(), invented.Catalogue()
	one := invented.Assessments(fleet, c)
	list := invented.List(one)
	as, rows := one, list.Rows
	for len(as) < n {
		as = append(as, one...)
		list.Rows = append(list.Rows, rows...)
	}
	return report.Compose(invented.Run(fleet), fleet, as, list, c)
}

func BenchmarkWrite100k(b *testing.B) {
	d := large(100_000)
	for b.Loop() {
		if err := table.Write(context.Background(), func(string) (io.WriteCloser, error) { return closer{io.Discard}, nil }, d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompose100k(b *testing.B) {
	for b.Loop() {
		large(100_000)
	}
}
