package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestCodesGoneAndBack plays weeks of files: a scan without codes after one
// with codes says in the list after what the code went, and a code that returns
// is told as one that was there. Each week's files hold that week only.
func TestCodesGoneAndBack(t *testing.T) {
	dir, job := withHistory(t)
	units := []string{"V1", "V2", "V3", "V4"}
	play := func(day, sheetDay string, km int, scans, repairs string) map[string]string {
		var vehicles strings.Builder
		vehicles.WriteString(unitsHead)
		for i, u := range units {
			fmt.Fprintf(&vehicles, "%s,Z8LCA4E2XJB10000%d,Northfold,Heron,2017,%d,%s,HR73000%d\n", u, i+1, km, sheetDay, i)
		}
		week(t, dir, map[string]string{
			"units.csv":   vehicles.String(),
			"scans.csv":   "unit,date,odometer,codes,km_since_clear\n" + scans,
			"repairs.csv": "unit,date,odometer,text\n" + repairs,
		})
		runOn(t, job, day)
		return column(t, dir, day, "worklist.csv", "change")
	}
	play("2026-11-09", "2026-11-06", 210000,
		"V1,2026-11-06,210000,P0087,9000\nV2,2026-11-06,210000,P0087,9000\nV3,2026-11-06,210000,P0087,9000\nV4,2026-11-06,210000,none,9000\n", "")

	said := play("2026-11-16", "2026-11-13", 210400,
		"V1,2026-11-13,210400,none,9400\nV2,2026-11-13,210400,none,9400\nV3,2026-11-13,210400,none,300\nV4,2026-11-13,210400,none,9400\n",
		"V2,2026-11-11,210300,rail pressure sensor replaced\nV1,2026-11-04,209800,oil service\n")
	assert.Contains(t, said["V1"], "P0087 gone by itself", "the oil was changed before the code was last read")
	assert.Contains(t, said["V2"], "P0087 gone after “rail pressure sensor replaced” on 11 Nov 2026")
	assert.NotContains(t, said["V3"], "by itself", "an erase proves nothing, and did not push the row")
	assert.NotContains(t, said["V4"], "gone")

	said = play("2026-11-23", "2026-11-20", 210800,
		"V1,2026-11-20,210800,P0087,9800\nV2,2026-11-20,210800,none,9800\nV3,2026-11-20,210800,P0087,700\nV4,2026-11-20,210800,P0087,9800\n", "")
	assert.Contains(t, said["V1"], "P0087 back")
	assert.Contains(t, said["V3"], "P0087 back")
	assert.Contains(t, said["V4"], "new code P0087")
	assert.NotContains(t, said["V2"], "P0087 gone", "that was said last week")

	// The whole story stands together, across the files of three weeks.
	for unit, want := range map[string][]string{
		"V1": {"P0087 read on 6 Nov 2026; gone on 13 Nov 2026 by itself", "P0087 back, read on 20 Nov 2026"},
		"V2": {"P0087 read on 6 Nov 2026; gone on 13 Nov 2026 after “rail pressure sensor replaced” on 11 Nov 2026"},
		"V3": {"P0087 read on 6 Nov 2026; gone on 13 Nov 2026 after the memory was erased, with no repair on record", "P0087 back, read on 20 Nov 2026"},
	} {
		code, out, errOut := invoke(t, "explain", job, unit, "--as-of", "2026-11-23")
		assert.Equal(t, exitDone, code, errOut)
		for _, w := range want {
			assert.Contains(t, out, w)
		}
	}
}
