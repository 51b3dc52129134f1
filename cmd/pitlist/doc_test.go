package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
)

// TestReadme holds the README against the program: its job file is sound, its
// keys and columns exist, its commands exist.
func TestReadme(t *testing.T) {
	data, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	text := string(data)
	assert.Contains(t, text, "go run ./cmd/pitlist demo")
	assert.Contains(t, text, "go test -timeout 30m ./...")

	blocks := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(text, -1)
	require.Len(t, blocks, 3, "the ten-line job, the sheets that need help, the schedule")
	_, faults := config.ParseJob("README.md", []byte("catalogue: [parts.yaml]\ninputs: [a.csv]\n"+dedent(blocks[2][1])))
	assert.Empty(t, faults)
	job := dedent(blocks[0][1])
	_, faults = config.ParseJob("README.md", []byte(job))
	assert.Empty(t, faults)
	helped := "catalogue: [parts.yaml]\ninputs:\n" + dedent(blocks[1][1])
	_, faults = config.ParseJob("README.md", []byte(helped))
	assert.Empty(t, faults)

	root := newRoot(&world{})
	for _, line := range regexp.MustCompile("`pitlist ([a-z]+)").FindAllStringSubmatch(text, -1) {
		cmd, _, err := root.Find([]string{line[1]})
		require.NoError(t, err)
		if line[1] != "completion" {
			assert.NotEqual(t, root, cmd, "the README names the command %q", line[1])
		}
	}
	for _, name := range regexp.MustCompile(`\]\(([^)]+\.png)\)`).FindAllStringSubmatch(text, -1) {
		_, err := os.Stat(filepath.Join("../..", name[1]))
		assert.NoError(t, err, "the README's picture")
	}
}

// dedent takes the common indentation off a block of Markdown.
func dedent(s string) string {
	lines := strings.Split(s, "\n")
	least := -1
	for _, l := range lines {
		if n := len(l) - len(strings.TrimLeft(l, " ")); strings.TrimSpace(l) != "" && (least < 0 || n < least) {
			least = n
		}
	}
	for i, l := range lines {
		if len(l) >= least && least > 0 {
			lines[i] = l[least:]
		}
	}
	return strings.Join(lines, "\n")
}

// TestDeployExamples: the command lines of config/deploy are this program's.
func TestDeployExamples(t *testing.T) {
	files, err := filepath.Glob("../../config/deploy/*")
	require.NoError(t, err)
	lines := 0
	for _, path := range files {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		text := strings.NewReplacer(`", "`, " ", `["`, "", `"]`, "", `CMD `, "CMD /pitlist ").Replace(string(data))
		for _, m := range regexp.MustCompile(`(?m)pitlist schedule (\S+\.yaml)([^\n]*?)(?: 2>>[^\n]*)?$`).FindAllStringSubmatch(text, -1) {
			lines++
			cmd := newSchedule(&world{})
			require.NoError(t, cmd.ParseFlags(append([]string{m[1]}, strings.Fields(m[2])...)), "%s: %s", path, m[0])
			assert.Equal(t, []string{m[1]}, cmd.Flags().Args(), m[0])
		}
	}
	assert.Equal(t, 6, lines, "cron, two units, the CronJob, the container and how to start it")
}
