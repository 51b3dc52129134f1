package score

import (
	"strconv"
	"strings"

	"pitlist/score/vin"
)

func (f *Fit) maker(v *Vehicle, tell bool) (truth, string, bool) {
	if len(f.WMI) == 0 {
		return no, "", false
	}
	wmi := v.wmi()
	if wmi == "" {
		// Make, model or engine serial, where the range names one that the
		// vehicle states, answer for the maker's code.
		if (len(f.Make) > 0 && v.Make != "") || (len(f.Model) > 0 && v.Model != "") || (len(f.EngineSerial) > 0 && v.EngineSerial != "") {
			return no, "", false
		}
		return unknown, "maker's code not known (no VIN)", true
	}
	is := no
	for _, w := range f.WMI {
		if strings.HasPrefix(wmi, w) {
			is = yes
			break
		}
	}
	return is, stated(is, "maker's code ", wmi[:3], tell), true
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

func (f *Fit) make(v *Vehicle, tell bool) (truth, string, bool) {
	return oneOf(f.Make, v.Make, "make", tell)
}

// model takes a longer model name that begins with the range's as one of it:
// "Kestrel 35" is a Kestrel.
func (f *Fit) model(v *Vehicle, tell bool) (truth, string, bool) {
	is, reason, asked := oneOf(f.Model, v.Model, "model", tell)
	if !asked || is != no {
		return is, reason, asked
	}
	for _, m := range f.Model {
		if wordStart(v.Model, m) {
			return yes, stated(yes, "model ", v.Model, tell), true
		}
	}
	return is, reason, true
}

// wordStart tells whether the text begins with the model's name as a word of
// its own ("Kestrel 35" is a Kestrel, "Kestrelle" is not).
func wordStart(text, model string) bool {
	if len(text) <= len(model) || !strings.EqualFold(text[:len(model)], model) {
		return false
	}
	return strings.IndexByte(" -/,(", text[len(model)]) >= 0
}

// year compares the stated model year and the VIN's: where the two disagree
// and the answers differ, nothing is known.
func (f *Fit) year(v *Vehicle, tell bool) (truth, string, bool) {
	if len(f.ModelYear) == 0 {
		return no, "", false
	}
	y, coded := v.ModelYear, v.VINYear
	if y == 0 {
		y = coded
	}
	switch {
	case y == 0:
		return unknown, "model year not given", true
	case v.YearConflict && coded != 0 && f.inYears(y) != f.inYears(coded):
		if !tell {
			return unknown, "", true
		}
		return unknown, "model year " + strconv.Itoa(y) + " on the sheet, " + strconv.Itoa(coded) + " by the VIN; check which", true
	}
	is := no
	if f.inYears(y) {
		is = yes
	}
	if !tell {
		return is, "", true
	}
	return is, stated(is, "model year ", strconv.Itoa(y), true), true
}

func (f *Fit) inYears(y int) bool {
	for _, r := range f.ModelYear {
		if y >= r.From && y <= r.To {
			return true
		}
	}
	return false
}

func (f *Fit) family(v *Vehicle, tell bool) (truth, string, bool) {
	is, reason, asked := oneOf(f.EngineFamily, v.EngineFamily, "engine family", tell)
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
func (f *Fit) engine(v *Vehicle, tell bool) (truth, string, bool) {
	if len(f.EngineSerial) == 0 {
		return no, "", false
	}
	if v.EngineSerial == "" {
		return unknown, "engine serial not given", true
	}
	s, err := ParseSerial(v.EngineSerial)
	if err != nil {
		return unknown, "engine serial " + v.EngineSerial + " is not readable", true
	}
	if f.contradicts(s, v.EngineFamily) {
		return unknown, contradiction(v, tell), true
	}
	is, r := inRanges(f.EngineSerial, s)
	switch {
	case is == unknown && v.EngineFamily != "" && s.Prefix != "" && !samePrefix(f.EngineSerial, s):
		if !tell {
			return no, "", true
		}
		return no, "engine serial " + s.String() + " is of another series, as engine family " + v.EngineFamily + " says", true
	case !tell:
		return is, "", true
	}
	return is, lies(is, "engine serial ", s, r), true
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
	listed, _, _ := oneOf(f.EngineFamily, family, "", false)
	return listed != yes || !samePrefix(f.EngineSerial, s)
}

func contradiction(v *Vehicle, tell bool) string {
	if !tell {
		return ""
	}
	return "engine serial " + v.EngineSerial + " does not go with engine family " + v.EngineFamily + "; check both"
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
func lies(is truth, name string, s Serial, r *SerialRange) string {
	switch is {
	case yes:
		return name + s.String() + " lies in " + r.String()
	case no:
		return name + s.String() + " lies outside " + r.String()
	}
	return name + s.String() + " is of another form than " + r.String()
}

func (f *Fit) build(v *Vehicle, tell bool) (truth, string, bool) {
	if len(f.BuildDate) == 0 {
		return no, "", false
	}
	if v.BuildDate == 0 {
		return unknown, "build date not given", true
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
		return is, "", true
	case is == no:
		return no, "built " + v.BuildDate.String() + ", not in the range", true
	}
	return yes, "built " + v.BuildDate.String(), true
}

// vinSerial compares the last characters of the VIN, as many as the range has
// digits.
func (f *Fit) vinSerial(v *Vehicle, tell bool) (truth, string, bool) {
	if len(f.VINSerial) == 0 {
		return no, "", false
	}
	if v.VIN == "" {
		return unknown, "serial of the VIN not known", true
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
	case by == nil:
		return unknown, "serial of the VIN is not all digits", true
	case !tell:
		return is, "", true
	}
	return is, lies(is, "VIN serial ", at, by), true
}

// vin compares the whole VIN: another beginning is outside, since a VIN's
// letters name the very model that the range speaks of.
func (f *Fit) vin(v *Vehicle, tell bool) (truth, string, bool) {
	if len(f.VIN) == 0 {
		return no, "", false
	}
	if v.VIN == "" {
		return f.vinStart(v.VINPrefix, tell)
	}
	for _, r := range f.VIN {
		if !inVINs(r, v.VIN) {
			continue
		}
		if !tell {
			return yes, "", true
		}
		return yes, "VIN lies in " + r.String(), true
	}
	return no, "VIN lies in none of the ranges", true
}

// vinStart is what the first characters of a VIN tell, where the rest is not
// known: a beginning that none of the ranges has is outside, the number behind
// it stays unknown.
func (f *Fit) vinStart(start string, tell bool) (truth, string, bool) {
	if start == "" {
		return unknown, "VIN not known", true
	}
	for _, r := range f.VIN {
		if head := vinHead(r); agree(start, head[:min(len(head), len(start))]) {
			return unknown, stated(unknown, "only the beginning of the VIN is known: ", start, tell), true
		}
	}
	return no, stated(no, "VIN beginning ", start, tell), true
}

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

// agree tells that the text begins as head does, the check digit aside.
func agree(text, head string) bool {
	if len(text) < len(head) {
		return false
	}
	for i := range head {
		if i != checkDigit && head[i] != text[i] {
			return false
		}
	}
	return true
}
