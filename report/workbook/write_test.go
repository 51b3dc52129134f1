package workbook_test

import (
	"bytes"
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
)

func TestLook(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, workbook.Write(context.Background(), &b, invented.Document(), workbook.Options{}))
	if p := os.Getenv("PITLIST_LOOK"); p != "" {
		require.NoError(t, os.WriteFile(p, b.Bytes(), 0o644))
	}
}
