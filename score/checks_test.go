package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/phrase"
	"pitlist/score/say"
)

// checksOf judges a Crane, which no entry of the invented catalogue concerns.
func checksOf(t *testing.T, v Vehicle) []OtherCheck {
	t.Helper()
	if v.Model == "" {
		v.Model = "Crane"
	}
	v.Readings = []Reading{{Day: dayOfRun - 1, KM: 140e3, Unit: "km"}}
	for i := range v.Repairs {
		v.Repairs[i].Ref = Ref{1, int32(i + 1)}
	}
	return scorerOf(t, 0, RecordsNew).Assess(&v).Checks
}

// TestDangerWording: wording of danger asks for a look today until a later
// repair that was done answers it (common practice, no source).
func TestDangerWording(t *testing.T) {
	line := func(day Day, text string) Repair { return Repair{Day: dayOfRun - 30 + day, Text: text} }
	declined := line(5, "brake hose replaced")
	declined.Status = phrase.Declined
	for _, k := range []struct {
		name  string
		lines []Repair
		want  int
	}{
		{"nothing answers it", []Repair{line(0, "brake fluid leak")}, 1},
		{"a later repair of it does", []Repair{line(0, "brake fluid leak"), line(5, "brake hose replaced")}, 0},
		{"an earlier one does not", []Repair{line(0, "brake hose replaced"), line(5, "brake fluid leak")}, 1},
		{"a repair of something else does not", []Repair{line(0, "brake fluid leak"), line(5, "wiper blades replaced")}, 1},
		{"a declined one answers nothing", []Repair{line(0, "brake fluid leak"), declined}, 1},
		{"nor one that the text says was declined", []Repair{line(0, "brake fluid leak"), line(5, "customer declined brake repair")}, 1},
		{"nor one that is only advised", []Repair{line(0, "brake fluid leak"), line(5, "recommend brake hose to be replaced")}, 1},
		{"a look without work answers nothing", []Repair{line(0, "brake fluid leak"), line(5, "brakes looked at")}, 1},
		{"denied wording is no danger", []Repair{line(0, "no brake fluid leak found")}, 0},
		{"good oil pressure is no danger", []Repair{line(0, "no oil leak, pressure good")}, 0},
		{"German", []Repair{line(0, "Radmuttern lose")}, 1},
		{"German, answered", []Repair{line(0, "Radmuttern lose"), line(5, "Radmuttern ersetzt")}, 0},
		{"answered in another language", []Repair{line(0, "fuel leak"), line(5, "Kraftstoffleitung erneuert")}, 0},
		{"a radiator is no wheel", []Repair{line(0, "wheel loose"), line(5, "radiator replaced")}, 1},
		{"a coil is no oil", []Repair{line(0, "oil pressure light on"), line(5, "coil replaced")}, 1},
	} {
		t.Run(k.name, func(t *testing.T) {
			got := checksOf(t, Vehicle{Repairs: k.lines})
			require.Len(t, got, k.want, "%+v", got)
			for _, c := range got {
				assert.True(t, c.Today)
				assert.Nil(t, c.Part)
				assert.NotEmpty(t, c.Check)
			}
		})
	}
}

// TestDangerIsQuotedAsItWasWritten: in the writer's words, typing slips and
// language with them, whatever language the list is in.
func TestDangerIsQuotedAsItWasWritten(t *testing.T) {
	for text, want := range map[string][2]string{
		"Driver: Brake pedall to floor, urgent": {`"Brake pedall to floor" noted on 5 Aug 2026: Driver: Brake pedall to floor, urgent`, `anotado "Brake pedall to floor" el 5 ago 2026: Driver: Brake pedall to floor, urgent`},
		"taller: OLOR A  QUEMADO":               {`"OLOR A  QUEMADO" noted on 5 Aug 2026: taller: OLOR A  QUEMADO`, `anotado "OLOR A  QUEMADO" el 5 ago 2026: taller: OLOR A  QUEMADO`},
	} {
		got := checksOf(t, Vehicle{Repairs: []Repair{{Day: dayOfRun - 30, Text: text}}})
		require.Len(t, got, 1, text)
		assert.Equal(t, want, [2]string{got[0].Reason.String(), got[0].Reason.In(say.Spanish)})
	}
}

// TestCriticalCodes: P0016 is critical by the table of codes, P0420 is not.
func TestCriticalCodes(t *testing.T) {
	scan := func(codes ...string) []Scan {
		return []Scan{{Day: dayOfRun - 10, Codes: codesOf(t, codes...), Ref: Ref{2, 1}}}
	}
	for _, k := range []struct {
		name    string
		scans   []Scan
		repairs []Repair
		want    int
	}{
		{"critical, and no entry speaks of it", scan("P0016"), nil, 1},
		{"two are two", scan("P0016", "P0017"), nil, 2},
		{"the same code twice is one", scan("P0016", "P0016"), nil, 1},
		{"not critical", scan("P0420"), nil, 0},
		{"none", scan(), nil, 0},
		{"a later repair answers it", scan("P0016"), []Repair{{Day: dayOfRun - 5, Text: "timing chain renewed"}}, 0},
		{"an earlier one does not", scan("P0016"), []Repair{{Day: dayOfRun - 15, Text: "timing chain renewed"}}, 1},
		{"gone in a later scan", append(scan("P0016"), Scan{Day: dayOfRun - 2, Ref: Ref{2, 2}}), nil, 0},
	} {
		t.Run(k.name, func(t *testing.T) {
			got := checksOf(t, Vehicle{Scans: k.scans, Repairs: k.repairs})
			require.Len(t, got, k.want, "%+v", got)
			for _, c := range got {
				assert.True(t, c.Today)
				assert.Contains(t, c.Reason.String(), c.Code.String()+" stored, read on 25 Aug 2026: ")
			}
		})
	}
}

// TestOutsideHint: what a rule says of a vehicle outside the range.
func TestOutsideHint(t *testing.T) {
	v := Vehicle{Model: "Heron", EngineSerial: "HR799999", Scans: []Scan{{Day: dayOfRun - 1, Codes: codesOf(t, "P0087"), Ref: Ref{2, 1}}}}
	var hints []OtherCheck
	for _, c := range checksOf(t, v) {
		if c.Part != nil {
			hints = append(hints, c)
		}
	}
	require.Len(t, hints, 1)
	assert.Equal(t, "check the rail pressure sensor first", hints[0].Check.String())
	assert.Equal(t, Ref{2, 1}, hints[0].Ref)
	assert.Contains(t, hints[0].Reason.String(), "HR799999 lies outside")
	v.EngineSerial = "HR730001"
	for _, c := range checksOf(t, v) {
		assert.Nil(t, c.Part, "inside the range the list itself speaks")
	}
}
