package ingest

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// rawRows reads a file as it stands, the cells of a row joined by |.
func rawRows(t *testing.T, path string, o Options) (rows []string, view FileView, passed []string) {
	t.Helper()
	o.TmpDir = t.TempDir()
	view, passed = ReadRaw(context.Background(), Input{Path: path, Shown: "shown"}, o, func(r *RawRow) error {
		text := r.Sheet + ":"
		for _, c := range r.Cells {
			text += c + "|"
		}
		if r.Fault != "" {
			text += " (" + r.Fault + ")"
		}
		rows = append(rows, text)
		return nil
	})
	return rows, view, passed
}

// TestReadRaw: rows as they stand, of both kinds of file, by the rules that hold
// for a fleet's.
func TestReadRaw(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "a.csv")
	require.NoError(t, os.WriteFile(text, []byte("Number;Défaut\n1;caf\xe9\x1b[2J\n\n2;\"open\n"), 0o600))
	rows, view, _ := rawRows(t, text, Options{})
	require.NoError(t, view.Err)
	require.Len(t, rows, 4)
	assert.Equal(t, ":1|café[2J|", rows[1], "Windows-1252, without control characters")
	assert.Contains(t, rows[3], "(", "a quotation mark that is never closed is the row's fault")
	assert.NotEmpty(t, view.SHA256)

	f := excelize.NewFile()
	require.NoError(t, f.SetSheetRow("Sheet1", "A2", &[]any{"Number", 45000}))
	_, err := f.NewSheet("Old")
	require.NoError(t, err)
	require.NoError(t, f.SetSheetRow("Old", "A1", &[]any{"x"}))
	require.NoError(t, f.SetSheetVisible("Old", false))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	require.NoError(t, f.Close())
	book := filepath.Join(dir, "a.xlsx")
	require.NoError(t, os.WriteFile(book, b.Bytes(), 0o600))
	rows, view, passed := rawRows(t, book, Options{})
	require.NoError(t, view.Err)
	assert.Equal(t, []string{"Sheet1:Number|45000|"}, rows)
	assert.Equal(t, []string{"Old"}, passed)

	require.NoError(t, os.WriteFile(book, b.Bytes()[:b.Len()-200], 0o600))
	_, view, _ = rawRows(t, book, Options{})
	assert.Error(t, view.Err)
	assert.NotEmpty(t, view.Hint().String())
	_, view, _ = rawRows(t, text, Options{Limits: Limits{Cells: 3}})
	assert.ErrorContains(t, view.Err, "limit of 3")
	_, view, _ = rawRows(t, filepath.Join(dir, "a.pdf"), Options{})
	assert.ErrorContains(t, view.Err, "shown: not a kind of file")

	stop := errors.New("enough")
	view, _ = ReadRaw(context.Background(), Input{Path: text}, Options{}, func(*RawRow) error { return stop })
	assert.ErrorIs(t, view.Err, stop)
}
