package main

import (
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
	"pitlist/config/demo"
)

// TestYearOfMondays plays 52 weeks of the demo under the schedule, with a clock handed
// in: every Monday's run is made once, for its day, also in the weeks in which
// the clock is changed, and the runs kept stay their number. A few parameter
// draws do: the intervals are not looked at.
func TestYearOfMondays(t *testing.T) {
	if testing.Short() {
		t.Skip("the demo is run 52 times")
	}
	dir := t.TempDir()
	d, err := demo.Make(demo.Seed)
	require.NoError(t, err)
	require.NoError(t, writeDemo(dir, d))
	path := filepath.Join(dir, demo.JobName)
	put(t, path, append(mustRead(t, path), []byte("\nschedule: { cron: \"0 5 * * MON\", time_zone: Europe/Oslo, settle_seconds: 5 }\nmetrics: m.prom\nhistory: year.db\n")...))
	hand := &handClock{}
	for text, to := range map[string]*time.Time{"2026-11-22T12:00:00Z": &hand.at, "2027-11-20T00:00:00Z": &hand.end} {
		*to, err = time.Parse(time.RFC3339, text)
		require.NoError(t, err)
	}
	var logged strings.Builder
	log, err := newLog(&logged, "text", slog.LevelInfo)
	require.NoError(t, err)
	keepers, err := keepersOf([]string{path}, hand.clock(), log)
	require.NoError(t, err)
	k := keepers[0]
	var days []string
	real := makeRun(hand.clock(), 2)
	k.run = func(ctx context.Context, job *config.Job, o *order) (*made, error) {
		m, err := real(ctx, job, o)
		if err == nil {
			days = append(days, m.name)
		}
		return m, err
	}
	require.ErrorIs(t, k.keep(context.Background()), errEnd)
	require.Len(t, days, 52, logged.String())
	for i, day := range days {
		assert.Equal(t, time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*i).Format(time.DateOnly), day)
	}
	runs, err := runsIn(filepath.Join(dir, "out"))
	require.NoError(t, err)
	assert.Equal(t, days[42:], runs, "the demo keeps ten")
	latest, err := os.ReadFile(filepath.Join(dir, "out", latestName))
	require.NoError(t, err)
	assert.Equal(t, days[51]+"\n", string(latest))
	assert.Equal(t, 52, strings.Count(logged.String(), "run done"))
	assert.NotContains(t, logged.String(), "level=ERROR")
	assert.NotContains(t, logged.String(), "missed")
}
