package plan

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// TestKitsAreTheEnumerationOfAllOutcomes: the number of kits needed on small
// lists, by every combination of need and no need.
func TestKitsAreTheEnumerationOfAllOutcomes(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 41))
	for range 200 {
		n := 1 + r.IntN(8)
		var as []score.Assessment
		for range n {
			as = append(as, vehicleGiven(randomGiven(r, 1, 0), false))
		}
		part := as[0].Findings[0].Part
		part.Kit = score.Kit{PartNo: "K", Quantity: 3}
		for i := range as {
			as[i].Findings[0].Part.Kit = part.Kit
		}
		o := hundred(nil)
		o.Kits = Kits{Service: 0.5 + 0.49*r.Float64(), DeliveryDays: 14}
		l := o.Make(as, 1)
		require.Len(t, l.Kits, 1)
		chances := make([]float64, 0, n)
		for i := range l.Rows {
			c := &l.Rows[i].Parts[0]
			f, d := c.Finding, o.Kits.DeliveryDays*c.Finding.UseADay()
			p := f.State.Fail(d)
			if l.Rows[i].Above {
				w, s := f.State.Worn, f.State.Sound
				in := &f.Part.Inspection
				p = w*(in.Detects+(1-in.Detects)*f.State.FailWorn(d)) + s*(in.FalseAlarm+(1-in.FalseAlarm)*f.State.FailSound(d)) + (1-w-s)*in.FalseAlarm
			}
			chances = append(chances, p)
		}
		needed := make([]float64, n+1)
		mean := 0.0
		for set := range 1 << n {
			p, count := 1.0, 0
			for i, c := range chances {
				if set&(1<<i) != 0 {
					p, count = p*c, count+1
				} else {
					p *= 1 - c
				}
			}
			needed[count] += p
			mean += p * float64(count)
		}
		hold, sum := 0, needed[0]
		for sum < o.Kits.Service-1e-12 {
			hold++
			sum += needed[hold]
		}
		k := l.Kits[0]
		assert.Equal(t, hold, k.Hold)
		assert.Equal(t, 3*hold, k.Pieces)
		assert.Equal(t, n, k.Places)
		assert.InDelta(t, mean, k.Expected, 1e-9)
	}
}

func TestKitsOfWhatIsKnown(t *testing.T) {
	o := hundred(nil)
	o.Kits = Kits{Service: 0.95}
	l := o.Make([]score.Assessment{
		vehicleOf(t, "V1", "North", asks{gain: 5000, standing: score.WornFound}),
		vehicleOf(t, "V2", "North", asks{gain: 5, standing: score.AwaitingRepair}),
	}, 1)
	require.Len(t, l.Kits, 1)
	assert.Equal(t, 2, l.Kits[0].Hold, "found worn and found failed are renewed for certain")
}

// TestMoreHourIsTheDifferenceOfTwoBestPackings, by trying every packing.
func TestMoreHourIsTheDifferenceOfTwoBestPackings(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 18))
	worth := 0
	for range 1000 {
		var as []score.Assessment
		for range 1 + r.IntN(5) {
			parts := make([]asks, 1+r.IntN(2))
			for j := range parts {
				gain := 100 + 900*r.Float64()
				parts[j] = asks{hours: 0.25 * float64(1+r.IntN(6)), gain: gain, waiting: gain * r.Float64()}
			}
			as = append(as, vehicleOf(t, "V", "North", parts...))
		}
		hours := 0.25 * float64(r.IntN(16))
		o := hundred(map[string]float64{"North": hours})
		var options [][]option
		for i := range as {
			var list []Choice
			for j := range as[i].Findings {
				list = append(list, o.price(&as[i].Findings[j], occasion{}))
			}
			w, _ := o.newWork(list, occasion{})
			options = append(options, w.options(1000, nil))
		}
		want := search(options, capacity(hours)+4) - search(options, capacity(hours))
		require.InDelta(t, want, o.Make(as, 1).Depots[0].MoreHour, 1e-9)
		if want > 0 {
			worth++
		}
	}
	assert.Greater(t, worth, 300)
}

func TestMoreHourWhereInjuryPartsTakeMoreThanThereIs(t *testing.T) {
	as := []score.Assessment{
		vehicleOf(t, "V1", "North", asks{hours: 3, gain: 900, waiting: 100, injury: true}),
		vehicleOf(t, "V2", "North", asks{hours: 1, gain: 900, waiting: 80}),
	}
	assert.Zero(t, hundred(map[string]float64{"North": 1}).Make(as, 1).Depots[0].MoreHour, "two hours over: one more is used up already")
	assert.InDelta(t, 80, hundred(map[string]float64{"North": 3}).Make(as, 1).Depots[0].MoreHour, 1e-9)
}

// TestServiceBeforeTheNextRunBearsNoSetUp: hours and money of that day.
func TestServiceBeforeTheNextRunBearsNoSetUp(t *testing.T) {
	a := vehicleOf(t, "V", "North", asks{visit: "top", setUp: 0.5, hours: 1, gain: 300, waiting: 50})
	o := hundred(nil)
	o.NextRunDays = 7
	r := o.Make([]score.Assessment{a}, 100).Rows[0]
	assert.Equal(t, 1.5, r.Hours)
	assert.InDelta(t, 300-150, r.Worth, 1e-9)
	assert.Nil(t, r.Service)
	for day, now := range map[score.Day]bool{100: true, 107: true, 108: false, 183: false} {
		a.Vehicle.NextService = day
		r := o.Make([]score.Assessment{a}, 100).Rows[0]
		require.NotNil(t, r.Service, "day %d", day)
		assert.Equal(t, now, r.Service.Now, "day %d", day)
		assert.InDelta(t, 50, r.Service.Saves, 1e-9, "half an hour of set-up")
		assert.Equal(t, 1.0, r.Service.Hours)
		want := 1.5
		if now {
			want = 1
			assert.InDelta(t, 300-100, r.Worth, 1e-9)
		}
		assert.Equal(t, want, r.Hours, "day %d", day)
	}
	for _, day := range []score.Day{99, 184} {
		a.Vehicle.NextService = day
		assert.Nil(t, o.Make([]score.Assessment{a}, 100).Rows[0].Service, "past, or beyond the weeks ahead")
	}
}

// TestLoadByWeek: above the line now, the others by the day on which waiting
// has cost as much as the look.
func TestLoadByWeek(t *testing.T) {
	rows := []Row{
		{Above: true, Hours: 1.5},
		{Hours: 1, Before: Before{Known: true, Day: 100 + 6}},
		{Hours: 2, Before: Before{Known: true, Day: 100 + 7}},
		{Hours: 4, Before: Before{Known: true, Day: 100 + 83}},
		{Hours: 8, Before: Before{Known: true, Day: 100 + 84}},
		{Hours: 8},
		{Above: true, Hours: 1, Service: &Service{Day: 100 + 30, Hours: 0.75, Better: true}},
		{Above: true},
	}
	for i := range rows {
		rows[i].Assessment = &score.Assessment{Vehicle: &score.Vehicle{Depot: "North"}}
	}
	o := hundred(map[string]float64{"North": 5})
	o.NextRunDays = 14
	m := maker{opts: o, day: 100, depots: []*depot{{Depot: Depot{Name: "North", Limited: true, Hours: 5}}}}
	got := m.load(rows)
	require.Len(t, got, 1)
	l := got[0]
	assert.Equal(t, 2.5, l.Weekly, "5 h in two weeks")
	assert.Equal(t, Week{100, 2.5, 2}, l.Weeks[0])
	assert.Equal(t, Week{107, 2, 1}, l.Weeks[1])
	assert.Equal(t, Week{128, 0.75, 1}, l.Weeks[4], "in the week of its service, without set-up")
	assert.Equal(t, Week{177, 4, 1}, l.Weeks[11])
	assert.Equal(t, 2, l.Later, "beyond twelve weeks, or no day known; a repair takes no hours of the list")
}
