package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/plan"
)

// Facts of the trade, as whole small runs: what a workshop knows without
// looking it up must come out of the list's order and words. Each fact is
// common practice, no source. Makes, parts and figures are invented.

// tradeJob is the job of every small run; %s is what records_from says.
const tradeJob = `
job: small
inputs: [ { path: "*.csv" } ]
catalogue: [parts.yaml]
market: eu
usage: { next_run_days: 7, holding_km: 60000, default_km_per_week: 450 }
money: { currency: EUR, bay_hour: 95, off_road_day: 0 }
records_from: %s
`

// entry writes a catalogue entry: its own lines, then what all share.
func entry(lines string) string {
	return strings.TrimRight(lines, "\n") + `
    system: invented
    source: "Invented for the tests"
    reviewed: 2026-10-01
    known_since: 2012-01-01
    share_if_unknown: 0.5
    axis: km
    onset: { weibull: { shape: 2.8, scale: 170000 } }
    delay: { weibull: { shape: 1.6, scale: 33000 } }
    weight: 200
    replacement: improved
    inspection: { visit: engine, set_up_hours: 0.25, hours: 1, detects: 0.9, false_alarm: 0.01, steps: [look], cautions: [care] }
    costs: { planned_repair: 1900, failure: 9400, off_road_days: 0 }
    consequence: money
`
}

// pump is the leading part of most runs: not a timing drive.
var pump = entry(`
  - id: pump-follower
    name: high-pressure pump follower
    fits: [ { model: [Heron], engine_serial: HR720000-HR761000 } ]
    called: ["pump follower"]
    evidence:
      - group: rail pressure
        rules:
          - { came_back_after: ["rail pressure sensor"], codes: { any: [P0087, P0191] }, worn: 0.45, not_worn: 0.004 }
          - { codes: { any: [P0087, P0191] }, worn: 0.5, not_worn: 0.02, km_to_set: 220, outside: "check the rail pressure sensor and its wiring first" }
      - { group: filter, rules: [ { words: ["metal in fuel filter"], worn: 0.4, not_worn: 0.01 } ] }
    repairs: { renews: ["pump follower replaced, revised part"], treats: ["rail pressure sensor"] }
`)

// valveDrive is a drive whose far bank shows wear before its near one.
var valveDrive = entry(`
  - id: valve-drive
    name: valve drive link set
    fits: [ { model: [Heron] } ]
    evidence:
      - group: far bank
        rules:
          - { codes: { all: [P0018, P0019] }, worn: 0.3, not_worn: 0.002, km_to_set: 150 }
          - { codes: { any: [P0018, P0019] }, worn: 0.3, not_worn: 0.02, km_to_set: 150 }
      - group: near bank
        rules:
          - { codes: { all: [P0016, P0017] }, worn: 0.15, not_worn: 0.002, km_to_set: 150 }
          - { codes: { any: [P0016, P0017] }, worn: 0.1, not_worn: 0.02, km_to_set: 150 }
    repairs: { renews: ["valve drive renewed, revised links"], treats: ["cam sensor"] }
`)

// small runs a job over sheets as a user would write them; the day of the run
// is 25 November 2026.
func small(t *testing.T, parts, records string, sheets map[string]string) *batch {
	t.Helper()
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(strings.TrimLeft(text, "\n")), 0o666))
	}
	write("job.yaml", fmt.Sprintf(tradeJob, records))
	write("parts.yaml", "parts:\n"+strings.TrimLeft(parts, "\n"))
	for name, text := range sheets {
		write(name+".csv", text)
	}
	b := judged(t, filepath.Join(dir, "job.yaml"), "2026-11-25")
	for _, i := range b.read.Fleet.Issues {
		assert.NotEqual(t, score.Rejected, i.Severity, "a row was rejected: %+v", i)
	}
	return b
}

// herons is a vehicle sheet of like vehicles, all inside the pump's range.
func herons(units ...string) string {
	s := "unit,model,engine_serial,odometer,odometer_date\n"
	for i, u := range units {
		s += fmt.Sprintf("%s,Heron,HR73%04d,140000,2026-11-24\n", u, i)
	}
	return s
}

// story is what a user finds of one vehicle: its place on the list, its lead
// part's chance of being worn, its reason.
type story struct {
	*plan.Row
	worn, rectified float64
	why             string
}

func storyOf(t *testing.T, b *batch, unit string) story {
	t.Helper()
	for i := range b.list.Rows {
		r := &b.list.Rows[i]
		if r.Assessment.Vehicle.Unit == unit {
			s := r.Lead.Finding.State
			return story{r, s.Worn, s.Rectified, report.Why(r).String()}
		}
	}
	t.Fatalf("%s is not on the list", unit)
	return story{}
}

func TestTradeTwoCodesOfOneBankSpeakForTheDrive(t *testing.T) {
	b := small(t, valveDrive, "new", map[string]string{"fleet": herons("BOTH", "ONE", "NONE"), "codes": `
unit,date,codes,odometer,km_since_clear
BOTH,2026-11-24,P0016 P0017,140000,3000
ONE,2026-11-24,P0016,140000,3000
NONE,2026-11-24,none,140000,3000
`})
	both, one, none := storyOf(t, b, "BOTH"), storyOf(t, b, "ONE"), storyOf(t, b, "NONE")
	assert.Equal(t, []int{1, 2, 3}, []int{both.Rank, one.Rank, none.Rank})
	oddsOf := func(p float64) float64 { return p / (1 - p) }
	assert.Greater(t, oddsOf(both.worn), 10*oddsOf(one.worn), "one code alone may well be its sensor")
	assert.Contains(t, both.why, "P0016 and P0017 read on")
	assert.Contains(t, one.why, "P0016 read on")
}

func TestTradeCodesBackAfterTheSensorAreFarMoreSuspect(t *testing.T) {
	b := small(t, pump, "new", map[string]string{"fleet": herons("BACK", "FIRST", "SWAPPED"), "codes": `
unit,date,codes,odometer,km_since_clear
BACK,2026-11-24,P0087,140000,1200
FIRST,2026-11-24,P0087,140000,1200
SWAPPED,2026-11-24,none,140000,1200
`, "repairs": `
unit,date,odometer,text,status
BACK,2026-11-01,138800,rail pressure sensor replaced and codes erased,done
SWAPPED,2026-11-01,138800,rail pressure sensor replaced and codes erased,done
`})
	back, first, swapped := storyOf(t, b, "BACK"), storyOf(t, b, "FIRST"), storyOf(t, b, "SWAPPED")
	assert.Equal(t, []int{1, 2, 3}, []int{back.Rank, first.Rank, swapped.Rank})
	assert.Greater(t, back.worn/(1-back.worn), 3*first.worn/(1-first.worn))
	assert.Contains(t, back.why, "P0087 came back 23 days and 1,200 km after “rail pressure sensor replaced and codes erased”")
	assert.NotContains(t, first.why, "came back")
}

func TestTradeCleanScanJustAfterAnEraseProvesNothing(t *testing.T) {
	b := small(t, pump, "new", map[string]string{"fleet": herons("JUST", "LONG", "UNSCANNED"), "codes": `
unit,date,codes,odometer,km_since_clear
JUST,2026-11-24,none,140000,4
LONG,2026-11-24,none,140000,2500
UNSCANNED,2026-11-24,,140000,
`})
	just, long, unscanned := storyOf(t, b, "JUST"), storyOf(t, b, "LONG"), storyOf(t, b, "UNSCANNED")
	assert.InEpsilon(t, unscanned.worn, just.worn, 0.01, "as good as not scanned")
	assert.Less(t, just.worn, unscanned.worn)
	assert.Less(t, long.worn, 0.7*unscanned.worn)
	assert.Equal(t, 3, long.Rank)
	assert.Contains(t, just.why, "only 4 km after an erase, says almost nothing")
	assert.NotContains(t, long.why, "almost nothing")
}

func TestTradeNoMetalInTheFilterDoesNotClearThePart(t *testing.T) {
	b := small(t, pump, "new", map[string]string{"fleet": herons("CLEAN", "UNSAID", "METAL"), "repairs": `
unit,date,odometer,text,status
CLEAN,2026-11-20,139900,"service done, no metal in fuel filter",done
UNSAID,2026-11-20,139900,service done,done
METAL,2026-11-20,139900,"service done, metal in fuel filter",done
`})
	clean, unsaid, metal := storyOf(t, b, "CLEAN"), storyOf(t, b, "UNSAID"), storyOf(t, b, "METAL")
	assert.Equal(t, unsaid.worn, clean.worn, "not seen is not the same as not there")
	assert.Greater(t, metal.worn, 1.5*clean.worn)
	assert.Equal(t, 1, metal.Rank)
	assert.Contains(t, metal.why, "metal in fuel filter")
	assert.NotContains(t, clean.why, "metal")
}

func TestTradeSingleCodeOutsideTheRangeAsksForTheCheapCheckFirst(t *testing.T) {
	fleet := herons("INSIDE") + "OUTSIDE,Heron,HR799000,140000,2026-11-24\n"
	b := small(t, pump, "new", map[string]string{"fleet": fleet, "codes": `
unit,date,codes,odometer,km_since_clear
INSIDE,2026-11-24,P0087,140000,3000
OUTSIDE,2026-11-24,P0087,140000,3000
`})
	assert.Equal(t, 1, storyOf(t, b, "INSIDE").Rank)
	assert.Len(t, b.list.Rows, 1, "outside the range it takes no place on the list")
	doc := report.Compose(b.run("x"), b.read.Fleet, b.assessed, b.list, b.catalogue)
	var of []report.CheckRow
	for c := range doc.OtherChecks() {
		if c.Part != "" { // a code that is critical by itself stands there too
			of = append(of, c)
		}
	}
	require.Len(t, of, 1)
	assert.Equal(t, "OUTSIDE", of[0].Unit)
	assert.Equal(t, "check the rail pressure sensor and its wiring first", of[0].Check.String())
	assert.Contains(t, of[0].Reason.String(), "P0087 stored")
	assert.Contains(t, of[0].Reason.String(), "engine serial HR799000 lies outside HR720000-HR761000")
}

func TestTradeHighMileageWithoutHistoryMayHaveBeenPutRight(t *testing.T) {
	old := "unit,model,engine_serial,odometer,odometer_date,history_from_km\n" +
		"BOUGHT,Heron,HR730001,260000,2026-11-24,\nKEPT,Heron,HR730002,260000,2026-11-24,0\n"
	b := small(t, pump, "none", map[string]string{"fleet": old})
	bought, kept := storyOf(t, b, "BOUGHT"), storyOf(t, b, "KEPT")
	assert.Greater(t, bought.rectified, 0.5, "most that ran so far have failed, out of sight")
	assert.Less(t, bought.worn, kept.worn)
	assert.Zero(t, kept.rectified)
	assert.Contains(t, bought.why, "km: it may have been put right already")
	assert.NotContains(t, kept.why, "put right already")
}

func TestTradeWearShowsOnTheFarBankFirst(t *testing.T) {
	b := small(t, valveDrive, "new", map[string]string{"fleet": herons("NEAR", "FAR"), "codes": `
unit,date,codes,odometer,km_since_clear
NEAR,2026-11-24,P0016,140000,3000
FAR,2026-11-24,P0018,140000,3000
`})
	near, far := storyOf(t, b, "NEAR"), storyOf(t, b, "FAR")
	assert.Equal(t, 1, far.Rank, "the same code is the stronger sign on the bank farther along the drive")
	assert.Greater(t, far.worn, near.worn)
	assert.Contains(t, far.why, "P0018")
}
