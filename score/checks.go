package score

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/score/dtc"
	"pitlist/score/evidence"
	"pitlist/score/phrase"
	"pitlist/score/say"
)

// danger is wording that asks for a look whatever the catalogue holds: common
// practice, no source. A later repair that was done and that names one of
// answers puts it to rest.
type danger struct {
	name    string
	phrases []string
	answers []string // words, lower case, any of which in a later done repair answers it
}

// dangers are few on purpose: what a workshop would not let out of the gate.
// None begins with a denial: "no brakes" would be read in "no brake fluid leak".
var dangers = []danger{
	{"brakes", []string{"brake fluid leak", "brake pedal goes to floor", "brake pedal to floor", "brake failure", "brakes failed", "spongy brake pedal",
		"Bremsflüssigkeit verliert", "Bremse ohne Wirkung", "fuite liquide de frein", "fuga líquido de frenos", "bromsvätska läcker", "jarruneste vuotaa", "wyciek płynu hamulcowego"},
		[]string{"brake", "brems", "frein", "freno", "broms", "jarru", "hamul"}},
	{"steering", []string{"steering loose", "excessive play in steering", "steering binds", "steering locks up",
		"Lenkung schwergängig", "Spiel in der Lenkung", "jeu dans la direction", "holgura en la dirección", "glapp i styrning", "ohjauksessa välystä", "luz w układzie kierowniczym"},
		[]string{"steering", "track rod", "rack", "lenk", "spurstange", "direction", "direcci", "styr", "ohjau", "kierown"}},
	{"wheels", []string{"wheel loose", "wheel nuts loose", "wheel came off", "wheel stud broken",
		"Radmuttern lose", "Rad lose", "roue desserrée", "rueda suelta", "hjulmuttrar lösa", "pyörän mutterit löysällä"},
		[]string{"wheel", "radmutter", "radbolzen", "räder", "roue", "rueda", "hjul", "pyör", "koł"}},
	{"fuel", []string{"fuel leak", "smell of fuel", "fuel smell in cab", "fuel dripping",
		"Kraftstoff läuft aus", "Kraftstoffgeruch", "fuite de carburant", "fuga de combustible", "bränsleläckage", "drivstofflekkasje", "polttoainevuoto", "wyciek paliwa"},
		[]string{"fuel", "kraftstoff", "carburant", "combustible", "bränsle", "drivstoff", "polttoaine", "paliw"}},
	{"fire", []string{"smoke in cab", "burning smell", "wiring burnt", "Rauch im Fahrerhaus", "Brandgeruch", "odeur de brûlé", "olor a quemado", "bränd lukt", "palaneen haju"},
		[]string{"wiring", "harness", "fire", "burn", "kabel", "câbl", "cable", "johto", "przew"}},
	{"restraints", []string{"seat belt will not lock", "seat belt torn", "Gurt defekt", "ceinture défectueuse", "bilbälte trasigt", "turvavyö rikki"},
		[]string{"belt", "gurt", "ceinture", "cintur", "bälte", "vyö", "pasy", "pasów"}},
	{"oil pressure", []string{"oil pressure light on", "zero oil pressure", "lost oil pressure", "low oil pressure", "Öldruck zu niedrig", "Öldrucklampe leuchtet", "pression d'huile basse", "presión de aceite baja", "lågt oljetryck", "öljynpaine matala"},
		[]string{"oil", "öl", "huile", "aceite", "olj", "öljy", "olej"}},
}

// repairsOf names for a system of the code table the words of a repair that
// answers it: common practice, no source.
var repairsOf = map[string][]string{
	"cam/crank timing": {"timing", "chain", "cam", "crank", "steuerkette", "nockenwelle", "distribution", "kedja", "jakoketju", "rozrząd"},
	"oil":              {"oil", "öl", "huile", "aceite", "olj", "öljy", "olej"},
	"cooling":          {"coolant", "thermostat", "radiator", "water pump", "kühl", "refroid", "kyl", "jäähdy", "chłod"},
	"fuel and air":     {"fuel", "kraftstoff", "carburant", "combustible", "bränsle", "polttoaine", "paliw"},
	"transmission":     {"transmission", "gearbox", "getriebe", "boîte", "caja de cambios", "växellåda", "girkasse", "vaihteisto", "skrzyni"},
	"network":          {"ecu", "control unit", "module", "wiring", "steuergerät", "calculateur", "styrenhet", "ohjainlaite", "sterownik"},
}

// outsideChecks are what the rules say of a vehicle outside a part's ranges.
func (w *worker) outsideChecks(p *WeakPart, s *story, obs []evidence.Observation, b Belonging, texts []said) []OtherCheck {
	var out []OtherCheck
	for i := range obs {
		o := &obs[i]
		if o.Rule == evidence.None {
			continue
		}
		r := &p.Evidence[o.Group].Rules[o.Rule]
		if r.Outside == "" {
			continue
		}
		c := OtherCheck{Part: p, Check: say.Plain(r.Outside), Day: w.settings.Day}
		if !r.Codes.Empty() {
			sc := &w.scans[o.Ref]
			codes := sc.matching(r.Codes)
			c.Reason = say.F("%s stored, but the vehicle is outside the range of %s: %s", join(codes), p.Name, b.Reason())
			c.Day, c.Ref = w.stated(sc.day, sc.ref), sc.ref
			if len(codes) > 0 {
				c.Code = codes[0]
			}
		} else if len(r.Words) > 0 {
			t := &texts[o.Ref]
			c.Reason = say.F("%s noted, but the vehicle is outside the range of %s: %s", strconv.Quote(w.wordOf(s.index, o, t)), p.Name, b.Reason())
			c.Day, c.Ref = w.stated(t.day, t.ref), t.ref
		}
		out = append(out, c)
	}
	return out
}

func join(codes []dtc.Code) say.Text {
	texts := make([]say.Text, len(codes))
	for i, c := range codes {
		texts[i] = say.Plain(c.String())
	}
	return say.And(texts...)
}

// otherChecks finds critical codes and danger wording that no entry of the
// catalogue speaks of for this vehicle, and that no later repair answers.
func (w *worker) otherChecks(v *Vehicle, a *Assessment, texts []said) []OtherCheck {
	out := w.criticalCodes(a, texts)
	for d := range dangers {
		if c, ok := w.dangerIn(d, a, texts); ok {
			out = append(out, c)
		}
	}
	return out
}

func (w *worker) criticalCodes(a *Assessment, texts []said) []OtherCheck {
	if len(w.scans) == 0 {
		return nil
	}
	sc := &w.scans[len(w.scans)-1]
	var out []OtherCheck
	for i, c := range sc.codes {
		info, ok := dtc.Describe(c.Code)
		if !ok || info.Severity.For(c.State) != dtc.Critical || a.speaksOf(c.Code) || sees(out, c.Code) {
			continue
		}
		if answered(texts, sc.day, append([]string{strings.ToLower(c.Code.Base().String())}, repairsOf[info.System]...)) {
			continue
		}
		out = append(out, OtherCheck{
			Reason: w.codeStored(sc, sc.codes[i].Code.String(), info.Short),
			Check:  say.F("look before the vehicle is used again; no entry of the catalogue speaks of it on this vehicle"),
			Today:  true, Code: c.Code, Day: w.stated(sc.day, sc.ref), Ref: sc.ref,
		})
	}
	return out
}

// codeStored says since when nobody has read the memory: an old scan is no less a reason to
// look, and no reason to believe that the code is still there.
func (w *worker) codeStored(sc *scanned, code string, short say.Text) say.Text {
	if day := w.stated(sc.day, sc.ref); day != 0 {
		return say.F("%s stored, read on %s: %s", code, say.Day(day), short)
	}
	return say.F("%s stored: %s", code, short)
}

func sees(list []OtherCheck, c dtc.Code) bool {
	return slices.ContainsFunc(list, func(o OtherCheck) bool { return o.Code == c })
}

// speaksOf tells whether a finding or an outside check of the vehicle already
// speaks of the code.
func (a *Assessment) speaksOf(c dtc.Code) bool {
	for i := range a.Findings {
		for j := range a.Findings[i].Facts {
			if slices.Contains(a.Findings[i].Facts[j].Codes, c) {
				return true
			}
		}
	}
	return sees(a.Checks, c)
}

// dangerIn finds the latest unanswered text that speaks of danger d, and quotes
// it in its writer's words and not in those of the list.
func (w *worker) dangerIn(d int, a *Assessment, texts []said) (OtherCheck, bool) {
	var last *said
	var what string
	for i := range texts {
		t := &texts[i]
		for _, h := range t.hits {
			o := &w.words.owner[h.ID]
			if o.part >= 0 || h.Negated || t.intent(h) == phrase.FoundGood || !slices.Contains(dangers[d].phrases, o.text) {
				continue
			}
			if last == nil || t.day >= last.day {
				last, what = t, t.text[h.Start:h.End]
			}
		}
	}
	if last == nil || answered(texts, last.day, dangers[d].answers) || a.hears(last.ref) {
		return OtherCheck{}, false
	}
	day := w.stated(last.day, last.ref)
	reason := say.F("%s noted: %s", strconv.Quote(what), last.text)
	if day != 0 {
		reason = say.F("%s noted on %s: %s", strconv.Quote(what), say.Day(day), last.text)
	}
	return OtherCheck{
		Reason: reason,
		Check:  say.F("look before the vehicle is used again; no later repair on record answers it"),
		Today:  true, Day: day, Ref: last.ref,
	}, true
}

// hears tells whether a scored part's evidence already rests on the row.
func (a *Assessment) hears(r Ref) bool {
	for i := range a.Findings {
		for j := range a.Findings[i].Facts {
			if f := &a.Findings[i].Facts[j]; f.Kind == FactWords && f.Ref == r {
				return true
			}
		}
	}
	return false
}

// answered tells whether a repair line after the day was done and names one
// of the words. A line that was declined or only advised answers nothing.
func answered(texts []said, after Day, words []string) bool {
	for i := range texts {
		t := &texts[i]
		if !t.repair || t.day <= after || t.status == phrase.Declined || t.status == phrase.Recommended {
			continue
		}
		lower := strings.ToLower(t.text)
		for _, word := range words {
			if names(lower, word) && done(lower) {
				return true
			}
		}
	}
	return false
}

// names tells whether a line holds a word. A short one must begin a word of
// the line, since "oil" is no part of "coil"; a longer one may stand within a
// compound.
func names(lower, word string) bool {
	const long = 5
	if len(word) >= long {
		return strings.Contains(lower, word)
	}
	for from := 0; ; {
		i := strings.Index(lower[from:], word)
		if i < 0 {
			return false
		}
		at := from + i
		if before, _ := utf8.DecodeLastRuneInString(lower[:at]); at == 0 || !unicode.IsLetter(before) {
			return true
		}
		from = at + len(word)
	}
}

// undone are words of lines that speak of work which was not done: common
// practice, no source.
var undone = [...]string{"declin", "refus", "not done", "not repaired", "not replaced", "recommend", "advis", "quote", "next visit",
	"abgelehnt", "empfohlen", "nicht", "recommand", "à prévoir", "rechaz", "recomend", "avböj", "avvist", "rekommend", "anbefal", "suosit", "odmów", "zalec"}

// done tells a line that speaks of work: common practice, no source.
func done(lower string) bool {
	for _, no := range undone {
		if strings.Contains(lower, no) {
			return false
		}
	}
	for _, act := range [...]string{"replac", "renew", "repair", "fitted", "tighten", "torque", "changed", "fixed", "adjust", "bled",
		"ersetzt", "erneuert", "repariert", "gewechselt", "remplac", "répar", "sustit", "repar", "bytt", "lag", "åtgärd", "vaihde", "korja", "wymien", "napraw"} {
		if strings.Contains(lower, act) {
			return true
		}
	}
	return false
}

// reading is what would tell how far a part has run.
func (a Axis) reading() say.Text {
	switch a {
	case ByHours:
		return say.F("engine-hour reading")
	case ByMonths:
		return say.F("in-service reading")
	}
	return say.F("odometer reading")
}

// noDistance asks for the reading without which a part that may be of the
// weak population cannot be reckoned.
func noDistance(f *Finding, day Day) []OtherCheck {
	if f.Standing != NoDistance {
		return nil
	}
	return []OtherCheck{{
		Part:   f.Part,
		Reason: say.F("%s may be of the weak kind (%s), but no credible %s tells how far it has run", f.Part.Name, f.Belonging.Reason(), f.Part.Axis.reading()),
		Check:  say.F("enter the reading with its day; until then the vehicle is not ranked for this part"),
		Day:    day,
	}}
}
