package main

import (
	"os"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEveryModuleHasItsReason: each direct requirement of go.mod stands in the
// list of DEVELOPERS.md.
func TestEveryModuleHasItsReason(t *testing.T) {
	mod, err := os.ReadFile("../../go.mod")
	require.NoError(t, err)
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, list, found := strings.Cut(string(text), "## Dependencies")
	require.True(t, found)
	list, _, _ = strings.Cut(list, "\n## ")
	n := 0
	for _, m := range regexp.MustCompile(`(?m)^\t(\S+) v\S+$`).FindAllStringSubmatch(string(mod), -1) {
		name := m[1]
		if regexp.MustCompile(`^v\d+$`).MatchString(path.Base(name)) {
			name = path.Dir(name)
		}
		assert.Regexp(t, `(?m)^\| (.*, )?`+regexp.QuoteMeta(path.Base(name))+`[ ,|]`, list, "%s has no reason", m[1])
		n++
	}
	assert.GreaterOrEqual(t, n, 10)
}
