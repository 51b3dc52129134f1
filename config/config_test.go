package config

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const testdata = "../testdata/config"

// wants reads the faults that a test file expects, written into it as comments
// by hand: "# want LINE:COLUMN: message".
func wants(t *testing.T, data []byte) []string {
	t.Helper()
	var out []string
	lines := bufio.NewScanner(bytes.NewReader(data))
	for lines.Scan() {
		if w, ok := strings.CutPrefix(lines.Text(), "# want "); ok {
			out = append(out, w)
		}
	}
	require.NoError(t, lines.Err())
	require.NotEmpty(t, out, "the file says no fault to expect")
	return out
}

// said words faults as the test files do.
func said(faults Faults) []string {
	var out []string
	for _, f := range faults {
		_, at, _ := strings.Cut(f.Error(), f.File+":")
		out = append(out, at)
	}
	return out
}

// faultsOf reads a file as a job or a catalogue.
func faultsOf(name string, data []byte) Faults {
	if strings.HasPrefix(name, "job-") {
		_, faults := ParseJob(name, data)
		return faults
	}
	_, faults := ParseCatalogue(name, data)
	return faults
}

func TestFaultsOfFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(testdata, "*-*.yaml"))
	require.NoError(t, err)
	require.Greater(t, len(files), 90, "the faulty files are there")
	for _, path := range files {
		name := filepath.Base(path)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			faults := faultsOf(name, data)
			assert.Equal(t, strings.Join(wants(t, data), "\n"), strings.Join(said(faults), "\n"))
			for _, f := range faults {
				assert.Equal(t, name, f.File)
			}
		})
	}
}

func TestTenFaultsAreAllReportedInOrder(t *testing.T) {
	for _, name := range []string{"job-ten-faults.yaml", "part-ten-faults.yaml"} {
		data, err := os.ReadFile(filepath.Join(testdata, name))
		require.NoError(t, err)
		faults := faultsOf(name, data)
		require.Len(t, faults, 10)
		for i := 1; i < len(faults); i++ {
			a, b := faults[i-1], faults[i]
			assert.True(t, a.Line < b.Line || (a.Line == b.Line && a.Column <= b.Column), "%v stands before %v", a, b)
		}
	}
}

func TestFaultCarriesKeyAndValue(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(testdata, "part-rate-over-1.yaml"))
	require.NoError(t, err)
	_, faults := ParseCatalogue("parts.yaml", data)
	require.Len(t, faults, 1)
	assert.Equal(t, "parts[0].evidence[1].rules[0].worn", faults[0].Key)
	assert.Equal(t, "1.4", faults[0].Value)
	assert.Equal(t, "parts.yaml:22:68: worn is 1.4; a rate lies above 0 and at most at 1", faults[0].Error())
}

func TestASecretIsNeverRepeated(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(testdata, "job-password-itself.yaml"))
	require.NoError(t, err)
	_, faults := ParseJob("job.yaml", data)
	require.Len(t, faults, 1)
	assert.NotContains(t, fmt.Sprintf("%+v", faults), "s3cret")
}

func TestNearest(t *testing.T) {
	for _, c := range []struct{ rule, got, want string }{
		{"a missing letter", "holding_k", "holding_km"},
		{"two letters swapped", "hodling_km", "holding_km"},
		{"blank and hyphen are underscores", "holding-km", "holding_km"},
		{"capitals", "Holding_KM", "holding_km"},
		{"a word cut short", "hold", "holding_km"},
		{"nothing alike", "mileage", ""},
		{"nothing at all", "", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			assert.Equal(t, c.want, nearest(c.got, []string{"next_run_days", "holding_km", "currency"}))
		})
	}
}

func TestDistanceCountsASwapOnce(t *testing.T) {
	// Optimal string alignment distance, worked out by hand.
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"ab", "ba", 1}, {"usage", "usgae", 1}, {"kits", "kit", 1}, {"desk", "disc", 2}, {"ca", "abc", 3}, {"é", "e", 1}} {
		assert.Equal(t, c.want, distance(c.a, c.b), "%s %s", c.a, c.b)
	}
}

// TestPeoplesWords: what people say for a word of ours is answered with it, and not with what looks alike.
func TestPeoplesWords(t *testing.T) {
	_, faults := ParseJob("job.yaml", []byte("name: north\ndesk: Dealer\nlanguage: español\nmarket: UK\ninputs: [a.csv]\ncatalogue: [p.yaml]\n"))
	assert.Equal(t, []string{
		`1:1: unknown key "name"; did you mean job?`,
		`2:7: desk is "Dealer"; it is one of fleet, trade-in, auction; did you mean trade-in?`,
		`3:11: language is "español"; it is one of en, es; did you mean es?`,
		`4:9: market is "UK"; it is one of eu, us, ca, cn, other; did you mean eu?`,
	}, said(faults))
	_, faults = ParseJob("job.yaml", []byte("inputs: [a.csv]\ncatalogue: [p.yaml]\nusage: { holding_km: 160,000 }\n"))
	assert.Equal(t, []string{`3:26: unknown key "000"; a comma parts keys and values here: write a figure without one, such as 160000`}, said(faults))
	_, faults = ParseJob("job.yaml", []byte("job: x\n\tinputs: [a.csv]\n"))
	assert.Equal(t, []string{"2:1: a tab stands here, where YAML wants blanks; write blanks instead of tabs"}, said(faults))
	_, faults = ParseJob("job.yaml", []byte("inputs: [a.csv]\ncatalogue: [p.yaml]\nparts: []\n"))
	assert.Equal(t, []string{`3:1: unknown key "parts"; parts stand in a catalogue, which a job names: catalogue: [parts.yaml]`}, said(faults))
}
