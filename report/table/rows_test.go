package table

import (
	"bytes"
	"context"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/report"
)

// TestRowsAsTheLibrary holds what is written of cells against encoding/csv.
func TestRowsAsTheLibrary(t *testing.T) {
	piece := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", "a", ",", `"`, `""`, "\n", "\r\n", " ", "\u00a0", `\.`, "\u2003", "é", "a;b", "\xff"}))
	rapid.Check(t, func(t *rapid.T) {
		cells := rapid.SliceOfN(rapid.Map(rapid.SliceOfN(piece, 0, 4), func(p []string) string { return strings.Join(p, "") }), 2, 6).Draw(t, "cells")
		var ours, library bytes.Buffer
		out := newRows(context.Background(), &ours, &report.Document{}, "head")
		out.text(cells...)
		assert.True(t, out.put())
		safe := make([]string, len(cells))
		for i, c := range cells {
			safe[i] = string(Safe([]byte(c)))
		}
		w := csv.NewWriter(&library)
		require.NoError(t, w.WriteAll([][]string{{"head"}, safe}))
		assert.Equal(t, library.String(), ours.String())
	})
}
