package history_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// TestFollow: which vehicle of the record a vehicle of today's sheets is. Each
// week names the vehicles; the last says which of them the record knows facts
// of, by the mark that the first weeks left.
func TestFollow(t *testing.T) {
	const vinA, vinB = "Z9KHA11B5HK100001", "Z9KHA11B5HK100002"
	named := func(unit, vin string) history.Vehicle { return history.Vehicle{Unit: unit, VIN: vin} }
	for _, c := range []struct {
		name   string
		before []history.Vehicle // week by week, one vehicle each; its mark is the week's number
		today  []history.Vehicle
		marks  [][]string // of each vehicle today
	}{
		{"by VIN, whatever its unit is now", []history.Vehicle{named("V1", vinA)}, []history.Vehicle{named("V9", vinA)}, [][]string{{"0"}}},
		{"by unit where no VIN is given", []history.Vehicle{named("V1", "")}, []history.Vehicle{named("v 1", "")}, [][]string{{"0"}}},
		{"by unit without its leading zeros", []history.Vehicle{named("0012", "")}, []history.Vehicle{named("12.0", "")}, [][]string{{"0"}}},
		{"units that only their zeros tell apart stay apart", []history.Vehicle{named("0012", "")}, []history.Vehicle{named("12", ""), named("0012", "")}, [][]string{nil, {"0"}}},
		{"a VIN that appears later joins", []history.Vehicle{named("V1", ""), named("V1", vinA)}, []history.Vehicle{named("", vinA)}, [][]string{{"0", "1"}}},
		{"a VIN that a later sheet leaves out", []history.Vehicle{named("V1", vinA)}, []history.Vehicle{named("V1", "")}, [][]string{{"0"}}},
		{"a unit that is given to another VIN is another vehicle", []history.Vehicle{named("V1", vinA)}, []history.Vehicle{named("V1", vinB)}, [][]string{nil}},
		{"a unit belongs to whoever bore it last", []history.Vehicle{named("V1", vinA), named("V1", vinB)}, []history.Vehicle{named("V1", "")}, [][]string{{"1"}}},
		{"and the first is still known by its VIN", []history.Vehicle{named("V1", vinA), named("V1", vinB)}, []history.Vehicle{named("V2", vinA), named("V1", vinB)}, [][]string{{"0"}, {"1"}}},
		{"two units that change places keep their VINs", []history.Vehicle{named("V1", vinA), named("V2", vinB)}, []history.Vehicle{named("V1", vinB), named("V2", vinA)}, [][]string{{"1"}, {"0"}}},
		{"by registration where nothing else is given", []history.Vehicle{{Registration: "AB 123"}}, []history.Vehicle{{Registration: "ab123"}}, [][]string{{"0"}}},
		{"a vehicle without any name is never the same", []history.Vehicle{{}}, []history.Vehicle{{}}, [][]string{nil}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBook(t)
			read := func(day int, vehicles []history.Vehicle) *history.Known {
				k, err := b.Recall(t.Context(), &history.Read{Day: int32(day), Sources: []history.Source{{File: "units.csv", SHA256: string(rune('a' + day))}}, Vehicles: vehicles})
				require.NoError(t, err)
				return k
			}
			for i, v := range c.before {
				v.Facts = []history.Fact{{Kind: history.Remark, Undated: true, Day: int32(i), Text: string(rune('0' + i))}}
				require.NoError(t, b.Commit(t.Context(), read(i, []history.Vehicle{v}), &history.Run{Day: int32(i)}))
				require.NoError(t, b.Finish(t.Context()))
			}
			for range 2 { // and the same once what today brings is in the record
				k := read(9, c.today)
				for i, want := range c.marks {
					var got []string
					for _, o := range k.Vehicles[i].More {
						got = append(got, o.Text)
					}
					assert.Equal(t, want, got, "vehicle %d", i)
				}
				require.NoError(t, b.Commit(t.Context(), k, &history.Run{Day: 9}))
				require.NoError(t, b.Finish(t.Context()))
			}
		})
	}
}
