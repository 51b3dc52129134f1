package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/slip"
)

// newRemembered is a round whose job remembers.
func newRemembered(t *testing.T) *round {
	t.Helper()
	r := newRound(t)
	put(t, r.job(), []byte(strings.Replace(string(mustRead(t, r.job())), "job: ", "history: record.db\njob: ", 1)))
	require.NoError(t, os.RemoveAll(filepath.Join(r.dir, "out")))
	runOn(t, r.job(), firstMonday)
	return r
}

// leave takes a workbook out of the intake folder.
func (r *round) leave(name string) {
	r.Helper()
	require.NoError(r, os.Remove(filepath.Join(r.dir, "intake", name)))
}

// evidenceOf is what a run has of a unit's only part.
func (r *round) evidenceOf(run, unit string) string {
	r.Helper()
	return column(r.T, r.dir, run, "findings.csv", "evidence")[unit]
}

// TestReturnedAndPutRight: what came back is put right a week later, in the same
// file or in another: the last that came holds, nothing of the first is left
// on the list or in its score.
func TestReturnedAndPutRight(t *testing.T) {
	r := newRemembered(t)
	r.open(r.list()).found("Q-001", "worn", "2026-11-24").found("Q-002", "worn", "2026-11-24").found("Q-003", "sound", "2026-11-24").send("back.xlsx")
	said := runOn(t, r.job(), secondMonday)
	assert.Contains(t, said, "3 results returned (0), 2 worn among them (0)")
	assert.Contains(t, said, "of 3 parts opened so far that it had above the line, 2 were worn")

	r.leave("back.xlsx")
	p := r.open(r.list()).found("Q-001", "sound", "2026-11-25").found("Q-002", "not opened", "2026-11-24").found("Q-003", "sound", "2026-11-24")
	p.fill("Q-003", slip.HeadOdometer, 243000).send("once more.xlsx")
	said = runOn(t, r.job(), "2026-12-07")
	assert.Contains(t, said, "of 2 parts opened so far that it had above the line, 0 were worn")
	assert.Contains(t, r.evidenceOf("2026-12-07", "Q-001"), "inspected and found sound on 25 Nov 2026")
	for _, unit := range []string{"Q-001", "Q-002"} {
		assert.NotContains(t, r.evidenceOf("2026-12-07", unit), "found worn", unit)
	}
	assert.Contains(t, r.evidenceOf("2026-12-07", "Q-003"), "found sound on 24 Nov 2026 at 243,000 km")
	assert.Equal(t, 1, strings.Count(r.evidenceOf("2026-12-07", "Q-003"), "found sound"))
}

// TestReturnedLastYear: last year's workbook without a day, saved anew and
// returned once more, is last year's look, with a record and without one.
func TestReturnedLastYear(t *testing.T) {
	for _, remembers := range []bool{true, false} {
		r := newRound(t)
		if remembers {
			r = newRemembered(t)
		}
		p := r.open(r.list()).fill("Q-001", slip.HeadFound, "sound")
		p.send("back.xlsx")
		runOn(t, r.job(), secondMonday)
		r.leave("back.xlsx")
		runOn(t, r.job(), "2026-12-07")
		p.fill("Q-002", slip.HeadInitials, "AB").fill("Q-002", slip.HeadFound, "n")
		p.send("found in a drawer.xlsx")
		said := runOn(t, r.job(), "2027-11-22")
		assert.Equal(t, 1, strings.Count(r.evidenceOf("2027-11-22", "Q-001"), "found sound"))
		assert.Contains(t, r.evidenceOf("2027-11-22", "Q-001"), "found sound on 23 Nov 2026", "the list's day: nobody can have looked earlier")
		if remembers {
			assert.Contains(t, said, "0 results returned (0)")
			assert.Contains(t, said, "of 1 part opened so far")
		}
	}
}

// TestReturnedContradictionIsRemembered: "neither is used" holds for a copy too
// that an earlier run has taken; once one of the two is gone, the other holds.
func TestReturnedContradictionIsRemembered(t *testing.T) {
	r := newRemembered(t)
	r.open(r.list()).found("Q-001", "worn", "2026-11-24").send("from Ann.xlsx")
	runOn(t, r.job(), secondMonday)
	r.open(r.list()).found("Q-001", "sound", "2026-11-24").send("from Bo.xlsx")
	code, out, errOut := invoke(t, "run", r.job(), "--as-of", "2026-12-07")
	require.Equal(t, exitRejected, code, errOut)
	assert.NotContains(t, out, "found worn")
	assert.NotContains(t, r.evidenceOf("2026-12-07", "Q-001"), "found")
	r.leave("from Ann.xlsx")
	runOn(t, r.job(), "2026-12-14")
	assert.Contains(t, r.evidenceOf("2026-12-14", "Q-001"), "found sound on 24 Nov 2026")
	assert.NotContains(t, r.evidenceOf("2026-12-14", "Q-001"), "found worn")
}
