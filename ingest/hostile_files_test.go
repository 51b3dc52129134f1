package ingest

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/csv"
	"pitlist/ingest/xlsx"
)

// wholeOrRefused reads a changed copy of the workbook beside a good file: it
// is refused with what to do, or it says all that the original says.
func wholeOrRefused(t *testing.T, dir string, data []byte, what string) (refused bool) {
	t.Helper()
	bad, good := filepath.Join(dir, "bad.xlsx"), filepath.Join(dir, "good.csv")
	require.NoError(t, os.WriteFile(bad, data, 0o600))
	require.NoError(t, os.WriteFile(good, []byte("Unit;Model\nG1;Heron\n"), 0o600))
	res, err := Read(context.Background(), []Input{{Path: bad}, {Path: good}}, Options{Day: runDay, Market: "eu", TmpDir: dir})
	require.NoError(t, err, what)
	r := result{res, t}
	if r.Files[0].Err != nil {
		assert.NotEmpty(t, hint(r.Files[0].Err), what)
		assert.Equal(t, []string{"G1"}, r.names(), what)
		return true
	}
	assert.Equal(t, []string{"G1", "U1", "U2", "U3"}, sorted(r.names()), what)
	assert.Equal(t, "4 = 3 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Units"), what)
	return false
}

func threeUnits(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(workbook(t, nil, sheetOf("Units", row("Unit", "VIN", "Model"), row("U1", vinA, "Heron"), row("U2", vinB, "Teal"), row("U3", vinC, "Teal"))))
	require.NoError(t, err)
	return data
}

// TestWorkbookCutAtEveryPercent: a workbook cut short anywhere is refused.
func TestWorkbookCutAtEveryPercent(t *testing.T) {
	data, dir := threeUnits(t), t.TempDir()
	for percent := range 100 {
		n := len(data) * percent / 100
		assert.True(t, wholeOrRefused(t, dir, data[:n], "cut"), "cut at %d %%", percent)
	}
	assert.False(t, wholeOrRefused(t, dir, data, "whole"))
}

// TestWorkbookWithAnyByteOfItsDirectoryFlipped: no byte of the zip's directory
// can be changed so that rows go missing in silence.
func TestWorkbookWithAnyByteOfItsDirectoryFlipped(t *testing.T) {
	data, dir := threeUnits(t), t.TempDir()
	from := bytes.Index(data, []byte("PK\x01\x02"))
	require.Positive(t, from)
	refused := 0
	for i := from; i < len(data); i++ {
		changed := bytes.Clone(data)
		changed[i] ^= 0xFF
		if wholeOrRefused(t, dir, changed, "flipped") {
			refused++
		}
	}
	t.Logf("%d of %d flipped bytes make the file refused, the others change nothing", refused, len(data)-from)
	assert.Greater(t, refused, (len(data)-from)/4)
}

// manyRows writes a text whose columns need a second pass: the decimal mark
// shows only at the end.
func manyRows(n int, last string) []byte {
	var b bytes.Buffer
	b.WriteString("Unit;Model;Odometer date;Odometer\n")
	for i := range n {
		b.WriteString("U" + strings.Repeat("1", i%7) + ";Heron;03/04/2026;80000\n")
	}
	b.WriteString("U9;Heron;" + last + ";80000\n")
	return b.Bytes()
}

// TestFileReplacedWhileItIsRead: overwritten in place or replaced by another,
// the file is refused, and the other read.
func TestFileReplacedWhileItIsRead(t *testing.T) {
	for name, replace := range map[string]func(t *testing.T, path string){
		"overwritten": func(t *testing.T, path string) {
			require.NoError(t, os.WriteFile(path, manyRows(12_000, "26/04/2026"), 0o600))
		},
		"cut short": func(t *testing.T, path string) { require.NoError(t, os.Truncate(path, 200_000)) },
		"renamed over": func(t *testing.T, path string) {
			require.NoError(t, os.WriteFile(path+".new", manyRows(11_000, "27/04/2026"), 0o600))
			require.NoError(t, os.Rename(path+".new", path))
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path, good := filepath.Join(dir, "a.csv"), filepath.Join(dir, "good.csv")
			require.NoError(t, os.WriteFile(path, manyRows(20_000, "25/04/2026"), 0o600))
			require.NoError(t, os.WriteFile(good, []byte("Unit;Model\nG1;Heron\n"), 0o600))
			done := false
			res, err := Read(context.Background(), []Input{{Path: path}, {Path: good}}, Options{Day: runDay, TmpDir: dir, Progress: func(p string, _ int) {
				if p == path && !done {
					done = true
					replace(t, path)
				}
			}})
			require.NoError(t, err)
			require.Error(t, res.Files[0].Err)
			assert.Regexp(t, "changed while it was read|replaced while it was read", res.Files[0].Err.Error())
			assert.Equal(t, []string{"G1"}, result{res, t}.names())
		})
	}
}

// TestFileCountsWholeOrNotAtAll: what is found at fault after thousands of rows gives
// no vehicle and no row, and its other sheets none either; a kind that nobody reads
// is told of.
func TestFileCountsWholeOrNotAtAll(t *testing.T) {
	dir := t.TempDir()
	late, text, other, good := filepath.Join(dir, "late.xlsx"), filepath.Join(dir, "late.csv"), filepath.Join(dir, "late.pdf"), filepath.Join(dir, "good.csv")
	var rows strings.Builder
	for i := 3; i < 3000; i++ {
		fmt.Fprintf(&rows, `<row r="%d"><c t="inlineStr"><is><t>B%d</t></is></c><c t="inlineStr"><is><t>Heron</t></is></c></row>`, i, i)
	}
	rawBook(t, late, part{text: worksheet("", unitsXML+rows.String()+`<row r="5"/>`)})
	require.NoError(t, os.WriteFile(text, []byte("Unit;Model\n"+strings.Repeat("T1;Heron\n", 3000)), 0o600))
	require.NoError(t, os.WriteFile(other, []byte("Unit;Model\nP1;Heron\n"), 0o600))
	require.NoError(t, os.WriteFile(good, []byte("Unit;Model\nG1;Heron\n"), 0o600))
	r := readWith(t, []Input{{Path: late}, {Path: text}, {Path: other}, {Path: good}}, Options{Limits: Limits{Text: csv.Limits{Rows: 2900}}})
	for i, says := range []string{"row 5 follows row 2999", "rows are over the limit of 2900", "not a kind of file that is read"} {
		require.ErrorContains(t, r.Files[i].Err, says)
		assert.NotEmpty(t, hint(r.Files[i].Err))
	}
	assert.Equal(t, []string{"G1"}, r.names())
	for _, c := range r.Fleet.Counts {
		assert.Equal(t, c.Source.File == good, c.Read > 0, "%+v", c)
	}
}

// TestLinksAndDevices: what is no ordinary file of its folder is not opened.
func TestLinksAndDevices(t *testing.T) {
	outside, folder := t.TempDir(), t.TempDir()
	secret, inside := filepath.Join(outside, "secret.csv"), filepath.Join(folder, "real.csv")
	require.NoError(t, os.WriteFile(secret, []byte("Unit;Model\nS1;Heron\n"), 0o600))
	require.NoError(t, os.WriteFile(inside, []byte("Unit;Model\nG1;Heron\n"), 0o600))
	link := func(to, name string) string {
		path := filepath.Join(folder, name)
		if err := os.Symlink(to, path); err != nil {
			t.Skip("no links here: ", err)
		}
		return path
	}
	out, in, none, device, up := link(secret, "out.csv"), link("real.csv", "in.csv"), link("nowhere.csv", "none.csv"), link("/dev/zero", "zero.csv"), link("../"+filepath.Base(outside)+"/secret.csv", "up.csv")
	r := read(t, inside, out, none, device, up)
	assert.Equal(t, []string{"G1"}, r.names())
	for i, says := range []string{"", "leads out of its folder", "leads nowhere", "leads out of its folder", "leads out of its folder"} {
		if says != "" {
			require.ErrorContains(t, r.Files[i].Err, says)
			assert.NotEmpty(t, hint(r.Files[i].Err))
			assert.NotContains(t, r.Files[i].Err.Error(), outside, "where it leads is nobody's business")
		}
	}
	assert.NoError(t, read(t, in).Files[0].Err, "a link within the folder is followed")

	whole := filepath.Join(t.TempDir(), "intake")
	require.NoError(t, os.Symlink(outside, whole))
	assert.Equal(t, []string{"S1"}, read(t, filepath.Join(whole, "secret.csv")).names(), "a folder that is a link is the job's own choice")

	through := filepath.Join(link(outside, "north"), "secret.csv")
	far := readWith(t, []Input{{Path: inside, Folder: folder}, {Path: through, Folder: folder}}, Options{})
	require.ErrorContains(t, far.Files[1].Err, "leads out of its folder", "what a pattern found is not the job's choice")
	assert.Equal(t, []string{"G1"}, far.names())

	_, err := csv.Open(context.Background(), "/dev/zero", csv.Options{})
	require.ErrorIs(t, err, csv.NotRegular)
	_, err = xlsx.Open(context.Background(), "/dev/zero", xlsx.Options{})
	require.ErrorIs(t, err, xlsx.NotRegular)
}
