package bulletin

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"

	"pitlist/ingest/value"
)

// Field is what a column holds.
type Field string

// The fields of a campaign. Those of ranges follow: each may be one column
// ("VIN range") or two, whose names end in _from and _to.
const (
	Ignore       Field = ""
	Number       Field = "number"    // of the recall, the campaign, the bulletin
	Reference    Field = "reference" // the maker's own number
	Kind         Field = "kind"      // of vehicles, or of equipment
	Make         Field = "make"
	Model        Field = "model"  // one model, or a few
	Models       Field = "models" // the models of the whole campaign, in somebody's words
	EngineFamily Field = "engine_family"
	Component    Field = "component"
	Concern      Field = "concern" // in a few words
	Defect       Field = "defect"
	Consequence  Field = "consequence"
	Remedy       Field = "remedy"
	PartNo       Field = "part_no" // what is fitted instead
	Notes        Field = "notes"
	LaunchDate   Field = "launch_date"
	Affected     Field = "affected" // how many vehicles

	VIN          Field = "vin"
	VINSerial    Field = "vin_serial" // the last digits of the VIN
	EngineSerial Field = "engine_serial"
	Serial       Field = "serial" // of which nobody says what it numbers
	BuildDate    Field = "build_date"
	ModelYear    Field = "model_year"
)

const (
	from = "_from"
	to   = "_to"
)

var (
	plainFields = []Field{Number, Reference, Kind, Make, Model, Models, EngineFamily, Component, Concern, Defect, Consequence, Remedy, PartNo, Notes, LaunchDate, Affected}
	spanFields  = []Field{VIN, VINSerial, EngineSerial, Serial, BuildDate, ModelYear}
)

// Fields lists the names that a heading may always have.
func Fields() []Field {
	out := slices.Clone(plainFields)
	for _, f := range spanFields {
		out = append(out, f, f+from, f+to)
	}
	return out
}

// ignored is how a user says that a column is to be left alone.
const ignored = "ignore"

// claim is what a wording stands for.
type claim struct {
	field   Field
	weak    bool // stands back behind a strong one
	told    bool // the user says so: stands before all others
	useless bool // known, and of no use
}

//go:embed headings.txt
var headings string

// wordings is the table of headings.txt, and every field's own name.
var wordings = sync.OnceValue(func() map[string]claim {
	out := map[string]claim{}
	for line := range strings.Lines(headings) {
		name, wording, ok := strings.Cut(strings.TrimSpace(line), ";")
		if !ok || strings.HasPrefix(name, "#") {
			continue
		}
		c := claim{useless: name == "-"}
		name, c.weak = strings.CutPrefix(name, "~")
		if !c.useless {
			c.field = Field(name)
		}
		out[normal(wording)] = c
	}
	for _, f := range Fields() {
		out[normal(string(f))] = claim{field: f}
	}
	for _, f := range spanFields {
		out[normal(string(f))] = claim{field: f + "_"}
	}
	return out
})

// Words for the two ends of a range.
var (
	firstWords = []string{"from", "start", "starts", "starting", "begin", "begins", "beginning", "first", "lowest", "earliest", "lower", "von", "ab", "desde", "de", "debut"}
	lastWords  = []string{"to", "end", "ends", "ending", "last", "until", "till", "thru", "through", "highest", "latest", "upper", "bis", "hasta", "fin"}
)

// match says what a heading stands for: as it is listed, or with a word for one
// end before or behind it.
func match(heading string) (claim, bool) {
	n := normal(heading)
	if c, ok := wordings()[n]; ok {
		c.field = Field(strings.TrimSuffix(string(c.field), "_"))
		return c, true
	}
	words := strings.Fields(n)
	if len(words) < 2 {
		return claim{}, false
	}
	for _, cut := range []struct {
		end  string
		rest []string
	}{{words[len(words)-1], words[:len(words)-1]}, {words[0], words[1:]}} {
		suffix := endOf(cut.end)
		rest := strings.TrimPrefix(strings.Join(cut.rest, " "), "of ")
		if c, ok := wordings()[rest]; ok && suffix != "" && strings.HasSuffix(string(c.field), "_") {
			c.field = Field(strings.TrimSuffix(string(c.field), "_") + suffix)
			return c, true
		}
	}
	return claim{}, false
}

// endOf is the ending of a field's name for a word of one end; "" for others.
func endOf(word string) string {
	switch {
	case slices.Contains(firstWords, word):
		return from
	case slices.Contains(lastWords, word):
		return to
	}
	return ""
}

// normal brings a heading to the form of the table: letters and digits, small,
// one blank between words.
func normal(s string) string {
	return strings.Join(strings.FieldsFunc(value.Fold(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}
