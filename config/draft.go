package config

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/score"
)

// Draft is a catalogue that a person has to finish: what a table of recalls says
// stands in it, and what no table knows is a blank, a key without a value, which
// the reader refuses with its line.
type Draft struct {
	From    []string // the tables' files, without folders
	Unused  []string // columns of theirs that nothing was read from
	Entries []DraftEntry
	Left    []string // rows that are in no entry, each with its reason: written as remarks at the end
}

// DraftEntry is one weak part as far as it is known.
type DraftEntry struct {
	ID, Name, System, Source string
	KnownSince               score.Day // 0: a blank
	PartNo                   string    // to order; "" none
	Remarks                  []string  // in the table's words, written above the entry
	Fits                     []DraftFit
}

// DraftFit is one range of vehicles.
type DraftFit struct {
	score.Fit
	Remarks []string
	Blanks  []DraftBlank
}

// DraftBlank is a condition that a person must settle: fill in, or take out.
type DraftBlank struct {
	Key   string   // vin, build_date…
	Why   []string // what the table says there, and why it cannot be used
	Hints []string // what it may mean, in the catalogue's form: written on one line each, to be copied
}

const draftHead = `# Drafted by ` + "`pitlist draft`" + ` from %s. Entries for a person to finish: no run takes this file while a key
# marked "fill in" has no value, and ` + "`pitlist lint`" + ` names each such line. What a table of recalls says stands here; what it cannot know is
# left blank, and nothing in it is guessed. Where the rest comes from:
#   onset, delay     the maker, a study, or your own records, from which ` + "`pitlist fit`" + ` learns once the entry runs; until then your own
#                    judgement, said in source, with a small weight
#   weight           as many failures as the curves are worth; 1 or 2 for a judgement
#   costs, hours     your workshop's books
#   detects          what the look finds of ten worn parts, as a share
#   name, called     as your workshop writes of the part: the table's words are of the campaign
#   evidence, repairs, checks, kit   may be added; demo/parts of ` + "`pitlist demo`" + ` shows how
# Write make and model as your sheets do; several may stand in a list. Beside ranges of whole VINs they count only for vehicles whose
# VIN is not known. A * in a VIN leaves the character open; where it does so for the model, the model counts.
`

// draftKeys are the keys that every entry leaves blank, with what goes there.
var draftKeys = []struct{ key, want string }{
	{"share_if_unknown", "chance of being affected when what decides is missing, 0 to 1"},
	{"axis", "what the part wears by: km, hours or months"},
	{"onset", "distance until worn: { weibull: { shape: …, scale: … } }"},
	{"delay", "distance from worn to failed: { weibull: { shape: …, scale: … } }"},
	{"weight", "failures that the curves rest on, or are worth"},
	{"replacement", "what a failed part is replaced with: improved or same"},
	{"inspection", ""},
	{"  visit", "what is opened together: engine top"},
	{"  hours", "bay-hours for the look"},
	{"  detects", "chance to find wear that is there, above 0 to 1"},
	{"costs", ""},
	{"  planned_repair", "all in"},
	{"  failure", "in service, damage and recovery included"},
	{"consequence", "money or injury; with injury also risk_km, risk_limit and worn_limit"},
}

// FillIn ends the line of every blank, as it is written.
const FillIn = "fill in"

// Write writes the draft as a catalogue file.
func (d *Draft) Write(w io.Writer) error {
	out := &draftWriter{bufio.NewWriter(w)}
	fmt.Fprintf(out, draftHead, remark(strings.Join(d.From, ", "), 500))
	if len(d.Unused) > 0 {
		out.line("# Nothing was read from these columns, which may say that fewer vehicles are meant:")
		for _, c := range d.Unused {
			out.remark("", c)
		}
	}
	out.line("parts:")
	for i := range d.Entries {
		out.entry(&d.Entries[i])
	}
	if len(d.Left) > 0 {
		out.line("")
		out.line("# Rows that are in no entry, or not with all that they say:")
		for _, l := range d.Left {
			out.remark("", l)
		}
	}
	return out.Flush()
}

type draftWriter struct{ *bufio.Writer }

func (w *draftWriter) line(format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }

// blank writes a key without a value, what goes there, and the mark.
func (w *draftWriter) blank(indent, key, want string) {
	if want == "" {
		w.line("%s%s:", indent, key)
		return
	}
	w.line("%s%-18s # %s: %s", indent, key+":", want, FillIn)
}

// width is that of the lines of remarks, in characters.
const width = 150

// mostRemark is how much of a text is written as a remark, in characters.
const mostRemark = 1500

// remark writes a text as one remark of as many lines as it takes.
func (w *draftWriter) remark(indent, text string) {
	line, first := "", true
	put := func() {
		lead := "# "
		if !first {
			lead = "#   "
		}
		w.line("%s%s%s", indent, lead, line)
		line, first = "", false
	}
	for word := range strings.FieldsSeq(remark(text, mostRemark)) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			put()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" {
		put()
	}
}

// remark is a text fit to stand behind a #: one line, of characters that YAML
// prints.
func remark(text string, most int) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar || !unicode.IsPrint(r):
			return -1
		}
		return r
	}, text)
	r := []rune(strings.Join(strings.Fields(text), " "))
	if len(r) > most {
		return string(r[:most]) + "…"
	}
	return string(r)
}

// scalar is a text between double quotes, fit to be read back.
func scalar(text string) string { return quoted(remark(text, mostRemark)) }

func (w *draftWriter) entry(e *DraftEntry) {
	w.line("")
	for _, r := range e.Remarks {
		w.remark("  ", r)
	}
	w.line("  - id: %s", scalar(e.ID))
	w.line("    name: %s", scalar(e.Name))
	if e.System != "" {
		w.line("    system: %s", scalar(e.System))
	}
	w.line("    source: %s", scalar(e.Source))
	if e.KnownSince != 0 {
		w.line("    known_since: %s", e.KnownSince)
	} else {
		w.blank("    ", "known_since", "the day since which the weakness was known, such as 2019-05-01")
	}
	w.line("    fits:")
	for i := range e.Fits {
		w.fit(&e.Fits[i])
	}
	for _, k := range draftKeys {
		w.blank("    ", k.key, k.want)
	}
	if e.PartNo != "" {
		w.line("    kit:")
		w.line("      part_no: %s", scalar(e.PartNo))
		w.blank("      ", "quantity", "how many a renewal takes")
	}
}

// fit writes one range, its conditions in the catalogue's order.
func (w *draftWriter) fit(f *DraftFit) {
	for _, r := range f.Remarks {
		w.remark("      ", r)
	}
	lead := "      - "
	put := func(key string, items []string) {
		if len(items) == 0 {
			return
		}
		w.line("%s%s: [%s]", lead, key, strings.Join(items, ", "))
		lead = "        "
	}
	put("wmi", each(f.WMI, scalar))
	put("make", each(f.Make, scalar))
	put("model", each(f.Model, scalar))
	put("model_year", each(f.ModelYear, score.YearRange.String))
	put("engine_family", each(f.EngineFamily, scalar))
	put("engine_serial", each(f.EngineSerial, rangeText))
	put("build_date", each(f.BuildDate, func(r score.DayRange) string { return quoted(r.String()) }))
	put("vin_serial", each(f.VINSerial, rangeText))
	put("vin", each(f.VIN, rangeText))
	for _, b := range f.Blanks {
		for _, why := range b.Why {
			w.remark("        ", why)
		}
		for _, hint := range b.Hints {
			w.line("        # %s", remark(hint, mostRemark))
		}
		w.blank(lead, b.Key, "ranges in the catalogue's form, or take the line out where the others will do")
		lead = "        "
	}
}

func each[T any](items []T, text func(T) string) []string {
	out := make([]string, len(items))
	for i := range items {
		out[i] = text(items[i])
	}
	return out
}

func rangeText(r score.SerialRange) string { return quoted(r.String()) }
