package history_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// row is one row of an invented export: a vehicle and what happened to it.
type row struct {
	unit, vin string
	fact      history.Fact
}

// export is one file of a week.
type export struct {
	name string
	rows []row
	as   bool // a sheet of vehicles
}

// tb is what the helpers need of a test or of a property.
type tb interface {
	require.TestingT
	Helper()
}

// sha is that of the file's content: the same rows are the same bytes.
func (e *export) sha() string {
	sum := sha256.Sum256([]byte(fmt.Sprint(e.rows)))
	return hex.EncodeToString(sum[:])
}

// readOf gathers the files of a week as ingest would: rows by vehicle, those
// that say the same once.
func readOf(day int32, files ...export) *history.Read {
	out := &history.Read{Day: day}
	at := map[string]int{}
	for i := range files {
		f := &files[i]
		out.Sources = append(out.Sources, history.Source{File: "intake/" + f.name, SHA256: f.sha(), Snapshot: f.as})
		for n, r := range f.rows {
			v, ok := at[r.unit]
			if !ok {
				v = len(out.Vehicles)
				at[r.unit] = v
				out.Vehicles = append(out.Vehicles, history.Vehicle{Unit: r.unit, VIN: r.vin})
			}
			if out.Vehicles[v].VIN == "" {
				out.Vehicles[v].VIN = r.vin
			}
			fact := r.fact
			if fact.Kind == "" {
				continue
			}
			if fact.Undated {
				fact.Day = day
			}
			fact.Source, fact.Row = int32(i), int32(n+2)
			same := func(g history.Fact) bool {
				g.Source, g.Row = fact.Source, fact.Row
				return g == fact
			}
			if !slices.ContainsFunc(out.Vehicles[v].Facts, same) {
				out.Vehicles[v].Facts = append(out.Vehicles[v].Facts, fact)
			}
		}
	}
	return out
}

// book is a record that weeks are played into.
type book struct {
	t tb
	*history.Record
	path string
}

func newBook(t testing.TB) *book { return openBook(t, t, filepath.Join(t.TempDir(), "record.db")) }

func openBook(t tb, clean interface{ Cleanup(func()) }, path string) *book {
	r, err := history.Open(context.Background(), path)
	require.NoError(t, err)
	clean.Cleanup(func() { r.Close() })
	return &book{t, r, path}
}

// play makes one run over the files.
func (b *book) play(day int32, files ...export) *history.Known {
	b.t.Helper()
	k, err := b.Recall(context.Background(), readOf(day, files...))
	require.NoError(b.t, err)
	if !k.Past {
		require.NoError(b.t, b.Commit(context.Background(), k, &history.Run{Day: day, Name: fmt.Sprint(day)}))
		require.NoError(b.t, b.Finish(context.Background()))
	}
	return k
}

// live and corrected write what the record holds of a vehicle, sorted.
func (b *book) live(name string) []string      { return b.kept(name, true) }
func (b *book) corrected(name string) []string { return b.kept(name, false) }

func (b *book) kept(name string, live bool) []string {
	b.t.Helper()
	facts, err := b.Facts(context.Background(), name)
	require.NoError(b.t, err)
	out := []string{}
	for _, f := range facts {
		if (f.SupersededBy == 0) == live {
			out = append(out, say(f.Fact))
		}
	}
	slices.Sort(out)
	return out
}

// say writes a fact without its place.
func say(f history.Fact) string {
	words := []string{fmt.Sprint(f.Day), string(f.Kind)}
	if f.At.Known {
		words = append(words, fmt.Sprint(f.At.Value))
	}
	return strings.TrimSpace(strings.Join(append(words, strings.TrimSpace(f.Key+" "+f.Text)), " "))
}

func km(x float64) history.Number { return history.Number{Value: x, Known: true} }

func repair(unit string, day int32, at float64, text string) row {
	return row{unit: unit, fact: history.Fact{Kind: history.Repair, Day: day, At: km(at), Text: text}}
}

func scan(unit string, day int32, at float64, codes string) row {
	return row{unit: unit, fact: history.Fact{Kind: history.Scan, Day: day, At: km(at), Text: codes}}
}

func reading(unit string, day int32, at float64) row {
	return row{unit: unit, fact: history.Fact{Kind: history.Reading, Key: "readings", Day: day, At: km(at)}}
}

func inspection(unit string, day int32, at float64, part, found string) row {
	return row{unit: unit, fact: history.Fact{Kind: history.Inspection, Day: day, At: km(at), Key: part, Text: found}}
}

func remark(unit, text string) row {
	return row{unit: unit, fact: history.Fact{Kind: history.Remark, Undated: true, Text: text}}
}
