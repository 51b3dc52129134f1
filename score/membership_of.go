package score

import (
	"strconv"
	"strings"

	"pitlist/score/say"
	"pitlist/score/vin"
)

func (f *Fit) maker(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if len(f.WMI) == 0 {
		return no, say.Text{}, false
	}
	wmi := v.wmi()
	if wmi == "" {
		// Make, model or engine serial, where the range names one that the
		// vehicle states, answer for the maker's code.
		if (len(f.Make) > 0 && v.Make != "") || (len(f.Model) > 0 && v.Model != "") || (len(f.EngineSerial) > 0 && v.EngineSerial != "") {
			return no, say.Text{}, false
		}
		if !tell {
			return unknown, say.Text{}, true
		}
		return unknown, say.F("maker's code not known (no VIN)"), true
	}
	is := no
	for _, w := range f.WMI {
		if strings.HasPrefix(wmi, w) {
			is = yes
			break
		}
	}
	if !tell {
		return is, say.Text{}, true
	}
	return is, stated(is, say.F("maker's code %s", wmi[:3])), true
}

// wmi returns what is known of the VIN from its start, at least 3 characters.
func (v *Vehicle) wmi() string {
	if v.VIN != "" {
		return string(v.VIN)
	}
	if len(v.VINPrefix) >= 3 {
		return v.VINPrefix
	}
	return ""
}

// make takes a make that stands before the model for one that is stated.
func (f *Fit) make(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if f.namedByVIN(v, wmiLength) {
		return no, say.Text{}, false
	}
	got := v.Make
	switch name := pastYear(v.Model); {
	case got != "":
	case v.MakeFirst && leading(f.Model, name) == "":
		got, _ = parted(name, f.Make)
	default:
		got = leading(f.Make, name)
	}
	return oneOf(f.Make, got, ofMake, tell)
}

// model takes a longer model name that begins with the range's as one of it,
// "Kestrel 35" is a Kestrel, and so with a year and a make of the range or the
// vehicle before it, "2016 Northfold Kestrel". Where the name stands behind
// other words it may be one.
func (f *Fit) model(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if f.namedByVIN(v, checkDigit) {
		return no, say.Text{}, false
	}
	is, reason, asked := oneOf(f.Model, v.Model, ofModel, tell)
	if !asked || is != no {
		return is, reason, asked
	}
	bare := f.pastMake(v)
	is = no
	for _, m := range f.Model {
		switch {
		case wordStart(v.Model, m) || wordStart(bare, m) || alike(bare, m):
			is = yes
		case is == no && hasWord(v.Model, m):
			is = unknown
		}
	}
	switch {
	case is == no:
		return is, reason, true
	case !tell:
		return is, say.Text{}, true
	case is == unknown:
		return is, say.F("%s may be of the range; write the model by itself", ofModel.holding(v.Model)), true
	}
	return is, ofModel.holding(v.Model), true
}

// pastMake is the vehicle's model without a year and a make before it.
func (f *Fit) pastMake(v *Vehicle) string {
	name := pastYear(v.Model)
	if v.MakeFirst && leading(f.Model, name) == "" {
		_, name = parted(name, f.Make)
		return name
	}
	name = strings.TrimLeft(name[len(leading(f.Make, name)):], gaps)
	if wordStart(name, v.Make) {
		name = strings.TrimLeft(name[len(v.Make):], gaps)
	}
	return name
}

// parted is a name with its make before it in two: the make is one of the makes
// given, of so many words, or else the first word. A single word is no make.
func parted(name string, makes []string) (make, model string) {
	const most = 3 // words of a make
	first := 0
	for at, words := 0, 0; words < most; words++ {
		next := strings.IndexByte(name[at:], ' ')
		if next < 0 {
			break
		}
		at += next
		for _, m := range makes {
			if alike(name[:at], m) {
				return name[:at], name[at+1:]
			}
		}
		if at++; words == 0 {
			first = at
		}
	}
	return strings.TrimRight(name[:first], " "), name[first:]
}

// namedByVIN tells that ranges of whole VINs answer for the make or the model that
// the fit names beside them: a VIN's first characters name both (ISO 3779), and
// sheets and registers spell the names in many ways. It does not where a range
// leaves one of the first n characters open.
func (f *Fit) namedByVIN(v *Vehicle, n int) bool {
	if len(f.VIN) == 0 || v.VIN == "" {
		return false
	}
	for i := range f.VIN {
		start := f.VIN[i].From.Prefix
		if strings.IndexByte(start[:min(n, len(start))], anyCharacter) >= 0 {
			return false
		}
	}
	return true
}

// gaps stand between the words of a vehicle's name.
const gaps = " -/,("

// wordStart tells whether the text begins with the name as a word of its own
// ("Kestrel 35" is a Kestrel, "Kestrelle" is not).
func wordStart(text, name string) bool {
	if name == "" || len(text) <= len(name) || !strings.EqualFold(text[:len(name)], name) {
		return false
	}
	return strings.IndexByte(gaps, text[len(name)]) >= 0
}

// leading is how the first of the names that a text begins with is written
// there; "" where it begins with none.
func leading(names []string, text string) string {
	for _, n := range names {
		if wordStart(text, n) {
			return text[:len(n)]
		}
	}
	return ""
}

// pastYear cuts a year off the beginning of a vehicle's name.
func pastYear(text string) string {
	if len(text) < 6 || text[4] != ' ' || text[:2] != "19" && text[:2] != "20" || !digit(text[2]) || !digit(text[3]) {
		return text
	}
	return text[5:]
}

func digit(c byte) bool { return '0' <= c && c <= '9' }

// hasWord tells whether the name stands in the text as a word of its own, behind
// others. One of fewer than three letters names too much else.
func hasWord(text, name string) bool {
	if letters(name) < 3 {
		return false
	}
	for i := 1; i+len(name) <= len(text); i++ {
		if strings.IndexByte(gaps, text[i-1]) >= 0 && strings.EqualFold(text[i:i+len(name)], name) &&
			(i+len(name) == len(text) || strings.IndexByte(gaps, text[i+len(name)]) >= 0) {
			return true
		}
	}
	return false
}

func letters(s string) int {
	n := 0
	for i := 0; i < len(s); i++ {
		if c := upper(s[i]); 'A' <= c && c <= 'Z' || c >= 0x80 {
			n++
		}
	}
	return n
}

// year compares the stated model year and the VIN's: where the two disagree
// and the answers differ, nothing is known.
func (f *Fit) year(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if len(f.ModelYear) == 0 {
		return no, say.Text{}, false
	}
	y, coded := v.ModelYear, v.VINYear
	if y == 0 {
		y = coded
	}
	switch {
	case y == 0:
		return unknown, missing(ofYear, tell), true
	case v.YearConflict && coded != 0 && f.inYears(y) != f.inYears(coded):
		if !tell {
			return unknown, say.Text{}, true
		}
		return unknown, say.F("model year %d on the sheet, %d by the VIN; check which", y, coded), true
	}
	is := no
	if f.inYears(y) {
		is = yes
	}
	if !tell {
		return is, say.Text{}, true
	}
	return is, stated(is, ofYear.holding(strconv.Itoa(y))), true
}

func (f *Fit) inYears(y int) bool {
	for _, r := range f.ModelYear {
		if y >= r.From && y <= r.To {
			return true
		}
	}
	return false
}

func (f *Fit) family(v *Vehicle, tell bool) (truth, say.Text, bool) {
	is, reason, asked := oneOf(f.EngineFamily, v.EngineFamily, ofFamily, tell)
	if asked && is != unknown {
		if s, err := ParseSerial(v.EngineSerial); err == nil && f.contradicts(s, v.EngineFamily) {
			return unknown, contradiction(v, tell), true
		}
	}
	return is, reason, asked
}

// engine places the engine serial. A serial of another series is outside
// where the stated family agrees with it; one that disagrees with the family
// tells nothing, since either may be wrong.
func (f *Fit) engine(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if len(f.EngineSerial) == 0 {
		return no, say.Text{}, false
	}
	if v.EngineSerial == "" {
		return unknown, missing(ofEngine, tell), true
	}
	s, err := ParseSerial(v.EngineSerial)
	if err != nil {
		if !tell {
			return unknown, say.Text{}, true
		}
		return unknown, say.F("engine serial %s is not readable", v.EngineSerial), true
	}
	if f.contradicts(s, v.EngineFamily) {
		return unknown, contradiction(v, tell), true
	}
	is, r := inRanges(f.EngineSerial, s)
	switch {
	case is == unknown && v.EngineFamily != "" && s.Prefix != "" && !samePrefix(f.EngineSerial, s):
		if !tell {
			return no, say.Text{}, true
		}
		return no, say.F("engine serial %s is of another series, as engine family %s says", s.String(), v.EngineFamily), true
	case !tell:
		return is, say.Text{}, true
	}
	return is, lies(is, ofEngine.holding(s.String()), r), true
}

// contradicts tells that a serial's letters and the stated family have nothing
// in common: neither begins with the other, nor does the range itself name
// the two together (not every maker writes the family into the serial).
func (f *Fit) contradicts(s Serial, family string) bool {
	if s.Prefix == "" || family == "" {
		return false
	}
	if name := fold(family); strings.HasPrefix(name, s.Prefix) || strings.HasPrefix(s.Prefix, name) {
		return false
	}
	listed, _, _ := oneOf(f.EngineFamily, family, ofFamily, false)
	return listed != yes || !samePrefix(f.EngineSerial, s)
}

func contradiction(v *Vehicle, tell bool) say.Text {
	if !tell {
		return say.Text{}
	}
	return say.F("engine serial %s does not go with engine family %s; check both", v.EngineSerial, v.EngineFamily)
}

func samePrefix(ranges []SerialRange, s Serial) bool {
	for i := range ranges {
		if ranges[i].From.Prefix == s.Prefix {
			return true
		}
	}
	return false
}

// inRanges: yes in any; no where a range of the serial's own form says no;
// else unknown. It names the range that decided, the first where none did.
func inRanges(ranges []SerialRange, s Serial) (truth, *SerialRange) {
	is, by := unknown, &ranges[0]
	for i := range ranges {
		switch r := &ranges[i]; r.holds(s) {
		case yes:
			return yes, r
		case no:
			is, by = no, r
		}
	}
	return is, by
}

// lies words where a serial stands to a range.
func lies(is truth, serial say.Text, r *SerialRange) say.Text {
	switch is {
	case yes:
		return say.F("%s lies in %s", serial, r.String())
	case no:
		return say.F("%s lies outside %s", serial, r.String())
	}
	return say.F("%s is of another form than %s", serial, r.String())
}

func (f *Fit) build(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if len(f.BuildDate) == 0 {
		return no, say.Text{}, false
	}
	if v.BuildDate == 0 {
		return unknown, missing(ofBuild, tell), true
	}
	is := no
	for _, r := range f.BuildDate {
		if (r.From == 0 || v.BuildDate >= r.From) && (r.To == 0 || v.BuildDate <= r.To) {
			is = yes
			break
		}
	}
	switch {
	case !tell:
		return is, say.Text{}, true
	case is == no:
		return no, say.F("built %s, not in the range", say.ISODay(v.BuildDate)), true
	}
	return yes, say.F("built %s", say.ISODay(v.BuildDate)), true
}

// vinSerial compares the last characters of the VIN, as many as the range has
// digits.
func (f *Fit) vinSerial(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if len(f.VINSerial) == 0 {
		return no, say.Text{}, false
	}
	if v.VIN == "" {
		if !tell {
			return unknown, say.Text{}, true
		}
		return unknown, say.F("serial of the VIN not known"), true
	}
	is, at, by := unknown, Serial{}, (*SerialRange)(nil)
	for i := range f.VINSerial {
		r := &f.VINSerial[i]
		s, err := ParseSerial(string(v.VIN[max(0, len(v.VIN)-r.From.Width):]))
		if err != nil || s.Prefix != "" {
			continue // letters among the digits
		}
		if got := r.holds(s); got == yes || by == nil {
			is, at, by = got, s, r
		}
		if is == yes {
			break
		}
	}
	switch {
	case !tell:
		return is, say.Text{}, true
	case by == nil:
		return unknown, say.F("serial of the VIN is not all digits"), true
	}
	return is, lies(is, say.F("VIN serial %s", at.String()), by), true
}

// vin compares the whole VIN: another beginning is outside, since a VIN's
// letters name the very model that the range speaks of.
func (f *Fit) vin(v *Vehicle, tell bool) (truth, say.Text, bool) {
	if len(f.VIN) == 0 {
		return no, say.Text{}, false
	}
	if v.VIN == "" {
		return f.vinStart(v.VINPrefix, tell)
	}
	for _, r := range f.VIN {
		if !inVINs(r, v.VIN) {
			continue
		}
		if !tell {
			return yes, say.Text{}, true
		}
		return yes, say.F("VIN lies in %s", r.String()), true
	}
	if !tell {
		return no, say.Text{}, true
	}
	return no, say.F("VIN lies in none of the ranges"), true
}

// vinStart is what the first characters of a VIN tell, where the rest is not
// known: a beginning that none of the ranges has is outside, the number behind
// it stays unknown.
func (f *Fit) vinStart(start string, tell bool) (truth, say.Text, bool) {
	if start == "" {
		if !tell {
			return unknown, say.Text{}, true
		}
		return unknown, say.F("VIN not known"), true
	}
	for _, r := range f.VIN {
		if head := vinHead(r); agree(start, head[:min(len(head), len(start))]) {
			if !tell {
				return unknown, say.Text{}, true
			}
			return unknown, say.F("only the beginning of the VIN is known: %s", start), true
		}
	}
	if !tell {
		return no, say.Text{}, true
	}
	return no, say.F("VIN beginning %s is not of the range", start), true
}

// wmiLength is that of the maker's code at a VIN's beginning (ISO 3780).
const wmiLength = 3

// checkDigit is position 9 of a VIN, which its other characters determine: two
// VINs of one series differ there (49 CFR 565.15(c)).
const checkDigit = 8

// inVINs compares the characters before the range's number, save the check
// digit, and then the number: a VIN belongs where its beginning agrees and its
// number lies between. A number never reaches back to the check digit.
func inVINs(r SerialRange, v vin.VIN) bool {
	head := vinHead(r)
	width := len(v) - len(head)
	if width <= 0 || !agree(string(v), head) {
		return false
	}
	s, err := ParseSerial(string(v[len(head):]))
	from, to := r.From.String(), r.To.String()
	low, _ := ParseSerial(from[max(0, len(from)-width):])
	high, _ := ParseSerial(to[max(0, len(to)-width):])
	return err == nil && s.Prefix == "" && s.Number >= low.Number && s.Number <= high.Number
}

// vinHead is the beginning that all VINs of the range share, up to the number.
func vinHead(r SerialRange) string {
	from := r.From.String()
	return from[:max(len(r.From.Prefix), min(checkDigit+1, len(from)))]
}

// agree tells that the text begins as head does, the check digit aside and what
// the range leaves open (anyCharacter).
func agree(text, head string) bool {
	if len(text) < len(head) {
		return false
	}
	for i := range head {
		if i != checkDigit && head[i] != text[i] && head[i] != anyCharacter {
			return false
		}
	}
	return true
}
