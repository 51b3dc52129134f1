package history_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// TestCorrections: what takes an old row's place, and what does not. The days
// are plain numbers; every case is one file a week, named as given.
func TestCorrections(t *testing.T) {
	type file = export
	undatedAt := func(unit string, at float64) row {
		return row{unit: unit, fact: history.Fact{Kind: history.Reading, Key: "vehicle sheet", Undated: true, At: km(at)}}
	}
	for _, c := range []struct {
		name            string
		weeks           [][]file
		live, corrected []string
	}{
		{"a corrected odometer of a repair", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200000, "oil service")}}},
			{{name: "w48.csv", rows: []row{repair("V1", 10, 100000, "oil service")}}},
		}, []string{"10 repair 100000 oil service"}, []string{"10 repair 200000 oil service"}},
		{"a corrected reading of the same day and source", [][]file{
			{{name: "log.csv", rows: []row{reading("V1", 9, 99000), reading("V1", 10, 900000)}}},
			{{name: "log.csv", rows: []row{reading("V1", 9, 99000), reading("V1", 10, 100000)}}},
		}, []string{"10 km 100000 readings", "9 km 99000 readings"}, []string{"10 km 900000 readings"}},
		{"a corrected text that keeps half its words", [][]file{
			{{name: "w.csv", rows: []row{repair("V1", 10, 100, "fuel filter renewed")}}},
			{{name: "w.csv", rows: []row{repair("V1", 10, 100, "fuel filter renewed, pump checked")}}},
		}, []string{"10 repair 100 fuel filter renewed, pump checked"}, []string{"10 repair 100 fuel filter renewed"}},
		{"a further job of the same day is no correction", [][]file{
			{{name: "w.csv", rows: []row{repair("V1", 10, 100, "oil service")}}},
			{{name: "w.csv", rows: []row{repair("V1", 10, 100, "oil service"), repair("V1", 10, 100, "brake pads renewed")}}},
		}, []string{"10 repair 100 brake pads renewed", "10 repair 100 oil service"}, []string{}},
		{"another job of the same day in another export is no correction", [][]file{
			{{name: "north.csv", rows: []row{repair("V1", 10, 100, "oil service")}}},
			{{name: "north.csv", rows: []row{repair("V1", 10, 100, "oil service")}}, {name: "tyres.csv", rows: []row{repair("V1", 10, 100, "tyres changed")}}},
		}, []string{"10 repair 100 oil service", "10 repair 100 tyres changed"}, []string{}},
		{"a corrected day, the odometer being the same", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 100, "oil service"), repair("V1", 20, 200, "tyres changed")}}},
			{{name: "w48.csv", rows: []row{repair("V1", 12, 100, "oil service"), repair("V1", 20, 200, "tyres changed"), repair("V1", 8, 50, "wiper blades")}}},
		}, []string{"12 repair 100 oil service", "20 repair 200 tyres changed", "8 repair 50 wiper blades"}, []string{"10 repair 100 oil service"}},
		{"a day corrected before an export reached back to it", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 100, "oil service"), repair("V1", 45, 300, "tyres changed")}}},
			{{name: "w48.csv", rows: []row{repair("V1", 45, 300, "tyres changed"), repair("V1", 46, 100, "oil service")}}},
			{{name: "w49.csv", rows: []row{repair("V1", 1, 10, "wiper blades"), repair("V1", 45, 300, "tyres changed"), repair("V1", 46, 100, "oil service")}}},
		}, []string{"1 repair 10 wiper blades", "45 repair 300 tyres changed", "46 repair 100 oil service"}, []string{"10 repair 100 oil service"}},
		{"what an export of 30 days no longer holds stays", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 100, "oil service"), repair("V1", 30, 200, "tyres changed")}}},
			{{name: "w48.csv", rows: []row{repair("V1", 30, 200, "tyres changed"), repair("V1", 45, 300, "oil service")}}},
		}, []string{"10 repair 100 oil service", "30 repair 200 tyres changed", "45 repair 300 oil service"}, []string{}},
		{"a row that moves and a file that is renamed bring nothing", [][]file{
			{{name: "a.csv", rows: []row{repair("V1", 10, 100, "oil service"), scan("V1", 10, 100, "P0087")}}},
			{{name: "b.csv", rows: []row{scan("V1", 10, 100, "P0087"), {unit: "V1"}, repair("V1", 10, 100, "oil service")}}},
		}, []string{"10 repair 100 oil service", "10 scan 100 P0087"}, []string{}},
		{"a corrected file under another name, the old one gone", [][]file{
			{{name: "fleet.csv", rows: []row{scan("V1", 10, 100, "P0087")}}},
			{{name: "fleet corrected.csv", rows: []row{scan("V1", 10, 100, "P0088")}}},
		}, []string{"10 scan 100 P0088"}, []string{"10 scan 100 P0087"}},
		{"a corrected file beside the old one", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}},
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}, {name: "w48.csv", rows: []row{repair("V1", 10, 100, "oil service")}}},
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}, {name: "w48.csv", rows: []row{repair("V1", 10, 100, "oil service")}}},
		}, []string{"10 repair 100 oil service"}, []string{"10 repair 200 oil service"}},
		{"the old file read again changes nothing", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}},
			{{name: "w48.csv", rows: []row{repair("V1", 10, 100, "oil service")}}},
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}},
		}, []string{"10 repair 100 oil service"}, []string{"10 repair 200 oil service"}},
		{"a correction that is taken back by a new file", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}},
			{{name: "w48.csv", rows: []row{repair("V1", 10, 100, "oil service")}}},
			{{name: "w49.csv", rows: []row{repair("V1", 10, 200, "oil service"), repair("V1", 11, 300, "tyres changed")}}},
		}, []string{"10 repair 200 oil service", "11 repair 300 tyres changed"}, []string{"10 repair 100 oil service", "10 repair 200 oil service"}},
		{"a row that stood on the wrong vehicle", [][]file{
			{{name: "w47.csv", rows: []row{repair("V1", 10, 100, "pump replaced"), repair("V2", 9, 50, "oil service"), repair("V1", 11, 120, "oil service")}}},
			{{name: "w48.csv", rows: []row{repair("V2", 10, 100, "pump replaced"), repair("V2", 9, 50, "oil service"), repair("V1", 11, 120, "oil service")}}},
		}, []string{"11 repair 120 oil service"}, []string{"10 repair 100 pump replaced"}},
		{"a corrected result of an inspection", [][]file{
			{{name: "pitlist.xlsx", rows: []row{inspection("V1", 10, 100, "pump", "sound")}}},
			{{name: "pitlist.xlsx", rows: []row{inspection("V1", 10, 100, "pump", "worn")}}},
		}, []string{"10 look 100 pump worn"}, []string{"10 look 100 pump sound"}},
		{"results of two parts are two", [][]file{
			{{name: "pitlist.xlsx", rows: []row{inspection("V1", 10, 100, "pump", "sound")}}},
			{{name: "pitlist.xlsx", rows: []row{inspection("V1", 10, 100, "rack", "worn")}}},
		}, []string{"10 look 100 pump sound", "10 look 100 rack worn"}, []string{}},
		{"a standing vehicle on a vehicle sheet is read every week", [][]file{
			{{name: "units.csv", as: true, rows: []row{reading("V1", 10, 100), reading("V2", 5, 7)}}},
			{{name: "units.csv", as: true, rows: []row{reading("V1", 17, 100), reading("V2", 5, 7)}}},
		}, []string{"10 km 100 readings", "17 km 100 readings"}, []string{}},
		{"a remark that stands is as old as its first reading", [][]file{
			{{name: "units.csv", as: true, rows: []row{remark("V1", "knocks when hot")}}},
			{{name: "units.csv", as: true, rows: []row{remark("V1", "knocks when hot"), remark("V2", "x")}}},
			{{name: "units.csv", as: true, rows: []row{remark("V1", "knocks when hot"), remark("V2", "y")}}},
		}, []string{"47 remark knocks when hot"}, []string{}},
		{"a remark that went and came again is two", [][]file{
			{{name: "units.csv", as: true, rows: []row{remark("V1", "knocks when hot")}}},
			{{name: "units.csv", as: true, rows: []row{{unit: "V1"}}}},
			{{name: "units.csv", as: true, rows: []row{remark("V1", "knocks when hot"), remark("V2", "y")}}},
		}, []string{"47 remark knocks when hot", "61 remark knocks when hot"}, []string{}},
		{"an undated odometer that nobody has changed is as old as its first reading", [][]file{
			{{name: "units.csv", as: true, rows: []row{undatedAt("V1", 100)}}},
			{{name: "units.csv", as: true, rows: []row{undatedAt("V1", 100), undatedAt("V2", 5)}}},
			{{name: "units.csv", as: true, rows: []row{undatedAt("V1", 150), undatedAt("V2", 5)}}},
		}, []string{"47 km 100 vehicle sheet", "61 km 150 vehicle sheet"}, []string{}},
		{"an old version that comes late corrects nothing", [][]file{
			{{name: "w48.csv", rows: []row{repair("V1", 10, 100, "oil service"), repair("V1", 20, 300, "tyres changed")}}},
			{{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service")}}},
		}, []string{"10 repair 100 oil service", "10 repair 200 oil service", "20 repair 300 tyres changed"}, []string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBook(t)
			for i, files := range c.weeks {
				b.play(int32(47+7*i), files...)
			}
			assert.Equal(t, c.live, b.live("V1"))
			assert.Equal(t, c.corrected, b.corrected("V1"))
			again := b.play(int32(47+7*len(c.weeks)), c.weeks[len(c.weeks)-1]...)
			assert.Equal(t, c.live, b.live("V1"), "the last week's files once more")
			assert.Zero(t, again.Corrected)
		})
	}
}

// TestRecall: what today's sheets do not give joins, what a later file has
// corrected is dropped, and what was learned later is not known earlier.
func TestRecall(t *testing.T) {
	b := newBook(t)
	wrong := export{name: "w47.csv", rows: []row{repair("V1", 10, 200, "oil service"), scan("V1", 10, 200, "P0087")}}
	b.play(47, wrong)
	k := b.play(54, wrong, export{name: "w48.csv", rows: []row{repair("V1", 10, 100, "oil service"), scan("V1", 50, 210, "")}})
	assert.Equal(t, []int{0}, k.Vehicles[0].Drop, "the wrong row, which the old file still holds")
	assert.Empty(t, k.Vehicles[0].More)

	k = b.play(61, export{name: "w49.csv", rows: []row{{unit: "V1"}}})
	require.Len(t, k.Vehicles[0].More, 3)
	assert.Equal(t, []string{"10 scan 200 P0087", "50 scan 210", "10 repair 100 oil service"},
		[]string{say(*k.Vehicles[0].More[0].Fact), say(*k.Vehicles[0].More[1].Fact), say(*k.Vehicles[0].More[2].Fact)})
	assert.Equal(t, []int32{47, 54, 54}, []int32{k.Vehicles[0].More[0].Learned, k.Vehicles[0].More[1].Learned, k.Vehicles[0].More[2].Learned})

	k = b.play(48, export{name: "w47.csv", rows: []row{{unit: "V1"}}})
	assert.True(t, k.Past)
	require.Len(t, k.Vehicles[0].More, 2)
	assert.Equal(t, "10 repair 200 oil service", say(*k.Vehicles[0].More[1].Fact), "on that day nobody had corrected it")
	k = b.play(46, export{name: "w47.csv", rows: []row{{unit: "V1"}}})
	assert.Empty(t, k.Vehicles[0].More)
	assert.True(t, k.Vehicles[0].New)
}
