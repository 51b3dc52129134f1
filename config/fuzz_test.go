package config

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seeds are the test files themselves: short, and each at a fault's edge.
func seeds(f *testing.F, pattern string) {
	f.Helper()
	files, err := filepath.Glob(filepath.Join(testdata, pattern))
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, path := range files {
		data, err := os.ReadFile(path)
		require.NoError(f, err)
		f.Add(data)
	}
}

// sound checks what holds of faults whatever the text.
func sound(t *testing.T, faults Faults) {
	t.Helper()
	for i, f := range faults {
		assert.Equal(t, "x.yaml", f.File)
		assert.NotEmpty(t, f.Problem)
		assert.GreaterOrEqual(t, f.Line, 0)
		if i > 0 {
			assert.LessOrEqual(t, faults[i-1].Line, f.Line)
		}
	}
}

func FuzzJob(f *testing.F) {
	seeds(f, "job-*.yaml")
	seeds(f, "good/*job.yaml")
	f.Fuzz(func(t *testing.T, data []byte) {
		j, faults := ParseJob("x.yaml", data)
		sound(t, faults)
		again, same := ParseJob("x.yaml", data)
		assert.Equal(t, faults, same, "the same text, the same faults")
		if len(faults) == 0 {
			assert.Equal(t, j.Usage, again.Usage)
			assert.NotEmpty(t, j.Inputs)
			assert.NotEmpty(t, j.Catalogue)
			assert.GreaterOrEqual(t, j.Output.Keep, 1)
		}
	})
}

func FuzzCatalogue(f *testing.F) {
	seeds(f, "part-*.yaml")
	seeds(f, "good/*catalogue.yaml")
	f.Fuzz(func(t *testing.T, data []byte) {
		c, faults := ParseCatalogue("x.yaml", data)
		sound(t, faults)
		_, same := ParseCatalogue("x.yaml", data)
		assert.Equal(t, faults, same, "the same text, the same faults")
		if len(faults) > 0 {
			return
		}
		for i := range c.Parts {
			p := &c.Parts[i]
			require.NoError(t, p.Onset.Validate())
			require.NoError(t, p.Delay.Validate())
			assert.NotEmpty(t, p.Fits)
			assert.Greater(t, p.Weight, 0.0)
			for _, g := range p.Evidence {
				assert.Empty(t, g.Validate())
			}
		}
	})
}
