package ingest

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
)

// TestVehicleName: what a sheet may be called after, and names that are no vehicle's.
func TestVehicleName(t *testing.T) {
	for name, want := range map[string]string{"U1": "U1", "NF-104": "NF-104", "4711": "4711", vinA: vinA, " U2 ": "U2", "V12": "V12", "V1-26": "V1-26"} {
		assert.Equal(t, want, vehicleName(score.Source{Sheet: name}), name)
	}
	for _, name := range []string{"Sheet1", "Tabelle2", "Лист1", "Jobs", "Jobs 2026", "2026", "3", "12", "2026-03", "Mar26", "KW35", "Q3", "2026-W35", "KW35-2026", "2026Q3", "Q3-2026", "Export (2)", "Fleet"} {
		assert.Empty(t, vehicleName(score.Source{Sheet: name}), name)
	}
	assert.Equal(t, "U7", vehicleName(score.Source{File: "intake/U7.csv"}))
}
