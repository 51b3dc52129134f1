package dtc

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/say"
)

func TestEveryRowOfTheTableDescribesItself(t *testing.T) {
	rows := readTable(t, "table/dtc_generic.csv")
	require.Len(t, rows, 196)
	for _, r := range rows {
		t.Run(r["code"], func(t *testing.T) {
			c := must(Parse(r["code"]))
			info, ok := Describe(c)
			require.True(t, ok)
			assert.Equal(t, r["short_description"], info.Short.String())
			assert.Equal(t, []any{r["system_group"], Severity(r["severity_class"])}, []any{info.System, info.Severity})
			assert.NotZero(t, info.Severity.Rank())
			assert.NotEqual(t, info.Short.String(), info.Short.In(say.Spanish), "every meaning has its Spanish")
			assert.NotEqual(t, OwnerManufacturer, Owner(c), "a generic text for a maker's code")
			withFT, ok := Describe(c.WithFailureType(0x11))
			assert.True(t, ok)
			assert.Equal(t, info.Short.String()+": short to ground", withFT.Short.String())
		})
	}
}

// TestMeaningsInSpanish: a meaning with its failure type, and one of SPN and FMI.
func TestMeaningsInSpanish(t *testing.T) {
	for code, want := range map[string]string{
		"P0524":            "Presión de aceite demasiado baja",
		"P0335-13":         "Circuito del sensor de posición del cigüeñal 'A': circuito abierto",
		"SPN 100 FMI 1":    "Presión de aceite: Dato válido, por debajo del rango normal, nivel más grave",
		"SPN 520348 FMI 7": "SPN 520348 propio del fabricante: Sistema mecánico sin respuesta o desajustado",
	} {
		info, ok := Describe(must(Parse(code)))
		require.True(t, ok, code)
		assert.Equal(t, want, info.Short.In(say.Spanish))
	}
}

func TestEveryFMIHasItsMeaning(t *testing.T) {
	rows := readTable(t, "table/fmi.csv")
	require.Len(t, rows, 32)
	for i, r := range rows {
		require.Equal(t, fmt.Sprint(i), r["fmi"])
		info, ok := Describe(must(J1939(110, uint8(i))))
		assert.True(t, ok)
		assert.Equal(t, "Coolant temperature: "+r["meaning"], info.Short.String())
		assert.Equal(t, "cooling", info.System)
		assert.Equal(t, r["kind"] == "reserved" || r["kind"] == "special", info.Severity == "")
	}
	_, err := J1939(110, 32)
	assert.Error(t, err, "beyond 31 there is none")
}

// SAE J1939-73: the levels run 15 < 16 < 0 and 17 < 18 < 1.
func TestSeverityOfFMIFollowsTheLevelsNotTheNumbers(t *testing.T) {
	for _, spn := range []uint32{100, 102, 9999, 520348} {
		for _, order := range [][]uint8{{15, 16, 0}, {17, 18, 1}} {
			var ranks []int
			for _, fmi := range order {
				info, _ := Describe(must(J1939(spn, fmi)))
				ranks = append(ranks, info.Severity.Rank())
			}
			assert.Less(t, ranks[0], ranks[1], "SPN %d", spn)
			assert.Less(t, ranks[1], ranks[2], "SPN %d", spn)
		}
	}
}

func TestMakersNumbersHaveNoGenericText(t *testing.T) {
	_, ok := Describe(must(Parse("P1234")))
	assert.False(t, ok, "manufacturer range")
	_, ok = Describe(must(Parse("P0099")))
	assert.False(t, ok, "unlisted number of a standard range")
	info, ok := Describe(must(J1939(520348, 31)))
	assert.True(t, ok)
	assert.Empty(t, info.System)
	assert.Contains(t, info.Short.String(), "maker's own")
	assert.Equal(t, OwnerManufacturer, Owner(must(J1939(520192, 0))), "first of the block")
	assert.Equal(t, OwnerStandard, Owner(must(J1939(520191, 0))), "last before the block")
}

func TestSeverityOfAPendingCodeIsOneStepLower(t *testing.T) {
	for from, to := range map[Severity]Severity{Critical: High, High: Medium, Medium: Low, Low: Low, "": ""} {
		assert.Equal(t, to, from.For(Pending))
		assert.Equal(t, from, from.For(Stored))
		assert.Equal(t, from, from.For(Permanent))
		assert.Equal(t, from, from.For(""))
		require.NoError(t, from.Validate())
	}
	require.Error(t, Severity("urgent").Validate())
}

func TestStateWords(t *testing.T) {
	for word, want := range map[string]State{
		"stored": Stored, "Confirmed": Stored, "ACTIVE": Stored, "inactive": Stored, "previously active": Stored, "gespeichert": Stored, "sporadisch": Stored,
		"lagret": Stored, "aktiv": Stored, "confirmé": Stored, "Mémorisé": Stored, "almacenado": Stored, "tallennettu": Stored, "zapisany": Stored, "lagrad": Stored,
		"pending": Pending, "PD": Pending, "not confirmed": Pending, "nicht bestätigt": Pending, "en attente": Pending, "pendiente": Pending, "odottava": Pending,
		"oczekujący": Pending, "vorläufig": Pending, "Pending DTC": Pending,
		"permanent": Permanent, "Perm.": Permanent, "dauerhaft": Permanent, "pysyvä": Permanent, "permanente": Permanent, "stały": Permanent, "Mode $0A": Permanent,
	} {
		t.Run(word, func(t *testing.T) {
			got, ok := ParseState(word)
			assert.True(t, ok)
			assert.Equal(t, want, got)
			require.NoError(t, got.Validate())
		})
	}
	got, ok := ParseState("violet")
	assert.Equal(t, Stored, got)
	assert.False(t, ok)
	require.Error(t, State("violet").Validate())
}

func TestCautionOnDoubtfulRanges(t *testing.T) {
	assert.Contains(t, Caution(must(Parse("B3001"))).String(), "reserves")
	assert.Contains(t, Caution(must(Parse("U3003"))).String(), "older tables")
	assert.Contains(t, Caution(must(J1939(520348, 31))).String(), "maker's own")
	assert.Empty(t, Caution(must(Parse("P0087"))))
	assert.Empty(t, Caution(Code{}))
}

func TestFailureTypeFallsBackToItsHighNibble(t *testing.T) {
	assert.Equal(t, "signal stuck low", FailureTypeText(must(Parse("C0031-23"))).String())
	assert.Equal(t, "general signal failure", FailureTypeText(must(Parse("C0031-28"))).String())
	assert.Equal(t, "component failure", FailureTypeText(must(Parse("C0031-96"))).String())
	assert.Empty(t, FailureTypeText(must(Parse("C0031-F0"))).String())
	assert.Empty(t, FailureTypeText(must(Parse("C0031"))).String())
}

func TestTheTablesNameTheirSource(t *testing.T) {
	note, err := os.ReadFile("table/SOURCE.md")
	require.NoError(t, err)
	for _, name := range []string{"dtc_generic.csv", "fmi.csv", "spn.csv", "failure_type.csv"} {
		assert.Contains(t, string(note), name)
		for _, r := range readTable(t, "table/"+name) {
			assert.NotEmpty(t, strings.TrimSpace(r["source"]), "%s: %v", name, r)
		}
	}
}
