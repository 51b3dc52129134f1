package history_test

import (
	"context"
	"database/sql"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// answers makes a row the answer to a part of a list.
func answers(list string, r row) row {
	r.fact.Answers = list
	return r
}

// undated takes a row's day away.
func undated(r row) row {
	r.fact.Undated = true
	return r
}

// without takes a row's odometer away.
func without(r row) row {
	r.fact.At = history.Number{}
	return r
}

// TestAnswers: lists come back more than once, corrected, completed, under other
// names and in other bytes. What answers one part of one list counts once, and
// the last that came holds. Weeks are days 47, 54, 61 …
func TestAnswers(t *testing.T) {
	type file = export
	units := file{name: "units.csv", as: true, rows: []row{{unit: "V1"}, {unit: "V2"}}}
	for _, c := range []struct {
		name            string
		weeks           [][]file
		live, corrected []string
	}{
		{"finding and day put right, in the same file", [][]file{
			{{name: "back.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "worn"))}}},
			{{name: "back.xlsx", rows: []row{answers("w47", inspection("V1", 49, 110, "pump", "sound"))}}},
		}, []string{"49 look 110 pump sound"}, []string{"48 look 100 pump worn"}},
		{"in another file, the first no longer there", [][]file{
			{{name: "from Ann.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "worn"))}}},
			{{name: "from Bo.xlsx", rows: []row{answers("w47", inspection("V1", 49, 110, "pump", "sound"))}}},
		}, []string{"49 look 110 pump sound"}, []string{"48 look 100 pump worn"}},
		{"completed with its day and odometer", [][]file{
			{{name: "a.xlsx", rows: []row{answers("w47", undated(without(inspection("V1", 0, 0, "pump", "sound"))))}}},
			{{name: "b.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "sound"))}}},
		}, []string{"48 look 100 pump sound"}, []string{"47 look pump sound"}},
		{"a copy that says less comes later", [][]file{
			{{name: "a.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "sound"))}}},
			{{name: "b.xlsx", rows: []row{answers("w47", undated(without(inspection("V1", 0, 0, "pump", "sound"))))}}},
		}, []string{"48 look 100 pump sound"}, []string{}},
		{"without a day, saved anew a year later", [][]file{
			{{name: "a.xlsx", rows: []row{answers("w47", undated(without(inspection("V1", 0, 0, "pump", "sound"))))}}},
			{units},
			{units},
			{{name: "b.xlsx", rows: []row{answers("w47", undated(without(inspection("V1", 0, 0, "pump", "sound")))), {unit: "V2"}}}},
		}, []string{"47 look pump sound"}, []string{}},
		{"the next list, answered alike, is another look", [][]file{
			{{name: "a.xlsx", rows: []row{answers("w47", undated(without(inspection("V1", 0, 0, "pump", "sound"))))}}},
			{{name: "b.xlsx", rows: []row{answers("w54", undated(without(inspection("V1", 0, 0, "pump", "sound"))))}}},
		}, []string{"47 look pump sound", "54 look pump sound"}, []string{}},
		{"two lists answered on one day in files of one name", [][]file{
			{{name: "back 47.xlsx", rows: []row{answers("w47", inspection("V1", 54, 100, "pump", "sound"))}}},
			{{name: "back 54.xlsx", rows: []row{answers("w54", inspection("V1", 54, 101, "pump", "worn"))}}},
		}, []string{"54 look 100 pump sound", "54 look 101 pump worn"}, []string{}},
		{"work that goes on in more words", [][]file{
			{{name: "a.xlsx", rows: []row{answers("w47", repair("V1", 48, 100, "pump"))}}},
			{{name: "b.xlsx", rows: []row{answers("w47", repair("V1", 48, 100, "pump and lines renewed, bled"))}}},
			{{name: "c.xlsx", rows: []row{answers("w47", repair("V1", 48, 100, "pump and lines"))}}},
		}, []string{"48 repair 100 pump and lines renewed, bled"}, []string{"48 repair 100 pump"}},
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

// TestAnswerThatSaysLess is left out beside the fuller one that is remembered.
func TestAnswerThatSaysLess(t *testing.T) {
	b := newBook(t)
	b.play(47, export{name: "a.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "sound"))}})
	k := b.play(54, export{name: "b.xlsx", rows: []row{answers("w47", undated(without(inspection("V1", 0, 0, "pump", "sound"))))}})
	assert.Equal(t, []int{0}, k.Vehicles[0].Less)
	require.Len(t, k.Vehicles[0].More, 1)
	assert.Equal(t, "48 look 100 pump sound", say(*k.Vehicles[0].More[0].Fact))
}

// TestDisputed: while copies of an answer contradict each other nothing of it
// is recalled, and the record keeps it; the copy that stays then holds, though
// its file was read before.
func TestDisputed(t *testing.T) {
	b := newBook(t)
	b.play(47, export{name: "a.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "worn"))}})
	other := export{name: "b.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "sound"))}}
	dispute := readOf(54, export{name: "b.xlsx", rows: []row{{unit: "V1"}}})
	dispute.Sources[0].SHA256, dispute.Disputed = other.sha(), []string{"w47"}
	k, err := b.Recall(t.Context(), dispute)
	require.NoError(t, err)
	require.NoError(t, b.Commit(t.Context(), k, &history.Run{Day: 54, Name: "54"}))
	require.NoError(t, b.Finish(t.Context()))
	assert.Empty(t, k.Vehicles[0].More)
	assert.Equal(t, []string{"48 look 100 pump worn"}, b.live("V1"), "the record has it still")

	b.play(61, other)
	assert.Equal(t, []string{"48 look 100 pump sound"}, b.live("V1"))
	assert.Equal(t, []string{"48 look 100 pump worn"}, b.corrected("V1"))
}

// TestReturnedSinceTheVehicleIsKnown: the looks of earlier years that a vehicle
// brings along are no results of a list, in the first week or when a depot joins.
func TestReturnedSinceTheVehicleIsKnown(t *testing.T) {
	b := newBook(t)
	old := export{name: "looks.csv", rows: []row{inspection("V1", 10, 50, "pump", "worn"), inspection("V1", 20, 60, "pump", "sound")}}
	assert.Zero(t, b.play(47, old).Returned())
	old.rows = append(old.rows, inspection("V1", 48, 100, "pump", "worn"), inspection("V1", 49, 100, "rack", "not opened"), inspection("V1", 30, 70, "rack", "worn"))
	joins := export{name: "skarvik.csv", rows: []row{inspection("V2", 12, 50, "pump", "worn"), inspection("V2", 53, 60, "pump", "sound")}}
	k := b.play(54, old, joins)
	assert.Equal(t, history.Tally{Opened: 1, Hits: 1}, k.Returned(), "the one look since, and not the one of day 30 that was found in a drawer")
	was, err := b.Before(t.Context(), k)
	require.NoError(t, err)
	assert.Zero(t, was.Results, "the first week")
	joins.rows = append(joins.rows, inspection("V2", 55, 60, "pump", "sound"))
	k = b.play(61, old, joins)
	assert.Equal(t, history.Tally{Opened: 1}, k.Returned())
	was, err = b.Before(t.Context(), k)
	require.NoError(t, err)
	assert.Equal(t, history.Tally{Opened: 1, Hits: 1}, was.Results, "as the week before had it")
}

// TestAnswerTakenBack: a run that did not happen leaves nothing of its answers,
// and what stood before holds.
func TestAnswerTakenBack(t *testing.T) {
	b := newBook(t)
	b.play(47, export{name: "a.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "worn"))}})
	corrected := export{name: "b.xlsx", rows: []row{answers("w47", inspection("V1", 49, 100, "pump", "sound"))}}
	k, err := b.Recall(t.Context(), readOf(54, corrected))
	require.NoError(t, err)
	require.NoError(t, b.Commit(t.Context(), k, &history.Run{Day: 54, Name: "54"}))
	require.NoError(t, b.TakeBack(t.Context()))
	assert.Equal(t, []string{"48 look 100 pump worn"}, b.live("V1"))
	b.play(54, corrected)
	assert.Equal(t, []string{"49 look 100 pump sound"}, b.live("V1"))
}

// TestVersion2Learns: facts of a record that did not keep what they answer yet
// are told by a list that is read once more, and then corrected as others.
func TestVersion2Learns(t *testing.T) {
	b := newBook(t)
	first := export{name: "a.xlsx", rows: []row{answers("w47", inspection("V1", 48, 100, "pump", "worn"))}}
	b.play(47, first)
	require.Equal(t, 1, b.answersKept(t, "DELETE FROM answer"), "as version 2 has it")
	b.play(54, first)
	require.Equal(t, 1, b.answersKept(t, ""))
	b.play(61, export{name: "b.xlsx", rows: []row{answers("w47", inspection("V1", 49, 100, "pump", "sound"))}})
	assert.Equal(t, []string{"49 look 100 pump sound"}, b.live("V1"))
}

// answersKept counts the record's answers, then runs a statement on it.
func (b *book) answersKept(t *testing.T, then string) (n int) {
	t.Helper()
	db, err := sql.Open("sqlite", b.path)
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.QueryRow("SELECT count(*) FROM answer").Scan(&n))
	_, err = db.ExecContext(context.Background(), then)
	require.NoError(t, err)
	return n
}
