package history_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/ingest/history"
)

// truth is what really happened, as the workshop's system has it in some week.
type truth struct {
	rows []row
	km   float64 // of the next row: no two are alike
}

// happen adds a row of a random kind on a day of the last week.
func (w *truth) happen(t *rapid.T, today int32) {
	w.km += float64(rapid.IntRange(1, 50).Draw(t, "km"))
	unit := rapid.SampledFrom([]string{"V1", "V2", "V3"}).Draw(t, "unit")
	day := today - int32(rapid.IntRange(0, 6).Draw(t, "days ago"))
	text := rapid.SampledFrom([]string{"oil service", "tyres changed", "rail pressure sensor replaced", "pump looked at"}).Draw(t, "text")
	code := rapid.SampledFrom([]string{"", "P0087", "P0191; P0087"}).Draw(t, "codes")
	w.rows = append(w.rows, rapid.SampledFrom([]row{
		repair(unit, day, w.km, text), scan(unit, day, w.km, code), reading(unit, day, w.km), inspection(unit, day, w.km, "pump", "sound"),
	}).Draw(t, "row"))
}

// correct puts one row right: its odometer, its day, its text, its result.
func (w *truth) correct(t *rapid.T) {
	if len(w.rows) == 0 {
		return
	}
	f := &w.rows[rapid.IntRange(0, len(w.rows)-1).Draw(t, "corrected")].fact
	switch what := rapid.SampledFrom([]string{"km", "day", "text"}).Draw(t, "what"); {
	case what == "km" && f.Kind != history.Scan || f.Kind == history.Reading:
		w.km++
		f.At = km(w.km)
	case what == "day" && w.only(f):
		f.Day--
	case f.Kind == history.Repair:
		f.Text += " again"
	case f.Kind == history.Inspection:
		f.Text = map[string]string{"sound": "worn", "worn": "sound"}[f.Text]
	case f.Kind == history.Scan:
		f.Text += "P0420"
	}
}

// only tells that the day before has no row of the kind on any vehicle, so
// that a changed day stays the same row to anybody who reads the export, and
// that the row is not the last of its kind: an export that ends earlier than
// one before it is taken for an old one that came late.
func (w *truth) only(f *history.Fact) bool {
	later := slices.ContainsFunc(w.rows, func(r row) bool { return r.fact.Kind == f.Kind && r.fact.Day > f.Day })
	return later && !slices.ContainsFunc(w.rows, func(r row) bool { return r.fact.Kind == f.Kind && r.fact.Day == f.Day-1 })
}

// export is this week's file: all rows, or those of the last 30 days, in any
// order.
func (w *truth) export(t *rapid.T, week int, from int32) export {
	rows := slices.Clone(w.rows)
	rows = slices.DeleteFunc(rows, func(r row) bool { return r.fact.Day < from })
	rows = append(rows, row{unit: "V1"}, row{unit: "V2"}, row{unit: "V3"})
	return export{name: fmt.Sprintf("workshop-W%d.csv", week), rows: rapid.Permutation(rows).Draw(t, "order")}
}

// TestWeeksEndAsOneReading: weekly exports that overlap, are corrected, hold
// only the last 30 days or come twice, ended by a whole one, leave the facts
// that one reading of the whole one leaves; and reading anything again adds
// nothing.
func TestWeeksEndAsOneReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "pitlist-history-")
		require.NoError(t, err)
		t.Cleanup(func() { os.RemoveAll(dir) })
		b := openBook(t, t, filepath.Join(dir, "weekly.db"))
		var w truth
		var last export
		weeks := rapid.IntRange(1, 6).Draw(t, "weeks")
		for i := range weeks {
			today := int32(100 + 7*i)
			for range rapid.IntRange(0, 4).Draw(t, "new rows") {
				w.happen(t, today)
			}
			if rapid.Bool().Draw(t, "a correction") {
				w.correct(t)
			}
			from := int32(0)
			if rapid.Bool().Draw(t, "the last 30 days only") {
				from = today - 30
			}
			files := []export{w.export(t, i, from)}
			if i > 0 && rapid.Bool().Draw(t, "last week's file is still there") {
				files = append(files, last)
			}
			b.play(today, files...)
			last = files[0]
		}
		end := int32(100 + 7*weeks)
		whole := w.export(t, weeks, 0)
		b.play(end, whole)
		once := openBook(t, t, filepath.Join(dir, "once.db"))
		once.play(end, whole)
		for _, unit := range []string{"V1", "V2", "V3"} {
			require.Equal(t, once.live(unit), b.live(unit), unit)
		}
		facts, _, err := b.Size(t.Context())
		require.NoError(t, err)
		again := b.play(end+7, whole, last)
		require.Zero(t, again.Corrected)
		after, _, err := b.Size(t.Context())
		require.NoError(t, err)
		require.Equal(t, facts, after, "reading again adds nothing")
	})
}
