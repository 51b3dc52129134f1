package score

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pastOf reads what happened to the invented pump follower.
func pastOf(t *testing.T, v Vehicle) []Happening {
	t.Helper()
	c := inventedParts(t)
	p := &c.Parts[0]
	p.KnownSince = dayOfRun + 400
	p.Called = []string{"follower"}
	p.Repairs.Planned, p.Repairs.Failed = []string{"as a precaution"}, []string{"follower seized"}
	sc, err := NewScorer(c, Settings{Day: dayOfRun, RecordsFrom: RecordsNew})
	require.NoError(t, err)
	v.Readings = []Reading{{Day: dayOfRun - 700, KM: 1000}, {Day: dayOfRun - 1, KM: 140e3}}
	out, err := sc.PastAll(context.Background(), []Vehicle{v})
	require.NoError(t, err)
	return out[0]
}

func TestPastAll(t *testing.T) {
	line := func(day Day, text string) Vehicle {
		return Vehicle{Repairs: []Repair{{Day: day, Text: text, Ref: Ref{1, 5}}}}
	}
	looked := func(r Result) Vehicle {
		return Vehicle{Inspections: []Inspection{{Day: dayOfRun - 9, Part: "pump-follower", Result: r}}}
	}
	type is struct {
		kind            FactKind
		failed, planned bool
	}
	for _, k := range []struct {
		name string
		v    Vehicle
		want []is
	}{
		{"a renewal whose text says that the part had failed is a failure", line(dayOfRun-9, "Follower seized, pump follower replaced"), []is{{FactRenewed, true, false}}},
		{"one that says it came first is planned", line(dayOfRun-9, "pump follower replaced as a precaution"), []is{{FactRenewed, false, true}}},
		{"failed outweighs planned", line(dayOfRun-9, "follower seized, pump follower replaced, other one as a precaution"), []is{{FactRenewed, true, false}}},
		{"one that says neither is of unknown cause", line(dayOfRun-9, "pump follower replaced"), []is{{FactRenewed, false, false}}},
		{"failed words without a renewal are a finding, no failure yet", line(dayOfRun-9, "follower seized"), []is{{FactFoundWorn, false, false}}},
		{"an inspection found it failed", looked(FoundFailed), []is{{FactFailed, true, false}}},
		{"found worn", looked(FoundWorn), []is{{FactFoundWorn, false, false}}},
		{"found sound", looked(FoundSound), []is{{FactClean, false, false}}},
		{"not opened says nothing", looked(NotOpened), nil},
		{"what two columns of a row say of one look is one look", Vehicle{
			Repairs: []Repair{{Day: dayOfRun - 9, Text: "pump follower inspected, no wear found", Ref: Ref{1, 5}}, {Day: dayOfRun - 9, Text: "pump follower inspected, no wear found", Ref: Ref{1, 6}}},
			Remarks: []Remark{{Day: dayOfRun - 9, Text: "follower checked, OK", Ref: Ref{1, 5}}},
		}, []is{{FactClean, false, false}, {FactClean, false, false}}},
		{"what is later than the scorer's day has not happened", line(dayOfRun+1, "pump follower replaced"), nil},
		{"a row without a day of its own says nothing", Vehicle{Repairs: []Repair{{Day: dayOfRun - 9, Text: "pump follower replaced", Undated: true}}}, nil},
	} {
		t.Run(k.name, func(t *testing.T) {
			var got []is
			for _, h := range pastOf(t, k.v) {
				got = append(got, is{h.Kind, h.Failed, h.Planned})
			}
			assert.Equal(t, k.want, got)
		})
	}
}

// TestOn: a scorer for another day judges as one that was made for it.
func TestOn(t *testing.T) {
	c := inventedParts(t)
	c.Parts[1].KnownSince = dayOfRun - 100
	s := Settings{Day: dayOfRun, NextRunDays: 7, HoldingKM: 60e3, DefaultKMPerWeek: 450, RecordsFrom: RecordsNew}
	sc, err := NewScorer(c, s)
	require.NoError(t, err)
	v := Vehicle{Model: "Heron", Readings: []Reading{{Day: dayOfRun - 700, KM: 1000}, {Day: dayOfRun - 300, KM: 90e3}}}
	for _, day := range []Day{dayOfRun - 101, dayOfRun - 100, dayOfRun} {
		s.Day = day
		own, err := NewScorer(c, s)
		require.NoError(t, err)
		want, got := own.Assess(&v), sc.On(day).Assess(&v)
		assert.Len(t, got.Findings, map[bool]int{true: 1, false: 2}[day < c.Parts[1].KnownSince])
		require.Len(t, got.Findings, len(want.Findings))
		for i := range want.Findings {
			assert.Equal(t, want.Findings[i].State.Worn, got.Findings[i].State.Worn)
		}
		assert.Equal(t, want.Odometer, got.Odometer)
	}
}
