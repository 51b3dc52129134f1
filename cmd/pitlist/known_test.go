package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEntryNotYetKnown: a list for a day before an entry was known is the list
// without that entry, and says so. Its words have no say either: they differ by
// one letter from another entry's, which bridges the slip only while they are
// not known.
func TestEntryNotYetKnown(t *testing.T) {
	lists := func(withLate bool, day string) (list, told string) {
		dir := workshop(t)
		parts := filepath.Join(dir, "parts.yaml")
		text := string(mustRead(t, parts))
		_, joint, found := strings.Cut(text, "  - id: rack-joint\n")
		require.True(t, found)
		if withLate {
			late := strings.NewReplacer("known_since: 2012-01-01", "known_since: 2026-12-01", "steering rack joint", "steering rack joind").Replace(joint)
			put(t, parts, []byte(text+"\n  - id: rack-joind\n"+late))
		}
		put(t, filepath.Join(dir, "intake", "repairs.csv"), []byte("unit,date,odometer,text\nV1,2026-01-05,200000,steering rack joind renewed\n"))
		runOn(t, filepath.Join(dir, "job.yaml"), day)
		read := func(name string) string { return string(mustRead(t, filepath.Join(dir, "out", day, name))) }
		return read("worklist.csv") + read("findings.csv"), read(runRecord)
	}
	want, told := lists(false, "2026-11-25")
	assert.NotContains(t, told, "known since")
	got, told := lists(true, "2026-11-25")
	assert.Equal(t, want, got)
	assert.Contains(t, told, "entry rack-joind of the catalogue is known since 2026-12-01; it has no say in a list for an earlier day")
	want, _ = lists(false, "2026-12-02")
	got, told = lists(true, "2026-12-02")
	assert.NotEqual(t, want, got, "once known, it speaks")
	assert.NotContains(t, told, "known since")
}
