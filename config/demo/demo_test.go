package demo

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/config"
	"pitlist/score"
	"pitlist/score/evidence"
)

// cells reads every cell of a workbook, sheet by sheet.
func cells(t *testing.T, data []byte) map[string][][]string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	out := map[string][][]string{}
	for _, sheet := range f.GetSheetList() {
		out[sheet], err = f.GetRows(sheet, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
	}
	return out
}

func TestSameSeedSameBytes(t *testing.T) {
	a, err := Make(Seed)
	require.NoError(t, err)
	b, err := Make(Seed)
	require.NoError(t, err)
	require.Len(t, b.Files, len(a.Files))
	assert.Equal(t, a.Truth, b.Truth)
	assert.Equal(t, a.Planted, b.Planted)
	for i, f := range a.Files {
		require.Equal(t, f.Path, b.Files[i].Path)
		assert.True(t, bytes.Equal(f.Data, b.Files[i].Data), f.Path)
	}
	c, err := Make(Seed + 1)
	require.NoError(t, err)
	assert.NotEqual(t, a.Truth, c.Truth, "another seed, another fleet")
}

// TestPlantedRowsAreWhereTheySay: the row named holds what was planted.
func TestPlantedRowsAreWhereTheySay(t *testing.T) {
	d, err := Make(Seed)
	require.NoError(t, err)
	var register map[string][][]string
	for _, f := range d.Files {
		if f.Path == "register.xlsx" {
			register = cells(t, f.Data)
		}
	}
	seen := 0
	for _, p := range d.Planted {
		if p.File != "register.xlsx" {
			continue
		}
		row := strings.Join(register[p.Sheet][p.Row-1], "|")
		switch p.Kind {
		case "row of totals":
			assert.Contains(t, row, "Total")
		case "impossible date":
			assert.Contains(t, row, "31.02.2025")
		case "model year slip":
			assert.Contains(t, row, "2061")
		default:
			continue
		}
		seen++
	}
	assert.Greater(t, seen, 10)
}

// TestTruthIsTold holds the curves and rates of part.go against those of the
// catalogue with the true curves laid over it.
func TestTruthIsTold(t *testing.T) {
	dir := t.TempDir()
	var files []string
	for _, f := range static() {
		if !strings.HasPrefix(f.Path, "parts/") && f.Path != CurvesName {
			continue
		}
		path := filepath.Join(dir, filepath.Base(f.Path))
		require.NoError(t, os.WriteFile(path, f.Data, 0o600))
		files = append(files, path)
	}
	c, faults, err := config.LoadCatalogue(files)
	require.NoError(t, err)
	require.Empty(t, faults)
	entries := map[string]*score.WeakPart{}
	for i := range c.Parts {
		entries[c.Parts[i].ID] = &c.Parts[i]
	}
	parts := map[string]*part{}
	for _, k := range kinds {
		for _, p := range k.parts {
			parts[p.id] = p
		}
	}
	require.Len(t, parts, len(entries))
	for id, p := range parts {
		t.Run(id, func(t *testing.T) { sameTruth(t, entries[id], p) })
	}
}

func sameTruth(t *testing.T, e *score.WeakPart, p *part) {
	require.NotNil(t, e)
	assert.Equal(t, e.Onset, p.onset)
	assert.Equal(t, e.Delay, p.delay)
	assert.Equal(t, e.Axis == score.ByHours, p.byHours)
	assert.Equal(t, e.Replacement == "improved", p.improved)
	assert.Equal(t, [2]float64{e.Inspection.Detects, e.Inspection.FalseAlarm}, [2]float64{p.detects, p.falseFind})
	plain := 0
	for _, g := range e.Evidence {
		for _, r := range g.Rules {
			switch {
			case len(r.CameBackAfter) > 0:
				assert.Equal(t, [2]float64{r.Worn, r.NotWorn}, [2]float64{p.codes.backWorn, p.codes.backNo})
			case !r.Codes.Empty():
				own := p.codes.rules[plain]
				assert.Equal(t, [3]float64{r.Worn, r.NotWorn, r.KMToSet}, [3]float64{own.worn, own.no, p.codes.toSet})
				plain++
			case len(r.Words) > 0:
				assert.Equal(t, [2]float64{r.Worn, r.NotWorn}, [2]float64{p.words.worn, p.words.no})
				assert.Equal(t, evidence.Counts, g.Absent, "the defect sheet is always filled")
			case r.Over != nil:
				assert.Equal(t, [3]float64{*r.Over, r.Worn, r.NotWorn}, [3]float64{p.measure.limit, p.measure.overWorn, p.measure.over})
			default:
				assert.InDelta(t, 1-p.measure.overWorn, r.Worn, 1e-12)
				assert.InDelta(t, 1-p.measure.over, r.NotWorn, 1e-12)
			}
		}
	}
	assert.Len(t, p.codes.rules, plain)
}

// TestCheckDigit uses a published example: 1M8GDM9AXKP042788, the VIN worked
// through in the encyclopaedia's article on VINs.
func TestCheckDigit(t *testing.T) {
	assert.Equal(t, "X", checkDigit("1M8GDM9A0KP042788"))
	assert.Equal(t, "1", checkDigit("11111111011111111"), "17 ones pass the arithmetic of 49 CFR 565.15")
}

func TestLives(t *testing.T) {
	for _, v := range drawFleet(Seed) {
		assert.Len(t, v.vin, 17)
		assert.GreaterOrEqual(t, v.recordsFrom, v.inService)
		for _, r := range v.repairs {
			assert.GreaterOrEqual(t, r.day, v.recordsFrom, "no record before the records begin")
			assert.Less(t, r.day, today)
		}
		for _, l := range v.lives {
			now := v.at(l.part, today)
			assert.Equal(t, l.state == Worn, l.wornAt(now), "%s %s", v.unit, l.part.id)
			if !l.member {
				assert.Contains(t, []State{Immune, Improved}, l.state)
			}
			for _, s := range l.spans {
				assert.Less(t, s.from, s.to)
			}
		}
	}
}

func BenchmarkMake(b *testing.B) {
	for b.Loop() {
		if _, err := Make(Seed); err != nil {
			b.Fatal(err)
		}
	}
}
