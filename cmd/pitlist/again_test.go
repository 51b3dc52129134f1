package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLotSeenAgain: at an auction no weeks are compared, but a lot that comes
// again is told as known, with what is new of it.
func TestLotSeenAgain(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/runs/sale")))
	job := filepath.Join(dir, "job.yaml")
	put(t, job, append(mustRead(t, job), []byte("history: record.db\n")...))
	runOn(t, job, "2026-11-25")
	for unit, change := range columnBy(t, dir, "2026-11-25", "worklist.csv", "lot", "change") {
		assert.Empty(t, change, unit)
	}

	lots := filepath.Join(dir, "intake", "lots.csv")
	rows := strings.Split(strings.TrimSpace(string(mustRead(t, lots))), "\n")
	again := strings.Replace(strings.Replace(rows[1], ",180000,2026-11-23,", ",180100,2026-11-30,P0087", 1), "12,B,", "31,B,", 1)
	require.NotEqual(t, rows[1], again)
	put(t, lots, []byte(rows[0]+"\n"+again+"\n32,A,1,7000,Northfold,Heron,2016,ZSNHV2D46GK104999,HD4120001,90000,2026-11-30,\n"))
	runOn(t, job, "2026-12-02")
	change := columnBy(t, dir, "2026-12-02", "worklist.csv", "lot", "change")
	assert.Equal(t, "seen before, on 25 Nov 2026: new code P0087", change["31"], "under another lot number")
	assert.Equal(t, "", change["32"])
	assert.NotContains(t, string(mustRead(t, filepath.Join(dir, "out", "2026-12-02", runRecord))), `"week"`, "no weeks are compared")
}

// TestScheduleNeverForgets: a schedule takes no --without-memory, which left in
// a unit file would make every list without memory in silence. Its failure says
// what a person runs once, and after that it goes on by itself.
func TestScheduleNeverForgets(t *testing.T) {
	dir, job := withHistory(t)
	put(t, job, append(mustRead(t, job), []byte("schedule: { cron: \"0 5 23 11 *\", time_zone: Europe/Oslo, settle_seconds: 0 }\n")...))
	put(t, filepath.Join(dir, "record.db"), []byte("\x00\x01\x02\xff\xfe rubbish"))
	code, _, errOut := invoke(t, "schedule", job, "--once", "--without-memory")
	assert.Equal(t, exitUsage, code, errOut)
	for range 2 {
		code, _, logged := invoke(t, "schedule", job, "--once")
		assert.Equal(t, exitFailed, code, logged)
		assert.Contains(t, logged, "pitlist run JOB --without-memory")
	}
	code, _, errOut = invoke(t, "run", job, "--without-memory")
	require.Equal(t, exitDone, code, errOut)
	code, _, logged := invoke(t, "schedule", job, "--once")
	assert.Equal(t, exitDone, code, logged)
}

// TestWeekInSixNumbers: the second week's list opens with six numbers, each
// with its unit or name and that of the week before. Two vehicles become three,
// one part was opened and found worn.
func TestWeekInSixNumbers(t *testing.T) {
	dir, job := withHistory(t)
	put(t, job, append(mustRead(t, job), []byte("bay_hours: { \"*\": 2 }\n")...))
	first := unitsHead + unitOne + "210000,2026-11-13,HR730000\nV2,Z8LCA4E2XJB100002,Northfold,Heron,2017,190000,2026-11-13,HR730001\n"
	week(t, dir, map[string]string{"units.csv": first})
	assert.NotContains(t, runOn(t, job, "2026-11-16"), "Against ")
	week(t, dir, map[string]string{
		"units.csv":       first + "V3,Z8LCA4E2XJB100003,Northfold,Heron,2017,150000,2026-11-13,HR730002\n",
		"inspections.csv": "unit,date,odometer,part,result\nV1,2026-11-18,210100,pump-follower,worn\n",
	})
	said := runOn(t, job, "2026-11-23")
	assert.Regexp(t, `(?m)^Against 16 Nov 2026: 3 vehicles read \(2\), \d above the line \(1\), [\d.]+ bay-hours \(1\.25\), `+
		`[\d.]+ failures expected before the next run \([\d.]+\), 1 result returned \(0\), 1 worn among them \(0\)\.$`, said)
}
