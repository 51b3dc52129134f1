package csv

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// wantFault checks kind and wording, and that a hint is there.
func wantFault(t *testing.T, err error, k Kind, says string) {
	t.Helper()
	require.ErrorIs(t, err, k)
	require.ErrorContains(t, err, says)
	var f *Fault
	require.ErrorAs(t, err, &f)
	require.NotEmpty(t, f.Hint)
}

func TestFilesThatCannotBeOpened(t *testing.T) {
	cases := []struct {
		rule, text string
		o          Options
		kind       Kind
		says       string
	}{
		{"nothing in it", "", Options{}, Empty, "empty"},
		{"nothing but a mark", "\xEF\xBB\xBF", Options{}, Empty, "empty"},
		{"workbook named .csv", "PK\x03\x04xxxx", Options{}, NotText, "workbook"},
		{"old workbook named .csv", "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Options{}, NotText, ".xls"},
		{"web page", "  <HTML><table>", Options{}, NotText, "web page"},
		{"XML", "\xEF\xBB\xBF<?xml version='1.0'?>", Options{}, NotText, "XML"},
		{"UTF-32", "\xFF\xFE\x00\x00a\x00\x00\x00", Options{}, UnknownEncoding, "UTF-32"},
		{"encoding of no such name", "a;b\n", Options{Encoding: "martian"}, UnknownEncoding, "martian"},
		{"encoding that browsers refuse to read", "a;b\n", Options{Encoding: "iso-2022-kr"}, UnknownEncoding, "iso-2022-kr"},
		{"delimiter that cannot be one", "a;b\n", Options{Delimiter: '"'}, NotText, "delimiter"},
		{"over the limit of bytes", "a;b\n", Options{Limits: Limits{Bytes: 3}}, TooLarge, "limits.bytes"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, err := Open(context.Background(), write(t, "fleet.csv", c.text), c.o)
			wantFault(t, err, c.kind, c.says)
		})
	}
}

func TestPathsThatAreNoFile(t *testing.T) {
	_, err := Open(context.Background(), filepath.Join(t.TempDir(), "none.csv"), Options{})
	wantFault(t, err, Missing, "none.csv")
	_, err = Open(context.Background(), t.TempDir(), Options{})
	wantFault(t, err, Directory, "folder")
}

func TestUnreadableFile(t *testing.T) {
	path := write(t, "fleet.csv", "a;b\n")
	require.NoError(t, os.Chmod(path, 0))
	if f, err := os.Open(path); err == nil {
		require.NoError(t, f.Close())
		t.Skip("this user may read everything")
	}
	_, err := Open(context.Background(), path, Options{})
	wantFault(t, err, Unreadable, "cannot be opened")
}

func TestLimits(t *testing.T) {
	long := "a;b\n1;" + strings.Repeat("x", 200) + "\n3;4\n"
	got, err := readAll(open(t, "fleet.csv", long, Options{Limits: Limits{RecordBytes: 100}}))
	require.NoError(t, err)
	require.Equal(t, []string{"1 [a][b]", "2! the line is 203 bytes long, over the limit of 100 (job file: limits.record_bytes)", "3 [3][4]"}, got)

	huge := "a;b\n1;" + strings.Repeat("x", 300_000) + "\n3;4\n"
	got, err = readAll(open(t, "fleet.csv", huge, Options{Limits: Limits{RecordBytes: 1000}}))
	require.NoError(t, err)
	require.Len(t, got, 3)
	require.Contains(t, got[1], "300003 bytes long")

	open1 := "a;b\n1;\"x\n" + strings.Repeat("3;4\n", 50)
	got, err = readAll(open(t, "fleet.csv", open1+"5;6\"\n", Options{Limits: Limits{RecordLines: 20}}))
	require.NoError(t, err)
	require.Len(t, got, 53, "a row over too many lines is given up by its first line")

	quoted := "a;b\n1;\"" + strings.Repeat("xxxxxxxxx\n", 20) + "\"\n3;4\n"
	got, err = readAll(open(t, "fleet.csv", quoted, Options{Limits: Limits{RecordBytes: 210}}))
	require.NoError(t, err)
	require.Len(t, got, 3, "%s", got)
	got, err = readAll(open(t, "fleet.csv", quoted, Options{Limits: Limits{RecordBytes: 100}}))
	require.NoError(t, err)
	require.Equal(t, "2! a quotation mark opens a cell and is never closed", got[1], "a row over too many bytes is given up by its first line")

	got, err = readAll(open(t, "fleet.csv", "a;b\n1;\"x\n\x00y\"\n3;4\n", Options{}))
	require.NoError(t, err)
	require.Equal(t, []string{"2! a quotation mark opens a cell and is never closed", "3! the line holds a NUL character, so the file is damaged here or not plain text"}, got[1:3], "no row takes in a line that is at fault")

	endless := write(t, "fleet.csv", "a;b\n1;"+strings.Repeat("x", 20<<20)+"\n3;4\n")
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	e, err := Open(context.Background(), endless, Options{Limits: Limits{RecordBytes: 1000}})
	require.NoError(t, err)
	defer e.Close()
	got, err = readAll(e)
	runtime.ReadMemStats(&after)
	require.NoError(t, err)
	require.Len(t, got, 3)
	require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(5<<20), "a line is not held beyond its limit")

	f := open(t, "fleet.csv", "a\nb\nc\n", Options{Limits: Limits{Rows: 2}})
	_, err = readAll(f)
	wantFault(t, err, TooLarge, "limits.rows")
	_, _, again := f.Read()
	require.Equal(t, err, again)
}

func TestRowErrorShowsTheLine(t *testing.T) {
	f := open(t, "fleet.csv", "a;b;c\n1;\"Heron;"+strings.Repeat("å", 200)+"\n", Options{})
	_, _, err := f.Read()
	require.NoError(t, err)
	_, _, err = f.Read()
	var bad *RowError
	require.True(t, errors.As(err, &bad))
	require.Equal(t, 2, bad.Row)
	require.Equal(t, `1;"Heron;`+strings.Repeat("å", 145), bad.Text, "cut at a whole character")
	require.Equal(t, []string{"1", `"Heron`, strings.Repeat("å", 200)}, bad.Cells)
	_, _, err = f.Read()
	require.ErrorIs(t, err, io.EOF)
}

func TestDigest(t *testing.T) {
	const text = "\xEF\xBB\xBFa;b\n1;2\n"
	f := open(t, "fleet.csv", text, Options{})
	_, err := readAll(f)
	require.NoError(t, err)
	sum := sha256.Sum256([]byte(text))
	require.Equal(t, hex.EncodeToString(sum[:]), f.SHA256())
}

// TestChangedFile: the rows must come from the bytes whose digest is told.
func TestChangedFile(t *testing.T) {
	path := write(t, "fleet.csv", "a;b\n"+strings.Repeat("1;2\n", 50_000))
	f, err := Open(context.Background(), path, Options{})
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, os.WriteFile(path, []byte("a;b\n"+strings.Repeat("1;3\n", 50_000)), 0o600))
	_, err = readAll(f)
	wantFault(t, err, Changed, "changed")
}

func TestCancellationAndClose(t *testing.T) {
	path := write(t, "fleet.csv", "a;b\n1;2\n3;4\n")
	ctx, cancel := context.WithCancel(context.Background())
	f, err := Open(ctx, path, Options{})
	require.NoError(t, err)
	_, _, err = f.Read()
	require.NoError(t, err)
	cancel()
	_, _, err = f.Read()
	require.ErrorIs(t, err, context.Canceled)
	require.NoError(t, f.Close())
	require.NoError(t, f.Close())
	_, err = Open(ctx, path, Options{})
	require.ErrorIs(t, err, context.Canceled)

	f, err = Open(context.Background(), path, Options{})
	require.NoError(t, err)
	require.NoError(t, f.Close())
	_, _, err = f.Read()
	require.ErrorContains(t, err, "closed")
}
