package ingest

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/phrase"
)

// TestWorkNotDone: yes and no under a heading that asks whether work was done.
func TestWorkNotDone(t *testing.T) {
	r := read(t, textFile(t, "units.csv", "Unit;Model", "U1;Heron"), textFile(t, "work.csv", "Unit;Date;Work;Done?", "U1;2026-03-02;timing chain;N", "U1;2026-03-03;tyres;yes", "U1;2026-03-04;oil;"))
	got := r.vehicle("U1").Repairs
	assert.Equal(t, []phrase.Intent{phrase.Declined, phrase.Done, ""}, []phrase.Intent{got[0].Status, got[1].Status, got[2].Status})
}

// TestPartsOfUnits: a unit is found in a cell that holds more only where nothing
// else can be meant.
func TestPartsOfUnits(t *testing.T) {
	for _, c := range []struct {
		have, row string
		joined    bool
	}{
		{"U1 - Northfold Heron", "U1", true}, {"U1 (Heron)", "U1", true}, {"U1", "U1 - Northfold Heron", true}, {"U1", "U1 - Northfold Teal", false}, {"101", "Unit 101", true},
		{"101", "#101", true}, {"101", "Unit 1011", false}, {"U1 - 2", "U1", false}, {"North - Heron", "North", false}, {"Unit 101", "101", false},
	} {
		r := read(t, textFile(t, "units.csv", "Unit;Model", c.have+";Heron", "U9;Teal"), textFile(t, "work.csv", "Unit;Date;Work", c.row+";2026-03-02;oil service"))
		assert.Equal(t, c.joined, len(r.vehicle(c.have).Repairs) == 1, "%s and %s", c.have, c.row)
	}
	r := read(t, textFile(t, "units.csv", "Unit;Model", "U1 - Heron;Heron", "U1 - Teal;Teal"), textFile(t, "work.csv", "Unit;Date;Work", "U1;2026-03-02;oil service"))
	r.issue("", 2, "unit U1 is on no vehicle sheet")
}

// TestTextCarriedOn: what joins two lines, and the fate of a line whose row is
// not used.
func TestTextCarriedOn(t *testing.T) {
	for _, c := range []struct{ above, below, want string }{
		{"timing chain not", "replaced", "timing chain not replaced"}, {"Oil service.", "Tyres.", "Oil service.\nTyres."}, {"brake pads,", "Rear axle", "brake pads, Rear axle"},
		{"oil service.", "checked tyres", "oil service.\nchecked tyres"},
	} {
		assert.Equal(t, c.want, c.above+joint(c.above, c.below)+c.below)
	}
	r := read(t, textFile(t, "units.csv", "Unit;Model", "U1;Heron"), textFile(t, "work.csv", "Unit;Date;Work", "U9;2026-03-02;oil service", ";;and tyres", "U1;2026-03-03;oil service"))
	assert.Equal(t, []int{1, 2, 0}, []int{r.Sheets[1].Counts.Used, r.Sheets[1].Counts.SetAside, r.Sheets[1].Counts.Merged})
}
