package score

import (
	"fmt"
	"strconv"
	"strings"

	"pitlist/score/vin"
)

// Membership says whether a vehicle belongs to a part's weak population.
type Membership string

// The three memberships: 1, 0 and the catalogue's share.
const (
	Inside  Membership = "inside"
	Outside Membership = "outside"
	Unknown Membership = "unknown"
)

// Belonging is a membership with the fact that decided it.
type Belonging struct {
	Membership Membership
	Reason     string  // "engine serial KD4112345 lies in KD4110000-KD4168000"
	Share      float64 // chance of belonging, in [0, 1]
	Near       bool    // outside, but of the model the ranges speak of
}

// truth is an answer in three values.
type truth int8

const (
	no truth = iota
	unknown
	yes
)

// answer is what one condition of a range says of a vehicle.
type answer struct {
	is     truth
	reason string
	of     condition
}

// condition names what a range asks for; the broad ones (which vehicle) come
// before the narrow ones (which of them).
type condition int8

const (
	ofMaker condition = iota
	ofMake
	ofModel
	ofYear
	ofFamily
	ofEngine
	ofBuild
	ofVINSerial
	ofVIN
)

// Belongs decides the membership: inside where any range holds in every
// condition, outside where each fails in one, unknown else.
func (p *WeakPart) Belongs(v *Vehicle) Belonging {
	best := answer{is: no, reason: "no range is stated"}
	near := false
	for i := range p.Fits {
		a, of := p.Fits[i].judge(v)
		near = near || of
		if a.is > best.is || i == 0 || (a.is == no && best.is == no && a.of > best.of) {
			best = a
		}
	}
	switch best.is {
	case yes:
		return Belonging{Inside, best.reason, 1, true}
	case unknown:
		return Belonging{Unknown, best.reason, p.ShareIfUnknown, true}
	}
	return Belonging{Outside, best.reason, 0, near}
}

// judge answers for one range: the first condition that fails decides, else
// the first that is not known, else the narrowest that holds. near tells that
// the broad conditions (maker, make, model) do not fail.
func (f *Fit) judge(v *Vehicle) (a answer, near bool) {
	best := answer{is: yes, reason: "the range names no condition"}
	for _, ask := range [...]func(*Fit, *Vehicle) (answer, bool){
		(*Fit).maker, (*Fit).make, (*Fit).model, (*Fit).year, (*Fit).family,
		(*Fit).engine, (*Fit).build, (*Fit).vinSerial, (*Fit).vin,
	} {
		got, asked := ask(f, v)
		if !asked {
			continue
		}
		switch {
		case got.is == no:
			return got, got.of > ofModel
		case best.is == yes:
			best = got
		}
	}
	return best, true
}

func (f *Fit) maker(v *Vehicle) (answer, bool) {
	if len(f.WMI) == 0 {
		return answer{}, false
	}
	wmi := v.wmi()
	if wmi == "" {
		// Make, model or engine serial, where the range names one that the
		// vehicle states, answer for the maker's code.
		if (len(f.Make) > 0 && v.Make != "") || (len(f.Model) > 0 && v.Model != "") || (len(f.EngineSerial) > 0 && v.EngineSerial != "") {
			return answer{}, false
		}
		return answer{unknown, "maker's code not known (no VIN)", ofMaker}, true
	}
	for _, w := range f.WMI {
		if strings.HasPrefix(wmi, w) {
			return answer{yes, "maker's code " + w, ofMaker}, true
		}
	}
	return answer{no, "maker's code " + wmi[:3] + " is not of the range", ofMaker}, true
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

func (f *Fit) make(v *Vehicle) (answer, bool) {
	return oneOf(f.Make, v.Make, "make", ofMake)
}

func (f *Fit) model(v *Vehicle) (answer, bool) {
	if len(f.Model) == 0 {
		return answer{}, false
	}
	if v.Model == "" {
		return answer{unknown, "model not given", ofModel}, true
	}
	got := fold(v.Model)
	for _, m := range f.Model {
		if want := fold(m); got == want || wordStart(v.Model, m) {
			return answer{yes, "model " + v.Model, ofModel}, true
		}
	}
	return answer{no, "model " + v.Model + " is not of the range", ofModel}, true
}

// wordStart tells whether text names the model followed by a variant
// ("Kestrel 2.2 D" is a Kestrel, "Kestrelle" is not).
func wordStart(text, model string) bool {
	if len(text) <= len(model) || !strings.EqualFold(text[:len(model)], model) {
		return false
	}
	c := text[len(model)]
	return c == ' ' || c == '-' || c == '/' || c == ',' || c == '('
}

func (f *Fit) family(v *Vehicle) (answer, bool) {
	a, asked := oneOf(f.EngineFamily, v.EngineFamily, "engine family", ofFamily)
	if asked && a.is != unknown && v.serialContradictsFamily() {
		return answer{unknown, fmt.Sprintf("engine serial %s does not go with engine family %s; check both", v.EngineSerial, v.EngineFamily), ofFamily}, true
	}
	return a, asked
}

// serialContradictsFamily tells that the serial's letters and the stated
// family have nothing in common: neither begins with the other.
func (v *Vehicle) serialContradictsFamily() bool {
	s, err := ParseSerial(v.EngineSerial)
	if err != nil || s.Prefix == "" || v.EngineFamily == "" {
		return false
	}
	return !agree(s.Prefix, v.EngineFamily)
}

func agree(prefix, family string) bool {
	f := fold(family)
	return strings.HasPrefix(f, prefix) || strings.HasPrefix(prefix, f)
}

func oneOf(list []string, got, name string, of condition) (answer, bool) {
	if len(list) == 0 {
		return answer{}, false
	}
	if got == "" {
		return answer{unknown, name + " not given", of}, true
	}
	g := fold(got)
	for _, want := range list {
		if fold(want) == g {
			return answer{yes, name + " " + got, of}, true
		}
	}
	return answer{no, name + " " + got + " is not of the range", of}, true
}

// year compares the stated model year and the VIN's: where the two disagree
// and the answers differ, nothing is known.
func (f *Fit) year(v *Vehicle) (answer, bool) {
	if len(f.ModelYear) == 0 {
		return answer{}, false
	}
	stated, coded := v.ModelYear, v.VINYear
	switch {
	case stated == 0 && coded == 0:
		return answer{unknown, "model year not given", ofYear}, true
	case stated != 0 && v.YearConflict && coded != 0 && f.inYears(stated) != f.inYears(coded):
		return answer{unknown, fmt.Sprintf("model year %d on the sheet, %d by the VIN; check which", stated, coded), ofYear}, true
	}
	y := stated
	if y == 0 {
		y = coded
	}
	if f.inYears(y) {
		return answer{yes, "model year " + strconv.Itoa(y), ofYear}, true
	}
	return answer{no, "model year " + strconv.Itoa(y) + " is not of the range", ofYear}, true
}

func (f *Fit) inYears(y int) bool {
	for _, r := range f.ModelYear {
		if y >= r.From && y <= r.To {
			return true
		}
	}
	return false
}

func (f *Fit) engine(v *Vehicle) (answer, bool) {
	if len(f.EngineSerial) == 0 {
		return answer{}, false
	}
	if v.EngineSerial == "" {
		return answer{unknown, "engine serial not given", ofEngine}, true
	}
	s, err := ParseSerial(v.EngineSerial)
	if err != nil {
		return answer{unknown, "engine serial " + v.EngineSerial + " is not readable", ofEngine}, true
	}
	if v.serialContradictsFamily() {
		return answer{unknown, fmt.Sprintf("engine serial %s does not go with engine family %s; check both", v.EngineSerial, v.EngineFamily), ofEngine}, true
	}
	a := inRanges(f.EngineSerial, s, "engine serial", ofEngine)
	if a.is == unknown && v.EngineFamily != "" && !samePrefix(f.EngineSerial, s) && agree(s.Prefix, v.EngineFamily) {
		return answer{no, fmt.Sprintf("engine serial %s is of another series, as engine family %s says", s, v.EngineFamily), ofEngine}, true
	}
	return a, true
}

func samePrefix(ranges []SerialRange, s Serial) bool {
	for _, r := range ranges {
		if r.From.Prefix == s.Prefix {
			return true
		}
	}
	return false
}

// inRanges: yes in any; no where every range of the serial's own prefix says
// no; else unknown.
func inRanges(ranges []SerialRange, s Serial, name string, of condition) answer {
	best := answer{unknown, fmt.Sprintf("%s %s is of another form than %s", name, s, ranges[0]), of}
	for _, r := range ranges {
		switch r.holds(s) {
		case yes:
			return answer{yes, fmt.Sprintf("%s %s lies in %s", name, s, r), of}
		case no:
			best = answer{no, fmt.Sprintf("%s %s lies outside %s", name, s, r), of}
		}
	}
	return best
}

func (f *Fit) build(v *Vehicle) (answer, bool) {
	if len(f.BuildDate) == 0 {
		return answer{}, false
	}
	if v.BuildDate == 0 {
		return answer{unknown, "build date not given", ofBuild}, true
	}
	date := v.BuildDate.Time().Format("2006-01-02")
	for _, r := range f.BuildDate {
		if (r.From == 0 || v.BuildDate >= r.From) && (r.To == 0 || v.BuildDate <= r.To) {
			return answer{yes, "built " + date, ofBuild}, true
		}
	}
	return answer{no, "built " + date + ", not in the range", ofBuild}, true
}

// vinSerial compares the last characters of the VIN, as many as the range has
// digits.
func (f *Fit) vinSerial(v *Vehicle) (answer, bool) {
	if len(f.VINSerial) == 0 {
		return answer{}, false
	}
	if v.VIN == "" {
		return answer{unknown, "serial of the VIN not known", ofVINSerial}, true
	}
	best := answer{unknown, "serial of the VIN is not all digits", ofVINSerial}
	for _, r := range f.VINSerial {
		w := r.From.Width
		if w > len(v.VIN) {
			continue
		}
		s, err := ParseSerial(string(v.VIN[len(v.VIN)-w:]))
		if err != nil || s.Prefix != "" {
			continue
		}
		if a := inRanges([]SerialRange{r}, s, "VIN serial", ofVINSerial); a.is > best.is || best.is == unknown {
			best = a
		}
		if best.is == yes {
			break
		}
	}
	return best, true
}

// vin compares the whole VIN: another beginning is outside, since a VIN's
// letters name the very model that the range speaks of.
func (f *Fit) vin(v *Vehicle) (answer, bool) {
	if len(f.VIN) == 0 {
		return answer{}, false
	}
	if v.VIN == "" {
		return answer{unknown, "VIN not known", ofVIN}, true
	}
	for _, r := range f.VIN {
		if inVINs(r, v.VIN) {
			return answer{yes, fmt.Sprintf("VIN lies in %s", r), ofVIN}, true
		}
	}
	return answer{no, "VIN lies in none of the ranges", ofVIN}, true
}

// inVINs compares the characters after the range's own prefix, save the check
// digit: a VIN belongs where its beginning agrees and its number lies between.
func inVINs(r SerialRange, v vin.VIN) bool {
	w := r.From.Width
	if w > len(v) {
		return false
	}
	head, tail := string(v[:len(v)-w]), string(v[len(v)-w:])
	s, err := ParseSerial(tail)
	if err != nil || s.Prefix != "" || len(head) != len(r.From.Prefix) {
		return false
	}
	for i := range head {
		if i != 8 && head[i] != r.From.Prefix[i] { // position 9 may be a check digit
			return false
		}
	}
	return s.Number >= r.From.Number && s.Number <= r.To.Number
}
