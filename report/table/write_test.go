package table_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/table"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/plan"
)

// memory keeps files in memory.
type memory struct {
	mu    sync.Mutex
	files map[string]*bytes.Buffer
}

type closer struct{ io.Writer }

func (closer) Close() error { return nil }

func (m *memory) create(name string) (io.WriteCloser, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	b := &bytes.Buffer{}
	m.files[name] = b
	return closer{b}, nil
}

func written(t *testing.T, d *report.Document) map[string]string {
	t.Helper()
	m := &memory{files: map[string]*bytes.Buffer{}}
	require.NoError(t, table.Write(context.Background(), m.create, d))
	out := map[string]string{}
	for name, b := range m.files {
		out[name] = b.String()
	}
	return out
}

func read(t *testing.T, text string) []map[string]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, head := range rows[0] {
			m[head] = r[i]
		}
		out = append(out, m)
	}
	return out
}

// headers are those of the contract, for the fleet desk.
var headers = map[string]string{
	"worklist.csv": "rank,unit,vin,depot,make,model,model_year,odometer_km,odometer_basis,lead_part,p_worn,p_fail_next_run,p_fail_holding," +
		"worth,cost_of_waiting,hours,cumulative_hours,above_line,stays_above,injury,inspect_before_km,inspect_before_date,change,why," +
		"check_first,check_gain,next_service,open_at_service",
	"kits.csv":         "part,part_no,expected,hold,pieces",
	"other_checks.csv": "unit,vin,part,reason,check",
	"findings.csv": "unit,vin,part,membership,membership_reason,share,axis,distance,p_immune,p_sound,p_worn,p_worn_low,p_worn_high," +
		"p_rectified,fail_next_run,fail_holding,worth,cost_of_waiting,evidence",
	"rejected.csv": "file,sheet,row,column,value,severity,reason,suggestion",
	"vins.csv":     "unit,vin_as_read,vin,finding,country,model_year,suggestion",
	"odometer.csv": "unit,vin,distance_km,basis,readings,finding,detail",
}

func TestFilesHaveTheContractsColumns(t *testing.T) {
	files := written(t, invented.Document())
	assert.Len(t, files, len(headers)+1, "and run.json")
	for name, want := range headers {
		first, _, _ := strings.Cut(files[name], "\n")
		assert.Equal(t, want, first, name)
		assert.NotContains(t, files[name], "\r", "rows end with a line feed alone")
		assert.NotContains(t, files[name], "NaN")
	}
}

func TestSameDocumentSameBytes(t *testing.T) {
	assert.Equal(t, written(t, invented.Document()), written(t, invented.Document()))
}

func TestWorklistRows(t *testing.T) {
	d := invented.Document()
	rows := read(t, written(t, d)["worklist.csv"])
	require.Len(t, rows, d.Length())
	for i, r := range rows {
		assert.Equal(t, strconv.Itoa(i+1), r["rank"], "one row a vehicle, by rank")
	}
	first := rows[2]
	assert.Equal(t, "H-001", first["unit"])
	assert.Equal(t, "pump-follower", first["lead_part"], "programs get the catalogue's id")
	assert.Equal(t, "0.93", first["p_worn"])
	assert.Equal(t, "true", first["above_line"])
	assert.Equal(t, "2026-12-08", first["inspect_before_date"])
	formula := rows[4]
	assert.Equal(t, "'=1+1", formula["unit"], "a unit that would calculate is made safe")
}

func TestNumbersAreUnrounded(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	as[0].Findings[0].State.Worn = 0.123456789012
	as[0].Odometer.KM = 2345678.25
	d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
	files := written(t, d)
	assert.Equal(t, "0.123456789012", read(t, files["findings.csv"])[0]["p_worn"])
	assert.Equal(t, "2345678.25", read(t, files["odometer.csv"])[0]["distance_km"], "plain notation, not 2.3e+06")
}

func TestWhatIsNotKnownIsEmpty(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := invented.List(as)
	l.Rows[0].Stays, l.Rows[0].Before, l.Rows[0].Worth = -1, plan.Before{}, math.NaN()
	files := written(t, report.Compose(invented.Run(fleet), fleet, as, l, c))
	first := read(t, files["worklist.csv"])[0]
	for _, head := range []string{"stays_above", "inspect_before_km", "inspect_before_date", "change"} {
		assert.Empty(t, first[head], head)
	}
	last := read(t, files["odometer.csv"])[invented.Size-1]
	assert.Empty(t, last["distance_km"], "a vehicle without a credible reading")
	assert.Equal(t, string(odometer.None), last["finding"])
	for _, r := range read(t, files["findings.csv"]) {
		if r["unit"] == "H-015" && r["part"] == "pump-follower" {
			assert.Empty(t, r["p_worn"], "a part that awaits its repair is not scored")
		}
	}
}

// TestUnjudgedLotHasNoFigures: of a lot that nothing could be reckoned of, no
// file says that it costs nothing.
func TestUnjudgedLotHasNoFigures(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := plan.List{Offers: []plan.Offer{
		{Assessment: &as[0], Rank: 1, Price: 5000, HasPrice: true, Deduction: 400, BidLimit: 4350, Verdict: plan.TakeLess, Causes: []plan.Cause{{Choice: plan.Choice{Finding: &as[0].Findings[0]}}}},
		{Assessment: &as[1], Rank: 2, Price: 5000, HasPrice: true, Verdict: plan.LookFirst, Unread: []*score.Finding{&as[1].Findings[0]}},
	}}
	run := invented.Run(fleet)
	run.Desk = string(plan.Auction)
	files := written(t, report.Compose(run, fleet, as, l, c))
	rows := read(t, files["worklist.csv"])
	require.Len(t, rows, 2)
	for _, head := range []string{"deduction", "bill_p90", "bid_limit"} {
		assert.NotEmpty(t, rows[0][head], head)
		assert.Empty(t, rows[1][head], head)
	}
	assert.Equal(t, "look first", rows[1]["verdict"])
	bills := read(t, files["bills.csv"])
	require.NotEmpty(t, bills)
	for _, r := range bills {
		assert.Equal(t, as[0].Vehicle.Unit, r["unit"])
	}
}

func TestRejectedRowsComeFirst(t *testing.T) {
	rows := read(t, written(t, invented.Document())["rejected.csv"])
	require.Len(t, rows, 3)
	assert.Equal(t, "rejected", rows[0]["severity"])
	assert.Equal(t, "'-P0087", rows[1]["value"])
	assert.Equal(t, "'\t'=2+5", rows[2]["value"])
}

func TestRunFile(t *testing.T) {
	var got struct {
		Day    string
		Rows   map[string]int
		Inputs []struct {
			SHA256 string
			Sheets []map[string]any
		}
		Depots   []map[string]any
		Warnings []string
	}
	text := written(t, invented.Document())["run.json"]
	require.NoError(t, json.Unmarshal([]byte(text), &got))
	assert.Equal(t, "2026-11-23", got.Day)
	assert.Equal(t, got.Rows["read"], got.Rows["used"]+got.Rows["set_aside"]+got.Rows["rejected"]+got.Rows["merged"]+got.Rows["blank"])
	assert.Equal(t, 156, got.Rows["read"], "36 of one sheet and 120 of the other")
	assert.Equal(t, "ab12", got.Inputs[0].SHA256)
	assert.Equal(t, "Units", got.Inputs[0].Sheets[0]["sheet"])
	assert.Equal(t, 12.5, got.Depots[2]["hours"])
	empty := written(t, report.Compose(report.Run{Day: invented.Today}, &score.Fleet{}, nil, plan.List{}, &score.Catalogue{}))["run.json"]
	assert.NotContains(t, empty, "null", "an empty list is a list")
}

// full is a disk with room for so many bytes a file.
type full struct{ room int }

var errFull = errors.New("no space left on device")

func (f *full) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func (f *full) Close() error { return nil }

func TestFullDiskIsReportedWithTheFile(t *testing.T) {
	err := table.Write(context.Background(), func(string) (io.WriteCloser, error) { return &full{room: 100}, nil }, invented.Document())
	require.ErrorIs(t, err, errFull)
	assert.ErrorContains(t, err, "write worklist.csv")
}

func TestEndedContextStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	m := &memory{files: map[string]*bytes.Buffer{}}
	assert.ErrorIs(t, table.Write(ctx, m.create, invented.Document()), context.Canceled)
	assert.Empty(t, m.files, "nothing is begun")
}
