package config

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"pitlist/score"
	"pitlist/score/life"
)

// Learned is an overlay that a fit made from a fleet's own records. It changes
// nothing by itself: a person reviews it and lists the file in the job.
type Learned struct {
	Job     string    // whose records it rests on
	Day     score.Day // until when
	Entries []LearnedEntry
}

// LearnedEntry is what was learned of one part.
type LearnedEntry struct {
	ID           string
	Notes        []string // what limits it, written as comments
	Onset, Delay life.Distribution
	Weight       float64 // the old weight plus the failures and worn findings used
	Share        score.Stated
	Rates        []LearnedRate
	Source       string // fleet, days, counts
}

// LearnedRate is one rule's rates.
type LearnedRate struct {
	Group         string
	Rule          int    // its number in the group, from 1
	ID            string // the rule's own id; "" none
	Worn, NotWorn float64
	Weight        float64
}

// Write writes the overlay as a catalogue file. Numbers are written so that
// they read back as they are.
func (l *Learned) Write(w io.Writer) error {
	out := bufio.NewWriter(w)
	put := func(format string, args ...any) { fmt.Fprintf(out, format, args...) }
	put("# Learned by `pitlist fit` from the records of job %s up to %s. Review it, then list this\n", oneLine(l.Job), l.Day)
	put("# file in the job's catalogue, after the files that it overrides. A later fit leaves it out:\n")
	put("# it rests on the same records.\n")
	put("learned: { job: %s, day: %s }\n", quoted(l.Job), l.Day)
	put("parts:\n")
	for i := range l.Entries {
		l.Entries[i].write(put)
	}
	return out.Flush()
}

func (e *LearnedEntry) write(put func(string, ...any)) {
	for _, n := range e.Notes {
		put("  # %s\n", oneLine(n))
	}
	put("  - id: %s\n", quoted(e.ID))
	if e.Onset != nil && e.Delay != nil {
		put("    onset: %s\n", curveText(e.Onset))
		put("    delay: %s\n", curveText(e.Delay))
		put("    weight: %s\n", number(e.Weight))
	}
	if e.Share.Known {
		put("    share_if_unknown: %s\n", number(e.Share.Value))
	}
	put("    source: %s\n", quoted(e.Source))
	if len(e.Rates) == 0 {
		return
	}
	put("    evidence:\n")
	for i, r := range e.Rates {
		if i == 0 || r.Group != e.Rates[i-1].Group {
			put("      - group: %s\n        rules:\n", quoted(r.Group))
		}
		name := "rule: " + strconv.Itoa(r.Rule)
		if r.ID != "" {
			name = "id: " + quoted(r.ID)
		}
		put("          - { %s, worn: %s, not_worn: %s, weight: %s }\n", name, number(r.Worn), number(r.NotWorn), number(r.Weight))
	}
}

// curveText is a curve as a catalogue writes it.
func curveText(d life.Distribution) string {
	switch c := d.(type) {
	case life.Weibull:
		return fmt.Sprintf("{ weibull: { shape: %s, scale: %s } }", number(c.Shape), number(c.Scale))
	case life.Lognormal:
		return fmt.Sprintf("{ lognormal: { mu: %s, sigma: %s } }", number(c.Mu), number(c.Sigma))
	case life.Exponential:
		return fmt.Sprintf("{ exponential: { mean: %s } }", number(c.Mean))
	case *life.Table:
		var rows []string
		for _, at := range c.Knots() {
			rows = append(rows, fmt.Sprintf("[%s, %s]", number(at), number(-math.Expm1(-c.CumHazard(at)))))
		}
		return "{ table: [" + strings.Join(rows, ", ") + "] }"
	}
	return "{}"
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// quoted is a text between double quotes; Go's escapes are YAML's too (YAML
// 1.2, 5.7) for what a text can hold.
func quoted(s string) string { return strconv.Quote(strings.ToValidUTF8(s, "")) }

// oneLine keeps a comment from ending early.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

var learnedKeys = []string{"job", "day"}

// learned reads the mark of a file that a fit made.
func learned(f field) {
	if g, ok := f.group(learnedKeys...); ok {
		g.need("job", "whose records it was learned from").text()
		day(g.need("day", "up to which day"))
	}
}

// LoadUnlearned reads a catalogue as LoadCatalogue does, without the files that
// a fit made, whose names it returns: a fit takes the catalogue as its prior,
// and must not count the same records twice; a backtest must not know what was
// learned later.
func LoadUnlearned(files []string) (c *score.Catalogue, left []string, faults Faults, err error) {
	kept := make([]string, 0, len(files))
	for _, path := range files {
		data, err := readFile(path)
		if err != nil {
			return nil, nil, nil, fmt.Errorf("read catalogue %s: %w", path, err)
		}
		if isLearned(path, data) {
			left = append(left, path)
		} else {
			kept = append(kept, path)
		}
	}
	c, faults, err = LoadCatalogue(kept)
	return c, left, faults, err
}

// isLearned tells a file that a fit made by its mark.
func isLearned(path string, data []byte) bool {
	s := &scribe{file: path}
	doc := s.document(data)
	if doc == nil {
		return false
	}
	keys := make([]string, 0, len(doc.Content)/2)
	for i := 0; i+1 < len(doc.Content); i += 2 {
		keys = append(keys, doc.Content[i].Value)
	}
	return slices.Contains(keys, "learned")
}
