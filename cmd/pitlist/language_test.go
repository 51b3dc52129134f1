package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
	"pitlist/config/demo"
)

// TestDemoInAnotherLanguage: one line of each job chooses it.
func TestDemoInAnotherLanguage(t *testing.T) {
	d, err := demo.Make(demo.Seed)
	require.NoError(t, err)
	d.Speak("es")
	dir := t.TempDir()
	require.NoError(t, writeDemo(dir, d))
	for _, name := range []string{demo.JobName, demo.SaleName, demo.TradeName} {
		job, faults, err := config.LoadJob(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Empty(t, faults)
		assert.Equal(t, "es", job.Language, name)
	}
	code, _, errOut := demoRun(t, filepath.Join(t.TempDir(), "new"), "--language", "xx")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "en or es")
}
