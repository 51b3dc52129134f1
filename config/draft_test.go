package config

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score"
)

func vinRangeOf(t require.TestingT, from, to string) score.SerialRange {
	r, err := score.VINRange(from, to)
	require.NoError(t, err)
	return r
}

func written(t require.TestingT, d *Draft) string {
	var b bytes.Buffer
	require.NoError(t, d.Write(&b))
	return b.String()
}

// fillIn puts values where the draft has blanks, as a person would.
func fillIn(text string) string {
	values := map[string]string{
		"known_since": "2019-05-01", "share_if_unknown": "0.4", "axis": "km", "onset": "{ weibull: { shape: 3.2, scale: 215000 } }",
		"delay": "{ weibull: { shape: 1.8, scale: 42000 } }", "weight": "2", "replacement": "improved", "visit": "engine top", "hours": "0.75",
		"detects": "0.9", "planned_repair": "900", "failure": "5200", "consequence": "money", "vin": "Z9KLA4E27G1200000-Z9KLA4E27G1300000",
		"build_date": "2015-01..2015-06", "model_year": "2015", "vin_serial": "200000-300000", "engine_serial": "KD1000-KD2000", "quantity": "2",
	}
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		key, rest, ok := strings.Cut(strings.TrimPrefix(strings.TrimSpace(l), "- "), ":")
		if ok && strings.HasSuffix(l, FillIn) && strings.HasPrefix(strings.TrimSpace(rest), "#") {
			lines[i] = l[:strings.Index(l, ":")+1] + " " + values[key]
		}
	}
	return strings.Join(lines, "\n")
}

func demoDraft(t require.TestingT) *Draft {
	day := func(text string) score.Day {
		d, _, ok := parseDay(text)
		require.True(t, ok)
		return d
	}
	return &Draft{
		From: []string{"bulletins.csv"},
		Entries: []DraftEntry{
			{ID: "nf-17-004", Name: "High-pressure pump follower (NF-17-004)", System: "fuel injection", Source: "bulletin NF-17-004 (bulletins.csv, row 2)", KnownSince: day("2017-05-02"), PartNo: "KD-1180-B",
				Remarks: []string{"NF-17-004: Northfold; Heron", "Defect: the follower wears: \"knock\" when hot # see page 4"},
				Fits: []DraftFit{{Fit: score.Fit{WMI: []string{"Z9K"}, VIN: []score.SerialRange{vinRangeOf(t, "Z9K******G1200000", "Z9K******G1300000")}}, Remarks: []string{"bulletins.csv, row 2: Northfold Heron"}},
					{Fit: score.Fit{Make: []string{"Northfold"}, Model: []string{"6", "no", "1e9"}, ModelYear: []score.YearRange{{From: 2015, To: 2017}, {From: 2019, To: 2019}}, BuildDate: []score.DayRange{{From: day("2015-03-01"), To: day("2016-02-28")}}}}}},
			{ID: "nf-17-005", Name: "Rack (NF-17-005)", Source: "recall NF-17-005", Fits: []DraftFit{
				{Fit: score.Fit{Make: []string{"Northfold"}, Model: []string{"Teal"}, BuildDate: []score.DayRange{{To: day("2016-02-28")}}}, Blanks: []DraftBlank{{Key: "vin", Why: []string{"VIN from \"x\": reversed"}}}},
				{Fit: score.Fit{Make: []string{"Northfold"}, Model: []string{"Teal"}, BuildDate: []score.DayRange{{From: day("2015-02-28")}}}, Blanks: []DraftBlank{{Key: "engine_serial", Why: []string{"a"}}}},
			}},
		},
		Left: []string{"bulletins.csv, row 9: not drafted: nothing"},
	}
}

// TestDraftIsUnfinished: lint refuses a draft at each of its blanks, with its
// line, and at nothing else; ranges with a blank are not held against each other.
func TestDraftIsUnfinished(t *testing.T) {
	text := written(t, demoDraft(t))
	_, faults := ParseCatalogue("draft.yaml", []byte(text))
	lines := strings.Split(text, "\n")
	var at []int
	for _, f := range faults {
		assert.True(t, f.Blank(), f.Error())
		assert.True(t, strings.HasSuffix(lines[f.Line-1], FillIn), f.Error())
		assert.Contains(t, f.Problem, "has no value")
		at = append(at, f.Line)
	}
	var want []int
	for i, l := range lines {
		if strings.HasSuffix(l, ": "+FillIn) {
			want = append(want, i+1)
		}
	}
	assert.Equal(t, want, at)
	assert.Len(t, want, 12+12+1+1+2, "12 an entry, a quantity, the day that one of them lacks, two ranges to settle")
}

// TestDraftFilledIn: with its blanks filled in, a draft is a catalogue without a
// fault that says what the table said.
func TestDraftFilledIn(t *testing.T) {
	d := demoDraft(t)
	c, faults := ParseCatalogue("draft.yaml", []byte(fillIn(written(t, d))))
	require.NoError(t, faults.Err())
	require.Len(t, c.Parts, 2)
	p := c.Parts[0]
	assert.Equal(t, d.Entries[0].Name, p.Name)
	assert.Equal(t, d.Entries[0].Source, p.Source)
	assert.Equal(t, d.Entries[0].KnownSince, p.KnownSince)
	assert.Equal(t, score.Kit{PartNo: "KD-1180-B", Quantity: 2}, p.Kit)
	require.Len(t, p.Fits, 2)
	for i := range p.Fits {
		assert.Equal(t, d.Entries[0].Fits[i].Fit, p.Fits[i])
	}
}

// TestBlankIsNoFault: only a key without a value is a blank.
func TestBlankIsNoFault(t *testing.T) {
	text := fillIn(written(t, demoDraft(t)))
	for _, c := range []struct{ old, now string }{{"weight: 2", "weight: none"}, {"axis: km", "axes: km"}, {"weight: 2", ""}} {
		_, faults := ParseCatalogue("x.yaml", []byte(strings.Replace(text, c.old, c.now, 1)))
		require.NotEmpty(t, faults)
		for _, f := range faults {
			assert.False(t, f.Blank(), f.Error())
		}
	}
}

// TestDraftHoldsAnyText: whatever stands in the cells of a table, the draft is a
// catalogue whose only faults are its blanks, and its texts read back.
func TestDraftHoldsAnyText(t *testing.T) {
	hard := rapid.SampledFrom([]string{"'", `"`, "\\", "#", ": ", "- ", "\n", "\r\n", "\t", "\x00", "\x1b[2J", "\u0085", "\u2028", "\ufeff", "\u200b", "\u202e", "{", "}", "[", "]", "*", "&a", "!!int ", "%", "@", "`", "|", ">", "---", "...", "<<", "~", "null", "yes", "0x1F", "=1+1", "ﬁ", "日本", "😀", "\xff", "\u0000", "a", "B", "7", " "})
	word := rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(hard, 0, 12).Draw(t, "signs"), "") + rapid.String().Draw(t, "text")
	})
	rapid.Check(t, func(t *rapid.T) {
		d := demoDraft(t)
		e := &d.Entries[0]
		e.Name, e.Source, e.System = "x "+word.Draw(t, "name"), "y "+word.Draw(t, "source"), "z"+word.Draw(t, "system")
		e.Remarks, d.Left, d.From, d.Unused = []string{word.Draw(t, "remark"), ""}, []string{word.Draw(t, "left")}, []string{word.Draw(t, "from")}, []string{word.Draw(t, "column")}
		e.Fits[1].Model, e.Fits[1].Remarks = []string{"m" + word.Draw(t, "model")}, []string{word.Draw(t, "fit")}
		d.Entries[1].Fits[0].Blanks[0].Why, d.Entries[1].Fits[0].Blanks[0].Hints = []string{word.Draw(t, "why")}, []string{word.Draw(t, "hint")}
		text := written(t, d)
		_, faults := ParseCatalogue("x.yaml", []byte(text))
		require.NotEmpty(t, faults)
		for _, f := range faults {
			require.True(t, f.Blank(), "%s\n%s", f.Error(), text)
		}
		require.Len(t, faults, 28)
		c, faults := ParseCatalogue("x.yaml", []byte(fillIn(text)))
		require.NoError(t, faults.Err(), text)
		require.Equal(t, remark(e.Name, mostRemark), c.Parts[0].Name)
	})
}
