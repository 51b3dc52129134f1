package xlsx

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

const samples = "../../testdata/rows/" // see SOURCE.md there

// TestBookOfAnotherProgram: a workbook saved by LibreOffice. The serials are days
// since 30 December 1899 (ECMA-376 part 1, 18.17.4.1): 46349 is 2026-11-23.
func TestBookOfAnotherProgram(t *testing.T) {
	b, err := Open(context.Background(), samples+"fleet.xlsx", Options{})
	require.NoError(t, err)
	defer b.Close()
	lines, err := readSheet(b, "fleet")
	require.NoError(t, err)
	require.Equal(t, []line{
		{1, []string{"unit", "vin", "depot", "odometer", "date", "remarks"}},
		{2, []string{"00123", "Z9KTEAL0000000017", "Harbour", "123456.7", "46349", "pump knocks\nwhen hot"}},
		{3, []string{"N-2", "Z9KHERN0000000021", "Island & North", "88000", "46346", `19" wheel`}},
		{5, []string{"N-4", "Z9KKEST0000000035", "Harbour", "", "46347", "Ångström"}},
	}, lines)
}

// TestRenamedFilesOfAnotherProgram: an ending says nothing.
func TestRenamedFilesOfAnotherProgram(t *testing.T) {
	for name, kind := range map[string]Kind{"fleet.xls": OldFormat, "fleet.ods": OpenDocument, "fleet.csv": NotWorkbook} {
		data, err := os.ReadFile(filepath.Join(samples, name))
		require.NoError(t, err)
		_, err = Open(context.Background(), write(t, "renamed.xlsx", data), Options{})
		wantFault(t, err, kind)
	}
}
