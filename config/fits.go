package config

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"pitlist/score"
)

var fitKeys = []string{"wmi", "make", "model", "model_year", "engine_family", "engine_serial", "build_date", "vin_serial", "vin"}

// fits reads the ranges of an entry: any entry of the list, within an entry
// all conditions.
func fits(f field) []score.Fit {
	if !f.written() {
		return nil
	}
	items := f.items()
	if len(items) == 0 && f.node.Tag != "!!null" {
		f.fault("fits is empty: the entry concerns no vehicle", "fits: [ { model: [Kestrel], model_year: 2015-2017 } ]")
	}
	var out []score.Fit
	var places []group
	for _, item := range items {
		g, ok := item.group(fitKeys...)
		if !ok {
			continue
		}
		if len(item.node.Content) == 0 {
			item.fault("the range names no condition", "name at least one of "+strings.Join(fitKeys, ", "))
		}
		out = append(out, fit(g))
		places = append(places, g)
	}
	betweenFits(out, places)
	return out
}

// blank tells a group in which a key has no value yet.
func (g group) blank() bool {
	for _, f := range g.keys {
		if f.node.Kind == kindScalar && f.node.Tag == "!!null" {
			return true
		}
	}
	return false
}

func fit(g group) score.Fit {
	return score.Fit{
		WMI:          makerCodes(g.get("wmi")),
		Make:         filled(g.get("make")),
		Model:        filled(g.get("model")),
		EngineFamily: filled(g.get("engine_family")),
		ModelYear:    ranges(g.get("model_year"), yearRanges),
		EngineSerial: ranges(g.get("engine_serial"), serialRanges(serialRange)),
		BuildDate:    ranges(g.get("build_date"), dayRanges),
		VINSerial:    ranges(g.get("vin_serial"), serialRanges(vinSerial)),
		VIN:          ranges(g.get("vin"), serialRanges(vinRange)),
	}
}

// filled reads a condition's list; an empty one would ask nothing.
func filled(f field) []string {
	emptyList(f)
	return f.words()
}

func emptyList(f field) {
	if f.written() && f.node.Kind == kindList && len(f.node.Content) == 0 {
		f.faultf("fill it or leave the key out", "%s is an empty list", f.name())
	}
}

// makerCode is the beginning of a VIN (ISO 3780), which has no I, O or Q.
var makerCode = regexp.MustCompile(`^[A-HJ-NPR-Z0-9]{2,3}$`)

func makerCodes(f field) []string {
	emptyList(f)
	var out []string
	for _, item := range f.items() {
		code := strings.ToUpper(item.text())
		switch {
		case code == "":
		case !makerCode.MatchString(code):
			item.faultf("a WMI has 3 characters, without I, O and Q", "%q is no maker's code", shorten(code))
		case slices.Contains(out, code):
			item.faultf("delete one", "%q stands twice in the list", code)
		default:
			out = append(out, code)
		}
	}
	return out
}

// ranges reads a list of ranges of one condition with a parser for each, and
// reports those of the list that overlap.
func ranges[T any](f field, k rangeKind[T]) []T {
	emptyList(f)
	var out []T
	var places []field
	for _, item := range f.items() {
		text := item.text()
		if text == "" {
			continue
		}
		if r, ok := k.parse(item, text); ok {
			out = append(out, r)
			places = append(places, item)
		}
	}
	for _, pair := range k.collisions(out) {
		at := places[pair[1]]
		at.faultf("join them into one range", "%s %s overlaps another of the list, %s", f.name(), shorten(at.raw()), shorten(places[pair[0]].raw()))
	}
	return out
}

var yearRange = regexp.MustCompile(`^(\d{4})(?:\s*(?:-|–|\.\.|to)\s*(\d{4}))?$`)

func year(f field, text string) (score.YearRange, bool) {
	m := yearRange.FindStringSubmatch(text)
	if m == nil {
		f.faultf("write 2015-2017, or one year", "model_year %q is no year and no range of years", shorten(text))
		return score.YearRange{}, false
	}
	from, _ := strconv.Atoi(m[1])
	to := from
	if m[2] != "" {
		to, _ = strconv.Atoi(m[2])
	}
	switch {
	case to < from:
		f.faultf(fmt.Sprintf("write %d-%d", to, from), "model_year %s ends before it begins", text)
		return score.YearRange{}, false
	case from < 1950 || to > 2100:
		f.fault("model_year "+text+" lies outside 1950-2100", "")
		return score.YearRange{}, false
	}
	return score.YearRange{From: from, To: to}, true
}

func serialRange(f field, text string) (score.SerialRange, bool) {
	if from, to, mixed := mixedPrefix(text); mixed {
		f.faultf("both ends need one prefix; write a range for each", "%s %s begins with %q and ends with %q", lastKey(f), shorten(text), from.Prefix, to.Prefix)
		return score.SerialRange{}, false
	}
	r, err := score.ParseSerialRange(text)
	if err == nil {
		err = r.Validate()
	}
	if err != nil {
		f.fault(lastKey(f)+": "+err.Error(), "")
		return score.SerialRange{}, false
	}
	return r, true
}

// mixedPrefix tells a range whose ends carry different letters; read as one
// serial it would silently match nothing.
func mixedPrefix(text string) (from, to score.Serial, mixed bool) {
	for _, sep := range []string{" to ", "..", "–", " - ", "-"} {
		parts := strings.Split(text, sep)
		if len(parts) != 2 {
			continue
		}
		from, err1 := score.ParseSerial(parts[0])
		to, err2 := score.ParseSerial(parts[1])
		if err1 == nil && err2 == nil {
			return from, to, to.Prefix != "" && from.Prefix != to.Prefix
		}
	}
	return from, to, false
}

// lastKey is the key that a list item stands under: engine_serial.
func lastKey(f field) string {
	name := f.name()
	if i := strings.IndexByte(name, '['); i > 0 {
		return name[:i]
	}
	return name
}

// vinSerial is the last digits of a VIN, without letters.
func vinSerial(f field, text string) (score.SerialRange, bool) {
	r, ok := serialRange(f, text)
	switch {
	case !ok:
		return r, false
	case r.From.Prefix != "":
		f.faultf("for whole VINs use vin", "vin_serial %s holds letters; it is the last digits of the VIN", shorten(text))
		return r, false
	case r.From.Width > 8 || r.To.Width > 8:
		f.faultf("for whole VINs use vin", "vin_serial %s has more than 8 digits", shorten(text))
		return r, false
	case r.From.Width != r.To.Width:
		f.faultf("write leading zeros", "vin_serial %s has ends of different width", shorten(text))
		return r, false
	}
	return r, true
}

var vinSplit = regexp.MustCompile(`\s*(?:-|–|\.\.|\sto\s)\s*`)

// vinRange is a whole VIN or a range of them. Their check digits (position 9)
// differ within one range, so the second end takes the first's.
func vinRange(f field, text string) (score.SerialRange, bool) {
	ends := vinSplit.Split(strings.ToUpper(text), -1)
	if len(ends) == 1 {
		ends = append(ends, ends[0])
	}
	if len(ends) > 2 || !score.VINForm(ends[0]) || !score.VINForm(ends[1]) {
		f.faultf("17 characters each, without I, O and Q, * for any: Z9KAB1CD5FH000100-Z9KAB1CD5FH000900", "vin %s is no VIN and no range of VINs", shorten(text))
		return score.SerialRange{}, false
	}
	r, err := score.VINRange(ends[0], ends[1])
	if err != nil {
		f.fault("vin: "+err.Error(), "")
		return r, false
	}
	return r, true
}
