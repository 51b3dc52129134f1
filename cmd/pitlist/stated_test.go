package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
	"pitlist/score"
	"pitlist/score/say"
)

// saysStated words the settings of a job with these lines, a line each.
func saysStated(t *testing.T, l *say.Language, lines string, axes ...score.Axis) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.yaml")
	put(t, path, []byte("inputs: [{ path: a.csv }]\ncatalogue: [parts.yaml]\n"+lines))
	job, faults, err := config.LoadJob(path)
	require.NoError(t, err)
	require.Empty(t, faults)
	b := &batch{job: job, catalogue: &score.Catalogue{}}
	for _, axis := range axes {
		b.catalogue.Parts = append(b.catalogue.Parts, score.WeakPart{Axis: axis})
	}
	var said strings.Builder
	for _, s := range b.stated() {
		said.WriteString(l.F("%s: %s", s.Name, s.Value) + "\n")
	}
	return said.String()
}

// TestWhatTheJobStatesIsSaid: what the list rests on stands in the guide,
// exactly, the defaults too, in both languages.
func TestWhatTheJobStatesIsSaid(t *testing.T) {
	const fleet = "market: eu\nusage: { next_run_days: 1, holding_km: 61234 }\nmoney: { currency: NOK, bay_hour: 95.5 }\nbay_hours: { North: 12.5, Harbour: 8, \"*\": 6 }\ndate_order: month\n"
	assert.Equal(t, `Decision that the list serves: which vehicles to inspect before the next run
Market that the VINs come from: eu
Records taken as complete, where no column says: since the first dated repair or inspection
Dates that nothing else settles: the month first
Until the next run: 1 day
Distance that a vehicle is kept for: 61,234 km
Distance a week, where nothing tells it: 450 km
An hour in the bay: NOK 95.5
A day off the road: NOK 0
Bay-hours until the next run: Harbour 8 h, North 12.5 h, the other depots together 6 h
Kits held suffice with a chance of: 95.0%
Delivery of kits: 14 days
`, saysStated(t, say.English, fleet, score.ByKM))
	assert.Contains(t, saysStated(t, say.Spanish, fleet, score.ByHours, score.ByMonths), `Hasta la próxima ejecución: 1 día
Distancia durante la que se conserva un vehículo: 61.234 km
Distancia por semana, si nada la indica: 450 km
Horas de motor durante las que se conserva un vehículo: 3000 h
Horas de motor por semana, si nada las indica: 20 h
Tiempo durante el que se conserva un vehículo: 24 meses
`)
	plain := saysStated(t, say.English, "")
	assert.Contains(t, plain, "Market that the VINs come from: none in particular\n")
	assert.Contains(t, plain, "Bay-hours until the next run: no limit\n")
	assert.NotContains(t, plain, "ngine hours")
	sale := saysStated(t, say.English, "desk: auction\nbuying: { cover: 0.75, sale_odds: 1.5 }\n")
	for _, s := range []string{"which lots to walk to", "complete, where no column says: none, but of a vehicle with repairs", "bears the bill with a chance of: 75%", "since it is for sale, times: 1.5\n", "Kept back from a bid: EUR 250\n"} {
		assert.Contains(t, sale, s)
	}
	trade := saysStated(t, say.English, "desk: trade-in\nrecords_from: none\n")
	assert.Contains(t, trade, "complete, where no column says: none\n")
	assert.Contains(t, trade, "of the price, of: 25%\n")
	assert.NotContains(t, trade, "bid")
}

// TestRunRecordHoldsTheSettings: run.json has them as the job file has them,
// whatever the language.
func TestRunRecordHoldsTheSettings(t *testing.T) {
	for _, tag := range say.Tags() {
		dir := workshop(t)
		quick(t, dir)
		path := filepath.Join(dir, "job.yaml")
		put(t, path, append(mustRead(t, path), []byte("language: "+tag+"\nkits: { service: 0.9 }\n")...))
		runOn(t, path, "2026-11-25")
		text, err := os.ReadFile(filepath.Join(dir, "out", "2026-11-25", runRecord))
		require.NoError(t, err)
		var got struct{ Settings map[string]any }
		require.NoError(t, json.Unmarshal(text, &got))
		assert.Equal(t, 0.9, got.Settings["kits.service"])
		assert.Equal(t, "fleet", got.Settings["desk"])
		assert.Equal(t, 450., got.Settings["usage.default_km_per_week"])
		assert.Contains(t, got.Settings, "bay_hours")
	}
}
